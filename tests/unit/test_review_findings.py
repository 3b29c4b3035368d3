"""Cases in which the engine was once wrong, each against a balance worked by hand.

A box of 0.4 x 0.3 x 0.2 m that weighs 1000 N, about the middle of its own length.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile, Scenario
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import RestraintVerdict, WeightVerdict
from secure_load.loads.load_cases import instants, load_cases, loads
from secure_load.model.failure.failure_mode import by_bending, by_resultant, by_screws
from secure_load.strength.nds import interaction_wood_screw

WEIGHT = 1000.0
MASS = WEIGHT / 9.80665
AT = (3.0, 0.0, 0.0)
UP = {"id": "up", "heel_deg": 0.0, "load_factor": [0.0], "heave_g": [-1.0], "both_sides": False}
REST = {"id": "rest", "heel_deg": 0.0, "both_sides": False}
TO_STARBOARD = {"id": "thrown", "heel_deg": 0.0, "sway_g": [1.0], "both_sides": False}
GREASED = {"id": "bed", "type": "bed", "on": "floors", "timber": "oak-white", "friction": 0.0}
BATTEN = {"type": "batten", "span_mm": 400.0, "width_mm": 45.0, "strength_N": 5000.0, "stiffness_N_per_mm": 500.0}


def check(*restraint: dict[str, Any], scenario: dict[str, Any] = UP, **boat: Any) -> WeightVerdict:
    weight = {"id": "box", "kind": "other", "mass_kg": MASS, "at_m": AT, "size_m": [0.4, 0.3, 0.2], "measured": True}
    whole = BoatFile.model_validate(
        {
            "schema": 1,
            "boat": {"name": "Whimbrel"} | boat,
            "scenario": [scenario],
            "weight": [weight | {"restraint": list(restraint)}],
        }
    )
    return check_weight(whole.weight[0], make_context(whole, [scenario["id"]]))


def of(found: WeightVerdict, name: str) -> RestraintVerdict:
    return next(r for r in found.restraints if r.id == name)


@pytest.mark.parametrize("held", [{"type": "bond"}, {"type": "bolt", "count": 1}, {"type": "bolt", "count": 5}])
def test_a_strength_given_for_a_bond_or_for_bolts_is_that_of_all_of_it(held: dict[str, Any]) -> None:
    found = check(held | {"id": "hold", "strength_N": 400.0})
    assert of(found, "hold").utilisation == pytest.approx(WEIGHT / 400.0, rel=1e-3)
    assert found.verdict == "red"


def test_what_a_bond_bears_by_pressing_is_no_load_on_it() -> None:
    assert check({"id": "hold", "type": "bond", "strength_N": 400.0}, scenario=REST).utilisation == 0.0
    drag = np.zeros(1)
    demand, ratio = by_resultant(100.0, np.array([0.5, 0.5]))(np.array([[7.0, 3.0, 4.0, -1.0, 0.0, 0.0]]), drag)
    assert (demand[0], ratio[0]) == pytest.approx((10.0, 0.1))


@pytest.mark.parametrize("screws", [None, {"kind": "wood-screw", "gauge": 8}, {"diameter_mm": 8.0}])
def test_a_through_bolted_eye_needs_no_bolt_written_out(screws: dict[str, Any] | None) -> None:
    anchors = {"kind": "through-bolt"} | ({"screws": screws} if screws else {})
    line = {"id": "gripe", "type": "strap", "from_m": [3.0, 0.2, -0.1], "to_m": [3.0, -0.2, -0.1], "anchors": anchors}
    found = check(GREASED, line)
    assert "eye itself" in [part.part for part in of(found, "gripe").parts]
    assert of(found, "gripe").assumed
    thread = 8 if screws and "diameter_mm" in screws else 6
    assert any(f"M{thread}" in why for part in of(found, "gripe").parts for why in part.why)


def test_a_pull_with_a_ceiling_is_not_taken_for_the_weight_it_equals() -> None:
    # weighing once itself, and weightless but pulled down with its weight: alike but for the ceiling on the pull
    scenario = Scenario.model_validate(
        {"id": "pull", "heel_deg": 0.0, "load_factor": [1.0, 0.0], "heave_g": [0.0, 1.0], "both_sides": False}
        | {"pull_at_most_N": 100.0}
    )
    (moments,) = instants(scenario)
    every = loads(moments, MASS, np.zeros(3))
    np.testing.assert_allclose(every[:, 2], [-1100.0, -1000.0, -100.0], atol=1e-9)
    found = load_cases([scenario])
    distinct = loads(found.instants.at(found.unique_rows), MASS, np.zeros(3))
    np.testing.assert_allclose(distinct[found.inverse], every)


def test_bolts_of_unknown_grip_or_washer_rest_on_an_assumption() -> None:
    known = {
        "id": "bolts",
        "type": "bolt",
        "count": 2,
        "size": "M10",
        "metal": "A4-70",
        "into": "oak-white",
        "member": "keel",
    }
    whole = known | {"thickness_mm": 60.0, "washer_mm": 30.0}
    assert not of(check(GREASED, whole), "bolts").assumed
    for missing in ("thickness_mm", "washer_mm"):
        found = check(GREASED, {key: value for key, value in whole.items() if key != missing})
        assert of(found, "bolts").assumed
        assert any("bolts:" in line for line in found.assumptions)


def test_slack_is_said_to_come_with_a_jerk_where_it_is_felt() -> None:
    assert check(GREASED, BATTEN).verdict == "green"
    found = check(GREASED, BATTEN | {"id": "bar", "slack_mm": 5.0})
    assert found.verdict == "amber"
    assert any("bar has 5 mm of slack" in reason for reason in found.reasons)
    # one that the weight never reaches asks for nothing
    still = check(GREASED, BATTEN | {"slack_mm": 5.0}, scenario=REST)
    assert still.verdict == "green"


def test_a_bed_pressed_beyond_its_timber_is_not_green() -> None:
    small = GREASED | {"size_m": [0.02, 0.02], "timber": None}
    found = check(small, scenario=REST)
    assert found.bearing[0].pressure_kPa == pytest.approx(WEIGHT / 0.0004 / 1000.0, rel=1e-3)
    assert found.bearing[0].utilisation > 1.0
    assert found.verdict == "red"
    assert found.bearing[0].sentence in found.reasons
    assert not any("holds in every" in reason for reason in found.reasons)
    assert check(GREASED, scenario=REST).verdict == "green"


SCREWS = {
    "kind": "wood-screw",
    "gauge": 10,
    "penetration_mm": 40.0,
    "into": "oak-white",
    "member": "keel",
    "metal": "silicon-bronze",
}
CLEAT = {"type": "cleat", "face": "starboard", "timber": "oak-white", "height_mm": 40.0, "depth_mm": 40.0}


def test_a_cleat_that_is_pressed_at_one_end_works_the_screw_there() -> None:
    # two cleats of 300 mm reach 50 mm past the ends of the box: each is pressed 125 mm from its middle
    screws = SCREWS | {"count": 3}

    def cleats(off: float) -> list[dict[str, Any]]:
        each = CLEAT | {"length_mm": 300.0, "screws": screws}
        return [each | {"id": name, "at_m": [3.0 + side * off, -0.15, -0.1]} for name, side in (("a", 1), ("b", -1))]

    aside = of(check(GREASED, *cleats(0.3), scenario=TO_STARBOARD), "a").parts[0]
    square = of(check(GREASED, *cleats(0.0), scenario=TO_STARBOARD), "a").parts[0]
    # 1/3 + 0.125 x 0.1 / (2 x 0.1^2) of the thrust comes to the end screw, in place of a third
    assert aside.utilisation / square.utilisation == pytest.approx(3.0 * (1.0 / 3.0 + 0.625), rel=1e-3)
    assert aside.strength_N == pytest.approx(square.strength_N or 0.0, rel=1e-2)


def test_a_thrust_in_the_middle_is_shared_evenly_and_a_lone_screw_has_it_all() -> None:
    forces, drag = np.array([[60.0, 40.0], [10.0, 0.0]]), np.array([20.0, 0.0])
    level, prying = np.zeros(2), np.array([0.0, 1.5])
    four = by_screws(level, prying, np.array([-0.15, -0.05, 0.05, 0.15]), 50.0, 30.0)(forces, drag)
    across, drawn = math.hypot(100.0, 20.0), 60.0 + 20.0
    assert four[0][0] == pytest.approx(math.hypot(across, drawn))
    assert four[1][0] == pytest.approx(float(interaction_wood_screw(200.0, 120.0, across, drawn)))
    lone = by_screws(np.array([-0.1, 0.1]), prying, np.zeros(1), 50.0, 30.0)(forces, drag)
    assert lone[0][1] == pytest.approx(10.0)


def test_a_batten_pressed_at_one_place_bends_as_under_a_point_load() -> None:
    drag = np.zeros(1)
    bent = by_bending(np.array([0.0, 0.2]), 1.0, 0.1, 50.0)
    # W L / 4 under the middle; W a b / L off it; both together add up where they are
    assert bent(np.array([[100.0, 0.0]]), drag)[1][0] == pytest.approx(100.0 / 4.0 / 50.0)
    assert bent(np.array([[0.0, 100.0]]), drag)[1][0] == pytest.approx(100.0 * 0.7 * 0.3 / 50.0)
    assert bent(np.array([[100.0, 100.0]]), drag)[1][0] == pytest.approx((25.0 + 100.0 * 0.5 * 0.3) / 50.0)
    # spread evenly it is no less than what was worked out for that
    assert by_bending(np.zeros(1), 1.0, 0.4, 50.0)(np.array([[100.0]]), drag)[1][0] == pytest.approx(0.8)


def test_a_strap_with_both_ends_on_one_side_is_told_of() -> None:
    over = {"id": "gripe", "type": "strap", "from_m": [2.9, 0.2, -0.1], "strength_N": 5000.0}
    aside = check(GREASED, over | {"to_m": [3.1, 0.3, -0.1]})
    assert any("gripe: both its ends lie beyond the weight's port side" in reason for reason in aside.reasons)
    assert not any("gripe: both" in reason for reason in check(GREASED, over | {"to_m": [3.1, -0.2, -0.1]}).reasons)


def test_end_grain_is_told_of_as_what_it_does_to_the_screws_there_are() -> None:
    coach = {"kind": "coach-screw", "diameter_mm": 8.0, "penetration_mm": 60.0, "into": "oak-white", "member": "keel"}
    coach |= {"metal": "galvanised-steel", "count": 4, "end_grain": True}
    bar = {"id": "bar", "type": "batten", "timber": "oak-white", "span_mm": 400.0, "width_mm": 80.0, "depth_mm": 40.0}
    of_coach = " ".join(check(GREASED, bar | {"screws": coach}).warnings)
    assert "three quarters" in of_coach
    assert "counts for nothing" not in of_coach
    of_wood = " ".join(check(GREASED, bar | {"screws": SCREWS | {"count": 4, "end_grain": True}}).warnings)
    assert "counts for nothing" in of_wood


def test_a_part_of_which_nothing_is_left_is_not_given_a_percentage() -> None:
    rotten = BATTEN | {"id": "bar", "finding": [{"date": "2031-04-05", "note": "rotten", "factor": 0.0}]}
    found = check(GREASED, rotten)
    assert found.verdict == "red"
    assert any("nothing is left of its strength" in reason for reason in found.reasons)
    assert not any("%" in reason for reason in found.reasons)
