"""NDS 2018, section 12.3: fasteners sheared across, by the six yield modes of a single-shear joint.

Source: American Wood Council, ANSI/AWC NDS-2018, 12.3 with Tables 12.3.1A, 12.3.1B and 12.3.3. Allowable
values for normal load duration: multiply with `nds.adjusted`.

**Which diameter decides the reduction term.** For a threaded fastener the D of Tables 12.3.1A and 12.3.1B is
the root diameter, and the footnote to 12.3.1B gives fasteners of nominal D >= 1/4 in with a root below 1/4 in
the term K_D K_theta. Letting the nominal diameter decide instead misses 21 of the 30 cells of the printed
Table 12K compared in the tests; the root diameter meets all 30.

The printed tables at hand are governed by modes IIIs and IV; the tests hold all six to the general dowel
equations of AWC Technical Report 12 and to EN 1995-1-1 (8.6).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from secure_load.strength import _guard
from secure_load.strength.units import INCH, PSI, Metre, Newton, Pascal, Radian

QUARTER_INCH = 0.25 * INCH
_STEP = 50.0  # psi: the printed tables round the dowel bearing strength to it


@dataclass(frozen=True)
class Lateral:
    """Reference lateral value of one fastener in one shear plane."""

    Z: Newton
    """The least of the modes, N."""
    mode: str
    """Which mode governs: Im, Is, II, IIIm, IIIs or IV."""
    modes: dict[str, Newton] = field(default_factory=dict[str, float])
    """Every mode's value, N."""


def dowel_bearing_small(G: float, rounded: bool = False) -> Pascal:
    """Dowel bearing strength under a fastener of D < 1/4 in, any grain angle.

    F_e = 16600 G^1.84  [psi]; NDS 2018 Table 12.3.3, footnote 2. G: 0.05 .. 1.4. Pa.
    ``rounded`` to the nearest 50 psi, as the printed tables are.

    >>> round(dowel_bearing_small(0.55, rounded=True) / PSI)
    5550
    """
    return _maybe_rounded(16600.0 * _guard.specific_gravity(G) ** 1.84, rounded)


def dowel_bearing_parallel(G: float, rounded: bool = False) -> Pascal:
    """Dowel bearing strength along the grain, D >= 1/4 in.

    F_e|| = 11200 G  [psi]; NDS 2018 Table 12.3.3, footnote 2. G: 0.05 .. 1.4. Pa.

    >>> round(dowel_bearing_parallel(0.50) / PSI)
    5600
    """
    return _maybe_rounded(11200.0 * _guard.specific_gravity(G), rounded)


def dowel_bearing_perpendicular(G: float, D: Metre, rounded: bool = False) -> Pascal:
    """Dowel bearing strength across the grain, D >= 1/4 in.

    F_e_perp = 6100 G^1.45 / sqrt(D)  [psi, D in inches]; NDS 2018 Table 12.3.3, footnote 2.
    G: 0.05 .. 1.4. D: nominal diameter, m. Pa.

    >>> round(dowel_bearing_perpendicular(0.50, 0.0127, rounded=True) / PSI)
    3150
    """
    _guard.positive("fastener diameter", D, "m")
    return _maybe_rounded(6100.0 * _guard.specific_gravity(G) ** 1.45 / math.sqrt(D / INCH), rounded)


def hankinson(parallel: Pascal, perpendicular: Pascal, theta: Radian) -> Pascal:
    """Strength at an angle to the grain: F_par F_perp / (F_par sin^2 + F_perp cos^2); NDS 2018 12.3.4, eq.
    12.3-11.

    theta: 0 (along) .. pi/2 (across), rad. Both strengths in Pa, as is the result.

    >>> hankinson(40e6, 20e6, math.pi / 4) / 1e6
    26.666666666666668
    """
    parallel = _guard.positive("strength along the grain", parallel, "Pa")
    perpendicular = _guard.positive("strength across the grain", perpendicular, "Pa")
    theta = _guard.within("angle to the grain", theta, 0.0, math.pi / 2, "rad")
    return parallel * perpendicular / (parallel * math.sin(theta) ** 2 + perpendicular * math.cos(theta) ** 2)


def dowel_bearing(G: float, D: Metre, theta: Radian = 0.0, rounded: bool = False) -> Pascal:
    """Dowel bearing strength for any diameter and angle: the formula that NDS 2018 12.3.3 and 12.3.4 call
    for.

    G: 0.05 .. 1.4. D: nominal diameter, m. theta: 0 .. pi/2, rad. Pa.

    >>> dowel_bearing(0.5, 0.005) == dowel_bearing_small(0.5)
    True
    """
    if _guard.positive("fastener diameter", D, "m") < QUARTER_INCH:
        return dowel_bearing_small(G, rounded)
    return hankinson(dowel_bearing_parallel(G, rounded), dowel_bearing_perpendicular(G, D, rounded), theta)


def reduction_terms(D: Metre, theta: Radian, root_diameter: Metre | None = None) -> tuple[float, float, float]:
    """Reduction terms R_d for modes I, for mode II, and for modes III and IV; NDS 2018 Table 12.3.1B.

    With d the root diameter of a threaded fastener, else the shank: d >= 1/4 in gives 4, 3.6 and 3.2 times
    K_theta; d < 1/4 in gives K_D (2.2 to 0.17 in, then 10 d + 0.5 with d in inches), times K_theta where the
    nominal diameter is 1/4 in or more (footnote 1). K_theta = 1 + 0.25 theta/90 deg, theta the greatest angle
    of load to grain of any member, 0 .. pi/2 rad. D and root_diameter in m.

    >>> reduction_terms(0.375 * INCH, math.pi / 2)
    (5.0, 4.5, 4.0)
    >>> [round(r, 3) for r in reduction_terms(0.25 * INCH, 0.0, 0.173 * INCH)]
    [2.23, 2.23, 2.23]
    """
    _guard.positive("fastener diameter", D, "m")
    d = _bending_diameter(D, root_diameter)
    K_theta = 1.0 + 0.25 * _guard.within("angle to the grain", theta, 0.0, math.pi / 2, "rad") / (math.pi / 2)
    if d >= QUARTER_INCH:
        return 4.0 * K_theta, 3.6 * K_theta, 3.2 * K_theta
    inches = d / INCH
    K_D = 2.2 if inches <= 0.17 else 10.0 * inches + 0.5
    term = K_D * K_theta if D >= QUARTER_INCH else K_D
    return term, term, term


def lateral(
    D: Metre,
    side_thickness: Metre,
    main_length: Metre,
    Fes: Pascal,
    Fem: Pascal,
    Fyb: Pascal,
    theta: Radian = 0.0,
    root_diameter: Metre | None = None,
) -> Lateral:
    """Reference lateral value Z of one fastener in single shear: the least of the six yield modes.

    Im = D lm Fem / Rd, Is = D ls Fes / Rd, II = k1 D ls Fes / Rd, IIIm = k2 D lm Fem / ((1 + 2 Re) Rd),
    IIIs = k3 D ls Fem / ((2 + Re) Rd), IV = D^2/Rd sqrt(2 Fem Fyb / (3 (1 + Re))), with Re = Fem/Fes, Rt =
    lm/ls; NDS 2018 12.3.1, eq. 12.3-1 to 12.3-6, Table 12.3.1A, reduction terms of Table 12.3.1B.

    D: nominal diameter, m. side_thickness (ls) and main_length (lm): dowel bearing lengths, m. Fes, Fem:
    dowel bearing strength of side and main member, Pa. Fyb: bending yield strength of the fastener, Pa.
    theta: greatest angle of load to grain of any member, 0 .. pi/2 rad. root_diameter: give it when thread
    crosses the shear plane or bears in a member; it then takes the place of D in the equations.

    >>> Fe = 4650 * PSI
    >>> z = lateral(0.19 * INCH, 0.75 * INCH, 1.9 * INCH, Fe, Fe, 80e3 * PSI, 0.0, 0.152 * INCH)
    >>> round(z.Z / 4.4482216, 1), z.mode  # Table 12L, No 10, 3/4 in side member, G 0.50: 107 lbf
    (106.6, 'IIIs')
    """
    d = _bending_diameter(_guard.positive("fastener diameter", D, "m"), root_diameter)
    ls = _guard.positive("bearing length in the side member", side_thickness, "m")
    lm = _guard.positive("bearing length in the main member", main_length, "m")
    _guard.positive("dowel bearing strength of the side member", Fes, "Pa")
    _guard.positive("dowel bearing strength of the main member", Fem, "Pa")
    _guard.positive("bending yield strength of the fastener", Fyb, "Pa")
    R1, R2, R3 = reduction_terms(D, theta, root_diameter)

    Re, Rt = Fem / Fes, lm / ls
    k1 = (math.sqrt(Re + 2 * Re**2 * (1 + Rt + Rt**2) + Rt**2 * Re**3) - Re * (1 + Rt)) / (1 + Re)
    k2 = -1 + math.sqrt(2 * (1 + Re) + 2 * Fyb * (1 + 2 * Re) * d**2 / (3 * Fem * lm**2))
    k3 = -1 + math.sqrt(2 * (1 + Re) / Re + 2 * Fyb * (2 + Re) * d**2 / (3 * Fem * ls**2))
    modes = {
        "Im": d * lm * Fem / R1,
        "Is": d * ls * Fes / R1,
        "II": k1 * d * ls * Fes / R2,
        "IIIm": k2 * d * lm * Fem / ((1 + 2 * Re) * R3),
        "IIIs": k3 * d * ls * Fem / ((2 + Re) * R3),
        "IV": d**2 / R3 * math.sqrt(2 * Fem * Fyb / (3 * (1 + Re))),
    }
    mode = min(modes, key=lambda name: modes[name])
    return Lateral(Z=modes[mode], mode=mode, modes=modes)


def _bending_diameter(D: Metre, root_diameter: Metre | None) -> Metre:
    if root_diameter is None:
        return D
    root = _guard.positive("root diameter", root_diameter, "m")
    if root > D:
        raise ValueError(f"root diameter must not exceed the nominal diameter {D:g} m, got {root:g}")
    return root


def _maybe_rounded(strength_psi: float, rounded: bool) -> Pascal:
    if rounded:
        strength_psi = _STEP * math.floor(strength_psi / _STEP + 0.5)
    return strength_psi * PSI


__all__ = [
    "Lateral",
    "dowel_bearing",
    "dowel_bearing_parallel",
    "dowel_bearing_perpendicular",
    "dowel_bearing_small",
    "hankinson",
    "lateral",
    "reduction_terms",
]
