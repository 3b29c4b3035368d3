"""What README shows of boat files is read by the program as it stands there, and means what it says."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from secure_load.afloat.report import float_report
from secure_load.boat.file import parse_boat
from secure_load.model.assumptions import Assumptions
from secure_load.model.placement import placement
from secure_load.model.weight_body import body_of

README = Path(__file__).parents[2] / "README.md"
HEAD = 'schema = 1\n[boat]\nname = "Trial"\nlwl_m = 6.4\nbwl_m = 2.0\n'


def blocks() -> dict[str, str]:
    found = re.findall(r"```toml\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    return {re.findall(r"\[\[?(?:float\.(\w+)|weight)", block)[0] or "weight": block for block in found}


def test_the_tests_tanks_and_openings_are_read_as_they_stand() -> None:
    shown = blocks()
    report = float_report(parse_boat(HEAD + shown["inclining"] + shown["half_breadths"]))
    assert report.basis == "offsets"
    assert {m.what for m in report.measured} == {"inclining test", "roll-period test", "marks"}
    assert all(m.used for m in report.measured)
    assert 0.3 < report.after.gm_m < 1.5
    assert report.after.gm_error_m is not None
    assert 0 < report.after.gm_error_m < 0.1 * report.after.gm_m
    assert len(report.after.heel_in_wind) == 2
    assert [f.name for f in report.after.flooding] == ["companionway"]
    assert report.after.draught_aft_m == pytest.approx(0.61, abs=5e-3)


def test_a_section_is_read_as_it_stands() -> None:
    (section,) = parse_boat(HEAD + blocks()["section"]).float_.section  # type: ignore[union-attr]
    assert section.x_m == 3.2
    assert section.points_m[-1] == (0.0, 0.68)


def test_the_tank_is_read_as_it_stands() -> None:
    text = " ".join(README.read_text(encoding="utf-8").split())
    (tank,) = re.findall(r"`(tank = \{.*?\})`", text)
    weight = f'[[weight]]\nid = "water"\nmass_kg = 60\nat_m = [2.0, 0.0, -0.1]\n{tank}\n'
    boat = parse_boat(HEAD.replace("bwl_m", "displacement_kg = 2000\nbwl_m") + weight + "[float]\ngm_m = 0.7\n")
    # rho l b^3 / 12 over the displacement
    assert float_report(boat).after.free_surface_loss_m == pytest.approx(1000 * 0.8 * 0.5**3 / 12 / 2060, abs=1e-5)


def test_a_weight_is_read_as_it_lies() -> None:
    keel = '[[weight]]\nid = "keel-pigs"\nmass_kg = 20\nat_m = [3.0, 0.0, -0.54]\nsize_m = [0.3, 0.2, 0.1]\n'
    boat = parse_boat(HEAD.replace("schema = 1", "schema = 2") + keel + blocks()["weight"])
    pigs = boat.weight[1]
    assert pigs.slope_deg is not None
    assert pigs.slope_deg.athwartships == pytest.approx(math.degrees(math.atan2(40, 300)), abs=0.01)
    assert pigs.bundle is not None
    assert pigs.bundle.rows == [(3, 2), (2, 3)]
    assert boat.restraint[0].over == ["garboard-pigs", "keel-pigs"]
    assert all(placement(body_of(w, Assumptions(), boat), boat.restraint[0]).acts for w in boat.weight)
