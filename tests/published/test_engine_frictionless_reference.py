"""The load engine against two solvers it shares nothing with, on greased stows drawn at random.

Reference: daqp, a dual active-set solver for quadratic programs (MIT licence), on the dual of the equilibrium
(``tests.reference.qp``); and scipy's trust-region minimiser on the energy. Each restraint type is among the
restraints of at least 200 stows of eight loads each. Held or free agrees everywhere but where the load lies
within a millionth of what can be held at all (a linear program measures that), or where the reference holds the
weight only after it has moved by more than a tenth of its own half diagonal (hung up on a sliver of lever, by
forces of hundreds of times the load; counted, at most two in a thousand), which no small displacement is. Link
forces agree within 1 % of the load; they are unique, for every link has some give.
"""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.check.response import rows_of
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve
from tests.reference import qp, stows

STOWS = 200
LOADS = 8
BOUNDARY = 1e-6
"""Share of the load within which held and free may be confused."""
HAIR = 0.1
"""Share of the weight's own length beyond which a displacement is no longer small, and linear statics is mute."""


@pytest.mark.long
@pytest.mark.parametrize("kind", stows.TYPES)
def test_link_forces_agree_with_a_dual_quadratic_program(kind: str) -> None:
    rng = np.random.default_rng([20, stows.TYPES.index(kind)])
    loaded = held = loose = hair = 0
    for number in range(STOWS):
        weight = stows.draw(rng, kind)
        assert kind in {r.type for r in weight.restraint}
        stowed = build_single_model(weight, stows.BOAT)
        links = stowed.springs
        assert not len(links.tangent_stiffness), "greased"
        load = stows.loads(rng, weight.mass, LOADS)
        load[1] = (0.0, 0.0, 1.5 * weight.mass * 9.80665)  # thrown up: what goes over the top must bear
        size = np.linalg.norm(load, axis=1)
        found = solve(links, load)
        problem = qp.prepare(links.direction, links.stiffness, links.preload, links.one_way)
        reference = np.zeros_like(found.normal)
        free = np.zeros(LOADS, dtype=bool)
        for i, force in enumerate(load):
            w = np.concatenate([force, np.zeros(3)])
            forces = qp.by_daqp(problem, w)
            free[i] = forces is None
            if forces is not None:
                reference[i] = forces
            if free[i] != found.free[i]:
                off = qp.distance_from_held(links.direction, links.one_way, w)
                moved = (
                    np.inf
                    if forces is None
                    else qp.displacement(links.direction, links.stiffness, links.preload, forces)
                )
                by_a_hair = forces is not None and moved > HAIR * links.rotation_scale[0]
                hair += by_a_hair
                assert by_a_hair or 0.0 < off < BOUNDARY, (
                    f"stow {number}, load {i}: free is {free[i]} by reference; off {off}, "
                    f"moved {moved} of {links.rotation_scale}"
                )
        both = ~free & ~found.free
        where = f"stow {number}"
        assert np.all(np.abs(found.normal - reference)[both].max(axis=1, initial=0.0) < 0.01 * size[both]), where
        assert np.all(found.residual[both] < 1e-6), where
        none = np.zeros(int(both.sum()))
        bears = False
        for fitting, parts in zip(stowed.restraints, stowed.failure_modes, strict=True):
            rows = stows.rows_of(stowed, fitting)
            share = np.abs(reference[both][:, rows]).sum(axis=1)
            bears |= fitting.restraint.type == kind and bool(np.any(share > 0.01 * size[both]))
            working = rows_of(links, fitting.index)
            for part in parts if len(none) else []:
                _, ours = part.working(found.normal[both][:, working], none)
                _, theirs = part.working(reference[both][:, working], none)
                np.testing.assert_allclose(ours, theirs, rtol=0.01, atol=1e-3, err_msg=f"{where}, {part.name}")
        loaded += bears
        held += int(both.sum())
        loose += int((free & found.free).sum())
    # the drawing is good for something: the type bears in many stows, and both outcomes are well met
    assert loaded > 0.3 * STOWS, (loaded, held, loose)
    assert held > 3 * STOWS
    assert kind in ("bolt", "bond") or loose > 20
    assert hair <= 0.002 * STOWS * LOADS


def test_link_forces_agree_with_a_trust_region_minimiser() -> None:
    rng = np.random.default_rng(21)
    compared = 0
    for number in range(40):
        weight = stows.draw(rng, stows.TYPES[number % len(stows.TYPES)])
        links = build_single_model(weight, stows.BOAT).springs
        load = stows.loads(rng, weight.mass, 4)
        found = solve(links, load)
        for i in np.flatnonzero(~found.free):
            w = np.concatenate([load[i], np.zeros(3)])
            reference = qp.by_scipy(links.direction, links.stiffness, links.preload, links.one_way, w)
            size = float(np.linalg.norm(load[i]))
            np.testing.assert_allclose(found.normal[i], reference, rtol=0.0, atol=0.01 * size, err_msg=str(number))
            compared += 1
    assert compared > 80


def test_held_or_free_agrees_with_a_linear_programme() -> None:
    """A third road to the same classification: HiGHS asks only whether any forces can balance the load."""
    rng = np.random.default_rng(22)
    free = 0
    for number in range(25):
        weight = stows.draw(rng, stows.TYPES[number % 6])
        links = build_single_model(weight, stows.BOAT).springs
        load = stows.loads(rng, weight.mass, 4)
        found = solve(links, load)
        for i, force in enumerate(load):
            off = qp.distance_from_held(links.direction, links.one_way, np.concatenate([force, np.zeros(3)]))
            # the solver's own tolerance is 1e-7
            assert bool(found.free[i]) == (off > BOUNDARY), f"stow {number}, load {i}: {off}"
            free += bool(found.free[i])
    assert free > 5
