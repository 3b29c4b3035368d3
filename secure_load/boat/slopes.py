"""How a weight lies, and how steep what it rests on is: angles as read off a level, an angle gauge or two lengths."""

from __future__ import annotations

import math
import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from .base import Number, Part

_RISE = re.compile(
    r"\s*(rises|falls)?\s*(-?\d+(?:\.\d+)?)\s*(?:mm)?\s+in\s+(\d+(?:\.\d+)?)\s*(?:mm)?\s*", re.IGNORECASE
)


def _degrees(value: Any) -> Any:
    """A slope written as text, such as "40 in 300": the rise over the level length."""
    if not isinstance(value, str):
        return value
    found = _RISE.fullmatch(value)
    if found is None or float(found[3]) == 0.0:
        raise PydanticCustomError(
            "boat_slope", 'must be degrees, or a rise over a level length such as "40 in 300" in quotes'
        )
    sign = -1.0 if (found[1] or "").lower() == "falls" else 1.0
    return math.degrees(math.atan2(sign * float(found[2]), float(found[3])))


_Slope = BeforeValidator(_degrees)
SlopeAngle = Annotated[Number, _Slope, Field(ge=-90, le=90, allow_inf_nan=False)]
"""Degrees from level."""
Steepness = Annotated[Number, _Slope, Field(ge=0, le=90, allow_inf_nan=False)]
"""Degrees from level of something that rises."""


class Lie(Part):
    """How a weight lies, each angle read along its own edge with the boat upright."""

    fore_and_aft: SlopeAngle = 0.0
    """How far its fore end is higher than its after end: degrees, or a rise such as "40 in 300"."""
    athwartships: SlopeAngle = 0.0
    """How far its port side is higher than its starboard side: degrees, or a rise such as "40 in 300"."""
    turned: Annotated[Number, _Slope, Field(ge=-180, le=180, allow_inf_nan=False)] = 0.0
    """How far it is turned to port, seen from above."""

    @model_validator(mode="after")
    def _can_be(self) -> Lie:
        # two edges square to each other cannot both rise so steeply
        if abs(self.fore_and_aft) + abs(self.athwartships) > 90.0 + 1e-9:
            raise ValueError("no weight can lie so: its two slopes together are more than 90 degrees")
        return self

    @property
    def is_level(self) -> bool:
        """True where it lies level and along the boat."""
        return self.fore_and_aft == 0.0 and self.athwartships == 0.0 and self.turned == 0.0
