"""One box of stated weight under one stated load, and what the verdict says of it: for arithmetic done by hand."""

from __future__ import annotations

from typing import Any

from secure_load.boat.models import BoatFile, BoatParticulars, Weight
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import WeightVerdict
from secure_load.loads.load_cases import LoadCases
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model

WEIGHT = 1000.0
"""N"""
MASS = WEIGHT / 9.80665
SIZE = (0.4, 0.3, 0.1)
UP: dict[str, Any] = {"id": "up", "heel_deg": 0.0, "load_factor": [0.0], "heave_g": [-1.0], "both_sides": False}
"""Weightless, and thrown up with her own weight."""
REST: dict[str, Any] = {"id": "rest", "heel_deg": 0.0, "both_sides": False}
GREASED: dict[str, Any] = {"type": "bed", "friction": 0.0, "id": "bed"}


def boat_file(
    *restraint: dict[str, Any], scenario: dict[str, Any] = UP, boat: dict[str, Any] | None = None
) -> BoatFile:
    """A boat with the one box, its centre of gravity at [2, 0, 0]."""
    return BoatFile.model_validate(
        {
            "schema": 1,
            "boat": {"name": "Whimbrel", "bilge": "dry", **(boat or {})},
            "scenario": [scenario],
            "weight": [
                {
                    "id": "box",
                    "mass_kg": MASS,
                    "at_m": [2.0, 0.0, 0.0],
                    "size_m": list(SIZE),
                    "measured": True,
                    "restraint": list(restraint),
                }
            ],
        }
    )


def check(
    *restraint: dict[str, Any], scenario: dict[str, Any] = UP, boat: dict[str, Any] | None = None
) -> WeightVerdict:
    """The verdict on the box under the one scenario."""
    whole = boat_file(*restraint, scenario=scenario, boat=boat)
    return check_weight(whole.weight[0], make_context(whole, [scenario["id"]]))


def stowed_box(*restraint: dict[str, Any], bilge: str = "dry") -> GroupModel:
    """The box made ready, without a verdict."""
    particulars = BoatParticulars.model_validate({"name": "Whimbrel", "bilge": bilge})
    weight = Weight.model_validate(
        {"id": "box", "mass_kg": MASS, "at_m": [2.0, 0.0, 0.0], "size_m": list(SIZE), "restraint": list(restraint)}
    )
    return build_single_model(weight, particulars)


def load_of(stowed: GroupModel, meant: LoadCases) -> Any:
    """The distinct loads of a family on a group, (d, 6 b)."""
    moments = meant.instants.at(meant.unique_rows)
    return stowed.loads_at(moments)


def batten(name: str, strength: float, **more: Any) -> dict[str, Any]:
    """A batten of stated strength, N, and stiffness 500 N/mm, over the middle of the box."""
    return {
        "type": "batten",
        "id": name,
        "span_mm": 400.0,
        "width_mm": 60.0,
        "depth_mm": 25.0,
        "strength_N": strength,
        "stiffness_N_per_mm": 500.0,
        **more,
    }
