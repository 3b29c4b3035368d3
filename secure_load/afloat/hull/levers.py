"""The righting curve: levers over the heel, where she rests, where she no longer comes back, the work between.

Her heel is turned about her own fore-and-aft axis and her trim is free at every angle. The lever is the level
distance between the verticals through both centres. The work done on her in heeling slowly from one angle to
another is mass g times the integral of lever times cos(trim); the area under the plain curve, as books print it and
``area_under`` gives it, leaves that cosine out.

How fast it settles, as the tests measure it: with the square of the number of points on a section; with the
fourth power of the number of stations where the areas run smoothly, and at least with its square at heels where
sections come out of the water half way along. With 41 stations the lever of a smooth 7 m hull is right to 0.2 mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from secure_load.afloat.hull.arrays import Array, Mask
from secure_load.afloat.hull.attitude import Attitude, Load, float_at
from secure_load.afloat.hull.hull import Hull

LoadAt = Callable[[Array], Load]
"""What she carries at heels [H], rad: tanks move with the heel."""

RIGHTING_STEP = math.radians(1.0)
_ALMOST = 1e-9
NO_LIST = 1e-5
"""Heel, rad, below which she is upright: less than the rounding of the balance may make of a symmetrical boat, so
that the sign of a rounding never picks the side of her curve."""


@dataclass(frozen=True, eq=False)
class RightingCurve:
    """Levers to one side, as plain arrays for a table or a drawing."""

    side: int
    """+1 to starboard, -1 to port."""
    heel: Array
    """[H] rad, from 0 up, towards that side."""
    lever: Array
    """[H] m, positive where she would come back."""
    tan_trim: Array
    """[H] by the bow positive."""
    level: Array
    """[H] height of the water over the origin in the turned boat, m."""
    mass: float
    """kg."""
    solved: Mask
    """[H] bool."""


def righting_curve(
    hull: Hull, load_at: LoadAt, density: float, side: int = 1, heel: Array | None = None
) -> RightingCurve:
    """Levers at ``heel`` [H] (rad, towards ``side``; every degree from 0 to 180 unless given)."""
    angles = np.arange(181) * RIGHTING_STEP if heel is None else np.asarray(heel, dtype=float)
    load = load_at(side * angles)
    lies = float_at(hull, side * angles, load, density)
    return RightingCurve(side, angles, side * lies.lever, lies.tan_trim, lies.level, load.mass, lies.solved)


def lever_at(curve: RightingCurve, heel: float) -> float:
    """Lever at a heel between the curve's own angles, straight between them, m."""
    return float(np.interp(heel, curve.heel, curve.lever))


def resting_heel(hull: Hull, load_at: LoadAt, density: float) -> float:
    """Heel at which she comes to rest nearest to upright, rad, starboard down positive.

    A centre of gravity off the middle line lists her; one that is too high lets her loll to either side, and
    the side of the least heel is given (starboard of two alike). She rests where the lever rises through nil.
    """
    # Angles that leave out upright itself, where the lever of a boat without list is nil, stable or not.
    coarse = np.radians(np.arange(-177.5, 180.0, 5.0))
    bracket = _rising(hull, load_at, density, coarse)
    if bracket is None:
        return math.pi
    bracket = _rising(hull, load_at, density, np.linspace(bracket[0], bracket[1], 50)) or bracket
    rest = _root(hull, load_at, density, *bracket)
    return 0.0 if abs(rest) < NO_LIST else rest


def _rising(hull: Hull, load_at: LoadAt, density: float, heel: Array) -> tuple[float, float] | None:
    """The two of ``heel`` between which the lever rises through nil, nearest to upright."""
    lever = float_at(hull, heel, load_at(heel), density).lever
    found = np.flatnonzero((lever[:-1] < 0) & (lever[1:] >= 0))
    if not len(found):
        return None
    best = min(found.tolist(), key=lambda i: (round(abs(heel[i] + heel[i + 1]), 9), -heel[i]))
    return float(heel[best]), float(heel[best + 1])


def _root(hull: Hull, load_at: LoadAt, density: float, low: float, high: float) -> float:
    """Heel between ``low`` and ``high`` where the lever changes sign, rad, to about 1e-9: each pass cuts the
    interval into 16 at once. Where it does not change sign, the heel at which it is nearest to nil."""
    for _ in range(6):
        heel = np.linspace(low, high, 17)
        lever = float_at(hull, heel, load_at(heel), density).lever
        turns = np.flatnonzero((lever[:-1] < 0) != (lever[1:] < 0))
        if not len(turns):
            return float(heel[np.argmin(np.abs(lever))])
        at = int(turns[0])
        a, b = float(lever[at]), float(lever[at + 1])
        low, high = float(heel[at]), float(heel[at + 1])
        if high - low < 2e-5:
            return low - a * (high - low) / (b - a)
    return 0.5 * (low + high)


def vanishing_angle(hull: Hull, load_at: LoadAt, density: float, curve: RightingCurve, rest: float) -> float | None:
    """Angle of vanishing stability towards the curve's side, rad; pi where she comes back from anywhere.

    It is the first heel past where she rests at which the lever falls through nil. None where she does not come
    back from that side at all. ``rest`` is towards the curve's side (negative where she rests on the other).
    """
    beyond = curve.heel > max(rest, 0.0) + math.radians(0.05)
    heel, lever = curve.heel[beyond], curve.lever[beyond]
    above = np.flatnonzero(lever > 0)
    if not len(above):
        return None
    first = int(above[0])
    falls = np.flatnonzero(lever[first:] <= _ALMOST * hull.breadth)
    if not len(falls) or heel[first + int(falls[0])] >= math.pi - 1e-9:
        return math.pi
    at = first + int(falls[0])
    ends = sorted((curve.side * float(heel[at - 1]), curve.side * float(heel[at])))
    return curve.side * _root(hull, load_at, density, ends[0], ends[1])


def comes_back_from(curve: RightingCurve, rest: float, heel: float) -> bool:
    """Whether she comes back by herself from a heel (rad, up to pi) towards the curve's side to where she rests.

    ``rest`` is towards the curve's side. At pi itself every lever is nil: there the heels short of it count.
    """
    between = (curve.heel > max(rest, 0.0) + math.radians(0.05)) & (curve.heel <= min(heel, math.pi - 1e-6) + 1e-9)
    return heel > rest and bool(np.all(curve.lever[between] > 0))


def area_under(heel: Array, lever: Array, start: float, end: float) -> float:
    """Area under a lever curve between two heels, m rad, by the trapezium on the curve's angles and the ends.

    heel [H] ascending, rad; lever [H], m.
    """
    if end <= start:
        return 0.0
    inside = (heel > start) & (heel < end)
    angles = np.concatenate([[start], heel[inside], [end]])
    height = np.interp(angles, heel, lever)
    return float(np.sum(0.5 * (height[1:] + height[:-1]) * np.diff(angles)))


def lies_at(hull: Hull, load_at: LoadAt, density: float, heel: float) -> Attitude:
    """How she lies at one heel, rad."""
    angle = np.array([heel])
    return float_at(hull, angle, load_at(angle), density)


def floods_at(curve: RightingCurve, at: Array) -> float | None:
    """Heel towards the curve's side at which a place [3] in the boat first goes under, rad; None if never.

    The place is taken where it is; one that lies to the far side goes under later, if at all.
    """
    c, s = np.cos(curve.side * curve.heel), np.sin(curve.side * curve.heel)
    under = curve.level + curve.tan_trim * at[0] - (at[1] * s + at[2] * c)
    wet = np.flatnonzero(under >= 0)
    if not len(wet):
        return None
    first = int(wet[0])
    if first == 0:
        return float(curve.heel[0])
    a, b = float(under[first - 1]), float(under[first])
    low, high = float(curve.heel[first - 1]), float(curve.heel[first])
    return low - a * (high - low) / (b - a)
