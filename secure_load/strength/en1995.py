"""EN 1995-1-1 sections 8.1.4, 8.2.2 and 8.7.2: splitting at a joint; screws, as a second opinion on the NDS.

Source: EN 1995-1-1:2004+A1:2008 (Eurocode 5). Characteristic strengths (5 % exclusion): divide by the
material factor and multiply by k_mod before comparing with anything; never mix with NDS allowable values. No
printed worked number was at hand to check these two against: the tests hold them to hand arithmetic only.
"""

from __future__ import annotations

import math

from secure_load.strength import _guard
from secure_load.strength.units import MILLIMETRE, KilogramPerCubicMetre, Metre, Newton, Pascal, Radian


def screw_withdrawal(d: Metre, l_ef: Metre, rho_k: KilogramPerCubicMetre, alpha: Radian = math.pi / 2) -> Newton:
    """Characteristic withdrawal of one screw.

    F = f d l_ef k_d / (1.2 cos^2 alpha + sin^2 alpha), f = 0.52 d^-0.5 l_ef^-0.1 rho_k^0.8, k_d = min(d/8, 1)
    [N, mm, kg/m3]; EN 1995-1-1 eq. 8.38, 8.39, 8.40.

    d: outer thread diameter, 0.006 .. 0.012 m. l_ef: thread in the pointed side, at least 6 d, m. rho_k:
    characteristic density. alpha: angle of the screw to the grain, at least 30 deg, rad.

    >>> round(screw_withdrawal(0.006, 0.036, 350.0), 1)
    2606.6
    """
    d_mm = _guard.within("screw diameter", d, 0.006 - 1e-12, 0.012 + 1e-12, "m") / MILLIMETRE
    length = _guard.positive("thread length", l_ef, "m") / MILLIMETRE
    if length < 6.0 * d_mm * (1.0 - 1e-9):
        raise ValueError(f"thread length must be 6 screw diameters or more, got {length / d_mm:.3g} diameters")
    rho = _guard.within("characteristic density", rho_k, 50.0, 1500.0, "kg/m3")
    alpha = _guard.within("angle of the screw to the grain", alpha, math.radians(30), math.pi / 2, "rad")
    f = 0.52 * d_mm**-0.5 * length**-0.1 * rho**0.8
    k_d = min(d_mm / 8.0, 1.0)
    return f * d_mm * length * k_d / (1.2 * math.cos(alpha) ** 2 + math.sin(alpha) ** 2)


def embedding_prebored(d: Metre, rho_k: KilogramPerCubicMetre) -> Pascal:
    """Characteristic embedding strength along the grain, prebored: 0.082 (1 - 0.01 d) rho_k [N/mm2, mm,
    kg/m3].

    EN 1995-1-1 eq. 8.16 and 8.32 (at 0 deg). d: 0 .. 0.030 m. Pa.

    >>> round(embedding_prebored(0.006, 350.0) / 1e6, 2)
    26.98
    """
    d_mm = _guard.within("fastener diameter", d, 1e-6, 0.030, "m") / MILLIMETRE
    rho = _guard.within("characteristic density", rho_k, 50.0, 1500.0, "kg/m3")
    return 0.082 * (1.0 - 0.01 * d_mm) * rho * 1e6


def yield_moment(d: Metre, f_u: Pascal) -> float:
    """Characteristic yield moment of a round fastener: 0.3 f_u d^2.6 [N mm, N/mm2, mm]; EN 1995-1-1 eq. 8.30.
    N m.

    >>> round(yield_moment(0.006, 400e6), 2)
    12.66
    """
    d_mm = _guard.positive("fastener diameter", d, "m") / MILLIMETRE
    return 0.3 * _guard.positive("tensile strength of the fastener", f_u, "Pa") / 1e6 * d_mm**2.6 * 1e-3


def johansen_single_shear(
    t_1: Metre, t_2: Metre, d: Metre, f_h1: Pascal, f_h2: Pascal, M_y: float
) -> dict[str, Newton]:
    """The six characteristic single-shear modes a .. f of timber to timber, without the rope effect; the
    least governs.

    EN 1995-1-1 8.2.2(1), eq. 8.6 (a to f), with beta = f_h2/f_h1 and the F_ax,Rk/4 terms left out.

    t_1, t_2: thickness or penetration, m. d: effective diameter, m. f_h1, f_h2: embedding strengths, Pa.
    M_y: yield moment, N m. N.

    >>> f_h = embedding_prebored(0.00429, 350.0)
    >>> modes = johansen_single_shear(0.020, 0.036, 0.00429, f_h, f_h, yield_moment(0.00429, 500e6))
    >>> min(modes, key=modes.get), round(min(modes.values()), 1)
    ('d', 1141.7)
    """
    t_1 = _guard.positive("thickness t1", t_1, "m")
    t_2 = _guard.positive("penetration t2", t_2, "m")
    d = _guard.positive("effective diameter", d, "m")
    f_h1 = _guard.positive("embedding strength f_h1", f_h1, "Pa")
    f_h2 = _guard.positive("embedding strength f_h2", f_h2, "Pa")
    _guard.positive("yield moment", M_y, "N m")
    beta, ratio, base = f_h2 / f_h1, t_2 / t_1, f_h1 * t_1 * d

    def one_hinge(thickness: float, factor: float) -> float:
        return 4 * beta * factor * M_y / (f_h1 * d * thickness**2)

    c = math.sqrt(beta + 2 * beta**2 * (1 + ratio + ratio**2) + beta**3 * ratio**2) - beta * (1 + ratio)
    in_1 = math.sqrt(2 * beta * (1 + beta) + one_hinge(t_1, 2 + beta)) - beta
    in_2 = math.sqrt(2 * beta**2 * (1 + beta) + one_hinge(t_2, 1 + 2 * beta)) - beta
    return {
        "a": base,
        "b": f_h2 * t_2 * d,
        "c": base / (1 + beta) * c,
        "d": 1.05 * base / (2 + beta) * in_1,
        "e": 1.05 * f_h1 * t_2 * d / (1 + 2 * beta) * in_2,
        "f": 1.15 * math.sqrt(2 * beta / (1 + beta)) * math.sqrt(2 * M_y * f_h1 * d),
    }


def splitting(b: Metre, h: Metre, h_e: Metre, w: float = 1.0) -> Newton:
    """Characteristic shear on either side of a joint at which a member splits along its line of fasteners.

    F_90 = 14 b w sqrt(h_e / (1 - h_e / h))  [N, mm]; EN 1995-1-1 8.1.4, eq. 8.4. The Code prints it
    for softwood; there is no other for hardwood. b: thickness along the fasteners; h: depth in the direction of
    the load; h_e: from the loaded edge to the farthest fastener, less than h; all m. w: 1 but for punched plates.

    >>> round(splitting(0.040, 0.060, 0.030))
    4338
    """
    b_mm = _guard.positive("thickness of the member", b, "m") / MILLIMETRE
    h_mm = _guard.positive("depth of the member", h, "m") / MILLIMETRE
    e_mm = _guard.positive("distance from the loaded edge", h_e, "m") / MILLIMETRE
    if e_mm >= h_mm:
        raise ValueError(f"distance from the loaded edge must be less than the depth {h:g} m, got {h_e:g}")
    return 14.0 * b_mm * _guard.positive("plate factor w", w) * math.sqrt(e_mm / (1.0 - e_mm / h_mm))
