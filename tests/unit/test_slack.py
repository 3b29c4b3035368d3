"""A restraint that the weight reaches with a jerk is worked by the sudden load of it.

Source: S. Timoshenko, Strength of Materials, the weight that falls on a spring: 1 + sqrt(1 + 2 s / d).
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_weight
from secure_load.check.context import make_context

WEIGHT = 20.0 * 9.80665  # N, pulled up with 1 g
STIFFNESS = 100.0  # N/mm


def worked(slack_mm: float) -> float | None:
    batten: dict[str, Any] = {"type": "batten", "strength_N": 1000.0, "stiffness_N_per_mm": STIFFNESS}
    weight = {
        "id": "pig",
        "mass_kg": 20.0,
        "at_m": [2.0, 0.0, 0.0],
        "size_m": [0.3, 0.3, 0.2],
        "restraint": [{"type": "bed", "friction": 0.0}, batten | {"slack_mm": slack_mm}],
    }
    up = {"id": "up", "heel_deg": {"to": 0}, "load_factor": [0.0], "heave_g": [-1.0], "both_sides": False}
    boat = BoatFile.model_validate({"boat": {"name": "Whimbrel"}, "weight": [weight], "scenario": [up]})
    return check_weight(boat.weight[0], make_context(boat, ["up"])).utilisation


@pytest.mark.parametrize("slack_mm", [0.5, 1.0, 5.0, 20.0])
def test_slack_multiplies_the_load_as_a_falling_weight_does(slack_mm: float) -> None:
    at_rest_mm = WEIGHT / STIFFNESS
    sudden = 1.0 + math.sqrt(1.0 + 2.0 * slack_mm / at_rest_mm)
    assert worked(slack_mm) == pytest.approx(sudden * WEIGHT / 1000.0, rel=1e-3)


def test_a_snug_fit_is_worked_by_the_load_alone() -> None:
    assert worked(0.0) == pytest.approx(WEIGHT / 1000.0, rel=1e-3)
