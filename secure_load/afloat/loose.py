"""Weights that broke loose and went to the low side: where they end up, and so how she lies.

Each is taken to slide across, at its own height and place along the boat, until its side meets the planking.
That it may also drop into the turn of the bilge, which would help her a little, is left out.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import replace

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.known import Known
from secure_load.afloat.masses import Loading, loaded
from secure_load.boat.models import BoatFile


def broken_loose(boat: BoatFile, known: Known, ids: Sequence[str], side: int = 1) -> Loading:
    """She with the weights ``ids`` against the planking of the low side (+1 starboard, -1 port).

    Raises CannotFloat for an id that is in no weight, or a side that is neither.
    """
    if side not in (1, -1):
        raise CannotFloat(f"the low side must be 1 (starboard) or -1 (port), not {side}")
    names = {w.id: w for w in boat.weight}
    for each in ids:
        if each not in names:
            near = difflib.get_close_matches(each, names, 1)
            hint = f"; did you mean '{near[0]}'?" if near else ""
            raise CannotFloat(f"there is no weight '{each}' in this file{hint}", "weight.id")
    gone = set(ids)
    lumps = [
        replace(lump, at=(lump.at[0], _against(known, lump.at, names[lump.id].size_m, side), lump.at[2]))
        if lump.id in gone
        else lump
        for lump in known.lumps
    ]
    return loaded(known.own, lumps)


def _against(known: Known, at: tuple[float, float, float], size: tuple[float, float, float] | None, side: int) -> float:
    """Where its centre stops, m to port. Starboard is y < 0."""
    hull = known.shape.hull
    half = hull.half_breadth_at(at[0], at[2]) if hull is not None else 0.5 * known.shape.bwl
    room = max(half - (0.5 * size[1] if size is not None else 0.0), 0.0)
    stop = -side * room
    # A weight already further out than the sections say the planking is does not move back.
    return min(stop, at[1]) if side > 0 else max(stop, at[1])
