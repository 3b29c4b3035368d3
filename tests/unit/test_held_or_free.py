"""Held or free: what friction may be relied on for, and what is held without it whatever friction does."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatParticulars, Weight
from secure_load.catalogue.lookup import factor
from secure_load.loads.load_cases import gravity_direction
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import Equilibrium, solve
from tests.reference import stows

BOAT = BoatParticulars.model_validate({"name": "Whimbrel", "bilge": "wet"})
SIDES = ("port", "starboard", "fore", "aft")


def stowed(size: tuple[float, float, float], restraint: list[dict[str, Any]], mass: float = 24.0) -> GroupModel:
    box = {"id": "box", "mass_kg": mass, "at_m": [2.4, 0.0, -0.2], "size_m": size, "restraint": restraint}
    return build_single_model(Weight.model_validate(box), BOAT)


def cleat(face: str, length_mm: float, height_mm: float, friction: float | None = None) -> dict[str, Any]:
    made: dict[str, Any] = {"type": "cleat", "face": face, "timber": "oak-white", "depth_mm": 50}
    made |= {"length_mm": length_mm, "height_mm": height_mm}
    return made if friction is None else made | {"friction": friction}


def heeled(box: GroupModel, degrees: list[float]) -> Equilibrium:
    heel = np.radians(np.array(degrees))
    return solve(box.springs, box.body.mass * factor("g0") * gravity_direction(heel, 0.0 * heel))


def test_a_box_upside_down_is_not_wedged_by_the_friction_of_one_cleat() -> None:
    """Only the friction of one cleat could hold it up, and only the couple of that friction could press it there: a
    drawer pulled askew. Nothing presses the box on that cleat, so that nothing holds it up."""
    sides = [cleat("port", 240, 45), cleat("starboard", 240, 45), cleat("fore", 250, 70), cleat("aft", 90, 85, 0.55)]
    box = stowed((0.34, 0.28, 0.14), [{"type": "bed", "friction": 0.35}, *sides])
    found = heeled(box, [0.0, 60.0, 89.0, 95.0, 120.0, 150.0, 165.0, 180.0])
    assert found.free.tolist() == [False] * 3 + [True] * 5
    # with a batten over the top it stays
    box = stowed((0.34, 0.28, 0.14), [{"type": "bed", "friction": 0.35}, *sides, {"type": "batten"}])
    assert not heeled(box, [0.0, 60.0, 89.0, 95.0, 120.0, 150.0, 165.0, 180.0]).free.any()


def drawn_in_four_cleats(rng: np.random.Generator) -> GroupModel:
    """A box in four cleats, some of them rough, with nothing over it."""
    size = np.round(np.exp(rng.uniform(math.log(0.1), math.log(0.55), size=3)), 3)
    rough = rng.random(4) < 0.5
    rough[rng.integers(4)] = True
    sides = [
        cleat(
            side,
            round(1000.0 * float(size[0] if across else size[1]) * float(rng.uniform(0.2, 1.0)), 1),
            round(float(min(rng.uniform(20.0, 90.0), 1000.0 * size[2])), 1),
            round(float(rng.uniform(0.1, 0.7)), 2) if rough[place] else None,
        )
        for place, (side, across) in enumerate(zip(SIDES, (True, True, False, False), strict=True))
    ]
    bed = {"type": "bed", "friction": round(float(rng.uniform(0.1, 0.6)), 2)}
    return stowed((float(size[0]), float(size[1]), float(size[2])), [bed, *sides], round(float(rng.uniform(5, 60)), 1))


@pytest.mark.parametrize("count", [60, pytest.param(400, marks=pytest.mark.slow)])
def test_no_box_without_a_hold_down_is_held_upside_down(count: int) -> None:
    rng = np.random.default_rng(count)
    for _ in range(count):
        assert heeled(drawn_in_four_cleats(rng), [150.0, 157.0, 165.0, 172.0, 180.0]).free.all()


@pytest.mark.parametrize("friction", [0.25, 0.5])
def test_a_box_lying_on_a_rough_cleat_stays_until_it_slides_off_it(friction: float) -> None:
    """Past 90 degrees the box lies on the lower cleat with m g sin(heel), and slides off its bed where the tangent of
    what is past 90 exceeds the friction: a plain slope. The cleat stands to the middle of its side, so that it does not
    tip."""
    box = stowed((0.3, 0.2, 0.1), [{"type": "bed", "friction": 0.3}, cleat("starboard", 300, 100, friction)])
    limit = 90.0 + math.degrees(math.atan(friction))
    assert heeled(box, [60.0, 90.0, limit - 0.5, limit + 0.5, 170.0]).free.tolist() == [False] * 3 + [True] * 2


def test_what_a_tight_line_presses_is_there_for_friction() -> None:
    """A lashing set up to T pulls the box square against a rough cleat: upside down it stays where m g < mu T."""
    lashing = {"type": "lashing", "from_m": [2.4, -0.05, -0.2], "to_m": [2.4, -0.5, -0.2]}
    rough = [{"type": "bed", "friction": 0.3}, cleat("starboard", 300, 200, 0.5)]
    tight = [stowed((0.3, 0.1, 0.2), [*rough, lashing | {"tension_N": pull}], 10.0) for pull in (210.0, 182.0)]
    assert [bool(heeled(box, [180.0]).free[0]) for box in tight] == [False, True]


@pytest.mark.parametrize("seed", [284, 554, 632, 867])
def test_what_is_held_without_friction_is_held_with_it(seed: int) -> None:
    """Stows whose friction is slow to settle at some of the loads: grease would hold them, so they are not free."""
    rng = np.random.default_rng(seed)
    away = ("cable_tie", "bolt", "bond")
    kinds = [kind for kind in stows.TYPES if kind not in away]
    drawn = build_single_model(
        stows.draw(rng, kinds[int(rng.integers(len(kinds)))], (0.05, 0.6), tight=0.3, without=away), BOAT
    )
    load = stows.loads(rng, drawn.body.mass, 40)
    found = solve(drawn.springs, load)
    assert not np.any(found.free & ~solve(drawn.springs.frictionless(), load).free)
    assert np.all(found.residual[~found.free] < 1e-6)


def test_the_answer_does_not_hang_on_what_else_is_asked() -> None:
    """Of stows held by friction in part, each load by itself and among others is held or free alike."""
    rng = np.random.default_rng(8)
    for _ in range(12):
        drawn = build_single_model(stows.draw(rng, "cleat", (0.1, 0.6), tight=0.3, without=("bolt", "bond")), BOAT)
        load = stows.loads(rng, drawn.body.mass, 30)
        together = solve(drawn.springs, load).free
        assert together.tolist() == [bool(solve(drawn.springs, one[None]).free[0]) for one in load]
