"""What was tried on her afloat, the tanks, and the ballast to be cast, lifted and placed.

All of it may be left out: each table brings one more thing that can be said of how she floats.
"""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from .base import (
    Coefficient,
    Coordinate,
    Id,
    InOrder,
    Label,
    Length,
    Mass,
    Millimetres,
    Number,
    Part,
    Point,
    Size,
    Whole,
    YesNo,
)

Fill = Annotated[Number, Field(ge=0, le=1, allow_inf_nan=False)]
"""Part of a tank that is full, 0 to 1."""
Across = Annotated[Number, Field(ge=-100, le=100, allow_inf_nan=False)]
SmallAngle = Annotated[Number, Field(ge=-30, le=30, allow_inf_nan=False)]
"""Degrees; an inclining test beyond a few degrees is no longer one."""
Seconds = Annotated[Number, Field(ge=0.1, le=3600, allow_inf_nan=False)]
Draught = Annotated[Number, Field(ge=-10, le=100, allow_inf_nan=False)]
"""Metres of draught; may be negative where the keel is clear of the water."""
Mark = Annotated[Number, Field(ge=-100_000, le=100_000, allow_inf_nan=False)]
"""Millimetres that a bob moved; to port is positive."""
Moved = Annotated[Number, Field(ge=0, le=100_000, allow_inf_nan=False)]
"""Kilograms moved across in an inclining test."""
Pressure = Annotated[Number, Field(ge=0.001, le=1e6, allow_inf_nan=False)]
"""Kilopascals."""
TrimAngle = Annotated[Number, Field(ge=-20, le=20, allow_inf_nan=False)]


class Tank(Part):
    """A tank with liquid that is free to run to the low side; the weight's mass is tank and liquid together."""

    fluid: Id = "fresh-water"
    """What is in it, a name from ``secure-load list densities``."""
    fill: Fill
    """How full it is, 0 to 1."""
    size_m: Size
    """Inside: fore-and-aft, athwartships, height."""


class InclineReading(Part):
    """One reading of the inclining test: what had been moved across, and how far she leant."""

    moved_kg: Moved
    """Mass moved across; 0 for the reading before anything was moved."""
    across_m: Across
    """How far from where it stood at first, to port; negative to starboard."""
    heel_deg: SmallAngle | None = None
    """Her lean from upright, to port positive; or give ``deflection_mm``."""
    deflection_mm: Mark | None = None
    """How far the bob moved from its first mark, to port positive."""

    @model_validator(mode="after")
    def _one_angle(self) -> InclineReading:
        if (self.heel_deg is None) == (self.deflection_mm is None):
            raise ValueError("give 'heel_deg' or 'deflection_mm', one of the two and not both")
        return self


class Inclining(Part):
    """An inclining test: known weights moved across, and the lean read."""

    readings: Annotated[list[InclineReading], InOrder, Field(min_length=1, max_length=500)]
    """The readings, the one with nothing moved too if it was taken."""
    pendulum_mm: Millimetres | None = None
    """Length of the pendulum, from its pivot to the batten it was read on."""
    displacement_kg: Mass | None = None
    """Her displacement during the test, people and test weights in her; else what is known of her is taken."""
    weights_aboard: YesNo = True
    """Whether the weights listed in this file were aboard."""

    @model_validator(mode="after")
    def _a_pendulum(self) -> Inclining:
        if self.pendulum_mm is None and any(r.deflection_mm is not None for r in self.readings):
            raise ValueError("readings in 'deflection_mm' need 'pendulum_mm'")
        return self


class RollReading(Part):
    """So many whole rolls (port to starboard and back) in so many seconds."""

    rolls: Annotated[Whole, Field(ge=1, le=1000)] = 1
    """How many."""
    seconds: Seconds
    """How long they took together."""


class RollTest(Part):
    """A roll-period test: she is set rolling in still water and timed."""

    readings: Annotated[list[RollReading], InOrder, Field(min_length=1, max_length=500)]
    """The readings."""
    gyradius_over_breadth: Coefficient | None = None
    """Her radius of gyration over her breadth, where an earlier inclining test gave it."""
    weights_aboard: YesNo = True
    """Whether the weights listed in this file were aboard."""


class Marks(Part):
    """Draughts read fore and aft, from the level of the keel's lowest point."""

    fore_m: Draught
    """Draught read forward."""
    aft_m: Draught
    """Draught read aft."""
    fore_x_m: Coordinate | None = None
    """Where the forward mark is; the fore end of the waterline unless given."""
    aft_x_m: Coordinate | None = None
    """Where the after mark is; the after end of the waterline unless given."""
    weights_aboard: YesNo = True
    """Whether the weights listed in this file were aboard."""


Freeboard = Annotated[Number, Field(ge=-5, le=50, allow_inf_nan=False)]
"""Metres from the deck edge down."""


class Freeboards(Part):
    """Four freeboards read with a tape, from the deck edge down to the water."""

    stem_m: Freeboard
    """At the fore end of the waterline."""
    stern_m: Freeboard
    """At the after end of the waterline."""
    port_m: Freeboard
    """Amidships to port."""
    starboard_m: Freeboard
    """Amidships to starboard."""
    marked_m: Annotated[tuple[Freeboard, Freeboard, Freeboard, Freeboard], InOrder] | None = None
    """The same four down to the painted waterline: stem, stern, port, starboard; from the sections unless given."""
    weights_aboard: YesNo = True
    """Whether the weights listed in this file were aboard."""


class Opening(Part):
    """A place where water gets in once it is under: a companionway, a hatch that is kept open, a ventilator."""

    name: Label
    """What it is."""
    at_m: Point
    """Where its lowest corner is."""


Degrees180 = Annotated[Number, Field(ge=0.01, le=180, allow_inf_nan=False)]
Lever = Annotated[Number, Field(ge=-10, le=10, allow_inf_nan=False)]


class ScreeningFigures(Part):
    """What the screening index wants beside her curve; the last five only where sections or openings do not tell."""

    hull_length_m: Length
    """Length of the hull, stem to stern, without bowsprit."""
    hull_breadth_m: Length
    """Greatest breadth of the hull."""
    sail_centre_m: Length
    """Height of the centre of the sails over the waterline."""
    lateral_depth_m: Length
    """Depth of the centre of keel and hull, seen from the side, under the waterline."""
    vanishing_deg: Degrees180 | None = None
    """Vanishing angle."""
    downflooding_deg: Degrees180 | None = None
    """Heel at which the first opening that is kept open goes under."""
    lever_90_m: Lever | None = None
    """Righting lever at 90 degrees."""
    lever_at_downflooding_m: Lever | None = None
    """Righting lever at the downflooding angle."""
    area_m_deg: Annotated[Number, Field(ge=0.001, le=1000, allow_inf_nan=False)] | None = None
    """Area under the lever curve up to the lesser of both angles, metres times degrees."""


class MovedWeight(Part):
    """A listed weight that lies elsewhere in one state."""

    id: Id
    """Which weight."""
    at_m: Point
    """Where it lies."""


class FloatState(Part):
    """One way she is loaded, to be seen beside others: as found, light, laden, crew to windward, tanks half."""

    name: Label
    """What it is called."""
    without: Annotated[list[Id], InOrder, Field(max_length=20_000)] = []
    """Ids of listed weights that are not aboard."""
    moved: Annotated[list[MovedWeight], InOrder, Field(max_length=1000)] = []
    """Listed weights that lie elsewhere."""
    heeled_to: Literal["port", "starboard"] | None = None
    """The side her levers are given to: with the crew to windward the other one; else the side she lists to."""
    tanks_fill: Fill | None = None
    """How full all listed tanks are; as they are listed unless given."""


class IngotSort(Part):
    """Ingots of one size that are in hand."""

    id: Id
    """Short name."""
    each_kg: Mass
    """Mass of one."""
    count: Annotated[Whole, Field(ge=1, le=10_000)]
    """How many."""


class StowagePlace(Part):
    """A place where ingots may go."""

    id: Id
    """Short name."""
    at_m: Point
    """Centre of what is stowed there."""
    room_count: Annotated[Whole, Field(ge=0, le=10_000)] | None = None
    """How many ingots it has room for."""
    room_kg: Mass | None = None
    """How much it has room for."""
    size_m: Annotated[tuple[Length, Length], InOrder] | None = None
    """What it bears on: fore-and-aft, athwartships."""
    bearing_kPa: Pressure | None = None
    """Pressure that the timbers under it may bear; needs ``size_m``."""
    reach: Annotated[Whole, Field(ge=0, le=10)] = 1
    """How hard it is to reach: 0 at hand, 10 only by taking her apart."""

    @model_validator(mode="after")
    def _bears_on_something(self) -> StowagePlace:
        if self.bearing_kPa is not None and self.size_m is None:
            raise ValueError("'bearing_kPa' needs 'size_m', the area it is spread over")
        return self


class Placing(Part):
    """Ballast in hand, and where it may go."""

    ingot: Annotated[list[IngotSort], InOrder, Field(min_length=1, max_length=50)]
    """The ingots in hand; all of them are placed."""
    place: Annotated[list[StowagePlace], InOrder, Field(min_length=1, max_length=2000)]
    """The places."""
    in_place_of: Annotated[list[Id], InOrder, Field(max_length=20_000)] = []
    """Ids of listed weights that are taken out first."""
    trim_deg: TrimAngle = 0.0
    """Trim wanted, by the bow positive; or give ``fore_m`` and ``aft_m``."""
    fore_m: Draught | None = None
    """Draught wanted forward: only the difference from ``aft_m`` can be had by shifting ballast."""
    aft_m: Draught | None = None
    """Draught wanted aft."""

    @model_validator(mode="after")
    def _whole_wish(self) -> Placing:
        if (self.fore_m is None) != (self.aft_m is None):
            raise ValueError("give both 'fore_m' and 'aft_m', or neither")
        for what, ids in (("ingot", [i.id for i in self.ingot]), ("place", [p.id for p in self.place])):
            twice = [i for n, i in enumerate(ids) if i in ids[:n]]
            if twice:
                raise ValueError(f"the {what} id '{twice[0]}' is used twice")
        return self


class Mould(Part):
    """An open ingot mould: a tapered box, filled to ``depth_mm``."""

    top_mm: Annotated[tuple[Millimetres, Millimetres], InOrder]
    """Length and breadth inside, at the level it is filled to."""
    bottom_mm: Annotated[tuple[Millimetres, Millimetres], InOrder]
    """Length and breadth inside, at the bottom."""
    depth_mm: Millimetres
    """How deep it is filled."""


class Casting(Part):
    """Ingots to be cast from scrap."""

    mould: Mould
    """The mould."""
    antimony_percent: Annotated[Number, Field(ge=0, le=25, allow_inf_nan=False)] = 0.0
    """Antimony in the scrap, by mass: wheel weights a few per cent, sheet and pipe none."""
    scrap_kg: Mass | None = None
    """Scrap in hand."""
    dross_percent: Annotated[Number, Field(ge=0, le=90, allow_inf_nan=False)] | None = None
    """Part of the scrap that is skimmed off; an assumption is made unless given."""
    weighed_kg: Annotated[list[Mass], InOrder, Field(max_length=10_000)] = []
    """Ingots cast so far, as weighed."""
    pour_C: Annotated[Number, Field(ge=100, le=700, allow_inf_nan=False)] | None = None
    """Temperature it is poured at; a little over all melted unless given."""
    pot_kg: Mass | None = None
    """What the pot holds."""
    burner_kW: Annotated[Number, Field(ge=0.01, le=500, allow_inf_nan=False)] | None = None
    """Power of the gas burner, as its plate says."""
    tap_bore_mm: Millimetres | None = None
    """Bore of the tap at the bottom of the pot."""
    tap_head_mm: Millimetres | None = None
    """Height of the metal over the tap when the pot is full."""
    ingots_per_hour: Annotated[Number, Field(ge=0.001, le=1000, allow_inf_nan=False)] | None = None
    """How many are to be cast in an hour."""
    dent_mm: Millimetres | None = None
    """Breadth of the dent that a ball presses into the scrap."""
    dent_soft_mm: Millimetres | None = None
    """Breadth of the dent of the same ball and press in known soft lead."""

    @model_validator(mode="after")
    def _pairs(self) -> Casting:
        for one, other in (("tap_bore_mm", "tap_head_mm"), ("dent_mm", "dent_soft_mm")):
            if (getattr(self, one) is None) != (getattr(self, other) is None):
                raise ValueError(f"give both '{one}' and '{other}', or neither")
        return self


class Lift(Part):
    """How an ingot is lifted into its place; lengths as the hands go."""

    hands_out_mm: Millimetres
    """From between the ankles (or the hips, kneeling) out to the hands, at the worse end of the lift."""
    from_height_mm: Annotated[Number, Field(ge=0, le=5000, allow_inf_nan=False)]
    """Hands above what one stands or kneels on, at the beginning."""
    to_height_mm: Annotated[Number, Field(ge=-5000, le=5000, allow_inf_nan=False)]
    """Hands at the end; negative is down in the bilge."""
    twist_deg: Annotated[Number, Field(ge=0, le=180, allow_inf_nan=False)] = 0.0
    """How far the body is turned."""
    lifts_per_minute: Annotated[Number, Field(ge=0.01, le=30, allow_inf_nan=False)] = 0.2
    """How often."""
    hours: Annotated[Number, Field(ge=0.01, le=8, allow_inf_nan=False)] = 1.0
    """For how long in a day."""
    grip: Literal["good", "fair", "poor"] = "poor"
    """good: handles; fair: hands bent under it; poor: a smooth lump."""
    drop_mm: Millimetres | None = None
    """How far it would fall on the planking."""
