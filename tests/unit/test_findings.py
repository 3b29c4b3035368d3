"""What an inspection found takes strength off, and the verdict follows."""

from __future__ import annotations

import datetime
from pathlib import Path

import numpy as np
import pytest

from secure_load.boat.file import BoatFileError, parse_boat, read_document
from secure_load.boat.findings import factor_for, factor_of
from secure_load.boat.models import BoatFile, Finding
from secure_load.boat.save import save_boat
from secure_load.check.check import check_boat
from secure_load.model.failure.failure_mode import by_screws, by_total, derated, total_mode

TEXT = """\
schema = 1
[boat]
name = "Sanderling"
lwl_m = 6.0
inspected_on = 2031-04-05
photos = ["port side.jpg"]

[[weight]]
id = "pigs"
mass_kg = 20.0
at_m = [3.0, 0.0, -0.3]
size_m = [0.40, 0.20, 0.12]
measured = true

[[weight.restraint]]
type = "bed"
friction = 0.2

[[weight.restraint]]
type = "batten"
strength_N = 4000

[[weight.restraint]]
type = "cleat"
face = "port"
strength_N = 4000

[[weight.restraint]]
type = "cleat"
face = "fore"
strength_N = 4000

[[weight.restraint]]
type = "cleat"
face = "aft"
strength_N = 4000

[[weight.restraint]]
id = "chock"
type = "cleat"           # the owner's own words
face = "starboard"
strength_N = 4000

[[weight.restraint.finding]]
date = 2031-04-05        # the day she was hauled out
note = "split at the fore end"
factor = 0.5

[[weight.restraint.finding]]
date = "2031-04-06"
note = "paint off"
factor = 0.9
fixed = true
"""


def boat() -> BoatFile:
    return parse_boat(TEXT)


def test_what_is_left_of_a_strength() -> None:
    assert factor_for(boat(), "pigs", "bottom-bed") == 1.0
    assert factor_for(boat(), "pigs", "chock") == 0.5  # what was put right takes nothing off
    found = boat()
    found.weight[0].restraint[5].finding[1].fixed = False
    assert factor_of(found.weight[0].restraint[5]) == pytest.approx(0.45)
    with pytest.raises(LookupError, match="no weight 'pig'"):
        factor_for(boat(), "pig", "chock")
    with pytest.raises(LookupError, match="no restraint 'grip'"):
        factor_for(boat(), "pigs", "grip")


def used(boat: BoatFile) -> tuple[str, float, float]:
    """Verdict, utilisation of the chock and its working strength, lying on her beam ends."""
    found = check_boat(boat, ["knocked-flat"]).weights[0]
    chock = next(r for r in found.restraints if r.id == "chock")
    assert chock.strength_N is not None
    return found.verdict, chock.utilisation, chock.strength_N


def test_the_verdict_follows_a_finding() -> None:
    split, sound, gone = boat(), boat(), boat()
    sound.weight[0].restraint[5].finding[0].fixed = True
    gone.weight[0].restraint[5].finding[0].factor = 0.0
    _, half, strength = used(split)
    _, whole, full = used(sound)
    assert full == pytest.approx(4000, rel=1e-3)
    assert strength == pytest.approx(2000, rel=1e-3)
    assert half == pytest.approx(2 * whole, rel=1e-3)  # to four decimals, as the verdict gives them
    found = check_boat(gone, ["knocked-flat"]).weights[0]
    assert found.verdict == "red"
    assert max(r.utilisation for r in found.restraints) > 1e6
    assert any("chock: found 2031-04-05: split at the fore end" in w for w in found.warnings)
    part = next(r for r in found.restraints if r.id == "chock").parts[0]
    assert "the owner's judgement" in part.why[-1]
    assert not any("found" in w for w in check_boat(sound, ["knocked-flat"]).weights[0].warnings)


def test_a_part_that_is_weakened_bears_as_much_less() -> None:
    forces, drag = np.array([[30.0, -10.0], [0.0, 0.0]]), np.array([5.0, 0.0])
    shares, places = np.array([1.0, 0.5]), np.array([-0.05, 0.05])
    for working in (by_total(100.0), by_screws(0.02 * shares, shares, places, 80.0, 60.0)):
        part = total_mode("x", 1.0, 1.0, "b", ["as new"])
        part = type(part)("x", working, working, "b", ["as new"])
        demand, ratio = part.working(forces, drag)
        for kind in ("working", "breaking"):
            less_demand, less_ratio = getattr(derated(part, 0.25, ["found"]), kind)(forces, drag)
            np.testing.assert_allclose(less_demand, demand)
            np.testing.assert_allclose(less_ratio, 4.0 * ratio)
    assert derated(part, 0.25, ["found"]).why == ["as new", "found"]
    assert np.all(np.isfinite(derated(part, 0.0, []).working(forces, drag)[1]))


def test_a_finding_is_saved_and_the_comments_stay(tmp_path: Path) -> None:
    path = tmp_path / "sanderling.toml"
    path.write_text(TEXT, encoding="utf-8")
    document = read_document(path)
    changed = document.boat.model_copy(deep=True)
    chock, bed = changed.weight[0].restraint[5], changed.weight[0].restraint[0]
    chock.finding[0].fixed = True
    chock.finding.append(Finding(date=datetime.date(2032, 1, 2), note='new "eye"', factor=0.75))
    bed.finding.append(Finding(date=datetime.date(2032, 1, 2), note="pad gone"))
    changed.boat.hard_weather_on = datetime.date(2032, 1, 1)
    saved = save_boat(document, changed)
    text = path.read_text(encoding="utf-8")
    assert saved.comments_kept
    assert "# the day she was hauled out" in text
    assert "# the owner's own words" in text
    assert "hard_weather_on = 2032-01-01" in text
    assert text.count("[[weight.restraint.finding]]") == 4
    assert read_document(path).boat == changed


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("factor = 1.2", "must be at most 1"),
        ("factor = -0.1", "must be at least 0"),
        ('date = "5 April"', "must be a day, written such as 2031-04-05"),
        ('date = "2031-02-30"', "no such day"),
        ("date = 2031-04-05T06:07:08", "must be a day"),
        ("factr = 0.5", "did you mean 'factor'?"),
    ],
)
def test_a_slip_in_a_finding_is_named(line: str, said: str) -> None:
    rows = ["date = 2031-04-05", 'note = "x"']
    key = line.split()[0]
    rows = [r for r in rows if not r.startswith(key)] + [line]
    text = TEXT[: TEXT.index("[[weight.restraint.finding]]")] + "[[weight.restraint.finding]]\n" + "\n".join(rows)
    with pytest.raises(BoatFileError) as caught:
        parse_boat(text, "s.toml")
    message = caught.value.message
    assert said in message
    assert "weight 'pigs', restraint 'chock', finding 1" in message
    assert f"line {text.splitlines().index(line) + 1}," in message
