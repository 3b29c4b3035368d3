"""Two records side by side: each kind of change is found, and nothing else."""

from __future__ import annotations

import datetime
from functools import cache

from secure_load.boat.file import parse_boat
from secure_load.boat.models import BoatFile
from secure_load.check.check import check_boat
from secure_load.record.differences import Differences, KeyChange, VerdictChange, compare
from secure_load.record.model import StowageRecord, stowage_record
from secure_load.record.snapshot import snapshot
from secure_load.record.text.difference_words import differences_summary, differences_text

DAY = datetime.date(2031, 4, 5)
CLEAT = '[[weight.restraint]]\ntype = "cleat"\nface = "{}"\nlength_mm = 150\nheight_mm = 40\nstrength_N = 4000\n'
BOAT = (
    """\
[boat]
name = "Avocet"

[[weight]]
id = "pigs"
name = "Pigs"
kind = "other"
mass_kg = 20.0
at_m = [3.0, 0.0, -0.3]
size_m = [0.4, 0.2, 0.12]
measured = true

[[weight.restraint]]
type = "bed"
on = "floors"
friction = 0.2

[[weight.restraint]]
id = "lid"
type = "batten"
span_mm = 300
width_mm = 50
strength_N = 4000

"""
    + "".join(CLEAT.format(face) for face in ("port", "starboard", "fore", "aft"))
    + """
[[weight]]
id = "kedge"
mass_kg = 9.5
at_m = [5.2, 0.4, 0.1]

[[scenario]]
id = "hers"
heel_deg = { from = 0, to = 120, step = 30 }
"""
)


@cache
def record_of(text: str, program: str = "secure-load 1") -> StowageRecord:
    boat: BoatFile = parse_boat(text)
    made = stowage_record(snapshot(boat, check_boat(boat, ["hers"]), DAY, "avocet.toml"))
    return made.model_copy(update={"program": program})


def between(after: str, before: str = BOAT) -> Differences:
    return compare(record_of(before), record_of(after), ("record 1", "record 2"))


def test_a_record_differs_in_nothing_from_itself() -> None:
    found = between(BOAT)
    assert found.none
    assert "Nothing differs." in differences_text(found)


def test_what_was_moved_weighs_otherwise_or_is_another_size() -> None:
    found = between(
        BOAT.replace("at_m = [3.0, 0.0, -0.3]", "at_m = [3.1, -0.05, -0.3]")
        .replace("mass_kg = 20.0", "mass_kg = 24.0")
        .replace("0.12]", "0.14]")
    )
    (moved,), (mass,), (key,) = found.moved, found.masses, found.keys
    assert moved.by_m == (0.1, -0.05, 0.0)
    assert (mass.before_kg, mass.after_kg) == (20.0, 24.0)
    assert (key.weight, key.key, key.before, key.after) == ("pigs", "size_m", [0.4, 0.2, 0.12], [0.4, 0.2, 0.14])
    assert not found.added + found.gone
    said = " ".join(differences_text(found).split())
    assert "Pigs (pigs): 100 mm forward, 50 mm to starboard; now 3.10 m forward" in said
    assert "20.0 kg, now 24.0 kg (4.00 kg more)" in said or "20.0 kg, now 24.0 kg (4.0 kg more)" in said


def test_weights_that_came_and_went_and_one_with_a_new_id() -> None:
    found = between(BOAT.replace('id = "kedge"\nmass_kg = 9.5', 'id = "bower"\nmass_kg = 12.0'))
    assert [(w.id, w.verdict) for w in found.gone] == [("kedge", "red")]
    assert [w.id for w in found.added] == ["bower"]
    again = between(BOAT.replace('id = "kedge"', 'id = "bower"'))
    assert [(r.before, r.after) for r in again.renamed] == [("kedge", "bower")]
    assert not again.gone + again.added
    assert not again.verdicts


def test_restraints_and_the_verdicts_that_follow() -> None:
    without = BOAT.replace(
        '[[weight.restraint]]\nid = "lid"\ntype = "batten"\nspan_mm = 300\nwidth_mm = 50\nstrength_N = 4000\n', ""
    )
    found = between(without)
    (gone,) = found.restraints
    assert (gone.weight, gone.restraint, gone.what) == ("pigs", "lid", "gone")
    assert "4000 N" in gone.words
    change = next(v for v in found.verdicts if v.id == "pigs")
    assert (change.before, change.after) == ("green", "red")
    assert change.use_after is None  # free to move
    assert [(s.scenario, s.before, s.after) for s in change.scenarios] == [("hers", "green", "red")]
    assert "G holds, now R fails" in differences_text(found)
    back = between(BOAT, without)
    assert [(r.restraint, r.what) for r in back.restraints] == [("lid", "added")]
    weaker = between(
        BOAT.replace(
            'id = "lid"\ntype = "batten"\nspan_mm = 300\nwidth_mm = 50\nstrength_N = 4000',
            'id = "lid"\ntype = "batten"\nspan_mm = 300\nwidth_mm = 50\nstrength_N = 3500',
        )
    )
    assert [(k.restraint, k.key, k.before, k.after) for k in weaker.keys] == [("lid", "strength_N", 4000, 3500)]


def test_findings_are_no_other_change() -> None:
    finding = '\n[[weight.restraint.finding]]\ndate = 2031-04-05\nnote = "split"\nfactor = 0.01\n'
    text = BOAT.replace(
        'id = "lid"\ntype = "batten"\nspan_mm = 300\nwidth_mm = 50\nstrength_N = 4000\n',
        f'id = "lid"\ntype = "batten"\nspan_mm = 300\nwidth_mm = 50\nstrength_N = 4000\n{finding}',
    )
    found = between(text)
    assert [(r.restraint, r.what) for r in found.restraints] == [("lid", "found")]
    assert not found.keys
    assert [v.after for v in found.verdicts] == ["red"]
    mended = between(text.replace("factor = 0.01", "factor = 0.01\nfixed = true"), text)
    assert [(r.restraint, r.what) for r in mended.restraints] == [("lid", "put right")]
    assert [v.after for v in mended.verdicts] == ["green"]


def test_another_version_of_the_program_is_said() -> None:
    found = compare(record_of(BOAT), record_of(BOAT, "secure-load 2"), ("record 1", "record 2"))
    assert "different versions" in found.cautions[0]
    assert found.none


def test_names_out_of_a_file_do_nothing_on_a_terminal() -> None:
    found = between(BOAT.replace('name = "Pigs"', 'name = "[red]P\\u00a0\\ufffe"').replace("3.0, 0.0", "3.2, 0.0"))
    said = differences_text(found)
    assert all(c.isprintable() or c == "\n" for c in said)
    assert "[red]P" in said
    assert max(map(len, said.splitlines())) <= 78


def test_the_summary_is_ten_lines_with_why_a_verdict_changed() -> None:
    other = BOAT.replace("mass_kg = 20.0", "mass_kg = 900.0")
    found = between(other)
    lines = differences_summary(found).splitlines()
    assert len(lines) <= 10
    changed = next(v for v in found.verdicts if v.before != v.after)
    told = next(line for line in lines if line.startswith(f"{changed.id}: "))
    assert "holds, now" in told
    assert changed.why[:40] in told


def test_a_summary_of_everything_still_is_ten_lines() -> None:
    found = between(BOAT)
    change = VerdictChange(
        id="pigs", name="Pigs", before="green", after="red", use_before=0.4, use_after=1.3, scenarios=[], why="W" * 300
    )
    key = KeyChange(weight="pigs", restraint=None, key="kind", before="ballast", after="other")
    lots = found.model_copy(update={"verdicts": [change] * 30, "keys": [key] * 30, "cautions": ["Look out."] * 4})
    lines = differences_summary(lots).splitlines()
    assert len(lines) == 10
    assert lines[-1].startswith("There is more")
    assert max(map(len, lines)) <= 156
