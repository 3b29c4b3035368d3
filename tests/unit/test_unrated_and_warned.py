"""Bonds and ties alone, gas that drains into the bilge, and metals that waste: what no shipwright leaves unsaid."""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.boat.models import BoatFile, Weight
from secure_load.check.check import check_boat
from secure_load.check.results import WeightVerdict
from secure_load.model.rules.corrosion import corrosion_warnings

ROLL = {"id": "roll", "heel_deg": {"from": 0, "to": 180, "step": 20}}
BED = {"type": "bed", "on": "floors", "timber": "oak-white", "friction": 0.3}
BOND = {"type": "bond", "id": "goo", "adhesive": "sealant"}
SCREWS = {"gauge": 12, "count": 4, "penetration_mm": 40.0, "into": "oak-white", "member": "keel", "metal": "A4-70"}


def pig(*restraint: dict[str, Any], **more: Any) -> dict[str, Any]:
    own = {
        "id": "pig",
        "kind": "ballast",
        "mass_kg": 10.0,
        "at_m": [3.0, 0.0, -0.3],
        "size_m": [0.3, 0.16, 0.06],
        "measured": True,
    }
    return own | {"restraint": list(restraint)} | more


def check(*weights: dict[str, Any], **boat: Any) -> list[WeightVerdict]:
    file = {"boat": {"name": "Whimbrel"} | boat, "scenario": [ROLL], "weight": list(weights)}
    return check_boat(BoatFile.model_validate(file), ["roll"]).weights


def held() -> list[dict[str, Any]]:
    sides = [
        {"type": "cleat", "face": face, "timber": "oak-white", "length_mm": 150, "height_mm": 40, "depth_mm": 60}
        | {"screws": SCREWS | {"count": 2}}
        for face in ("port", "starboard", "fore", "aft")
    ]
    lid = {"type": "batten", "timber": "oak-white", "span_mm": 260, "width_mm": 70, "depth_mm": 30, "screws": SCREWS}
    return [BED, *sides, lid]


class TestBond:
    def test_alone_is_never_green_however_strong(self) -> None:
        (found,) = check(pig(BOND | {"strength_N": 1e5}))
        assert found.verdict == "amber"
        assert any("a bond is the only thing that stops it" in reason for reason in found.reasons)

    def test_with_friction_to_hold_what_it_would_let_go_is_not_green_either(self) -> None:
        (found,) = check(pig(BED, *held()[5:], BOND | {"strength_N": 1e5}))
        assert found.verdict == "amber"

    def test_beside_cleats_and_a_batten_is_no_doubt(self) -> None:
        (found,) = check(pig(*held(), BOND | {"strength_N": 1e5}))
        assert not any("the only thing" in reason for reason in found.reasons)
        assert found.verdict == "green"

    def test_without_a_strength_is_left_out_and_costs_nobody_else_the_answer(self) -> None:
        glued, other = check(pig(BED, BOND, id="glued"), pig(*held(), at_m=[4.0, 0.0, -0.3]))
        assert glued.verdict == "red"
        assert glued.free_to_move
        assert any(reason.startswith("goo: no code gives a bond's strength") for reason in glued.reasons)
        assert other.verdict == "green"


class TestGas:
    def test_below_is_warned_of(self) -> None:
        (found,) = check(pig(*held(), kind="gas"))
        assert any("gas is heavier than air" in each and "drains overboard" in each for each in found.warnings)

    @pytest.mark.parametrize("more", [{"kind": "gas", "drained_locker": True}, {"kind": "tank"}])
    def test_in_a_drained_locker_is_not(self, more: dict[str, Any]) -> None:
        (found,) = check(pig(*held(), **more))
        assert not any("gas" in each for each in found.warnings)


class TestMetals:
    @pytest.mark.parametrize(
        ("metal", "into", "says"),
        [
            ("galvanised-steel", "oak-white", "wastes in wet oak"),
            ("8.8", "oak-european", "wastes in wet oak"),
            ("galvanised-steel", "larch", None),
            ("brass", "larch", "loses its zinc"),
            ("A4-70", "oak-white", "pits where wet timber keeps the air"),
            ("silicon-bronze", "oak-white", None),
        ],
    )
    def test_in_a_timber(self, metal: str, into: str, says: str | None) -> None:
        lid = {"type": "batten", "id": "lid", "screws": SCREWS | {"metal": metal, "into": into}}
        found = corrosion_warnings(Weight.model_validate(pig(lid)))
        assert [each.startswith("lid: ") and says is not None and says in each for each in found] == [True] * bool(says)

    def test_side_by_side(self) -> None:
        def piece(name: str, metal: str) -> dict[str, Any]:
            return {"type": "batten", "id": name, "screws": SCREWS | {"metal": metal, "into": "larch"}}

        mixed = pig(piece("a", "galvanised-steel"), piece("b", "silicon-bronze"))
        (found,) = corrosion_warnings(Weight.model_validate(mixed))
        assert found.startswith("a: bronze, brass or copper stands beside steel")

    def test_only_in_a_wet_bilge(self) -> None:
        for bilge in ("wet", "dry"):
            (found,) = check(pig(*held()), bilge=bilge)
            assert any("pits" in each for each in found.warnings) == (bilge == "wet")
