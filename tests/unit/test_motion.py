"""What the boat does: gravity in her axes, what turning adds, and which instants a scenario comes to."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import Scenario
from secure_load.loads.load_cases import Instants, gravity_direction, heels, instants, load_cases, loads
from secure_load.loads.scenarios import builtin_scenarios

G = 9.80665


def scenario(**given: Any) -> Scenario:
    return Scenario.model_validate({"id": "made-up", "heel_deg": 0.0, "both_sides": False} | given)


def turned(heel_deg: float, pitch_deg: float) -> np.ndarray[Any, Any]:
    """Gravity in the boat's axes by turning her with matrices: pitched first, then heeled about her own x axis."""
    h, p = np.radians(heel_deg), np.radians(pitch_deg)
    about_y = np.array([[np.cos(p), 0, np.sin(p)], [0, 1, 0], [-np.sin(p), 0, np.cos(p)]])
    about_x = np.array([[1, 0, 0], [0, np.cos(h), -np.sin(h)], [0, np.sin(h), np.cos(h)]])
    return (about_y @ about_x).T @ np.array([0.0, 0.0, -1.0])


@pytest.mark.parametrize(
    ("heel", "pitch", "way"),
    [
        (0, 0, (0, 0, -1)),
        (90, 0, (0, -1, 0)),  # starboard side down: gravity points to starboard, which is -y
        (-90, 0, (0, 1, 0)),
        (180, 0, (0, 0, 1)),
        (-180, 0, (0, 0, 1)),
        (0, 90, (1, 0, 0)),  # bow down: gravity points forward
        (0, -90, (-1, 0, 0)),
        (30, 0, (0, -0.5, -np.sqrt(0.75))),
        (0, 30, (0.5, 0, -np.sqrt(0.75))),
    ],
)
def test_gravity_at_key_attitudes(heel: float, pitch: float, way: tuple[float, float, float]) -> None:
    found = gravity_direction(np.radians([heel]), np.radians([pitch]))[0]
    np.testing.assert_allclose(found, way, atol=1e-12)


@pytest.mark.parametrize(("heel", "pitch"), list(itertools.product([-170, -95, -20, 0, 40, 120], [-30, -5, 0, 15, 60])))
def test_gravity_agrees_with_rotation_matrices(heel: float, pitch: float) -> None:
    found = gravity_direction(np.radians([heel]), np.radians([pitch]))[0]
    np.testing.assert_allclose(found, turned(heel, pitch), atol=1e-12)


@pytest.mark.parametrize(("rate", "quickening"), [(0.0, 0.0), (60.0, 0.0), (0.0, 180.0), (-120.0, -90.0)])
def test_turning_against_a_cross_product(rate: float, quickening: float) -> None:
    arm = np.array([3.1, -0.7, -0.4])
    given = scenario(
        heel_deg=35.0,
        pitch_deg=[10.0],
        load_factor=[1.7],
        surge_g=[0.3],
        sway_g=[-0.2],
        heave_g=[0.1],
        roll_rate_deg_s=rate,
        roll_acceleration_deg_s2=quickening,
    )
    moments = instants(given)[0]
    omega = np.array([np.radians(rate), 0.0, 0.0])
    alpha = np.array([np.radians(quickening), 0.0, 0.0])
    own = G * np.array([0.3, -0.2, 0.1])
    wanted = 25.0 * (1.7 * G * turned(35.0, 10.0) - own - np.cross(alpha, arm) - np.cross(omega, np.cross(omega, arm)))
    np.testing.assert_allclose(loads(moments, 25.0, arm)[0], wanted, rtol=1e-12)


def test_a_turning_boat_throws_a_weight_outward() -> None:
    (moments,) = instants(scenario(load_factor=[0.0], roll_rate_deg_s=90.0))
    found = loads(moments, 2.0, np.array([1.0, 0.5, -0.3]))[0]
    np.testing.assert_allclose(found, 2.0 * (np.pi / 2) ** 2 * np.array([0.0, 0.5, -0.3]))


def test_quickening_to_starboard_leaves_a_low_weight_behind_to_port() -> None:
    # starboard goes down, the bilge swings to port, and what lies there is pressed to starboard
    (moments,) = instants(scenario(load_factor=[0.0], roll_acceleration_deg_s2=90.0))
    found = loads(moments, 1.0, np.array([0.0, 0.0, -1.0]))[0]
    np.testing.assert_allclose(found, [0.0, -np.pi / 2, 0.0], atol=1e-12)


def rows(moments: Instants) -> set[tuple[float, ...]]:
    """(heel, pitch, load factor, surge, sway, heave, roll rate)"""
    return {
        (h, p, n, *a, r)
        for h, p, n, a, r in zip(
            moments.heel_deg.tolist(),
            moments.pitch_deg.tolist(),
            moments.load_factor.tolist(),
            moments.acceleration_g.tolist(),
            np.degrees(moments.roll_rate).round(9).tolist(),
            strict=True,
        )
    }


LISTS: dict[str, Any] = {
    "surge_g": [-0.3, 0.3],
    "sway_g": [-0.2, 0.2],
    "pitch_deg": [-5.0, 5.0],
    "roll_rate_deg_s": [30.0],
}


def test_every_combination_is_run() -> None:
    given = scenario(heel_deg={"from": 0, "to": 90, "step": 10}, load_factor=[1.0, 2.0], **LISTS)
    dense, sparse = instants(given)
    together = list(itertools.product([-5.0, 5.0], [1.0, 2.0], [-0.3, 0.3], [-0.2, 0.2], [0.0], [30.0]))
    still = [(0.0, n, 0.0, 0.0, 0.0, 0.0) for n in (1.0, 2.0)]
    assert rows(dense) == {(float(h), *case) for h in range(0, 91, 10) for case in [*together, *still]}
    alone = [(p, 0.0, 0.0, 0.0, 0.0) for p in (-5.0, 5.0)] + [(0.0, x, 0.0, 0.0, 0.0) for x in (-0.3, 0.3)]
    alone += [(0.0, 0.0, y, 0.0, 0.0) for y in (-0.2, 0.2)] + [(0.0, 0.0, 0.0, 0.0, 30.0)]
    at_some = {0.0, 15.0, 30.0, 45.0, 60.0, 75.0, 90.0}
    assert rows(sparse) == {(h, p, n, *more) for h in at_some for n in (1.0, 2.0) for p, *more in alone}
    assert given.instants == 10 * 2 * (2 * 2 * 2 + 1 + len(alone))


@pytest.mark.parametrize("name", LISTS)
def test_nothing_changes_where_0_is_written_too(name: str) -> None:
    whole = {"heel_deg": {"from": 0, "to": 60, "step": 5}, "load_factor": [0.0, 1.5], "both_sides": True} | LISTS
    for before, after in zip(
        instants(scenario(**whole)), instants(scenario(**whole | {name: [0.0, *LISTS[name]]})), strict=True
    ):
        assert rows(before) == rows(after)


def test_where_nothing_is_felt_there_is_nothing_to_check() -> None:
    (found,) = instants(scenario(load_factor=[0.0, 1.0], surge_g=[0.5]))
    assert rows(found) == {(0, 0, 0, 0.5, 0, 0, 0), (0, 0, 1, 0.5, 0, 0, 0), (0, 0, 1, 0, 0, 0, 0)}


def test_loads_that_last_longer_count_for_more() -> None:
    (brief,), (long,) = (
        instants(scenario(heel_deg=160.0, load_duration=lasts)) for lasts in ("ten-minutes", "seven-days")
    )
    arm = np.array([1.0, 0.2, -0.3])
    # AWC NDS-2018 Table 2.3.2: 1.6 for ten minutes, 1.25 for seven days
    np.testing.assert_allclose(loads(long, 30.0, arm), 1.6 / 1.25 * loads(brief, 30.0, arm), rtol=1e-12)
    whole = load_cases([scenario(heel_deg=160.0), scenario(id="b", heel_deg=160.0, load_duration="seven-days")])
    assert len(whole.unique_rows) == 2


def test_the_other_side_is_the_mirror_image() -> None:
    given = {
        "heel_deg": {"from": 0, "to": 60, "step": 20},
        "sway_g": [0.2],
        "surge_g": [0.1],
        "roll_rate_deg_s": 10.0,
        "roll_acceleration_deg_s2": 40.0,
    }
    one, both = instants(scenario(**given))[0], instants(scenario(**given, both_sides=True))[0]
    assert len(both) == 2 * len(one)
    arm = np.array([1.0, 0.4, -0.2])
    to_starboard = loads(one, 5.0, arm)
    mirrored = loads(both, 5.0, arm * [1, -1, 1])[len(one) :]
    np.testing.assert_allclose(mirrored, to_starboard * [1, -1, 1], atol=1e-12)
    assert both.heel_deg[len(one) :].tolist() == [-0.0, -20.0, -40.0, -60.0] * 2


def test_one_at_a_time() -> None:
    given = scenario(
        surge_g=[-2.0, 2.0], sway_g=[-2.0, 2.0], heave_g=[-2.0, 2.0], one_at_a_time=True, load_factor=[0.0]
    )
    (only,) = instants(given)
    found = {tuple(a) for a in only.acceleration_g.tolist()}
    assert found == {(-2, 0, 0), (2, 0, 0), (0, -2, 0), (0, 2, 0), (0, 0, -2), (0, 0, 2)}


@pytest.mark.parametrize(("mass", "pull"), [(10.0, 2 * 10 * G), (20.0, 2 * 20 * G), (20.5, 400.34), (60.0, 400.34)])
def test_ceiling_on_a_pull(mass: float, pull: float) -> None:
    given = scenario(load_factor=[0.0], surge_g=[2.0], pull_at_most_N=400.34)
    found = loads(instants(given)[0], mass, np.zeros(3))[0]
    np.testing.assert_allclose(found, [-pull, 0.0, 0.0], rtol=1e-9)


@pytest.mark.parametrize(
    ("span", "wanted"),
    [
        ({"from": 0, "to": 3, "step": 1}, [0, 1, 2, 3]),
        ({"from": 0, "to": 3.5, "step": 1}, [0, 1, 2, 3, 3.5]),
        ({"from": -10, "to": 10, "step": 10}, [-10, 0, 10]),
        (25.0, [25]),
    ],
)
def test_heels(span: Any, wanted: list[float]) -> None:
    assert heels(scenario(heel_deg=span)).tolist() == pytest.approx(wanted)


def test_distinct_loads_stand_for_all_instants() -> None:
    chosen = list(builtin_scenarios())
    whole = load_cases(chosen)
    assert len(whole.instants) == len(whole.scenario) == len(whole.inverse)
    arm = np.array([2.0, 0.3, -0.25])
    every = loads(whole.instants, 30.0, arm)
    distinct = loads(whole.instants.at(whole.unique_rows), 30.0, arm)
    np.testing.assert_allclose(distinct[whole.inverse], every, atol=1e-6 * 30.0)
    place = np.concatenate([whole.plan.coarse, whole.plan.fine])
    assert sorted(place.tolist()) == list(range(len(whole.unique_rows)))
    assert set(whole.plan.nearest_coarse.tolist()) <= set(whole.plan.coarse.tolist())
