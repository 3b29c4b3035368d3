"""The boat's own outline for her pictures: her section at a place, her waterline from above, the water as she heels.

Between two sections of the file the half-breadths are taken straight from one to the other: at the same height
below the designed waterline, at the same share of the height of the deck above it. Where the file has no sections
an outline is drawn from her length and breadth, and the picture says that it is not her own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.clip import cut, turn
from secure_load.afloat.hull.hull import Hull, hull_of
from secure_load.boat.models import BoatFile
from secure_load.solver.arrays import Array

USUAL_DEPTH = 0.22
"""Depth of the drawn body over its breadth, where nothing is known: a drawing's convention, used for no figure."""
USUAL_SIDES = 0.28
"""Height of the drawn topsides over the breadth; the same."""
USUAL_CAMBER = 0.03
"""Camber of the drawn deck over the breadth; the same."""
LEVEL_HALVINGS = 24
"""To a ten-millionth of her depth."""


@dataclass(frozen=True)
class Outline:
    """A closed section, (n, 2) of (y to port, z up) in m, and what is to be said of it."""

    points: Array
    note: str | None


def stations(boat: BoatFile) -> list[tuple[float, Array]]:
    """(x, half-section (n, 2) of half-breadth and height), from aft to forward; none where the file has none."""
    known = boat.float_
    if known is None:
        return []
    if known.section:
        return sorted(((s.x_m, np.array(s.points_m, dtype=float)) for s in known.section), key=lambda each: each[0])
    hull = hull_for(boat)
    if hull is None:
        return []
    found: list[tuple[float, Array]] = []
    for x, y, z in zip(hull.x, hull.y, hull.z, strict=True):
        half = np.column_stack([y, z])[y >= 0.0]
        found.append((float(x), half))
    return found


def hull_for(boat: BoatFile) -> Hull | None:
    """Her hull as the afloat room has it; None where there is none to be had."""
    try:
        return hull_of(boat.float_)
    except CannotFloat:
        return None


def section_at(boat: BoatFile, x: float, lowest: float = 0.0, widest: float = 0.0) -> Outline:
    """Her section at x. ``lowest``, ``widest``: of what must find room in an outline that is not her own, m."""
    known = stations(boat)
    if not known:
        return _usual_section(boat, x, lowest, widest)
    places = [each[0] for each in known]
    nearest = int(np.argmin(np.abs(np.array(places) - x)))
    if abs(places[nearest] - x) < 1e-3:
        return Outline(_both_sides(known[nearest][1]), None)
    if x < places[0] or x > places[-1]:
        end = "aftermost" if x < places[0] else "foremost"
        return Outline(
            _both_sides(known[nearest][1]),
            f"It lies beyond her {end} section, which is drawn in its place ({places[nearest]:.2f} m).",
        )
    after = int(np.searchsorted(places, x))
    (xa, a), (xb, b) = known[after - 1], known[after]
    share = (x - xa) / (xb - xa)
    note = f"Her section here is drawn straight between those at {xa:.2f} m and {xb:.2f} m."
    return Outline(_both_sides(_between(a, b, share)), note)


def reach(half: Array, height: float) -> float:
    """Half-breadth of a half-section (n, 2) at a height; the outermost of several, 0 outside it."""
    y, z = half[:, 0], half[:, 1]
    y1, y2, z1, z2 = y[:-1], y[1:], z[:-1], z[1:]
    met = (np.minimum(z1, z2) <= height) & (np.maximum(z1, z2) >= height)
    if not met.any():
        return 0.0
    rise = np.where(z1 == z2, 1.0, z2 - z1)
    at = np.where(z1 == z2, np.maximum(y1, y2), y1 + np.clip((height - z1) / rise, 0.0, 1.0) * (y2 - y1))
    return float(at[met].max())


def _between(a: Array, b: Array, share: float) -> Array:
    """A half-section between two, keel first; ``share`` of the way from a to b."""
    tops = float(a[:, 1].max()), float(b[:, 1].max())
    top = (1.0 - share) * tops[0] + share * tops[1]

    def own(height: float, which: float) -> float:
        # above the waterline the sheer rises and falls: the same share of each section's own height
        return height * which / top if height > 0.0 and top > 0.0 and which > 0.0 else height

    below = [z for half in (a, b) for z in half[:, 1] if z <= 0.0]
    above = [z * top / t for half, t in ((a, tops[0]), (b, tops[1])) for z in half[:, 1] if z > 0.0 and t > 0.0]
    heights = sorted({round(float(z), 6) for z in [*below, *above, 0.0]})
    points: list[tuple[float, float]] = []
    for z in heights:
        here = (1.0 - share) * reach(a, own(z, tops[0])) + share * reach(b, own(z, tops[1]))
        points.append((here, z))
    while len(points) > 2 and points[0][0] <= 0.0 and points[1][0] <= 0.0:
        points.pop(0)
    return np.array([(0.0, points[0][1]), *points, (0.0, points[-1][1])])


def _both_sides(half: Array) -> Array:
    """A closed section (n, 2) from its port half."""
    mirrored = half[::-1] * np.array([-1.0, 1.0])
    whole = np.concatenate([half, mirrored])
    moved = np.any(np.abs(np.diff(whole, axis=0, prepend=whole[-1:])) > 1e-9, axis=1)
    return whole[moved] if moved.sum() > 2 else whole


def _usual_breadth(boat: BoatFile, widest: float) -> tuple[float, str]:
    own = boat.boat
    if own.bwl_m is not None:
        return own.bwl_m, "her breadth"
    if own.lwl_m is not None:
        return max(own.lwl_m / 3.0, 2.4 * widest), "a third of her length for her breadth"
    return max(2.4 * widest, 1.0), "the weights that must find room in her"


def _usual_section(boat: BoatFile, x: float, lowest: float, widest: float) -> Outline:
    breadth, from_what = _usual_breadth(boat, widest)
    length = boat.boat.lwl_m
    half = 0.5 * breadth * (usual_fullness(x / length) if length else 1.0)
    half = max(half, 1.1 * widest, 0.1 * breadth)
    depth = max(USUAL_DEPTH * breadth, -1.1 * lowest)
    turns = np.linspace(-0.5 * np.pi, 0.0, 13)
    # a superellipse of power 2.4: a firm but not a hard bilge
    body = np.column_stack([half * np.cos(turns) ** (2 / 2.4), depth * -(np.abs(np.sin(turns)) ** (2 / 2.4))])
    body[0, 0] = 0.0
    side = USUAL_SIDES * breadth
    top = np.array([[half * 1.06, side], [0.0, side + USUAL_CAMBER * breadth]])
    note = f"The file has no sections: an outline is drawn from {from_what} and a usual midsection. It is not her own."
    return Outline(_both_sides(np.concatenate([body, top])), note)


def usual_fullness(share: float) -> float:
    """Breadth of a usual waterline over its greatest, at a share of its length from aft: for drawing only."""
    forward = max(0.0, min(1.0, share))
    off = (forward - 0.48) / (0.52 if forward > 0.48 else 0.80)
    return max(0.0, 1.0 - abs(off) ** 2.2)


def waterline_outline(boat: BoatFile) -> Outline | None:
    """Her waterline from above, closed, (n, 2) of (x, y) in m; None where not even her length is known."""
    known = stations(boat)
    sides = [(x, reach(half, 0.0)) for x, half in known]
    wet = [i for i, (_, b) in enumerate(sides) if b > 1e-6]
    if len(wet) >= 2:
        # the sections next to the first and last wet ones are where she ends in the water
        sides = sides[max(wet[0] - 1, 0) if known[wet[0]][1][:, 1].min() < -1e-6 else wet[0] : wet[-1] + 2]
        points = [*sides, *[(x, -b) for x, b in reversed(sides)]]
        return Outline(np.array(points), None)
    length = boat.boat.lwl_m
    if length is None:
        return None
    widest = max((abs(w.at_m[1]) + 0.5 * (w.size_m[1] if w.size_m else 0.2) for w in boat.weight), default=0.0)
    breadth, from_what = _usual_breadth(boat, widest)
    x = np.linspace(0.0, length, 41)
    half = np.array([0.5 * breadth * usual_fullness(float(each) / length) for each in x])
    points = np.concatenate([np.column_stack([x, half]), np.column_stack([x, -half])[::-1]])
    return Outline(
        points, f"The file has no sections: her waterline is drawn from her length and {from_what}. It is not her own."
    )


def turned(points: Array, heel_deg: float) -> Array:
    """Points (n, 2) of (y, z) as they lie at a heel, (n, 2) of (to the right, up), seen from aft: port on the left.

    The port side comes up as she lies down on her starboard side:

    >>> (turned(np.array([[1.0, 0.0]]), 90.0).round(6) + 0.0).tolist()
    [[0.0, 1.0]]
    """
    heel = np.radians(heel_deg)
    c, s = np.cos(heel), np.sin(heel)
    y, z = points[:, 0], points[:, 1]
    return np.column_stack([s * z - c * y, s * y + c * z]) + 0.0


def water_level(boat: BoatFile, heel_deg: float) -> float | None:
    """Height of the water over the designed waterline's middle as she lies at a heel, m; None where she has no hull.

    She displaces what she does at her designed waterline; her trim is left as it is. Straight halving, for a
    picture need not be closer.
    """
    hull = hull_for(boat)
    if hull is None:
        return None
    return _level(hull, heel_deg)


def _level(hull: Hull, heel_deg: float) -> float:
    def volume(at: float, heel: float) -> float:
        lies = turn(hull, np.array([np.radians(heel)]))
        return float(cut(lies, np.full((1, len(hull.x)), at)).area[0] @ hull.weights)

    if abs(heel_deg) < 1e-9:
        return 0.0
    wanted = volume(0.0, 0.0)
    span = float(np.hypot(hull.y, hull.z).max())
    low, high = -span, span
    lies = turn(hull, np.array([np.radians(heel_deg)]))
    for _ in range(LEVEL_HALVINGS):
        middle = 0.5 * (low + high)
        here = float(cut(lies, np.full((1, len(hull.x)), middle)).area[0] @ hull.weights)
        low, high = (middle, high) if here < wanted else (low, middle)
    return 0.5 * (low + high)
