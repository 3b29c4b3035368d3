"""A proposal is told as one until the owner says that it is built."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from secure_load.boat.file import read_document
from secure_load.boat.models import BoatFile
from secure_load.boat.save import save_boat
from secure_load.check.check import check_boat
from secure_load.check.results import WeightVerdict
from secure_load.record.text.restraint_text import Sources, restraint_words
from secure_load.screen.form.fields import RESTRAINTS

SCREWS = {
    "kind": "coach-screw",
    "diameter_mm": 8,
    "into": "oak-white",
    "member": "keel",
    "metal": "A4-70",
    "penetration_mm": 50,
}
SIDES = {"port": 300, "starboard": 300, "fore": 180, "aft": 180}


def _boat(**batten: Any) -> BoatFile:
    cleats = [
        {"id": f"{face}-cleat", "type": "cleat", "face": face, "timber": "oak-white", "length_mm": length}
        | {"height_mm": 40, "depth_mm": 65, "screws": SCREWS | {"count": 2 if length < 200 else 3}}
        for face, length in SIDES.items()
    ]
    bar = {"id": "bar", "type": "batten", "timber": "oak-white", "span_mm": 320, "width_mm": 70, "depth_mm": 32}
    bar |= {"screws": SCREWS | {"count": 4}} | batten
    pigs = {"id": "pigs", "kind": "ballast", "mass_kg": 10.0, "at_m": [3.0, 0.0, -0.3], "size_m": [0.42, 0.2, 0.12]}
    bed = {"id": "bed", "type": "bed", "on": "floors", "timber": "oak-white", "friction": 0.2}
    held = {"restraint": [bed, *cleats, bar]}
    return BoatFile.model_validate({"schema": 1, "boat": {"name": "Pintail"}, "weight": [pigs | held]})


def _verdict(boat: BoatFile) -> WeightVerdict:
    return check_boat(boat, ["knocked-flat", "rolled-over"]).weights[0]


def test_what_is_only_proposed_keeps_the_weight_from_green() -> None:
    built, proposed = _verdict(_boat()), _verdict(_boat(proposed=True))
    assert "proposed, not built: bar" in proposed.reasons
    assert proposed.verdict == "amber"
    assert not any("not built" in reason for reason in built.reasons)
    # nothing else changes: its figures are those of the piece as it would be
    assert proposed.utilisation == built.utilisation


def test_several_pieces_are_named_in_one_sentence() -> None:
    boat = _boat(proposed=True)
    pieces = [r.model_copy(update={"proposed": r.type != "bed"}) for r in boat.weight[0].restraint]
    boat = boat.model_copy(update={"weight": [boat.weight[0].model_copy(update={"restraint": pieces})]})
    said = [reason for reason in _verdict(boat).reasons if "not built" in reason]
    assert said == ["proposed, not built: port-cleat, starboard-cleat, fore-cleat, aft-cleat and bar"]


def test_ties_of_a_stack_are_proposed_too() -> None:
    tie = {"line": "polyester-webbing-25", "around": "level", "tension_N": 300}
    boat = _boat().model_dump(by_alias=True, exclude_none=True)
    weight = boat["weight"][0]
    del weight["mass_kg"]
    weight |= {"ingots": {"count": 2, "each_kg": 5.0}, "bundle": {"stack": [2, 1, 1], "ties": [tie]}}
    built = _verdict(BoatFile.model_validate(boat))
    assert not any("not built" in reason for reason in built.reasons)
    tie["proposed"] = True
    proposed = _verdict(BoatFile.model_validate(boat))
    assert "proposed, not built: ties round the stack" in proposed.reasons
    assert proposed.verdict != "green"


def test_the_mark_is_saved_and_taken_back_when_it_is_built(tmp_path: Path) -> None:
    path = tmp_path / "pintail.toml"
    save_boat(path, _boat(proposed=True))
    document = read_document(path)
    assert path.read_text(encoding="utf-8").count("proposed = true") == 1
    assert [r.proposed for r in document.boat.weight[0].restraint] == [False] * 5 + [True]
    save_boat(document, _boat())
    assert not any(r.proposed for r in read_document(path).boat.weight[0].restraint)
    # a new file says nothing of what is built
    fresh = tmp_path / "fresh.toml"
    save_boat(fresh, _boat())
    assert "proposed" not in fresh.read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", RESTRAINTS)
def test_every_kind_of_restraint_can_be_ticked_off_on_the_screen(kind: str) -> None:
    (field,) = [f for f in RESTRAINTS[kind] if f.keys == ("proposed",)]
    assert field.kind == "yesno"
    assert field.needs == ("proposed", ("yes",))


def test_the_record_says_so() -> None:
    for proposed in (True, False):
        weight = _boat(proposed=proposed).weight[0]
        words = restraint_words(weight.restraint[-1], weight, Sources())
        assert words.startswith("Proposed, not built. Batten" if proposed else "Batten")
