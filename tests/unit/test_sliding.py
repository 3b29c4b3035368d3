"""What slides has three quarters of the friction of what lies still (CTU Code Appendix 2), by hand."""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import WeightVerdict

MASS = 30.0
LOAD = MASS * 9.80665


def bed(friction: float) -> dict[str, Any]:
    return {"type": "bed", "friction": friction, "on": "floors", "timber": "oak-white", "stiffness_N_per_mm": 2e4}


def check(scenario: dict[str, Any], *restraint: dict[str, Any]) -> WeightVerdict:
    weight = {
        "id": "chest",
        "mass_kg": MASS,
        "at_m": [2.0, 0.0, 0.0],
        "size_m": [0.6, 0.6, 0.2],
        "measured": True,
        "restraint": list(restraint),
    }
    data = {"boat": {"name": "Redshank"}, "weight": [weight], "scenario": [{"id": "only"} | scenario]}
    boat = BoatFile.model_validate(data)
    return check_weight(boat.weight[0], make_context(boat, ["only"]))


def heeled(to: float) -> dict[str, Any]:
    return {"heel_deg": {"from": 0, "to": to, "step": 1}}


def test_a_weight_that_friction_alone_holds_is_held_by_what_is_left_once_it_slides() -> None:
    """0.60 holds up to 31 degrees, three quarters of it up to 24.2."""
    found = check(heeled(24.0), bed(0.6))
    assert (found.verdict, found.holds_to_heel_deg.port) == ("amber", 24.0)
    assert "held by friction alone" in found.reasons[0]
    slides = check(heeled(28.0), bed(0.6))
    assert slides.verdict == "red"
    assert slides.free_to_move
    assert (slides.holds_to_heel_deg.port, slides.holds_to_heel_deg.starboard) == (24.0, 24.0)
    assert "three quarters" in slides.reasons[-1]


@pytest.mark.parametrize(("slack_mm", "share"), [(0.0, 0.4), (3.0, 0.3)])
def test_what_has_slack_is_helped_by_the_friction_of_sliding_alone(slack_mm: float, share: float) -> None:
    """Thrown to port with 0.8 g against a soft cleat: friction bears all it can, the cleat the rest."""
    cleat = {"type": "cleat", "id": "side", "face": "port", "length_mm": 600, "height_mm": 150, "strength_N": 1e4}
    board = {"type": "batten", "span_mm": 700, "width_mm": 60, "strength_N": 1e4, "slack_mm": slack_mm}
    sway = {"heel_deg": {"to": 0}, "load_factor": [1.0], "sway_g": [-0.8], "both_sides": False}
    found = check(sway, bed(0.4), cleat | {"stiffness_N_per_mm": 50.0}, board)
    (side,) = [r for r in found.restraints if r.id == "side"]
    assert side.utilisation * 1e4 == pytest.approx((0.8 - share) * LOAD, rel=0.03)
    assert any("three quarters" in line for line in found.assumptions) == (slack_mm > 0.0)
