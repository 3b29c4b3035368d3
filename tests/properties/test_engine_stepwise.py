"""Held or free, and how hard, against the load followed step by step (``tests.reference.path``), on stows drawn with
slack, tight lines and friction.

The reference keeps the same rule about what friction may rest on, worked out by itself. Where it is at rest, or on its
way, the engine says so too. Forces and displacements are compared where nothing is slack or tight: there the load
comes on in proportion, and both answers are of one law. With slack or a tight line they hang on the order in which
things came to bear, which the engine does not follow.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import Equilibrium, solve
from secure_load.solver.springs import SpringSet
from tests.reference import path, stows

SOFT_TYPES = ("cable_tie", "bolt", "bond")
"""Left out beside the path, which crosses what is very soft too slowly; bolts and bonds say nothing about friction."""


@dataclass
class Drawn:
    links: SpringSet
    load: np.ndarray
    case: path.Case
    found: Equilibrium

    @property
    def homogeneous(self) -> bool:
        return not self.links.has_preload


def draw(count: int) -> list[Drawn]:
    rng = np.random.default_rng(77)
    kinds = [kind for kind in stows.TYPES if kind not in SOFT_TYPES]
    drawn: list[Drawn] = []
    for number in range(count):
        wanted = kinds[int(rng.integers(len(kinds)))]
        slack = 0.3 if number % 2 else 0.0
        weight = stows.draw(rng, wanted, (0.05, 0.6), tight=0.3, without=SOFT_TYPES, slack=slack)
        stowed = build_single_model(weight, stows.BOAT)
        load = stows.loads(rng, stowed.body.mass, 2)[1]
        made = [link for fitting in stowed.restraints for link in fitting.springs]
        case = path.case(stowed.springs, made, np.zeros(3), load)
        drawn.append(Drawn(stowed.springs, load, case, solve(stowed.springs, load[None])))
    return drawn


def by_restraint(links: SpringSet, normal: np.ndarray) -> np.ndarray:
    return np.array([normal[links.restraint == index].sum() for index in np.unique(links.restraint)])


@pytest.mark.long
@pytest.mark.parametrize("count", [30, pytest.param(300, marks=pytest.mark.slow)])
def test_held_or_free_and_how_hard(count: int) -> None:
    drawn = draw(count)
    ends = path.follow([one.case for one in drawn], steps=4000, wait=8000)
    free = np.array([bool(one.found.free[0]) for one in drawn])
    # close to the limit a held and a sliding state both balance at times: the engine then says free
    assert np.count_nonzero(ends.at_rest & free) <= count // 100
    greased = np.array([bool(solve(one.links.frictionless(), one.load[None]).free[0]) for one in drawn])
    # what grease would hold only creeps to rest, however long that takes
    assert not np.flatnonzero(ends.moving & ~free & greased).tolist()
    assert ends.at_rest.mean() > 0.6
    assert ends.moving.mean() > 0.15

    some = [one for one in drawn if one.homogeneous and not one.found.free[0]]
    plain = path.follow([replace(one.case, faces=0 * one.case.faces) for one in some], steps=4000, wait=8000)
    off: list[tuple[float, float]] = []
    for one, normal, u, rests in zip(some, plain.normal, plain.u, plain.at_rest, strict=True):
        if rests:
            theirs, ours = by_restraint(one.links, normal), by_restraint(one.links, one.found.normal[0])
            force = float(np.abs(ours - theirs).max() / theirs.max())
            off.append((force, float(np.linalg.norm(one.found.displacement[0] - u) / np.linalg.norm(u))))
    forces, places = np.array(off).T
    assert len(off) >= count // 8
    # of 65 stows among 300, four are out by 5 to 9 % and three by 14 to 30 % in place
    assert forces.max() < 0.12
    assert (forces < 0.05).mean() >= 0.92
    assert (places < 0.10).mean() >= 0.95
