"""What slides and what tips first: the load engine against a physics engine, and both against plain statics.

Reference: MuJoCo (Apache 2.0 licence), a general-purpose physics engine, in which boxes stand on a pad that is tilted
slowly until something moves (``tests.reference.physics``, where its settings are given and why). Closed forms: any
text on engineering statics, worked here by hand. The tangent of the heel at which something first moves agrees within
1 % among all three (found: within 0.6 %, and 0.1 % where nothing turns in the plane of the pad), and so does which
boxes then go.

Contacts between two boxes and with cleats are greased where friction there could be shared in more than one way; two
boxes one on the other are rough.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import Weight
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_model
from secure_load.solver.equilibrium import solve
from tests.reference.stows import BOAT

pytest.importorskip("mujoco", reason="the physics engine is not installed (pip install mujoco-core)")

from tests.reference.physics import PAD, Box, Foot, Touch, heel_where_it_moves, moves, scene

G = 9.80665
LONG = 0.4
"""m, fore and aft."""
THICK = 0.05
"""m, of a cleat."""
WITHIN = 0.01


@dataclass
class Stand:
    """Boxes on a pad, told to both engines."""

    boxes: list[Box] = field(default_factory=list[Box])
    touches: list[Touch] = field(default_factory=list[Touch])
    restraints: dict[str, list[dict[str, Any]]] = field(default_factory=dict[str, list[dict[str, Any]]])

    def box(
        self, name: str, breadth: float, height: float, mass: float, y: float = 0.0, foot: float = 0.0, **more: float
    ) -> Box:
        """A box with its middle at y; on the pad with ``friction``, or with its foot higher."""
        made = Box(name, (LONG, breadth, height), (0.0, y, foot + 0.5 * height), mass)
        self.boxes.append(made)
        self.restraints[name] = []
        if "friction" in more:
            self.restraints[name].append({"type": "bed", "friction": more["friction"]})
            self.touches.append(Touch(PAD, name, more["friction"]))
        return made

    def cleat(self, against: Box, height: float) -> None:
        """A greased cleat made fast against a box's starboard side, from the pad up."""
        y = against.at[1] - 0.5 * (against.size[1] + THICK)
        self.boxes.append(Box(f"cleat {against.name}", (2 * LONG, THICK, height), (0.0, y, 0.5 * height)))
        self.touches.append(Touch(f"cleat {against.name}", against.name))
        length = {"length_mm": LONG * 1000, "height_mm": height * 1000, "strength_N": 1e6}
        self.restraints[against.name].append({"type": "cleat", "face": "starboard", **length})

    def lean(self, one: Box, face: str, other: Box, friction: float = 0.0) -> None:
        """A box's face against another box."""
        leaning = {"type": "neighbour", "face": face, "weight": other.name, "friction": friction}
        self.restraints[one.name].append(leaning)
        self.touches.append(Touch(one.name, other.name, friction))

    def stowed(self) -> GroupModel:
        """For the load engine."""
        weights = [
            Weight.model_validate(
                {"id": b.name, "mass_kg": b.mass, "at_m": b.at, "size_m": b.size, "restraint": self.restraints[b.name]}
            )
            for b in self.boxes
            if b.mass
        ]
        return build_model(weights, BOAT)


def adrift(stowed: GroupModel, heel_deg: np.ndarray) -> np.ndarray:
    """(n, b) which boxes the load engine calls free to move at each heel."""
    heel = np.radians(heel_deg)
    way = np.column_stack([np.zeros(len(heel)), -np.sin(heel), -np.cos(heel)])
    return solve(stowed.springs, stowed.total_load([m.body.mass * G * way for m in stowed.members])).unrestrained


def engines_heel(stowed: GroupModel) -> float:
    """The least heel in degrees at which the load engine calls anything free, to a thousandth."""
    low, high = 1.0, 85.0
    for _ in range(3):
        heel = np.linspace(low, high, 45)
        free = adrift(stowed, heel).any(axis=1)
        assert not free[0]
        assert free[-1]
        first = int(np.argmax(free))
        low, high = float(heel[first - 1]), float(heel[first])
    return 0.5 * (low + high)


def agree(stand: Stand, expected: float | None) -> None:
    """Hold the tangents of both engines' heels to each other, and to ``expected`` where there is a closed form."""
    stowed, model = stand.stowed(), scene(stand.boxes, stand.touches)
    ours = math.tan(math.radians(engines_heel(stowed)))
    theirs = math.tan(math.radians(heel_where_it_moves(model)))
    assert ours == pytest.approx(theirs, rel=WITHIN)
    # a little beyond, the same boxes go
    beyond = math.degrees(math.atan(1.03 * theirs))
    assert adrift(stowed, np.array([beyond]))[0].tolist() == moves(model, beyond)
    if expected is not None:
        assert ours == pytest.approx(expected, rel=WITHIN)
        assert theirs == pytest.approx(expected, rel=WITHIN)


@pytest.mark.parametrize("mu", [0.12, 0.3, 0.55])
def test_a_low_block_slides(mu: float) -> None:
    """tan = mu."""
    stand = Stand()
    stand.box("block", 0.4, 0.1, 40.0, friction=mu)
    agree(stand, mu)


@pytest.mark.parametrize("slender", [0.15, 0.25, 0.32, 0.5])
@pytest.mark.parametrize("mu", [0.28, 0.4])
def test_a_block_tips_or_slides_whichever_is_first(slender: float, mu: float) -> None:
    """tan = the lesser of mu and breadth over height."""
    stand = Stand()
    stand.box("block", slender * 0.4, 0.4, 25.0, friction=mu)
    agree(stand, min(mu, slender))


@pytest.mark.parametrize("mu", [0.0, 0.2, 0.4])
@pytest.mark.parametrize("cleat", [0.03, 0.08])
def test_a_block_tips_over_a_low_cleat(cleat: float, mu: float) -> None:
    """It turns about the cleat's upper edge, so that its lower edge is dragged up the slope and friction helps.

    Moments about that lower edge, with b and h half its breadth and height, c the cleat's height, and the cleat's
    thrust P = W sin + mu W cos:  W sin h = W cos b + P c,  tan = (b + mu c) / (h - c).
    """
    b, h = 0.07, 0.2
    stand = Stand()
    block = stand.box("block", 2 * b, 2 * h, 30.0, friction=mu)
    stand.cleat(block, cleat)
    agree(stand, (b + mu * cleat) / (h - cleat))


@pytest.mark.parametrize(("below", "between"), [(0.5, 0.3), (0.2, 0.4), (0.35, 0.33)])
def test_two_blocks_one_on_the_other_slide_where_it_is_smoothest(below: float, between: float) -> None:
    """tan = the lesser of the two frictions, whatever the masses."""
    stand = Stand()
    lower = stand.box("lower", 0.5, 0.1, 40.0, friction=below)
    upper = stand.box("upper", 0.4, 0.08, 25.0, foot=0.1)
    stand.lean(upper, "bottom", lower, between)
    agree(stand, min(below, between))


def test_a_stack_tips_as_one() -> None:
    """Two equal blocks of half breadth b and height 2h stand until tan = b / 2h."""
    stand = Stand()
    lower = stand.box("lower", 0.2, 0.2, 30.0, friction=0.8)
    upper = stand.box("upper", 0.2, 0.2, 30.0, foot=0.2)
    stand.lean(upper, "bottom", lower, 0.8)
    agree(stand, 0.1 / 0.2)


def test_the_upper_block_tips_off_the_edge_of_the_lower() -> None:
    """Set 60 mm to starboard of the lower one's middle it bears up to that one's edge only: tan = 40 / 120."""
    stand = Stand()
    lower = stand.box("lower", 0.2, 0.1, 60.0, friction=0.8)
    upper = stand.box("upper", 0.2, 0.24, 20.0, y=-0.06, foot=0.1)
    stand.lean(upper, "bottom", lower, 0.8)
    agree(stand, 0.04 / 0.12)


@pytest.mark.parametrize(("low", "high", "rough", "smooth"), [(30.0, 30.0, 0.4, 0.1), (20.0, 50.0, 0.5, 0.25)])
def test_two_blocks_side_by_side_slide_as_one(low: float, high: float, rough: float, smooth: float) -> None:
    """The smooth one, up the slope, leans on the rough one: tan = the mean friction, weighed by the masses."""
    stand = Stand()
    lower = stand.box("lower", 0.4, 0.10, low, y=-0.2, friction=rough)
    upper = stand.box("upper", 0.4, 0.12, high, y=0.2, friction=smooth)
    stand.lean(upper, "starboard", lower)
    agree(stand, (low * rough + high * smooth) / (low + high))


@pytest.mark.parametrize("mu", [0.0, 0.3])
def test_a_tall_block_tips_over_a_short_one_that_is_chocked(mu: float) -> None:
    """The short block's upper edge does for the tall one what a cleat does: tan = (b + mu c) / (h - c)."""
    b, h, c = 0.06, 0.2, 0.1
    stand = Stand()
    short = stand.box("short", 0.3, c, 40.0, y=-0.15, friction=mu)
    tall = stand.box("tall", 2 * b, 2 * h, 20.0, y=b, friction=mu)
    stand.cleat(short, c)
    stand.lean(tall, "starboard", short)
    agree(stand, (b + mu * c) / (h - c))


@pytest.mark.parametrize("between", [0.0, 0.3])
def test_a_tall_block_pushes_a_loose_short_one_away(between: float) -> None:
    """Neither is chocked. No closed form is given: the two engines are held to each other."""
    stand = Stand()
    short = stand.box("short", 0.2, 0.12, 12.0, y=-0.1, friction=0.5)
    tall = stand.box("tall", 0.1, 0.4, 20.0, y=0.05, friction=0.5)
    stand.lean(tall, "starboard", short, between)
    agree(stand, None)


def test_of_three_in_a_row_the_two_lowest_go() -> None:
    """Two lean on one another and go at their mean friction, 15 / 45; the roughest, highest up, stays behind."""
    stand = Stand()
    row = [
        stand.box(f"block-{i}", 0.2, 0.10 + 0.02 * i, 20.0 + 5.0 * i, y=0.2 * i, friction=mu)
        for i, mu in enumerate((0.5, 0.2, 0.36))
    ]
    for lower, upper in pairwise(row):
        stand.lean(upper, "starboard", lower)
    agree(stand, (20.0 * 0.5 + 25.0 * 0.2) / 45.0)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.25])
def test_a_strap_straight_over_the_top_holds_by_its_tension_alone(share: float) -> None:
    """With T in each leg a share of the weight:  sin = mu (cos + 2 T / W).  A slack strap is as good as none."""
    mu, breadth, height = 0.3, 0.4, 0.1
    stand = Stand()
    block = stand.box("block", breadth, height, 40.0, friction=mu)
    tension = share * 40.0 * G
    stand.boxes[0] = replace(block, pressed=2.0 * tension)
    ends = {"from_m": [0.0, 0.5 * breadth, 0.0], "to_m": [0.0, -0.5 * breadth, 0.0]}
    strap = {"type": "strap", "line": "polyester-webbing-25", "tension_N": tension, "stiffness_N_per_mm": 1.0, **ends}
    stand.restraints["block"].append(strap)
    # sin - mu cos = 2 mu share, and mu = tan(phi):  sin(heel - phi) = 2 mu share cos(phi)
    phi = math.atan(mu)
    agree(stand, math.tan(phi + math.asin(2.0 * mu * share * math.cos(phi))))


@pytest.mark.parametrize("frictions", [(0.4, 0.4, 0.2), (0.5, 0.1, 0.1), (0.3, 0.25, 0.35)])
def test_three_feet_of_different_friction(frictions: tuple[float, float, float]) -> None:
    """What each foot bears is settled by three moments; the box turns as it slides, each foot its own way."""
    places = ((0.15, -0.12), (0.15, 0.12), (-0.15, 0.0))
    stand = Stand()
    size, proud = (0.4, 0.3, 0.06), 1e-3
    stand.restraints["box"] = [
        {"type": "bed", "id": f"foot-{i}", "friction": mu, "at_m": [x, y, 0.0], "size_m": [2e-3, 2e-3]}
        for i, ((x, y), mu) in enumerate(zip(places, frictions, strict=True))
    ]
    stand.touches = [Touch(PAD, f"foot-{i}", mu) for i, mu in enumerate(frictions)]
    feet = tuple(Foot(f"foot-{i}", x, y) for i, (x, y) in enumerate(places))
    stand.boxes = [Box("box", size, (0.0, 0.0, 0.5 * size[2]), 40.0)]
    ours = math.tan(math.radians(engines_heel(stand.stowed())))
    stood = [Box("box", size, (0.0, 0.0, 0.5 * size[2] + proud), 40.0, feet=feet)]
    theirs = math.tan(math.radians(heel_where_it_moves(scene(stood, stand.touches))))
    assert ours == pytest.approx(theirs, rel=WITHIN)


@pytest.mark.parametrize("rough", [0.1, 0.3])
def test_a_rough_cleat_may_help_or_hinder(rough: float) -> None:
    """Tipping over a rough cleat the block does not slip there, so that statics alone does not say which way it rubs.

    With a rub T on its side, downward, the lower edge bears N = W cos + T, and moments about the cleat's edge give
    tan (h - c) = b + mu c N / (W cos), with T = -rough P to +rough P, P = W sin + mu N. The physics engine, which
    gives way nowhere but where it slips, finds the most; the load engine, whose block has settled a little on its bed
    and hangs on the cleat, must lie between the two and not above the physics engine.
    """
    b, h, c, mu = 0.07, 0.2, 0.08, 0.3
    stand = Stand()
    block = stand.box("block", 2 * b, 2 * h, 30.0, friction=mu)
    stand.cleat(block, c)
    stand.restraints["block"][-1]["friction"] = rough
    stand.touches[-1] = Touch("cleat block", "block", rough)

    def tangent(rub: float) -> float:
        # N / (W cos) = (1 + rub tan) / (1 - mu rub), so that the moments are linear in the tangent
        share = mu * c / (1.0 - mu * rub)
        return (b + share) / (h - c - share * rub)

    ours = math.tan(math.radians(engines_heel(stand.stowed())))
    theirs = math.tan(math.radians(heel_where_it_moves(scene(stand.boxes, stand.touches))))
    assert theirs == pytest.approx(tangent(rough), rel=WITHIN)
    assert tangent(-rough) * (1.0 - WITHIN) <= ours <= theirs * (1.0 + WITHIN)
