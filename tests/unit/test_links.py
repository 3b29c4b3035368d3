"""Links as arrays: directions, friction, taking things away."""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.model.model_builder import build_single_model
from secure_load.solver.case_set import single
from secure_load.solver.springs import Attachment, Spring, assemble, generalised, tangents
from secure_load.solver.tangent import tangents_of
from tests.reference import stows

UP = np.array([0.0, 0.0, 1.0])


def test_a_force_through_the_centre_has_no_moment() -> None:
    np.testing.assert_allclose(generalised([Attachment(np.array([0.0, 0.0, -0.2]), UP)], [0.3]), [0, 0, 1, 0, 0, 0])


def test_a_moment_is_a_cross_product_over_the_length() -> None:
    point, way = np.array([0.2, -0.1, 0.3]), np.array([0.6, 0.0, 0.8])
    g = generalised([Attachment(point, way)], [0.25])
    np.testing.assert_allclose(g, [*way, *(np.cross(point, way) / 0.25)])


def test_the_legs_of_one_line_add_up() -> None:
    legs = [Attachment(np.array([0.0, 0.1, 0.1]), -UP), Attachment(np.array([0.0, -0.1, 0.1]), -UP)]
    np.testing.assert_allclose(generalised(legs, [0.2]), [0, 0, -2, 0, 0, 0], atol=1e-15)


def test_two_bodies_in_touch_are_pushed_apart() -> None:
    way = np.array([0.0, 1.0, 0.0])
    g = generalised([Attachment(np.zeros(3), way, 0), Attachment(np.zeros(3), -way, 1)], [0.2, 0.3])
    assert g.tolist() == [0, 1, 0, 0, 0, 0, 0, -1, 0, 0, 0, 0]


@pytest.mark.parametrize("normal", [UP, np.array([0.0, 1.0, 0.0]), np.array([0.6, 0.0, 0.8]), np.ones(3) / np.sqrt(3)])
def test_tangents_lie_in_the_plane(normal: np.ndarray[tuple[int], np.dtype[np.float64]]) -> None:
    found = np.array(tangents(normal))
    assert len(found) == 2
    np.testing.assert_allclose(found @ normal, 0.0, atol=1e-12)
    np.testing.assert_allclose(np.linalg.norm(found, axis=1), 1.0)


def test_friction_is_cut_back_to_its_disc_whichever_way_it_points() -> None:
    springs = assemble([Spring(0, [Attachment(np.zeros(3), UP)], 1e6, friction=0.4, tangential_ratio=0.8)], [0.2])
    angles = np.radians(np.arange(0.0, 360.0, 7.0))
    u = np.zeros((len(angles), 6))
    # pressed by 1 mm, and shoved along by 2 mm: twice as far as 0.4 of what it presses would hold
    u[:, 0], u[:, 1], u[:, 2] = 2e-3 * np.cos(angles), 2e-3 * np.sin(angles), -1e-3
    found = single(springs).springs.evaluate(u, np.zeros(len(angles), dtype=np.int64))
    np.testing.assert_allclose(found.normal, 1000.0)
    np.testing.assert_allclose(found.reaction[:, :2], -400.0 * np.column_stack([np.cos(angles), np.sin(angles)]))
    u[:, :2] *= 0.2
    found = single(springs).springs.evaluate(u, np.zeros(len(angles), dtype=np.int64))
    np.testing.assert_allclose(found.reaction[:, :2], -0.8e6 * u[:, :2])


def test_the_tangent_stiffness_is_the_derivative_of_the_forces() -> None:
    """By central differences, at displacements where contacts stick, slide and stand open."""
    rng = np.random.default_rng(5)
    springs = build_single_model(stows.draw(rng, "cleat", friction=(0.2, 0.4)), stows.BOAT).springs
    cases, case = single(springs), np.zeros(1, dtype=np.int64)
    states: set[float] = set()
    for _ in range(20):
        u = 1e-5 * rng.normal(size=6) + np.array([0.0, 0.0, -1e-5, 0.0, 0.0, 0.0])
        state = cases.springs.evaluate(u[None], case)
        tangent = tangents_of(cases).assemble(case, state.closed, state.radial, state.slip)[0]
        steps = 1e-11 * np.eye(6)
        ahead, behind = (
            cases.springs.evaluate(u + way * steps, np.zeros(6, dtype=np.int64)).reaction for way in (1, -1)
        )
        np.testing.assert_allclose(-(ahead - behind).T / 2e-11, tangent, rtol=1e-3, atol=1e-3 * np.abs(tangent).max())
        states |= set(np.round(state.radial[state.radial > 0.0], 3).tolist())
    assert 1.0 in states
    assert len(states) > 5


def test_the_friction_springs_are_as_stiff_every_way() -> None:
    links = assemble([Spring(0, [Attachment(np.zeros(3), UP)], 1e6, friction=0.4, tangential_ratio=0.8)], [0.2])
    stiff = (links.tangent_stiffness[:, None] * links.tangent_direction[:, :2]).T @ links.tangent_direction[:, :2]
    np.testing.assert_allclose(stiff, 0.8e6 * np.eye(2), atol=1.0)


def test_taking_a_restraint_away_takes_its_friction_too() -> None:
    made = [
        Spring(0, [Attachment(np.zeros(3), UP)], 1.0, friction=0.1, tangential_ratio=1.0),
        Spring(1, [Attachment(np.zeros(3), -UP)], 2.0),
        Spring(2, [Attachment(np.zeros(3), np.array([1.0, 0, 0]))], 3.0, friction=0.3, tangential_ratio=1.0),
    ]
    links = assemble(made, [0.2])
    left = links.without_restraint(0)
    assert left.stiffness.tolist() == [2.0, 3.0]
    assert left.restraint.tolist() == [1, 2]
    assert len(left.tangent_stiffness) == 2
    assert set(left.normal.tolist()) == {1}
    np.testing.assert_allclose(left.tangent_direction, links.tangent_direction[2:])
    greased = links.frictionless()
    assert len(greased.tangent_stiffness) == len(greased.tangent_direction) == len(greased.normal) == 0
    assert greased.stiffness.tolist() == [1.0, 2.0, 3.0]


def test_slack_is_a_force_below_nil() -> None:
    links = assemble([Spring(0, [Attachment(np.zeros(3), UP)], 2e5, gap=0.003)], [0.2])
    assert links.preload.tolist() == [-600.0]
    assert links.has_preload


def test_no_links_at_all() -> None:
    links = assemble([], [0.2])
    assert links.direction.shape == (0, 6)
    assert links.tangent_direction.shape == (0, 6)
    assert not links.has_preload
