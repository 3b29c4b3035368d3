"""Wood Handbook chapters 4 and 8: specific gravity bases, and average *ultimate* withdrawal of fasteners.

Source: USDA Forest Products Laboratory, Wood Handbook: Wood as an Engineering Material, FPL-GTR-282 (2021).
Averages of tests at failure: for the story of what breaks first, never a working strength (the book divides
by about 5 or 6), never mixed with NDS allowable values.
"""

from __future__ import annotations

from secure_load.strength import _guard
from secure_load.strength.units import INCH, POUND_FORCE, Metre, Newton


def ultimate_nail_withdrawal(G: float, D: Metre, length: Metre) -> Newton:
    """Average load that draws a smooth bright nail from side grain: p = 7850 G^(5/2) D L  [lbf, in].

    Wood Handbook eq. 8-1 (54.12 in N and mm). G: specific gravity, ovendry (0.05 .. 1.4). D, length in the
    main member in m. N.

    >>> round(ultimate_nail_withdrawal(0.5, 0.003, 0.030))
    861
    """
    _guard.specific_gravity(G)
    return 7850.0 * G**2.5 * _inches("nail diameter", D) * _inches("penetration", length) * POUND_FORCE


def ultimate_wood_screw_withdrawal(G: float, D: Metre, length: Metre) -> Newton:
    """Average load that draws a wood screw from side grain: p = 15700 G^2 D L  [lbf, in].

    Wood Handbook eq. 8-10 (108.25 in N and mm). D: shank diameter, length: thread in the main member, m. N.

    >>> round(ultimate_wood_screw_withdrawal(0.5, 0.005, 0.025))
    3383
    """
    _guard.specific_gravity(G)
    return 15700.0 * G**2 * _inches("screw diameter", D) * _inches("thread length", length) * POUND_FORCE


def ultimate_lag_withdrawal(G: float, D: Metre, length: Metre) -> Newton:
    """Average load that draws a lag (coach) screw from side grain: p = 8100 G^(3/2) D^(3/4) L  [lbf, in].

    Wood Handbook eq. 8-14 (125.4 in N and mm). D: shank diameter, length: thread in the main member, m. N.

    >>> round(ultimate_lag_withdrawal(0.5, 0.008, 0.050))
    10543
    """
    _guard.specific_gravity(G)
    return 8100.0 * G**1.5 * _inches("lag diameter", D) ** 0.75 * _inches("thread length", length) * POUND_FORCE


def specific_gravity_at(basic: float, moisture_percent: float) -> float:
    """Specific gravity on the volume at a moisture content, from the basic one (green volume).

    G_M = G_b / (1 - 0.265 a G_b), a = (30 - M)/30 below fibre saturation at M = 30 %; Wood Handbook ch. 4.
    M = 0 gives the ovendry-volume figure that the NDS formulas want. basic 0.05 .. 1.2, moisture 0 .. 30 %
    (at 30 and above the basic figure holds).

    >>> round(specific_gravity_at(0.54, 12.0), 3)
    0.591
    """
    basic = _guard.within("basic specific gravity", basic, 0.05, 1.2)
    moisture = _guard.not_negative("moisture content", moisture_percent, "%")
    a = max(0.0, 30.0 - moisture) / 30.0
    return basic / (1.0 - 0.265 * a * basic)


def _inches(quantity: str, length: Metre) -> float:
    return _guard.positive(quantity, length, "m") / INCH
