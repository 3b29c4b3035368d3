"""Four freeboards read with a tape: how much deeper she lies than her marks, her trim and her list.

A freeboard down to the water taken from one down to the painted waterline is the height of the water over the line
there. The mean of stem and stern is how much deeper she floats, their difference her trim, and

    tan(list) = (starboard - port) / breadth
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.hull import hull_of
from secure_load.afloat.hull.hull_form import designed_waterline
from secure_load.afloat.hull.section_arrays import Hull
from secure_load.afloat.marks import sheer_height
from secure_load.boat.floating import Freeboards, Marks
from secure_load.boat.models import BoatFile


@dataclass(frozen=True)
class OverMarks:
    """Height of the water over the painted waterline at four places, m."""

    stem: float
    stern: float
    port: float
    starboard: float

    @property
    def deeper(self) -> float:
        """m."""
        return 0.5 * (self.stem + self.stern)

    def tan_list(self, breadth: float) -> float:
        """Starboard down positive."""
        return (self.starboard - self.port) / breadth


def over_marks(read: Freeboards, marked: tuple[float, float, float, float]) -> OverMarks:
    """The water over her marks, from freeboards read and those down to the painted line, m."""
    stem, stern, port, starboard = marked
    return OverMarks(stem - read.stem_m, stern - read.stern_m, port - read.port_m, starboard - read.starboard_m)


def freeboards_of(boat: BoatFile) -> OverMarks | None:
    """What the freeboards of the file say; None where it has none.

    Raises CannotFloat where nothing says how high the deck edge stands over the painted waterline.
    """
    data = boat.float_
    if data is None or data.freeboards is None:
        return None
    if data.freeboards.marked_m is not None:
        return over_marks(data.freeboards, data.freeboards.marked_m)
    hull = hull_of(data)
    if hull is None:
        raise CannotFloat(
            "the freeboards need 'marked_m', the same four measured down to the painted waterline (or sections)",
            "float.freeboards",
        )
    return over_marks(data.freeboards, _sheers(boat, hull))


def _sheers(boat: BoatFile, hull: Hull) -> tuple[float, float, float, float]:
    lwl, aft, _ = designed_waterline(hull)
    if boat.boat.lwl_m is not None:
        lwl, aft = boat.boat.lwl_m, 0.0
    stem, stern, middle = (sheer_height(hull, x) for x in (aft + lwl, aft, aft + 0.5 * lwl))
    if math.isnan(stem + stern + middle):
        raise CannotFloat(
            "the sections do not reach to the ends of lwl_m, so nobody knows her deck edge there: give 'marked_m'",
            "float.freeboards",
        )
    return stem, stern, middle, middle


def with_marks(boat: BoatFile) -> BoatFile:
    """The boat with marks made from her freeboards; as she is where marks are given, or no freeboards."""
    data = boat.float_
    if data is None or data.freeboards is None or data.marks is not None:
        return boat
    over = freeboards_of(boat)
    assert over is not None
    hull = hull_of(data)
    # Without sections only the difference of the two draughts is made use of.
    draught = -hull.lowest if hull is not None else data.draught_m or 1.0
    # not checked against the bounds of what is read off by hand: these are worked out
    marks = Marks.model_construct(
        fore_m=draught + over.stem, aft_m=draught + over.stern, weights_aboard=data.freeboards.weights_aboard
    )
    return boat.model_copy(update={"float_": data.model_copy(update={"marks": marks})})
