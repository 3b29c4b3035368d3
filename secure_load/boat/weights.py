"""One stowed weight, and the names its restraints go by."""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, model_validator

from .base import Id, InOrder, Kind, Label, Mass, Part, Point, Size, Whole, YesNo
from .floating import Tank
from .restraints import AnyRestraint


class Ingots(Part):
    """A weight made up of like pieces."""

    count: Annotated[Whole, Field(ge=1, le=10_000)]
    """How many."""
    each_kg: Mass
    """Mass of one."""


class Weight(Part):
    """One stowed weight and what holds it."""

    id: Id
    """Short name, used by ``neighbour`` and in tables."""
    name: Label | None = None
    """What people call it."""
    kind: Kind = "other"
    """What it is."""
    mass_kg: Mass | None = None
    """Its mass; or give ``ingots``."""
    ingots: Ingots | None = None
    """So many of so much each, in place of ``mass_kg``."""
    at_m: Point
    """Its centre of gravity: forward of the after end of the waterline, to port, above the waterline."""
    size_m: Size | None = None
    """Fore-and-aft, athwartships, height."""
    measured: YesNo = False
    """True where it was weighed, not guessed."""
    tank: Tank | None = None
    """Where it is a tank that is neither full nor empty: what is in it, how full, and its size inside."""
    restraint: Annotated[list[AnyRestraint], InOrder, Field(max_length=200)] = []
    """What it sits on and what holds it."""

    @model_validator(mode="after")
    def _one_mass(self) -> Weight:
        if self.mass_kg is None and self.ingots is None:
            raise ValueError("needs 'mass_kg', or 'ingots' in its place")
        if self.mass_kg is not None and self.ingots is not None:
            raise ValueError("give 'mass_kg' or 'ingots', one of the two and not both")
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
        face: Any = getattr(restraint, "face", None)
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
