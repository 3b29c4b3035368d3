"""Loads passed over change nothing: the sweep against every load solved, on the weights of the demo boats."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from secure_load.boat.file import read_boat
from secure_load.boat.models import BoatFile, Neighbour, Weight
from secure_load.check.context import make_context
from secure_load.check.response import Response
from secure_load.check.sampler import worst_over_bounds
from secure_load.loads.load_cases import LoadCases
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model

BOATS = [read_boat(path) for path in sorted((Path(__file__).parents[2] / "demo_boats").glob("*.toml"))]
ALONE = [
    pytest.param(boat, weight, id=f"{boat.boat.name}-{weight.id}")
    for boat in BOATS
    for weight in boat.weight
    if not any(isinstance(r, Neighbour) for r in weight.restraint)
]
LIMITS = [0.8, 1.0]
"""Between the colours."""


def ready(boat: BoatFile, weight: Weight) -> tuple[GroupModel, LoadCases, np.ndarray]:
    stowed = build_single_model(weight, boat.boat)
    meant = make_context(boat).load_cases_for(weight)
    moments = meant.instants.at(meant.unique_rows)
    return stowed, meant, stowed.loads_at(moments)


@pytest.mark.long
@pytest.mark.parametrize(("boat", "weight"), ALONE)
def test_a_sweep_finds_what_every_load_solved_finds(boat: BoatFile, weight: Weight) -> None:
    stowed, meant, load = ready(boat, weight)
    swept = worst_over_bounds(stowed, load, meant)
    every = _chunks(stowed, load)
    a, b = swept.worst(stowed, 0), every
    assert swept.is_solved is not None
    assert np.count_nonzero(swept.is_solved) < 0.9 * len(load)
    for scenario in meant.occurs.T:
        free = np.isinf(b[scenario]).any()
        assert np.isinf(a[scenario]).any() == free
        if not free:
            # where friction has two answers the sweep may come upon the harder one
            assert (1.0 - 2e-3) * b[scenario].max() <= a[scenario].max() <= 1.08 * b[scenario].max()
    # of what is free beside what is held some is taken for free unlooked-at; in a jam friction has two answers
    swept_colour, every_colour = np.digitize(a, LIMITS), np.digitize(b, LIMITS)
    assert np.count_nonzero(swept_colour < every_colour) <= 10
    assert np.count_nonzero(swept_colour > every_colour) <= 0.003 * len(load)


def _chunks(stowed: GroupModel, load: np.ndarray) -> np.ndarray:
    """The utilisation at every load, solved from everything in touch, a thousand at a time."""
    found: list[Response] = [worst_over_bounds(stowed, load[i : i + 1000]) for i in range(0, len(load), 1000)]
    return np.concatenate([each.worst(stowed, 0) for each in found])


def test_what_is_passed_over_is_told_in_proportion_to_the_load_that_stands_for_it() -> None:
    boat = BOATS[0]
    stowed, meant, load = ready(boat, next(w for w in boat.weight if w.id == "midship-pigs"))
    swept = worst_over_bounds(stowed, load, meant)
    assert swept.bins
    assert swept.is_solved is not None
    passed = ~swept.is_solved
    assert passed.any()
    told = np.array([swept.by_restraint[b.representative[b.bin]] * b.relative_magnitude[:, None] for b in swept.bins])
    # by the finest bin whose own load was solved, in each bound of stiffness and friction
    assert (swept.by_restraint <= told.max(axis=0) * (1.0 + 1e-9))[passed].all()
    assert (swept.by_restraint >= told.min(axis=0) * (1.0 - 1e-9))[passed].all()
