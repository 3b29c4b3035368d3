"""How she floats, in the record: the table, the tests with their errors, weights gone to the low side, the curves."""

from __future__ import annotations

import datetime
import json

import pytest

from secure_load.afloat.models import FloatReport
from secure_load.boat.file import parse_boat
from secure_load.boat.models import BoatFile
from secure_load.check.check import check_boat
from secure_load.record.afloat import float_report_if_known, red_weights
from secure_load.record.html.page import record_html
from secure_load.record.model import record_from_json, record_json, stowage_record
from secure_load.record.snapshot import Snapshot, snapshot
from secure_load.record.text.record_text import record_text
from secure_load.record.text.text_layout import WIDTH
from tests.reference.hulls import cutter_sections

OWN = """
schema = 1
[boat]
name = "Trial"
displacement_kg = 1850
[[weight]]
id = "pigs"
mass_kg = 300
at_m = [3.3, 0.04, -0.15]
size_m = [0.5, 0.2, 0.1]
[[weight]]
id = "water"
kind = "tank"
mass_kg = 60
at_m = [2.0, 0.0, -0.1]
size_m = [0.8, 0.5, 0.2]
tank = { fill = 0.5, size_m = [0.8, 0.5, 0.2] }
"""
KNOWN = """
[float]
lcg_m = 3.2
sail_area_m2 = 22.0
sail_lever_m = 3.4
wind_m_s = [6, 10]
inclining = { pendulum_mm = 1500, weights_aboard = false, readings = [
  { moved_kg = 20, across_m = 0.6, deflection_mm = 12.0 }, { moved_kg = 40, across_m = 0.6, deflection_mm = 24.6 },
  { moved_kg = 20, across_m = -0.6, deflection_mm = -12.4 }, { moved_kg = 40, across_m = -0.6, deflection_mm = -24.1 },
] }
roll_test = { weights_aboard = false, readings = [{ rolls = 10, seconds = 24.0 }, { rolls = 10, seconds = 24.6 }] }
marks = { fore_m = 1.05, aft_m = 1.08, weights_aboard = false }
"""
OPENING = '[[float.opening]]\nname = "companionway, its sill as the washboards are out"\nat_m = [2.5, 0.3, 0.7]\n'
SHAPE = "".join(f"[[float.section]]\nx_m = {x}\npoints_m = {points}\n" for x, points in cutter_sections(9))


def shot_of(text: str) -> Snapshot:
    boat: BoatFile = parse_boat(text)
    verdict = check_boat(boat, ["knocked-flat"])
    return snapshot(boat, verdict, datetime.date(2026, 5, 1), "trial.toml", afloat=float_report_if_known(boat, verdict))


@pytest.fixture(scope="module")
def shot() -> Snapshot:
    return shot_of(OWN + KNOWN + OPENING + SHAPE)


def afloat(shot: Snapshot) -> FloatReport:
    assert shot.afloat is not None
    return shot.afloat


def test_the_tests_made_on_her_are_kept_with_their_uncertainty(shot: Snapshot) -> None:
    report = afloat(shot)
    made = {m.what: m.says for m in report.measured}
    assert set(made) == {"inclining test", "roll-period test", "marks"}
    assert "+/-" in made["inclining test"]
    assert report.after.gm_error_m is not None
    on_paper, printed = " ".join(record_text(shot).split()), record_html(stowage_record(shot), full=True)
    for kept in (on_paper, printed):
        for what, says in made.items():
            assert f"{what}: {says}" in kept
        assert "+/-, m" in kept
        assert f"{report.after.gm_error_m:.3f}" in kept
        assert "free-surface correction, m" in kept
        assert "the highest of three levels" in kept
    kept = json.loads(record_json(stowage_record(shot)))["afloat"]
    assert {m["what"] for m in kept["measured"]} == set(made)
    assert kept["after"]["gm_error_m"] == report.after.gm_error_m


def test_the_table_on_paper_is_complete_and_keeps_to_the_page(shot: Snapshot) -> None:
    text = record_text(shot)
    part = text[text.index("\nAfloat  ") : text.index("Afloat, weights loose")]
    assert max(map(len, text.splitlines())) <= WIDTH
    for label in (
        "sinkage amidships",
        "area under curve",
        "lever at 90 deg",
        "heel in 6 m/s",
        "heel in 10 m/s",
        "roll per",
    ):
        assert label in part
    under = next(f for f in afloat(shot).after.flooding)
    assert under.heel_deg is not None
    assert "the washboards are out under at, deg" in " ".join(part.split())
    assert f"{under.heel_deg:.0f} {under.side}" in part


def test_red_weights_are_shown_gone_to_the_low_side(shot: Snapshot) -> None:
    assert red_weights(shot.verdict) == ["pigs", "water"]
    loose = afloat(shot).loose
    assert loose is not None
    assert loose.weights == ["pigs", "water"]
    assert loose.port.list_deg is not None
    assert loose.starboard.list_deg is not None
    assert loose.port.list_deg < -1.0
    assert loose.starboard.list_deg > 1.0
    text, page = record_text(shot, full=True), record_html(stowage_record(shot), full=True)
    for kept in (text, page):
        assert f"{-loose.port.list_deg:.1f} port" in kept
        assert f"{loose.starboard.list_deg:.1f} starboard" in kept
        assert "pigs, water" in kept
    assert "righting-curve" in page
    assert "loose-curve" in page


def test_a_boat_with_nothing_red_has_no_such_part() -> None:
    bare = OWN.split("[[weight]]")[0]
    shot = shot_of(bare + KNOWN + SHAPE)
    assert afloat(shot).loose is None
    assert "weights loose" not in record_text(shot)
    assert "loose-curve" not in record_html(stowage_record(shot), full=True)


def test_without_her_shape_the_record_says_so_and_draws_nothing() -> None:
    own = OWN.replace("displacement_kg = 1850", "displacement_kg = 1850\nlwl_m = 6.4\nbwl_m = 2.05")
    shot = shot_of(own + "[float]\ngm_m = 0.7\n")
    text, page = record_text(shot, full=True), record_html(stowage_record(shot), full=True)
    assert "the lowest of three levels" in text
    assert "righting-curve" not in page
    assert "loose-curve" not in page
    assert "gone to port" in text


def test_where_too_little_is_known_the_record_has_no_such_part() -> None:
    shot = shot_of('schema = 1\n[boat]\nname = "Trial"\n')
    assert shot.afloat is None
    assert "Afloat" not in record_text(shot)


def test_a_record_without_the_loose_part_is_still_read(shot: Snapshot) -> None:
    data = json.loads(record_json(stowage_record(shot)))
    del data["afloat"]["loose"]
    kept = record_from_json(json.dumps(data)).afloat
    assert kept is not None
    assert kept.loose is None
    assert kept.after == afloat(shot).after
