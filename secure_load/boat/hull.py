"""The boat herself: her particulars, her planking, and what is known of how she floats."""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from .base import (
    Coefficient,
    Coordinate,
    Day,
    Id,
    InOrder,
    Label,
    Length,
    Mass,
    Millimetres,
    Number,
    Part,
    Whole,
    Words,
    YesNo,
)
from .floating import (
    Casting,
    FloatState,
    Freeboards,
    Inclining,
    Lift,
    Marks,
    Opening,
    Placing,
    RollTest,
    ScreeningFigures,
)
from .restraints import Screws
from .slopes import Steepness

Height = Annotated[Number, Field(ge=-100, le=100, allow_inf_nan=False)]
"""Metres, up or down from where the key says."""
HalfBreadth = Annotated[Number, Field(ge=0, le=100, allow_inf_nan=False)]
Area = Annotated[Number, Field(ge=0.01, le=10_000, allow_inf_nan=False)]
HalfPoint = Annotated[tuple[HalfBreadth, Height], InOrder]
Deadrise = Annotated[tuple[Coordinate, Steepness], InOrder]
WindSpeed = Annotated[Number, Field(ge=0.01, le=100, allow_inf_nan=False)]
"""Metres per second."""


class Planking(Part):
    """The boat's skin, for what a weight that gets loose would hit."""

    timber: Id | None = None
    """Timber (or panel) the planking is made of, a name from ``secure-load list timbers``."""
    thickness_mm: Millimetres | None = None
    """Thickness of a plank."""
    frame_spacing_mm: Millimetres | None = None
    """Distance from frame to frame, centre to centre: the length of plank that stands alone."""


class Sole(Part):
    """The boards walked on, where weights are screwed to them."""

    timber: Id | None = None
    """Timber of the boards, a name from ``secure-load list timbers``."""
    thickness_mm: Millimetres | None = None
    """Thickness of a board."""
    screws: Screws | None = None
    """What holds the boards under one weight down to their bearers, all of it together; leave out loose boards."""


class BoatParticulars(Part):
    """The boat herself."""

    name: Label
    """Her name."""
    rig: Label | None = None
    """Her rig, in words."""
    lwl_m: Length | None = None
    """Length on the waterline."""
    bwl_m: Length | None = None
    """Greatest breadth on the waterline."""
    displacement_kg: Mass | None = None
    """What she displaces without the weights listed below."""
    hull: Literal["wood", "steel", "aluminium", "grp"] = "wood"
    """What her hull is built of: it decides how what is proposed would be fastened."""
    planking: Planking | None = None
    """Her planking: timber, thickness and frame spacing."""
    deadrise_deg: Steepness | Annotated[list[Deadrise], InOrder, Field(min_length=1, max_length=100)] | None = None
    """How steeply her planking rises from the keel outward, where no sections are given: degrees, or a list of
    [place along her, degrees]."""
    sole: Sole | None = None
    """Her sole, where weights are screwed to it."""
    bilge: Literal["wet", "dry"] = "wet"
    """Whether the fastenings below the sole lie wet or dry; wet is the cautious choice."""
    roll_axis_z_m: Height = 0.0
    """Height of the axis she rolls about above the waterline; the waterline itself unless given."""
    trailered: YesNo = False
    """Whether she is carried on a trailer by road: only then are the road scenarios run."""
    inspect_every_months: Annotated[Whole, Field(ge=1, le=120)] | None = None
    """How often what holds the weights is looked over; common practice is taken unless given."""
    inspected_on: Day | None = None
    """The day it was last looked over."""
    hard_weather_on: Day | None = None
    """The last day of hard weather, a grounding or a hard knock: after it she is looked over at once."""
    weighed: Words | None = None
    """Who weighed what is marked as weighed, when, and with what scale."""
    photos: Annotated[list[Label], InOrder, Field(max_length=100)] = []
    """File names of photographs of her stowage."""

    @property
    def known_planking(self) -> tuple[str, float, float] | None:
        """Timber of her planking, its thickness and the spacing of her frames, mm; None unless all of it is known."""
        planking = self.planking
        if planking is None or not (planking.timber and planking.thickness_mm and planking.frame_spacing_mm):
            return None
        return planking.timber, planking.thickness_mm, planking.frame_spacing_mm


class HullSection(Part):
    """One closed half-section of the hull."""

    x_m: Coordinate
    """Distance forward of the after end of the waterline."""
    points_m: Annotated[list[HalfPoint], InOrder, Field(min_length=2, max_length=5000)]
    """[half-breadth, height] from the keel to the middle of the deck; heights from the waterline."""


class HalfBreadths(Part):
    """A table of half-breadths: one row per station, one column per height."""

    x_m: Annotated[list[Coordinate], InOrder, Field(min_length=3, max_length=1000)]
    """Stations, from aft to forward."""
    z_m: Annotated[list[Height], InOrder, Field(min_length=2, max_length=1000)]
    """Heights from the designed waterline, from low to high."""
    half_breadth_m: Annotated[
        list[Annotated[list[HalfBreadth], InOrder]], InOrder, Field(min_length=3, max_length=1000)
    ]
    """For each station the half-breadth at each height; 0 below the keel, and what you like above the deck."""
    keel_m: Annotated[list[Height], InOrder] | None = None
    """Height of the bottom of the keel at each station; else where the half-breadths begin."""
    deck_m: Annotated[list[HalfPoint], InOrder] | None = None
    """[half-breadth, height] of the deck edge at each station; else the highest waterline is the deck."""

    @model_validator(mode="after")
    def _square(self) -> HalfBreadths:
        if any(b <= a for a, b in zip(self.x_m, self.x_m[1:], strict=False)):
            raise ValueError("the stations in 'x_m' must go from aft to forward, each once")
        if any(b <= a for a, b in zip(self.z_m, self.z_m[1:], strict=False)):
            raise ValueError("the heights in 'z_m' must go from low to high, each once")
        stations, heights = len(self.x_m), len(self.z_m)
        if len(self.half_breadth_m) != stations or any(len(row) != heights for row in self.half_breadth_m):
            raise ValueError(f"'half_breadth_m' must have {stations} rows of {heights} figures, as 'x_m' and 'z_m' say")
        for key, given in (("keel_m", self.keel_m), ("deck_m", self.deck_m)):
            if given is not None and len(given) != stations:
                raise ValueError(f"'{key}' must have one entry for each of the {stations} stations")
        return self


class FloatData(Part):
    """What is known of how she floats."""

    waterplane_coefficient: Coefficient | None = None
    """Waterplane area over length times breadth."""
    block_coefficient: Coefficient | None = None
    """Volume over length times breadth times draught."""
    kg_m: Height | None = None
    """Height of her centre of gravity, without the weights listed, above the lowest point of the keel."""
    ballast_keel: YesNo | None = None
    """Whether she has a ballast keel, or as much in her that stays: where nothing tells her centre of gravity."""
    gm_m: Height | None = None
    """Metacentric height, without the weights listed."""
    lcg_m: Coordinate | None = None
    """Her centre of gravity, without the weights listed, forward of the after end of the waterline."""
    draught_m: Length | None = None
    """Draught of the hull at the designed waterline."""
    sail_area_m2: Area | None = None
    """Area of the sails she sets in the stated wind."""
    sail_lever_m: Length | None = None
    """Centre of the sails above the centre of lateral resistance."""
    section: Annotated[list[HullSection], InOrder, Field(max_length=1000)] = []
    """Half-sections, from aft to forward."""
    half_breadths: HalfBreadths | None = None
    """A table of half-breadths, in place of sections."""
    water: Id | None = None
    """What she floats in, a name from ``secure-load list densities``; sea water unless given."""
    wind_m_s: Annotated[list[WindSpeed], InOrder, Field(min_length=1, max_length=50)] | None = None
    """Winds for which her heel is wanted."""
    inclining: Inclining | None = None
    """An inclining test."""
    roll_test: RollTest | None = None
    """A roll-period test."""
    marks: Marks | None = None
    """Draughts read fore and aft."""
    freeboards: Freeboards | None = None
    """Four freeboards read with a tape."""
    opening: Annotated[list[Opening], InOrder, Field(max_length=200)] = []
    """Places where water gets in once they are under."""
    screening: ScreeningFigures | None = None
    """What the screening index wants."""
    state: Annotated[list[FloatState], InOrder, Field(max_length=20)] = []
    """Ways she is loaded, to be seen side by side."""
    placing: Placing | None = None
    """Ballast in hand, and where it may go."""
    casting: Casting | None = None
    """Ingots to be cast."""
    lift: Lift | None = None
    """How an ingot is lifted into its place."""
