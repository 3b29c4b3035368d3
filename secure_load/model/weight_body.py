"""A weight of the file as a rigid body: its shape and centre of gravity, and how it lies."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from secure_load.boat.models import Bed, Lie, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.model.assumptions import Assumptions, box_size
from secure_load.model.body import Body, rotation, tapered
from secure_load.model.planking import Boat, planking_slope

UNEQUAL = 0.01
"""Share by which two diameters of one cylinder may differ unasked."""


def body_of(weight: Weight, notes: Assumptions, boat: Boat | None = None) -> Body:
    """The body of a weight; what was not given is written down and asked for."""
    middle = np.array(weight.at_m, dtype=float)
    axes = rotation(_lie(weight, notes, boat))
    body = Body(weight.mass, middle, box_size(weight, notes), axes, shape=weight.shape or "box")
    if weight.kind == "chain" and weight.shape is None:
        notes.ask("shape", 'whether it lies loose in its bin (shape = "loose") or in a closed box or bag ("box")')
    if body.shape == "ingot":
        length, breadth, _ = body.size.tolist()
        if weight.top_size_m is None:
            notes.ask("shape", "how long and broad its top is (top_size_m)")
        body = tapered(body, (length, breadth), weight.top_size_m or (length, breadth))
    elif body.shape in ("cylinder-upright", "cylinder-lying"):
        across = [0, 1] if body.shape == "cylinder-upright" else [1, 2]
        least, most = sorted(body.size[across].tolist())
        if most > (1.0 + UNEQUAL) * least:
            notes.ask("shape", f"how thick it is: {least * 1000:.0f} or {most * 1000:.0f} mm")
        size = body.size.copy()
        size[across] = least
        body = replace(body, size=size)
    centre = body.centre
    if weight.cg_m is not None:
        # of a weight without a size, no further out than what is taken for it
        centre = np.clip(np.array(weight.cg_m, dtype=float), -body.half, body.half)
    return replace(body, centre=centre, at=middle + axes @ centre)


def _lie(weight: Weight, notes: Assumptions, boat: Boat | None) -> Lie | None:
    """How it lies: as written, or as the planking does that it lies flat on."""
    if weight.slope_deg is not None or boat is None:
        return weight.slope_deg
    flat = [r for r in weight.restraint if isinstance(r, Bed) and r.edge is None and r.face == "bottom"]
    if not any(bed.on == "planking" and not bed.slope_deg for bed in flat):
        return None
    x, y, _ = weight.at_m
    if abs(y) < 0.25 * (weight.size_m[1] if weight.size_m else 0.0) + 1e-9:
        notes.ask("slope", "which of its edges rest on the planking, for it lies across the keel (edge, slope_deg)")
        return None
    found = planking_slope(boat, x, y)
    if found is None:
        row = assumed("planking-slope-most")
        notes.ask("slope", "how steep the planking is there (slope_deg, or deadrise_deg of the boat)")
        found = row.number, f"not known: the worst of {assumed('planking-slope-least').number:g} to {row.number:g}"
    notes.lines.append(f"slope: it lies on planking that rises {found[0]:.0f} degrees outward, {found[1]}")
    return Lie(athwartships=float(np.clip(np.copysign(1.0, y) * found[0], -90.0, 90.0)))
