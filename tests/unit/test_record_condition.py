"""The condition a record was made in, and clauses: met, not met or not asked, and never a word more."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from secure_load.boat.demo import demo_boats
from secure_load.boat.file import parse_boat, read_document
from secure_load.boat.models import BoatFile
from secure_load.boat.render import render_boat
from secure_load.check.check import check_boat
from secure_load.check.results import BoatVerdict, Colour
from secure_load.record.condition import clause_rows, clauses, condition_rows
from secure_load.record.html.page import record_html
from secure_load.record.model import record_from_json, record_json, snapshot_of, stowage_record
from secure_load.record.snapshot import snapshot
from secure_load.record.text.record_text import record_text

DAY = datetime.date(2031, 4, 5)


def boat(*weights: dict[str, Any], **more: Any) -> BoatFile:
    for number, weight in enumerate(weights):
        weight.setdefault("id", f"w{number}")
        weight.setdefault("mass_kg", 10.0)
        weight.setdefault("at_m", [2.0 + number, 0.0, 0.0])
    return BoatFile.model_validate({"boat": {"name": "Ruff"}, "weight": list(weights), **more})


def coloured(found: BoatVerdict, colour: Colour) -> BoatVerdict:
    """The verdict as if every weight were of one colour in every scenario."""
    weights = [
        w.model_copy(
            update={"verdict": colour, "scenarios": [s.model_copy(update={"verdict": colour}) for s in w.scenarios]}
        )
        for w in found.weights
    ]
    return found.model_copy(update={"weights": weights})


def states(of: BoatFile, verdict: BoatVerdict) -> list[str]:
    return [state for _, state, _ in clause_rows(of, verdict)]


def test_a_clause_is_met_only_by_what_is_green_in_all_that_shows_it() -> None:
    bed = [{"type": "bed"}]
    whole = boat({"kind": "battery", "restraint": bed}, {"kind": "ballast", "restraint": bed})
    found = check_boat(whole)
    assert states(whole, found) == ["not met"] * 3
    assert states(whole, coloured(found, "green")) == ["met"] * 3
    assert states(whole, coloured(found, "amber")) == ["not met"] * 3
    only = check_boat(whole, ["rail-down"])
    assert states(whole, coloured(only, "green")) == ["not asked", "not asked", "met"]


def test_what_is_not_aboard_is_not_asked_and_what_is_of_no_kind_is_not_met() -> None:
    stores = boat({"kind": "stores", "float_only": True})
    assert states(stores, check_boat(stores)) == ["not asked"] * 3
    blank = boat({})
    assert states(blank, coloured(check_boat(blank), "green"))[1:] == ["not met"] * 2


def test_no_record_says_that_she_complies() -> None:
    whole = boat({"kind": "stores"})
    text = record_text(snapshot(whole, check_boat(whole), DAY))
    assert "complies" not in text.lower()
    assert all(clause.source for clause in clauses())


def test_the_condition_says_who_weighed_water_freeboards_tanks_crew_and_file() -> None:
    tank = {"kind": "tank", "name": "Water", "tank": {"fill": 0.5, "size_m": [1, 0.5, 0.3]}}
    read = {"stem_m": 0.9, "stern_m": 0.7, "port_m": 0.61, "starboard_m": 0.6}
    whole = boat(
        {"kind": "ballast", "measured": True},
        tank,
        {"kind": "other", "name": "Crew", "mass_kg": 75.0, "float_only": True},
        float={"water": "fresh-water", "freeboards": read},
    )
    whole.boat.weighed = "the yard, crane scale"
    said = dict(condition_rows(snapshot(whole, check_boat(whole), DAY, sha256="ab" * 32)))
    assert said["Weighed"] == "1 of 3 weights; by whom, on what: the yard, crane scale"
    assert "kg/m3" in said["Water"]
    assert "assumed" not in said["Water"]
    assert said["Freeboards"] == "stem 0.900 m, stern 0.700 m, port 0.610 m, stbd 0.600 m; with these weights"
    assert said["Tanks"] == "Water 50% full"
    assert "Crew 75" in said["Crew, stores"]
    assert said["File SHA-256"].replace(" ", "") == "ab" * 32
    bare = dict(condition_rows(snapshot(boat(), check_boat(boat()), DAY)))
    assert bare["Freeboards"] == "not written down"


@pytest.mark.long
@pytest.mark.parametrize("name", ["tansy_pod"])
def test_a_record_rebuilt_from_its_file_is_the_same_to_the_byte_but_for_the_date(name: str) -> None:
    document = read_document(next(p for p in demo_boats() if p.stem == name))
    verdict = check_boat(document.boat)
    made = stowage_record(snapshot(document.boat, verdict, DAY, document.path.name, "A. B.", None, "0"))
    kept = record_from_json(record_json(made))
    again_boat = parse_boat(render_boat(kept.boat_file))
    later = datetime.date(2032, 5, 6)
    again = stowage_record(snapshot(again_boat, check_boat(again_boat), later, kept.file, kept.by, None, kept.sha256))
    assert record_json(again).replace("2032-05-06", "2031-04-05") == record_json(made)
    for full in (False, True):
        assert record_html(again, full).replace("2032-05-06", "2031-04-05") == record_html(made, full)
        text = record_text(snapshot_of(again), full).replace("2032-05-06", "2031-04-05")
        assert text == record_text(snapshot_of(made), full)
