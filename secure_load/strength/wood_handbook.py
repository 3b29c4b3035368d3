"""Wood Handbook chapter 8: average *ultimate* withdrawal of fasteners.

Source: USDA Forest Products Laboratory, Wood Handbook: Wood as an Engineering Material, FPL-GTR-282 (2021).
Averages of tests at failure: for the story of what breaks first, never a working strength (the book divides
by about 5 or 6), never mixed with NDS allowable values.
"""

from __future__ import annotations

from secure_load.strength import _guard
from secure_load.strength.units import INCH, POUND_FORCE, Metre, Newton


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


def _inches(quantity: str, length: Metre) -> float:
    return _guard.positive(quantity, length, "m") / INCH
