"""One board or cleat that holds several weights: its strength counts once for all of them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from secure_load.boat.file import BoatFileError, parse_boat, read_document
from secure_load.boat.models import BoatFile
from secure_load.boat.render import render_boat
from secure_load.boat.save import new_text
from secure_load.check.check import check_boat
from secure_load.check.results import WeightVerdict
from secure_load.record.fitting_out import fitting_out
from secure_load.record.text.restraint_text import Sources, all_restraint_words
from secure_load.screen.session.session import Session

SCREWS = {"kind": "coach-screw", "diameter_mm": 8, "count": 4, "penetration_mm": 60, "into": "oak-white",
          "metal": "galvanised-steel", "member": "floor"}  # fmt: skip
STILL = {"id": "inverted-still", "heel_deg": {"from": 0, "to": 180, "step": 5}}


def pig(number: int, forward: float) -> dict[str, Any]:
    side = {"type": "cleat", "timber": "oak-white", "length_mm": 120, "height_mm": 40, "depth_mm": 60,
            "screws": SCREWS, "strength_N": 9000}  # fmt: skip
    return {
        "id": f"pig-{number}", "kind": "ballast", "mass_kg": 20.0, "at_m": [forward, 0.0, -0.3],
        "size_m": [0.15, 0.2, 0.06], "measured": True,
        "restraint": [
            {"id": "bed", "type": "bed", "friction": 0.2, "timber": "oak-white", "on": "floors"},
            *({**side, "id": face, "face": face} for face in ("port", "starboard", "fore", "aft")),
        ],
    }  # fmt: skip


def board(**more: Any) -> dict[str, Any]:
    return {"id": "board", "type": "batten", "along": "fore-and-aft", "timber": "oak-white", "span_mm": 900,
            "width_mm": 120, "depth_mm": 30, "at_m": [3.0, 0.0, -0.27], "screws": SCREWS, **more}  # fmt: skip


def boat(pigs: list[dict[str, Any]], shared: list[dict[str, Any]]) -> BoatFile:
    return BoatFile.model_validate(
        {
            "schema": 2,
            "boat": {"name": "Ossing", "bilge": "wet"},
            "weight": pigs,
            "restraint": shared,
            "scenario": [STILL],
        }
    )


def verdicts(pigs: list[dict[str, Any]], shared: list[dict[str, Any]]) -> list[WeightVerdict]:
    return check_boat(boat(pigs, shared), ["inverted-still"]).weights


def demand(verdict: WeightVerdict, part: str) -> float:
    (piece,) = (r for r in verdict.restraints if r.id == "board")
    return next(p.demand_N for p in piece.parts if p.part.startswith(part))


@pytest.mark.parametrize("count", [2, 4])
def test_a_board_carries_all_that_hangs_on_it(count: int) -> None:
    """Upside down at rest the board bears all the weights: half of count x 20 kg x 9.80665 at each end."""
    places = [3.0 + 0.18 * (i - 0.5 * (count - 1)) for i in range(count)]
    found = verdicts([pig(i, x) for i, x in enumerate(places)], [board(over=[f"pig-{i}" for i in range(count)])])
    for each in found:
        assert demand(each, "timber sheared at the fore end") == pytest.approx(count * 20.0 * 9.80665 / 2, rel=0.02)
        assert each.free_to_move is False


def test_a_weight_off_the_middle_draws_the_nearer_end() -> None:
    """20 kg at 0.3 m and 20 kg at 0.1 m forward of the middle of 0.9 m: the fore end has 1/2 + 0.2 / 0.9 of 392 N."""
    found = verdicts([pig(0, 3.3), pig(1, 3.1)], [board(over=["pig-0", "pig-1"])])
    whole = 40.0 * 9.80665
    assert demand(found[0], "timber sheared at the fore end") == pytest.approx(whole * (0.5 + 0.2 / 0.9), rel=0.03)
    assert demand(found[1], "timber sheared at the after end") == pytest.approx(whole * (0.5 - 0.2 / 0.9), rel=0.06)


def test_without_it_they_fall() -> None:
    assert all(each.free_to_move for each in verdicts([pig(0, 2.9), pig(1, 3.1)], []))


def test_a_weight_beside_the_board_is_told() -> None:
    (held, beside) = verdicts([pig(0, 2.9), pig(1, 4.0)], [board(over=["pig-0", "pig-1"])])
    assert beside.verdict == "red"
    assert any("board" in reason and "beside" in reason for reason in beside.reasons)
    assert not any("beside" in reason for reason in held.reasons)


def test_it_is_saved_as_it_was_written() -> None:
    text = render_boat(boat([pig(0, 2.9), pig(1, 3.1)], [board(over=["pig-0", "pig-1"])]))
    assert parse_boat(text).restraint[0].over == ["pig-0", "pig-1"]
    assert parse_boat(text).restraint[0].span_mm == 900


def test_it_is_added_to_a_file_and_changed_in_it(tmp_path: Path) -> None:
    path = tmp_path / "ossing.toml"
    path.write_text("# mine\n" + render_boat(boat([pig(0, 2.9), pig(1, 3.1)], [])))
    document = read_document(path)
    text, _ = new_text(document, boat([pig(0, 2.9), pig(1, 3.1)], [board(over=["pig-0", "pig-1"])]))
    assert text.startswith("# mine\n")
    path.write_text(text + "# the end\n")
    text, _ = new_text(read_document(path), boat([pig(0, 2.9), pig(1, 3.1)], [board(over=["pig-1", "pig-0"])]))
    assert parse_boat(text).restraint[0].over == ["pig-1", "pig-0"]
    assert text.endswith("# the end\n")


def test_fault_of_a_shared_piece_names_its_line() -> None:
    with pytest.raises(BoatFileError, match=r"line \d+.*there is no weight 'pig-9'"):
        parse_boat(
            render_boat(boat([pig(0, 2.9), pig(1, 3.1)], [board(over=["pig-0", "pig-1"])])).replace(
                'over = ["pig-0", "pig-1"]', 'over = ["pig-0", "pig-9"]'
            )
        )


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"over": ["pig-0", "pig-7"]}, "there is no weight 'pig-7' in this file"),
        ({"over": ["pig-0", "pig-0"]}, "names a weight twice"),
        ({"over": ["pig-0"]}, "at least 2"),
        ({"span_mm": None}, "needs 'span_mm'"),
        ({"id": "port"}, "is used twice"),
    ],
)
def test_a_piece_that_makes_no_sense_is_refused_in_words(change: dict[str, Any], words: str) -> None:
    piece = board(**{"over": ["pig-0", "pig-1"], **change})
    with pytest.raises(ValueError, match=words):
        boat([pig(0, 2.9), pig(1, 3.1)], [piece])


def test_the_record_says_it_under_each_and_it_is_cut_once() -> None:
    both = boat([pig(0, 2.9), pig(1, 3.1)], [board(over=["pig-0", "pig-1"])])
    for weight, other in zip(both.weights_as_held(), ("pig-1", "pig-0"), strict=True):
        assert f"One piece with {other}" in all_restraint_words(weight, Sources())[-1]
    assert len([row for row in fitting_out(both).rows if row.what.startswith("batten")]) == 1


def test_the_weights_it_holds_are_checked_again_together() -> None:
    session = Session(boat([pig(0, 2.9), pig(1, 3.1), pig(2, 3.6)], [board(over=["pig-0", "pig-1"])]))
    before = session.cache_keys()
    session.apply_changes({("weight", 0, "mass_kg"): 24.0}, "mass")
    after = session.cache_keys()
    assert [name for name in after if after[name] != before[name]] == ["pig-0", "pig-1"]
    session.rename(1, "pig-one")
    assert session.boat.restraint[0].over == ["pig-0", "pig-one"]
