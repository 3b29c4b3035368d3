"""One stowed weight, and the names its restraints go by."""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from .base import (
    Force,
    Friction,
    Id,
    InOrder,
    Kind,
    Label,
    Mass,
    Part,
    Patch,
    Point,
    Shape,
    Size,
    Tension,
    Whole,
    YesNo,
)
from .floating import Tank
from .restraints import AnyRestraint, Bed
from .slopes import Lie


class Ingots(Part):
    """A weight made up of like pieces."""

    count: Annotated[Whole, Field(ge=1, le=10_000)]
    """How many."""
    each_kg: Mass
    """Mass of one."""
    joined: Literal["cast", "bolted", "boxed"] | None = None
    """What makes one block of them: cast in one, bolted together, or in a box that is closed and made fast as a whole;
    without it they are loose."""


class BundleTie(Part):
    """What goes round a stack of ingots and makes one bundle of them."""

    tie: Id | None = None
    """Class of cable tie, a name from ``secure-load list lines``."""
    line: Id | None = None
    """Or strap, rope or wire in its place, a name from ``secure-load list lines``."""
    count: Annotated[Whole, Field(ge=1, le=50)] = 1
    """How many, spread evenly along the stack."""
    around: Literal["athwartships", "fore-and-aft", "level"] = "athwartships"
    """Which way they go round: over the top across the boat, over the top along her, or round the sides."""
    each: Annotated[Whole, Field(ge=2, le=50)] | None = None
    """Where it does not go round the whole stack: how many side by side it goes round, as 3 for ingots tied in threes;
    ``count`` is then of each of these."""
    tension_N: Tension = 0.0
    """Tension set up in each."""
    strength_N: Force | None = None
    """Working strength of each where a maker's or a tested figure is known."""
    proposed: YesNo = False
    """True while it is only a proposal and not fitted; then the weight is doubtful at best."""

    @model_validator(mode="after")
    def _one_kind(self) -> BundleTie:
        if self.tie is not None and self.line is not None:
            raise ValueError("give 'tie' or 'line', one of the two and not both")
        return self


_Few = Annotated[Whole, Field(ge=1, le=50)]
_IN_WORDS = re.compile(r"\s*(\d+)\s+along\s*,\s*(\d+)\s+across\s*,\s*(\d+)\s+high\s*")


def _of_words(value: object) -> object:
    """Three numbers from words such as "4 along, 2 across, 1 high"; anything else as it is."""
    if not isinstance(value, str):
        return value
    found = _IN_WORDS.fullmatch(value)
    if found is None:
        raise ValueError('write three whole numbers, or words such as "4 along, 2 across, 1 high"')
    return [int(number) for number in found.groups()]


Layer = Annotated[tuple[_Few, _Few], InOrder]
Stack = Annotated[tuple[_Few, _Few, _Few], InOrder, BeforeValidator(_of_words)]


class Bundle(Part):
    """How the ingots of one weight lie and what holds them to one another."""

    stack: Stack | None = None
    """How many lie fore-and-aft, athwartships, and one on another: three numbers, or "4 along, 2 across, 1 high". The
    top layer may be short: it is then laid from the after end, starboard side first."""
    layers: Annotated[list[Layer], Field(min_length=1, max_length=50)] | None = None
    """Or layer by layer from the bottom, how many lie fore-and-aft and athwartships in each, as [[3, 2], [5, 1]]."""
    ties: Annotated[list[BundleTie], InOrder, Field(max_length=20)] = []
    """What goes round them."""
    friction: Friction = "lead-lead"
    """Between ingot and ingot: a number, or a pair from ``secure-load list friction``."""

    @model_validator(mode="after")
    def _one_way(self) -> Bundle:
        if (self.stack is None) == (self.layers is None):
            raise ValueError("give 'stack' or 'layers', one of the two and not both")
        return self

    @property
    def rows(self) -> list[tuple[int, int]]:
        """How many lie along and across in each layer, from the bottom."""
        if self.layers is not None:
            return list(self.layers)
        assert self.stack is not None
        along, across, high = self.stack
        return [(along, across)] * high


class Weight(Part):
    """One stowed weight and what holds it."""

    id: Id
    """Short name, used by ``neighbour`` and in tables."""
    name: Label | None = None
    """What people call it."""
    kind: Kind | None = None
    """What it is: batteries, gas and tanks are asked more than others; until it is said the weight is doubtful."""
    mass_kg: Mass | None = None
    """Its mass; or give ``ingots``."""
    ingots: Ingots | None = None
    """So many of so much each, in place of ``mass_kg``."""
    bundle: Bundle | None = None
    """How its ingots lie and are tied; without it they are taken as loose, laid as fits its size."""
    at_m: Point
    """Its middle: forward of the after end of the waterline, to port, above the waterline."""
    cg_m: Point | None = None
    """Its centre of gravity from its middle, along its own length, breadth and height, where it is not the middle."""
    size_m: Size | None = None
    """Its size along its own length, breadth and height: fore-and-aft, athwartships and up where it lies level."""
    shape: Shape | None = None
    """A box, a tapered ingot, a cylinder upright or lying along its length, or loose as chain or shingle in a bin."""
    top_size_m: Patch | None = None
    """Length and breadth of the top of a tapered ingot; ``size_m`` is then that of its bottom, and its height."""
    slope_deg: Lie | None = None
    """How it lies, where it does not lie level: as { fore_and_aft = 12 }."""
    drained_locker: YesNo = False
    """For gas: whether it stands on deck, or in a locker sealed from the cabin that drains overboard."""
    measured: YesNo = False
    """Whether it was weighed, not guessed."""
    tank: Tank | None = None
    """Where it is a tank that is neither full nor empty: what is in it, how full, and its size inside."""
    float_only: YesNo = False
    """Crew and stores: they float with her, and nothing is asked of what holds them."""
    photos: Annotated[list[Label], InOrder, Field(max_length=100)] = []
    """File names of photographs of it as it is stowed."""
    restraint: Annotated[list[AnyRestraint], InOrder, Field(max_length=200)] = []
    """What it sits on and what holds it."""

    @model_validator(mode="after")
    def _one_mass(self) -> Weight:
        if self.mass_kg is None and self.ingots is None:
            raise ValueError("needs 'mass_kg', or 'ingots' in its place")
        if self.mass_kg is not None and self.ingots is not None:
            raise ValueError("give 'mass_kg' or 'ingots', one of the two and not both")
        if self.bundle is not None and self.ingots is not None and self.ingots.joined is not None:
            raise ValueError("give 'bundle' or the ingots' 'joined', one of the two and not both")
        if self.float_only and self.kind not in ("other", "stores"):
            raise ValueError(f"'float_only' is for crew and stores: a weight of kind '{self.kind}' has to be held")
        if self.top_size_m is not None and self.shape != "ingot":
            raise ValueError("'top_size_m' is for a tapered ingot: write shape = \"ingot\"")
        if self.cg_m is not None and self.size_m is not None:
            beyond = [abs(c) > 0.5 * s for c, s in zip(self.cg_m, self.size_m, strict=True)]
            if any(beyond) and self.top_size_m is None:
                raise ValueError("'cg_m' lies outside the weight: it is measured from the middle of its size")
        if self.bundle is not None:
            if self.ingots is None:
                raise ValueError("a 'bundle' needs 'ingots': how many and what each weighs")
            rooms = [along * across for along, across in self.bundle.rows]
            if not sum(rooms[:-1]) < self.ingots.count <= sum(rooms):
                raise ValueError(
                    f"the bundle's stack holds {sum(rooms)} ingots, or down to {sum(rooms[:-1]) + 1} where its top "
                    f"layer is short, not {self.ingots.count}"
                )
        if self.mass > 1e6:
            raise ValueError("the ingots together must weigh at most 1,000,000 kg")
        return self

    @property
    def mass(self) -> float:
        """Mass in kg, from ``mass_kg`` or count x each."""
        if self.ingots is not None:
            return self.ingots.count * self.ingots.each_kg
        assert self.mass_kg is not None
        return self.mass_kg

    @property
    def title(self) -> str:
        """The name if there is one, else the id."""
        return self.name or self.id


def restraint_id(weight: Weight, index: int) -> str:
    """Id of a weight's restraint, made from its kind, face and place in the list where none is written."""
    return restraint_ids(weight)[index]


def restraint_ids(weight: Weight) -> list[str]:
    """Ids of all a weight's restraints, in order; no two are alike."""
    taken = {r.id for r in weight.restraint if r.id}
    seen: dict[str, int] = {}
    ids: list[str] = []
    for restraint in weight.restraint:
        if restraint.id:
            ids.append(restraint.id)
            continue
        face: Any = (
            restraint.edge if isinstance(restraint, Bed) and restraint.edge else getattr(restraint, "face", None)
        )
        base = f"{face}-{restraint.type}" if face else restraint.type
        number = seen.get(base, 0) + 1
        candidate = base if number == 1 else f"{base}-{number}"
        while candidate in taken:
            number += 1
            candidate = f"{base}-{number}"
        seen[base] = number
        taken.add(candidate)
        ids.append(candidate)
    return ids
