"""What would mend it: every promise is kept by a full check, and every piece can be built."""

from __future__ import annotations

import json
from typing import Any

import pytest

from secure_load.boat.models import Batten, Bed, BoatFile, CableTie, Cleat, Strap, Weight, restraint_ids
from secure_load.check.check import check_weight
from secure_load.check.context import CheckContext, make_context
from secure_load.check.results import WeightVerdict
from secure_load.model.rules.corrosion import corrosion_warnings
from secure_load.remedies import Remedy, remedies
from secure_load.remedies.screw_layout import LONGEST_MM, at_an_end, diameter, row_of_screws
from secure_load.solver.cancellation import Cancelled

COACH = {
    "kind": "coach-screw",
    "diameter_mm": 8,
    "penetration_mm": 50,
    "into": "oak-white",
    "member": "keel",
    "metal": "galvanised-steel",
    "washer_mm": 24,
}

THIN = {
    "kind": "wood-screw",
    "gauge": 6,
    "count": 2,
    "penetration_mm": 25,
    "into": "oak-white",
    "member": "keel",
    "metal": "brass",
}


def _cleats(long: float, short: float, count: int = 4, **more: Any) -> list[dict[str, Any]]:
    sizes = {"port": long, "starboard": long, "fore": short, "aft": short}
    return [
        {
            "type": "cleat",
            "face": face,
            "timber": "oak-white",
            "length_mm": length,
            "height_mm": 40,
            "depth_mm": 65,
            "screws": COACH | {"count": count if length == long else 3},
        }
        | more
        for face, length in sizes.items()
    ]


BATTEN = {
    "type": "batten",
    "timber": "oak-white",
    "span_mm": 320,
    "width_mm": 60,
    "depth_mm": 32,
    "screws": COACH | {"count": 4, "penetration_mm": 60},
}
BED = {"type": "bed", "on": "floors", "friction": 0.2}


def _boat(*weights: dict[str, Any]) -> BoatFile:
    base = {"at_m": [3.0, 0.0, -0.32], "size_m": [0.42, 0.20, 0.12], "measured": True}
    return BoatFile.model_validate(
        {
            "schema": 1,
            "boat": {
                "name": "Teal",
                "lwl_m": 6.4,
                "bwl_m": 2.05,
                "displacement_kg": 2150,
                "planking": {"timber": "larch", "thickness_mm": 19, "frame_spacing_mm": 190},
            },
            "weight": [base | w for w in weights],
        }
    )


PIGS = {"id": "pigs", "kind": "ballast", "mass_kg": 48.0}
CASES: dict[str, dict[str, Any]] = {
    "no batten": PIGS | {"restraint": [BED, *_cleats(300, 180)]},
    "cleats a little weak": PIGS | {"mass_kg": 53.0, "restraint": [BED, *_cleats(380, 200), BATTEN]},
    "ties only": PIGS
    | {"mass_kg": 12.0, "restraint": [BED | {"timber": "oak-white"}, {"type": "cable_tie", "count": 4}]},
    "battery in thin cleats": PIGS
    | {
        "kind": "battery",
        "mass_kg": 40.0,
        "size_m": [0.3, 0.17, 0.2],
        "restraint": [
            BED,
            *_cleats(240, 150, height_mm=30, depth_mm=25, screws=THIN),
            BATTEN | {"span_mm": 290},
        ],
    },
    "gas bottle under a strap": PIGS
    | {
        "kind": "gas",
        "mass_kg": 11.0,
        "size_m": [0.3, 0.3, 0.5],
        "restraint": [
            BED,
            {"type": "strap", "from_m": [3.0, 0.3, -0.5], "to_m": [3.0, -0.3, -0.5], "line": "polyester-webbing-25"}
            | {"anchors": {"kind": "eye", "screws": COACH | {"count": 2}}},
        ],
    },
    "on the planking": PIGS | {"mass_kg": 12.0, "restraint": [BED | {"on": "planking"}, *_cleats(300, 180), BATTEN]},
}


class Mended:
    """One case, searched once for all the tests that ask about it."""

    def __init__(self, case: dict[str, Any]) -> None:
        self.boat = _boat(case)
        self.run: CheckContext = make_context(self.boat)
        self.weight: Weight = self.boat.weight[0]
        self.now: WeightVerdict = check_weight(self.weight, self.run)
        self.found: list[Remedy] = remedies(self.weight, self.run, self.now)


@pytest.fixture(scope="module")
def mended() -> Any:
    done: dict[str, Mended] = {}

    def of(name: str) -> Mended:
        if name not in done:
            done[name] = Mended(CASES[name])
        return done[name]

    return of


def built(weight: Weight) -> Weight:
    """The weight with everything that was proposed fitted and ticked off."""
    bundle = weight.bundle
    if bundle is not None:
        ties = [tie.model_copy(update={"proposed": False}) for tie in bundle.ties]
        bundle = bundle.model_copy(update={"ties": ties})
    pieces = [r.model_copy(update={"proposed": False}) for r in weight.restraint]
    return weight.model_copy(update={"restraint": pieces, "bundle": bundle})


@pytest.mark.parametrize("name", CASES)
def test_every_case_is_short_of_green_and_is_brought_to_green(name: str, mended: Any) -> None:
    case = mended(name)
    assert case.now.verdict != "green"
    assert case.found
    assert all(r.verdict == "green" for r in case.found)


@pytest.mark.parametrize("name", CASES)
def test_a_promise_is_what_the_check_says_of_the_boat_with_the_change_made(name: str, mended: Any) -> None:
    case = mended(name)
    for remedy in case.found:
        assert remedy.weight is not None
        changed = case.boat.model_copy(update={"weight": [remedy.weight]})
        # through the file's own validation, as the screen and the disk would take it
        again = BoatFile.model_validate(json.loads(changed.model_dump_json(by_alias=True, exclude_none=True)))
        verdict = check_weight(again.weight[0], make_context(again))
        # until it is built nothing but that keeps it from green
        assert verdict.verdict == "amber"
        assert [each for each in verdict.reasons if not each.startswith("proposed, not built: ")] == []
        verdict = check_weight(built(again.weight[0]), make_context(again))
        assert verdict.verdict == remedy.verdict
        assert verdict.utilisation == pytest.approx(remedy.utilisation, abs=1e-6)


@pytest.mark.parametrize("name", CASES)
def test_the_least_work_comes_first_and_no_two_are_alike(name: str, mended: Any) -> None:
    found = mended(name).found
    assert [r.minutes for r in found] == sorted(r.minutes for r in found)
    assert all(r.minutes > 0 and r.work for r in found)
    assert len({r.change for r in found}) == len(found)
    assert len(found) <= 4


@pytest.mark.parametrize("name", CASES)
def test_what_is_proposed_can_be_built(name: str, mended: Any) -> None:
    case = mended(name)
    before = dict(zip(restraint_ids(case.weight), case.weight.restraint, strict=True))
    for remedy in case.found:
        assert remedy.weight is not None
        names = restraint_ids(remedy.weight)
        assert len(set(names)) == len(names)
        for name_, piece in zip(names, remedy.weight.restraint, strict=True):
            if before.get(name_) == piece:
                continue
            _can_be_built(remedy.weight, piece)


def _can_be_built(weight: Weight, piece: Any) -> None:
    size = weight.size_m or (10.0, 10.0, 10.0)
    if isinstance(piece, Cleat | Batten):
        screws = piece.screws
        assert screws is not None
        assert screws.penetration_mm is not None
        assert screws.penetration_mm <= 60.0
    if isinstance(piece, Cleat):
        side = size[0 if piece.face in ("port", "starboard") else 1] * 1000
        assert piece.length_mm is not None
        assert piece.height_mm is not None
        assert piece.length_mm <= side + 0.5
        assert piece.height_mm <= size[2] * 1000
        assert 2 <= screws.count <= row_of_screws(piece.length_mm, diameter(screws))
        assert piece.height_mm + screws.penetration_mm <= LONGEST_MM[screws.kind]
        assert piece.timber
    if isinstance(piece, Batten):
        assert screws.count >= 4
        assert screws.count <= 2 * at_an_end(piece.width_mm or 0.0, diameter(screws))
        across = size[1 if piece.along == "athwartships" else 0] * 1000
        assert piece.span_mm is not None
        assert piece.span_mm > min(across, 9000.0) or weight.size_m is None
    if isinstance(piece, Strap):
        for end in (piece.from_m, piece.to_m):
            clear = [abs(end[i] - weight.at_m[i]) > 0.5 * size[i] for i in (0, 1)]
            assert any(clear) or weight.size_m is None


def _held_down(weight: Weight) -> set[str]:
    return {r.type for r in weight.restraint if isinstance(r, Batten | Strap)}


def test_pigs_without_a_batten_are_offered_one(mended: Any) -> None:
    case = mended("no batten")
    assert case.now.free_to_move
    assert any("batten" in _held_down(r.weight) for r in case.found)
    assert all(_held_down(r.weight) for r in case.found)


def test_cleats_a_little_weak_are_given_more_screws_first(mended: Any) -> None:
    case = mended("cleats a little weak")
    first = case.found[0]
    assert first.change.startswith("Screw port-cleat and starboard-cleat down with ")
    assert _bare(built(first.weight)) == _bare(case.weight)
    assert first.weight != case.weight


def _bare(weight: Weight) -> list[Any]:
    return [r.model_copy(update={"screws": None}) if hasattr(r, "screws") else r for r in weight.restraint]


def test_ties_give_way_to_something_that_is_rated(mended: Any) -> None:
    for remedy in mended("ties only").found:
        assert not any(isinstance(r, CableTie) for r in remedy.weight.restraint)
        assert {r.face for r in remedy.weight.restraint if isinstance(r, Cleat)} == {"port", "starboard", "fore", "aft"}
        assert _held_down(remedy.weight)
        assert "take off cable_tie" in remedy.change


def test_a_gas_bottle_is_stopped_on_every_side_and_gets_no_batten_on_its_valve(mended: Any) -> None:
    for remedy in mended("gas bottle under a strap").found:
        assert not any(isinstance(r, Batten) for r in remedy.weight.restraint)
        assert {r.face for r in remedy.weight.restraint if isinstance(r, Cleat)} == {"port", "starboard", "fore", "aft"}


def test_a_weight_on_the_planking_is_carried_on_floors(mended: Any) -> None:
    for remedy in mended("on the planking").found:
        # its screws say that there is a keel under it
        assert [r.on for r in remedy.weight.restraint if isinstance(r, Bed)] == ["keel"]
        assert "on bearers across the keel, not on the planking" in remedy.change


def test_a_size_that_nobody_gave_is_to_be_measured_before_anything_is_proposed() -> None:
    boat = _boat({"id": "bare", "mass_kg": 12.0, "size_m": None})
    (only,) = remedies(boat.weight[0], make_context(boat))
    assert (only.kind, only.weight, only.verdict) == ("measure", None, "red")
    assert only.change.startswith("Measure how long, broad and high 'bare' is")


def test_a_green_weight_gets_none() -> None:
    boat = _boat(PIGS | {"mass_kg": 12.0, "restraint": [BED, *_cleats(300, 180), BATTEN]})
    run = make_context(boat)
    assert check_weight(boat.weight[0], run).verdict == "green"
    assert remedies(boat.weight[0], run) == []


def test_where_only_a_figure_is_wanting_measuring_it_comes_first() -> None:
    unnamed = {k: v for k, v in COACH.items() if k != "metal"}
    blocks = [c | {"screws": unnamed | {"count": 3}} for c in _cleats(300, 180)]
    boat = _boat(PIGS | {"mass_kg": 12.0, "restraint": [BED, *blocks, BATTEN]})
    run = make_context(boat)
    assert check_weight(boat.weight[0], run).verdict == "amber"
    first, *others = remedies(boat.weight[0], run)
    assert (first.kind, first.weight, first.verdict) == ("measure", None, "green")
    assert "port-cleat, starboard-cleat, fore-cleat, aft-cleat: the metal of its screws" in first.change
    assert others
    # what the program itself proposes leaves no metal unknown
    for remedy in others:
        assert remedy.weight is not None
        assert all(r.screws.metal for r in remedy.weight.restraint if isinstance(r, Cleat) and r.screws)


@pytest.mark.long
def test_what_cannot_be_mended_says_so_and_what_was_tried() -> None:
    boat = _boat({"id": "monster", "mass_kg": 3000.0, "restraint": [BED]})
    found = remedies(boat.weight[0], make_context(boat))
    assert found
    assert found[-1].kind == "none"
    assert found[-1].verdict == "red"
    assert found[-1].weight is None
    assert "cleats on the open sides" in found[-1].change
    assert "Stow less there" in found[-1].change


@pytest.mark.long
def test_what_cannot_be_made_sound_is_shown_at_its_best() -> None:
    boat = _boat({"id": "engine", "kind": "engine", "mass_kg": 150.0, "size_m": [0.7, 0.4, 0.5], "restraint": [BED]})
    *best, last = remedies(boat.weight[0], make_context(boat))
    assert best
    assert {r.verdict for r in best} == {"amber"}
    assert last.kind == "none"
    assert "the first above is the best of it" in last.change


def test_a_weight_that_leans_on_another_is_told_of_it() -> None:
    lone = {"mass_kg": 20.0, "restraint": [BED, {"type": "neighbour", "face": "starboard", "weight": "right"}]}
    boat = _boat(
        {"id": "left", **lone},
        {"id": "right", "at_m": [3.0, -0.2, -0.32], "mass_kg": 20.0, "restraint": [BED]},
    )
    found = remedies(boat.weight[0], make_context(boat))
    assert found[-1].kind == "none"
    assert "It leans on 'right'" in found[-1].change


def test_it_stops_when_told_to() -> None:
    boat = _boat(CASES["no batten"])
    asked: list[int] = []

    def cancelled() -> bool:
        asked.append(1)
        return len(asked) > 3

    with pytest.raises(Cancelled):
        remedies(boat.weight[0], make_context(boat), cancelled=cancelled)
    assert len(asked) == 4


def test_the_changed_weight_is_kept_out_of_json(mended: Any) -> None:
    remedy = mended("no batten").found[0]
    assert remedy.weight is not None
    assert set(json.loads(remedy.model_dump_json())) == {"change", "work", "minutes", "utilisation", "verdict", "kind"}


def test_fewer_are_returned_where_fewer_are_asked_for(mended: Any) -> None:
    case = mended("no batten")
    (only,) = remedies(case.weight, case.run, case.now, limit=1)
    assert only.minutes == case.found[0].minutes


def test_the_boat_itself_is_left_as_it_was() -> None:
    boat = _boat(CASES["ties only"])
    before = boat.model_dump_json()
    assert remedies(boat.weight[0], make_context(boat))
    assert boat.model_dump_json() == before


def test_distances_of_screws_in_a_row() -> None:
    # evenly spread, 8 mm: 4 diameters from the ends; No 8 (4.17 mm): 5 from the ends, 10 apart (NDS-2018 12.5.1)
    assert row_of_screws(63.9, 8.0) == 0
    assert row_of_screws(64.1, 8.0) == 1
    assert row_of_screws(128.1, 8.0) == 2
    assert row_of_screws(20 * 4.17 - 0.1, 4.17) == 1
    assert row_of_screws(20 * 4.17 + 0.1, 4.17) == 2
    # across the end of a batten: 4 diameters apart
    assert at_an_end(63.9, 8.0) == 1
    assert at_an_end(64.1, 8.0) == 2


@pytest.mark.parametrize("name", CASES)
def test_the_check_warns_of_nothing_that_is_proposed(name: str, mended: Any) -> None:
    case = mended(name)
    before = dict(zip(restraint_ids(case.weight), case.weight.restraint, strict=True))
    for remedy in case.found:
        assert remedy.weight is not None
        after = dict(zip(restraint_ids(remedy.weight), remedy.weight.restraint, strict=True))
        wasting = {each.partition(": ")[2] for each in corrosion_warnings(remedy.weight)}
        for warning in check_weight(remedy.weight, case.run).warnings:
            for each in warning.partition(": ")[0].split(", "):
                if warning.partition(": ")[2] not in wasting:
                    assert each not in after or before.get(each) == after[each], warning
