"""What was said of her structure, as lines in her section and seen from above: keel, floors and bulkheads."""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import BoatFile
from secure_load.record.drawings.drawing_model import Shape, area, stroke
from secure_load.record.drawings.outline import turned
from secure_load.solver.arrays import Array

MM = 1e-3
NEAR = 0.5
"""Of the floors' spacing, or m where they are not evenly spaced: how far off a section a floor is drawn in it."""


def in_section(boat: BoatFile, outline: Array, x: float, heel_deg: float) -> list[Shape]:
    """The keel, and the top of the nearest floor, in a section's outline (n, 2) at x, turned to a heel."""
    structure = boat.structure
    if structure is None:
        return []
    bottom = float(outline[:, 1].min())
    keel, floors = structure.keel, structure.floors
    top = bottom
    shapes: list[Shape] = []
    if keel is not None and keel.top_m:
        places = np.array(sorted(keel.top_m))
        top = float(np.interp(x, places[:, 0], places[:, 1]))
    if keel is not None and keel.width_mm is not None and top > bottom:
        half = 0.5 * keel.width_mm * MM
        corners = np.array([[half, bottom], [half, top], [-half, top], [-half, bottom]])
        shapes.append(area(turned(corners, heel_deg), "hull"))
    if floors is not None and floors.moulded_mm is not None:
        stations = np.array(floors.stations(boat.boat.lwl_m))
        near = NEAR * (floors.spacing_mm or 1.0 / MM) * MM
        if len(stations) and float(np.abs(stations - x).min()) <= near:
            level = top + floors.moulded_mm * MM
            half = _half_breadth(outline, level)
            shapes.append(stroke(turned(np.array([[half, level], [-half, level]]), heel_deg), "hull"))
    return shapes


def from_above(boat: BoatFile, half: float) -> list[Shape]:
    """The keel's sides, and each floor and bulkhead across her; half: how far they are drawn to either side, m."""
    structure = boat.structure
    if structure is None:
        return []
    shapes: list[Shape] = []
    if structure.floors is not None:
        sided = (structure.floors.sided_mm or 0.0) * MM
        for x in structure.floors.stations(boat.boat.lwl_m):
            ends = [
                (x - 0.5 * sided, -half),
                (x + 0.5 * sided, -half),
                (x + 0.5 * sided, half),
                (x - 0.5 * sided, half),
            ]
            shapes.append(area(ends, "axis"))
    if structure.keel is not None and structure.keel.width_mm is not None and structure.keel.top_m:
        ends = [min(x for x, _ in structure.keel.top_m), max(x for x, _ in structure.keel.top_m)]
        for side in (-0.5, 0.5):
            y = side * structure.keel.width_mm * MM
            shapes.append(stroke([(ends[0], y), (ends[1], y)], "axis"))
    shapes.extend(stroke([(b.at_m, -2.0 * half), (b.at_m, 2.0 * half)], "axis") for b in structure.bulkheads)
    return shapes


def _half_breadth(outline: Array, height: float) -> float:
    """The lower half-breadth of a closed outline (n, 2) at a height, m; nil where it does not reach so far."""
    found: list[float] = []
    for (y0, z0), (y1, z1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if min(z0, z1) <= height <= max(z0, z1) and z0 != z1:
            found.append(abs(float(y0 + (height - z0) / (z1 - z0) * (y1 - y0))))
    return max(found, default=0.0)
