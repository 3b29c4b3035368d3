"""The boat herself: her particulars, her planking, and what is known of how she floats."""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from .base import Coefficient, Coordinate, Id, InOrder, Label, Length, Mass, Millimetres, Number, Part

Height = Annotated[Number, Field(ge=-100, le=100, allow_inf_nan=False)]
"""Metres, up or down from where the key says."""
HalfBreadth = Annotated[Number, Field(ge=0, le=100, allow_inf_nan=False)]
Area = Annotated[Number, Field(gt=0, le=10_000, allow_inf_nan=False)]
HalfPoint = Annotated[tuple[HalfBreadth, Height], InOrder]


class Planking(Part):
    """The boat's skin, for what a weight that gets loose would hit."""

    timber: Id | None = None
    """Timber (or panel) the planking is made of, a name from ``secure-load list timbers``."""
    thickness_mm: Millimetres | None = None
    """Thickness of a plank."""
    frame_spacing_mm: Millimetres | None = None
    """Distance from frame to frame, centre to centre: the length of plank that stands alone."""


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
    planking: Planking | None = None
    """Her planking: timber, thickness and frame spacing."""
    bilge: Literal["wet", "dry"] = "wet"
    """Service of the fastenings below the sole; wet is the cautious choice."""
    roll_axis_z_m: Height = 0.0
    """Height of the axis she rolls about above the waterline; the waterline itself unless given."""


class HullSection(Part):
    """One closed half-section of the hull."""

    x_m: Coordinate
    """Distance forward of the after end of the waterline."""
    points_m: Annotated[list[HalfPoint], InOrder, Field(min_length=2, max_length=5000)]
    """[half-breadth, height] from the keel to the middle of the deck; heights from the waterline."""


class FloatData(Part):
    """What is known of how she floats."""

    waterplane_coefficient: Coefficient | None = None
    """Waterplane area over length times breadth."""
    block_coefficient: Coefficient | None = None
    """Volume over length times breadth times draught."""
    kg_m: Height | None = None
    """Height of her centre of gravity above the lowest point of the keel."""
    gm_m: Height | None = None
    """Metacentric height."""
    lcg_m: Coordinate | None = None
    """Her centre of gravity forward of the after end of the waterline."""
    draught_m: Length | None = None
    """Draught of the hull."""
    sail_area_m2: Area | None = None
    """Area of the sails she sets in the stated wind."""
    sail_lever_m: Length | None = None
    """Centre of the sails above the centre of lateral resistance."""
    section: Annotated[list[HullSection], InOrder, Field(max_length=1000)] = []
    """Half-sections, from aft to forward."""
