"""Weights that lean on one another: each is judged by what becomes of it, and by what it leans on."""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_boat
from secure_load.check.results import WeightVerdict

ROLL = {"id": "roll", "heel_deg": {"from": 0, "to": 120, "step": 5}}
PITCH = {"id": "pitch", "heel_deg": {"to": 0}, "load_factor": [1.0], "surge_g": [-0.8, 0.0, 0.8], "both_sides": False}
BED = {"type": "bed", "friction": 0.1, "on": "floors", "timber": "oak-white"}
WIDTH = 0.1


def check(weights: list[dict[str, Any]], scenario: dict[str, Any] | None) -> dict[str, WeightVerdict]:
    """Through one scenario, or through all there are."""
    own, ids = ([], None) if scenario is None else ([scenario], [scenario["id"]])
    boat = BoatFile.model_validate({"boat": {"name": "Curlew"}, "weight": weights, "scenario": own})
    return {w.id: w for w in check_boat(boat, ids).weights}


def pile(count: int, end_strength: float) -> list[dict[str, Any]]:
    """Pigs side by side, boarded over, between two cleats."""
    weights: list[dict[str, Any]] = []
    for place in range(count):
        board = {"type": "batten", "span_mm": 150, "width_mm": 80, "strength_N": 1e5}
        chocks = [
            {"type": "cleat", "face": f, "length_mm": 80, "height_mm": 50, "strength_N": 1e5} for f in ("fore", "aft")
        ]
        held = [BED, board, *chocks]
        if place > 0:
            held.append({"type": "neighbour", "face": "starboard", "weight": f"p{place - 1}", "friction": 0.2})
        for end, face in ((0, "starboard"), (count - 1, "port")):
            if place == end:
                cleat = {"type": "cleat", "id": f"end-{face}", "face": face, "length_mm": 300, "height_mm": 50}
                held.append(cleat | {"strength_N": end_strength})
        at = [3.0, WIDTH * place, -0.3]
        size = [0.3, WIDTH, 0.08]
        weights.append(
            {
                "id": f"p{place}",
                "kind": "ballast",
                "mass_kg": 20.0,
                "at_m": at,
                "size_m": size,
                "measured": True,
                "restraint": held,
            }
        )
    return weights


def test_a_weight_that_leans_on_a_failing_restraint_is_not_green() -> None:
    """Three pigs of 196 N on a cleat that bears 400 N; the middle one touches no cleat at all."""
    found = check(pile(3, 400.0), ROLL)
    assert found["p0"].verdict == found["p2"].verdict == "red"
    assert found["p1"].verdict == "amber"
    assert not found["p1"].free_to_move
    assert any("leans on p2, whose end-port is at " in r for r in found["p1"].reasons), found["p1"].reasons


def test_a_weight_that_leans_on_what_holds_is_green() -> None:
    found = check(pile(3, 4000.0), ROLL)
    assert {w.verdict for w in found.values()} == {"green"}, [w.reasons for w in found.values()]


@pytest.mark.parametrize("scenario", [ROLL, PITCH, None])
def test_a_loose_weight_does_not_take_a_bolted_neighbour_with_it(scenario: dict[str, Any] | None) -> None:
    bolted = {
        "id": "bolted",
        "kind": "ballast",
        "mass_kg": 20.0,
        "at_m": [3.0, 0.0, -0.3],
        "size_m": [0.3, 0.15, 0.06],
        "measured": True,
        "restraint": [BED, {"type": "bolt", "size": "M10", "count": 4, "strength_N": 1e5}],
    }
    lean = {"type": "neighbour", "face": "aft", "weight": "bolted"}
    loose = {**bolted, "id": "loose", "at_m": [3.3, 0.0, -0.3], "restraint": [BED, lean]}
    found = check([bolted, loose], scenario)
    assert found["loose"].free_to_move
    assert not found["bolted"].free_to_move
    assert found["bolted"].verdict == "green", found["bolted"].reasons
