"""Weights that broke loose: the place in the section where each lies at every heel, and so how she lies.

At a heel h towards the low side a place (b, z) of the section, b its distance from the middle line, lies at the depth
b sin(h) - z cos(h). A loose weight is thrown to the side of a boat on her beam ends and slides, friction left out, to
where that depth is greatest: down the planking into the turn of the bilge as she comes up again, along the topside and
the deckhead as she goes on over. A hollow on the way keeps it. Its thickness lifts it straight up, which leaves the
righting lever alone, so its middle is taken at the planking.

Below ``loose-stays-below`` (catalogue) it stays where it lay at that heel, because frames, berth fronts and lockers
keep it from the middle line. It does not go into a keel that is narrower than itself.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.hull.section_arrays import Hull
from secure_load.afloat.masses import Loading, Lump, Shifting, loaded
from secure_load.afloat.vessel_data import Known
from secure_load.boat.models import BoatFile
from secure_load.boat.weights import Weight
from secure_load.catalogue.assumed import assumed
from secure_load.model.assumptions import Assumptions, box_size

Places: TypeAlias = NDArray[np.intp]
"""Indices of places."""
HEIGHTS = 80
"""Heights at which a section between two stations is looked at, beside its corners."""
LEVEL = 1e-9
"""Difference of depth, m, under which two places are alike."""


@dataclass(frozen=True, eq=False)
class InnerSide:
    """The side of one section from keel to deck, as a loose weight can slide along it."""

    half_breadth: Array
    """[P] m."""
    height: Array
    """[P] m above the designed waterline, ascending."""
    widest: int
    """Where it is widest: there the weight lies when she is on her beam ends."""

    def lowest_places(self, heel: Array) -> Places:
        """[H] index of the place where the weight lies at heels [H] towards its side, rad, 0 .. pi."""
        b, z = self.half_breadth, self.height
        depth = b * np.sin(heel)[:, None] - z * np.cos(heel)[:, None]
        outward = np.diff(depth, axis=1)
        stays = np.concatenate([np.ones((len(heel), 1), dtype=bool), outward >= -LEVEL], axis=1)[:, : self.widest + 1]
        down: Places = self.widest - np.argmax(stays[:, ::-1], axis=1)
        ends = np.concatenate([outward <= LEVEL, np.ones((len(heel), 1), dtype=bool)], axis=1)[:, self.widest :]
        up: Places = self.widest + np.argmax(ends, axis=1)
        return np.where(heel <= 0.5 * math.pi, down, up)


def broken_loose(boat: BoatFile, known: Known, ids: Sequence[str], side: int = 1) -> Loading:
    """She with the weights ``ids`` gone to the low side (+1 starboard, -1 port).

    Without sections a weight lies against the side of her breadth on the waterline, at its own height.

    Raises CannotFloat for an id that is in no weight, or a side that is neither.
    """
    if side not in (1, -1):
        raise CannotFloat(f"the low side must be 1 (starboard) or -1 (port), not {side}")
    weights = {w.id: w for w in boat.weight}
    for each in ids:
        if each not in weights:
            near = difflib.get_close_matches(each, weights, 1)
            hint = f"; did you mean '{near[0]}'?" if near else ""
            raise CannotFloat(f"there is no weight '{each}' in this file{hint}", "weight.id")
    lumps: list[Lump] = []
    shifting: list[Shifting] = []
    for lump in known.lumps:
        if lump.id not in ids:
            lumps.append(lump)
            continue
        moves = _shifting(known.shape.hull, lump, weights[lump.id], side)
        if moves is None:
            lumps.append(replace(lump, at=(lump.at[0], _level_across(known, lump, weights[lump.id], side), lump.at[2])))
            continue
        shifting.append(moves)
        lumps.append(replace(lump, at=(lump.at[0], *moves.upright)))
    return loaded(known.own, lumps, tuple(shifting))


def _shifting(hull: Hull | None, lump: Lump, weight: Weight, side: int) -> Shifting | None:
    """How a loose weight slides; None where the section it stands in is not known, or has no room for it."""
    within = None if hull is None else inner_side(hull, lump.at[0], 0.5 * float(box_size(weight, Assumptions())[1]))
    if within is None or lump.at[2] > float(within.height[-1]):  # on deck: it is not inside her
        return None
    stays_below = math.radians(assumed("loose-stays-below").number)

    def places(heel: Array) -> tuple[Array, Array]:
        at = within.lowest_places(np.clip(side * heel, stays_below, math.pi))
        return -side * within.half_breadth[at], within.height[at]

    y, z = places(np.zeros(1))
    return Shifting(lump.mass, (float(y[0]), float(z[0])), places)


def inner_side(hull: Hull, x: float, room: float) -> InnerSide | None:
    """Her side at ``x``, m, down to where its half-breadth is less than ``room``, m; None where it is so all over."""
    aft = hull.station_abaft(x)
    corners = hull.z[aft : aft + 2].ravel()
    z = np.unique(np.concatenate([corners, np.linspace(float(np.min(corners)), float(np.max(corners)), HEIGHTS)]))
    b = hull.half_breadths_at(x, z)
    there = np.flatnonzero(b > 0.0)
    if not len(there) or float(np.max(b)) < room:
        return None
    b, z = b[there[0] : there[-1] + 2], z[there[0] : there[-1] + 2]
    # Where the side stands plumb the upper end takes most from her righting on her beam ends.
    widest = int(np.flatnonzero(b >= np.max(b) - LEVEL)[-1])
    narrow = np.flatnonzero(b[:widest] < room)
    first = int(narrow[-1]) + 1 if len(narrow) else 0
    return InnerSide(b[first:], z[first:], widest - first)


def _level_across(known: Known, lump: Lump, weight: Weight, side: int) -> float:
    """How far to port its centre stops, sliding level, m. Starboard is y < 0."""
    hull = known.shape.hull
    half = 0.5 * known.shape.bwl
    if hull is not None:
        inside = inner_side(hull, lump.at[0], 0.0)
        half = 0.0 if inside is None else float(np.max(inside.half_breadth))
    room = max(half - (0.5 * weight.size_m[1] if weight.size_m is not None else 0.0), 0.0)
    stop = -side * room
    # A weight already further out than her side is known to be does not move back.
    return min(stop, lump.at[1]) if side > 0 else max(stop, lump.at[1])
