"""``float``, ``place``, ``cast`` and ``lift``: the contract's keys, exit codes, bad data, and what people read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from secure_load.afloat.report import condition_when_loose, float_report
from secure_load.boat.file import read_document
from secure_load.cli.main import main
from tests.reference.hulls import cutter_sections

HEAD = """\
schema = 1

[boat]
name = "Whim [bold]brel"
lwl_m = 6.4
bwl_m = 2.05
displacement_kg = 1850
planking = { timber = "larch", thickness_mm = 18, frame_spacing_mm = 180 }

[[weight]]
id = "pigs"
name = "Pigs amidships"
kind = "ballast"
mass_kg = 300
at_m = [3.3, 0.04, -0.15]
size_m = [0.5, 0.2, 0.1]

[float]
kg_m = 0.95
sail_area_m2 = 22.0
sail_lever_m = 3.4
wind_m_s = [6, 10]
"""
SHAPE = "".join(f"[[float.section]]\nx_m = {x}\npoints_m = {points}\n" for x, points in cutter_sections(9))
BALLAST = """
[float.placing]
ingot = [{ id = "pig", each_kg = 20.0, count = 4 }]
place = [
  { id = "mast", at_m = [3.6, 0.0, -0.70], room_count = 3, reach = 3 },
  { id = "starboard", at_m = [2.9, -0.30, -0.35], room_count = 3 },
]
[float.casting]
mould = { top_mm = [220.0, 110.0], bottom_mm = [200.0, 90.0], depth_mm = 60.0 }
antimony_percent = 3.0
scrap_kg = 260.0
weighed_kg = [13.1, 13.3]
[float.lift]
hands_out_mm = 550
from_height_mm = 500
to_height_mm = -300
drop_mm = 700
"""
NUMBERS = (
    *("displacement_kg", "draught_fore_m", "draught_aft_m", "trim_deg", "kb_m", "bm_m", "kg_m", "gm_m"),
    *("kg_per_cm", "moment_to_trim_1cm_kgm", "volume_m3"),
)
MAYBE = ("list_deg", "vanishing_angle_deg", "roll_period_s")


def asked(capsys: pytest.CaptureFixture[str], *words: object) -> dict[str, Any]:
    assert main([*map(str, words), "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return json.loads(out)


@pytest.mark.parametrize("parts", [(HEAD,), (HEAD, SHAPE)], ids=["particulars", "offsets"])
def test_the_keys_of_the_contract(boat, capsys, parts) -> None:
    path: Path = boat(*parts)
    data = asked(capsys, "float", path)
    report = float_report(read_document(path).boat)
    for when, truth in (("before", report.before), ("after", report.after)):
        found = data[when]
        for key in NUMBERS:
            assert isinstance(found[key], float), key
            assert found[key] == pytest.approx(getattr(truth, key)), key
        for key in MAYBE:
            assert found[key] is None or isinstance(found[key], float), key
        assert [r["heel_deg"] for r in found["righting"]] == [1.0, 15.0, 30.0, 90.0]
        for each in found["righting"]:
            assert {"heel_deg", "lever_m", "moment_Nm"} <= set(each)
        assert [w["wind_m_s"] for w in found["heel_in_wind"]] == [6.0, 10.0]
        assert isinstance(found["basis"], str)
    assert data["after"]["displacement_kg"] - data["before"]["displacement_kg"] == pytest.approx(300.0)
    assert data["after"]["basis"] == ("offsets" if len(parts) > 1 else "particulars")


def test_what_people_read(boat, capsys) -> None:
    path: Path = boat(HEAD, SHAPE)
    assert main(["float", str(path)]) == 0
    said = capsys.readouterr().out
    report = float_report(read_document(path).boat)
    assert max(map(len, said.splitlines())) <= 80
    assert "Whim [bold]brel" in said
    flat = " ".join(said.split())
    for words in (
        *("displacement, kg 1850 2150 +300", "sinkage amidships", "list, degrees", "KB", "BM", "KG", "GM"),
        *("kg per cm immersion", "lever at 1 deg", "moment at 90 deg", "vanishing angle", "roll period"),
        *("heel in 10 m/s", "offsets: 9 sections", "compliance with no standard", "No opening is stated"),
        *("Indicative only", report.change.words, "Righting moment"),
    ):
        assert words in flat, words
    assert f"{report.after.gm_m:.3f} {report.after.gm_m - report.before.gm_m:+.3f}" in flat
    assert f"{report.after.vanishing_angle_deg:.0f} deg" in said
    drawn = [line for line in said.splitlines() if any("\u2800" < c <= "\u28ff" for c in line)]
    assert len(drawn) > 8


def test_without_her_shape_no_curve_is_made_up(boat, capsys) -> None:
    assert main(["float", str(boat(HEAD))]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "No righting curve is drawn" in said
    assert "~ GM extrapolated to this heel" in said
    assert "lever at 90 deg, m - - -" in said
    assert "the lowest of three levels" in said


def test_with_nothing_listed_there_is_nothing_to_compare(boat, capsys) -> None:
    head, rest = HEAD[: HEAD.index("[[weight]]")], HEAD[HEAD.index("[float]") :]
    assert main(["float", str(boat(head, rest))]) == 0
    assert "No weight is listed, so with and without are the same." in capsys.readouterr().out


@pytest.mark.parametrize("columns", ["40", "63", "120"])
def test_it_keeps_to_the_width(boat, capsys, monkeypatch, columns: str) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert main(["float", str(boat(HEAD, SHAPE))]) == 0
    assert max(map(len, capsys.readouterr().out.splitlines())) <= int(columns)


def test_piped_into_an_old_encoding_there_is_no_code_and_no_colour(boat, program) -> None:
    done = program("float", boat(HEAD, SHAPE), PYTHONIOENCODING="ascii", NO_COLOR="1", PYTHONUTF8="0")
    assert done.returncode == 0, done.stderr
    assert done.stdout.isascii()
    assert b"\x1b" not in done.stdout
    assert b"\\u" not in done.stdout
    assert b"ooo" in done.stdout  # the curve, in plain letters


def test_weights_gone_to_the_low_side(boat, capsys) -> None:
    path: Path = boat(HEAD, SHAPE)
    data = asked(capsys, "float", path, "--loose", "pigs")
    loose = data["loose"]
    assert loose["weights"] == ["pigs"]
    given = read_document(path).boat
    for side, name in ((-1, "port"), (1, "starboard")):
        assert loose[name]["list_deg"] == pytest.approx(condition_when_loose(given, ["pigs"], side).list_deg)
    assert loose["port"]["list_deg"] < data["after"]["list_deg"] < loose["starboard"]["list_deg"]
    assert main(["float", str(path), "--loose", "pigs"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    for words in ("as stowed loose change", "gone to port:", "gone to starboard:"):
        assert words in said
    assert f"{abs(loose['port']['list_deg']):.1f} port" in said
    assert f"{loose['starboard']['list_deg']:.1f} starboard" in said
    assert "comes back from 90 degrees yes" in said
    assert "comes back from 180 degrees" in said
    assert "compared to the same side" in said


def test_without_a_name_those_that_the_check_finds_red_are_loose(boat, capsys) -> None:
    path: Path = boat(HEAD, SHAPE)
    with_red = asked(capsys, "float", path, "--loose")
    assert with_red["loose"]["weights"] == ["pigs"]  # nothing holds them
    assert with_red["loose"] == asked(capsys, "float", path, "--loose", "pigs")["loose"]
    assert asked(capsys, "float", path)["loose"] is None
    assert main(["float", str(path)]) == 0
    assert "--loose shows how she lies with what the check finds red" in " ".join(capsys.readouterr().out.split())


def test_where_nothing_is_red_nothing_is_taken_as_loose(boat, capsys) -> None:
    path: Path = boat(HEAD.split("[[weight]]")[0] + "[float]" + HEAD.split("[float]")[1], SHAPE)
    assert asked(capsys, "float", path, "--loose")["loose"] is None
    assert main(["float", str(path), "--loose"]) == 0
    assert "no weight is red" in " ".join(capsys.readouterr().out.split())


BAD = {
    "too little is known": (HEAD.replace("bwl_m = 2.05\n", ""), ["line 3", "bwl_m"]),
    "water nobody knows": (HEAD + 'water = "see-water"\n', ["line 23", "see-water", "seawater"]),
    "she would sink": (HEAD.replace("mass_kg = 300", "mass_kg = 90000") + SHAPE, ["line", "displaces only"]),
    "wrong type": (HEAD.replace("kg_m = 0.95", 'kg_m = "0.95"'), ["line 19", "kg_m"]),
    "unknown key": (HEAD.replace("sail_area_m2", "sail_area_m3"), ["line 20", "sail_area_m2"]),
}


@pytest.mark.parametrize("what", BAD)
def test_one_clear_sentence(boat, capsys, what: str) -> None:
    text, needed = BAD[what]
    path: Path = boat(text)
    assert main(["float", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"secure-load: {path.name}")
    assert err.count("\n") == 1
    assert "fault in this program" not in err
    for word in needed:
        assert word in err, err
    assert main(["float", str(path), "--json"]) == 2
    assert json.loads(capsys.readouterr().out)["error"] == err.removeprefix("secure-load: ").rstrip("\n")


def test_a_loose_weight_that_is_not_there(boat, capsys) -> None:
    assert main(["float", str(boat(HEAD)), "--loose", "pig"]) == 2
    assert "no weight 'pig' in this file; did you mean 'pigs'?" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["place", "cast", "lift"])
def test_a_sheet_that_is_not_asked_for(boat, capsys, name: str) -> None:
    assert main([name, str(boat(HEAD))]) == 2
    err = capsys.readouterr().err
    assert "line 18" in err
    assert {"place": "[float.placing]", "cast": "[float.casting]", "lift": "[float.lift]"}[name] in err


def test_placing_uses_every_ingot_and_no_more_room_than_there_is(boat, capsys) -> None:
    path: Path = boat(HEAD, BALLAST, SHAPE)
    data = asked(capsys, "place", path)
    assert data["proposals"]
    for found in data["proposals"]:
        assert sum(s["count"] for s in found["stow"]) == 4
        assert all(s["count"] <= 3 for s in found["stow"])
    assert any("what holds it" in c for c in data["cautions"])
    assert main(["place", str(path)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    for stow in data["proposals"][0]["stow"]:
        assert f"{stow['place']}: {stow['count']} x 20.0 kg (pig)" in said
    assert "Lift with two" in said


def test_the_casting_sheet_begins_with_what_hurts(boat, capsys) -> None:
    path: Path = boat(HEAD, BALLAST)
    data = asked(capsys, "cast", path)
    assert data["ingots"] == int(data["good_metal_kg"] // 13.2)
    assert main(["cast", str(path)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    for word in (
        "damp mould",
        "fume",
        "dust",
        "wash before you eat",
        "two people",
        f"{data['ingot_kg']:.2f} kg",
        "The melt",
        "MJ",
    ):
        assert word in said, word
    assert said.index("damp mould") < said.index("An ingot weighs")
    assert max(map(len, capsys.readouterr().out.splitlines()), default=0) <= 80


def test_the_lifting_sheet_is_for_the_ingots_in_hand(boat, capsys) -> None:
    path: Path = boat(HEAD, BALLAST)
    (lift,) = asked(capsys, "lift", path)["lifts"]
    assert lift["ingot_kg"] == 20.0
    assert lift["index"] > 1
    assert lift["drop_J"] == pytest.approx(20 * 9.80665 * 0.7, abs=0.1)
    assert main(["lift", str(path)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert f"one person's limit {lift['recommended_kg']:.1f} kg" in said
    assert "Two-person lifts" in said
    cast_only = BALLAST[BALLAST.index("[float.casting]") :]
    (lift,) = asked(capsys, "lift", boat(HEAD, cast_only))["lifts"]
    assert 13 < lift["ingot_kg"] < 15
    assert main(["lift", str(boat(HEAD, BALLAST[BALLAST.index("[float.lift]") :]))]) == 2
    assert "says how, and not what" in capsys.readouterr().err
