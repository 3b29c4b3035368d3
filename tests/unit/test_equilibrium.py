"""Small closed forms: springs in parallel, one-way and two-way links, a tight line, a beam on two feet."""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.boat.models import BoatParticulars, Weight
from secure_load.catalogue.lookup import factor
from secure_load.loads.load_cases import gravity_direction
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve
from secure_load.solver.springs import Attachment, Spring, SpringSet, assemble

_, Y, Z = np.eye(3)


def links(*made: Spring) -> SpringSet:
    return assemble(made, [0.2])


def at(x: float = 0.0, y: float = 0.0, z: float = 0.0) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([x, y, z])


def feet(k: float = 1e6, mu: float = 0.0) -> list[Spring]:
    corners = [at(x, y, -0.1) for x in (-0.2, 0.2) for y in (-0.15, 0.15)]
    return [Spring(0, [Attachment(p, Z)], k, friction=mu, tangential_ratio=0.8) for p in corners]


def test_a_weight_at_rest_stands_evenly_on_its_four_feet() -> None:
    found = solve(links(*feet()), np.array([[0.0, 0.0, -400.0]]))
    np.testing.assert_allclose(found.normal[0], 100.0, rtol=1e-6)
    assert found.displacement[0, 2] == pytest.approx(-100.0 / 1e6, rel=1e-6)
    assert not found.free[0]
    assert found.residual[0] < 1e-6


def test_springs_side_by_side_share_by_stiffness() -> None:
    made = [Spring(0, [Attachment(at(), Z)], 3e5), Spring(1, [Attachment(at(), Z)], 1e5)]
    found = solve(links(*made), np.array([[0.0, 0.0, -400.0]]))
    np.testing.assert_allclose(found.normal[0], [300.0, 100.0], rtol=1e-6)


def test_a_beam_on_two_feet_by_lever() -> None:
    made = [Spring(0, [Attachment(at(y=-0.1), Z)], 1e6), Spring(1, [Attachment(at(y=0.3), Z)], 5e4)]
    found = solve(links(*made), np.array([[0.0, 0.0, -400.0]]))
    # statically determinate: the stiffness has no say
    np.testing.assert_allclose(found.normal[0], [300.0, 100.0], rtol=1e-5)


def test_a_one_way_link_does_not_pull() -> None:
    found = solve(links(*feet()), np.array([[0.0, 0.0, 10.0]]))
    assert found.free[0]
    assert np.all(found.normal[0] == 0.0)
    assert found.displacement[0, 2] > 0.0


def test_a_both_way_link_pulls() -> None:
    found = solve(
        links(Spring(0, [Attachment(at(), Z)], 1e6, one_way=False)), np.array([[0.0, 0.0, 10.0], [0.0, 0.0, -10.0]])
    )
    np.testing.assert_allclose(found.normal[:, 0], [-10.0, 10.0], rtol=1e-6)
    assert not found.free.any()


def test_nothing_holds_it() -> None:
    found = solve(links(), np.array([[0.0, 0.0, -10.0]]))
    assert found.free.tolist() == [True]


def test_no_load_asks_nothing() -> None:
    found = solve(links(*feet(mu=0.3)), np.zeros((3, 3)))
    assert not found.free.any()
    assert np.all(found.normal == 0.0)
    assert np.all(found.tangential == 0.0)


def test_a_tight_line_and_its_bed_in_closed_form() -> None:
    """Two springs against one another, pressed together by 100 N: each gives way by its share of a pull."""
    bed, line = 9e5, 1e5
    made = [*feet(bed / 4), Spring(1, [Attachment(at(), -Z)], line, preload=100.0)]
    pulls = np.array([0.0, 50.0, 200.0])
    found = solve(links(*made), np.column_stack([np.zeros(3), np.zeros(3), pulls]))
    # before lift-off: line = f0 bed / (bed + line) + P line / (bed + line); after it: line = P
    wanted = [90.0, 95.0, 200.0]
    np.testing.assert_allclose(found.normal[:, 4], wanted, rtol=1e-6)
    np.testing.assert_allclose(found.normal[:, :4].sum(axis=1), np.array(wanted) - pulls, atol=1e-3)


def test_slack_is_taken_up_before_a_line_pulls() -> None:
    soft, late = 1e4, 1e5
    made = [Spring(0, [Attachment(at(), -Z)], soft), Spring(1, [Attachment(at(), -Z)], late, gap=0.01)]
    pulls = np.array([50.0, 100.0, 320.0])
    found = solve(links(*made), np.column_stack([np.zeros(3), np.zeros(3), pulls]))
    np.testing.assert_allclose(found.normal[:, 0], [50.0, 100.0, 120.0], rtol=1e-5)
    np.testing.assert_allclose(found.normal[:, 1], [0.0, 0.0, 200.0], atol=1e-2)


@pytest.mark.parametrize(("shove", "held"), [(119.0, True), (121.0, False), (-119.0, True), (-121.0, False)])
def test_friction_holds_up_to_its_limit(shove: float, held: bool) -> None:
    found = solve(links(*feet(mu=0.3)), np.array([[0.0, shove, -400.0]]))
    assert bool(found.free[0]) is not held


def test_friction_drags_against_the_shove() -> None:
    every = links(*feet(mu=0.3))
    found = solve(every, np.array([[60.0, 0.0, -400.0]]))
    drag = found.tangential[0] @ every.tangent_direction
    np.testing.assert_allclose(drag[:3], [-60.0, 0.0, 0.0], atol=1e-3)


def test_a_load_may_bring_its_own_moment() -> None:
    # moments over rho: 10 N m about x over 0.2 m
    found = solve(links(*feet()), np.array([[0.0, 0.0, -400.0, 10.0 / 0.2, 0.0, 0.0]]))
    port = found.normal[0][[1, 3]].sum()
    assert port == pytest.approx(200.0 - 10.0 / 0.3, rel=1e-5)


def test_two_bodies_lean_on_one_another() -> None:
    """A shove on the first goes through the second to the wall behind it."""
    touch = Spring(0, [Attachment(at(y=0.1), -Y, 0), Attachment(at(y=-0.1), Y, 1)], 1e6)
    wall = Spring(1, [Attachment(at(y=0.1), -Y, 1)], 1e6)
    both = assemble([touch, wall], [0.2, 0.2])
    load = np.zeros((1, 12))
    load[0, 1] = 70.0
    found = solve(both, load)
    np.testing.assert_allclose(found.normal[0], [70.0, 70.0], rtol=1e-5)
    assert not np.any(found.free)


def test_what_is_made_fast_at_rest_is_not_called_free_for_the_start_it_was_given() -> None:
    """A box on its bed against a rough cleat, a strap set up tight over it, from 161 degrees of heel on.

    Friction that the strap's tension gave at rest goes on holding it when the load comes on little by little; set
    down under the whole load at once it would go. With and without neighbours in the same sweep the answer is one.
    """
    box = {
        "id": "box",
        "mass_kg": 7.27,
        "at_m": [2.601, 0.011, 0.187],
        "size_m": [0.158, 0.182, 0.508],
        "restraint": [
            {"type": "bed", "pad": {"material": "neoprene-60", "thickness_mm": 5.1}, "friction": 0.407},
            {
                "type": "cleat",
                "face": "port",
                "timber": "larch-western",
                "length_mm": 79.6,
                "height_mm": 25.0,
                "depth_mm": 22.4,
                "friction": 0.357,
                "screws": {
                    "kind": "wood-screw",
                    "gauge": 10,
                    "count": 4,
                    "penetration_mm": 28.5,
                    "into": "khaya",
                    "metal": "silicon-bronze",
                },
            },
            {
                "type": "strap",
                "from_m": [2.899, 0.009, -0.067],
                "to_m": [2.303, 0.009, -0.067],
                "line": "polyester-webbing-25",
                "tension_N": 18.4,
            },
        ],
    }
    boat = BoatParticulars.model_validate({"name": "Whimbrel", "bilge": "wet"})
    stowed = build_single_model(Weight.model_validate(box), boat)
    heel = np.radians(np.arange(155.0, 171.0, 3.0))
    load = stowed.body.mass * factor("g0") * gravity_direction(heel, 0.0 * heel)
    together = solve(stowed.springs, load)
    alone = [solve(stowed.springs, load[i : i + 1]) for i in range(len(load))]
    assert not together.free.any()
    assert not any(one.free[0] for one in alone)
    assert together.residual.max() < 1e-6
