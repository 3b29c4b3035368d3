"""A table of weights read back says what was written, and a mangled one changes nothing."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from secure_load.boat.models import BoatFile, BoatParticulars, Ingots, Weight
from secure_load.record.csv_weights import BadTable, take_in, weights_csv

QUICK = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
# what a table must quote, what a spreadsheet takes for a sum, and letters that run from right to left
WORDS = st.text(st.sampled_from("ab Z9'\"=+-@,;\t<>é\u05d0\u65e5"), min_size=1, max_size=10).filter(
    lambda t: bool(t.strip()) and "\t" not in t
)
IDS = WORDS.filter(lambda t: t == t.strip())
COORD = st.floats(-1000, 1000, allow_nan=False)
LENGTH = st.floats(0.001, 50)
MASS = st.floats(0.001, 1e5)


@st.composite
def weights(draw: st.DrawFn, id_: str) -> Weight:
    mass = draw(
        st.builds(lambda m: {"mass_kg": m}, MASS)
        | st.builds(lambda n, m: {"ingots": Ingots(count=n, each_kg=m)}, st.integers(1, 90), st.floats(0.001, 999))
    )
    return Weight(
        id=id_,
        name=draw(st.none() | WORDS),
        kind=draw(st.sampled_from(["ballast", "gas", "other"])),
        at_m=draw(st.tuples(COORD, COORD, COORD)),
        size_m=draw(st.none() | st.tuples(LENGTH, LENGTH, LENGTH)),
        measured=draw(st.booleans()),
        **mass,
    )


@st.composite
def boats(draw: st.DrawFn) -> BoatFile:
    ids = draw(st.lists(IDS, max_size=4, unique=True))
    return BoatFile(boat=BoatParticulars(name="Knot"), weight=[draw(weights(i)) for i in ids])


@QUICK
@given(boats())
def test_a_table_comes_back_as_the_same_weights(boat: BoatFile) -> None:
    empty = BoatFile(boat=boat.boat)
    text = weights_csv(boat)
    assert take_in(empty, text).boat == boat
    again = take_in(boat, text)
    assert again.boat == boat
    assert (again.added, again.changed, again.alike) == ([], [], len(boat.weight))


@QUICK
@given(boats(), st.text(max_size=40), st.integers(0, 400))
def test_a_mangled_table_is_refused_whole_or_read_whole(boat: BoatFile, junk: str, place: int) -> None:
    text = weights_csv(boat)
    before = boat.model_copy(deep=True)
    taken, problem = None, ""
    try:
        taken = take_in(boat, text[:place] + junk + text[place:])
    except BadTable as bad:
        problem = str(bad)
    if taken is None:
        assert any(words in problem for words in ("row ", "is empty", "the table"))
        assert problem.isprintable()
    else:
        assert BoatFile.model_validate(taken.boat.model_dump(by_alias=True)) == taken.boat
    assert boat == before


BOAT = BoatFile(
    boat=BoatParticulars(name="Knot"),
    weight=[Weight(id="pigs", ingots=Ingots(count=2, each_kg=10.0), at_m=(3.0, 0.0, -0.3), measured=True)],
)


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("", "is empty"),
        ("name\nx\n", "row 1: there is no column 'id'"),
        ("id,mass\npigs,3\n", "row 1: the column 'mass' names no unit, but must be 'mass [kg]' or 'mass [g]'"),
        ("id,mass [lb]\npigs,3\n", "is in 'lb'"),
        ("id,forwrd [m]\npigs,3\n", "unknown column 'forwrd [m]'; did you mean 'forward'?"),
        ("id,name,name\npigs,a,b\n", "the column 'name' is there twice"),
        ("id,weighed [kg]\npigs,yes\n", "has no unit"),
        ("id,mass [kg]\npigs,heavy\n", "row 2, column 'mass': is 'heavy', but must be a number"),
        ('id,mass [kg]\npigs,"12,5"\n', "write the decimals behind a point"),
        ("id,mass [kg]\npigs,nan\n", "an ordinary number"),
        ("id,mass [kg]\npigs,-3\n", "row 2, column 'mass'"),
        ("id,mass [kg]\n\npigs,1\npigs,2\n", "row 4, column 'id': 'pigs' stands in row 3 already"),
        ("id,mass [kg]\n,1\n", "row 2, column 'id': is empty"),
        ("id,ingots\npigs,2.5\n", "must be a whole number"),
        ("id,kind\npigs,balast\n", "row 2, column 'kind': is 'balast', but must be one of"),
        ("id,weighed\npigs,perhaps\n", "must be yes or no"),
        ("id,mass [kg]\nnew,3\n", "row 2, column 'forward': is missing"),
        ("id,mass [kg],forward [m]\nnew,3,1\n", "row 2, column 'to port': is empty"),
        ("id,mass [kg],ingots,each [kg]\npigs,7,2,3\n", "row 2, column 'mass': is 7 kg, but 2 ingots of 3 kg are 6 kg"),
        ("id,forward [m]\npigs,2,9\n", "row 2: has 3 cells, but there are 2 columns"),
        ('id,name\npigs,"no end\n', "row 2: "),
        ("id,forward [m]\npigs,5000\n", "row 2, column 'forward'"),
    ],
)
def test_an_error_names_row_and_column(table: str, said: str) -> None:
    with pytest.raises(BadTable) as caught:
        take_in(BOAT, table)
    assert said in str(caught.value)


def test_a_row_changes_what_it_names_and_nothing_else() -> None:
    table = "\ufeffid;mass [g];to port [mm];name\npigs;;105;\n\nkedge;9500,5;0;=x\n".replace("kedge;9500,5;0;=x\n", "")
    taken = take_in(BOAT, table)
    assert taken.changed == ["pigs"]
    assert taken.boat.weight[0].at_m == (3.0, 0.105, -0.3)
    assert taken.boat.weight[0].ingots == BOAT.weight[0].ingots
    heavier = take_in(BOAT, "id;mass [g]\npigs;9500,5\n").boat.weight[0]
    assert (heavier.mass_kg, heavier.ingots, heavier.measured) == (9.5005, None, True)
    same = take_in(BOAT, "id,mass [kg]\npigs,20\n")
    assert same.boat == BOAT
    assert (same.alike, same.changed) == (1, [])


def test_what_a_spreadsheet_would_work_out_is_shielded() -> None:
    boat = BoatFile(
        boat=BoatParticulars(name="Knot"),
        weight=[Weight(id="-pigs", name="=SUM(A1)", mass_kg=1.0, at_m=(-1.0, 0.0, 0.0))],
    )
    row = list(csv.reader(io.StringIO(weights_csv(boat))))[1]
    assert row[:2] == ["'-pigs", "'=SUM(A1)"]
    assert row[6] == "-1.0"  # a figure is no sum
