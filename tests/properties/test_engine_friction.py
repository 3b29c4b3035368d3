"""Coulomb friction in the load engine, on stows drawn at random.

Reference: the load followed in small steps with an exact friction disc (``tests.reference.path``), which shares no
code and no idea with the engine's solver. How much a stow holds under Coulomb's law hangs a little on its history,
so the two may differ; where they do, by how much is stated here and bounded.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve
from secure_load.solver.springs import Spring
from tests.reference import path, stows

G = 9.80665
SOFT_TYPES = ("cable_tie", "bolt", "bond")
"""Left out beside the path: ties are a hundred thousand times softer than beds, which small steps cross too slowly;
bolts and bonds hold everything and say nothing about friction."""
seeds = st.integers(min_value=0, max_value=2**32 - 1)
few = settings(max_examples=30, deadline=None)


def rough(seed: int, without: tuple[str, ...] = (), tight: float = 0.3) -> tuple[np.random.Generator, GroupModel]:
    rng = np.random.default_rng(seed)
    kinds = [kind for kind in stows.TYPES if kind not in without]
    weight = stows.draw(rng, kinds[int(rng.integers(len(kinds)))], (0.05, 0.6), tight=tight, without=without)
    return rng, build_single_model(weight, stows.BOAT)


def made(stowed: GroupModel) -> list[Spring]:
    return [link for fitting in stowed.restraints for link in fitting.springs]


def last_held(stowed: GroupModel, rest: np.ndarray, more: np.ndarray) -> float | None:
    """The share of ``more`` up to which the engine holds the weight; None where it always or never does."""
    low, high = 0.0, 3.0
    for count in (40, 12, 12, 12):
        shares = np.linspace(low, high, count)
        free = solve(stowed.springs, rest + shares[:, None] * more).free
        if free[0] or not free.any():
            return None
        first = int(np.argmax(free))
        low, high = float(shares[first - 1]), float(shares[first])
    return low


@pytest.mark.long
def test_what_a_stow_holds_agrees_with_following_the_load() -> None:
    """Pushed harder and harder in a drawn direction: the engine's limit against that of the path.

    At 0.97 of the engine's limit the path is at rest; at 1.03 of it, it moves. In at least 16 stows of 17 both hold.
    At 0.92 all do: the engine never holds much more than the path. At 1.08 one stow in 15 may still rest: where
    friction's forces go round in a ring the engine says free, which is the cautious way.
    """
    rng = np.random.default_rng(31)
    cases: list[path.Case] = []
    limits: list[float] = []
    for _ in range(150):
        _, stowed = rough(int(rng.integers(2**32)), SOFT_TYPES)
        rest = np.array([0.0, 0.0, -stowed.body.mass * G])
        way = rng.normal(size=3)
        more = stowed.body.mass * G * way / np.linalg.norm(way)
        limit = last_held(stowed, rest, more)
        if limit is None or limit < 0.02:
            continue
        limits.append(limit)
        cases += [path.case(stowed.springs, made(stowed), rest, s * limit * more) for s in (0.92, 0.97, 1.03, 1.08)]
    ends = path.follow(cases, steps=3000, wait=6000)
    rests, moves = ends.at_rest.reshape(-1, 4), ends.moving.reshape(-1, 4)
    assert len(limits) >= 25
    # still creeping to rest, or not sure to be on its way, is neither for nor against
    assert not np.any(moves[:, 0]), np.flatnonzero(moves[:, 0])
    assert rests[:, 3].mean() <= 1 / 15, np.flatnonzero(rests[:, 3])
    differ = moves[:, 1] | rests[:, 2]
    assert differ.mean() <= 1 / 17, (np.flatnonzero(differ), np.array(limits)[differ])
    assert (rests[:, 1] & moves[:, 2]).mean() >= 0.7


@pytest.mark.long
def test_free_or_held_agrees_with_following_the_load() -> None:
    """Loads drawn at random: where the path rests (or moves) at 0.95 and at 1.05 of the load, so does the engine."""
    rng = np.random.default_rng(32)
    cases: list[path.Case] = []
    free: list[bool] = []
    for _ in range(80):
        _, stowed = rough(int(rng.integers(2**32)), SOFT_TYPES)
        load = stows.loads(rng, stowed.body.mass, 2)
        free.append(bool(solve(stowed.springs, load[1:]).free[0]))
        rest = np.array([0.0, 0.0, -stowed.body.mass * G])
        cases += [path.case(stowed.springs, made(stowed), rest, share * load[1] - rest) for share in (1.05, 0.95)]
    ends = path.follow(cases, steps=3000, wait=4000)
    always_rests, always_moves = ends.at_rest.reshape(-1, 2).all(axis=1), ends.moving.reshape(-1, 2).all(axis=1)
    said_free = np.array(free)
    assert not np.any(always_rests & said_free), np.flatnonzero(always_rests & said_free)
    assert not np.any(always_moves & ~said_free), np.flatnonzero(always_moves & ~said_free)
    assert always_rests.sum() > 20
    assert always_moves.sum() > 8


@few
@given(seeds)
def test_held_means_in_balance(seed: int) -> None:
    rng, stowed = rough(seed)
    load = stows.loads(rng, stowed.body.mass, 20)
    found = solve(stowed.springs, load)
    held = ~found.free
    balance = np.zeros((20, 6))
    balance[:, :3] = load
    balance += found.normal @ stowed.springs.direction + found.tangential @ stowed.springs.tangent_direction
    size = np.linalg.norm(load, axis=1)
    assert np.all(np.linalg.norm(balance, axis=1)[held] < 1e-6 * size[held])
    assert np.all(found.residual[held] < 1e-6)


@few
@given(seeds)
def test_drag_is_within_coulombs_limit(seed: int) -> None:
    rng, stowed = rough(seed)
    links = stowed.springs
    load = stows.loads(rng, stowed.body.mass, 12)
    found = solve(links, load)
    held = ~found.free  # of what is on its way only the way it goes is told
    for row, link in enumerate(made(stowed)):
        if link.friction == 0.0:
            continue
        own = links.normal == row
        drag = np.linalg.norm(found.tangential[:, own] @ links.tangent_direction[own, :3], axis=1)
        assert np.all(found.normal[:, row] >= 0.0)
        over = drag - link.friction * found.normal[:, row]
        size = np.linalg.norm(load, axis=1)
        # a state that friction goes round about in a ring is as near as that
        assert np.all(over[held] <= 2e-3 * size[held])
        assert np.median(over) <= 1e-7 * size[0]


@few
@given(seeds)
def test_no_load_no_force(seed: int) -> None:
    """Without a tight line nothing presses on an unloaded weight: no self-stress out of friction."""
    _, stowed = rough(seed, tight=0.0)
    found = solve(stowed.springs, np.zeros((1, 3)))
    assert not found.free[0]
    assert np.all(found.normal == 0.0)
    assert np.all(found.tangential == 0.0)


@few
@example(52292)  # the slow road once stopped a hair short of balance here and called it free
@given(seeds)
def test_grease_never_makes_a_free_weight_held(seed: int) -> None:
    rng, stowed = rough(seed)
    load = stows.loads(rng, stowed.body.mass, 20)
    rough_free = solve(stowed.springs, load).free
    greased_free = solve(stowed.springs.frictionless(), load).free
    assert not np.any(rough_free & ~greased_free), np.flatnonzero(rough_free & ~greased_free)
