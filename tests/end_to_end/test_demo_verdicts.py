"""The demo boats, weight by weight, against what a shipwright would say of each.

Asserted: the colour, whether it is free to move and which way, what governs, and the reason in words. No exact
figures: those are checked where they are made. The last part asks of every demo weight what must hold of any: a
lighter weight is held no worse, and taking a restraint away holds it no better.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat
from secure_load.boat.models import BoatFile, Scenario, Weight, restraint_ids
from secure_load.check.check import check_boat, check_weight
from secure_load.check.context import make_context
from secure_load.check.results import RANK, BoatVerdict, Colour, WeightVerdict
from tests.reference.plane_statics import at_rest_up_to

DEMO = Path(__file__).parents[2] / "demo_boats"
BOATS = ("brindlewick", "tansy_pod", "halcorran")


@dataclass(frozen=True)
class Expected:
    """What a shipwright would say of one weight."""

    colour: Colour
    says: str
    """Words that must stand in its reasons."""
    by: tuple[str, ...] = ()
    """Restraints of which one must be the first to go; none where nothing is strained."""
    moves: str | None = None
    """Words that must stand in its movement where it is free to move; None where it is held."""


SIDES = ("port-cleat", "starboard-cleat")
ENDS = ("fore-cleat", "after-cleat")

EXPECTED: dict[tuple[str, str], Expected] = {
    ("brindlewick", "midship-pigs"): Expected("green", "holds in every scenario", (*SIDES, *ENDS)),
    ("brindlewick", "after-pigs"): Expected("red", "free to move", (), "out of its bed"),
    ("brindlewick", "tied-bundle"): Expected("amber", "a cable tie is the only thing"),
    ("brindlewick", "trim-pig"): Expected("red", "bears on planking", (), "slides to port"),
    ("brindlewick", "cabin-sole-pigs"): Expected("amber", "timber bent across the weight", ("sole-batten",)),
    ("brindlewick", "fillet-pigs"): Expected("red", "% used: ", SIDES),
    ("brindlewick", "starter-battery"): Expected("green", "holds in every scenario", (*SIDES, *ENDS)),
    ("brindlewick", "service-battery"): Expected("red", "screws of the eye", ("cord",)),
    ("brindlewick", "bower"): Expected("green", "holds in every scenario", SIDES),
    ("brindlewick", "chain"): Expected("red", "free to move", (), "out of its bed"),
    ("brindlewick", "water-tank"): Expected("amber", "% used: ", SIDES),
    ("brindlewick", "tool-chest"): Expected("amber", "held by friction alone", ("fore-ratchet", "after-ratchet")),
    ("tansy_pod", "plate-case-lead"): Expected("green", "holds in every scenario", (*SIDES, *ENDS)),
    ("tansy_pod", "house-battery"): Expected("red", "% used: ", (*SIDES, "cord")),
    ("tansy_pod", "motor-battery"): Expected("green", "holds in every scenario", (*SIDES, *ENDS)),
    ("tansy_pod", "bow-anchor"): Expected("amber", "timber bent across the weight", ("turnbar",)),
    ("tansy_pod", "chain"): Expected("red", "free to move", (), "out of its bed"),
    ("tansy_pod", "water-tank"): Expected("amber", "timber bent across the weight", ("lid",)),
    ("tansy_pod", "fuel"): Expected("red", "free to move", (), "slides"),
    ("tansy_pod", "toolbox"): Expected("amber", "held by friction alone", ("fore-ratchet", "after-ratchet")),
    ("halcorran", "midship-iron"): Expected("green", "holds in every scenario", ("port-lug", "starboard-lug")),
    ("halcorran", "after-iron"): Expected("red", "free to move", (), "out of its bed"),
    ("halcorran", "fore-iron"): Expected("amber", "timber bent across the weight", ("oak-bar",)),
    ("halcorran", "gas-in-use"): Expected("green", "holds in every scenario", SIDES),
    ("halcorran", "gas-spare"): Expected("red", "free to move", (), "slides"),
    ("halcorran", "house-bank"): Expected("green", "holds in every scenario", ("port-lug", "starboard-lug")),
    ("halcorran", "tool-chest"): Expected("amber", "held by friction alone", ("fore-ratchet", "after-ratchet")),
    ("halcorran", "kedge"): Expected("amber", "a cable tie is the only thing"),
}


def demo(name: str) -> BoatFile:
    return read_boat(DEMO / f"{name}.toml")


@pytest.fixture(scope="module")
def verdicts() -> dict[str, BoatVerdict]:
    return {name: check_boat(demo(name)) for name in BOATS}


@pytest.fixture(scope="module")
def weights(verdicts: dict[str, BoatVerdict]) -> dict[tuple[str, str], WeightVerdict]:
    return {(name, w.id): w for name, found in verdicts.items() for w in found.weights}


def judged(boat: BoatFile, weight: Weight, scenarios: list[str]) -> WeightVerdict:
    """A weight, changed or not, as the only one in a boat."""
    return check_weight(weight, make_context(boat.model_copy(update={"weight": [weight]}), scenarios))


def weight_of(boat: BoatFile, weight: str) -> Weight:
    return next(w for w in boat.weight if w.id == weight)


@pytest.mark.long
def test_every_demo_weight_has_its_expectation(weights: dict[tuple[str, str], WeightVerdict]) -> None:
    assert set(weights) == set(EXPECTED)


@pytest.mark.parametrize("name", BOATS)
def test_each_boat_shows_all_three_colours(verdicts: dict[str, BoatVerdict], name: str) -> None:
    found = verdicts[name]
    assert {w.verdict for w in found.weights} == {"green", "amber", "red"}
    assert found.verdict == "red"
    assert 6 <= len(found.weights) <= 12


@pytest.mark.parametrize("key", EXPECTED, ids=map("/".join, EXPECTED))
def test_verdict(weights: dict[tuple[str, str], WeightVerdict], key: tuple[str, str]) -> None:
    found, expected = weights[key], EXPECTED[key]
    assert found.verdict == expected.colour, found.reasons
    assert expected.says in "; ".join(found.reasons)
    assert found.free_to_move == (expected.moves is not None)
    assert (found.utilisation is None) == found.free_to_move
    if expected.moves is not None:
        assert expected.moves in (found.moves or "")
    else:
        assert found.moves is None
    if expected.by:
        assert found.first_to_go is not None
        assert found.first_to_go.restraint in expected.by


def test_nothing_is_left_to_assumption(weights: dict[tuple[str, str], WeightVerdict]) -> None:
    """The demo files give every figure that carries strength: only masses may be unweighed."""
    for key, found in weights.items():
        assert [a for a in found.assumptions if not a.startswith("mass:")] == [], key


ROLL = Scenario.model_validate({"id": "slow-roll", "heel_deg": {"from": 0, "to": 180}})


@pytest.fixture(scope="module")
def rolling() -> BoatFile:
    """Brindlewick, turned right over slowly: nothing but her own gravity."""
    boat = demo("brindlewick")
    return boat.model_copy(update={"scenario": [*boat.scenario, ROLL]})


@pytest.mark.parametrize("scenario", ["slow-roll", "rolled-over", "thrown-past-flat"])
def test_four_ingots_under_battens_with_cleats_on_four_sides_hold(rolling: BoatFile, scenario: str) -> None:
    found = judged(rolling, weight_of(rolling, "midship-pigs"), [scenario])
    assert found.verdict == "green"
    assert not found.free_to_move


@pytest.mark.parametrize("side", ["port", "starboard"])
@pytest.mark.parametrize(("scenario", "late"), [("slow-roll", 3), ("thrown-past-flat", 3), ("rolled-over", 10)])
def test_the_same_four_ingots_without_battens_go_near_90_degrees(
    rolling: BoatFile, scenario: str, late: float, side: str
) -> None:
    """Flung outward by the roll they cling on a little longer, the faster the roll the longer."""
    bare = weight_of(rolling, "midship-pigs")
    kept = [r for r in bare.restraint if r.type != "batten"]
    assert len(kept) == len(bare.restraint) - 2
    found = judged(rolling, bare.model_copy(update={"restraint": kept}), [scenario])
    held = getattr(found.holds_to_heel_deg, side)
    assert found.free_to_move
    assert 88 <= held <= 90 + late
    assert "out of its bed" in (found.moves or "")


def test_a_pig_in_the_v_of_the_garboards_leaves_where_plane_statics_say(rolling: BoatFile) -> None:
    """On planks of 14 degrees, friction 0.2: nowhere near the 101.3 degrees of two upright walls."""
    found = judged(rolling, weight_of(rolling, "trim-pig"), ["slow-roll"])
    assert found.free_to_move
    expected = at_rest_up_to(14.0, 0.2, 0.15, 0.075)
    assert 10.0 < expected < 20.0
    assert found.holds_to_heel_deg.starboard == pytest.approx(expected, abs=1.0)
    assert found.holds_to_heel_deg.port == pytest.approx(expected, abs=1.0)


@pytest.mark.parametrize(("boat", "weight"), [("brindlewick", "tied-bundle"), ("halcorran", "kedge")])
def test_cable_ties_alone_are_never_green(boat: str, weight: str) -> None:
    """However many: more ties make it no greener, and without them it goes."""
    owner = demo(boat)
    one = weight_of(owner, weight)
    for count in (1, 8, 100):
        ties = [r.model_copy(update={"count": count}) if r.type == "cable_tie" else r for r in one.restraint]
        assert judged(owner, one.model_copy(update={"restraint": ties}), ["rolled-over"]).verdict != "green"
    bare = [r for r in one.restraint if r.type != "cable_tie"]
    assert judged(owner, one.model_copy(update={"restraint": bare}), ["rolled-over"]).free_to_move


def test_the_owners_own_scenario_is_run(verdicts: dict[str, BoatVerdict]) -> None:
    own = next(s for s in verdicts["brindlewick"].scenarios if s.id == "off-her-legs")
    assert own.instants > 0
    # a fall on the hard strips the fillets and throws the pig out of its V; what has no lid stays while she is upright
    felled = {
        w.id
        for w in verdicts["brindlewick"].weights
        for s in w.scenarios
        if s.scenario == own.id and s.verdict == "red"
    }
    assert felled == {"fillet-pigs", "trim-pig"}


# How the demo boats float: their lines must be worth working with.


def immersed_area(points: Sequence[tuple[float, float]]) -> float:
    """Both sides of one section below the drawn waterline, m2: cut at nil, then the shoelace formula."""
    below: list[tuple[float, float]] = []
    for (y, z), (y_next, z_next) in pairwise([*points, points[0]]):
        if z <= 0.0:
            below.append((y, z))
        if z * z_next < 0.0:
            below.append((y + (y_next - y) * z / (z - z_next), 0.0))
    closed = [*below, *below[:1]]
    return abs(sum(y * z_next - y_next * z for (y, z), (y_next, z_next) in pairwise(closed)))


@pytest.mark.parametrize("name", ["brindlewick", "halcorran"])
def test_drawn_hull_displaces_what_she_weighs(name: str) -> None:
    boat = demo(name)
    assert boat.float_ is not None
    length = boat.boat.lwl_m or 0.0
    on_waterline = [s for s in boat.float_.section if -1e-9 <= s.x_m <= length + 1e-9]
    assert len(on_waterline) == 11
    step = length / 10
    assert [s.x_m for s in on_waterline] == pytest.approx([step * i for i in range(11)], abs=1e-6)
    areas = [immersed_area(s.points_m) for s in on_waterline]
    volume = step / 3 * (areas[0] + areas[-1] + 4 * sum(areas[1:-1:2]) + 2 * sum(areas[2:-1:2]))
    mass = (boat.boat.displacement_kg or 0.0) + sum(w.mass for w in boat.weight)
    assert volume * 1025 == pytest.approx(mass, rel=0.03)
    # fair: one hump fore and aft, closed on the centreline at keel and deck
    top = areas.index(max(areas))
    assert areas[: top + 1] == sorted(areas[: top + 1])
    assert areas[top:] == sorted(areas[top:], reverse=True)
    for section in boat.float_.section:
        assert section.points_m[0][0] == 0.0
        assert section.points_m[-1][0] == 0.0
        assert [z for _, z in section.points_m] == sorted(z for _, z in section.points_m)


@pytest.mark.parametrize("name", BOATS)
def test_particulars_agree_with_the_weight_of_the_boat(name: str) -> None:
    boat = demo(name)
    known = boat.float_
    assert known is not None
    assert known.block_coefficient is not None
    assert known.draught_m is not None
    box = (boat.boat.lwl_m or 0.0) * (boat.boat.bwl_m or 0.0) * known.draught_m
    mass = (boat.boat.displacement_kg or 0.0) + sum(w.mass for w in boat.weight)
    assert known.block_coefficient * box * 1025 == pytest.approx(mass, rel=0.03)


@pytest.mark.parametrize("name", BOATS)
def test_no_weight_is_denser_than_what_it_is_made_of(name: str) -> None:
    """Lead 11,340 and iron 7,150 kg/m3 are the most that pigs of either can come to in their own box."""
    for weight in demo(name).weight:
        assert weight.size_m is not None
        density = weight.mass / math.prod(weight.size_m)
        most = 11_340 if weight.kind == "ballast" and name != "halcorran" else 7_150
        assert density <= most, weight.id
        if weight.kind == "ballast":
            assert density >= 0.6 * most, weight.id


# What must hold of any weight, in a coarse scenario that asks something of every restraint.

ROUGH = Scenario.model_validate(
    {
        "id": "rough",
        "heel_deg": {"from": 0, "to": 180, "step": 10},
        "load_factor": [0.0, 1.0, 3.0],
        "surge_g": [-0.5, 0.5],
        "heave_g": [-0.2],
    }
)


@cache
def as_stowed(boat: str, weight: str) -> tuple[BoatFile, Weight, WeightVerdict]:
    """A boat, one of her weights, and its verdict in the rough scenario."""
    owner = demo(boat).model_copy(update={"scenario": [ROUGH]})
    one = weight_of(owner, weight)
    return owner, one, judged(owner, one, ["rough"])


def lighter(weight: Weight) -> Weight:
    if weight.ingots is not None:
        half = weight.ingots.model_copy(update={"each_kg": 0.5 * weight.ingots.each_kg})
        return weight.model_copy(update={"ingots": half})
    return weight.model_copy(update={"mass_kg": 0.5 * weight.mass})


@pytest.mark.long
@pytest.mark.parametrize(("boat", "weight"), EXPECTED, ids=map("/".join, EXPECTED))
def test_halving_a_mass_never_makes_it_worse(boat: str, weight: str) -> None:
    owner, one, before = as_stowed(boat, weight)
    after = judged(owner, lighter(one), ["rough"])
    assert RANK[after.verdict] <= RANK[before.verdict]
    if before.utilisation is not None:
        assert after.utilisation is not None
        assert after.utilisation <= before.utilisation * 1.001 + 1e-6


@pytest.mark.long
@pytest.mark.parametrize(("boat", "weight"), EXPECTED, ids=map("/".join, EXPECTED))
def test_taking_a_restraint_away_never_makes_it_better(boat: str, weight: str) -> None:
    owner, one, before = as_stowed(boat, weight)
    for place, name in enumerate(restraint_ids(one)):
        left = [r for i, r in enumerate(one.restraint) if i != place]
        after = judged(owner, one.model_copy(update={"restraint": left}), ["rough"])
        assert RANK[after.verdict] >= RANK[before.verdict], name
        assert after.free_to_move or not before.free_to_move, name
