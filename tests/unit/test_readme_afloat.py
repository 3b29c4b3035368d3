"""What README shows of a boat afloat is read by the program as it stands there, and means what it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from secure_load.afloat.report import float_report
from secure_load.boat.file import parse_boat

README = Path(__file__).parents[2] / "README.md"
HEAD = 'schema = 1\n[boat]\nname = "Trial"\nlwl_m = 6.4\nbwl_m = 2.0\n'


def blocks() -> dict[str, str]:
    found = re.findall(r"```toml\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    return {re.findall(r"\[\[?float\.(\w+)", block)[0]: block for block in found}


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
