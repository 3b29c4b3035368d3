"""Ingots of which nobody said how they lie are loose, and what was not said is asked for."""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.boat.models import BoatFile, Weight
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import WeightVerdict
from secure_load.model.rules.loose_ingots import laid_out
from secure_load.remedies import remedies

ROLL = {"id": "roll", "heel_deg": {"from": 0, "to": 180, "step": 5}}
SIZE = [0.5, 0.2, 0.1]


def pigs(count: int = 4, boards: int = 1, size: list[float] | None = None, **ingots: Any) -> dict[str, Any]:
    """Pigs between four cleats as long as their sides, under ``boards`` athwartships."""
    long, broad, high = size or SIZE
    sides = {"port": long, "starboard": long, "fore": broad, "aft": broad}
    cleats = [{"type": "cleat", "face": f, "length_mm": 1000 * n, "height_mm": 50} for f, n in sides.items()]
    places = [3.0 + long * ((n + 0.5) / boards - 0.5) for n in range(boards)]
    over = [{"type": "batten", "span_mm": 260, "width_mm": 60, "at_m": [x, 0.0, -0.3 + high / 2]} for x in places]
    bed = {"type": "bed", "friction": 0.1, "on": "floors", "timber": "oak-white"}
    return {
        "id": "pigs",
        "kind": "ballast",
        "ingots": {"count": count, "each_kg": 10.0} | ingots,
        "at_m": [3.0, 0.0, -0.3],
        "size_m": [long, broad, high],
        "measured": True,
        "restraint": [bed, *[piece | {"strength_N": 1e5} for piece in [*cleats, *over]]],
    }


def check(weight: dict[str, Any]) -> WeightVerdict:
    boat = BoatFile.model_validate({"boat": {"name": "Turnstone"}, "weight": [weight], "scenario": [ROLL]})
    return check_weight(boat.weight[0], make_context(boat, ["roll"]))


@pytest.mark.parametrize(
    ("count", "size", "stack"),
    [
        (4, [0.6, 0.2, 0.1], (2, 2, 1)),  # 300 x 100 x 100 mm each
        (2, [0.3, 0.2, 0.08], (1, 2, 1)),
        (2, [0.3, 0.1, 0.16], (1, 1, 2)),
        (6, [0.6, 0.3, 0.08], (2, 3, 1)),
        (6, [0.3, 0.3, 0.16], (1, 3, 2)),
        (5, [0.3, 0.5, 0.08], (1, 5, 1)),
    ],
)
def test_the_likeliest_ingot_is_some_three_times_as_long_as_broad(
    count: int, size: list[float], stack: tuple[int, int, int]
) -> None:
    laid = laid_out(Weight.model_validate(pigs(count, size=size)))
    assert laid.bundle is not None
    assert laid.bundle.stack == stack


def test_one_board_over_two_rows_of_loose_pigs_lets_them_out() -> None:
    """The board lies over the joint of the two pairs with 30 mm on each: as one block it would hold them."""
    weight = pigs(size=[0.9, 0.2, 0.1])
    for piece in weight["restraint"]:
        if piece["type"] == "batten":
            piece["at_m"][0] += 0.2  # over the two at the fore end alone
    found = check(weight)
    assert not found.free_to_move
    assert found.verdict == "red"
    assert found.bundle is not None
    assert "aftermost" in found.bundle.sentence


def test_what_is_held_as_it_was_taken_to_lie_is_still_asked_for() -> None:
    found = check(pigs(boards=2))
    assert found.bundle is not None
    assert found.bundle.verdict == "green", found.bundle.sentence
    assert found.verdict == "amber"
    assert any("say how they lie" in r for r in found.reasons)


@pytest.mark.parametrize("joined", ["cast", "bolted", "boxed"])
def test_ingots_that_are_joined_are_one_block(joined: str) -> None:
    found = check(pigs(boards=2, joined=joined))
    assert found.bundle is None
    assert found.verdict == "green", found.reasons


def test_ingots_whose_stack_was_said_are_not_asked_about() -> None:
    found = check(pigs(boards=2) | {"bundle": {"stack": [2, 2, 1]}})
    assert found.verdict == "green", found.reasons


def test_many_ingots_that_nobody_laid_out_are_doubtful_and_do_not_take_long() -> None:
    found = check(pigs(count=240, boards=2, each_kg=0.2))
    assert found.bundle is None
    assert found.verdict == "amber"
    assert any("say how they lie" in r for r in found.reasons)


def test_a_bundle_is_not_one_block_as_well() -> None:
    with pytest.raises(ValueError, match="one of the two and not both"):
        Weight.model_validate(pigs(joined="cast") | {"bundle": {"stack": [2, 2, 1]}})


def test_a_remedy_lays_the_ingots_out() -> None:
    weight = pigs(boards=2)
    boat = BoatFile.model_validate({"boat": {"name": "Turnstone"}, "weight": [weight], "scenario": [ROLL]})
    found = remedies(boat.weight[0], make_context(boat, ["roll"]))
    assert found[0].kind == "measure"
    assert "how they lie" in found[0].change
    change = next(remedy for remedy in found if remedy.kind == "change")
    assert change.verdict == "green"
    assert "lay its ingots 2 along her, 2 across her, 1 high" in change.change.lower()
