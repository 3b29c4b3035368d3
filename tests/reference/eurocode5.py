"""Single shear of one fastener by EN 1995-1-1:2004+A1:2008 (Eurocode 5): a second opinion on the yield modes.

Characteristic values, in SI. Formulas seen in second-hand copys.
"""

from __future__ import annotations

import math


def embedding_prebored(d: float, rho_k: float) -> float:
    """Characteristic embedding strength along the grain, prebored: 0.082 (1 - 0.01 d) rho_k [N/mm2, mm,
    kg/m3].

    EN 1995-1-1 eq. 8.16 and 8.32 (at 0 deg). d: 0 .. 0.030 m. Pa.

    >>> round(embedding_prebored(0.006, 350.0) / 1e6, 2)
    26.98
    """
    d_mm = d * 1e3
    return 0.082 * (1.0 - 0.01 * d_mm) * rho_k * 1e6


def yield_moment(d: float, f_u: float) -> float:
    """Characteristic yield moment of a round fastener: 0.3 f_u d^2.6 [N mm, N/mm2, mm]; EN 1995-1-1 eq. 8.30.
    N m.

    >>> round(yield_moment(0.006, 400e6), 2)
    12.66
    """
    d_mm = d * 1e3
    return 0.3 * f_u / 1e6 * d_mm**2.6 * 1e-3


def johansen_single_shear(t_1: float, t_2: float, d: float, f_h1: float, f_h2: float, M_y: float) -> dict[str, float]:
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
