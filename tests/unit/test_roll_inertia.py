"""A weight turned with the boat as she rolls resists with its own moment of inertia."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile, BoatParticulars, Weight
from secure_load.check.context import make_context
from secure_load.check.sampler import worst_over_bounds
from secure_load.loads.direction_bins import bin_levels
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve

ALPHA = 400.0  # deg/s2
BATTEN = {"type": "batten", "strength_N": 9e3, "stiffness_N_per_mm": 800.0, "span_mm": 700.0}
BED: dict[str, Any] = {"type": "bed", "friction": 0.0, "stiffness_N_per_mm": 1000.0}
CLEATS = [
    {"type": "cleat", "face": face, "strength_N": 9e3, "stiffness_N_per_mm": 2000.0, "height_mm": 30.0}
    for face in ("port", "starboard", "fore", "aft")
]
PIG: dict[str, Any] = {"id": "pig", "mass_kg": 60.0, "at_m": [2.0, 0.0, 0.0], "size_m": [0.3, 0.6, 0.2]}


def test_a_lone_weight_on_the_roll_axis_is_borne_more_on_one_side() -> None:
    """On the axis the roll gives no force but the moment I alpha = 60 (0.6^2 + 0.2^2) / 12 x 6.98 = 13.96 N m.

    Both halves of the bed bear 60 g; about the middle line the port one, which comes up to meet the weight where she
    rolls to starboard, has the more of it.
    """
    roll = {"id": "roll", "heel_deg": {"to": 0}, "roll_acceleration_deg_s2": ALPHA, "both_sides": False}
    boat = BoatFile.model_validate(
        {"boat": {"name": "Sanderling"}, "weight": [PIG | {"restraint": [BED]}], "scenario": [roll]}
    )
    stowed = build_single_model(boat.weight[0], boat.boat)
    load = stowed.loads_at(make_context(boat, ["roll"]).load_cases_for(boat.weight[0]).instants)
    found = solve(stowed.springs, load)
    assert not found.free.any()
    y = np.array([link.attachments[0].point[1] for link in stowed.restraints[0].springs])
    assert found.normal[0].sum() == pytest.approx(60.0 * 9.80665)
    inertia = 60.0 * (0.36 + 0.04) / 12.0
    # rolling about +x takes the port side up: the bed turns the weight with her by as much
    assert found.normal[0] @ y == pytest.approx(inertia * math.radians(ALPHA))


def test_the_sweep_of_directions_finds_what_every_load_finds() -> None:
    """Loads of the same direction and unlike moments are not taken for one another."""
    roll = {"id": "roll", "heel_deg": {"to": 150}, "load_factor": [1.0, 2.0], "surge_g": [-0.2, 0.2]}
    roll |= {"roll_acceleration_deg_s2": [-2500.0, 0.0, 2500.0]}
    boat = BoatFile.model_validate(
        {"boat": {"name": "Sanderling"}, "weight": [PIG | {"restraint": [BED, BATTEN, *CLEATS]}], "scenario": [roll]}
    )
    stowed = build_single_model(boat.weight[0], boat.boat)
    meant = make_context(boat, ["roll"]).load_cases_for(boat.weight[0])
    load = stowed.loads_at(meant.instants.at(meant.unique_rows))
    swept, every = worst_over_bounds(stowed, load, meant), worst_over_bounds(stowed, load)
    assert swept.bins
    assert swept.worst(stowed, 0).max() == pytest.approx(every.worst(stowed, 0).max(), rel=2e-3)


def test_nets_tell_moments_apart() -> None:
    load = np.array([[0.0, 0.0, -1.0, 0.0], [0.0, 0.0, -1.0, 0.3], [0.0, 0.0, -2.0, 0.0], [0.0, 0.0, -1.0, -0.3]])
    (net,) = bin_levels(load, [5.0])
    assert net.bin[0] == net.bin[2]
    assert len({int(net.bin[i]) for i in (0, 1, 3)}) == 3


def test_turned_with_a_stack_it_is_as_if_each_half_were_turned() -> None:
    """I alpha of a box is that of its halves and of what each half feels about the middle, Steiner's theorem."""
    boat = BoatParticulars.model_validate({"name": "Sanderling"})
    roll = BoatFile.model_validate(
        {
            "boat": {"name": "Sanderling"},
            "weight": [PIG],
            "scenario": [{"id": "roll", "heel_deg": {"to": 0}, "roll_acceleration_deg_s2": ALPHA, "both_sides": False}],
        }
    )
    moments = make_context(roll, ["roll"]).load_cases_for(roll.weight[0]).instants
    half = PIG | {"mass_kg": 30.0, "size_m": [0.3, 0.3, 0.2]}
    total = 0.0
    for y in (-0.15, 0.15):
        stowed = build_single_model(Weight.model_validate(half | {"at_m": [2.0, y, 0.0]}), boat)
        felt = stowed.loads_at(moments)[0]
        total += felt[3] * stowed.body.rotation_scale + y * felt[2]
    whole = build_single_model(Weight.model_validate(PIG), boat)
    assert total == pytest.approx(whole.loads_at(moments)[0, 3] * whole.body.rotation_scale)
