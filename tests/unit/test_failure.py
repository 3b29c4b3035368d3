"""The order in which restraints break, against cases that can be done by hand.

The box weighs 1000 N and is thrown up with its own weight; what is given is taken to break at 1.5 times that
(the safety factor of the CSS Code).
"""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.failure_order import breaking_order, order_of_failure
from secure_load.check.sampler import worst_over_bounds
from secure_load.model.model_builder import build_model
from tests.reference.boxes import GREASED, MASS, SIZE, UP, WEIGHT, batten, boat_file, check, load_of


def told(*restraint: dict[str, Any], **more: Any) -> list[tuple[str, float, str]]:
    found = check(*restraint, **more).order_of_failure
    return [(each.restraint, each.load_factor, each.then) for each in found]


def test_one_batten_and_then_it_lifts() -> None:
    assert told(GREASED, batten("only", 2000.0)) == [
        ("only", pytest.approx(3.0, abs=1e-3), "then it lifts straight off its bed"),
    ]


def test_the_weaker_of_two_goes_and_the_other_carries_it() -> None:
    # 500 N each: the weak one breaks at 900 N, that is at 1.8 times; the strong one then bears all, to 4500 N
    assert told(GREASED, batten("weak", 600.0), batten("strong", 3000.0)) == [
        ("weak", pytest.approx(1.8, abs=1e-3), "then strong carries it"),
        ("strong", pytest.approx(4.5, abs=1e-3), "then it lifts straight off its bed"),
    ]


def test_what_cannot_take_over_goes_at_once() -> None:
    # when the first breaks at 1.8 times the other would have to bear 1800 N, and breaks at 1500 N
    assert told(GREASED, batten("weak", 600.0), batten("other", 1000.0)) == [
        ("weak", pytest.approx(1.8, abs=1e-3), "at once other goes too"),
        ("other", pytest.approx(1.8, abs=1e-3), "then it lifts straight off its bed"),
    ]


def test_the_load_factor_is_that_of_the_instant_times_the_scale() -> None:
    capsized = {"id": "over", "heel_deg": 180.0, "load_factor": [2.0], "both_sides": False}
    (only,) = check(GREASED, batten("only", 3000.0), scenario=capsized).order_of_failure
    assert only.heel_deg == 180.0
    assert only.load_factor == pytest.approx(4.5, abs=1e-3)  # 4500 N over 1000 N, whatever n it was run with
    assert only.part == "given"


def test_what_is_red_already_goes_below_the_whole_load() -> None:
    (only,) = check(GREASED, batten("only", 500.0)).order_of_failure
    assert only.load_factor == pytest.approx(0.75, abs=1e-3)
    assert "0.75 times the worst load" in only.sentence


def test_what_is_free_already_has_no_order() -> None:
    assert check(GREASED).order_of_failure == []
    # held upright, but greased and free to slide when she heels
    heeled = {"id": "heeled", "heel_deg": {"from": 0, "to": 40, "step": 10}}
    found = check(GREASED, batten("only", 5000.0), scenario=heeled)
    assert found.free_to_move
    assert found.order_of_failure == []


def test_slack_lets_the_first_go_before_the_second_takes_up() -> None:
    # 500 N/mm: the first breaks at 900 N, after 1.8 mm; the second stands 2.5 mm off
    found = told(GREASED, batten("snug", 600.0), batten("slack", 2000.0, slack_mm=2.5))
    assert found == [
        ("snug", pytest.approx(0.9, rel=0.01), "then slack carries it"),
        ("slack", pytest.approx(3.0, rel=0.01), "then it lifts straight off its bed"),
    ]


def test_slack_that_is_taken_up_shares() -> None:
    # both bear from 1 mm on: 500 N first, then half and half; the first breaks at 3000 N, with 2500 N in the second
    found = told(GREASED, batten("snug", 2000.0), batten("slack", 4000.0, slack_mm=1.0))
    assert found[0] == ("snug", pytest.approx(5.5, rel=0.01), "then slack carries it")
    assert found[1][1] == pytest.approx(6.0, rel=0.01)


STRAP = {
    "type": "strap",
    "id": "strap",
    "from_m": [2.0, 0.15, -0.05],
    "to_m": [2.0, -0.15, -0.05],
    "line": "polyester-webbing-25",
    "strength_N": 2000.0,
}


def test_a_tight_strap_breaks_where_its_two_legs_bear_all() -> None:
    # two upright legs of 3000 N: 6000 N, and the tension set up in it is no longer felt once the box is off its bed
    (only,) = check(GREASED, STRAP | {"tension_N": 400.0}).order_of_failure
    assert only.restraint == "strap"
    assert only.load_factor == pytest.approx(6.0, rel=0.01)


def test_what_a_tight_strap_presses_down_slips_before_anything_breaks() -> None:
    # friction 0.3 of 1000 s + 2 x 500 N against 500 s: it slides from s = 1.5 on
    boat = boat_file({"type": "bed", "friction": 0.3, "id": "bed"}, STRAP | {"tension_N": 500.0})
    stowed = build_model(boat.weight, boat.boat)
    moment = np.array([0.0, 0.5 * WEIGHT, -WEIGHT, 0.0, 0.0, 0.0])
    (only,), end = breaking_order(stowed, 0, stowed.springs, moment, 0.25)
    assert (stowed.restraints[only.fitting].id, only.part) == ("bed", "friction")
    assert only.scale == pytest.approx(1.5, rel=0.03)
    assert end == "it slides to port"


def test_timber_that_is_crushed_goes_on_bearing() -> None:
    # a deep, narrow, short batten on ten big screws: crushed where it lies on the box long before it breaks
    narrow = {
        "type": "batten",
        "id": "narrow",
        "timber": "pine-eastern-white",
        "span_mm": 320.0,
        "width_mm": 12.0,
        "depth_mm": 120.0,
        "screws": {
            "kind": "coach-screw",
            "diameter_mm": 12.0,
            "count": 20,
            "penetration_mm": 90.0,
            "into": "oak-white",
            "member": "keel",
            "metal": "8.8",
            "washer_mm": 60.0,
        },
    }
    found = check(GREASED, narrow).order_of_failure
    assert found[0].part == "timber crushed where the weight bears on it"
    assert found[0].then == "it goes on bearing, crushed"
    # average crushing across the grain, 12 % moisture, over 12 x 300 mm
    assert found[0].load_factor == pytest.approx(3.03e6 * 0.012 * 0.3 / WEIGHT, rel=0.01)
    assert found[1].restraint == "narrow"
    assert found[1].load_factor > found[0].load_factor
    assert len(found) == 2


@pytest.mark.parametrize("slack", [0.0, 1.0])
def test_what_has_no_strength_at_all_goes_first_and_the_search_ends(slack: float) -> None:
    # wood screws in end grain count for nothing when drawn
    screws = {
        "gauge": 10,
        "count": 4,
        "penetration_mm": 40.0,
        "into": "larch",
        "member": "floor",
        "metal": "A4-70",
        "end_grain": True,
    }
    nothing = batten("nothing", 1.0) | {"timber": "larch", "screws": screws}
    nothing.pop("strength_N")
    found = told(GREASED, nothing, batten("strong", 2000.0, slack_mm=slack))
    assert [name for name, _, _ in found] == ["nothing", "strong"]
    assert found[0][1] == pytest.approx(0.0, abs=1e-3)
    assert found[1][1] == pytest.approx(3.0, rel=0.01)


def test_sentences_are_numbered_and_say_it_all() -> None:
    found = check(GREASED, batten("weak", 600.0), batten("strong", 3000.0)).order_of_failure
    for place, each in enumerate(found, start=1):
        assert each.sentence.startswith(f"{place}. At ")
        assert re.search(r"\d times the worst load \(up, upright; [\d.]+ times its own weight\)", each.sentence)
        assert each.restraint in each.sentence
        assert each.then in each.sentence


def test_the_failures_of_a_neighbour_say_whose_they_are() -> None:
    """Two boxes side by side on grease, thrown to port: the port one's cleat bears them both."""

    def box(name: str, y: float, *restraint: dict[str, Any]) -> dict[str, Any]:
        return {
            "id": name,
            "name": name.title(),
            "mass_kg": MASS,
            "at_m": [2.0, y, 0.0],
            "size_m": list(SIZE),
            "measured": True,
            "restraint": list(restraint),
        }

    stop = {"type": "cleat", "length_mm": 400.0, "height_mm": 100.0, "strength_N": 2000.0, "stiffness_N_per_mm": 5e3}
    sideways = {"id": "side", "heel_deg": 0.0, "sway_g": [-1.0], "both_sides": False}
    boat = BoatFile.model_validate(
        {
            "schema": 1,
            "boat": {"name": "Whimbrel"},
            "scenario": [sideways],
            "weight": [
                box("port-pig", 0.15, GREASED, stop | {"face": "port", "id": "stop"}),
                box("starboard-pig", -0.15, GREASED, {"type": "neighbour", "face": "port", "weight": "port-pig"}),
            ],
        }
    )
    run = make_context(boat, ["side"])
    own = check_weight(boat.weight[0], run).order_of_failure
    assert [(f.restraint, f.then) for f in own] == [("stop", "then it slides to port")]
    assert own[0].load_factor == pytest.approx(1.5, rel=1e-3)  # 3000 N for the two of 1000 N each


def test_it_is_told_of_the_moment_that_works_it_hardest() -> None:
    whole = boat_file(GREASED, batten("only", 2000.0), scenario={**UP, "heave_g": [-1.0, -1.5, 0.0]})
    run = make_context(whole, ["up"])
    stowed, meant = build_model(whole.weight, whole.boat), run.load_cases_for(whole.weight[0])
    load = load_of(stowed, meant)
    (only,) = order_of_failure(stowed, 0, meant, load, worst_over_bounds(stowed, load, meant))
    assert only.sentence.startswith("1. At 2 times")  # 3000 N of 1500 N
    assert only.load_factor == pytest.approx(3.0, abs=1e-3)
