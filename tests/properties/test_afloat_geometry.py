"""The sums over sections against ways of reckoning that share nothing with them, and how fast they settle."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from secure_load.afloat.hull.attitude import fixed_load, float_at
from secure_load.afloat.hull.clip import cut, turn, waterline
from secure_load.afloat.hull.hull import hull_from_sections
from secure_load.afloat.hull.hydrostatics import hydrostatics_at, hydrostatics_of
from secure_load.afloat.hull.longitudinal import station_weights, trapezium_weights
from tests.reference.books import simpson_weights
from tests.reference.hulls import cutter, wigley

QUICK = settings(max_examples=60, deadline=None, derandomize=True)

HALF = st.lists(st.tuples(st.floats(0.01, 2.0), st.floats(0.02, 0.6)), min_size=2, max_size=8)


def half_section(steps: list[tuple[float, float]]) -> np.ndarray:
    """Points going up from the keel, so that the section does not cross itself."""
    heights = np.cumsum([0.0, *(rise for _, rise in steps)]) - 1.0
    return np.column_stack([[0.0, *(breadth for breadth, _ in steps)], heights])


def clipped(points: list[tuple[float, float]], level: float) -> list[tuple[float, float]]:
    """Sutherland and Hodgman's way: walk round, keep what is under, add the crossings."""
    kept: list[tuple[float, float]] = []
    for (u1, v1), (u2, v2) in zip(points, points[1:] + points[:1], strict=True):
        if v1 <= level:
            kept.append((u1, v1))
        if (v1 <= level) != (v2 <= level):
            kept.append((u1 + (u2 - u1) * (level - v1) / (v2 - v1), level))
    return kept


def fan(points: list[tuple[float, float]]) -> tuple[float, float, float]:
    """Area and first moments by triangles from the first corner."""
    area = mu = mv = 0.0
    for (u1, v1), (u2, v2) in itertools.pairwise(points[1:]):
        (u0, v0) = points[0]
        part = 0.5 * ((u1 - u0) * (v2 - v0) - (u2 - u0) * (v1 - v0))
        area, mu, mv = area + part, mu + part * (u0 + u1 + u2) / 3, mv + part * (v0 + v1 + v2) / 3
    return area, mu, mv


@QUICK
@given(HALF, st.floats(-math.pi, math.pi), st.floats(-0.1, 1.1))
def test_a_cut_section_is_what_clipping_and_triangles_say(
    steps: list[tuple[float, float]], heel: float, share: float
) -> None:
    half = half_section(steps)
    hull = hull_from_sections([0.0, 1.0, 2.0], [half, half, half])
    turned = turn(hull, np.array([heel]))
    low, high = float(turned.v.min()), float(turned.v.max())
    level = low + share * (high - low)
    wet = cut(turned, np.full((1, 3), level))
    corners = list(zip(turned.u[0, 0].tolist(), turned.v[0, 0].tolist(), strict=True))
    kept = clipped(corners, level)
    area, mu, mv = fan(kept) if len(kept) > 2 else (0.0, 0.0, 0.0)
    assert float(wet.area[0, 0]) == pytest.approx(area, abs=1e-9)
    assert float(wet.moment_u[0, 0]) == pytest.approx(mu, abs=1e-9)
    assert float(wet.moment_v[0, 0]) == pytest.approx(mv, abs=1e-9)


@QUICK
@given(HALF, st.floats(-math.pi, math.pi), st.floats(0.02, 0.98))
def test_the_breadth_of_the_waterline_is_how_fast_the_area_grows(
    steps: list[tuple[float, float]], heel: float, share: float
) -> None:
    half = half_section(steps)
    hull = hull_from_sections([0.0, 1.0, 2.0], [half, half, half])
    turned = turn(hull, np.array([heel]))
    low, high = float(turned.v.min()), float(turned.v.max())
    level = low + share * (high - low)
    near = np.abs(turned.v - level).min()
    if near < 1e-4:  # at a corner the area has a kink
        return
    step = 1e-5
    areas = [float(cut(turned, np.full((1, 3), level + d)).area[0, 0]) for d in (-step, step)]
    breadth, first, second = (float(a[0, 0]) for a in waterline(turned, np.full((1, 3), level)))
    assert breadth == pytest.approx((areas[1] - areas[0]) / (2 * step), abs=1e-6)
    assert breadth == pytest.approx(float(cut(turned, np.full((1, 3), level)).breadth[0, 0]), abs=1e-12)
    assert second >= first**2 / max(breadth, 1e-12) - 1e-9  # no spread is less than none


@QUICK
@given(HALF, st.floats(-math.pi, math.pi), st.floats(0.0, 1.0))
def test_wet_and_dry_make_the_whole(steps: list[tuple[float, float]], heel: float, share: float) -> None:
    half = half_section(steps)
    hull = hull_from_sections([0.0, 1.0, 2.0], [half, half, half])
    turned, over = turn(hull, np.array([heel])), turn(hull, np.array([heel + math.pi]))
    low, high = float(turned.v.min()), float(turned.v.max())
    level = low + share * (high - low)
    wet = cut(turned, np.full((1, 3), level)).area[0, 0]
    dry = cut(over, np.full((1, 3), -level)).area[0, 0]
    assert float(wet + dry) == pytest.approx(float(hull.section_areas[0]), abs=1e-9)


# Summing along ---------------------------------------------------------------------------------------------------

STATIONS = st.lists(st.floats(0.05, 1.0), min_size=2, max_size=20).map(lambda d: np.cumsum([0.0, *d]))


@QUICK
@given(STATIONS)
def test_station_weights_are_positive_and_right_for_straight_lines(x: np.ndarray) -> None:
    weights = station_weights(x)
    assert np.all(weights > 0)
    assert weights.sum() == pytest.approx(x[-1])
    assert weights @ x == pytest.approx(x[-1] ** 2 / 2)


@QUICK
@given(st.lists(st.floats(0.7, 1.0), min_size=2, max_size=20).map(lambda d: np.cumsum([0.0, *d])))
def test_the_rule_is_exact_for_a_parabola_on_stations_of_any_fair_spacing(x: np.ndarray) -> None:
    assert station_weights(x) @ x**2 == pytest.approx(x[-1] ** 3 / 3)


@pytest.mark.parametrize(("rule", "order"), [(trapezium_weights, 2.0), (station_weights, 4.0), (simpson_weights, 4.0)])
def test_order_of_the_rules(rule: Callable[[np.ndarray], np.ndarray], order: float) -> None:
    def error(count: int) -> float:
        x = np.linspace(0.0, 2.0, count + 1)
        return abs(float(rule(x) @ np.exp(x)) - (math.e**2 - 1))

    assert math.log2(error(40) / error(80)) == pytest.approx(order, abs=0.25)


def test_order_of_the_station_rule_on_graded_stations() -> None:
    def error(count: int) -> float:
        x = 1.0 - np.cos(np.linspace(0.0, np.pi, count + 1))
        return abs(float(station_weights(x) @ np.exp(x)) - (math.e**2 - 1))

    assert math.log2(error(80) / error(160)) == pytest.approx(4.0, abs=0.3)


# How fast volume and lever settle ----------------------------------------------------------------------------------


def lever_of(stations: int, points: int, heel_deg: float) -> float:
    hull = wigley(7.0, 2.2, 0.6, 0.6, stations, points)
    heel = np.radians([heel_deg])
    load = fixed_load(4209.333333, np.array([3.3, 0.0, -0.05]), heel)
    return float(float_at(hull, heel, load, 1025.0).lever[0])


def test_volume_settles_with_the_square_of_the_points() -> None:
    exact = 4 / 9 * 7.0 * 2.2 * 0.6
    errors = [
        abs(hydrostatics_at(wigley(7.0, 2.2, 0.6, 0.6, 21, n), 0.0, 0.0, 1025.0).volume - exact) for n in (21, 41, 81)
    ]
    assert math.log2(errors[0] / errors[1]) == pytest.approx(2.0, abs=0.1)
    assert math.log2(errors[1] / errors[2]) == pytest.approx(2.0, abs=0.1)


def test_inertia_settles_with_the_fourth_power_of_the_stations() -> None:
    exact = 2.2 * 7.0**3 / 30
    errors = [
        abs(hydrostatics_at(wigley(7.0, 2.2, 0.6, 0.6, n, 5), 0.0, 0.0, 1025.0).inertia_along - exact)
        for n in (21, 41, 81)
    ]
    assert math.log2(errors[0] / errors[1]) == pytest.approx(4.0, abs=0.4)
    assert math.log2(errors[1] / errors[2]) == pytest.approx(4.0, abs=0.4)


@pytest.mark.parametrize("heel_deg", [20.0, 60.0, 110.0])
def test_lever_settles_with_the_square_of_the_points(heel_deg: float) -> None:
    best = lever_of(41, 1281, heel_deg)
    errors = [abs(lever_of(41, n, heel_deg) - best) for n in (11, 41, 161)]
    assert errors[0] > errors[1] > errors[2]
    assert math.log(errors[0] / errors[2]) / math.log(16) == pytest.approx(2.0, abs=0.5)


@pytest.mark.parametrize("heel_deg", [20.0, 60.0, 110.0])
def test_lever_settles_at_least_with_the_square_of_the_stations(heel_deg: float) -> None:
    """Sections come out of the water half way along, where the sum has a kink: two is sure, more is luck."""
    best = lever_of(641, 21, heel_deg)
    errors = [abs(lever_of(n, 21, heel_deg) - best) for n in (11, 41, 161)]
    assert errors[0] > errors[2]
    assert math.log(errors[0] / max(errors[2], 1e-12)) / math.log(16) > 1.8
    assert errors[1] < 2e-4  # 41 stations: a fifth of a millimetre of lever


def test_level_is_found_at_any_displacement() -> None:
    hull = cutter()
    most = hull.whole_volume * 1025.0
    for share in (0.01, 0.1, 0.5, 0.9, 0.99):
        made = hydrostatics_of(hull, share * most, 0.02, 1025.0)
        assert made.mass == pytest.approx(share * most, rel=1e-9)


def test_dry_overhangs_cost_no_accuracy() -> None:
    """Stations of a dry stem and counter beyond the waterline leave the sums under water as they were."""
    size = (7.0, 2.2, 0.6, 0.6, 11, 41)
    plain = wigley(*size)
    dry = np.array([[0.0, 0.05], [0.3, 0.3], [0.0, 0.6]])
    halves = [np.column_stack([plain.y[s, :43], plain.z[s, :43]]) for s in range(11)]
    longer = hull_from_sections([-0.8, *plain.x.tolist(), 7.9], [dry, *halves, dry])
    one, other = (hydrostatics_at(h, 0.0, 0.0, 1025.0) for h in (plain, longer))
    assert other.volume == pytest.approx(one.volume, rel=1e-12)
    assert other.inertia_across == pytest.approx(one.inertia_across, rel=1e-12)
    assert other.x_b == pytest.approx(one.x_b, rel=1e-12)
    assert longer.whole_volume > plain.whole_volume
