"""Links as arrays: directions, friction's polygon, taking things away."""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.solver.springs import FRICTION_AXES, Attachment, Spring, assemble, generalised, tangents

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
    assert len(found) == FRICTION_AXES
    np.testing.assert_allclose(found @ normal, 0.0, atol=1e-12)
    np.testing.assert_allclose(np.linalg.norm(found, axis=1), 1.0)


def test_the_friction_polygon_lies_inside_the_circle_and_touches_it_along_the_axes() -> None:
    links = assemble([Spring(0, [Attachment(np.zeros(3), UP)], 1e6, friction=0.4, tangential_ratio=0.8)], [0.2])
    angles = np.radians(np.arange(0.0, 360.0, 0.25))
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    # the hold against a shove towards ``way`` is the least over directions d of support(d) / cos(d, way)
    support = np.abs(ways @ links.tangent_direction[:, :2].T) @ links.friction_limit
    hold = np.array([min(s / c for s, c in zip(support, ways @ way, strict=True) if c > 1e-3) for way in ways])
    assert hold.max() <= 0.4 * (1 + 1e-9)
    assert hold.min() >= 0.4 * np.cos(np.pi / (2 * FRICTION_AXES)) * (1 - 1e-3)
    for quarter in (0, 90, 180, 270):
        assert hold[np.argmin(np.abs(np.degrees(angles) - quarter))] == pytest.approx(0.4, rel=1e-4)


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
    assert len(left.tangent_stiffness) == FRICTION_AXES
    assert set(left.normal.tolist()) == {1}
    np.testing.assert_allclose(left.tangent_direction, links.tangent_direction[FRICTION_AXES:])
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
