"""Ingots of a bundle, one by one."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatParticulars, Bundle, Scenario, Weight
from secure_load.check.ingots.bundle import bundle_verdict
from secure_load.check.ingots.stack import build_stack_model, ingot_words, take_apart
from secure_load.loads.load_cases import load_cases
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve

BOAT = BoatParticulars(name="Plover's Rest", bwl_m=2.0)
STRONG = {"strength_N": 1e6}
ROLL = Scenario.model_validate({"id": "roll", "heel_deg": {"from": 0, "to": 180, "step": 10}})
CHOCKS = [
    {"type": "cleat", "face": face, "length_mm": 500.0, "height_mm": 40.0, **STRONG}
    for face in ("port", "starboard", "fore", "aft")
]


def bundle(
    stack: tuple[int, int, int], ties: list[dict[str, Any]], held: list[dict[str, Any]], friction: float = 0.0
) -> Weight:
    count = stack[0] * stack[1] * stack[2]
    size = [0.30 * stack[0], 0.08 * stack[1], 0.05 * stack[2]]
    return Weight.model_validate(
        {
            "id": "pigs",
            "kind": "ballast",
            "ingots": {"count": count, "each_kg": 12.0},
            "bundle": {"stack": list(stack), "ties": ties, "friction": friction},
            "at_m": [3.0, 0.0, -0.3],
            "size_m": size,
            "restraint": [{"type": "bed", "friction": 0.0}, *held],
        }
    )


def test_ingots_fill_the_weight_and_share_its_mass() -> None:
    weight = bundle((2, 3, 2), [], [])
    whole = build_single_model(weight, BOAT).body
    stack = take_apart(weight, whole)
    assert sum(b.mass for b in stack.bodies) == pytest.approx(144.0)
    assert sum(b.mass * b.at for b in stack.bodies) / 144.0 == pytest.approx(whole.at)
    assert len({tuple(b.at) for b in stack.bodies}) == 12


@pytest.mark.parametrize(
    ("place", "shape", "words"),
    [
        ((0, 0, 0), (1, 1, 1), "the only ingot"),
        ((0, 0, 1), (1, 4, 2), "the top, starboard ingot"),
        ((0, 1, 0), (1, 3, 1), "the middle ingot"),
        ((1, 2, 0), (2, 4, 1), "the 3 of 4 from starboard, foremost ingot"),
    ],
)
def test_an_ingot_is_named_by_where_it_lies(
    place: tuple[int, int, int], shape: tuple[int, int, int], words: str
) -> None:
    assert ingot_words(place, shape) == words


def test_an_outer_restraint_reaches_the_same_force_through_all_its_ingots() -> None:
    """However many ingots a cleat lies against, its stiffness stays what it was."""
    weight = bundle((1, 4, 1), [], CHOCKS)
    whole, (apart, _, _) = build_single_model(weight, BOAT), build_stack_model(weight, BOAT)
    for before, after in zip(whole.restraints, apart.restraints, strict=True):
        assert sum(x.stiffness for x in after.springs) == pytest.approx(sum(x.stiffness for x in before.springs))


def test_a_layer_under_a_batten_that_reaches_only_the_middle_loses_its_outer_ingots() -> None:
    batten = {"type": "batten", "span_mm": 100.0, "width_mm": 60.0, **STRONG}
    found = bundle_verdict(bundle((1, 4, 1), [], [*CHOCKS, batten]), BOAT, load_cases([ROLL]))
    assert found.verdict == "red"
    assert found.ingot in ("the port ingot", "the starboard ingot")


def test_straps_round_the_layer_keep_the_outer_ingots() -> None:
    """Friction between the pigs and two tight straps carry the outer two by the middle ones."""
    batten = {"type": "batten", "span_mm": 100.0, "width_mm": 60.0, **STRONG}
    strap = {"line": "polyester-webbing-25-lc500", "count": 2, "around": "athwartships", "tension_N": 1500.0}
    found = bundle_verdict(bundle((1, 4, 1), [strap], [*CHOCKS, batten], friction=0.4), BOAT, load_cases([ROLL]))
    assert found.verdict != "red", found.sentence
    assert found.tie is not None


def test_cable_ties_that_are_needed_are_never_green() -> None:
    tie = {"tie": "extra-heavy-250", "count": 4, "around": "athwartships", "tension_N": 200.0}
    batten = {"type": "batten", "span_mm": 70.0, "width_mm": 300.0, **STRONG}
    found = bundle_verdict(bundle((1, 3, 1), [tie], [*CHOCKS, batten], friction=0.4), BOAT, load_cases([ROLL]))
    assert found.verdict != "green"


def test_a_stack_too_large_to_be_taken_apart_says_so() -> None:
    found = bundle_verdict(bundle((3, 3, 2), [], CHOCKS), BOAT, load_cases([ROLL]))
    assert found.verdict == "amber"
    assert "smaller bundles" in found.sentence


@pytest.mark.parametrize(("stack", "around"), [((1, 3, 1), "fore-and-aft"), ((3, 1, 1), "athwartships")])
def test_a_strap_round_one_ingot_of_a_row_holds_no_ingot_to_another(stack: tuple[int, int, int], around: str) -> None:
    strap = {"line": "polyester-webbing-25", "around": around, "tension_N": 300.0}
    found = bundle_verdict(bundle(stack, [strap], CHOCKS), BOAT, load_cases([ROLL]))
    assert found.verdict == "red"
    assert "gets out" in found.sentence


@pytest.mark.parametrize(("slack_mm", "verdict"), [(5.0, "green"), (15.0, "amber"), (30.0, "red")])
def test_an_ingot_that_moves_far_before_a_board_holds_it_is_told(slack_mm: float, verdict: str) -> None:
    board = {"type": "batten", "span_mm": 400.0, "width_mm": 300.0, "slack_mm": slack_mm, **STRONG}
    found = bundle_verdict(bundle((1, 2, 1), [], [*CHOCKS, board]), BOAT, load_cases([ROLL]))
    assert found.verdict == verdict, found.sentence
    if verdict != "green":
        assert f"moves {slack_mm:.0f} mm before it is held" in found.sentence


def layered(layers: list[list[int]], count: int, ties: list[dict[str, Any]] | None = None) -> Weight:
    return Weight.model_validate(
        {
            "id": "pigs",
            "ingots": {"count": count, "each_kg": 10.0},
            "bundle": {"layers": layers, "ties": ties or [], "friction": 0.2},
            "at_m": [3.0, 0.0, -0.3],
            "size_m": [0.42, 0.28, 0.05 * len(layers)],
            "restraint": [{"type": "bed", "friction": 0.2}, *CHOCKS],
        }
    )


def test_a_layer_may_lie_across_the_one_below_and_the_last_may_be_short() -> None:
    weight = layered([[3, 2], [2, 3]], 11)
    stack = take_apart(weight, build_single_model(weight, BOAT).body)
    assert [b.size[:2].round(3).tolist() for b in (stack.bodies[0], stack.bodies[-1])] == [[0.14, 0.14], [0.21, 0.093]]
    assert len(stack.bodies) == 11
    assert sum(b.mass for b in stack.bodies) == pytest.approx(110.0)
    assert (1, 2, 1) not in stack.places


@pytest.mark.parametrize("layers", [[[3, 2], [3, 2]], [[3, 2], [2, 3]], [[1, 5], [6, 1]]])
def test_upright_at_rest_the_lowest_layer_bears_all_that_lies_on_it(layers: list[list[int]]) -> None:
    weight = layered(layers, 11)
    model, stack, _ = build_stack_model(weight, BOAT)
    load = model.total_load([np.array([[0.0, 0.0, -10.0 * 9.80665]]) for _ in stack.bodies])
    found = solve(model.springs, load)
    assert not found.free.any()
    (bed,) = (r.index for r in model.restraints if r.id == "bottom-bed")
    assert found.normal[0, model.springs.restraint == bed].sum() == pytest.approx(110.0 * 9.80665, rel=1e-3)
    upper = 10.0 * 9.80665 * sum(place[2] == 1 for place in stack.places)
    between = (model.springs.restraint == -1) & (np.abs(model.springs.direction[:, 2::6]).max(axis=1) > 0.5)
    assert found.normal[0, between].sum() == pytest.approx(upper, rel=1e-3)


def test_ties_in_threes_go_round_three_each() -> None:
    tie = {"tie": "extra-heavy-250", "each": 3, "around": "athwartships", "tension_N": 100.0}
    model, stack, (index,) = build_stack_model(layered([[2, 3], [1, 3]], 9, [tie]), BOAT)
    assert len(model.failure_modes[index]) == 3
    assert stack.rows(3, 1) == [[0, 1, 2], [3, 4, 5], [6, 7, 8]]


def test_a_stack_may_be_said_in_words() -> None:
    said = Bundle.model_validate({"stack": "2 along, 3 across, 1 high"})
    assert said.stack == (2, 3, 1)
    assert said.rows == [(2, 3)]


@pytest.mark.parametrize(
    ("bundle", "count", "words"),
    [
        ({"layers": [[3, 2], [2, 3]]}, 6, "holds 12 ingots, or down to 7"),
        ({"layers": [[3, 2], [2, 3]]}, 13, "holds 12 ingots, or down to 7"),
        ({"stack": "6 in a heap"}, 6, "4 along, 2 across, 1 high"),
        ({"stack": [2, 3, 1], "layers": [[2, 3]]}, 6, "one of the two"),
        ({}, 6, "'stack' or 'layers'"),
    ],
)
def test_layers_that_do_not_fit_are_refused_in_words(bundle: dict[str, Any], count: int, words: str) -> None:
    table = {"id": "pigs", "ingots": {"count": count, "each_kg": 10.0}, "bundle": bundle, "at_m": [3, 0, 0]}
    with pytest.raises(ValueError, match=words):
        Weight.model_validate(table)
