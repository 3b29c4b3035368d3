"""A long heel step misses nothing that a very short one finds."""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.boat.models import BoatFile, Scenario
from secure_load.statics.motion import finely, heels
from secure_load.verdict.check import check_weight, prepare


def boat(step: float) -> BoatFile:
    held = [
        {"type": "bed", "friction": 0.2, "on": "floors", "timber": "oak-white"},
        *({"type": "cleat", "face": f, "strength_N": 2500.0, "height_mm": 40.0} for f in ("port", "starboard")),
        *({"type": "cleat", "face": f, "strength_N": 2500.0, "height_mm": 40.0} for f in ("fore", "aft")),
        {"type": "batten", "strength_N": 900.0},
    ]
    weight = {"id": "pigs", "mass_kg": 48.0, "at_m": [3.0, 0.2, -0.3], "size_m": [0.42, 0.2, 0.12], "restraint": held}
    scenario = {
        "id": "roll",
        "heel_deg": {"from": 0, "to": 170, "step": step},
        "load_factor": [1.0, 2.7],
        "surge_g": [-0.3, 0.3],
        "roll_rate_deg_s": 60,
    }
    return BoatFile.model_validate({"boat": {"name": "Plover's Rest"}, "weight": [weight], "scenario": [scenario]})


@pytest.mark.parametrize("step", [1.0, 7.0, 30.0, 85.0])
def test_a_long_step_finds_what_a_twentieth_of_a_degree_finds(step: float) -> None:
    def found(with_step: float):  # type: ignore[no-untyped-def]  # a verdict
        one = boat(with_step)
        return check_weight(one.weight[0], prepare(one, ["roll"]))

    fine, coarse = found(0.05), found(step)
    assert coarse.verdict == fine.verdict
    assert coarse.utilisation == pytest.approx(fine.utilisation, rel=1e-3)
    assert coarse.first_to_go.restraint == fine.first_to_go.restraint
    for side in ("port", "starboard"):
        a, b = getattr(coarse.holds_to_heel_deg, side), getattr(fine.holds_to_heel_deg, side)
        assert b - 1.0 <= a <= b


def test_steps_up_to_a_degree_are_kept_as_they_are() -> None:
    scenario = Scenario.model_validate({"id": "a", "heel_deg": {"from": 0, "to": 2, "step": 0.5}})
    assert heels(finely(scenario)).tolist() == [0.0, 0.5, 1.0, 1.5, 2.0]
    long = Scenario.model_validate({"id": "a", "heel_deg": {"from": 0, "to": 10, "step": 2.5}})
    assert np.allclose(np.diff(heels(finely(long))), 2.5 / 3)
    assert heels(finely(long))[[3, -1]] == pytest.approx([2.5, 10.0])
