"""Whether she floats on her painted marks: how far the water stands over them, her freeboards, and what would mend it.

The painted waterline is taken as the designed one, height 0 of the boat file. With the mass M and centre (x, y) she has
and the mass M0 and centre of buoyancy x0 that the designed waterline asks for, one weight brings her there:

    m = M0 - M        m x_m = M0 x0 - M x        m y_m = - M y

which is the balance of mass and moments; a negative m is taken out.
"""

from __future__ import annotations

import math

import numpy as np

from secure_load.afloat.hull.hull_form import Shape
from secure_load.afloat.hull.hydrostatics import hydrostatics_at
from secure_load.afloat.hull.section_arrays import Hull
from secure_load.afloat.masses import Loading
from secure_load.afloat.models import OnMarks

NEAR = 0.01
"""Share of her mass below which a missing weight is no more than the reading of a mark."""


def on_marks(shape: Shape, loading: Loading, fore: float, aft: float, lists: float | None) -> OnMarks:
    """How she lies to her marks; draughts fore and aft at the ends of her waterline, m, and list, rad."""
    level = np.array([fore, aft, 0.5 * (fore + aft), 0.5 * (fore + aft)]) - shape.draught
    # The water stands higher on the side she lists to: starboard is positive.
    level[2:] += np.array([-0.5, 0.5]) * shape.bwl * math.tan(lists or 0.0)
    places = (shape.aft + shape.lwl, shape.aft, shape.aft + 0.5 * shape.lwl)
    sheer = [math.nan] * 4
    if shape.hull is not None:
        ends = [sheer_height(shape.hull, x) for x in places]
        sheer = [ends[0], ends[1], ends[2], ends[2]]
    over = [round(1000.0 * float(v), 1) + 0.0 for v in level]
    board = [None if math.isnan(s) else round(s - float(v), 4) for s, v in zip(sheer, level, strict=True)]
    mass, x, y = _to_marks(shape, loading)
    return OnMarks(
        stem_mm=over[0],
        stern_mm=over[1],
        port_mm=over[2],
        starboard_mm=over[3],
        freeboard_stem_m=board[0],
        freeboard_stern_m=board[1],
        freeboard_port_m=board[2],
        freeboard_starboard_m=board[3],
        lacking_kg=round(mass, 2),
        lacking_x_m=None if x is None else round(x, 3),
        lacking_y_m=None if y is None else round(y, 3) + 0.0,
        words=_words(shape, loading, mass, x, y),
    )


def sheer_height(hull: Hull, x: float) -> float:
    """Height of the deck edge at ``x`` above the designed waterline, m; NaN outside her.

    It is the corner of each section furthest out and up, breadth counting twice as much as height, so that a cabin
    side further in is not taken for it.
    """
    if not hull.x[0] <= x <= hull.x[-1]:
        return math.nan
    edge = np.argmax(2.0 * hull.y + hull.z, axis=1)
    return float(np.interp(x, hull.x, np.take_along_axis(hull.z, edge[:, None], axis=1)[:, 0]))


def _to_marks(shape: Shape, loading: Loading) -> tuple[float, float | None, float | None]:
    """Mass in kg to be brought aboard, and where; no place where the mass is next to nothing."""
    if shape.hull is not None:
        asked = hydrostatics_at(shape.hull, 0.0, 0.0, shape.density)
        mass, centre = asked.mass, asked.x_b
    else:
        assert shape.particulars is not None
        mass, centre = shape.particulars.displacement, shape.aft + 0.5 * shape.lwl
    lacking = mass - loading.mass
    if abs(lacking) < NEAR * mass:
        return lacking, None, None
    x = (mass * centre - loading.mass * loading.centre[0]) / lacking
    return lacking, x, -loading.mass * loading.centre[1] / lacking


def _words(shape: Shape, loading: Loading, mass: float, x: float | None, y: float | None) -> str:
    if x is None or y is None:
        return "She has the weight of her marks: what is off is trim and list, which shifting weights mends."
    do = f"{abs(mass):.0f} kg {'brought aboard' if mass > 0 else 'taken out'}"
    if not shape.aft - 0.1 * shape.lwl <= x <= shape.aft + 1.1 * shape.lwl or abs(y) > 0.5 * shape.bwl:
        return f"Her marks ask for {do} and for weights shifted as well: no one place in her does it."
    side = "on the middle line" if abs(y) < 0.01 else f"{abs(y):.2f} m to {'port' if y > 0 else 'starboard'}"
    return f"Her marks ask for {do}, {x:.2f} m forward of the after end of the waterline, {side}."
