"""Weights that lean on one another, and the ingots of a bundle, held to plain statics.

Source of the expected figures: equilibrium of rigid bodies in a row and of blocks on an incline, as in any
textbook of statics (R. C. Hibbeler, Engineering Mechanics: Statics, ch. 5 and 8). Worked here by hand; no
figure comes from the engine.
"""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.boat.models import BoatFile, BoatParticulars, Weight
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.groups import groups_of
from secure_load.model.group_model import CannotCheck
from secure_load.model.model_builder import build_model
from secure_load.solver.equilibrium import solve

G = 9.80665
PIG = 12.0  # kg
BREADTH = 0.08  # m
BOAT = BoatParticulars(name="Plover's Rest", bwl_m=2.0)
STRONG = {"strength_N": 1e6}


def row(count: int, friction: float = 0.0, **more: object) -> list[Weight]:
    """Pigs side by side athwartships, chocked at the two ends of the row only, under one batten each."""
    weights: list[Weight] = []
    for i in range(count):
        held: list[dict[str, object]] = [
            {"type": "bed", "friction": friction},
            {"type": "cleat", "face": "fore", **STRONG},
            {"type": "cleat", "face": "aft", **STRONG},
            {"type": "batten", "along": "fore-and-aft", **STRONG},
        ]
        if i == 0:
            held.append({"id": "low-chock", "type": "cleat", "face": "starboard", "height_mm": 50.0, **STRONG})
        if i == count - 1:
            held.append({"id": "high-chock", "type": "cleat", "face": "port", "height_mm": 50.0, **STRONG})
        if i < count - 1:
            held.append({"type": "neighbour", "face": "port", "weight": f"pig-{i + 1}", **more})
        at = [3.0, (i - (count - 1) / 2) * BREADTH, -0.3]
        weights.append(
            Weight.model_validate(
                {"id": f"pig-{i}", "mass_kg": PIG, "at_m": at, "size_m": [0.3, BREADTH, 0.05], "restraint": held}
            )
        )
    return weights


def load_of(count: int, direction: tuple[float, float, float]) -> np.ndarray:
    load = np.zeros((1, 6 * count))
    for i in range(count):
        load[0, 6 * i : 6 * i + 3] = PIG * G * np.array(direction)
    return load


@pytest.mark.parametrize("count", [2, 3, 5, 10])
def test_the_end_chock_carries_the_whole_row(count: int) -> None:
    """On her side, greased, each contact carries all the pigs above it and the lowest chock all of them."""
    stowed = build_model(row(count), BOAT)
    found = solve(stowed.springs, load_of(count, (0.0, -1.0, 0.0)))
    assert not found.free[0]
    force = {f.id if f.other is None else f"{f.owner}>{f.other}": 0.0 for f in stowed.restraints}
    for fitting in stowed.restraints:
        rows = stowed.springs.restraint == fitting.index
        name = fitting.id if fitting.other is None else f"{fitting.owner}>{fitting.other}"
        force[name] = float(found.normal[0, rows].sum())
    assert force["low-chock"] == pytest.approx(count * PIG * G, rel=1e-6)
    assert force["high-chock"] == pytest.approx(0.0, abs=1e-6 * PIG * G)
    for i in range(count - 1):
        assert force[f"{i}>{i + 1}"] == pytest.approx((count - 1 - i) * PIG * G, rel=1e-6)


def test_contact_is_equal_and_opposite() -> None:
    """A link between two weights pushes no net force or moment into the pair."""
    stowed = build_model(row(2), BOAT)
    for fitting in stowed.restraints:
        if fitting.other is None:
            continue
        for link in fitting.springs:
            first, second = link.attachments
            assert np.allclose(first.direction, -second.direction)
            places = [stowed.members[leg.body].body.at + leg.point for leg in link.attachments]
            assert np.allclose(places[0], places[1], atol=1e-12)


@pytest.mark.parametrize("mu", [0.1, 0.3])
def test_a_row_without_chocks_slides_as_one_at_atan_mu(mu: float) -> None:
    weights = row(3, friction=mu)
    bare = [
        w.model_copy(update={"restraint": [r for r in w.restraint if r.type in ("bed", "neighbour")]}) for w in weights
    ]
    stowed = build_model(bare, BOAT)
    limit = np.degrees(np.arctan(mu))
    for heel, free in ((limit - 0.1, False), (limit + 0.1, True)):
        h = np.radians(heel)
        found = solve(stowed.springs, load_of(3, (0.0, -np.sin(h), -np.cos(h))))
        assert found.unrestrained[0].tolist() == [free] * 3


def test_a_weight_wedged_between_two_held_ones_is_held() -> None:
    """The middle pig has nothing of its own but its bed, its end chocks and a batten; its neighbours stop it."""
    boat = BoatFile(boat=BOAT, weight=row(3))
    found = check_weight(boat.weight[1], make_context(boat, ["knocked-flat"]))
    assert not found.free_to_move


def test_a_gap_between_neighbours_is_slack() -> None:
    weights = row(2)
    apart = weights[1].model_copy(update={"at_m": (3.0, weights[1].at_m[1] + 0.004, -0.3)})
    stowed = build_model([weights[0], apart], BOAT)
    gap = next(f for f in stowed.restraints if f.other is not None).springs[0].gap
    assert gap == pytest.approx(0.004)


def test_faces_that_do_not_meet_are_refused_in_words() -> None:
    weights = row(2)
    far = weights[1].model_copy(update={"at_m": (3.0, 0.9, -0.3)})
    with pytest.raises(CannotCheck, match=r"weight 'pig-0'.*does not meet 'pig-1'.*mm apart"):
        build_model([weights[0], far], BOAT)


def test_weights_that_touch_make_a_group() -> None:
    weights = [*row(3), Weight.model_validate({"id": "alone", "mass_kg": 5.0, "at_m": [1.0, 0.0, 0.0]})]
    assert groups_of(weights, []) == [[0, 1, 2], [3]]


def test_an_edited_weight_is_the_one_that_is_checked() -> None:
    boat = BoatFile(boat=BOAT, weight=row(3))
    run = make_context(boat, ["rolled-over"])
    assert check_weight(boat.weight[0], run).verdict != "red"
    bare = boat.weight[0].model_copy(update={"restraint": []})
    assert check_weight(bare, run).verdict == "red"
