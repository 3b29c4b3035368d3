"""Yardsticks of the books on stability, one function each: closed forms and rules that the program itself does not use.

Angles in radians, lengths in metres.
"""

from __future__ import annotations

import math

import numpy as np

from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.hull.levers import RightingCurve, area_under


def lever_wall_sided(gm: float, bm: float, heel: float) -> float:
    """sin(heel) (GM + BM/2 tan^2(heel)), m: until the deck edge goes under or the bilge comes out."""
    return math.sin(heel) * (gm + 0.5 * bm * math.tan(heel) ** 2)


def loll_wall_sided(gm: float, bm: float) -> float:
    """Angle at which a wall-sided hull of negative GM lies: tan = sqrt(-2 GM / BM), rad."""
    return math.atan(math.sqrt(-2.0 * gm / bm))


def box_bm(breadth: float, draught: float) -> float:
    """BM of a box: B^2 / (12 T), m."""
    return breadth**2 / (12.0 * draught)


def simpson_weights(x: Array) -> Array:
    """Weights of Simpson's first rule at an odd number of equally spaced stations ``x`` [S], m. [S], m."""
    assert len(x) % 2 == 1
    assert np.allclose(np.diff(x), x[1] - x[0])
    inside = np.tile([4.0, 2.0], len(x) // 2)[:-1]
    return np.concatenate([[1.0], inside, [1.0]]) * (x[1] - x[0]) / 3.0


def righting_energy(curve: RightingCurve, start: float, end: float, g: float) -> float:
    """Work of heeling her slowly from one heel to another, J: m g times the integral of lever cos(trim)."""
    along = curve.lever / np.sqrt(1.0 + curve.tan_trim**2)
    return curve.mass * g * area_under(curve.heel, along, start, end)
