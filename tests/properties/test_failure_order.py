"""The order of failure of stows drawn at random.

It never begins below the load at which the first part is worked to its working strength, never goes down, and never
tells of a restraint twice. Taking away beforehand the one that would go first never raises the load at which the
weight is free; and, without friction, a weight that is free stays free with a restraint less.
"""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from secure_load.check.failure_order import Event, breaking_order
from secure_load.check.response import evaluate
from secure_load.model.group_model import NOMINAL, GroupModel
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve
from tests.reference import stows

seeds = st.integers(0, 10_000_000)
FEW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])


def drawn(seed: int, tight: float = 0.0, rough: bool = True) -> tuple[GroupModel, Any]:
    """A stow and a load (6,) on it."""
    rng = np.random.default_rng(seed)
    weight = stows.draw(rng, friction=(0.1, 0.6) if rough else None, tight=tight)
    stowed = build_single_model(weight, stows.BOAT)
    return stowed, stowed.total_load([stows.loads(rng, weight.mass, 2)[1:]])[0]


def order(stowed: GroupModel, load: Any, links: Any = None) -> list[Event] | None:
    """None where it is free, or worked by nothing, to begin with."""
    links = stowed.springs if links is None else links
    if not len(links.stiffness):
        return None
    worst = float(evaluate(stowed, NOMINAL, links, load[None, :]).worst(stowed, 0)[0])
    if not 0.0 < worst < np.inf:
        return None
    return breaking_order(stowed, 0, links, load, worst)[0]


@pytest.mark.long
@FEW
@given(seeds, st.sampled_from((0.0, 0.8)))
def test_loads_never_go_down_and_nothing_goes_twice(seed: int, tight: float) -> None:
    stowed, load = drawn(seed, tight)
    events = order(stowed, load)
    if events is None:
        return
    scales = [event.scale for event in events]
    # what is found by bracketing is found to within a hundredth or two
    assert all(b >= a * 0.97 for a, b in itertools.pairwise(scales))
    gone = [event.fitting for event in events if event.lets_go]
    assert len(gone) == len(set(gone))


@FEW
@given(seeds)
def test_nothing_breaks_below_the_working_capacity(seed: int) -> None:
    stowed, load = drawn(seed)
    events = order(stowed, load)
    if not events:
        return
    worst = float(evaluate(stowed, NOMINAL, stowed.springs, load[None, :]).worst(stowed, 0)[0])
    assert events[0].scale >= 1.0 / worst * (1.0 - 1e-9)


@FEW
@given(seeds)
def test_taking_away_the_first_to_go_never_raises_what_is_held(seed: int) -> None:
    stowed, load = drawn(seed)
    events = order(stowed, load)
    going = [event for event in events or [] if event.lets_go]
    if not going:
        return
    without = order(stowed, load, stowed.springs.without_restraint(going[0].fitting))
    left = [event for event in without or [] if event.lets_go]
    assert [event.fitting for event in left] == [event.fitting for event in going[1:]]
    if left:
        assert left[-1].scale <= going[-1].scale * (1.0 + 1e-9)


@FEW
@given(seeds)
def test_a_greased_weight_that_is_free_is_free_with_a_restraint_less(seed: int) -> None:
    stowed, load = drawn(seed, rough=False)
    held = not solve(stowed.springs, load[None, :]).free[0]
    for fitting in stowed.restraints:
        links = stowed.springs.without_restraint(fitting.index)
        if not held and len(links.stiffness):
            assert solve(links, load[None, :]).free[0]


def test_the_stows_drawn_do_break_in_order() -> None:
    """The properties above are not met by having nothing to say."""
    told = [order(*drawn(seed)) for seed in range(60)]
    assert sum(events is not None and len(events) > 0 for events in told) >= 16
    assert sum(events is not None and len([e for e in events if e.lets_go]) > 1 for events in told) >= 6
