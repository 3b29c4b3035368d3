"""Looking over and fitting out: made from what is aboard, and from nothing that is not."""

from __future__ import annotations

import csv
import datetime
import doctest
import importlib
import io

import pytest

from secure_load.boat.demo import demo_boats
from secure_load.boat.file import parse_boat, read_boat
from secure_load.boat.models import BoatFile, CableTie, Lashing
from secure_load.catalogue.upkeep import checks, checks_for, figure, figures
from secure_load.record.fitting_out import SheetRow, fitting_out
from secure_load.record.inspecting import Checklist, checklist, due, replace_words, tags_of
from secure_load.record.text.checklist_text import checklist_text
from secure_load.record.text.fitting_out_text import sheet_csv, sheet_text

DAY = datetime.date(2031, 4, 5)

TEXT = """\
[boat]
name = "Ruff"

[[weight]]
id = "pigs"
mass_kg = 20.0
at_m = [3.0, 0.0, -0.3]
size_m = [0.40, 0.20, 0.12]
kind = "ballast"

[[weight.restraint]]
id = "bed"
type = "bed"
on = "floors"
pad = { material = "neoprene-60", thickness_mm = 6 }

[[weight.restraint]]
id = "port"
type = "cleat"
face = "port"
timber = "oak-white"
length_mm = 300
height_mm = 40
depth_mm = 35
screws = { gauge = 10, count = 5, penetration_mm = 32, into = "larch", member = "floor", metal = "silicon-bronze" }

[[weight.restraint]]
id = "starboard"
type = "cleat"
face = "starboard"
timber = "oak-white"
length_mm = 300
height_mm = 40
depth_mm = 35
screws = { gauge = 10, count = 5, penetration_mm = 32, into = "larch", member = "floor", metal = "silicon-bronze" }

[[weight.restraint]]
id = "lid"
type = "batten"
timber = "oak-white"
span_mm = 360
width_mm = 60
depth_mm = 25
screws = { kind = "bolt", diameter_mm = 8, count = 4, penetration_mm = 45, metal = "galvanised-steel", washer_mm = 24 }

[[weight.restraint]]
id = "gripe"
type = "strap"
from_m = [3.0, 0.4, -0.24]
to_m = [3.0, -0.4, -0.24]
line = "polyester-webbing-25"
turns = 2
shackle = "bow-8"
anchors = { screws = { gauge = 12, count = 2, penetration_mm = 38, metal = "brass" } }

[[weight.restraint.finding]]
date = 2030-01-02
note = "frayed"
factor = 0.9

[[weight]]
id = "toolbox"
mass_kg = 8.0
at_m = [2.0, 0.0, 0.0]
kind = "tools"

[[weight.restraint]]
type = "lashing"
from_m = [2.0, 0.0, 0.0]
to_m = [2.3, 0.4, 0.0]

[[weight.restraint]]
type = "cable_tie"
tie = "heavy-175"
count = 2
"""


@pytest.fixture
def boat() -> BoatFile:
    return parse_boat(TEXT)


def test_every_check_is_for_something_and_says_who_says_so() -> None:
    assert len({c.id for c in checks()}) == len(checks())
    assert all(c.to and c.name and c.source for c in checks())
    assert all(f.source and f.value > 0 for f in figures().values())
    with pytest.raises(KeyError):
        figure("no such")


def test_each_restraint_gets_the_checks_that_apply(boat: BoatFile) -> None:
    found = checklist(boat, DAY)
    pigs, toolbox = found.weights
    by_id = {r.id: " ".join(r.checks) for r in pigs.restraints}
    assert "pad still there" in by_id["bed"]
    assert "bruised or started" not in by_id["bed"]
    assert "wedges" in by_id["port"]
    assert "does not spin" in by_id["port"]
    assert "pits" not in by_id["port"]
    assert "zinc" in by_id["lid"]
    assert "nuts tight" in by_id["lid"]
    assert "does not spin" not in by_id["lid"]
    assert "chafe" in by_id["gripe"]
    assert "pin home" in by_id["gripe"]
    assert "pink" in by_id["gripe"]  # brass screws in its eyes
    assert "2030-01-02: frayed" in pigs.restraints[4].open_findings[0]
    assert "limber holes" in found.checks[0]
    tied = " ".join(toolbox.restraints[1].checks)
    assert "new ones every year" in tied
    assert "chafe" not in tied
    assert tags_of(boat.weight[0].restraint[2]) == {"cleat", "screws"}
    assert checks_for({"no such thing"}) == []


def test_the_list_on_paper(boat: BoatFile) -> None:
    boat.weight[0].name = "[b]" + "W" * 150
    text = checklist_text(checklist(boat, DAY))
    assert max(map(len, text.splitlines())) <= 78
    flat = " ".join(text.split())
    for weight in checklist(boat, DAY).weights:
        for check in (c for each in (weight, *weight.restraints) for c in each.checks):
            assert flat.count(check) == 1  # what is to be looked at is told once
        for restraint in weight.restraints:
            assert f"{restraint.id}:" in flat or f"{restraint.id}," in flat
    assert "found before: 2030-01-02: frayed" in flat
    assert "inspected_on = 2031-04-05" in text
    assert Checklist.model_validate_json(checklist(boat, DAY).model_dump_json()) == checklist(boat, DAY)


@pytest.mark.parametrize(
    ("last", "every", "hard", "on", "now"),
    [
        (None, None, None, "2031-04-05", True),
        ("2031-04-04", None, None, "2032-04-04", False),
        ("2030-04-05", None, None, "2031-04-05", True),
        ("2031-01-31", 1, None, "2031-02-28", True),
        ("2031-04-04", 6, "2031-04-05", "2031-04-05", True),
        ("2031-04-04", 6, "2031-04-04", "2031-10-04", False),  # looked over the same day
        ("2031-04-06", 6, None, "2031-04-05", True),  # a day to come is a slip
    ],
)
def test_when_it_is_due(
    boat: BoatFile, last: str | None, every: int | None, hard: str | None, on: str, now: bool
) -> None:
    day = datetime.date.fromisoformat
    boat.boat.inspected_on = day(last) if last else None
    boat.boat.inspect_every_months = every
    boat.boat.hard_weather_on = day(hard) if hard else None
    found = due(boat.boat, DAY)
    assert (found.on.isoformat(), found.now) == (on, now)
    assert ("common practice" in found.source) == (every is None)


def row(rows: list[SheetRow], what: str, size: str = "") -> SheetRow:
    (found,) = [r for r in rows if r.what == what and size in r.size]
    return found


def test_what_is_cut_and_bought(boat: BoatFile) -> None:
    rows = fitting_out(boat).rows
    cleats = row(rows, "cleat")
    assert (cleats.list, cleats.count, cleats.size, cleats.material) == ("cut", 2, "300 x 40 x 35 mm", "oak-white")
    assert cleats.uses == ["pigs: port", "pigs: starboard"]
    assert row(rows, "batten").size == "480 x 60 x 25 mm"  # 360 and two landings of 60
    tens = row(rows, "wood screws", "No 10")
    assert (tens.count, tens.buy, tens.size) == (10, 11, "No 10, at least 72 mm under the head")
    assert row(rows, "wood screws", "No 12").count == 4  # two in each of two eyes
    assert row(rows, "eyes").count == 2
    bolts = row(rows, "bolts")
    assert (bolts.count, bolts.buy) == (4, 4)
    assert "through 70 mm" in bolts.size
    assert row(rows, "washers").buy == 5
    assert row(rows, "pads").size == "400 x 200 mm, 800 cm2, 6 mm thick"
    # 0.3 m out on each side at the level of its top, 0.2 m across, twice over, and 1 m for the ends
    assert row(rows, "straps").size == "2.6 m"
    assert row(rows, "lashings").size == "1.5 m"
    assert row(rows, "lashings").material == "not given"
    assert row(rows, "cable ties").count == 2
    assert row(rows, "shackles or turnbuckles").material == "bow-8"
    assert row(rows, "what a line is made fast to").count == 1


def test_the_sheet_on_paper_and_as_a_table(boat: BoatFile) -> None:
    sheet = fitting_out(boat)
    text = " ".join(sheet_text(sheet).split())
    table = list(csv.DictReader(io.StringIO(sheet_csv(sheet))))
    assert len(table) == len(sheet.rows)
    for made, line in zip(sheet.rows, table, strict=True):
        assert made.size in text
        assert line["size"] == made.size
        assert line["count to buy"] == str(made.buy)
    assert "11 (10 and spare) x wood screws" in text
    empty = fitting_out(parse_boat('[boat]\nname = "Empty"\n'))
    assert "Nothing to cut or buy" in sheet_text(empty)


@pytest.mark.parametrize(
    "name", ["fitting_out", "inspecting", "store", "html.builder", "csv_weights", "text.words", "text.text_layout"]
)
def test_examples(name: str) -> None:
    assert doctest.testmod(importlib.import_module(f"secure_load.record.{name}")).failed == 0


def test_what_perishes_is_replaced_by_a_day(boat: BoatFile) -> None:
    tie = CableTie(tie="standard")
    assert replace_words(tie, DAY) == "replace after 1 year: write down when it was fitted (fitted_on)"
    tie = tie.model_copy(update={"fitted_on": datetime.date(2030, 6, 1)})
    assert replace_words(tie, DAY) == "replace by 2031-06-01"
    assert replace_words(tie, datetime.date(2031, 6, 1)) == "replace NOW, due 2031-06-01"
    cord = Lashing(from_m=(0, 0, 0), to_m=(0, 0, 1), line="polyester-3-strand-8", fitted_on=datetime.date(2030, 6, 1))
    assert replace_words(cord, DAY) == "replace by 2035-06-01"
    assert replace_words(cord.model_copy(update={"line": "wire-7x19-4"}), DAY) is None
    assert replace_words(boat.weight[0].restraint[0], DAY) is None


def test_a_boat_of_twelve_weights_is_two_pages() -> None:
    boat = read_boat(next(p for p in demo_boats() if p.stem == "brindlewick"))
    assert len(boat.weight) == 12
    assert len(checklist_text(checklist(boat, DAY)).splitlines()) <= 2 * 66  # lines on A4 at 10 points
