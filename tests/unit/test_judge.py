"""The limits between red, amber and green, each met from both sides, through the verdict on a whole weight.

A box that weighs 1000 N lies on a greased bed under battens of stated strength and is thrown up with its own
weight: the battens share 1000 N evenly, so that the utilisation is 1000 / (count x strength).
"""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import WeightVerdict

WEIGHT = 1000.0
UP = {"id": "up", "heel_deg": 0.0, "load_factor": [0.0], "heave_g": [-1.0], "both_sides": False}
HEELED = {"id": "heeled", "heel_deg": {"from": 0, "to": 10, "step": 5}}
GREASED = {"type": "bed", "friction": 0.0, "on": "keel", "timber": "oak-white"}


def check(*restraint: dict[str, Any], scenario: dict[str, Any] = UP) -> WeightVerdict:
    boat = BoatFile.model_validate(
        {
            "schema": 1,
            "boat": {"name": "Whimbrel"},
            "scenario": [scenario],
            "weight": [
                {
                    "id": "box",
                    "kind": "other",
                    "mass_kg": WEIGHT / 9.80665,
                    "at_m": [2.0, 0.0, 0.0],
                    "size_m": [0.4, 0.3, 0.1],
                    "measured": True,
                    "restraint": list(restraint),
                }
            ],
        }
    )
    return check_weight(boat.weight[0], make_context(boat, [scenario["id"]]))


def battens(count: int, utilisation: float) -> list[dict[str, Any]]:
    each = {
        "type": "batten",
        "span_mm": 400.0,
        "width_mm": 60.0,
        "depth_mm": 25.0,
        "strength_N": WEIGHT / count / utilisation,
        "stiffness_N_per_mm": 500.0,
    }
    return [each | {"id": f"batten-{i}"} for i in range(count)]


@pytest.mark.parametrize(
    ("count", "utilisation", "verdict", "second_path"),
    [
        (1, 0.499, "green", False),  # under a half nothing is asked of a second path
        (1, 0.501, "amber", False),  # over a half, and nothing takes over
        (3, 0.660, "green", True),  # two of three would be worked to 0.99
        (3, 0.670, "amber", False),  # two of three would be worked to 1.005
        (6, 0.799, "green", True),
        (6, 0.801, "amber", True),
        (6, 0.999, "amber", False),
        (6, 1.001, "red", False),
        (1, 1.001, "red", False),
    ],
)
def test_limits_of_utilisation(count: int, utilisation: float, verdict: str, second_path: bool) -> None:
    found = check(GREASED, *battens(count, utilisation))
    assert found.utilisation == pytest.approx(utilisation, rel=1e-3)
    assert found.verdict == verdict, found.reasons
    assert found.second_path is second_path
    assert not found.free_to_move


def test_red_names_what_goes_and_by_how_much() -> None:
    found = check(GREASED, *battens(1, 1.25))
    assert found.first_to_go is not None
    assert found.first_to_go.restraint == "batten-0"
    assert found.first_to_go.demand_N == pytest.approx(1000.0, rel=1e-3)
    assert found.first_to_go.strength_N == pytest.approx(800.0, rel=1e-3)
    assert any("batten-0" in reason and "125 % used" in reason for reason in found.reasons)


def test_free_to_move_is_red_without_a_number() -> None:
    found = check(GREASED)
    assert found.verdict == "red"
    assert found.free_to_move
    assert found.utilisation is None
    assert found.moves == "lifts straight off its bed"
    assert any("free to move" in reason for reason in found.reasons)


def test_nothing_at_all_is_red() -> None:
    found = check()
    assert found.verdict == "red"
    assert any("nothing holds it" in reason for reason in found.reasons)


def test_friction_alone_is_amber() -> None:
    found = check({"type": "bed", "friction": 0.5}, scenario=HEELED)
    assert found.verdict == "amber"
    assert any("friction alone" in reason for reason in found.reasons)


def test_friction_beside_cleats_is_not_friction_alone() -> None:
    sides = [
        {"type": "cleat", "face": face, "length_mm": 300.0, "height_mm": 100.0, "strength_N": 9000.0}
        | {"stiffness_N_per_mm": 1000.0}
        for face in ("port", "starboard")
    ]
    found = check(GREASED | {"friction": 0.5}, *sides, scenario=HEELED)
    assert not any("friction alone" in reason for reason in found.reasons)
    assert found.verdict == "green", found.reasons


def test_a_cable_tie_as_the_only_thing_is_amber_however_strong() -> None:
    tie = {"type": "cable_tie", "id": "tie", "strength_N": 1e5, "stiffness_N_per_mm": 500.0}
    found = check(GREASED, tie)
    assert found.utilisation is not None
    assert found.utilisation < 0.1
    assert found.verdict == "amber"
    assert any("cable tie is the only thing" in reason for reason in found.reasons)


def test_a_cable_tie_beside_enough_battens_is_no_doubt() -> None:
    found = check(GREASED, {"type": "cable_tie", "id": "tie", "tie": "standard", "strength_N": 1e5}, *battens(3, 0.3))
    assert not any("cable tie is the only thing" in reason for reason in found.reasons)
    assert found.verdict == "green", found.reasons


def test_a_strength_that_was_assumed_is_amber() -> None:
    bare = {"type": "batten", "id": "guessed", "stiffness_N_per_mm": 50.0}
    # so much help that the guessed one is worked lightly, yet harder than the others
    found = check(GREASED, bare, *battens(6, 0.01))
    assert found.first_to_go is not None
    assert found.first_to_go.restraint == "guessed"
    assert found.utilisation is not None
    assert found.utilisation < 0.5
    assert found.verdict == "amber"
    assert any("rests on an assumption" in reason for reason in found.reasons)
    assert found.assumptions


def test_bearing_on_planking_is_amber() -> None:
    found = check(GREASED | {"on": "planking"}, *battens(3, 0.3))
    assert found.verdict == "amber"
    assert any("planking" in reason for reason in found.reasons)


def test_holds_to_the_heel_before_the_first_red_one() -> None:
    """Friction 0.3 lets go at 16.7 degrees: 16 is the last whole degree that holds, however long the step."""
    steps = {"id": "steps", "heel_deg": {"from": 0, "to": 40, "step": 2}}
    found = check({"type": "bed", "friction": 0.3}, scenario=steps)
    assert found.holds_to_heel_deg.starboard == 16.0
    assert found.holds_to_heel_deg.port == 16.0
    assert found.worst.heel_deg in (17.0, -17.0)
    held = check({"type": "bed", "friction": 1.5}, scenario=steps)
    assert held.holds_to_heel_deg.starboard == 40.0
    loose = check(GREASED, scenario=UP)
    assert loose.holds_to_heel_deg.starboard is None
