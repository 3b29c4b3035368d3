"""The demo boats afloat: what a naval architect would expect of boats of their size, and every command on the fullest.

The bounds are wide: they are common knowledge of small yachts, and what the figures must be is checked elsewhere.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from secure_load.afloat.report import float_report
from secure_load.boat.file import read_boat
from secure_load.cli.main import main

DEMO = Path(__file__).parents[2] / "demo_boats"


def asked(capsys: pytest.CaptureFixture[str], *argv: str) -> dict[str, Any]:
    assert main([*argv, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("name", ["brindlewick", "halcorran"])
def test_a_drawn_boat_is_a_plausible_yacht(name: str) -> None:
    boat = read_boat(DEMO / f"{name}.toml")
    report = float_report(boat)
    after = report.after
    breadth = boat.boat.bwl_m
    assert breadth is not None
    assert report.basis == "offsets"
    # Ballasted keel boats: metacentric height some 0.6 to 1.3 m, vanishing angle 105 to 150 degrees.
    assert 0.6 < after.gm_m < 1.3
    assert after.vanishing_angle_deg is not None
    assert 105.0 < after.vanishing_angle_deg < 150.0
    # Roll period in seconds about her breadth in metres.
    assert after.roll_period_s is not None
    assert 0.7 < after.roll_period_s / breadth < 1.3
    # With everything aboard she floats on the waterline she was drawn to.
    assert abs(after.trim_deg) < 0.1
    assert -min(z for s in boat.float_.section for _, z in s.points_m) == pytest.approx(  # type: ignore[union-attr]
        0.5 * (after.draught_fore_m + after.draught_aft_m), abs=0.01
    )
    heels = [w.heel_deg for w in after.heel_in_wind]
    assert all(heel is not None and 3.0 < heel < 35.0 for heel in heels)
    assert heels == sorted(heels, key=lambda heel: heel or 0.0)
    # At a degree the lever is GM's, her list taken off.
    assert after.list_deg is not None
    near = after.gm_m * math.sin(math.radians(1.0 - abs(after.list_deg)))
    assert after.righting[0].lever_m == pytest.approx(near, abs=1e-3)


def test_one_boat_is_known_by_her_particulars_alone() -> None:
    report = float_report(read_boat(DEMO / "tansy_pod.toml"))
    assert report.basis == "particulars"
    assert report.after.curve is None
    # Her dimensions are those of the waterline with everything aboard: so deep she floats then, and less without.
    assert any("what she weighs with the listed weights" in note for note in report.notes)
    assert 0.5 * (report.after.draught_fore_m + report.after.draught_aft_m) == pytest.approx(0.20, abs=0.003)
    assert report.before.draught_fore_m < 0.185


def test_the_tests_made_on_a_demo_boat_agree_with_one_another(capsys: pytest.CaptureFixture[str]) -> None:
    data = asked(capsys, "float", str(DEMO / "brindlewick.toml"))
    says = {m["what"]: m for m in data["measured"]}
    assert set(says) == {"inclining test", "roll-period test", "marks"}
    assert all(m["used"] for m in says.values())
    # Rolling and inclining together give a radius of gyration of 0.35 to 0.50 of her breadth, as yachts have.
    share = float(says["roll-period test"]["says"].split("gyration ")[1].split(" ")[0])
    assert 0.35 < share < 0.50
    weighed, _, error = says["marks"]["says"].split("; ")[1].split(" ")[:3]
    assert abs(float(weighed) - data["before"]["displacement_kg"]) < float(error)
    assert 0 < data["after"]["gm_error_m"] < 0.05 * data["after"]["gm_m"]
    assert data["after"]["free_surface_loss_m"] > 0
    assert {f["name"] for f in data["after"]["flooding"]} == {"companionway", "fore hatch"}


def test_her_ballast_is_placed_cast_and_lifted(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(DEMO / "brindlewick.toml")
    before = asked(capsys, "float", path)["after"]
    placed = asked(capsys, "place", path)["proposals"]
    assert placed
    for proposal in placed:
        assert sum(s["kg"] for s in proposal["stow"]) == pytest.approx(6 * 12.0 + 3 * 10.0)
        assert abs(proposal["trim_off_mm"]) <= 5.0 + 1e-6
        assert abs(proposal["list_deg"]) < abs(before["list_deg"])
    cast = asked(capsys, "cast", path)
    # A mould of 0.92 litres: lead of 11.3 kg to the litre makes some ten kilograms of it.
    assert 10.0 < cast["ingot_kg"] < 10.6
    assert any("fume" in c for c in cast["cautions"])
    lifts = asked(capsys, "lift", path)
    assert [sheet["ingot_kg"] for sheet in lifts["lifts"]] == [12.0, 10.0]
    assert all(sheet["index"] > 1.0 for sheet in lifts["lifts"])
    assert any("Two-person" in c for c in lifts["cautions"])


@pytest.mark.parametrize("command", ["place", "cast", "lift"])
@pytest.mark.parametrize("name", ["halcorran", "tansy_pod"])
def test_what_a_file_does_not_ask_is_said_to_be_lacking(
    name: str, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, str(DEMO / f"{name}.toml")]) == 2
    said = capsys.readouterr().err
    assert f"[float.{ {'place': 'placing', 'cast': 'casting', 'lift': 'lift'}[command] }]" in said
