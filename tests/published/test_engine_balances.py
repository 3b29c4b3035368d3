"""The load engine against balances a person can work by hand, and those the codes print.

Sources, named again beside each test: EN 12195-1:2010 clauses 5 and 6 (load restraining on road vehicles);
IMO CSS Code Annex 13 Appendix 1 example 1 (MSC.1/Circ.1623); MIL-STD-209K Appendix C; 33 CFR 183.420 and
ISO 10133:2012 (battery pull tests); any text on engineering mechanics for the rest.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile, Weight
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import WeightVerdict
from secure_load.loads.load_cases import gravity_direction
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import Equilibrium, solve
from secure_load.solver.springs import Attachment, Spring, SpringSet, assemble
from tests.reference.stows import BOAT, rows_of

G = 9.80665
MASS = 40.0
SIZE = (0.40, 0.30, 0.12)


def block(*restraint: dict[str, Any], size: tuple[float, float, float] = SIZE, mass: float = MASS) -> GroupModel:
    return build_single_model(
        Weight.model_validate(
            {"id": "block", "mass_kg": mass, "at_m": [0.0, 0.0, 0.0], "size_m": size, "restraint": list(restraint)}
        ),
        BOAT,
    )


def bed(mu: float, **more: Any) -> dict[str, Any]:
    return {"type": "bed", "friction": mu, **more}


def cleat(face: str, size: tuple[float, float, float] = SIZE, **more: Any) -> dict[str, Any]:
    """A cleat as tall and as long as the side it stands against: its thrust goes through the centre."""
    length = size[0] if face in ("port", "starboard") else size[1]
    given: dict[str, Any] = {
        "type": "cleat",
        "id": face,
        "face": face,
        "length_mm": length * 1000,
        "height_mm": size[2] * 1000,
        "strength_N": 5000.0,
        "stiffness_N_per_mm": 2000.0,
    }
    return given | more


def batten(**more: Any) -> dict[str, Any]:
    given: dict[str, Any] = {
        "type": "batten",
        "id": "batten",
        "span_mm": 360.0,
        "width_mm": 60.0,
        "depth_mm": 25.0,
        "strength_N": 5000.0,
        "stiffness_N_per_mm": 1500.0,
    }
    return given | more


def heeled(stowed: GroupModel, heel_deg: np.ndarray[Any, Any]) -> Equilibrium:
    heel = np.radians(heel_deg)
    return solve(stowed.springs, stowed.body.mass * G * gravity_direction(heel, np.zeros_like(heel)))


def force(stowed: GroupModel, found: Equilibrium, name: str) -> np.ndarray[Any, Any]:
    """Sum of the link forces of one restraint at each instant."""
    fitting = next(f for f in stowed.restraints if f.id == name)
    return found.normal[:, rows_of(stowed, fitting)].sum(axis=1)


def threshold(holds: Callable[[float], bool], low: float, high: float) -> float:
    """Where ``holds`` changes between two values, by halving."""
    at_low = holds(low)
    assert holds(high) != at_low
    for _ in range(30):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) == at_low else (low, middle)
    return 0.5 * (low + high)


# Coulomb friction; a block on a slope: any text on engineering mechanics


@pytest.mark.parametrize("side", [-1.0, 1.0])
@pytest.mark.parametrize("mu", [0.1, 0.2, 0.3, 0.4, 0.5])
def test_a_block_slides_at_the_angle_of_friction(mu: float, side: float) -> None:
    stowed = block(bed(mu))
    heel = threshold(lambda h: not heeled(stowed, np.array([side * h])).free[0], 0.0, 60.0)
    assert heel == pytest.approx(math.degrees(math.atan(mu)), abs=0.1)


@pytest.mark.parametrize(("b", "h"), [(0.05, 0.30), (0.10, 0.30), (0.15, 0.25), (0.12, 0.12)])
def test_a_block_that_cannot_slide_tips_at_the_angle_of_its_corner(b: float, h: float) -> None:
    stowed = block(bed(2.0), size=(0.4, 2 * b, 2 * h))
    heel = threshold(lambda a: not heeled(stowed, np.array([a])).free[0], 0.0, 80.0)
    assert heel == pytest.approx(math.degrees(math.atan(b / h)), abs=0.1)
    beyond = heeled(stowed, np.array([heel + 1.0]))
    # starboard side down: it turns about its starboard lower edge, port side up
    assert beyond.displacement[0, 3] > 0.0
    assert abs(beyond.displacement[0, 3]) > abs(beyond.displacement[0, 4]) + abs(beyond.displacement[0, 5])


@pytest.mark.parametrize("way_deg", [0.0, 11.25, 22.5, 45.0, 70.0, 90.0])
def test_friction_is_alike_all_round_within_2_percent_and_never_above(way_deg: float) -> None:
    stowed = block(bed(0.3, stiffness_N_per_mm=1000.0))
    way = np.array([math.cos(math.radians(way_deg)), math.sin(math.radians(way_deg)), 0.0])
    load = np.array([0.0, 0.0, -MASS * G])
    c = threshold(lambda c: not solve(stowed.springs, (load + c * MASS * G * way)[None]).free[0], 0.0, 0.6)
    assert 0.3 * 0.98 <= c <= 0.3 * (1.0 + 1e-4)


# EN 12195-1:2010


def strapped(tension: float) -> GroupModel:
    ends = {"from_m": [0.0, 0.15, -0.06], "to_m": [0.0, -0.15, -0.06]}
    strap = {"type": "strap", "id": "strap", "line": "polyester-webbing-25", "tension_N": tension, **ends}
    return block(bed(0.3), strap)


def test_a_slack_strap_straight_over_the_top_makes_no_friction() -> None:
    """EN 12195-1:2010 6.2: a top-over lashing holds sideways by its tension alone."""
    load = MASS * G * np.array([[0.0, -0.5, -1.0], [0.0, 0.5, -1.0], [0.5, 0.0, -1.0], [0.0, 0.29, -1.0]])
    found = solve(strapped(0.0).springs, load)
    assert found.free.tolist() == [True, True, True, False]


def test_a_top_over_strap_holds_from_the_tension_of_the_code_on() -> None:
    """EN 12195-1:2010 6.2, 2 mu F_T = (c - mu) m g without its safety factor."""

    def holds(tension: float) -> bool:
        return not solve(strapped(tension).springs, MASS * G * np.array([[0.0, -0.5, -1.0]])).free[0]

    needed = (0.5 / 0.3 - 1.0) * MASS * G / 2.0
    assert threshold(holds, 0.0, 3.0 * needed) == pytest.approx(needed, rel=0.01)


@pytest.mark.parametrize(("c", "mu"), [(0.8, 0.3), (0.5, 0.2), (1.0, 0.4), (0.5, 0.0)])
def test_blocking_force(c: float, mu: float) -> None:
    """EN 12195-1:2010 6.1: F_B = (c - mu) m g. The bed is stiff along against the cleat, so friction is spent
    before the cleat has taken up its share, and the code's figure is met."""
    stowed = block(bed(mu), cleat("starboard"))
    found = solve(stowed.springs, MASS * G * np.array([[0.0, -c, -1.0]]))
    assert not found.free[0]
    assert force(stowed, found, "starboard")[0] == pytest.approx((c - mu) * MASS * G, rel=0.01)


def test_a_cleat_as_stiff_as_the_bed_takes_more_than_the_blocking_force() -> None:
    """Where friction is not yet spent the cleat shares by stiffness: more than EN 12195-1 6.1, never less."""
    stowed = block(bed(0.3, stiffness_N_per_mm=2000.0), cleat("starboard", stiffness_N_per_mm=20000.0))
    c = np.array([0.1, 0.31, 0.4, 0.6, 1.0])
    load = MASS * G * np.column_stack([np.zeros(5), -c, -np.ones(5)])
    found = solve(stowed.springs, load)
    taken = force(stowed, found, "starboard") / (MASS * G)
    assert np.all(taken >= np.maximum(c - 0.3, 0.0) - 1e-9)
    ratio = stowed.springs.tangent_stiffness.sum() / 2.0  # two rows for each contact
    share = 20000e3 / (20000e3 + ratio)
    # below the slip of the first point the sharing is that of two springs side by side, but for a little tilt
    assert taken[0] == pytest.approx(0.1 * share, rel=0.02)


@pytest.mark.parametrize(
    ("c", "mu", "alpha_deg"), [(0.5, 0.3, 30.0), (0.8, 0.3, 45.0), (0.8, 0.2, 15.0), (0.5, 0.0, 60.0)]
)
def test_slope_lashing(c: float, mu: float, alpha_deg: float) -> None:
    """EN 12195-1:2010 6.3, direct lashing with all the friction: F = m g (c - mu) / (cos a + mu sin a)."""
    a = math.radians(alpha_deg)
    start = np.array([0.0, 0.15, -0.06])  # on the port lower edge, pulling out and down: no tipping by it
    end = start + 0.4 * np.array([0.0, math.cos(a), -math.sin(a)])
    line = {"type": "lashing", "id": "line", "from_m": start.tolist(), "to_m": end.tolist()}
    stowed = block(bed(mu), line | {"line": "polyester-webbing-25"}, size=(0.4, 0.3, 0.12))
    found = solve(stowed.springs, MASS * G * np.array([[0.0, -c, -1.0]]))
    assert not found.free[0]
    expected = MASS * G * (c - mu) / (math.cos(a) + mu * math.sin(a))
    assert force(stowed, found, "line")[0] == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("b", "h"), [(0.10, 0.30), (0.15, 0.25)])
def test_tilting_by_acceleration(b: float, h: float) -> None:
    """EN 12195-1:2010 5.2: an unlashed load tilts where c h > c_z b."""
    stowed = block(bed(2.0), size=(0.4, 2 * b, 2 * h))

    def holds(c: float) -> bool:
        return not solve(stowed.springs, MASS * G * np.array([[0.0, -c, -1.0]])).free[0]

    assert threshold(holds, 0.0, 1.5) == pytest.approx(b / h, rel=2e-3)


# MIL-STD-209K


def test_four_point_sharing() -> None:
    """MIL-STD-209K Appendix C, C.4.1.2: 2 g on 20,000 lb, points by lever: 10,667, 5,333, 16,000 and 8,000 lb.

    The printed shares are products of two levers. Four equal springs under a rigid body share by a plane, which
    leaves the sums along each side as printed and may move a diagonal pair by W xi eta = 667 lb; so the sums are
    held to 1 lb and each point to that 667 lb.
    """
    # levers of 15 and 10 ft fore and aft, 5 and 10 ft to either side
    points = np.array([[15.0, 5.0], [15.0, -10.0], [-10.0, 5.0], [-10.0, -10.0]])
    printed = np.array([10667.0, 5333.0, 16000.0, 8000.0])
    up = np.array([0.0, 0.0, 1.0])
    links = assemble([Spring(0, [Attachment(np.array([x, y, 0.0]), up)], 1e6) for x, y in points], [10.0])
    found = solve(links, np.array([[0.0, 0.0, -40000.0]]))
    shares = found.normal[0]
    assert not found.free[0]
    for pair in ((0, 1), (2, 3), (0, 2), (1, 3)):
        assert shares[list(pair)].sum() == pytest.approx(printed[list(pair)].sum(), abs=1.0)
    assert np.abs(shares - printed).max() <= 667.0 + 1.0


# IMO CSS Code, Annex 13, Appendix 1, example 1: 62 t, mu 0.3, transverse demand 384 kN

TONNES = 62e3
CODE_G = 9.81


def on_deck(mu: float, lashings: list[Spring]) -> SpringSet:
    """The example's unit: 2.0 m from its middle to the tipping edge, its load 1.8 m above the deck."""
    up = np.array([0.0, 0.0, 1.0])
    corners = [np.array([x, y, -1.8]) for x in (-3.0, 3.0) for y in (-2.0, 2.0)]
    bearing = [Spring(0, [Attachment(p, up)], 2.5e8, friction=mu, tangential_ratio=0.82) for p in corners]
    return assemble(bearing + lashings, [3.0])


def transverse_limit(links: SpringSet) -> float:
    """Greatest transverse force in kN that leaves the unit where it is, its lashings at their strength of 60 kN.

    The lashings' springs are weak: what friction no longer takes draws them past 60.1 kN, and that is sliding.
    """

    def holds(force: float) -> bool:
        found = solve(links, np.array([[0.0, force, -TONNES * CODE_G]]))
        return not found.free[0] and not np.any(found.normal[0, links.restraint == 1] > 60.1e3)

    return threshold(holds, 1e3, 3e6) / 1e3


def constant(alpha_deg: float, count: int) -> list[Spring]:
    """Lashings at their calculated strength of 60 kN, whatever the unit does, pulling to starboard and down."""
    a = math.radians(alpha_deg)
    way = np.array([0.0, -math.cos(a), -math.sin(a)])
    places = np.linspace(-2.0, 2.0, count)
    return [Spring(1, [Attachment(np.array([x, -2.0, -1.8]), way)], 1e4, preload=60e3) for x in places]


def test_css_example_tipping() -> None:
    """Printed resistance 1,216 kN m at a lever of 1.8 m; the demand of 384 kN x 1.8 = 691 kN m stands."""
    links = on_deck(2.0, [])
    limit = transverse_limit(links)
    assert limit * 1.8 == pytest.approx(1216.0, abs=1.0)
    assert not solve(links, np.array([[0.0, 384e3, -TONNES * CODE_G]])).free[0]


def test_css_example_sliding_without_lashings() -> None:
    """Printed friction alone, mu m g = 0.3 x 62 x 9.81 = 182 kN, is not enough for 384 kN."""
    assert transverse_limit(on_deck(0.3, [])) == pytest.approx(0.3 * 62 * 9.81, rel=1e-3)


@pytest.mark.parametrize(
    ("lashings", "printed"),
    [([(40.0, 4)], 412.0), ([(40.0, 2), (10.0, 2)], 422.0)],
    ids=["starboard", "port"],
)
def test_css_example_sliding(lashings: list[tuple[float, int]], printed: float) -> None:
    """Printed resistances 412 and 422 kN, cut off and with f to two places: met to 1 kN."""
    links = on_deck(0.3, [link for alpha, count in lashings for link in constant(alpha, count)])
    assert transverse_limit(links) == pytest.approx(printed, abs=1.0)


# 33 CFR 183.420(a), ISO 10133:2012 5.2, through the built-in scenarios


def pulled(mass: float, scenario: str) -> WeightVerdict:
    ends = {"from_m": [3.0, 0.1, -0.1], "to_m": [3.0, -0.1, -0.1]}
    size = (0.30, 0.20, 0.20)
    strap = {"type": "strap", "id": "strap", "line": "polyester-webbing-25", "strength_N": 4000.0, **ends}
    sides = [cleat(face, size) for face in ("port", "starboard", "fore", "aft")]
    boat = BoatFile.model_validate(
        {
            "schema": 1,
            "boat": {"name": "Whimbrel"},
            "weight": [
                {
                    "id": "battery",
                    "kind": "battery",
                    "mass_kg": mass,
                    "at_m": [3.0, 0.0, 0.0],
                    "size_m": size,
                    "restraint": [bed(0.0), strap, *sides],
                }
            ],
        }
    )
    return check_weight(boat.weight[0], make_context(boat, [scenario]))


@pytest.mark.parametrize(
    ("mass", "scenario", "pull"),
    [
        (15.0, "battery-pull", 294.2),  # ISO 10133: F = 2 m g
        (30.0, "battery-pull", 588.4),
        (15.0, "battery-pull-90-lbf", 294.2),  # 33 CFR 183.420(a): twice the weight ...
        (30.0, "battery-pull-90-lbf", 400.34),  # ... or 90 lbf, whichever is less
    ],
)
def test_battery_pull(mass: float, scenario: str, pull: float) -> None:
    verdict = pulled(mass, scenario)
    assert not verdict.free_to_move
    demand = {r.id: r.demand_N for r in verdict.restraints}
    for face in ("port", "starboard", "fore", "aft"):
        assert demand[face] == pytest.approx(pull, rel=2e-3)
    # the strap's two legs share the pull upward
    assert demand["strap"] == pytest.approx(0.5 * pull, rel=2e-3)
    by_id = {r.id: r for r in verdict.restraints}
    assert by_id["strap"].utilisation == pytest.approx(0.5 * pull / 4000.0, abs=1e-4)
    assert by_id["fore"].utilisation == pytest.approx(pull / 5000.0, abs=1e-4)


# knock-down identities and lines at an angle: plain statics


def test_knock_down_shares() -> None:
    """On bed, low cleat and batten: max(0, cos h), sin h and max(0, -cos h) of the weight, nothing on the high side."""
    stowed = block(bed(0.0), cleat("port"), cleat("starboard"), batten())
    heel = np.arange(0.0, 181.0, 1.0)
    found = heeled(stowed, heel)
    assert not found.free.any()
    one = MASS * G
    cos, sin = np.cos(np.radians(heel)), np.sin(np.radians(heel))
    np.testing.assert_allclose(force(stowed, found, "bottom-bed"), one * np.maximum(cos, 0.0), atol=1e-4 * one)
    np.testing.assert_allclose(force(stowed, found, "starboard"), one * sin, atol=1e-4 * one)
    np.testing.assert_allclose(force(stowed, found, "batten"), one * np.maximum(-cos, 0.0), atol=1e-4 * one)
    np.testing.assert_allclose(force(stowed, found, "port"), 0.0, atol=1e-4 * one)
    to_port = heeled(stowed, -heel)
    np.testing.assert_allclose(force(stowed, to_port, "port"), one * sin, atol=1e-4 * one)


def test_without_a_batten_it_leaves_its_bed_past_ninety_degrees() -> None:
    stowed = block(bed(0.0), cleat("port"), cleat("starboard"))
    found = heeled(stowed, np.array([0.0, 45.0, 89.9, 90.1, 135.0, 180.0]))
    assert found.free.tolist() == [False, False, False, True, True, True]
    assert np.all(found.displacement[3:, 2] > 0.0)


@pytest.mark.parametrize("alpha_deg", [0.0, 20.0, 45.0, 60.0, 75.0])
def test_two_lines_at_an_angle(alpha_deg: float) -> None:
    """Hung by two lines that lean out by alpha from the upright: T = F / (2 cos alpha)."""
    a = math.radians(alpha_deg)
    down = 0.3
    lines = []
    for name, side in (("p", 1.0), ("s", -1.0)):
        start = [0.0, side * 0.15, 0.0]
        end = [0.0, side * (0.15 + down * math.tan(a)), -down]
        line = {"type": "lashing", "id": name, "line": "polyester-webbing-25", "strength_N": 3000.0}
        lines.append(line | {"from_m": start, "to_m": end})
    stowed = block(bed(0.0), *lines)
    found = solve(stowed.springs, np.array([[0.0, 0.0, 2.0 * MASS * G]]))
    assert not found.free[0]
    for name in ("p", "s"):
        assert force(stowed, found, name)[0] == pytest.approx(2.0 * MASS * G / (2.0 * math.cos(a)), rel=1e-4)


def test_a_batten_off_the_middle_shares_its_ends_by_lever() -> None:
    """A simple beam: the end nearer the load takes (span - x) / span of it."""
    narrow = (
        batten(id="near", width_mm=20.0, at_m=[0.15, 0.0, 0.06]),
        batten(id="far", width_mm=20.0, at_m=[-0.05, 0.0, 0.06]),
    )
    stowed = block(bed(0.0), *narrow)
    found = solve(stowed.springs, np.array([[0.0, 0.0, MASS * G]]))
    assert force(stowed, found, "near")[0] == pytest.approx(0.25 * MASS * G, rel=0.01)
    assert force(stowed, found, "far")[0] == pytest.approx(0.75 * MASS * G, rel=0.01)
