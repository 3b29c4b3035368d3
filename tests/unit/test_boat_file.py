"""Reading a boat file: the whole example, and one clear sentence for everything that can be wrong with it."""

# ruff: noqa: E501 (the example is a file as a person would write it)

from __future__ import annotations

import os
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest

from secure_load.boat.file import BoatFileError, locate, parse_boat, read_boat, read_document
from secure_load.boat.models import Batten, Bed, Cleat, Strap
from tests.boats import head, larch

HEAD = head(
    "Wheatear",
    rig="gaff cutter",
    lwl_m=6.40,
    bwl_m=2.05,
    displacement_kg=2150,
    planking=larch(19, 190),
    bilge="wet",
)
EXAMPLE = (
    HEAD
    + """
[[weight]]
id = "mast-step-pigs"
name = "Pigs abaft the mast step"
kind = "ballast"              # ballast battery chain anchor tank gas tools stores engine other
mass_kg = 48.0                # or: ingots = { count = 4, each_kg = 12.0 }
at_m = [3.60, 0.00, -0.32]    # centre of gravity
size_m = [0.42, 0.20, 0.12]   # fore-and-aft, athwartships, height
measured = true               # weighed, not guessed

[[weight.restraint]]
id = "bed"
type = "bed"                  # bed cleat batten lashing strap cable_tie bolt bond neighbour
face = "bottom"               # bottom top port starboard fore aft
pad = { material = "neoprene-60", thickness_mm = 6 }
friction = 0.2                # a number is taken as given; a named pair ("rubber-oiled-wood") brings its low and high

[[weight.restraint]]
id = "port-cleat"
type = "cleat"
face = "port"
timber = "oak-white"
length_mm = 300
height_mm = 40
depth_mm = 35                 # in the direction of the thrust
screws = { kind = "wood-screw", gauge = 10, count = 3, penetration_mm = 32, into = "larch", member = "floor", metal = "silicon-bronze" }

[[weight.restraint]]
id = "hold-down"
type = "batten"
face = "top"
timber = "oak-white"
span_mm = 360
width_mm = 60
depth_mm = 25
screws = { kind = "coach-screw", diameter_mm = 8, count = 4, penetration_mm = 45, into = "oak-white", member = "keel", metal = "galvanised-steel" }

[[weight.restraint]]
id = "gripe"
type = "strap"
from_m = [3.60, 0.35, -0.30]
to_m = [3.60, -0.35, -0.30]
line = "polyester-webbing-25"
tension_N = 0
anchors = { kind = "eye", screws = { kind = "wood-screw", gauge = 12, count = 2, penetration_mm = 38, into = "larch", member = "floor", metal = "silicon-bronze" } }

[[scenario]]                  # the owner's own, beside the built-in ones
id = "my-knockdown"
name = "Flat, and she lands hard"
heel_deg = { from = 0, to = 110, step = 1 }
load_factor = [1.0, 2.0]
surge_g = [-0.3, 0.3]         # also sway_g, heave_g: the boat's own acceleration along her x, y, z; every combination is run
pitch_deg = [0]
both_sides = true
roll_rate_deg_s = 0
roll_acceleration_deg_s2 = 0
"""
)


def test_the_whole_example_is_read() -> None:
    boat = parse_boat(EXAMPLE)
    assert boat.boat.name == "Wheatear"
    assert boat.boat.planking is not None
    assert boat.boat.planking.frame_spacing_mm == 190
    (pigs,) = boat.weight
    assert (pigs.mass, pigs.at_m, pigs.measured) == (48.0, (3.6, 0.0, -0.32), True)
    bed, cleat, batten, strap = pigs.restraint
    assert isinstance(bed, Bed)
    assert bed.friction == 0.2
    assert isinstance(cleat, Cleat)
    assert cleat.screws is not None
    assert cleat.screws.gauge == 10
    assert isinstance(batten, Batten)
    assert batten.depth_mm == 25
    assert isinstance(strap, Strap)
    assert strap.anchors is not None
    (scenario,) = boat.scenario
    assert scenario.heel_deg.to == 110
    assert scenario.load_factor == [1.0, 2.0]


P = "weight 'mast-step-pigs', "
C = P + "restraint 'port-cleat', "
S = "scenario 'my-knockdown', "


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("length_mm", "lenght_mm", f"line 33, {C}key 'lenght_mm': unknown key; did you mean 'length_mm'?"),
        ("48.0", '"48"', f"line 16, {P}key 'mass_kg': is '48', but must be a number; take the quotes off"),
        ("48.0", "true", f"line 16, {P}key 'mass_kg': is true, but must be a number"),
        ("48.0", "nan", f"line 16, {P}key 'mass_kg': is nan, but must be an ordinary number"),
        ("48.0", "-3", f"line 16, {P}key 'mass_kg': is -3, but must be at least 0.001 kg"),
        ("48.0", "2e6", f"line 16, {P}key 'mass_kg': is 2000000.0, but must be at most 100,000 kg"),
        ("mass_kg = 48.0", "", f"line 12, {P[:-2]}: needs 'mass_kg', or 'ingots' in its place"),
        ("[3.60, 0.00, -0.32]", "[3.60, 0.00]", f"line 17, {P}key 'at_m': holds 2 numbers, but must hold 3"),
        ("[3.60, 0.00, -0.32]", "[1, 2, 'x']", f"line 17, {P}key 'at_m[3]': is 'x', but must be a number"),
        ("at_m = [3.60, 0.00, -0.32]", "", f"line 12, {P}key 'at_m': is missing"),
        ("at_m = [3.60", "at = [3.60", f"line 17, {P}key 'at': unknown key; did you mean 'at_m'?"),
        ('"cleat"\n', '"cleet"\n', f"line 30, {C}key 'type': is 'cleet', but must be one of bed, cleat, batten, "
         "lashing, strap, cable_tie, bolt, bond, neighbour; did you mean 'cleat'?"),
        ('face = "port"', 'face = "bottom"', f"line 31, {C}key 'face': is 'bottom', but must be one of "
         "port, starboard, fore, aft"),
        ('id = "port-cleat"', 'id = "bed"', f"line 29, {P}restraint 'bed', key 'id': "
         "the restraint id 'bed' is used twice"),
        ("gauge = 10", "gauge = 10.5", f"line 36, {C}key 'screws.gauge': is 10.5, but must be a whole number"),
        ("friction = 0.2", "friction = []", f"line 26, {P}restraint 'bed', key 'friction': "
         "is a list of 0, but must be a number or text in quotes"),
        ("to = 110", "to = 181", f"line 60, {S}key 'heel_deg.to': is 181, but must be at most 180 degrees"),
        ("{ from = 0, to = 110, step = 1 }", "'90'", f"line 60, {S}key 'heel_deg': is '90', but must be a number "
         "of degrees or {{ from = 0, to = 110, step = 1 }}; take the quotes off"),
        ("from = 0", "from_ = 0", f"line 60, {S}key 'heel_deg.from_': unknown key; did you mean 'from'?"),
        ("roll_rate_deg_s = 0", "roll_rate_deg_s = ['a']", f"line 65, {S}key 'roll_rate_deg_s[1]': is 'a', "
         "but must be a number"),
        ("schema = 1", "schema = 3", "line 1, key 'schema': is 3, but only files of schema 1 and 2 can be read"),
        ('name = "Wheatear"', 'nam = "x"', "line 4, boat, key 'nam': unknown key; did you mean 'name'?"),
        ('"Wheatear"', '"a\\u001b[31m"', "line 4, boat, key 'name': must hold no control characters, "
         "but character 2 is U+001B"),
        ('bilge = "wet"', 'bilge = "\\u001b[2Jdamp"', "line 10, boat, key 'bilge': is '\\x1b[2Jdamp', "
         "but must be one of wet, dry"),
        ('"Wheatear"', "Wheatear", "line 4: the value cannot be read; text must stand in quotes (column 8)"),
        ('"Wheatear"', '"Wheatear', "line 4: the quotes are not closed on this line (column 17)"),
        ("[boat]", "[boat]\nname = 'x'", "line 5: a key or table is given twice (column 18)"),
    ],
)  # fmt: skip
def test_each_slip_gets_one_sentence(old: str, new: str, message: str) -> None:
    assert old in EXAMPLE
    with pytest.raises(BoatFileError) as caught:
        parse_boat(EXAMPLE.replace(old, new, 1), "stow/wheatear.toml")
    assert str(caught.value) == f"wheatear.toml, {message}".replace("{{", "{").replace("}}", "}")


def test_the_error_carries_file_line_and_key_and_counts_the_rest() -> None:
    text = EXAMPLE.replace("gauge = 10", "gauge = 'x'").replace("to = 110", "to = 500")
    with pytest.raises(BoatFileError) as caught:
        parse_boat(text, "w.toml")
    error = caught.value
    assert (error.path, error.line, error.key, error.more) == (Path("w.toml"), 36, "screws.gauge", 1)
    assert str(error).endswith("(and 1 more)")


def test_a_single_bracket_for_a_list_of_tables_is_explained() -> None:
    with pytest.raises(BoatFileError, match=r"must be a list of tables, each headed \[\[weight\]\]"):
        parse_boat("[boat]\nname='x'\n[weight]\nid='a'\n")


def test_a_long_value_is_cut_short() -> None:
    with pytest.raises(BoatFileError) as caught:
        parse_boat(EXAMPLE.replace('"wet"', f'"{"x" * 5000}"'))
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "line 1, key 'boat': is missing"),
        (b"[boat]\nname = '\xff'", r"line 2: is not text in UTF-8 \(byte 16 cannot be read\)"),
        (b"\x89PNG\r\n\x1a\n\0\0", r"line 1: is not text in UTF-8 \(byte 1 cannot be read\)"),
        (b"[boat]\n\0", r"line 2: is not a text file \(byte 8 is zero\)"),
        (b"#" * 5_000_001, "is larger than 5 MB"),
        (b"a = " + b"[" * 9000, "lists within lists too deep"),
        (b"a = " + b"9" * 5000, "number too long"),
        (b"a = '\x1b[2J'", "line 1: a control character stands here"),
    ],
)
def test_what_is_no_boat_file_is_refused(data: bytes, message: str, tmp_path: Path) -> None:
    path = tmp_path / "w.toml"
    path.write_bytes(data)
    with pytest.raises(BoatFileError, match=message) as caught:
        read_boat(path)
    assert str(caught.value).isprintable()


def test_what_is_no_plain_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BoatFileError, match=r"none.toml: there is no such file or folder"):
        read_boat(tmp_path / "none.toml")
    with pytest.raises(BoatFileError, match="is a folder, not a boat file"):
        read_boat(tmp_path)
    with pytest.raises(BoatFileError, match="a file cannot have this name"):
        read_boat("a\0b")
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe")
        with pytest.raises(BoatFileError, match="is a device or a pipe"):
            read_boat(tmp_path / "pipe")


def test_no_permission_is_said_plainly(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "w.toml"
    path.write_text(EXAMPLE)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(BoatFileError, match="you have no permission for this file"):
        read_boat(path)


def test_the_mark_and_line_ends_of_other_systems_are_taken(tmp_path: Path) -> None:
    path = tmp_path / "w.toml"
    text = "\ufeff" + EXAMPLE.replace("\n", "\r\n")
    path.write_bytes(text.encode())
    document = read_document(path)
    assert document.boat == parse_boat(EXAMPLE)
    assert document.text == text
    assert document.line_of(("weight", 0, "mass_kg")) == 16


LAYOUTS = """\
# top
boat.name = "A"   # dotted
"float"."kg_m" = 1

weight = [
  { id = "a", at_m = [
      0,
      1, # y
      2 ], mass_kg = 1 },
  # between ] }
  { id = 'b = "', why = \"\"\"
three "" ] lines \\\"\"\"
\"\"\", restraint = [ { type = "bed" },
    { type = "bond" } ] },
]
[[scenario]]
id = 'x'
[scenario.heel_deg]
to = 1979-05-27 07:32:00
[[scenario]]
[[scenario.deeper]]
[[scenario.deeper]]
k.l = { m.n = 1, o = [ [ 1 ], [ 2 ] ] }
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ((), 1),
        (("boat", "name"), 2),
        (("boat", "nothing"), 2),
        (("float", "kg_m"), 3),
        (("weight",), 5),
        (("weight", 0), 6),
        (("weight", 0, "at_m"), 6),
        (("weight", 0, "at_m", 2), 9),
        (("weight", 0, "mass_kg"), 9),
        (("weight", 1, "id"), 11),
        (("weight", 1, "restraint", 0, "type"), 13),
        (("weight", 1, "restraint", 1, "type"), 14),
        (("scenario", 0), 16),
        (("scenario", 0, "heel_deg"), 18),
        (("scenario", 0, "heel_deg", "to"), 19),
        (("scenario", 1, "deeper", 1), 22),
        (("scenario", 1, "deeper", 1, "k", "l", "m", "n"), 23),
        (("scenario", 1, "deeper", 1, "k", "l", "o", 1, 0), 23),
    ],
)
def test_keys_are_found_in_every_layout(path: tuple[str | int, ...], line: int) -> None:
    assert tomllib.loads(LAYOUTS)
    assert locate(LAYOUTS, path) == line


def test_locate_makes_do_with_text_that_is_not_toml() -> None:
    assert locate("a = 1\nb = = 2\nc = 3", ("a",)) == 1
    assert locate("a = 1\n" + "b = " + "[" * 5000, ("b",)) == 2


def test_sixty_weights_are_read_in_no_time() -> None:
    start = EXAMPLE.index("[[weight]]")
    one, rest = EXAMPLE[start : EXAMPLE.index("[[scenario]]")], EXAMPLE[EXAMPLE.index("[[scenario]]") :]
    text = EXAMPLE[:start] + "".join(one.replace("mast-step-pigs", f"pigs-{n}") for n in range(60)) + rest
    assert len(parse_boat(text).weight) == 60
    spent = []
    for _ in range(5):
        begun = time.perf_counter()
        parse_boat(text)
        spent.append(time.perf_counter() - begun)
    # Some 15 ms on a slow machine; the bound leaves room for a busy one and still catches a tenfold slip.
    assert min(spent) < 0.1


def test_reading_brings_in_no_writer_and_no_screen() -> None:
    code = (
        "import sys, secure_load.boat.file, secure_load.boat.save;"
        "print([m for m in ('tomlkit', 'textual', 'rich', 'numpy') if m in sys.modules])"
    )
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root)
    assert done.stdout.strip() == "[]"
