"""How far a weight moves before it is held: slack and stretch, by hand, and the colours that follow."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import WeightVerdict
from secure_load.model.body import Body
from secure_load.model.displacement import corner_displacements, greatest_displacements
from secure_load.record.drawings.heel_strip import cell_words, strip_data
from secure_load.record.text.words import movement

WEIGHT = 20.0 * 9.80665  # N
BED_N_PER_MM = 1000.0
BATTEN_N_PER_MM = 100.0
UP = {"id": "up", "heel_deg": {"to": 0}, "load_factor": [0.0], "heave_g": [-1.0], "both_sides": False}
ROLL = {"id": "roll", "heel_deg": {"from": 0, "to": 180, "step": 1}, "both_sides": False}


def pig(slack_mm: float, stiffness: float = BATTEN_N_PER_MM) -> dict[str, Any]:
    return {
        "id": "pig",
        "kind": "ballast",
        "mass_kg": 20.0,
        "at_m": [2.0, 0.0, 0.0],
        "size_m": [0.3, 0.3, 0.2],
        "measured": True,
        "restraint": [
            {"type": "bed", "friction": 0.0, "stiffness_N_per_mm": BED_N_PER_MM, "on": "floors", "timber": "oak-white"},
            {
                "type": "batten",
                "strength_N": 1e6,
                "stiffness_N_per_mm": stiffness,
                "span_mm": 300,
                "width_mm": 300,
                "slack_mm": slack_mm,
            },
            *[
                {"type": "cleat", "face": face, "length_mm": 300, "height_mm": 100, "strength_N": 1e6}
                for face in ("port", "starboard", "fore", "aft")
            ],
        ],
    }


def under_a_batten(slack_mm: float, scenario: dict[str, Any] = UP, stiffness: float = BATTEN_N_PER_MM) -> WeightVerdict:
    weight = pig(slack_mm, stiffness)
    boat = BoatFile.model_validate({"boat": {"name": "Sandling"}, "weight": [weight], "scenario": [scenario]})
    return check_weight(boat.weight[0], make_context(boat, [scenario["id"]]))


def test_a_box_that_turns_moves_most_at_a_corner() -> None:
    """Turned by theta about its fore-and-aft axis, a corner moves by theta times its distance from the axis."""
    body = Body(10.0, np.zeros(3), np.array([0.4, 0.06, 0.08]))
    u = np.array([[0.0, 0.0, 0.0, 0.01 * body.rotation_scale, 0.0, 0.0], [0.003, 0.0, 0.004, 0.0, 0.0, 0.0]])
    assert greatest_displacements([body], u)[:, 0] == pytest.approx([0.01 * 0.05, 0.005])
    up_on_port = corner_displacements(body, u)[0, :, 2]
    assert sorted(up_on_port) == pytest.approx([-0.0003] * 4 + [0.0003] * 4)


@pytest.mark.parametrize("slack_mm", [0.0, 5.0, 15.0, 40.0])
def test_movement_is_what_the_bed_gives_back_the_slack_and_the_stretch(slack_mm: float) -> None:
    found = under_a_batten(slack_mm)
    by_hand = WEIGHT / BED_N_PER_MM + slack_mm + WEIGHT / BATTEN_N_PER_MM
    assert found.movement_mm == pytest.approx(by_hand, rel=1e-3, abs=0.006)  # told to 0.01 mm
    assert found.movement_direction == "up"
    assert found.movement_at is not None
    assert found.movement_at.scenario == "up"


@pytest.mark.parametrize(
    ("slack_mm", "verdict", "whose"),
    [
        (7.83, "amber", []),  # slack of itself is amber
        (7.86, "amber", ["ISO 10133"]),
        (23.23, "amber", ["ISO 10133"]),
        (23.26, "red", ["33 CFR 183.420"]),
    ],
)
def test_limits_of_movement(slack_mm: float, verdict: str, whose: list[str]) -> None:
    """10 and 25.4 mm, of which bed and batten give 2.157 mm by themselves."""
    found = under_a_batten(slack_mm)
    assert found.verdict == verdict
    said = [r for r in found.reasons if r.startswith("moves ")]
    assert [source for source in ("ISO 10133", "33 CFR 183.420") if any(source in r for r in said)] == whose


def test_stretch_alone_may_move_it_too_far_for_green() -> None:
    assert under_a_batten(0.0, stiffness=30.0).verdict == "green"
    found = under_a_batten(0.0, stiffness=15.0)  # 13 mm
    assert (found.verdict, found.scenarios[0].verdict) == ("amber", "amber")
    assert "ISO 10133" in found.reasons[0]


def test_a_weight_that_moves_too_far_holds_no_further_than_the_heel_at_which_it_does() -> None:
    """It leaves its bed where it is past flat: at rest inverted it has fallen 40 mm and more."""
    found = under_a_batten(40.0, ROLL)
    assert found.verdict == "red"
    assert found.scenarios[0].verdict == "red"
    assert found.holds_to_heel_deg.starboard is not None
    assert 85.0 <= found.holds_to_heel_deg.starboard <= 95.0
    assert found.utilisation is not None
    assert found.utilisation < 0.1
    assert found.movement_at is not None
    assert found.movement_at.heel_deg > 150.0
    assert movement(found).startswith(f"{found.movement_mm:.1f} mm up, 1")


def test_the_strip_of_heels_is_red_where_it_moves_too_far() -> None:
    boat = BoatFile.model_validate({"boat": {"name": "Sandling"}, "weight": [pig(40.0)], "scenario": [ROLL]})
    row = strip_data(make_context(boat, ["roll"]), boat.weight[0])
    upright, inverted = row.at(0.0), row.at(180.0)
    assert upright is not None
    assert inverted is not None
    assert (upright.colour, inverted.colour) == ("green", "red")
    assert "moves 42 mm, " in cell_words(row, 180.0)
