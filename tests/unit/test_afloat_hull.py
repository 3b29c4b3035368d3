"""Hulls from sections and from half-breadth tables: order, closing, what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.hull import hull_from_sections, hull_of
from secure_load.afloat.hull.hydrostatics import hydrostatics_at
from secure_load.afloat.hull.longitudinal import station_weights
from secure_load.boat.file import BoatFileError
from secure_load.boat.hull import FloatData, HalfBreadths, HullSection
from tests.reference.hulls import box, cutter
from tests.unit.test_afloat_report import boat

SQUARE = np.array([[0.0, -0.5], [1.0, -0.5], [1.0, 0.5], [0.0, 0.5]])


def test_points_may_be_written_either_way_round_and_stations_in_any_order() -> None:
    one = hull_from_sections([0, 1, 2], [SQUARE, SQUARE * 0.5, SQUARE * 0.8])
    other = hull_from_sections([2, 0, 1], [SQUARE[::-1] * 0.8, SQUARE[::-1], SQUARE[::-1] * 0.5])
    assert one.x.tolist() == other.x.tolist()
    assert one.section_areas == pytest.approx(other.section_areas)
    assert one.section_areas == pytest.approx([2.0, 0.5, 1.28])


def test_an_open_section_is_closed_by_a_level_deck() -> None:
    hull = hull_from_sections([0, 1, 2], [np.array([[0.5, -0.5], [1.0, 0.5]])] * 3)
    assert hull.section_areas == pytest.approx([1.5] * 3)  # a flat bottom and a flat deck
    assert hull.whole_volume == pytest.approx(3.0)
    assert (hull.lowest, hull.highest, hull.breadth, hull.length) == (-0.5, 0.5, 2.0, 2.0)


@pytest.mark.parametrize(
    ("x", "halves", "words"),
    [
        ([0], [SQUARE], "at least 2 sections"),
        ([0, 1, 1], [SQUARE] * 3, "two sections at x = 1 m"),
        ([0, 1, 2], [SQUARE * np.array([0, 1])] * 3, "no volume"),
        ([0, 1, 2], [SQUARE[[0, 2, 1, 3]]] * 3, "crosses itself"),
    ],
)
def test_what_is_no_hull_is_refused(x: list[float], halves: list[np.ndarray], words: str) -> None:
    with pytest.raises(CannotFloat, match=words):
        hull_from_sections(x, halves)


def test_two_sections_are_joined_by_straight_lines() -> None:
    same = hydrostatics_at(hull_from_sections([0, 6], [SQUARE, SQUARE]), 0.0, 0.0, 1025.0)
    assert same.volume == pytest.approx(6.0)
    assert same.inertia_along == pytest.approx(2 * 6**3 / 12)
    # A pyramid on its side, its point amidships of the section: a third of the box about it.
    point = np.array([[0.0, -1e-9], [1e-9, 0.0], [0.0, 1e-9]])
    pyramid = hull_from_sections([0, 6], [SQUARE, point])
    assert pyramid.whole_volume == pytest.approx(6 * 2 / 3, rel=1e-6)


def test_half_breadth_of_a_place() -> None:
    hull = box(6.0, 2.0, 1.2, 0.4)
    assert hull.half_breadths_at(3.1, np.array([0.1, 2.0])) == pytest.approx(np.array([1.0, 0.0]))
    assert hull.half_breadths_at(-1.0, np.array([0.1])) == pytest.approx(np.array([0.0]))
    keel, topside = cutter().half_breadths_at(3.0, np.array([-0.7, 0.3]))
    assert 0 < keel < 0.15
    assert topside > 0.8


def parabola_table(**more: object) -> HalfBreadths:
    x = [0.0, 1.0, 2.0, 3.0, 4.0]
    z = [-0.4, -0.2, 0.0, 0.2, 0.4]
    half = [[max(0.0, (1 - (s / 2 - 1) ** 2) * (h + 0.4) / 0.4) for h in z] for s in x]
    return HalfBreadths.model_validate({"x_m": x, "z_m": z, "half_breadth_m": half, **more})


def test_a_table_of_half_breadths_is_the_sections_it_says() -> None:
    table = parabola_table()
    hull = hull_of(FloatData(half_breadths=table))
    assert hull is not None
    made = hydrostatics_at(hull, 0.0, 0.0, 1025.0)
    # Triangles of half-breadth 1 - (x/2 - 1)^2 at the water and 0.4 deep: area b x 0.4, mean of b is 2/3.
    assert made.volume == pytest.approx(4 * (2 / 3) * 0.4)
    assert made.waterplane == pytest.approx(4 * (2 / 3) * 2)
    assert made.kb == pytest.approx(2 / 3 * 0.4)


def test_keel_and_deck_lines_bound_the_table() -> None:
    table = parabola_table(keel_m=[-0.5] * 5, deck_m=[(0.3, 0.25)] * 5)
    hull = hull_of(FloatData(half_breadths=table))
    assert hull is not None
    assert hull.lowest == -0.5
    assert hull.highest == 0.25


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("x_m = [0, 2, 1], z_m = [0, 1], half_breadth_m = [[0,1],[0,1],[0,1]]", "from aft to forward"),
        ("x_m = [0, 1, 2], z_m = [1, 0], half_breadth_m = [[0,1],[0,1],[0,1]]", "from low to high"),
        ("x_m = [0, 1, 2], z_m = [0, 1], half_breadth_m = [[0,1],[0,1,2],[0,1]]", "3 rows of 2 figures"),
        ("x_m = [0, 1, 2], z_m = [0, 1], half_breadth_m = [[0,1],[0,1],[0,1]], keel_m = [0]", "'keel_m' must have"),
    ],
)
def test_a_table_that_does_not_fit_is_refused(table: str, words: str) -> None:
    with pytest.raises(BoatFileError, match=words):
        boat(f"half_breadths = {{ {table} }}\n")


def test_sections_and_table_together_are_refused() -> None:
    sections = [HullSection(x_m=x, points_m=[(0.0, -1.0), (1.0, 0.5)]) for x in (0.0, 1.0, 2.0)]
    with pytest.raises(CannotFloat, match="one of the two"):
        hull_of(FloatData(section=sections, half_breadths=parabola_table()))
    assert hull_of(FloatData()) is None
    assert hull_of(None) is None


def test_a_negative_weight_never_comes_out() -> None:
    x = np.array([0.0, 0.001, 1.0, 1.002, 3.0, 3.0001, 9.0])
    weights = station_weights(x)
    assert np.all(weights > 0)
    assert weights.sum() == pytest.approx(9.0)
    assert station_weights(np.array([0.0, 1.0])).tolist() == [0.5, 0.5]
    with pytest.raises(CannotFloat, match="at least 2 stations"):
        station_weights(np.array([0.0]))
    with pytest.raises(CannotFloat, match="aft to forward"):
        station_weights(np.array([0.0, 1.0, 1.0]))


def test_a_dry_waterline_says_so_without_a_crash() -> None:
    made = hydrostatics_at(box(6.0, 2.0, 1.2, 0.4), -2.0, 0.0, 1025.0)
    assert made.volume == 0.0
    assert math.isnan(made.x_b)
