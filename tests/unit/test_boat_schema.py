"""The published JSON Schema, files of schema 1, slopes as they may be written, and the words of the trade."""

from __future__ import annotations

import json
from importlib import resources
from pathlib import Path

import pytest

from secure_load.boat.file import BoatFileError, parse_boat, read_document
from secure_load.boat.models import Bed, Cleat, boat_schema_text
from secure_load.boat.save import save_boat
from secure_load.boat.schema import SCHEMA_FILE
from secure_load.boat.starter import new_boat_text

OLD = """\
# Kept as it was found.
schema = 1                    # the first

[boat]
name = "Dunlin"

[[weight]]
id = "pig"                    # the heavy one
mass_kg = 20.0
at_m = [1.0, 0.3, -0.2]
size_m = [0.3, 0.1, 0.1]

[[weight.restraint]]
type = "bed"
on = "planking"               # as found

[[weight.restraint]]
type = "bed"
face = "port"
on = "planking"

[[weight]]
id = "cable"
kind = "chain"
mass_kg = 20.0
at_m = [2.0, 0.0, -0.2]
"""


def test_the_published_schema_is_that_of_the_models() -> None:
    """To publish it anew: write ``boat_schema_text()`` into the file."""
    published = resources.files("secure_load.boat").joinpath(SCHEMA_FILE).read_text(encoding="utf-8")
    assert published == boat_schema_text()
    assert json.loads(published)["$schema"].startswith("https://json-schema.org/")


def test_a_new_file_names_the_schema_first() -> None:
    text = new_boat_text("Dunlin")
    assert text.splitlines()[0] == f"#:schema {SCHEMA_FILE}"
    assert parse_boat(text).schema_ == 2


def test_schema_1_keeps_its_meaning() -> None:
    """There planking at a side stood upright, a weight on planking lay level, and chain was one block."""
    boat = parse_boat(OLD)
    pig, cable = boat.weight
    assert boat.schema_ == 2
    assert pig.slope_deg is not None
    assert pig.slope_deg.is_level
    assert [r.slope_deg for r in pig.restraint if isinstance(r, Bed)] == [None, 90.0]
    assert cable.shape == "box"


def test_schema_1_is_saved_as_2_with_every_word(tmp_path: Path) -> None:
    path = tmp_path / "dunlin.toml"
    path.write_text(OLD, encoding="utf-8")
    document = read_document(path)
    saved = save_boat(document, document.boat)
    text = path.read_text(encoding="utf-8")
    assert saved.comments_kept
    assert "schema = 2                    # the first" in text
    for comment in ("# Kept as it was found.", "# the heavy one", "# as found"):
        assert comment in text
    assert parse_boat(text) == document.boat


def one(weight: str = "", restraint: str = "") -> str:
    return f"""schema = 2
[boat]
name = "Dunlin"
[[weight]]
id = "pig"
mass_kg = 20.0
at_m = [1.0, 0.0, -0.2]
size_m = [0.3, 0.1, 0.1]
{weight}
[[weight.restraint]]
{restraint}
"""


@pytest.mark.parametrize(
    ("written", "degrees"),
    [("12", 12.0), ('"40 in 300"', 7.5946), ('"rises 40 in 300 mm"', 7.5946), ('"falls 30 mm in 300 mm"', -5.7106)],
)
def test_a_slope_is_degrees_or_a_rise_over_a_length(written: str, degrees: float) -> None:
    """atan(40 / 300) = 7.595 degrees, atan(30 / 300) = 5.711."""
    lies = parse_boat(one(f"slope_deg = {{ fore_and_aft = {written} }}", 'type = "bed"')).weight[0].slope_deg
    assert lies is not None
    assert lies.fore_and_aft == pytest.approx(degrees, abs=1e-4)


@pytest.mark.parametrize(
    ("weight", "restraint", "sentence"),
    [
        ("slope_deg = { fore_and_aft = 100 }", 'type = "bed"', "is 100, but must be at most 90 degrees"),
        (
            "slope_deg = { fore_and_aft = 60, athwartships = 50 }",
            'type = "bed"',
            "two slopes together are more than 90",
        ),
        ('slope_deg = { turned = "a bit" }', 'type = "bed"', "must be degrees, or a rise over a level length"),
        ("", 'type = "bed"\nedge = "bottom-port"\nslope_deg = 95', "is 95, but must be at most 90 degrees"),
        ("", 'type = "bed"\nedge = "bottom-port"\nface = "starboard"', "give 'face' or 'edge'"),
        ("", 'type = "bed"\nslope_deg = 30', "give the bed's own middle 'at_m' to one side of it"),
        ("top_size_m = [0.2, 0.1]", 'type = "bed"', "'top_size_m' is for a tapered ingot"),
        ("cg_m = [0.2, 0.0, 0.0]", 'type = "bed"', "'cg_m' lies outside the weight"),
        ('shape = "barrel"', 'type = "bed"', "must be one of box, ingot"),
    ],
)
def test_each_slip_gets_one_sentence(weight: str, restraint: str, sentence: str) -> None:
    with pytest.raises(BoatFileError) as caught:
        parse_boat(one(weight, restraint))
    assert sentence in str(caught.value)
    assert "\n" not in str(caught.value)


def test_words_of_the_trade_are_read() -> None:
    for word, kept in (("floor", "floors"), ("knee", "knee"), ("bearer", "bearers"), ("engine bed", "engine-bed")):
        bed = parse_boat(one("", f'type = "bed"\non = "{word}"')).weight[0].restraint[0]
        assert isinstance(bed, Bed)
        assert bed.on == kept
    chock = parse_boat(one("", 'type = "chock"\nface = "port"\nscrews = { into = "floor" }')).weight[0].restraint[0]
    assert isinstance(chock, Cleat)
    assert chock.screws is not None
    assert (chock.screws.member, chock.screws.into) == ("floor", None)
