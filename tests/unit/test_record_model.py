"""The record as data, as a page and as a table: nothing in it acts, all of it is there, and its schema is published."""

from __future__ import annotations

import csv
import datetime
import io
import json
from functools import cache
from html.parser import HTMLParser
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from secure_load.boat.demo import demo_boats
from secure_load.boat.file import parse_boat
from secure_load.boat.models import BoatFile
from secure_load.check.check import check_boat
from secure_load.check.results import BoatVerdict, verdict_schema_text
from secure_load.cli.main import main
from secure_load.record.csv_weights import weights_csv
from secure_load.record.html import builder as markup
from secure_load.record.html import weight_page as html_weight
from secure_load.record.html.builder import VOID, el, listed
from secure_load.record.html.page import record_html
from secure_load.record.model import (
    SCHEMA_FILE,
    StowageRecord,
    record_from_json,
    record_json,
    record_schema_text,
    stowage_record,
)
from secure_load.record.snapshot import snapshot
from secure_load.record.text.record_text import record_text

DAY = datetime.date(2031, 4, 5)
HOSTILE = "<script>alert('x')</script> & \"quoted\" </td>"
TURNED = "שלום <b>"

TEXT = """\
schema = 1
[boat]
name = @NAME@
rig = "gaff cutter"
photos = ["a<i>.jpg"]
lwl_m = 6.0
bwl_m = 2.0

[[weight]]
id = "pigs"
name = @OTHER@
kind = "ballast"
ingots = { count = 2, each_kg = 10.0 }
at_m = [3.0, 0.0, -0.3]
size_m = [0.40, 0.20, 0.12]
photos = ["pigs & cleats.jpg"]

[[weight.restraint]]
id = "bed<br>"
type = "bed"
friction = 0.2

[[weight.restraint]]
type = "bond"
adhesive = "</style><script>"
strength_N = 900

[[weight.restraint.finding]]
date = 2031-04-05
note = "lifted <u>edge</u>"
factor = 0.5

[[weight]]
id = "kedge"
mass_kg = 9.5
at_m = [5.2, 0.4, 0.1]

[[scenario]]
id = "hers"
name = "Her <em>worst</em>"
heel_deg = { from = 0, to = 100, step = 20 }
"""


@cache
def found() -> tuple[BoatFile, BoatVerdict]:
    text = TEXT.replace("@NAME@", json.dumps(HOSTILE)).replace("@OTHER@", json.dumps(TURNED, ensure_ascii=False))
    boat = parse_boat(text)
    return boat, check_boat(boat, ["hers"])


def record(by: str | None = "A. <b>Wright") -> StowageRecord:
    return stowage_record(snapshot(*found(), DAY, "x.toml", by))


class Page(HTMLParser):
    """What a page is made of; stops at the first element that is closed out of turn."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.names: set[str] = set()
        self.about: list[tuple[str, str]] = []
        self.words = ""
        self.ids: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == [], self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.add(tag)
        for key, value in attrs:
            assert value is not None
            self.about.append((key, value))
            if key == "id":
                self.ids.append(value)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words += data


def test_the_page_is_well_formed_and_stands_alone() -> None:
    text = record_html(record())
    page = Page(text)
    assert text.startswith("<!DOCTYPE html>\n<html")
    assert not page.names & {"script", "link", "iframe", "object", "img", "base", "form"}
    assert not any(key.startswith("on") or key in ("src", "href", "style") for key, _ in page.about)
    assert not any("http" in value for key, value in page.about if key != "xmlns")
    assert "@import" not in text
    assert "url(http" not in text
    assert len(page.ids) == len(set(page.ids))
    assert text.count("<svg") == 2 + 2 * 2  # the plan, the worst section, and two sections of each weight
    assert page.words.count("Stowage record") == 2  # title and heading


def test_what_a_file_says_is_shown_and_never_obeyed() -> None:
    page = Page(record_html(record()))
    for words in (HOSTILE, TURNED, "a<i>.jpg", "pigs & cleats.jpg", "bed<br>", "lifted <u>edge</u>", "A. <b>Wright"):
        assert words in page.words, words
    assert "</style><script>" in page.words
    assert "Her <em>worst</em>" in page.words
    assert not page.names & {"script", "i", "u", "b", "em", "br"}
    assert "\x1b" not in markup.text("\x1b[31m\u202e")
    assert markup.text("\x1b[31m\u202e") == "\\x1b[31m\\u202e"
    assert el("p", "a", el("b", "<"), class_='x"y') == '<p class="x&quot;y">a<b>&lt;</b></p>'
    assert listed([]) == ""


def test_all_of_the_record_is_on_the_page_and_in_the_text() -> None:
    verdict = found()[1].weights[0]
    said = record()
    page = " ".join(Page(record_html(said, full=True)).words.split())
    text = " ".join(record_text(snapshot(*found(), DAY, "x.toml", "A. <b>Wright"), full=True).split())
    for both in (page, text):
        for needed in (
            "2031-04-05",
            said.weights[0].position,
            said.weights[0].mass,
            *(r.words for r in said.weights[0].restraints),
            *verdict.reasons,
            *verdict.assumptions,
            *verdict.warnings,
            *(f.sentence for f in verdict.order_of_failure),
            *(b.sentence for b in verdict.bearing),
            *found()[1].cautions,
            "50 % of its strength counted on",
            "Checked aboard by",
            "lifted <u>edge</u>",
        ):
            assert " ".join(needed.split()) in both, needed
    assert verdict.assumptions  # or the line above says nothing


def test_the_same_bytes_for_the_same_boat_and_day() -> None:
    assert record_html(record()) == record_html(record())
    assert record_json(record()) == record_json(record())
    later = stowage_record(snapshot(*found(), DAY + datetime.timedelta(days=1), "x.toml", "A. <b>Wright"))
    assert record_html(later) != record_html(record())
    assert "\r" not in record_html(record())


def test_a_record_is_read_back_as_it_was_written() -> None:
    text = record_json(record(by=None))
    assert record_from_json(text) == record(by=None)
    assert json.loads(text)["boat_file"]["weight"][0]["name"] == TURNED
    with pytest.raises(ValueError, match="version"):
        record_from_json(text.replace('"version": 1', '"version": 2'))
    with pytest.raises(ValueError, match="extra"):
        record_from_json(text.replace('"version": 1', '"version": 1, "more": 1'))


def test_the_published_schema_is_that_of_the_models() -> None:
    """To publish it anew: write ``record_schema_text()`` into the file."""
    published = resources.files("secure_load.record").joinpath(SCHEMA_FILE).read_text(encoding="utf-8")
    assert published == record_schema_text()


def test_a_record_keeps_to_its_schema() -> None:
    schema = json.loads(record_schema_text())
    fits(json.loads(record_json(record())), schema, schema, "record")
    wrong = json.loads(record_json(record())) | {"program": 7}
    with pytest.raises(AssertionError, match="program"):
        fits(wrong, schema, schema, "record")


def fits(value: Any, part: dict[str, Any], schema: dict[str, Any], where: str) -> None:
    """Keys and kinds of a value against a schema: as much of the standard as these models use."""
    if "$ref" in part:
        fits(value, schema["$defs"][part["$ref"].rsplit("/", 1)[1]], schema, where)
        return
    options = part.get("anyOf", part.get("oneOf"))
    if options is not None:
        for option in options:
            try:
                fits(value, option, schema, where)
            except AssertionError:
                continue
            return
        raise AssertionError(f"{where}: none of {len(options)} fits")
    if "const" in part:
        assert value == part["const"], where
    if "enum" in part:
        assert value in part["enum"], where
    kinds = {"object": dict, "array": list, "string": str, "integer": int, "number": (int, float), "boolean": bool}
    kind = part.get("type")
    if kind == "null":
        assert value is None, where
    elif kind is not None:
        assert isinstance(value, kinds[kind]), f"{where}: {value!r} is no {kind}"
    if kind == "object" and "properties" in part:
        assert set(part.get("required", [])) <= set(value), f"{where}: {set(part['required']) - set(value)}"
        for key, each in value.items():
            assert key in part["properties"], f"{where}.{key}"
            fits(each, part["properties"][key], schema, f"{where}.{key}")
    if kind == "array":
        for place, each in enumerate(value):
            items = part.get("prefixItems", [])
            inside = items[place] if place < len(items) else part.get("items")
            if isinstance(inside, dict):
                fits(each, inside, schema, f"{where}[{place}]")


def test_a_table_in_a_record_sets_off_no_sums() -> None:
    boat = parse_boat(TEXT.replace("@NAME@", '"x"').replace("@OTHER@", '"=1+1"'))
    rows = list(csv.reader(io.StringIO(weights_csv(boat))))
    assert rows[0][3] == "mass [kg]"
    assert rows[1][:6] == ["pigs", "'=1+1", "ballast", "20.0", "2", "10.0"]
    assert rows[2][0] == "kedge"
    assert rows[2][9:12] == ["", "", ""]


def test_what_governs_goes_first_on_the_page() -> None:
    said = html_weight.verdict_mark("red")
    assert said == '<span class="verdict red">R fails</span>'
    boat, verdict = found()
    page = Page(record_html(record())).words
    weight = verdict.weights[0]
    first = weight.first_to_go
    if first is not None:
        place = page.index("Governing figures")
        ids = [r.id for r in weight.restraints if r.parts]
        nearest = min(ids, key=lambda i: page.index(i, place))
        assert nearest == first.restraint
    assert boat.weight[0].id == weight.id


def test_the_published_schema_of_a_check_is_that_of_the_models() -> None:
    """To publish it anew: write ``verdict_schema_text()`` into the file."""
    published = resources.files("secure_load.check").joinpath("check.schema.json").read_text(encoding="utf-8")
    assert published == verdict_schema_text()


def test_what_check_prints_as_json_keeps_to_its_schema(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    schema = json.loads(verdict_schema_text())
    demo = next(path for path in demo_boats() if path.stem == "brindlewick")
    main(["check", str(demo), "--json", "--scenario", "rail-down", "--scenario", "battery-pull"])
    printed = json.loads(capsys.readouterr().out)
    assert printed["version"] == 1
    fits(printed, schema, schema, "check")
    with pytest.raises(AssertionError, match="verdict"):
        fits(printed | {"verdict": "blue"}, schema, schema, "check")
