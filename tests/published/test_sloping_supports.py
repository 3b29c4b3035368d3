"""Weights on slopes and in a V, against closed forms and plane statics with friction cones (any text on statics).

In a plane a body is at rest where its weight can be made up of forces within the friction cones of its contacts: a
linear programme finds the heel up to which that is so. Two contacts leave nothing over that preload could use.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatParticulars, Weight
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve
from tests.reference.plane_statics import STEP, at_rest_up_to

BOAT = BoatParticulars.model_validate({"name": "Dunlin", "bilge": "dry"})
G = 9.80665


def stowed(restraints: list[dict[str, Any]], **more: Any) -> GroupModel:
    given = {"id": "pig", "mass_kg": 30.0, "at_m": [1.0, 0.0, -0.3], "size_m": [0.4, 0.12, 0.06], **more}
    return build_single_model(Weight.model_validate({**given, "restraint": restraints}), BOAT)


def leaves_at(model: GroupModel, side: float = 1.0, fore_and_aft: bool = False) -> float:
    """The first heel (positive: starboard side down) or trim by the head at which it is free, degrees."""
    angle = np.arange(0.0, 100.0, STEP)
    away = side * np.sin(np.radians(angle))
    nothing = np.zeros_like(away)
    way = np.column_stack(
        [away if fore_and_aft else nothing, nothing if fore_and_aft else -away, -np.cos(np.radians(angle))]
    )
    free = solve(model.springs, model.total_load([30.0 * G * way])).unrestrained[:, 0]
    return float(angle[np.argmax(free)]) if free.any() else float("inf")


def edge(side: str, slope: float, mu: float, **more: Any) -> dict[str, Any]:
    return {"type": "bed", "edge": f"bottom-{side}", "slope_deg": slope, "friction": mu, "on": "floors", **more}


@pytest.mark.parametrize(("slope", "mu"), [(25.0, 0.2), (35.0, 0.2), (25.0, 0.1), (35.0, 0.3), (45.0, 0.15)])
def test_a_block_on_bare_edges_in_a_v(slope: float, mu: float) -> None:
    """25 degrees and 0.2 hold to 18.0, 35 degrees to 25.8: far less than two upright walls."""
    v = stowed([edge("port", slope, mu), edge("starboard", slope, mu)])
    expected = at_rest_up_to(slope, mu)
    assert leaves_at(v) == pytest.approx(expected, abs=2.0 * STEP)
    assert leaves_at(v, side=-1.0) == pytest.approx(expected, abs=2.0 * STEP)
    if (slope, mu) == (25.0, 0.2):
        assert expected == pytest.approx(18.0, abs=0.2)
    if (slope, mu) == (35.0, 0.2):
        assert expected == pytest.approx(25.9, abs=0.2)


@pytest.mark.parametrize(("slope", "mu"), [(25.0, 0.1), (35.0, 0.2), (45.0, 0.3)])
def test_a_low_block_shaped_to_the_planks_leaves_at_slope_and_friction_angle(slope: float, mu: float) -> None:
    """Its broad bevels keep it from rolling: it slides up the low plank at slope + atan mu."""
    broad = {"size_m": [0.4, 0.1]}
    low = {"size_m": [0.4, 0.12, 0.01], "cg_m": [0.0, 0.0, -0.004]}
    v = stowed([edge("port", slope, mu, **broad), edge("starboard", slope, mu, **broad)], **low)
    assert leaves_at(v) == pytest.approx(slope + np.degrees(np.arctan(mu)), abs=1.0)


@pytest.mark.parametrize("slope", [0.0, 5.0, 10.0])
@pytest.mark.parametrize("mu", [0.25, 0.5])
def test_a_block_lying_on_a_slope_slides_at_the_friction_angle_less_or_plus_it(slope: float, mu: float) -> None:
    """It lies with its port side higher: heeled to starboard it goes at atan mu - slope, to port at atan mu + slope."""
    lies = stowed([{"type": "bed", "friction": mu, "on": "floors"}], slope_deg={"athwartships": slope})
    friction = np.degrees(np.arctan(mu))
    assert leaves_at(lies) == pytest.approx(friction - slope, abs=2.0 * STEP)
    assert leaves_at(lies, side=-1.0) == pytest.approx(friction + slope, abs=2.0 * STEP)


@pytest.mark.parametrize("slope", [0.0, 8.0])
def test_a_tall_block_on_a_rising_keel_tips_at_its_lever(slope: float) -> None:
    """tan(trim - slope) = length over height by the head: b / h = 0.1 / 0.4."""
    tall = {"size_m": [0.1, 0.12, 0.4], "slope_deg": {"fore_and_aft": slope}}
    lies = stowed([{"type": "bed", "friction": 1.0, "on": "keel"}], **tall)
    lever = np.degrees(np.arctan(0.1 / 0.4))
    assert leaves_at(lies, fore_and_aft=True) == pytest.approx(lever + slope, abs=2.0 * STEP)
    assert leaves_at(lies, side=-1.0, fore_and_aft=True) == pytest.approx(lever - slope, abs=2.0 * STEP)


def test_a_centre_of_gravity_off_the_middle_shifts_the_tipping_lever() -> None:
    """tan = (b / 2 - e) / (h / 2 + c): (50 - 20) / (200 + 50)."""
    tall = {"size_m": [0.4, 0.1, 0.4], "cg_m": [0.0, -0.02, 0.05]}
    lies = stowed([{"type": "bed", "friction": 1.0, "on": "keel"}], **tall)
    assert leaves_at(lies) == pytest.approx(np.degrees(np.arctan(30.0 / 250.0)), abs=2.0 * STEP)
    assert leaves_at(lies, side=-1.0) == pytest.approx(np.degrees(np.arctan(70.0 / 250.0)), abs=2.0 * STEP)


@pytest.mark.parametrize("mu", [0.0, 0.1, 0.3])
def test_a_wedge_frees_what_leans_on_it_at_its_slope_and_friction_angle(mu: float) -> None:
    """A chock of 60 degrees beside a block that cannot tip: it is climbed once heel > 60 + atan mu, greased bottom."""
    low = {"size_m": [0.4, 0.3, 0.02], "cg_m": [0.0, -0.148, -0.0098]}
    wedge = {"type": "cleat", "face": "starboard", "slope_deg": 60.0, "length_mm": 400, "height_mm": 40, "friction": mu}
    lies = stowed([{"type": "bed", "friction": 0.0, "on": "floors"}, wedge], **low)
    assert leaves_at(lies) == pytest.approx(60.0 + np.degrees(np.arctan(mu)), abs=1.0)
