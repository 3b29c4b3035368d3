"""The stowage record: every thing a second person needs is in it, and no record is ever lost."""

from __future__ import annotations

import datetime
import doctest
import importlib
import os
import threading
from pathlib import Path

import pytest

from secure_load.boat.file import parse_boat
from secure_load.boat.models import BoatFile
from secure_load.check.results import (
    BoatVerdict,
    Colour,
    FirstToGo,
    HoldsG,
    HoldsToHeel,
    IfLoose,
    Instant,
    PartFigure,
    RestraintVerdict,
    ScenarioRun,
    ScenarioVerdict,
    WeightVerdict,
)
from secure_load.loads.scenarios import builtin_scenarios
from secure_load.record import store
from secure_load.record.snapshot import snapshot
from secure_load.record.store import CannotWrite, slug, write_record
from secure_load.record.text.record_text import record_text
from secure_load.record.text.text_layout import labelled, labelled_list, plain, wrapped
from secure_load.record.text.words import percent, scenario_figures, tally
from tests.boats import head, larch

DAY = datetime.datetime(2031, 4, 5, 6, 7, 8, tzinfo=datetime.UTC)

HEAD = head("Turnstone", rig="gunter sloop", lwl_m=5.50, bwl_m=1.80, displacement_kg=1200, planking=larch(16, 170))
TOML = (
    HEAD
    + """
[[weight]]
id = "pigs"
name = "Pigs under the [b]sole[/b]"
kind = "ballast"
ingots = { count = 4, each_kg = 12.5 }
at_m = [3.60, 0.00, -0.32]
size_m = [0.42, 0.20, 0.12]
measured = true

[[weight.restraint]]
id = "bed"
type = "bed"
on = "floors"
timber = "oak-white"
pad = { material = "neoprene-60", thickness_mm = 6 }
friction = "rubber-timber"

[[weight.restraint]]
id = "port-cleat"
type = "cleat"
face = "port"
timber = "oak-white"
length_mm = 300
height_mm = 40
depth_mm = 35
screws = { gauge = 10, count = 3, penetration_mm = 32, into = "larch", member = "floor", metal = "silicon-bronze" }

[[weight.restraint]]
id = "hold-down"
type = "batten"
along = "fore-and-aft"
timber = "oak-white"
span_mm = 360
width_mm = 60
depth_mm = 25
screws = { kind="coach-screw", diameter_mm=8, count=4, penetration_mm=45, into="oak-white", member="keel", metal="A4" }

[[weight.restraint]]
id = "gripe"
type = "lashing"
from_m = [3.60, 0.10, -0.26]
to_m = [3.60, 0.35, -0.30]
line = "polyester-3-strand-8"
turns = 3
termination = "eye-splice"
tension_N = 150
[weight.restraint.anchors]
kind = "eye"
screws = { gauge = 12, count = 2, penetration_mm = 38, into = "larch", member = "floor", metal = "silicon-bronze" }

[[weight]]
id = "gas"
kind = "gas"
mass_kg = 6
at_m = [-0.20, -0.50, 0.30]

[[weight.restraint]]
type = "strap"
from_m = [0, -0.3, 0.2]
to_m = [0, -0.7, 0.2]
strength_N = 1500

[[scenario]]
id = "hers"
name = "Her own worst"
heel_deg = { from = 0, to = 110, step = 2 }
load_factor = [1.0, 2.5]
pitch_deg = [-5, 5]
"""
)

WHY = ["Wood screw No 10 in larch", "3 of them: 1402 N sheared, 3084 N drawn"]


def made_weight(name: str, colour: Colour, title: str, free: bool = False) -> WeightVerdict:
    """A verdict written by hand: what the record does with figures does not hang on what they are."""
    restraints = [
        RestraintVerdict(
            id="port-cleat",
            type="cleat",
            utilisation=0.9267,
            part="screws",
            demand_N=1889.9,
            strength_N=2039.3,
            basis="NDS-2018 allowable, ten minutes",
            parts=[
                PartFigure(part="screws", demand_N=1889.9, strength_N=2039.3, utilisation=0.9267, basis="NDS", why=WHY),
                PartFigure(part="timber", demand_N=9, strength_N=90, utilisation=0.1, basis="WH", why=["not this"]),
            ],
        ),
        RestraintVerdict(
            id="odd",
            type="bolt",
            utilisation=1e9,
            part="bolts",
            demand_N=77.0,
            strength_N=None,
            basis="none",
            assumed=True,
            parts=[PartFigure(part="bolts", demand_N=77.0, strength_N=None, utilisation=1e9, basis="none")],
        ),
    ]
    return WeightVerdict(
        id=name,
        name=title,
        kind="ballast",
        mass_kg=50.0 if name == "pigs" else 6.0,
        verdict=colour,
        reasons=["a reason in words"],
        utilisation=None if free else 0.9267,
        free_to_move=free,
        moves="slides to port" if free else None,
        worst=Instant(scenario="hers", heel_deg=-97.0, pitch_deg=-5.0, load_factor=2.5, demand_N=(0.0, 300.0, -400.0)),
        first_to_go=FirstToGo(
            restraint="port-cleat", part="screws", demand_N=1889.9, strength_N=2039.3, basis="NDS-2018 allowable"
        ),
        restraints=restraints if name == "pigs" else [],
        second_path=False,
        holds_to_heel_deg=HoldsToHeel(port=96.0, starboard=None),
        holds_g=HoldsG(
            down=None, up=6.1, port=2.8, starboard=1.4, fore=0.5, aft=0.5, weakest=0.4, weakest_direction="forward"
        ),
        if_loose=IfLoose(fall_m=0.93, energy_J=435.0, plank_absorbs_J=31.0 if name == "pigs" else None),
        scenarios=[
            ScenarioVerdict(scenario="hers", verdict=colour, utilisation=0.93, free_to_move=False, heel_deg=-97.0)
        ],
        assumptions=["gripe: an assumption still open"],
        warnings=["port-cleat: a thing to look at"],
    )


@pytest.fixture
def boat() -> BoatFile:
    return parse_boat(TOML)


@pytest.fixture
def verdict() -> BoatVerdict:
    return BoatVerdict(
        boat="Turnstone",
        scenarios=[
            ScenarioRun(
                id="hers", name="Her own worst", why="w", source="the owner's own", instants=900, verdict="red"
            ),
            ScenarioRun(
                id="battery-pull", name="Battery pulled", why="w", source="ISO 10133", instants=0, verdict="green"
            ),
        ],
        verdict="red",
        cautions=["Indicative only: a caution.", "Rot is not seen here."],
        weights=[made_weight("pigs", "amber", "Pigs under the [b]sole[/b]"), made_weight("gas", "red", "gas", True)],
        instants=900,
    )


def flat(text: str) -> str:
    return " ".join(text.split())


def test_what_a_second_person_needs_is_there(boat: BoatFile, verdict: BoatVerdict) -> None:
    text = record_text(snapshot(boat, verdict, DAY, "turnstone.toml"), full=True)
    said = flat(text)
    for needed in (
        "Turnstone, gunter sloop",
        "2031-04-05",
        "turnstone.toml",
        "secure-load",
        "Pigs under the [b]sole[/b] (pigs)",
        "50.0 kg, 4 ingots of 12.5 kg (weighed)",
        "6.0 kg (not weighed: as entered)",
        "3.60 m forward of the after end of the waterline, on the centreline, 0.32 m below the waterline",
        "0.20 m abaft the after end of the waterline, 0.50 m to starboard, 0.30 m above the waterline",
        "420 mm fore and aft, 200 mm athwartships, 120 mm high",
        "carried by the floors",
        "6 mm thick",
        "friction of",
        "Cleat against its port side, of White oak",
        "300 mm long, 40 mm high, 35 mm thick in the direction of the thrust",
        "3 wood screws No 10",
        "thread 32 mm deep into larch taken as European larch",
        "Batten over the top, fore-and-aft",
        "4 coach screws of 8 mm",
        "shared between its two ends",
        "Lashing: 3 parts of",
        "ends: Eye splice",
        "set up to 150 N",
        "made fast to an eye",
        "2 wood screws No 12",
        "Working strength 1500 N, given by the owner and used as it is",
        "a reason in words",
        "Her own worst, 97 degrees to port, bow up 5 degrees, 2.5 times gravity: a force of 500 N",
        "slides to port",
        "port 96, starboard none",
        "weakest 0.4 g forward",
        "a plank takes some 31 J (indicative)",
        "what her planking takes is not known",
        "1890 N asked, 2039 N working strength, 93 % - goes first",
        *WHY,
        "it has no strength this way",
        "none (assumed)",
        "gripe: an assumption still open",
        "port-cleat: a thing to look at",
        "not run: no weight of its kind",
        "heel 0 to 110 degrees in steps of 2, both sides; 1, 2.5 times gravity; pitch -5, 5 degrees",
        "Rot is not seen here.",
        "1 of 2 weights fails, 1 is doubtful",
        "A doubtful",
        "R fails",
        "Checked aboard by ____",
    ):
        assert needed in said, needed
    assert "not this" not in said  # only the part that governs
    assert "Source" in said or "source" in said


def test_figures_not_checked_in_print_are_marked_among_the_sources_alone(boat: BoatFile, verdict: BoatVerdict) -> None:
    boat.weight[0].restraint[0].pad.material = "cork"
    said = flat(record_text(snapshot(boat, verdict, DAY)))
    text, sources = said.split("Where the catalogue's figures come from")
    assert "memory" not in said
    assert "in print" not in text
    assert "termination" not in sources
    assert "knot or end eye-splice:" in sources
    assert "pad cork: order of magnitude for natural cork across the sheet (not checked in print)" in sources
    assert "timber oak-white: USDA Wood Handbook" in sources
    assert "are not checked in print and marked so there" in sources


def test_no_line_is_wider_than_the_page(boat: BoatFile, verdict: BoatVerdict) -> None:
    boat.boat.name = "W" * 190
    text = record_text(snapshot(boat, verdict, DAY, "f" * 150))
    lines = text.split("\n")
    assert max(map(len, lines)) <= 78
    assert all(line == line.rstrip() for line in lines)
    assert text.endswith("\n")
    assert "\t" not in text
    assert "\r" not in text


def test_same_boat_same_day_same_bytes(boat: BoatFile, verdict: BoatVerdict) -> None:
    late = DAY.replace(hour=23)
    assert record_text(snapshot(boat, verdict, DAY)) == record_text(snapshot(boat, verdict, late))
    assert record_text(snapshot(boat, verdict, DAY)) == record_text(snapshot(boat, verdict, DAY.date()))
    tomorrow = DAY + datetime.timedelta(days=1)
    assert record_text(snapshot(boat, verdict, DAY)) != record_text(snapshot(boat, verdict, tomorrow))


def test_every_kind_of_restraint_has_words(verdict: BoatVerdict) -> None:
    kinds = {
        'type = "bed"': "Bed under its bottom",
        'type = "bed"\nface = "aft"': "Bed against its after side",
        'type = "cable_tie"\ncount = 2': "2 cable ties",
        'type = "bolt"\nsize = "M10"\ncount = 2\nwasher_mm = 30\nthickness_mm = 40\ninto = "oak-white"': "2 x Bolt M10",
        'type = "bond"\nadhesive = "polysulphide"\nstrength_N = 900': "in polysulphide",
        'type = "neighbour"\nface = "fore"\nweight = "gas"': "against the weight 'gas'",
        'type = "strap"\nfrom_m = [0, 1, 0]\nto_m = [0, -1, 0]': "Strap over the top: a line not given",
        'type = "cleat"\nface = "fore"': "timber not given; (not given) long",
        'type = "batten"': "fastenings not given",
        'type = "lashing"\nfrom_m = [0, 0, 0]\nto_m = [0, 1, 0]\nanchors = { kind = "frame" }': "a turn round a frame",
        'type = "strap"\nfrom_m = [0, 1, 0]\nto_m = [0, -1, 0]\nline = "gone"\nstrength_N = 5': "gone (not in the",
    }
    for toml, words in kinds.items():
        text = '[boat]\nname = "x"\n[[weight]]\nid = "pigs"\nmass_kg = 1\nat_m = [0, 0, 0]\n'
        text += f"[[weight.restraint]]\n{toml}\n"
        boat = parse_boat(
            text + '[[weight]]\nid = "gas"\nmass_kg = 1\nat_m = [1, 0, 0]\n[[scenario]]\nid = "hers"\nheel_deg = 90\n'
        )
        assert words in flat(record_text(snapshot(boat, verdict, DAY))), toml


def test_a_boat_without_weights(verdict: BoatVerdict) -> None:
    empty = verdict.model_copy(update={"weights": [], "verdict": "green", "scenarios": verdict.scenarios[1:]})
    text = record_text(snapshot(parse_boat('[boat]\nname = "Empty"\n'), empty, DAY))
    assert "no weight is entered, so nothing was checked" in text
    assert "G holds" not in text


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Dunlin", "dunlin"),
        ("../../etc/passwd", "etc-passwd"),
        ("..", "boat"),
        ("C:\\Windows\\x", "c-windows-x"),
        ("con", "boat-con"),
        ("LPT1", "boat-lpt1"),
        ("aux.", "boat-aux"),
        ("Grågås Ærfugl", "gragas-aerfugl"),
        ("漣", "boat"),
        ("a" * 300, "a" * 60),
        ("-x- ", "x"),
    ],
)
def test_slug(name: str, expected: str) -> None:
    assert slug(name) == expected


def test_records_are_numbered_and_none_is_overwritten(boat: BoatFile, verdict: BoatVerdict, tmp_path: Path) -> None:
    (tmp_path / "turnstone-stowage-0007.txt").write_text("the owner's own", encoding="utf-8")
    (tmp_path / "turnstone-stowage-99.txt").write_text("no record", encoding="utf-8")
    (tmp_path / "other-stowage-0050.txt").write_text("another boat", encoding="utf-8")
    paths = [write_record(boat, verdict, tmp_path, DAY) for _ in range(2)]
    assert [p.name for p in paths] == ["turnstone-stowage-0008.txt", "turnstone-stowage-0009.txt"]
    assert (tmp_path / "turnstone-stowage-0007.txt").read_text(encoding="utf-8") == "the owner's own"
    assert len(list(tmp_path.iterdir())) == 3 + 2 * 4  # nothing else is left behind
    assert b"\r" not in paths[0].read_bytes()


def test_two_writers_at_once(
    boat: BoatFile, verdict: BoatVerdict, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All think the same number is free; each still gets one of its own."""
    monkeypatch.setattr(store, "_last_number", lambda *_: 0)
    gate = threading.Barrier(4)
    found: list[Path] = []

    def write() -> None:
        gate.wait()
        found.append(write_record(boat, verdict, tmp_path, DAY))

    threads = [threading.Thread(target=write) for _ in range(4)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert sorted(p.name for p in found) == [f"turnstone-stowage-{n:04d}.txt" for n in range(1, 5)]
    assert len({p.read_bytes() for p in found}) == 1


def test_without_links_a_record_is_still_never_overwritten(
    boat: BoatFile, verdict: BoatVerdict, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError(95, "not supported")

    monkeypatch.setattr(os, "link", no_links)
    first = write_record(boat, verdict, tmp_path, DAY)
    monkeypatch.setattr(store, "_last_number", lambda *_: 0)  # as if the folder was read before the other wrote
    second = write_record(boat, verdict, tmp_path, DAY)
    assert [first.name, second.name] == ["turnstone-stowage-0001.txt", "turnstone-stowage-0002.txt"]
    assert first.read_bytes() == second.read_bytes()


def test_a_record_that_cannot_be_written(
    boat: BoatFile, verdict: BoatVerdict, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("x", encoding="utf-8")
    with pytest.raises(CannotWrite, match="is a file, not a folder"):
        write_record(boat, verdict, blocked, DAY)
    with pytest.raises(CannotWrite, match="part of its path is a file"):
        write_record(boat, verdict, blocked / "deeper", DAY)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotWrite, match="no space left on device"):
        write_record(boat, verdict, tmp_path / "out", DAY)
    assert list((tmp_path / "out").iterdir()) == []


def test_words() -> None:
    assert plain("a\u00a0b\u202ec") == "a b\\u202ec"
    assert percent(0.0) == "0 %"
    assert percent(1.0) == "100 %"
    assert percent(1.004) == ">100 %"
    assert percent(3.456) == "346 %"
    for scenario in builtin_scenarios():
        said = scenario_figures(scenario)
        assert f"{scenario.heel_deg.to:g} degrees" in said
        assert all(f"{n:g}" in said for n in scenario.load_factor)


def test_tally(verdict: BoatVerdict) -> None:
    held = verdict.weights[0].model_copy(update={"verdict": "green"})
    for colours, words in {
        ("green",): "the one weight holds",
        ("green", "green"): "all 2 weights hold",
        ("amber", "green"): "1 of 2 weights is doubtful, 1 holds",
        ("red", "red", "amber"): "2 of 3 weights fail, 1 is doubtful",
    }.items():
        weights = [held.model_copy(update={"verdict": c}) for c in colours]
        assert tally(verdict.model_copy(update={"weights": weights})) == words


def test_page() -> None:
    assert labelled("a", "b c") == ["a              b c"]
    assert labelled("x" * 20, "words") == ["x" * 20, "               words"]
    assert labelled("a", "") == ["a"]
    assert labelled_list("l", ["one"], width=4) == ["l   one"]
    assert labelled_list("l", ["one", "two"], width=4) == ["l   - one", "    - two"]
    assert labelled_list("l", []) == []
    assert all(len(line) <= 30 for line in wrapped("word " * 50, 4, 2, page=30))


@pytest.mark.parametrize("name", ["record.text.words", "record.text.text_layout", "record.store", "cli.console"])
def test_examples_are_true(name: str) -> None:
    found = doctest.testmod(importlib.import_module(f"secure_load.{name}"))
    assert found.attempted
    assert not found.failed
