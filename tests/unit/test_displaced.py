"""A weight that has moved is held by what still meets it where it is then."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile, BoatParticulars, Weight
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.displaced import in_place
from secure_load.check.results import WeightVerdict
from secure_load.model.group_model import NOMINAL
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve

BOAT = BoatParticulars(name="Godwit", bwl_m=2.0)
MASS = 25.0
HEIGHT = 0.12
INVERTED = {"id": "over", "heel_deg": {"from": 0, "to": 180, "step": 5}}
BED = {"type": "bed", "friction": 0.0, "on": "floors", "timber": "oak-white", "stiffness_N_per_mm": 2e4}


def pig(*restraint: dict[str, Any]) -> dict[str, Any]:
    return {
        "id": "pig",
        "mass_kg": MASS,
        "at_m": [2.0, 0.0, 0.0],
        "size_m": [0.3, 0.2, HEIGHT],
        "measured": True,
        "restraint": [BED, *restraint],
    }


def chocked(cleat_mm: float, slack_mm: float) -> dict[str, Any]:
    cleats = [
        {"type": "cleat", "id": f, "face": f, "length_mm": 180, "height_mm": cleat_mm, "strength_N": 1e5}
        for f in ("port", "starboard", "fore", "aft")
    ]
    board = {"type": "batten", "span_mm": 300, "width_mm": 250, "strength_N": 1e5, "slack_mm": slack_mm}
    return pig(*cleats, board | {"stiffness_N_per_mm": 2000.0})


def check(weight: dict[str, Any]) -> WeightVerdict:
    boat = BoatFile.model_validate({"boat": {"name": "Godwit"}, "weight": [weight], "scenario": [INVERTED]})
    return check_weight(boat.weight[0], make_context(boat, ["over"]))


@pytest.mark.parametrize(
    ("cleat_mm", "slack_mm", "verdict"),
    [
        (40.0, 8.0, "amber"),  # slack of itself is amber; 32 mm of the cleats still stop it
        (12.0, 8.0, "amber"),
        (8.0, 8.0, "red"),  # 8 mm of slack and what the board gives lift it past cleats of 8 mm
        (6.0, 8.0, "red"),
        (20.0, 21.0, "red"),
    ],
)
def test_a_cleat_that_the_weight_has_risen_past_does_not_hold_it(
    cleat_mm: float, slack_mm: float, verdict: str
) -> None:
    found = check(chocked(cleat_mm, slack_mm))
    assert found.verdict == verdict, found.reasons
    assert found.free_to_move == (verdict == "red")
    if found.free_to_move:
        assert any("moved clear of" in r for r in found.reasons)


def test_a_cleat_is_pried_at_by_its_upper_edge_alone_once_the_weight_has_risen() -> None:
    """Thrown up and to starboard against slack of 12 mm: of a 20 mm cleat the upper 8 mm are left."""
    weight = Weight.model_validate(chocked(20.0, 12.0))
    stowed = build_single_model(weight, BOAT)
    load = np.array([0.0, -500.0, 500.0, 0.0, 0.0, 0.0])
    at_rest = solve(stowed.springs, load[None]).displacement[0]
    found = in_place(stowed, NOMINAL, load, at_rest)
    assert found.settled
    assert found.clear == []
    assert not found.response.free.any()
    assert found.response.displacement_vector[0, 2] == pytest.approx(0.012, abs=0.001)


def test_straps_that_hang_down_are_drawn_aslant_and_stop_it() -> None:
    """By hand: a block on a greased bed under a strap of vertical legs h long, thrown sideways, is held by their slope.

    Each leg of the two is h (1 + x^2 / 2 h^2) long: T = k x^2 / h over both, and they bear 2 T x / h sideways.
    """
    h, k, push = HEIGHT, 2e5, 40.0
    legs = {"type": "strap", "line": "polyester-webbing-25", "stiffness_N_per_mm": k / 1000.0}
    foot = -HEIGHT / 2
    straps = [
        legs | {"id": f"s{n}", "from_m": [x, 0.1005, foot], "to_m": [x, -0.1005, foot], "strength_N": 1e5}
        for n, x in enumerate((1.9, 2.1))
    ]
    weight = Weight.model_validate(pig(*straps))
    stowed = build_single_model(weight, BOAT)
    load = np.array([0.0, push, -MASS * 9.80665, 0.0, 0.0, 0.0])
    start = np.array([0.0, 0.012, 0.0, 0.0, 0.0, 0.0])
    found = in_place(stowed, NOMINAL, load, start)
    by_hand = (push * h**2 / (4.0 * k)) ** (1.0 / 3.0)  # 2 straps x 2 T x / h with T = k x^2 / h
    assert found.settled
    assert found.response.displacement_vector[0, 1] == pytest.approx(by_hand, rel=0.1)


def test_a_landing_that_holds_a_batten_counts_where_the_weight_has_moved_to() -> None:
    screws = {"kind": "coach-screw", "diameter_mm": 8, "count": 4, "penetration_mm": 50, "metal": "A4-70"}
    screws |= {"washer_mm": 24, "into": "oak-white", "sided_mm": 80, "stock_mm": 120}
    board = {"type": "batten", "timber": "oak-white", "span_mm": 300, "width_mm": 70, "depth_mm": 30, "slack_mm": 8}
    board |= {"screws": screws | {"member": "landing"}, "landing": screws | {"member": "floor"}}
    stowed = build_single_model(Weight.model_validate(pig(board)), BOAT)
    load = np.array([0.0, 0.0, 400.0, 0.0, 0.0, 0.0])
    found = in_place(stowed, NOMINAL, load, solve(stowed.springs, load[None]).displacement[0])
    (own,) = [f.index for f in stowed.restraints if f.restraint.type == "batten"]
    landings = [i for i, part in enumerate(stowed.failure_modes[own]) if "landing" in part.name]
    assert landings
    assert len(found.response.peaks[own]) == len(stowed.failure_modes[own])
    assert all(found.response.peaks[own][i].utilisation > 0.0 for i in landings)
