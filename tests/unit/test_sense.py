"""Figures that make no sense in this boat are said in words and never green."""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_boat
from secure_load.check.results import WeightVerdict
from secure_load.model.rules.sense import Sense, boxes_of, sense_of
from secure_load.screen.session.session import Session

LEAD: dict[str, Any] = {
    "id": "pig",
    "kind": "ballast",
    "mass_kg": 12.0,
    "at_m": [2.0, 0.0, -0.2],
    "size_m": [0.2, 0.1, 0.06],
    "measured": True,
}
SECTIONS = [
    {"x_m": x, "points_m": [[0.0, -0.5], [half, 0.0], [half * 1.1, 0.6], [0.0, 0.7]]}
    for x, half in ((0.5, 0.5), (2.5, 0.9), (4.5, 0.5))
]


def boat(*weights: dict[str, Any], **more: Any) -> BoatFile:
    table = {"boat": {"name": "Avocet", "lwl_m": 5.0, "bwl_m": 1.8}, "weight": list(weights)}
    return BoatFile.model_validate(table | more)


def sense(weight: dict[str, Any], *others: dict[str, Any], **more: Any) -> Sense:
    whole = boat(weight, *others, **more)
    return sense_of(whole.weight[0], whole, boxes_of(whole.weight))


def checked(*weights: dict[str, Any], **more: Any) -> list[WeightVerdict]:
    return check_boat(boat(*weights, **more), ["knocked-flat"]).weights


def test_figures_that_make_sense_are_passed_over() -> None:
    assert sense(LEAD) == sense(LEAD, float={"section": SECTIONS}) == Sense()


@pytest.mark.parametrize(
    ("at_m", "where"),
    [
        ([20.0, 0.0, -0.2], "20.00 m forward"),
        ([-3.0, 0.0, -0.2], "-3.00 m forward"),
        ([2.0, -2.35, -0.2], "to starboard"),
        ([2.0, 2.35, -0.2], "to port"),
    ],
)
def test_far_outside_the_hull_is_red(at_m: list[float], where: str) -> None:
    (found,) = checked(LEAD | {"at_m": at_m})
    assert found.verdict == "red"
    assert any("outside her hull" in reason and where in reason for reason in found.reasons)


def test_the_sections_tell_more_than_the_waterline() -> None:
    lines = {"float": {"section": SECTIONS}}
    # at x = 1 she is at most as broad as the sections at .5 and 2.5 m, .99 m; the box is .1 m broad
    assert not sense(LEAD | {"at_m": [1.0, 0.94, 0.0]}, **lines).doubts
    over = sense(LEAD | {"at_m": [1.0, 0.995, 0.0]}, **lines)
    assert "55 mm beyond 0.99 m" in over.faults[0]
    edge = sense(LEAD | {"at_m": [1.0, 0.9899, 0.0], "size_m": [0.2, 0.14, 0.06]}, **lines)
    assert "outside her hull" in edge.doubts[0]
    below = sense(LEAD | {"at_m": [2.0, 0.0, -0.7]}, **lines)
    assert "230 mm below the bottom of her" in below.faults[0]
    assert not sense(LEAD | {"at_m": [2.0, 0.0, -0.7]}).faults  # nobody said how deep she is


def test_a_table_of_half_breadths_tells_the_same() -> None:
    table = {
        "x_m": [0.5, 2.5, 4.5],
        "z_m": [-0.5, 0.0, 0.6],
        "half_breadth_m": [[0.0, 0.5, 0.55], [0.0, 0.9, 0.99], [0.0, 0.5, 0.55]],
        "keel_m": [-0.5, -0.5, -0.5],
    }
    for at_m in ([1.0, 0.995, 0.0], [2.0, 0.0, -0.7]):
        by_table = sense(LEAD | {"at_m": at_m}, float={"half_breadths": table})
        assert by_table == sense(LEAD | {"at_m": at_m}, float={"section": SECTIONS})


def test_denser_than_lead() -> None:
    # 13.5 kg of lead in 1.2 litres is 11,250 kg/m3; 15 kg are 12,500
    assert sense(LEAD | {"mass_kg": 13.5}) == Sense()
    found = sense(LEAD | {"mass_kg": 15.0})
    assert "density 12,500 kg/m3" in found.doubts[0]
    assert sense(LEAD | {"mass_kg": 36.0}).faults


def test_ballast_lighter_than_water() -> None:
    assert "density 833 kg/m3" in sense(LEAD | {"mass_kg": 1.0}).doubts[0]
    assert sense(LEAD | {"mass_kg": 1.0, "kind": "stores"}) == Sense()


def test_two_weights_in_one_place() -> None:
    def beside(x: float) -> dict[str, Any]:
        return LEAD | {"id": "other", "at_m": [x, 0.0, -0.2]}

    assert sense(LEAD, beside(2.2)) == Sense()  # they touch
    assert sense(LEAD, beside(2.196)) == Sense()
    assert sense(LEAD, beside(2.19)).doubts == ["it overlaps 'other' by 10 mm: two things cannot be in one place"]
    both = checked(LEAD, beside(2.1))
    assert [w.verdict for w in both] == ["red", "red"]
    for found, other in zip(both, ("other", "pig"), strict=True):
        assert any(f"overlaps '{other}'" in reason for reason in found.reasons)


def test_a_guessed_size_is_asked_for_and_not_taken_for_wrong() -> None:
    unsized = {key: value for key, value in LEAD.items() if key != "size_m"}
    found = sense(unsized, LEAD | {"id": "other"})
    assert not found.faults
    assert "its size is a guess" in found.doubts[0]


@pytest.mark.parametrize(("fill", "asked"), [(0.0, False), (0.5, True), (0.9, True), (1.0, False)])
def test_a_tank_neither_full_nor_empty(fill: float, asked: bool) -> None:
    tank = LEAD | {"kind": "tank", "mass_kg": 1.0, "tank": {"fill": fill, "size_m": [0.18, 0.08, 0.05]}}
    assert any("free surface" in doubt for doubt in sense(tank).doubts) == asked


def test_an_own_scenario_in_place_of_a_built_in_one_is_said() -> None:
    own = [{"id": "rolled-over", "heel_deg": 0.0}]
    found = check_boat(boat(LEAD, scenario=own), ["rolled-over"]).weights[0]
    assert found.verdict != "green"
    assert any("not run: the built-in 'rolled-over'" in reason for reason in found.reasons)
    own[0]["id"] = "at-rest"
    found = check_boat(boat(LEAD, scenario=own), ["at-rest"]).weights[0]
    assert not any("not run" in reason for reason in found.reasons)


def test_a_weight_moved_onto_another_asks_about_both_again() -> None:
    session = Session(boat(LEAD, LEAD | {"id": "other", "at_m": [3.0, 0.0, -0.2]}))
    before = session.cache_keys()
    session.apply_changes({("weight", 1, "at_m", 0): 2.1}, "place")
    assert session.cache_keys()["pig"] != before["pig"]


def test_a_weight_of_no_kind_and_a_tank_of_no_fill_are_asked_about() -> None:
    blank = {k: v for k, v in LEAD.items() if k != "kind"}
    assert any(d.startswith("say what it is (`kind`)") for d in sense(blank).doubts)
    assert not any("`kind`" in d for d in sense(LEAD | {"kind": "other"}).doubts)
    tank = LEAD | {"kind": "tank"}
    assert any(d.startswith("say how full the tank is") for d in sense(tank).doubts)
    full = {"fill": 1.0, "size_m": [0.2, 0.1, 0.06]}
    assert not any("full" in d for d in sense(tank | {"tank": full}).doubts)
