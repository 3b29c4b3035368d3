"""How she floats, as plain data: the one object the screen shows, the record writes and ``float --json`` prints.

Lengths in metres, masses in kilograms, angles in degrees. Heights are above the keel's lowest point; heel and
list are positive starboard down, trim is positive by the bow. What cannot be told from what is known is null.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

Level = Literal["particulars", "measured", "offsets"]


class Data(BaseModel):
    """Base of the report's parts."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)


class Righting(Data):
    """Lever and moment at one heel, towards ``righting_side``."""

    heel_deg: float
    lever_m: float | None
    """Positive where she would come back; null where what is known does not reach so far."""
    moment_Nm: float | None
    guess: bool = False
    """True where GM was carried on to a heel at which her shape, which is not known, already counts."""


class WindHeel(Data):
    """How far a steady wind heels her."""

    wind_m_s: float
    heel_deg: float | None
    """Null where the wind lays her flat, or where that cannot be told."""
    gust_deg: float | None = None
    """Heel to which a gust of this strength throws her; null where it knocks her down, or where that cannot be told."""
    words: str
    """The same in words."""


class Curve(Data):
    """The righting curve as plain lists, towards ``righting_side``."""

    heel_deg: list[float]
    lever_m: list[float]
    trim_deg: list[float]
    """Trim at each heel, by the bow positive."""


class Flooding(Data):
    """When an opening goes under."""

    name: str
    heel_deg: float | None
    """Heel at which it goes under towards the nearer side; null if it stays dry all the way round."""
    side: Literal["port", "starboard"] | None


class OnMarks(Data):
    """How the water stands to her painted waterline, and her freeboards down to it.

    Amidships is half way along her waterline, at half its breadth.
    """

    stem_mm: float
    """Height of the water over the painted line; negative where the line shows."""
    stern_mm: float
    port_mm: float
    starboard_mm: float
    freeboard_stem_m: float | None
    """From the water up to the deck edge; null without sections."""
    freeboard_stern_m: float | None
    freeboard_port_m: float | None
    freeboard_starboard_m: float | None
    lacking_kg: float
    """Mass that would bring her to her marks; negative is to be taken out."""
    lacking_x_m: float | None
    """Where, forward of the after end of the waterline; null where she has the mass of her marks."""
    lacking_y_m: float | None
    """To port."""
    words: str
    """The same in words."""


class Screening(Data):
    """The screening index in the published form of ISO 12217-2's: an indication, no certificate."""

    index: float | None
    """Null where a figure is lacking."""
    factors: dict[str, float]
    """LBS and the seven factors by their names."""
    words: str


class Condition(Data):
    """How she floats with certain weights in her."""

    displacement_kg: float
    draught_fore_m: float
    """At the fore end of the waterline, from the level of the keel's lowest point."""
    draught_aft_m: float
    """At the after end of the waterline."""
    trim_deg: float
    """Bow down positive."""
    list_deg: float | None
    """Where she comes to rest, starboard down positive; null where GM is nil or negative and her shape unknown."""
    kb_m: float
    bm_m: float
    kg_m: float
    """Her centre of gravity, its free liquids frozen."""
    gm_m: float
    """Metacentric height, upright, what free surfaces take already taken off."""
    kg_per_cm: float
    moment_to_trim_1cm_kgm: float
    volume_m3: float
    righting: list[Righting]
    vanishing_angle_deg: float | None
    """The heel beyond which she does not come back, towards ``righting_side``; 180 where she always does."""
    roll_period_s: float | None
    """Null where GM is nil or negative."""
    heel_in_wind: list[WindHeel]
    basis: Level
    """Which level of knowledge the shape and the centre of gravity rest on: offsets over measured over particulars."""
    basis_words: str
    """The same in words, with what the centre of gravity rests on."""
    lcg_m: float
    """Her centre of gravity, forward of the after end of the waterline."""
    tcg_m: float
    """Her centre of gravity to port of the middle line."""
    lcb_m: float
    """Centre of buoyancy as she lies, forward of the after end of the waterline."""
    lcf_m: float
    """Centre of the waterplane."""
    waterplane_m2: float
    free_surface_loss_m: float
    """What free surfaces take off GM."""
    gm_error_m: float | None
    """How far GM may be off by the error of the measurement it rests on; null where it rests on none."""
    area_under_curve_m_rad: float | None
    """Under the righting curve, from where she rests to the vanishing angle."""
    area_ratio: float | None = None
    """That area over the one below nil beyond the vanishing angle; null where there is none below, or no curve."""
    greatest_lever_m: float | None = None
    """Greatest righting lever GZ, towards ``righting_side``."""
    greatest_lever_deg: float | None = None
    """The heel it stands at."""
    downflooding_deg: float | None = None
    """The least heel at which a stated opening goes under, to either side."""
    pitch_gyradius_m: float | None = None
    """Radius of gyration in pitch, her own taken as a share of her length."""
    righting_side: Literal["port", "starboard"]
    """The side the levers are given to: the one she lists to."""
    curve: Curve | None = None
    """Every degree from 0 to 180; null without sections."""
    flooding: list[Flooding] = []
    """When each stated opening goes under."""
    screening: Screening | None = None
    """Null where [float.screening] is not in the file."""
    on_marks: OnMarks | None = None
    """Null in records of old."""
    comes_back_from_90: bool | None = None
    """Whether she rights herself from her beam ends, tight, towards ``righting_side``; null without sections."""
    comes_back_from_180: bool | None = None
    """Whether she rights herself from upside down; null without sections."""


class Change(Data):
    """After less before."""

    displacement_kg: float
    sinkage_m: float
    """Deeper amidships of the waterline."""
    draught_fore_m: float
    draught_aft_m: float
    trim_deg: float
    list_deg: float | None
    kg_m: float
    gm_m: float
    moment_30_percent: float | None = None
    """Righting moment at 30 degrees, in per cent of before; rig and chainplates are worked by as much."""
    stiffness_percent: float | None
    """How much more righting moment a degree of heel raises: displacement times GM, in per cent of before."""
    words: str
    """Is she stiffer? In words, with the number."""


class Measured(Data):
    """What one measurement says, used or not."""

    what: str
    says: str
    used: bool
    """Whether any figure of the report rests on it."""


class Loose(Data):
    """How she lies when certain weights have broken loose and gone to the low side, and as stowed to the same side."""

    weights: list[str]
    """Their ids."""
    port: Condition
    """All of them gone to port."""
    starboard: Condition
    """All of them gone to starboard."""
    stowed_port: Condition | None = None
    """All of them stowed, levers to port; null in records of old."""
    stowed_starboard: Condition | None = None
    """All of them stowed, levers to starboard."""


class State(Data):
    """How she floats in one of the states of the file."""

    name: str
    lies: Condition


class FloatReport(Data):
    """Before (without the listed weights) and after (with them)."""

    boat: str
    water: str
    """What she floats in."""
    basis: Level
    before: Condition
    after: Condition
    change: Change
    measured: list[Measured]
    assumptions: list[str]
    """What was assumed for want of a figure, a sentence each, and whether it is cautious."""
    notes: list[str]
    """What these figures do not say, a sentence each."""
    states: list[State] = []
    """How she floats in each state of the file."""
    loose: Loose | None = None
    """With the weights asked for gone to the low side; null where none was asked for."""
