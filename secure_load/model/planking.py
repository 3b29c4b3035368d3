"""How steep the planking is where a weight lies: from her sections, else from the deadrise her owner measured."""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import BoatFile, BoatParticulars, FloatData
from secure_load.solver.arrays import Array

Boat = BoatFile | BoatParticulars


def particulars_of(boat: Boat) -> BoatParticulars:
    """Her particulars, with the planking and sole that are said of her structure."""
    if not isinstance(boat, BoatFile):
        return boat
    if boat.structure is None:
        return boat.boat
    said = {"planking": boat.structure.planking, "sole": boat.structure.sole}
    return boat.boat.model_copy(update={key: part for key, part in said.items() if part is not None})


def planking_slope(boat: Boat, x: float, y: float, fore_and_aft: bool = False) -> tuple[float, str] | None:
    """How steeply the planking rises outward from the middle line, or forward, and where that is from.

    x, y: forward and to port, m. Degrees, below nil where it falls; None where nothing tells. Between two sections
    the slope is taken to change evenly; beyond the last, and at the very keel, it is not known.
    """
    lines = boat.float_ if isinstance(boat, BoatFile) else None
    found = None if lines is None else _from_sections(lines, x, abs(y), fore_and_aft)
    if found is not None:
        return found, "from her sections"
    deadrise = particulars_of(boat).deadrise_deg
    if deadrise is None or fore_and_aft:
        return None
    if not isinstance(deadrise, list):
        return float(deadrise), "her deadrise"
    table = np.array(sorted(deadrise))
    return float(np.interp(x, table[:, 0], table[:, 1])), "her deadrise there"


def _from_sections(lines: FloatData, x: float, y: float, fore_and_aft: bool) -> float | None:
    stations = half_sections(lines)
    places = [place for place, _ in stations]
    if len(stations) < 2 or not places[0] <= x <= places[-1]:
        return None
    abaft = min(max(int(np.searchsorted(places, x, side="right")) - 1, 0), len(places) - 2)
    (xa, after), (xb, fore) = stations[abaft : abaft + 2]
    ends = [_at(half, y) for half in (after, fore)]
    if ends[0] is None or ends[1] is None:
        return None
    if fore_and_aft:
        return float(np.degrees(np.arctan2(ends[1][0] - ends[0][0], xb - xa)))
    share = (x - xa) / (xb - xa)
    return (1.0 - share) * ends[0][1] + share * ends[1][1]


def half_sections(lines: FloatData) -> list[tuple[float, Array]]:
    """(place along her, half-section (n, 2) of half-breadth and height from the keel up), from aft."""
    if lines.half_breadths is not None:
        table = lines.half_breadths
        found: list[tuple[float, Array]] = []
        for number, (x, row) in enumerate(zip(table.x_m, table.half_breadth_m, strict=True)):
            wet = [(half, z) for half, z in zip(row, table.z_m, strict=True) if half > 0.0]
            below = [z for half, z in zip(row, table.z_m, strict=True) if half <= 0.0 and (not wet or z < wet[0][1])]
            keel = table.keel_m[number] if table.keel_m is not None else (below[-1] if below else None)
            points = wet if keel is None else [(0.0, keel), *(p for p in wet if p[1] > keel)]
            if len(points) > 1:
                found.append((x, np.array(points)))
        return found
    drawn = [(s.x_m, np.array(s.points_m, dtype=float)) for s in sorted(lines.section, key=lambda s: s.x_m)]
    return [(x, half if half[0, 1] <= half[-1, 1] else half[::-1]) for x, half in drawn]


def _at(half: Array, y: float) -> tuple[float, float] | None:
    """Height and slope, in degrees, of the bottom of a half-section at a half-breadth; None where it has none."""
    for (b0, z0), (b1, z1) in zip(half[:-1].tolist(), half[1:].tolist(), strict=True):
        if b0 <= y <= b1 and b1 > b0:
            return z0 + (y - b0) / (b1 - b0) * (z1 - z0), float(np.degrees(np.arctan2(z1 - z0, b1 - b0)))
    return None
