"""Sets of links worked side by side are answered as each is by itself."""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model
from secure_load.solver.case_set import leave_one_out, stack
from secure_load.solver.equilibrium import solve, solve_cases
from tests.reference import stows

SEEDS = range(12)


def drawn(seed: int) -> GroupModel:
    rng = np.random.default_rng(seed)
    return build_single_model(stows.draw(rng, friction=(0.1, 0.4) if seed % 2 else None, tight=0.0), stows.BOAT)


def loads(stowed: GroupModel, seed: int) -> np.ndarray:
    return stows.loads(np.random.default_rng(seed), stowed.body.mass, 40)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bounds_of_a_stow_side_by_side(seed: int) -> None:
    stowed = drawn(seed)
    load = loads(stowed, seed)
    several = list(stowed.bounds.values())
    cases = stack(several)
    assert cases.count == len(several)
    case = np.repeat(np.arange(cases.count), len(load))
    found = solve_cases(cases, case, np.tile(load, (cases.count, 1)))
    for index, links in enumerate(several):
        own = case == index
        alone = solve(links, load)
        # with friction a load in many may have a held and a free answer, and each way come upon another
        assert np.count_nonzero(found.free[own] != alone.free) <= (1 if len(links.tangent_stiffness) else 0)
        held = ~alone.free
        if not len(links.tangent_stiffness):  # without friction there is one answer
            assert found.normal[own][held] == pytest.approx(alone.normal[held], abs=1e-6 * np.abs(load).max())


@pytest.mark.parametrize("seed", SEEDS)
def test_a_restraint_that_is_away_bears_nothing_and_the_rest_bear_what_they_do_without_it(seed: int) -> None:
    stowed = drawn(2 * seed)  # greased: one answer
    load = loads(stowed, seed)
    names = stowed.fastened(0)
    if not names:
        pytest.skip("nothing fastened was drawn")
    cases = leave_one_out(stowed.springs, names)
    case = np.repeat(np.arange(cases.count), len(load))
    found = solve_cases(cases, case, np.tile(load, (cases.count, 1)))
    for index, name in enumerate(names):
        own = case == index
        stays = stowed.springs.restraint != name
        assert not found.normal[own][:, ~stays].any()
        alone = solve(stowed.springs.without_restraint(name), load)
        assert np.array_equal(found.free[own], alone.free)
        held = ~alone.free
        assert found.normal[own][held][:, stays] == pytest.approx(alone.normal[held], abs=1e-6 * np.abs(load).max())


def test_greased_bounds_beside_rough_ones() -> None:
    """The least friction may be none at all: its set has no friction rows, and is worked with those of the other."""
    rough = drawn(3).springs
    cases = stack([rough.frictionless(), rough])
    load = loads(drawn(3), 3)
    found = solve_cases(cases, np.zeros(len(load), dtype=np.int64), load)
    alone = solve(rough.frictionless(), load)
    assert np.array_equal(found.free, alone.free)
    assert not found.tangential[~alone.free].any()
    held = ~alone.free
    assert found.normal[held] == pytest.approx(alone.normal[held], abs=1e-6 * np.abs(load).max())
