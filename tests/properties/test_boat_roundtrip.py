"""Whatever can be written about a boat is saved and read back the same, and no mangled file does harm."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from secure_load.boat.file import BoatDocument, BoatFileError, Signature, parse_boat, read_boat, read_document
from secure_load.boat.models import (
    Anchors,
    Batten,
    Bed,
    BoatFile,
    BoatParticulars,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Finding,
    FloatData,
    HeelRange,
    HullSection,
    Ingots,
    Lashing,
    Neighbour,
    Pad,
    Planking,
    Scenario,
    Screws,
    Strap,
    Weight,
)
from secure_load.boat.render import render_boat
from secure_load.boat.save import new_boat_text, new_text, save_boat

QUICK = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture, HealthCheck.data_too_large],
)


def number(low: float, high: float) -> st.SearchStrategy[float]:
    return st.one_of(
        st.integers(int(low) + 1 if low > int(low) else int(low), int(high)).map(float),
        st.floats(low, high, allow_nan=False, allow_infinity=False),
    )


def maybe(of: st.SearchStrategy) -> st.SearchStrategy:
    return st.none() | of


# Letters of several scripts, right-to-left ones among them, and everything that TOML must quote.
WORDS = st.text(st.sampled_from("ab Z9'\"\\#=[]{}.,-_éßшא ב عش日🛶\u00a0"), min_size=1, max_size=12).filter(
    lambda t: bool(t.strip())
)
IDS = WORDS.filter(lambda t: t == t.strip())
# Few of them, so that two boats drawn apart have weights and restraints in common.
NAMES = st.sampled_from(["pigs", "battery", "ankare", "gas-2"]) | IDS
MASS, COORD, LENGTH = number(0.001, 1e5), number(-1000, 1000), number(0.001, 50)
MM, FORCE = number(0.1, 50_000), number(0.001, 1e8)
POINT, SIZE = st.tuples(COORD, COORD, COORD), st.tuples(LENGTH, LENGTH, LENGTH)
FACES = st.sampled_from(["bottom", "top", "port", "starboard", "fore", "aft"])
SIDES = st.sampled_from(["port", "starboard", "fore", "aft"])
FRICTION = maybe(number(0, 2) | IDS)

screws = st.builds(
    Screws,
    kind=st.sampled_from(["wood-screw", "coach-screw", "bolt"]),
    gauge=maybe(st.integers(0, 30)),
    diameter_mm=maybe(MM),
    count=st.integers(1, 9),
    into=maybe(IDS),
    end_grain=st.booleans(),
)
anchors = st.builds(Anchors, screws=maybe(screws), strength_N=maybe(FORCE))
findings = st.builds(Finding, date=st.dates(), note=WORDS, factor=number(0, 1), fixed=st.booleans())
given_too = {
    "strength_N": maybe(FORCE),
    "stiffness_N_per_mm": maybe(number(0.5, 1e6)),
    "finding": st.lists(findings, max_size=2),
}
ends = st.tuples(POINT, POINT).filter(lambda e: sum(abs(a - b) for a, b in zip(*e, strict=True)) > 0.1)
restraint = st.one_of(
    st.builds(
        Bed,
        face=FACES,
        pad=maybe(st.builds(Pad, material=IDS, thickness_mm=MM)),
        friction=FRICTION,
        size_m=maybe(st.tuples(LENGTH, LENGTH)),
        **given_too,
    ),
    st.builds(Cleat, face=SIDES, timber=maybe(IDS), screws=maybe(screws), friction=FRICTION, **given_too),
    st.builds(Batten, along=st.sampled_from(["athwartships", "fore-and-aft"]), screws=maybe(screws)),
    ends.flatmap(lambda e: st.builds(Lashing, from_m=st.just(e[0]), to_m=st.just(e[1]), anchors=maybe(anchors))),
    st.builds(Strap, from_m=POINT, to_m=POINT, tension_N=number(0, 1e5), turns=st.integers(1, 9)),
    st.builds(CableTie, from_m=maybe(POINT), count=st.integers(1, 9)),
    st.builds(Bolt, size=maybe(IDS), face=FACES),
    st.builds(Bond, adhesive=maybe(WORDS), at_m=maybe(POINT)),
)


@st.composite
def weights(draw: st.DrawFn, id_: str) -> Weight:
    held = draw(st.lists(restraint, max_size=3))
    named = draw(st.lists(maybe(NAMES), min_size=len(held), max_size=len(held)))
    taken = [n for n in named if n]
    if len(set(taken)) == len(taken):
        held = [r.model_copy(update={"id": n}) for r, n in zip(held, named, strict=True)]
    mass = draw(st.fixed_dictionaries({"mass_kg": MASS}) | st.just({"ingots": Ingots(count=4, each_kg=12)}))
    return Weight(
        id=id_,
        name=draw(maybe(WORDS)),
        kind=draw(st.sampled_from(["ballast", "gas", "other"])),
        at_m=draw(POINT),
        size_m=draw(maybe(SIZE)),
        measured=draw(st.booleans()),
        photos=draw(st.lists(WORDS, max_size=2)),
        restraint=held,
        **mass,
    )


@st.composite
def boats(draw: st.DrawFn) -> BoatFile:
    ids = draw(st.lists(NAMES, max_size=4, unique=True))
    stowed = [draw(weights(i)) for i in ids]
    if len(stowed) > 1 and draw(st.booleans()):
        stowed[0].restraint = [*stowed[0].restraint, Neighbour(face="port", weight=ids[1])]
    angle, factors = number(-180, 180), st.lists(number(0, 100), min_size=1, max_size=3)
    heel = st.builds(lambda a, b, s: HeelRange(from_=min(a, b), to=max(a, b), step=s), angle, angle, number(0.01, 180))
    scenario = st.builds(
        Scenario,
        id=NAMES,
        heel_deg=heel,
        load_factor=factors,
        surge_g=st.lists(number(-5, 5), min_size=1, max_size=3),
        both_sides=st.booleans(),
        roll_rate_deg_s=number(-90, 90) | st.lists(number(-90, 90), min_size=1, max_size=3),
        kinds=maybe(st.just(["gas", "tank"])),
        why=maybe(WORDS),
    )
    half = st.lists(st.tuples(number(0, 5), number(-5, 5)), min_size=2, max_size=12)
    section = st.builds(HullSection, x_m=number(0, 12), points_m=half)
    return BoatFile(
        boat=draw(
            st.builds(
                BoatParticulars,
                name=WORDS,
                lwl_m=maybe(LENGTH),
                planking=maybe(st.builds(Planking, timber=maybe(IDS), thickness_mm=maybe(MM))),
                bilge=st.sampled_from(["wet", "dry"]),
            )
        ),
        weight=stowed,
        scenario=draw(st.lists(scenario, max_size=2, unique_by=lambda s: s.id)),
        float_=draw(maybe(st.builds(FloatData, kg_m=maybe(number(-9, 9)), section=st.lists(section, max_size=3)))),
    )


@QUICK
@given(boat=boats())
def test_a_new_file_reads_back_the_same(boat: BoatFile, tmp_path: Path) -> None:
    path = tmp_path / "any.toml"
    path.unlink(missing_ok=True)
    save_boat(path, boat)
    assert read_boat(path) == boat


@QUICK
@given(before=boats(), after=boats(), dos=st.booleans())
def test_any_boat_can_be_edited_into_any_other(before: BoatFile, after: BoatFile, dos: bool, tmp_path: Path) -> None:
    path = tmp_path / "any.toml"
    text = render_boat(before)
    path.write_bytes((text.replace("\n", "\r\n") if dos else text).encode())
    saved = save_boat(read_document(path), after)
    assert saved.comments_kept
    assert read_boat(path) == after
    if dos and after != before:
        assert path.read_bytes().count(b"\n") == path.read_bytes().count(b"\r\n")


@QUICK
@given(boat=boats(), data=st.data())
def test_comments_survive_an_edit_and_go_with_their_weight(boat: BoatFile, data: st.DataObject) -> None:
    assume(boat.weight)
    # A comment over every heading and behind every one-line figure, each numbered.
    lines: list[str] = []
    for count, line in enumerate(render_boat(boat).splitlines()):
        if re.match(r"\[+[a-z.]+\]+$", line):
            lines += [f"# over {count}", line]
        elif line.startswith(("mass_kg", "at_m", "name", "id", "type", "measured")):
            lines.append(f"{line}  # behind {count}")
        else:
            lines.append(line)
    path = Path("numbered.toml")
    text = "\n".join(lines) + "\n"
    document = _document(path, text)
    edited = document.boat.model_copy(deep=True)
    for weight in edited.weight:
        weight.at_m = data.draw(POINT)
        if weight.mass_kg is not None:
            weight.mass_kg = data.draw(MASS)
    edited.weight = data.draw(st.permutations(edited.weight))
    result, kept = new_text(document, edited)
    assert kept
    assert parse_boat(result) == edited
    marks = re.compile(r"# (?:over|behind) \d+$", re.M)
    assert sorted(marks.findall(result)) == sorted(marks.findall(text))
    for weight in boat.weight:
        assert _comments_of(weight, boat, text) == _comments_of(weight, edited, result)


def _document(path: Path, text: str) -> BoatDocument:
    return BoatDocument(path, text, parse_boat(text), Signature(0, 0, ""))


def _comments_of(weight: Weight, boat: BoatFile, text: str) -> list[str]:
    """The comment over the weight's own heading and those behind its figures."""
    place = next(n for n, w in enumerate(boat.weight) if w.id == weight.id)
    piece = re.split(r"(?=^# over \d+\n\[\[weight\]\])", text, flags=re.M)[place + 1]
    piece = re.split(r"^# over \d+\n\[+(?:scenario|float)", piece, flags=re.M)[0]
    return re.findall(r"# (?:over|behind) \d+$", piece, re.M)


MANGLED = [
    "nan", "-inf", "1e400", "true", '"48"', "[]", "{}", "[[[", "}", "'''", '"\\u001b[31m"', '"\\u0000"',
    "9" * 400, "-0", "1979-05-27T07:32:00Z", "07:32:00", "0x1F", "\x1b[2J", "\x00", "\ufeff", "\u202e",
    "[weight]", "[[boat]]", "[[weight]]", "[[weight.restraint]]", "a.b.c = 1", "id = 1", "=", "\r", "\n", "#",
    "[" * 300, '{ a = { b = [ 1, { c = "x" } ] } }',
]  # fmt: skip


def _mangle(data: bytes, dice: random.Random) -> bytes:
    for _ in range(dice.randint(1, 3)):
        at = dice.randrange(len(data))
        way = dice.randrange(6)
        if way == 0:
            data = data[:at] + data[at + dice.randint(1, 40) :]
        elif way == 1:
            data = data[:at] + dice.choice(MANGLED).encode() + data[at:]
        elif way == 2:
            data = data[:at] + bytes([dice.randrange(256)]) + data[at + 1 :]
        elif way == 3:
            to = dice.randrange(len(data))
            data = data[:to] + data[at : at + 80] + data[to:]
        else:
            lines = data.split(b"\n")
            n = dice.randrange(len(lines))
            if way == 4:
                key = lines[n].split(b"=")[0]
                lines[n] = key + b"= " + dice.choice(MANGLED).encode()
            else:
                lines[n], lines[-1 - n] = lines[-1 - n], lines[n]
            data = b"\n".join(lines)
        if not data:
            return b"x"
    return data


@pytest.mark.parametrize("seed", range(3))
def test_mangled_files_are_refused_in_one_sentence_and_left_alone(seed: int, tmp_path: Path) -> None:
    dice = random.Random(seed)
    whole = new_boat_text("Sandpiper").replace("# [[scenario]]", "[[scenario]]").replace("# heel_deg", "heel_deg")
    path = tmp_path / "mangled.toml"
    refused = 0
    for _ in range(110):
        data = _mangle(whole.encode(), dice)
        path.write_bytes(data)
        try:
            read_boat(path)
        except BoatFileError as error:
            refused += 1
            message = str(error)
            assert message.isprintable(), repr(message)
            assert len(message) < 500, message
            assert message.startswith("mangled.toml"), message
            assert not re.search(r"pydantic|Input should|NoneType|Traceback|union|float_|\bstr\b|dict", message), (
                message
            )
        assert path.read_bytes() == data
    assert refused > 40
