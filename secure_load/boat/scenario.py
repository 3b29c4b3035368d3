"""What may happen to her: a family of instants, from a range of heels and sets of accelerations."""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

import math
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, GetJsonSchemaHandler, model_validator
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from .base import (
    Acceleration,
    Angle,
    Finite,
    Force,
    Id,
    InOrder,
    Kind,
    Label,
    Number,
    Part,
    RollAcceleration,
    RollRate,
    Words,
    YesNo,
)

MOST_INSTANTS = 1_000_000
"""More instants than this in one scenario is a slip of the pen, and would take hours."""


class HeelRange(Part):
    """From one heel to another, in steps. A plain number in the file means that one heel."""

    from_: Angle = Field(default=0.0, alias="from")
    """First heel, degrees."""
    to: Angle
    """Last heel, degrees."""
    step: Annotated[Number, Field(ge=0.01, le=180, allow_inf_nan=False)] = 1.0
    """Step, degrees."""

    model_config = ConfigDict(populate_by_name=True)

    @model_validator(mode="before")
    @classmethod
    def _one_heel(cls, value: Any) -> Any:
        # The exact types: True is an int to python, and a heel to nobody.
        if type(value) in (int, float):
            return {"from": value, "to": value}
        return value

    @model_validator(mode="after")
    def _outward(self) -> HeelRange:
        if self.to < self.from_:
            raise ValueError("'to' must not be less than 'from'")
        return self

    @classmethod
    def __get_pydantic_json_schema__(cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        table = handler.resolve_ref_schema(handler(core_schema)).copy()
        return {"anyOf": [{"type": "number", "minimum": -180, "maximum": 180}, table]}

    @property
    def count(self) -> int:
        """How many heels there are; the last one is always among them, whether or not a step lands on it."""
        return 1 + math.ceil((self.to - self.from_) / self.step - 1e-9)


Set = Annotated[list[Finite], InOrder, Field(min_length=1, max_length=50)]
Factors = Annotated[
    list[Annotated[Number, Field(ge=0, le=100, allow_inf_nan=False)]],
    InOrder,
    Field(min_length=1, max_length=50),
]
Accelerations = Annotated[list[Acceleration], InOrder, Field(min_length=1, max_length=50)]
Angles = Annotated[list[Angle], InOrder, Field(min_length=1, max_length=50)]
RollRates = Annotated[list[RollRate], InOrder, Field(min_length=1, max_length=50)]
RollAccelerations = Annotated[list[RollAcceleration], InOrder, Field(min_length=1, max_length=50)]


Duration = Literal["ten-minutes", "seven-days"]


class Scenario(Part):
    """Something that may happen to her: a family of instants, every combination of which is run."""

    id: Id
    """Short name for ``--scenario``."""
    name: Label | None = None
    """What people call it."""
    heel_deg: HeelRange
    """The heels she goes through. Positive puts the starboard side down."""
    load_factor: Factors = [1.0]
    """How many times its own weight each thing weighs as she is stopped by the water."""
    surge_g: Accelerations = [0.0]
    """The boat's own acceleration forward, in g. As with all motions below, 0 is tried as well, written or not."""
    sway_g: Accelerations = [0.0]
    """The boat's own acceleration to port, in g."""
    heave_g: Accelerations = [0.0]
    """The boat's own acceleration upward, in g."""
    pitch_deg: Angles = [0.0]
    """Pitch angles. Positive puts the bow down."""
    both_sides: YesNo = True
    """Run it to port as well, as a mirror image."""
    roll_rate_deg_s: RollRate | RollRates = 0.0
    """How fast she rolls."""
    roll_acceleration_deg_s2: RollAcceleration | RollAccelerations = 0.0
    """How fast the rolling quickens (positive: towards starboard down)."""
    one_at_a_time: YesNo = False
    """True where the accelerations are tried one by one and not in combination, as in a pull test."""
    load_duration: Duration = "ten-minutes"
    """How long the load may last: for longer than ten minutes timber bears less."""
    pull_at_most_N: Force | None = None
    """Ceiling on the force of a pull test."""
    only_if_trailered: YesNo = False
    """True where it is run only for a boat that says she is trailered."""
    kinds: Annotated[list[Kind], InOrder, Field(min_length=1, max_length=20)] | None = None
    """Only for weights of these kinds; all unless given."""
    why: Words | None = None
    """Why these figures."""
    source: Words | None = None
    """Where they come from, or the words "common practice"."""

    @model_validator(mode="after")
    def _not_endless(self) -> Scenario:
        if self.instants > MOST_INSTANTS:
            raise ValueError(
                f"has {self.instants:,} combinations of heel, load factor, acceleration, pitch and roll; "
                f"at most {MOST_INSTANTS:,} are allowed"
            )
        return self

    @property
    def instants(self) -> int:
        """How many instants it comes to at most on one side: all motions together, none, and each by itself."""
        shoves = [_moving(values) for values in (self.surge_g, self.sway_g, self.heave_g)]
        others = [_moving(values) for values in (self.pitch_deg, self.roll_rate_deg_s, self.roll_acceleration_deg_s2)]
        shoved = max(1, sum(shoves)) if self.one_at_a_time else math.prod(max(1, n) for n in shoves)
        together = shoved * math.prod(max(1, n) for n in others)
        return self.heel_deg.count * len(self.load_factor) * (together + 1 + sum(shoves) + sum(others))

    @property
    def title(self) -> str:
        """The name if there is one, else the id."""
        return self.name or self.id


def _moving(given: float | list[float]) -> int:
    """How many different values are not 0."""
    return len({value for value in (given if isinstance(given, list) else [given]) if value != 0.0})
