"""What a person writes about a boat: the weights in her, what holds each one, and what may happen to her.

These models are the manual, the form's help and the JSON Schema at once: the docstring under a field is
the sentence the owner reads. Units are the file's units (metres, millimetres where the key ends in
``_mm``, kilograms, degrees); the conversion to radians and metres is made in ``model`` and nowhere else.

Only what nobody can guess is required (an id, a mass, a place). Every other detail may be left out: it
stays ``None`` here, and the room that needs it fills in a marked, conservative assumption.

The parts live in modules of their own; this one holds the whole file and is the door to all of them.
"""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

import difflib
import json
from collections.abc import Mapping
from typing import Annotated, Any, Literal, cast

from pydantic import ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from .base import (
    Edge,
    Face,
    Finite,
    Id,
    InOrder,
    Kind,
    Label,
    NotNegative,
    Part,
    Point,
    Shape,
    SideFace,
    Size,
    Support,
    WholeChoice,
)
from .hull import BoatParticulars, FloatData, HalfPoint, HullSection, Planking, Sole
from .restraints import (
    Anchors,
    AnyRestraint,
    Batten,
    Bed,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Finding,
    Lashing,
    Neighbour,
    Pad,
    Restraint,
    Screws,
    SharedBatten,
    SharedCleat,
    SharedRestraint,
    Strap,
    TopCleat,
)
from .scenario import Duration, HeelRange, Scenario, Set
from .schema import upgraded
from .slopes import Lie
from .structure import Structure
from .weights import Bundle, BundleTie, Ingots, Weight, restraint_id, restraint_ids

__all__ = [
    "Anchors",
    "AnyRestraint",
    "Batten",
    "Bed",
    "BoatFile",
    "BoatParticulars",
    "Bolt",
    "Bond",
    "Bundle",
    "BundleTie",
    "CableTie",
    "Cleat",
    "Duration",
    "Edge",
    "Face",
    "Finding",
    "Finite",
    "FloatData",
    "HalfPoint",
    "HeelRange",
    "HullSection",
    "Id",
    "Ingots",
    "Kind",
    "Label",
    "Lashing",
    "Lie",
    "Neighbour",
    "NotNegative",
    "Pad",
    "Part",
    "Planking",
    "Point",
    "Restraint",
    "Scenario",
    "Screws",
    "Set",
    "Shape",
    "SharedBatten",
    "SharedCleat",
    "SharedRestraint",
    "SideFace",
    "Size",
    "Sole",
    "Strap",
    "Structure",
    "Support",
    "TopCleat",
    "Weight",
    "restraint_id",
    "restraint_ids",
]


class BoatFile(Part):
    """A whole boat file."""

    schema_: Annotated[Literal[2], WholeChoice] = Field(default=2, alias="schema")
    """Version of this file format."""
    boat: BoatParticulars
    """The boat."""
    weight: Annotated[list[Weight], InOrder, Field(max_length=20_000)] = []
    """The weights stowed in her."""
    restraint: Annotated[list[SharedRestraint], InOrder, Field(max_length=200)] = []
    """What holds several weights at once."""
    scenario: Annotated[list[Scenario], InOrder, Field(max_length=200)] = []
    """The owner's own scenarios, beside the built-in ones."""
    structure: Structure | None = None
    """What she is built of where weights lie."""
    float_: FloatData | None = Field(default=None, alias="float")
    """What is known of how she floats."""

    model_config = ConfigDict(populate_by_name=True)

    @model_validator(mode="before")
    @classmethod
    def _of_schema_1(cls, data: Any) -> Any:
        return upgraded(cast("Mapping[str, Any]", data)) if isinstance(data, Mapping) else data

    @model_validator(mode="after")
    def _ids(self) -> BoatFile:
        _unique(("weight",), [w.id for w in self.weight])
        _unique(("scenario",), [s.id for s in self.scenario])
        _unique(("restraint",), [r.id for r in self.restraint])
        for place, weight in enumerate(self.weight):
            shared = [r.id for r in self.restraint if weight.id in r.over]
            _unique(("weight", place, "restraint"), [*shared, *(r.id for r in weight.restraint)], len(shared))
        return self

    @model_validator(mode="after")
    def _neighbours(self) -> BoatFile:
        known = {w.id for w in self.weight}
        for place, weight in enumerate(self.weight):
            for number, restraint in enumerate(weight.restraint):
                if not isinstance(restraint, Neighbour):
                    continue
                path = ("weight", place, "restraint", number, "weight")
                if restraint.weight == weight.id:
                    raise _at(path, f"weight '{weight.id}' cannot lean against itself")
                _known(path, restraint.weight, known)
        for number, shared in enumerate(self.restraint):
            for place, name in enumerate(shared.over):
                _known(("restraint", number, "over", place), name, known)
        return self

    @model_validator(mode="after")
    def _structure(self) -> BoatFile:
        if self.structure is None:
            return self
        for key in ("planking", "sole"):
            if getattr(self.structure, key) is not None and getattr(self.boat, key) is not None:
                raise _at(("structure", key), f"{key} is given under [boat] as well: give it in one of the two")
        length, floors = self.boat.lwl_m, self.structure.floors
        if floors is None or length is None:
            return self
        for station in floors.stations(length):
            # a long overhang at either end is a quarter of the waterline
            if not -0.25 * length <= station <= 1.25 * length:
                raise _at(
                    ("structure", "floors"),
                    f"the floor at {station:g} m lies outside her hull, whose waterline is {length:g} m long",
                )
        return self

    def with_shared(self, weight: Weight) -> Weight:
        """The weight with the pieces that hold it together with others among its restraints."""
        pieces = [r for r in self.restraint if weight.id in r.over]
        return weight.model_copy(update={"restraint": [*weight.restraint, *pieces]}) if pieces else weight

    def weights_as_held(self) -> list[Weight]:
        """All weights, each with whatever holds it."""
        return [self.with_shared(weight) for weight in self.weight]


def _at(path: tuple[str | int, ...], sentence: str) -> PydanticCustomError:
    """An error found by looking at the whole file, that still knows the key it is about."""
    return PydanticCustomError("boat_place", "{sentence}", {"sentence": sentence, "path": path})


def _known(path: tuple[str | int, ...], weight: str, known: set[str]) -> None:
    """Raise an error that names the nearest weight where there is none of this name."""
    if weight not in known:
        near = difflib.get_close_matches(weight, known, 1)
        hint = f"; did you mean '{near[0]}'?" if near else ""
        raise _at(path, f"there is no weight '{weight}' in this file{hint}")


def _unique(path: tuple[str | int, ...], ids: list[str | None], before: int = 0) -> None:
    """``before``: how many of the ids come from elsewhere than the list that the path names."""
    seen: set[str] = set()
    for place, each in enumerate(ids, -before):
        if each is None:
            continue
        if each in seen:
            raise _at((*path, place, "id"), f"the {path[-1]} id '{each}' is used twice")
        seen.add(each)


def boat_schema_text() -> str:
    """The JSON Schema of the boat file, made from the models, as it is published beside this module."""
    schema = BoatFile.model_json_schema(by_alias=True)
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
    return json.dumps(schema, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
