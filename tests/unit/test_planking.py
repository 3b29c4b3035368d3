"""How steep the planking is, and what follows where nobody said: looked up, or asked and the worst taken."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from secure_load.boat.file import parse_boat
from secure_load.boat.models import Bed, BoatFile, Weight
from secure_load.check.check import check_boat
from secure_load.check.results import WeightVerdict
from secure_load.model.assumptions import Assumptions, with_defaults
from secure_load.model.model_builder import build_model
from secure_load.model.planking import planking_slope
from secure_load.solver.equilibrium import solve
from secure_load.solver.springs import SpringSet

V = [
    {"x_m": 0.0, "points_m": [[0.0, -0.5], [1.0, -0.1], [1.2, 0.4]]},
    {"x_m": 4.0, "points_m": [[0.0, -0.5], [1.0, 0.5]]},
]


def boat(restraints: list[dict[str, Any]], weight: dict[str, Any] | None = None, **more: Any) -> BoatFile:
    pig = {"id": "pig", "mass_kg": 30.0, "at_m": [2.0, 0.0, -0.3], "size_m": [0.4, 0.12, 0.06], "measured": True}
    particulars = {"name": "Dunlin", **more.pop("particulars", {})}
    return BoatFile.model_validate(
        {"schema": 2, "boat": particulars, "weight": [{**pig, **(weight or {}), "restraint": restraints}], **more}
    )


def verdict_of(found: BoatFile) -> WeightVerdict:
    return check_boat(found, ["knocked-flat"]).weights[0]


def test_slope_between_two_sections() -> None:
    """atan(0.4 / 1.0) = 21.8 degrees aft and 45 forward: halfway 33.4. Over the topsides atan(0.5 / 0.2) = 68.2."""
    ketch = boat([], float={"section": V})
    assert planking_slope(ketch, 2.0, 0.5) == (pytest.approx(33.4, abs=0.01), "from her sections")
    assert planking_slope(ketch, 2.0, -0.5) == (pytest.approx(33.4, abs=0.01), "from her sections")
    assert planking_slope(ketch, 0.0, 1.1) is None  # the forward section does not reach so far out
    assert planking_slope(ketch, 5.0, 0.5) is None


def test_slope_along_her() -> None:
    """Half a metre out the bottom rises from -0.3 to 0.0 over 4 m: atan(0.3 / 4) = 4.29 degrees."""
    found = planking_slope(boat([], float={"section": V}), 2.0, 0.5, fore_and_aft=True)
    assert found is not None
    assert found[0] == pytest.approx(4.289, abs=0.01)


def test_a_table_of_half_breadths_serves_as_well() -> None:
    table = {"x_m": [0.0, 2.0, 4.0], "z_m": [-0.5, 0.0, 0.5], "half_breadth_m": [[0.0, 0.5, 1.0]] * 3}
    found = planking_slope(boat([], float={"half_breadths": table}), 1.0, 0.3)
    assert found is not None
    assert found[0] == pytest.approx(45.0)


def test_deadrise_serves_where_she_has_no_sections() -> None:
    assert planking_slope(boat([], particulars={"deadrise_deg": 18}), 2.0, 0.5) == (18.0, "her deadrise")
    listed = boat([], particulars={"deadrise_deg": [[4.0, 30], [0.0, 10]]})
    assert planking_slope(listed, 2.0, 0.5) == (20.0, "her deadrise there")


def edges(**more: Any) -> list[dict[str, Any]]:
    return [
        {"type": "bed", "edge": f"bottom-{s}", "on": "planking", "friction": 0.2, **more} for s in ("port", "starboard")
    ]


def upward(springs: SpringSet) -> set[float]:
    return {round(float(v), 4) for v in springs.direction[:, 2]}


@pytest.mark.parametrize(
    ("more", "slope"),
    [({"particulars": {"deadrise_deg": 25}}, 25.0), ({"particulars": {"deadrise_deg": 0}}, 0.0), ({}, 15.0)],
)
def test_edges_rest_on_the_slope_that_is_known_or_on_the_flattest(more: dict[str, Any], slope: float) -> None:
    """The push of a plank that rises by s has the upward part cos s."""
    dinghy = boat(edges(), **more)
    model = build_model(dinghy.weight, dinghy)
    assert upward(model.springs) == {round(math.cos(math.radians(slope)), 4)}
    asked = [d for d in model.members[0].notes.doubts if "how steep the planking is there" in d]
    assert len(asked) == (0 if more else 1)


def test_the_flattest_slope_is_the_worst_for_what_rests_on_its_edges() -> None:
    """It leaves at less of a heel than on any steeper one between 15 and 50 degrees."""
    heel = np.radians(np.arange(0.0, 90.0, 0.5))
    way = np.column_stack([np.zeros_like(heel), -np.sin(heel), -np.cos(heel)])

    def leaves(dinghy: BoatFile) -> int:
        model = build_model(dinghy.weight, dinghy)
        return int(solve(model.springs, model.total_load([300.0 * way])).unrestrained[:, 0].argmax())

    steeper = [leaves(boat(edges(slope_deg=slope))) for slope in (15, 20, 30, 40, 50)]
    assert steeper == sorted(steeper)
    assert leaves(boat(edges())) == steeper[0]


def test_a_weight_flat_on_planking_lies_as_the_planking_does() -> None:
    dory = boat([{"type": "bed", "on": "planking"}], {"at_m": [2.0, 0.4, -0.3]}, particulars={"deadrise_deg": 20})
    member = build_model(dory.weight, dory).members[0]
    assert member.body.axes[2, 1] == pytest.approx(0.3420, abs=1e-4)  # sin 20: its port side is the higher
    unknown = boat([{"type": "bed", "on": "planking"}], {"at_m": [2.0, -0.4, -0.3]})
    member = build_model(unknown.weight, unknown).members[0]
    assert member.body.axes[2, 1] == pytest.approx(-0.7660, abs=1e-4)  # sin 50
    assert any("how steep the planking is there" in d for d in member.notes.doubts)


def test_an_edge_without_a_slope_is_never_green() -> None:
    held = [
        *[
            {"type": "bed", "edge": f"bottom-{s}", "on": "floors", "friction": 0.3, "timber": "oak-white"}
            for s in ("port", "starboard")
        ],
        {
            "type": "strap",
            "from_m": [2.0, 0.1, -0.34],
            "to_m": [2.0, -0.1, -0.34],
            "strength_N": 20000.0,
            "tension_N": 3000.0,
        },
    ]
    found = verdict_of(boat(held))
    assert found.verdict != "green"
    assert any("how steep what it rests on is there" in reason for reason in found.reasons)


def test_an_edge_cannot_rest_on_what_cuts_through_the_weight() -> None:
    tipped = boat(
        [{"type": "bed", "edge": "bottom-port", "slope_deg": 10, "on": "floors"}], {"slope_deg": {"athwartships": 20}}
    )
    found = verdict_of(tipped)
    assert found.verdict == "red"
    assert any("less steep than the weight's bottom" in reason for reason in found.reasons)


@pytest.mark.parametrize("on", ["frames", "floors"])
def test_what_stands_beside_a_weight_is_asked_for_its_slope(on: str) -> None:
    """Frames and floors beside a weight follow the planking: a blank is a question, and 90 degrees is an answer."""

    def doubts(**bed: Any) -> list[str]:
        weight = Weight.model_validate(
            {"id": "pig", "mass_kg": 20.0, "at_m": [3.0, 0.3, -0.3], "size_m": [0.3, 0.12, 0.06], "measured": True,
             "restraint": [{"id": "side", "type": "bed", "face": "port", "on": on, "timber": "oak-white", **bed}]}
        )  # fmt: skip
        found = Assumptions()
        with_defaults(weight, BoatFile.model_validate({"boat": {"name": "Ossing", "bilge": "wet"}}), found)
        return [doubt for doubt in found.doubts if "how steep" in doubt]

    assert doubts() == ["side: say how steep what it rests on is there (slope_deg; 90 is upright)"]
    assert doubts(slope_deg=90) == []
    assert doubts(face="fore") == []


def test_in_a_file_of_schema_1_it_was_upright() -> None:
    text = (
        'schema = 1\n[boat]\nname = "Ossing"\n[[weight]]\nid = "pig"\nmass_kg = 20\nat_m = [3, 0.3, -0.3]\n'
        '[[weight.restraint]]\ntype = "bed"\nface = "port"\non = "frames"\n'
    )
    (bed,) = parse_boat(text).weight[0].restraint
    assert isinstance(bed, Bed)
    assert bed.slope_deg == 90.0
