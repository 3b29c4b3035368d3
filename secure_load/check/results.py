"""The verdict as plain data: the one object the screen shows, the record writes and ``check --json`` prints.

Forces in newtons, angles in degrees, lengths in metres. The boat's axes: x forward, y to port, z up.
"""

from __future__ import annotations

import json
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from secure_load.boat.models import Weight

Colour = Literal["green", "amber", "red"]
RANK: dict[Colour, int] = {"green": 0, "amber": 1, "red": 2}
WORD: dict[Colour, str] = {"green": "holds", "amber": "doubtful", "red": "fails"}
LETTER: dict[Colour, str] = {"green": "G", "amber": "A", "red": "R"}


def worse(*colours: Colour) -> Colour:
    """The worst of several colours; green of none."""
    worst: Colour = "green"
    for each in colours:
        if RANK[each] > RANK[worst]:
            worst = each
    return worst


SCHEMA_FILE = "check.schema.json"
"""Name of the published schema, beside this module."""


class Data(BaseModel):
    """Base of the verdict's parts."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)


class Instant(Data):
    """The one moment that asks most of a weight's restraints."""

    scenario: str
    heel_deg: float
    pitch_deg: float
    load_factor: float
    demand_N: tuple[float, float, float]
    """Force on the weight [x, y, z] in the boat's axes."""


class PartFigure(Data):
    """One part of a restraint at its own worst instant."""

    part: str
    """What would go: screws, line, eye, timber in bending ..."""
    demand_N: float
    strength_N: float | None
    """Working strength on the same footing as the demand; null where there is none to be had."""
    utilisation: float
    basis: str
    """Whose figure the strength is, and what kind of figure."""
    assumed: bool = False
    """True where the strength rests on something nobody measured or wrote down."""
    why: list[str] = []
    """The chain of figures behind the strength, a line each, with its source."""


class RestraintVerdict(Data):
    """One restraint, down to its weakest part."""

    id: str
    type: str
    face: str | None = None
    utilisation: float
    part: str
    """The part that governs."""
    demand_N: float
    strength_N: float | None
    basis: str
    assumed: bool = False
    parts: list[PartFigure] = []


class FirstToGo(Data):
    """What gives way first."""

    restraint: str
    part: str
    demand_N: float
    strength_N: float | None
    basis: str


class HoldsToHeel(Data):
    """The last heel before the weight goes red, going out from upright; null if it is red upright."""

    port: float | None
    starboard: float | None


class HoldsG(Data):
    """The largest acceleration, in g, that the restraints hold in each direction of the boat."""

    down: float | None
    up: float | None
    port: float | None
    starboard: float | None
    fore: float | None
    aft: float | None
    weakest: float | None
    """The least over a sphere of directions; null is "more than anything that was tried"."""
    weakest_direction: str


class IfLoose(Data):
    """What happens if it gets loose: indicative only."""

    fall_m: float
    energy_J: float
    plank_absorbs_J: float | None
    """Null where the planking is not known."""


class BundleVerdict(Data):
    """Whether every ingot of a bundle stays in it."""

    ingot: str | None
    """The one that gets out, or that asks most of a tie."""
    tie: str | None
    utilisation: float | None
    """Of the hardest worked tie; null where an ingot gets out."""
    verdict: Colour
    heel_deg: float | None
    sentence: str


class Remedy(Data):
    """One way to mend a weight, as verified by a full check."""

    change: str
    """What to do, in words."""
    work: str
    """How long it takes at the boat, in words; an estimate."""
    minutes: int
    """The same as a number."""
    utilisation: float | None
    """Of the weight once it is done; null where it would still be free to move."""
    verdict: Colour
    """Of the weight once it is done."""
    kind: Literal["change", "measure", "none"] = "change"
    """Something to make; something to measure and write down, that the program cannot do; or nothing that serves."""
    weight: Weight | None = Field(default=None, exclude=True, repr=False)
    """The changed weight, for putting in the place of the old one."""


class ScenarioVerdict(Data):
    """One weight in one scenario."""

    scenario: str
    verdict: Colour
    utilisation: float | None
    free_to_move: bool
    heel_deg: float
    """Heel of its worst instant."""


class Failure(Data):
    """One thing that gives way as the worst load grows."""

    restraint: str
    part: str
    load_factor: float
    """Load factor of the worst instant times the scale at which it goes; in the weight's own weights where the instant
    itself is weightless."""
    heel_deg: float
    then: str
    """What follows, in words."""
    sentence: str
    """All of it in one numbered sentence."""


class Bearing(Data):
    """What a bed bears at most over all instants."""

    on: str
    """What carries it, as far as that was said."""
    pressure_kPa: float
    """Under the hardest pressed quarter of the bed."""
    utilisation: float
    """Of what its timber bears across the grain; of the plank's bending too where it lies on planking."""
    sentence: str


class WeightVerdict(Data):
    """One weight over all the scenarios that were run."""

    id: str
    name: str
    kind: str
    mass_kg: float
    verdict: Colour
    reasons: list[str]
    """Why, in words, the gravest first."""
    utilisation: float | None
    """Demand over working strength at the worst; null when it is free to move or was not checked."""
    free_to_move: bool
    moves: str | None
    """Which way it would go, in words; null when it is held."""
    unchecked: str | None = None
    """Why there is no answer, in words; null where it was checked. Then all figures below are null or empty."""
    movement_mm: float = 0.0
    """The greatest distance that any corner of it moves from its place at rest upright before it is held, over all
    instants at which it is held. Worked out for small movements: over some 100 mm it says only that it goes far."""
    movement_direction: str = ""
    """Which way that corner moves, in words."""
    movement_at: Instant | None = None
    """When it moves that far; null where it is never held."""
    worst: Instant | None
    first_to_go: FirstToGo | None
    restraints: list[RestraintVerdict]
    second_path: bool
    holds_to_heel_deg: HoldsToHeel | None
    holds_g: HoldsG | None
    if_loose: IfLoose | None
    scenarios: list[ScenarioVerdict]
    bundle: BundleVerdict | None = None
    """Inside a bundle of ingots, where one was described."""
    remedies: list[Remedy] = []
    """What would mend it, least work first; filled only where it was asked for."""
    assumptions: list[str]
    """What was assumed for want of a figure, a sentence each."""
    warnings: list[str] = []
    """What a careful shipwright would still look at, a sentence each."""
    order_of_failure: list[Failure] = []
    """What breaks first as the worst load grows, and what follows; empty where it is free to move as it is."""
    bearing: list[Bearing] = []
    """What each bed bears."""
    is_complete: bool = Field(default=True, exclude=True)
    """False of the first verdict on a weight of a group, before what is told beside it is there."""


class ScenarioRun(Data):
    """A scenario as it was run."""

    id: str
    name: str
    why: str
    source: str
    instants: int
    verdict: Colour


class BoatVerdict(Data):
    """The whole boat: what ``check --json`` prints."""

    version: Literal[1] = 1
    """Version of this format; a key is never removed or given another meaning without a new one."""
    boat: str
    scenarios: list[ScenarioRun]
    verdict: Colour
    cautions: list[str]
    weights: list[WeightVerdict]
    instants: int
    """How many instants were solved, all weights together."""


def verdict_schema_text() -> str:
    """The JSON Schema of what ``check --json`` prints, made from the models; published beside this module."""
    return schema_text(BoatVerdict)


def schema_text(model: type[BaseModel]) -> str:
    """The JSON Schema of what a model is written as."""
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    schema |= model.model_json_schema(by_alias=True, mode="serialization")
    return json.dumps(schema, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
