"""The keys of this room in a boat file: read, written, and left alone when something else is edited."""

from __future__ import annotations

from pathlib import Path

import pytest

from secure_load.boat.file import BoatFileError, parse_boat, read_document
from secure_load.boat.render import render_boat
from secure_load.boat.save import save_boat

TEXT = """\
schema = 1

[boat]
name = "Trial"

[[weight]]
id = "water"  # amidships
kind = "tank"
mass_kg = 60
at_m = [2.9, 0.0, -0.2]
tank = { fluid = "fresh-water", fill = 0.5, size_m = [0.6, 0.5, 0.3] }

[float]
water = "seawater"
wind_m_s = [7.0, 10.0]
marks = { fore_m = 0.9, aft_m = 1.0, weights_aboard = false }
opening = [{ name = "hatch", at_m = [3.0, -0.2, 0.7] }]

[float.inclining]  # done on a still day
pendulum_mm = 1500
readings = [
    { moved_kg = 20, across_m = 1.2, deflection_mm = 21 },
    { moved_kg = 20, across_m = -1.2, deflection_mm = -20.5 },
]

[float.roll_test]
readings = [{ rolls = 10, seconds = 24.5 }]

[float.casting]
mould = { top_mm = [300, 100], bottom_mm = [280, 80], depth_mm = 40 }
scrap_kg = 120
weighed_kg = [10.4, 10.5]

[float.lift]
hands_out_mm = 500
from_height_mm = 700
to_height_mm = 100
grip = "fair"

[float.half_breadths]
x_m = [0, 3, 6]
z_m = [-0.4, 0, 0.6]
half_breadth_m = [[0, 0.4, 0.6], [0, 1.0, 1.1], [0, 0, 0.2]]
keel_m = [-0.3, -0.5, 0]

[float.placing]
trim_deg = -0.2

[[float.placing.ingot]]
id = "pig"
each_kg = 12.0
count = 10

[[float.placing.place]]
id = "mast"  # dry
at_m = [3.6, 0.0, -0.5]
room_count = 12
size_m = [0.4, 0.3]
bearing_kPa = 40
reach = 2
"""


def test_all_keys_are_read_and_written_again() -> None:
    boat = parse_boat(TEXT)
    assert boat.float_ is not None
    assert boat.float_.placing is not None
    assert boat.float_.placing.place[0].bearing_kPa == 40
    assert boat.weight[0].tank is not None
    again = parse_boat(render_boat(boat))
    assert again == boat


def test_an_edit_elsewhere_leaves_them_letter_for_letter(tmp_path: Path) -> None:
    path = tmp_path / "boat.toml"
    path.write_text(TEXT, encoding="utf-8")
    document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    boat.weight[0].mass_kg = 62.0
    save_boat(document, boat)
    assert path.read_text(encoding="utf-8") == TEXT.replace("mass_kg = 60", "mass_kg = 62").replace(
        "schema = 1", "schema = 2"
    )


def test_an_edit_in_a_place_changes_that_line(tmp_path: Path) -> None:
    path = tmp_path / "boat.toml"
    path.write_text(TEXT, encoding="utf-8")
    document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    assert boat.float_ is not None
    assert boat.float_.placing is not None
    boat.float_.placing.place[0].reach = 5
    save_boat(document, boat)
    assert parse_boat(path.read_text(encoding="utf-8")) == boat


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("fill = 0.5", "fill = 1.5", "key 'tank.fill': is 1.5, but must be at most 1"),
        ('grip = "fair"', 'grip = "firm"', "one of good, fair, poor"),
        ("fore_m = 0.9", "for_m = 0.9", "did you mean 'fore_m'"),
        ("each_kg = 12.0", "each_kg = 0", "at least 0.001 kg"),
        ("room_count = 12", "room_count = 1.5", "must be a whole number"),
        ('name = "hatch", ', "", "key 'opening[1].name': is missing"),
    ],
)
def test_bad_input_is_told_in_one_sentence(old: str, new: str, words: str) -> None:
    with pytest.raises(BoatFileError) as caught:
        parse_boat(TEXT.replace(old, new))
    assert words in caught.value.message
    assert caught.value.line is not None
