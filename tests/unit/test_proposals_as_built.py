"""Proposals are such as a yard would build, screwed into timber that is there, and told as proposals."""

from __future__ import annotations

import json
import logging
from typing import Any

import pytest

from secure_load.boat.models import AnyRestraint, Batten, Bed, BoatFile, Cleat, Screws, Strap, Weight, restraint_ids
from secure_load.check.check import check_boat, check_weight
from secure_load.check.context import make_context
from secure_load.remedies import Remedy, remedies, with_remedies
from secure_load.remedies.labour_estimate import fastenings

SCENARIOS = ["knocked-flat", "rolled-over"]
PLANKING = {"timber": "larch", "thickness_mm": 18, "frame_spacing_mm": 180}
COACH = {"kind": "coach-screw", "diameter_mm": 8, "penetration_mm": 50, "into": "oak-white", "metal": "silicon-bronze"}
SIDES = ("port", "starboard", "fore", "aft")


def _boat(*weights: dict[str, Any], **particulars: Any) -> BoatFile:
    base = {
        "kind": "ballast",
        "mass_kg": 20.0,
        "at_m": [2.4, 0.0, -0.3],
        "size_m": [0.34, 0.18, 0.10],
        "measured": True,
    }
    boat = {"name": "Ferrol", "lwl_m": 6.0, "bwl_m": 2.0, "displacement_kg": 1900, "planking": PLANKING} | particulars
    named = [base | {"id": f"weight-{n}"} | w for n, w in enumerate(weights)]
    return BoatFile.model_validate({"schema": 1, "boat": boat, "weight": named})


def _bed(on: str | None, timber: str | None = None) -> dict[str, Any]:
    return (
        {"id": "bed", "type": "bed", "friction": 0.2}
        | ({"on": on} if on else {})
        | ({"timber": timber} if timber else {})
    )


def _found(boat: BoatFile, at: int = 0) -> list[Remedy]:
    return remedies(boat.weight[at], make_context(boat, SCENARIOS))


def _changed(remedy: Remedy) -> Weight:
    assert remedy.weight is not None
    return remedy.weight


def _new(before: Weight, after: Weight) -> dict[str, AnyRestraint]:
    old = dict(zip(restraint_ids(before), before.restraint, strict=True))
    return {n: r for n, r in zip(restraint_ids(after), after.restraint, strict=True) if old.get(n) != r}


def _new_screws(boat: BoatFile, remedy: Remedy) -> list[Screws]:
    was = fastenings(boat.weight[0])
    return [screws for screws in fastenings(_changed(remedy)) if screws not in was]


# What it is screwed into -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("bed", [[], [_bed(None)], [_bed("sole")], [_bed("sole", "oak-white")], [_bed("bulkhead")]])
def test_where_nobody_said_what_is_under_it_the_owner_is_asked_to_look(bed: list[dict[str, Any]]) -> None:
    (only,) = _found(_boat({"restraint": bed}))
    assert (only.kind, only.weight, only.verdict) == ("measure", None, "red")
    assert "a floor, the keel, a frame or a bearer, of what timber and how thick" in only.change
    assert "never into planking" in only.change


def test_cleats_of_which_nothing_is_said_lead_to_questions_and_not_to_oak_that_nobody_mentioned() -> None:
    held = [_bed(None), *[{"type": "cleat", "face": face} for face in SIDES], {"type": "batten"}]
    (only,) = _found(_boat({"kind": "tools", "mass_kg": 8.0, "restraint": held}))
    assert only.kind == "measure"
    assert "Not said yet: bed: what carries it" in only.change


def test_screws_in_the_planking_are_never_proposed_nor_left() -> None:
    into = COACH | {"into": "larch", "member": "planking", "penetration_mm": 12, "count": 2, "washer_mm": 24}
    cleats = [
        {"id": f"{face}-cleat", "type": "cleat", "face": face, "timber": "oak-white", "length_mm": 170, "height_mm": 40}
        | {"depth_mm": 65, "screws": into}
        for face in SIDES
    ]
    boat = _boat({"mass_kg": 8.0, "restraint": [_bed("floors"), *cleats]})
    assert {s.member for s in fastenings(boat.weight[0])} == {"planking"}
    found = _found(boat)
    assert any(r.verdict == "green" for r in found)
    for remedy in found:
        assert {s.member for s in fastenings(_changed(remedy))} <= {"bearer", "landing"}


def test_floors_of_unknown_timber_get_bearers_across_them() -> None:
    boat = _boat({"restraint": [_bed("floors")]})
    found = _found(boat)
    assert found
    for remedy in found:
        assert remedy.verdict == "green"
        assert remedy.change.startswith("Fit two White oak bearers 80 x 80 mm across two floors or more")
        assert " N in all" in remedy.change
        screws = _new_screws(boat, remedy)
        assert screws
        assert {s.member for s in screws} <= {"bearer", "landing"}
        # three quarters of 80 mm
        assert all(s.kind == "bolt" or (s.penetration_mm or 0.0) <= 60.0 for s in screws)


def test_named_floors_are_screwed_into_and_the_timber_wanted_is_named() -> None:
    boat = _boat({"mass_kg": 10.0, "restraint": [_bed("floors", "oak-white")]})
    found = _found(boat)
    assert found
    for remedy in found:
        screws = [s for s in _new_screws(boat, remedy) if s.member != "landing"]
        assert {(s.member, s.into) for s in screws} == {("floor", "oak-white")}
        deepest = max(s.penetration_mm or 0.0 for s in screws)
        thick = max(s.stock_mm or 0.0 for s in screws)
        assert deepest <= 0.75 * thick
        assert f"Needs {thick:.0f} mm of sound White oak in the floor under the screws" in remedy.change


def test_no_screw_goes_more_than_three_quarters_through_timber_whose_thickness_is_known() -> None:
    strap = {"id": "strap", "type": "strap", "from_m": [2.4, 0.15, -0.35], "to_m": [2.4, -0.15, -0.35]}
    strap |= {"line": "polyester-webbing-25"}
    eye = COACH | {"member": "floor", "count": 2, "stock_mm": 60, "penetration_mm": 40, "washer_mm": 24}
    held = [_bed("floors"), strap | {"anchors": {"kind": "pad-eye", "screws": eye}}]
    boat = _boat({"kind": "tools", "mass_kg": 8.0, "restraint": held})
    found = [r for r in _found(boat) if r.weight is not None]
    assert found
    for remedy in found:
        for screws in _new_screws(boat, remedy):
            if screws.member == "floor":
                assert screws.stock_mm == 60
                assert (screws.penetration_mm or 0.0) <= 45.0


# As a yard would build it ----------------------------------------------------------------------------------------


def test_a_battery_gets_a_tray_and_a_hold_down_bolted_right_through() -> None:
    battery = {"kind": "battery", "mass_kg": 22.0, "size_m": [0.30, 0.17, 0.19], "at_m": [1.4, 0.2, -0.1]}
    boat = _boat(battery | {"restraint": [_bed("floors")]})
    found = [r for r in _found(boat) if r.kind == "change"]
    assert found
    for remedy in found:
        assert remedy.verdict == "green"
        pieces = _new(boat.weight[0], _changed(remedy))
        assert {f"{n}-tray-side" for n in ("port", "starboard", "fore", "after")} <= set(pieces)
        assert "sides of a tray" in remedy.change
        over = [r for r in pieces.values() if isinstance(r, Strap | Batten)]
        assert over
        for piece in over:
            if isinstance(piece, Strap):
                held = piece.anchors.screws if piece.anchors is not None else None
            else:
                held = piece.landing or piece.screws
            assert held is not None
            assert held.kind == "bolt"


def test_ingots_are_held_down_by_timber_and_not_by_webbing() -> None:
    for remedy in _found(_boat({"restraint": [_bed("floors")]})):
        kinds = {type(r) for r in _changed(remedy).restraint}
        assert Batten in kinds
        assert Strap not in kinds


def test_chain_gets_a_lid_over_all_of_its_bin() -> None:
    sides = [{"id": f, "type": "bed", "face": f, "on": "frames", "timber": "oak-white", "friction": 0.2} for f in SIDES]
    boat = _boat({"kind": "chain", "size_m": [0.34, 0.30, 0.20], "restraint": [_bed("floors"), *sides]})
    found = _found(boat)
    assert found
    for remedy in found:
        (lid,) = [r for r in _new(boat.weight[0], _changed(remedy)).values() if isinstance(r, Batten)]
        assert lid.width_mm == 340
        assert "lid over the bin" in remedy.change


@pytest.mark.parametrize("hull", ["steel", "aluminium"])
def test_a_metal_hull_gets_lugs_and_bars_welded_on(hull: str) -> None:
    boat = _boat({"mass_kg": 60.0, "restraint": [_bed("frames")]}, hull=hull)
    found = [r for r in _found(boat) if r.kind == "change"]
    assert found
    for remedy in found:
        assert remedy.verdict == "green"
        assert "welded" in remedy.change
        assert "prove each weld" in remedy.change
        pieces = _new(boat.weight[0], _changed(remedy)).values()
        assert {type(r) for r in pieces} == {Cleat, Batten}
        for piece in pieces:
            assert isinstance(piece, Cleat | Batten)
            assert piece.screws is None
            assert piece.strength_N is not None
            # the load it is to be good for is said
            assert f"good for a working load of {piece.strength_N:.0f} N" in remedy.change


def test_a_moulded_hull_gets_bonded_bearers() -> None:
    found = _found(_boat({"restraint": [_bed("frames")]}, hull="grp"))
    assert found
    for remedy in found:
        assert remedy.change.startswith("Bond in two White oak bearers")
        assert "good for a pull of" in remedy.change


def test_gas_is_told_to_stand_in_a_drained_locker() -> None:
    gas = {"kind": "gas", "mass_kg": 11.0, "size_m": [0.25, 0.25, 0.4], "restraint": [_bed("floors")]}
    found = [r for r in _found(_boat(gas)) if r.kind == "change"]
    assert found
    assert all("a locker of its own that drains overboard" in r.change for r in found)
    assert not any(isinstance(r, Batten) for remedy in found for r in _changed(remedy).restraint)


# Told as proposals -----------------------------------------------------------------------------------------------


def test_all_that_is_changed_is_marked_as_proposed_and_nothing_else() -> None:
    boat = _boat({"restraint": [_bed("floors", "oak-white")]})
    for remedy in _found(boat):
        changed = _changed(remedy)
        new = _new(boat.weight[0], changed)
        assert new
        assert {n for n, r in zip(restraint_ids(changed), changed.restraint, strict=True) if r.proposed} == set(new)


def test_what_was_proposed_before_is_to_be_built_first() -> None:
    boat = _boat({"restraint": [_bed("floors", "oak-white")]})
    applied = boat.model_copy(update={"weight": [_changed(_found(boat)[0])]})
    assert check_weight(applied.weight[0], make_context(applied, SCENARIOS)).verdict == "amber"
    (only,) = _found(applied)
    assert (only.kind, only.weight, only.verdict) == ("measure", None, "green")
    assert only.change.startswith("Build what is proposed (")
    assert "hold-down" in only.change


def test_a_proposal_on_a_proposal_marks_both() -> None:
    """The pieces that were proposed and do not suffice stay marked beside those that are added."""
    cleat = {"type": "cleat", "face": "port", "timber": "oak-white", "length_mm": 320, "height_mm": 35, "depth_mm": 65}
    cleat |= {"id": "port-cleat", "proposed": True}
    cleat |= {"screws": COACH | {"member": "floor", "count": 3, "stock_mm": 80, "sided_mm": 80, "washer_mm": 24}}
    boat = _boat({"mass_kg": 7.0, "restraint": [_bed("floors", "oak-white"), cleat]})
    found = _found(boat)
    assert found
    for remedy in found:
        marked = {r.id for r in _changed(remedy).restraint if r.proposed}
        assert "port-cleat" in marked
        assert len(marked) > 1


# What goes wrong in the search -----------------------------------------------------------------------------------


def test_a_fault_in_one_search_costs_only_that_weight(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    boat = _boat(
        {"restraint": [_bed("floors", "oak-white")]},
        {"at_m": [4.0, 0.0, -0.3], "restraint": [_bed("floors", "oak-white")]},
    )
    verdict = check_boat(boat, SCENARIOS)

    def fail(weight: Weight, *_: object) -> None:
        if weight.id == "weight-0":
            raise ZeroDivisionError("on purpose")

    real = with_remedies.__globals__["bases"]
    monkeypatch.setattr("secure_load.remedies.proposals.bases", lambda w, b: fail(w) or real(w, b))
    with caplog.at_level(logging.ERROR, logger="secure_load"):
        mended = with_remedies(verdict, make_context(boat, SCENARIOS))
    first, second = mended.weights
    (only,) = first.remedies
    assert (only.kind, only.verdict) == ("none", "red")
    assert only.change == "No proposal could be worked out for 'weight-0'"
    assert second.remedies
    assert all(r.verdict == "green" for r in second.remedies)
    (logged,) = caplog.records
    assert logged.exc_info is not None
    assert "weight-0" in logged.getMessage()


@pytest.mark.long
@pytest.mark.parametrize("stack", [[1, 1, 2], [2, 1, 2], [1, 2, 3]])
def test_a_stack_more_than_one_high_is_searched_without_a_fault(
    stack: list[int], caplog: pytest.LogCaptureFixture
) -> None:
    count = stack[0] * stack[1] * stack[2]
    pile = {"ingots": {"count": count, "each_kg": 6.0}, "mass_kg": None, "bundle": {"stack": stack}}
    pile |= {"size_m": [0.28 * stack[0], 0.09 * stack[1], 0.05 * stack[2]]}
    boat = _boat(pile | {"restraint": [_bed("keel", "oak-white")]})
    with caplog.at_level(logging.ERROR, logger="secure_load"):
        found = remedies(boat.weight[0], make_context(boat, ["rolled-over"]))
    assert found
    assert not caplog.records
    assert not any("No proposal" in r.change for r in found)


def test_remedies_go_into_json_without_their_weight() -> None:
    boat = _boat({"restraint": [_bed("floors", "oak-white")]})
    said = json.loads(_found(boat)[0].model_dump_json())
    assert set(said) == {"change", "work", "minutes", "utilisation", "verdict", "kind"}
    assert isinstance(boat.weight[0].restraint[0], Bed)
