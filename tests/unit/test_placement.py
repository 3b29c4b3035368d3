"""Where a restraint lies on the weight, and what follows where it does not lie there."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile, Weight
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.model.body import Body
from secure_load.model.model_builder import build_model
from secure_load.model.placement import Placement, placement

# 400 mm long, 200 mm broad, 100 mm high: its top at -0.25, its bottom at -0.35, its port side at 0.1
BOX = Body(30.0, np.array([2.0, 0.0, -0.3]), np.array([0.4, 0.2, 0.1]))
BATTEN: dict[str, Any] = {"type": "batten", "span_mm": 260.0, "width_mm": 60.0, "depth_mm": 25.0}
CLEAT: dict[str, Any] = {"type": "cleat", "face": "port", "length_mm": 300.0, "height_mm": 40.0, "depth_mm": 50.0}
PLANE = {"from_m": [2.0, 0.15, -0.35], "to_m": [2.0, -0.15, -0.35]}


def placed(restraint: dict[str, Any]) -> Placement:
    weight = Weight.model_validate({"id": "pig", "mass_kg": 30.0, "at_m": [2.0, 0.0, -0.3], "restraint": [restraint]})
    return placement(BOX, weight.restraint[0])


def boat_of(*restraints: dict[str, Any]) -> BoatFile:
    pig = {"id": "pig", "mass_kg": 30.0, "at_m": [2.0, 0.0, -0.3], "size_m": [0.4, 0.2, 0.1], "measured": True}
    over = {"id": "over", "heel_deg": {"to": 180}, "both_sides": False}
    return BoatFile.model_validate(
        {"boat": {"name": "Redshank"}, "weight": [pig | {"restraint": list(restraints)}], "scenario": [over]}
    )


@pytest.mark.parametrize(
    ("restraint", "gap_mm"),
    [
        (BATTEN, 0.0),
        (BATTEN | {"at_m": [2.05, 0.0, -0.25]}, 0.0),
        (BATTEN | {"at_m": [2.0, 0.0, -0.24995]}, 0.0),  # 0.05 mm is rounding
        (BATTEN | {"at_m": [2.0, 0.0, -0.19]}, 60.0),
        (CLEAT | {"at_m": [2.0, 0.11, -0.35]}, 10.0),
        (CLEAT | {"at_m": [2.0, 0.1, -0.35]}, 0.0),
        ({"type": "bed", "at_m": [2.0, 0.0, -0.353]}, 3.0),
        ({"type": "bed", "face": "fore", "at_m": [2.225, 0.0, -0.3]}, 25.0),
    ],
)
def test_distance_from_the_face_is_a_gap(restraint: dict[str, Any], gap_mm: float) -> None:
    found = placed(restraint)
    assert found.acts
    assert found.fault is None
    assert found.gap == pytest.approx(gap_mm * 1e-3, abs=1e-9)


@pytest.mark.parametrize(
    ("restraint", "words"),
    [
        (BATTEN | {"at_m": [2.0, 0.0, 0.35]}, "stands 600 mm above the weight's top; it holds nothing there"),
        (CLEAT | {"at_m": [2.0, 0.5, -0.35]}, "stands 400 mm to port of the weight's port side"),
        (CLEAT | {"at_m": [3.0, 0.1, -0.35]}, "lies wholly beside the weight's port side"),
        (CLEAT | {"at_m": [2.0, 0.1, -0.2]}, "lies wholly beside the weight's port side"),
        ({"type": "bed", "at_m": [2.0, 0.0, -0.5]}, "stands 150 mm below the weight's bottom"),
        ({"type": "bond", "strength_N": 500.0, "at_m": [2.0, 0.0, -0.37]}, "stands 20 mm below the weight's bottom"),
        ({"type": "bolt", "at_m": [2.0, 0.0, -0.39]}, "stands 40 mm below the weight's bottom"),
        ({"type": "bolt", "at_m": [2.0, 0.3, -0.35]}, "lies wholly beside the weight's bottom"),
        (BATTEN | {"span_mm": 180.0}, "its span of 180 mm is less than the 200 mm of the weight under it"),
        (BATTEN | {"along": "fore-and-aft"}, "its span of 260 mm is less than the 400 mm of the weight under it"),
        (BATTEN | {"at_m": [2.0, 0.05, -0.25]}, "its starboard end stands over the weight, 20 mm short of its edge"),
    ],
)
def test_what_cannot_hold_the_weight_is_left_out_and_said(restraint: dict[str, Any], words: str) -> None:
    found = placed(restraint)
    assert not found.acts
    assert found.fault is not None
    assert found.fault.startswith(words)


@pytest.mark.parametrize(
    "restraint",
    [
        BATTEN | {"at_m": [2.0, 0.0, -0.27]},
        CLEAT | {"at_m": [2.0, 0.08, -0.35]},
        {"type": "bed", "at_m": [2.0, 0.0, -0.33]},
        {"type": "bolt", "at_m": [2.0, 0.0, -0.33]},
    ],
)
def test_a_restraint_inside_the_weight_touches_and_is_asked_about(restraint: dict[str, Any]) -> None:
    found = placed(restraint)
    assert found.acts
    assert found.gap == 0.0
    assert found.doubt is not None
    assert "20 mm inside the weight" in found.doubt


def lashing(start: list[float], end: list[float]) -> dict[str, Any]:
    return {"type": "lashing", "from_m": start, "to_m": end}


def test_a_lashing_begins_on_the_weight() -> None:
    assert placed(lashing([2.2, 0.1, -0.25], [2.3, 0.3, -0.4])) == Placement()
    # an eye 15 mm proud of the weight's side
    assert placed(lashing([2.2, 0.115, -0.25], [2.3, 0.3, -0.4])) == Placement()
    off = placed(lashing([2.2, 0.4, -0.25], [2.3, 0.5, -0.4]))
    assert not off.acts
    assert off.fault is not None
    assert off.fault.startswith("from_m lies 300 mm off the weight")
    inside = placed(lashing([2.0, 0.0, -0.3], [2.3, 0.3, -0.4]))
    assert inside.acts
    assert inside.doubt is not None
    assert inside.doubt.startswith("from_m lies 50 mm inside the weight")


def test_a_lashing_does_not_run_through_the_weight() -> None:
    through = placed(lashing([2.0, 0.1, -0.3], [2.0, -0.3, -0.32]))
    assert not through.acts
    assert through.fault is not None
    assert through.fault.startswith("runs through the weight")
    # from the middle of the top to low beside it, it would have to bend round the edge
    round_the_edge = placed(lashing([2.0, 0.05, -0.25], [2.0, 0.15, -0.33]))
    assert round_the_edge.acts
    assert round_the_edge.doubt is not None
    assert round_the_edge.doubt.startswith("runs inside the weight's edges")
    # across the top and down the other side it only grazes the edge
    assert placed(lashing([2.0, 0.1, -0.25], [2.0, -0.3, -0.25])).acts


@pytest.mark.parametrize("kind", ["strap", "cable_tie"])
@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        # seen from above the weight reaches from 1.8 to 2.2 and from -0.1 to 0.1
        ([2.3, 0.15, -0.35], [2.3, -0.15, -0.35], "both its ends lie beyond the weight's fore end"),
        ([2.1, 0.15, -0.35], [1.9, 0.15, -0.35], "both its ends lie beyond the weight's port side"),
        ([2.3, 0.05, -0.35], [2.1, 0.15, -0.35], "crosses only a corner of the weight's top"),
        ([2.0, 0.15, -0.15], [2.0, -0.15, -0.35], "an end of it is made fast 100 mm above the weight's top"),
    ],
)
def test_a_strap_that_slips_off_is_not_counted(kind: str, start: list[float], end: list[float], words: str) -> None:
    found = placed({"type": kind, "from_m": start, "to_m": end})
    assert not found.acts
    assert found.doubt is not None
    assert found.doubt.startswith(words)
    assert found.doubt.endswith("it is not counted")


@pytest.mark.parametrize(
    ("start", "end"),
    [
        (PLANE["from_m"], PLANE["to_m"]),
        ([1.75, 0.15, -0.35], [2.25, -0.15, -0.35]),  # from corner to corner
        ([1.7, 0.0, -0.35], [2.3, 0.02, -0.35]),
        ([2.0, 0.1, -0.35], [2.0, -0.1, -0.35]),  # close down its sides
    ],
)
def test_a_strap_over_the_top_counts(start: list[float], end: list[float]) -> None:
    assert placed({"type": "strap", "from_m": start, "to_m": end}) == Placement()


def test_a_strap_made_fast_under_the_weight_runs_through_it() -> None:
    found = placed({"type": "strap", "from_m": [2.0, 0.03, -0.36], "to_m": [2.0, -0.03, -0.36]})
    assert not found.acts
    assert found.fault is not None
    assert found.fault.startswith("runs through the weight")


def test_a_bolt_with_slack_is_not_counted() -> None:
    found = placed({"type": "bolt", "slack_mm": 3.0})
    assert not found.acts
    assert found.doubt is not None
    assert found.doubt.startswith("3 mm of slack")


def test_a_batten_above_the_weight_is_as_bad_as_the_same_slack() -> None:
    cleats = [CLEAT | {"face": face} for face in ("port", "starboard", "fore", "aft")]
    bed = {"type": "bed", "friction": 0.1}
    above = boat_of(bed, *cleats, BATTEN | {"at_m": [2.0, 0.0, -0.21]})
    slack = boat_of(bed, *cleats, BATTEN | {"slack_mm": 40.0})
    snug = boat_of(bed, *cleats, BATTEN)
    figures = [check_weight(b.weight[0], make_context(b, ["over"])).utilisation for b in (above, slack, snug)]
    assert figures[0] == pytest.approx(figures[1])
    assert figures[0] is not None
    assert figures[2] is not None
    assert figures[0] > 2.0 * figures[2]


def test_a_restraint_left_out_makes_the_weight_red_and_names_it() -> None:
    batten = {"id": "hold-down", **BATTEN, "strength_N": 9000.0, "stiffness_N_per_mm": 500.0}
    held = [{"type": "bed", "friction": 0.3}, batten]
    far = {"id": "spare", **BATTEN, "at_m": [2.0, 0.0, 0.35]}
    boat = boat_of(*held, far)
    verdict = check_weight(boat.weight[0], make_context(boat, ["over"]))
    assert verdict.verdict == "red"
    assert any(r.startswith("spare: stands 600 mm above the weight's top") for r in verdict.reasons)
    assert "spare" not in [r.id for r in verdict.restraints]
    assert check_weight(boat_of(*held).weight[0], make_context(boat, ["over"])).utilisation == verdict.utilisation


def test_neighbours_a_hair_apart_touch() -> None:
    def gap(mm: float) -> float:
        pig = {"id": "pig", "mass_kg": 30.0, "at_m": [2.0, 0.0, -0.3], "size_m": [0.4, 0.2, 0.1]}
        other = pig | {"id": "next", "at_m": [2.0, 0.2 + mm / 1000, -0.3]}
        leans = pig | {"restraint": [{"type": "neighbour", "face": "port", "weight": "next"}]}
        boat = BoatFile.model_validate({"boat": {"name": "Redshank"}, "weight": [leans, other]})
        stowed = build_model(boat.weight, boat.boat)
        return max(link.gap for fitting in stowed.restraints for link in fitting.springs)

    assert gap(0.08) == 0.0
    assert gap(2.0) == pytest.approx(0.002)
