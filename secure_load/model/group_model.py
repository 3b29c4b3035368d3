"""Weights ready to be solved together: their bodies, restraints, failure modes and the springs between their bounds."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from secure_load.boat.models import Bed, Bond, CableTie, Neighbour, Weight
from secure_load.catalogue.strengths import Service
from secure_load.loads.load_cases import Instants, loads
from secure_load.model.assumptions import Assumptions
from secure_load.model.body import Body
from secure_load.model.contact import RestraintModel
from secure_load.model.failure.failure_mode import FailureMode
from secure_load.model.sliding import all_sliding
from secure_load.solver.arrays import Array
from secure_load.solver.case_set import CaseSet, stack
from secure_load.solver.springs import SpringSet

NOMINAL = "stiffness as worked out, least friction"
STIFFNESS_SPREAD = "soft parts twice as soft, stiff parts twice as stiff"
HIGH_FRICTION = "most friction"


class CannotCheck(Exception):
    """A weight that cannot be checked as it is written: one sentence, with where it is."""

    def __init__(self, weight: str, restraint: str | None, key: str | None, problem: str) -> None:
        self.weight, self.restraint, self.key, self.problem = weight, restraint, key, problem
        where = f"weight '{weight}'" + (f", restraint '{restraint}'" if restraint else "")
        super().__init__(f"{where}: {problem}")


@dataclass(frozen=True)
class Member:
    """One weight of a group."""

    weight: Weight
    body: Body
    notes: Assumptions
    warnings: list[str]


@dataclass(frozen=True)
class GroupModel:
    """Weights ready to be solved together; most often one."""

    members: list[Member]
    service: Service
    restraints: list[RestraintModel]
    """Of all members; a fitting's place is its index, its ``owner`` the member it was written for."""
    failure_modes: list[list[FailureMode]]
    """By fitting."""
    bounds: dict[str, SpringSet]
    """The links as they may be: least and most friction and tension, stiffness as worked out and spread."""

    @property
    def springs(self) -> SpringSet:
        """The links as worked out, with the least friction."""
        return self.bounds[NOMINAL]

    sliding: frozenset[int] = frozenset()
    """Members whose least friction is that of sliding."""

    @property
    def slid(self) -> GroupModel:
        """The same with the least friction of all members that of sliding."""
        rows = (row for f in self.restraints for row in f.springs)
        but = np.array([i for i, row in enumerate(rows) if any(leg.body in self.sliding for leg in row.attachments)])
        every = frozenset(range(len(self.members)))
        bounds = {n: links if n == HIGH_FRICTION else all_sliding(links, but) for n, links in self.bounds.items()}
        return replace(self, bounds=bounds, sliding=every)

    @cached_property
    def cases(self) -> CaseSet:
        """The bounds side by side, in their order."""
        return stack(list(self.bounds.values()))

    @property
    def body(self) -> Body:
        """The first weight's box."""
        return self.members[0].body

    def restraints_of(self, member: int) -> list[RestraintModel]:
        """What a member leans on or is held by: its own restraints and contacts with neighbours."""
        return [f for f in self.restraints if member in f.owners or f.other == member]

    def unrated(self, member: int) -> list[RestraintModel]:
        """A member's cable ties and bonds: nobody rates them for a load that must not come loose."""
        return [f for f in self.restraints_of(member) if isinstance(f.restraint, CableTie | Bond)]

    def fastened(self, member: int) -> list[int]:
        """Which of a member's own restraints somebody fastened: all but plain bearings."""
        return [f.index for f in self.restraints if member in f.owners and not isinstance(f.restraint, Bed | Neighbour)]

    def loads_at(self, moments: Instants) -> Array:
        """What all members feel at some instants, as the engine's loads (n, 6 b)."""
        load = self.total_load([loads(moments, m.body.mass, m.body.at) for m in self.members])
        for index, member in enumerate(self.members):
            # where she begins to roll or stops rolling, a weight resists being turned with her
            about_roll = member.body.inertia[:, 0] / member.body.rotation_scale
            load[:, 6 * index + 3 : 6 * index + 6] = -np.outer(moments.roll_acceleration, about_roll)
        return load

    def total_load(self, forces: list[Array]) -> Array:
        """Forces (n, 3) on each member, as the engine's loads (n, 6 b)."""
        load = np.zeros((len(forces[0]), 6 * len(self.members)))
        for index, force in enumerate(forces):
            load[:, 6 * index : 6 * index + 3] = force
        return load
