"""What holds a weight: beds, cleats, battens, lines, ties, bolts, and the parts they are made of."""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated, Any, Literal, cast

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from .base import (
    MEMBER_WORDS,
    Day,
    Edge,
    Face,
    Force,
    Friction,
    Id,
    InOrder,
    Label,
    Member,
    Millimetres,
    NotNegative,
    Part,
    Patch,
    Point,
    Share,
    SideFace,
    Stiffness,
    Support,
    Tension,
    Whole,
    Words,
    YesNo,
)
from .slopes import Steepness


def _into_member(data: Any) -> Any:
    """A part of the boat written under ``into``, where its timber is asked for, taken as the part."""
    if not isinstance(data, Mapping):
        return data
    table = dict(cast("Mapping[str, Any]", data))
    if table.get("into") in MEMBER_WORDS and table.get("member") is None:
        table["member"] = table.pop("into")
    return table


_Chock = BeforeValidator(lambda word: "cleat" if word == "chock" else word)


class Pad(Part):
    """A soft layer between the weight and what carries it."""

    material: Id
    """Pad material, a name from ``secure-load list pads``."""
    thickness_mm: Millimetres = 6.0
    """Thickness before loading."""


class Screws(Part):
    """The fastenings of one restraint, all alike."""

    kind: Literal["wood-screw", "coach-screw", "bolt"] = "wood-screw"
    """Wood screw (by gauge), coach screw (by diameter) or a bolt right through (by diameter)."""
    gauge: Annotated[Whole, Field(ge=0, le=30)] | None = None
    """Gauge number of a wood screw."""
    diameter_mm: Millimetres | None = None
    """Shank diameter of a coach screw or bolt, or of a metric wood screw."""
    count: Annotated[Whole, Field(ge=1, le=1000)] = 1
    """How many in this restraint, all told."""
    penetration_mm: Millimetres | None = None
    """Depth of thread in the timber that holds the point, not counting what it is screwed through."""
    into: Id | None = None
    """Timber that holds the point."""
    member: Member | None = None
    """Part of the boat that holds the point: floor, keel, frame, bearer, sole - or planking, which should not."""
    stock_mm: Millimetres | None = None
    """Thickness of that part, in the direction the screws go."""
    sided_mm: Millimetres | None = None
    """Width of the face they are driven into: a floor's or frame's siding."""
    metal: Id | None = None
    """What they are made of, a name from ``secure-load list screws``."""
    end_grain: YesNo = False
    """Whether they are driven along the grain: such screws count for nothing when pulled straight out."""
    washer_mm: Millimetres | None = None
    """Outside diameter of the washer under the head or nut."""

    _part_of_the_boat = model_validator(mode="before")(_into_member)


class Anchors(Part):
    """What a line is made fast to, alike at every end that is on the boat."""

    kind: Literal["eye", "pad-eye", "through-bolt", "frame"] = "eye"
    """An eye or pad eye held by screws, a bolt right through, or a turn round a frame or floor."""
    screws: Screws | None = None
    """The eye's own fastenings (the count is for one eye)."""
    strength_N: Force | None = None
    """Working strength of one eye, where the owner has the maker's or a tested figure."""


class Finding(Part):
    """What was seen of one restraint when she was looked over."""

    date: Day
    """The day it was seen."""
    note: Words
    """What was seen, in words."""
    factor: Share = 1.0
    """What is left of its strength, 0 to 1, as the owner judges it; 1 where it only wants watching."""
    fixed: YesNo = False
    """True once it has been put right: it then takes nothing off any more."""


class Restraint(Part):
    """What every restraint may say."""

    id: Id | None = None
    """Short name of this restraint; made from its kind and face where it is left out."""
    strength_N: Force | None = None
    """Working strength where a maker's or a tested figure is known; used as it is and called "given"."""
    stiffness_N_per_mm: Stiffness | None = None
    """Stiffness where it was measured; otherwise it is worked out from the parts."""
    slack_mm: Annotated[NotNegative, Field(le=1000)] = 0.0
    """How far the weight can move before this takes up. A snug fit has none; a dry bed has none."""
    proposed: YesNo = False
    """True while it is only a proposal and not built; then the weight is doubtful at best."""
    finding: Annotated[list[Finding], InOrder, Field(max_length=200)] = []
    """What inspections found, and what it takes off its strength."""


class Bed(Restraint):
    """What the weight sits on, or bears against over a whole face."""

    type: Literal["bed"] = "bed"
    """A bed carries by pressing only; it cannot pull."""
    face: Face = "bottom"
    """Which face of the weight bears on it."""
    edge: Edge | None = None
    """Or which lower edge of the weight rests on it, where that is a sloping plank."""
    slope_deg: Steepness | None = None
    """How steeply its surface rises away from the weight's middle, from level with the boat upright: degrees, or a
    rise such as "40 in 300"; 90 is upright. Without it, it lies as the weight's face does."""
    pad: Pad | None = None
    """Soft layer in between, if any."""
    friction: Friction | None = None
    """A measured number, or a pair from ``secure-load list friction`` (its low and high are both tried)."""
    timber: Id | None = None
    """Timber of the bed itself."""
    on: Support | None = None
    """What carries the bed: floors, keel, knee, frames, bearers, sole, bulkhead - or planking, which should not."""
    at_m: Point | None = None
    """Centre of the bearing, where it is not the middle of the face."""
    size_m: Patch | None = None
    """How much of the face bears, where it is not the whole of it; of an edge its length, and the breadth of the strip
    that was cut or cast to lie on the slope."""

    @model_validator(mode="after")
    def _one_place(self) -> Bed:
        if self.edge is not None and self.face not in ("bottom", self.edge.removeprefix("bottom-")):
            raise ValueError("give 'face' or 'edge', one of the two and not both")
        if self.edge is None and self.face in ("bottom", "top") and self.slope_deg and self.at_m is None:
            raise ValueError(
                "a slope rises away from the weight's middle: give the bed's own middle 'at_m' to one side of it, or "
                "an 'edge' such as bottom-port"
            )
        return self


class Cleat(Restraint):
    """A block of timber screwed down beside the weight, that it bears against."""

    type: Annotated[Literal["cleat"], _Chock] = "cleat"
    """Also a chock, wedge or bearer against a side."""
    face: SideFace
    """Which side of the weight it stands against."""
    slope_deg: Steepness | None = None
    """How steeply its face rises away from the weight, from level with the boat upright: degrees, or a rise such as
    "40 in 300"; 90 is upright. Without it, it lies as the weight's side does."""
    timber: Id | None = None
    """Timber it is cut from."""
    length_mm: Millimetres | None = None
    """Length along the side of the weight."""
    height_mm: Millimetres | None = None
    """How far it stands up the side, from the weight's bottom edge."""
    depth_mm: Millimetres | None = None
    """Thickness, the way the weight pushes."""
    screws: Screws | None = None
    """What holds it down."""
    friction: Friction | None = None
    """Friction between weight and cleat; none is counted unless given."""
    at_m: Point | None = None
    """Middle of the cleat's foot at the weight, where it is not the middle of the bottom edge."""


class Batten(Restraint):
    """A strip of timber (or a sole board) screwed down across the top."""

    type: Literal["batten"] = "batten"
    """It presses down only."""
    face: Literal["top"] = "top"
    """A batten goes over the top; against a side it is a cleat."""
    timber: Id | None = None
    """Timber it is cut from."""
    span_mm: Millimetres | None = None
    """Clear length between its two fastened ends."""
    width_mm: Millimetres | None = None
    """Width of the strip as it lies on the weight."""
    depth_mm: Millimetres | None = None
    """Thickness, in the direction it bends."""
    along: Literal["athwartships", "fore-and-aft"] = "athwartships"
    """Which way it runs."""
    screws: Screws | None = None
    """All its fastenings, half at each end."""
    landing: Screws | None = None
    """Where its ends are screwed to landings: the landings' own fastenings, half at each end."""
    friction: Friction | None = None
    """Friction between weight and batten; none is counted unless given."""
    at_m: Point | None = None
    """Middle of the batten, where it does not cross the middle of the top."""


class TopCleat(Batten):
    """A cleat over the top of a weight, as many say for a batten: it is taken as one, and kept as it was written."""

    type: Annotated[Literal["cleat"], _Chock] = "cleat"  # type: ignore[assignment]  # pyright: ignore[reportIncompatibleVariableOverride]
    """Written as a cleat; it presses down only, as a batten does."""
    face: Literal["top"]  # pyright: ignore[reportGeneralTypeIssues]
    """The top: on any other face it is a cleat."""
    length_mm: Millimetres | None = None
    """Clear length between its two fastened ends, where that was not given as ``span_mm``."""
    height_mm: Millimetres | None = None
    """Width as it lies on the weight, where that was not given as ``width_mm``."""


class Lashing(Restraint):
    """A line from a point on the weight to a point on the boat."""

    type: Literal["lashing"] = "lashing"
    """It pulls only."""
    from_m: Point
    """Where it is made fast on the weight."""
    to_m: Point
    """Where it is made fast on the boat."""
    line: Id | None = None
    """Rope, webbing, wire or chain, a name from ``secure-load list lines``."""
    turns: Annotated[Whole, Field(ge=1, le=50)] = 1
    """How many parts of line share the pull."""
    termination: Id | None = None
    """Knot or splice at the ends, a name from ``secure-load list lines``."""
    tension_N: Tension = 0.0
    """Tension set up in it, upright and at rest."""
    tension_loss: Share = 0.0
    """Share of that tension that may be lost as the line beds in; both with and without it is tried."""
    fitted_on: Day | None = None
    """The day it was fitted: plastic and fibre are replaced after some years, however they look."""
    shackle: Id | None = None
    """Shackle or turnbuckle in the line, a name from ``secure-load list lines``."""
    anchors: Anchors | None = None
    """What it is made fast to on the boat."""

    @model_validator(mode="after")
    def _has_length(self) -> Lashing:
        # A line of no length has no direction to pull in.
        if math.dist(self.from_m, self.to_m) < 0.001:
            raise ValueError("'from_m' and 'to_m' are the same place, so the line has no length")
        return self


class Strap(Restraint):
    """One line from the boat, over the weight and down to the boat again: one tension all along."""

    type: Literal["strap"] = "strap"
    """It pulls only."""
    from_m: Point
    """Where one end is made fast on the boat."""
    to_m: Point
    """Where the other end is made fast on the boat."""
    line: Id | None = None
    """Webbing, rope, wire or chain, a name from ``secure-load list lines``."""
    turns: Annotated[Whole, Field(ge=1, le=50)] = 1
    """How many times it goes over."""
    termination: Id | None = None
    """Knot, splice or buckle, a name from ``secure-load list lines``."""
    tension_N: Tension = 0.0
    """Tension set up in it, upright and at rest."""
    tension_loss: Share = 0.0
    """Share of that tension that may be lost as the line beds in; both with and without it is tried."""
    fitted_on: Day | None = None
    """The day it was fitted: plastic and fibre are replaced after some years, however they look."""
    shackle: Id | None = None
    """Shackle or turnbuckle in the line, a name from ``secure-load list lines``."""
    anchors: Anchors | None = None
    """What its ends are made fast to."""


class CableTie(Restraint):
    """Plastic ties over the weight, down to the boat on both sides. Not a load-rated restraint."""

    type: Literal["cable_tie"] = "cable_tie"
    """It pulls only."""
    tie: Id | None = None
    """Class of tie, a name from ``secure-load list lines``."""
    count: Annotated[Whole, Field(ge=1, le=100)] = 1
    """How many ties, side by side."""
    fitted_on: Day | None = None
    """The day it was fitted: plastic and fibre are replaced after some years, however they look."""
    from_m: Point | None = None
    """Where one end is made fast on the boat; beside the bottom edge, to port, unless given."""
    to_m: Point | None = None
    """Where the other end is made fast; beside the bottom edge, to starboard, unless given."""


class Bolt(Restraint):
    """Bolts right through the weight into the structure under it; they hold both ways."""

    type: Literal["bolt"] = "bolt"
    """Holds against lifting and against sliding."""
    face: Face = "bottom"
    """The face they come out of, towards the structure."""
    size: Id | None = None
    """Thread, such as M10."""
    count: Annotated[Whole, Field(ge=1, le=100)] = 1
    """How many, shared out along the longer way of the face."""
    metal: Id | None = None
    """What they are made of."""
    into: Id | None = None
    """Timber they pass through."""
    member: Member | None = None
    """Part of the boat they pass through: floor, keel, frame, bearer - or planking, which should not."""
    thickness_mm: Millimetres | None = None
    """Thickness of that timber."""
    washer_mm: Millimetres | None = None
    """Outside diameter of the washer under the nut."""
    at_m: Point | None = None
    """Where the bolts come through, where it is not the middle of the face."""

    _part_of_the_boat = model_validator(mode="before")(_into_member)


class Bond(Restraint):
    """A bed in adhesive or sealant; it holds both ways."""

    type: Literal["bond"] = "bond"
    """Holds against lifting and sliding as long as the bond lasts."""
    face: Face = "bottom"
    """The bonded face."""
    adhesive: Label | None = None
    """What it is bedded in, in words."""
    at_m: Point | None = None
    """Centre of the bonded patch."""
    size_m: Patch | None = None
    """Size of the bonded patch."""


class Neighbour(Restraint):
    """Another weight that this one leans against."""

    type: Literal["neighbour"] = "neighbour"
    """It presses only."""
    face: Face
    """The face that touches."""
    weight: Id
    """Short name of the other weight."""
    friction: Friction | None = None
    """Friction between the two; none is counted unless given."""


def _kind(restraint: Any) -> str | None:
    """Which model a restraint is for: its type, or its type and face for a cleat over the top."""
    if isinstance(restraint, Restraint):
        restraint = vars(restraint)
    if not isinstance(restraint, Mapping):
        return None
    table = cast("Mapping[str, Any]", restraint)
    kind, face = table.get("type"), table.get("face")
    kind = "cleat" if kind == "chock" else kind
    if kind == "cleat" and face == "top":
        return "top-cleat"
    return kind if isinstance(kind, str) else None


AnyRestraint = Annotated[
    Annotated[Bed, Tag("bed")]
    | Annotated[Cleat, Tag("cleat")]
    | Annotated[Batten, Tag("batten")]
    | Annotated[TopCleat, Tag("top-cleat")]
    | Annotated[Lashing, Tag("lashing")]
    | Annotated[Strap, Tag("strap")]
    | Annotated[CableTie, Tag("cable_tie")]
    | Annotated[Bolt, Tag("bolt")]
    | Annotated[Bond, Tag("bond")]
    | Annotated[Neighbour, Tag("neighbour")],
    Discriminator(_kind),
]


def _is_placed(piece: SharedBatten | SharedCleat) -> None:
    """Raise ValueError for what cannot be guessed of a piece that reaches over several weights."""
    length = "span_mm" if isinstance(piece, Batten) else "length_mm"
    for key in ("id", "at_m", length):
        if getattr(piece, key) is None:
            raise ValueError(f"needs '{key}': it reaches over several weights, so that it cannot be guessed")
    if len(set(piece.over)) < len(piece.over):
        raise ValueError("'over' names a weight twice")


Over = Annotated[list[Id], Field(min_length=2, max_length=100)]


class SharedBatten(Batten):
    """A batten or sole board over several weights."""

    over: Over
    """Short names of the weights it holds; its strength counts once for all of them."""

    @model_validator(mode="after")
    def _placed(self) -> SharedBatten:
        _is_placed(self)
        return self


class SharedCleat(Cleat):
    """A cleat along several weights."""

    over: Over
    """Short names of the weights it holds; its strength counts once for all of them."""

    @model_validator(mode="after")
    def _placed(self) -> SharedCleat:
        _is_placed(self)
        return self


SharedRestraint = Annotated[
    Annotated[SharedCleat, Tag("cleat")] | Annotated[SharedBatten, Tag("batten")], Discriminator(_kind)
]
