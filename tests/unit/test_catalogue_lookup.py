"""Finding rows: names of the boat file, aliases, near matches, sizes between two rows, one table at a time."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from secure_load.catalogue import lookup
from secure_load.catalogue.lookup import UnknownRow

EXAMPLE_BOAT = [
    (lookup.timber, "larch"),
    (lookup.timber, "oak-white"),
    (lookup.pad, "neoprene-60"),
    (lookup.friction, "rubber-oiled-wood"),
    (lookup.line, "polyester-webbing-25"),
    (lookup.metal, "silicon-bronze"),
    (lookup.metal, "galvanised-steel"),
    (lookup.wood_screw, 10),
    (lookup.wood_screw, 12),
    (lookup.coach_screw, 8),
]


@pytest.mark.parametrize(("find", "name"), EXAMPLE_BOAT)
def test_names_of_the_example_boat_are_found(find, name) -> None:
    assert find(name).id


@pytest.mark.parametrize("name", ["oak-white", "oak_white", "OAK WHITE", "  Oak-White ", "White_Oak"])
def test_case_blanks_and_underscores_do_not_matter(name: str) -> None:
    assert lookup.timber(name).id == "oak-white"


@pytest.mark.parametrize(
    ("find", "alias", "meant"),
    [
        (lookup.timber, "larch", "larch-european"),
        (lookup.timber, "oak", "oak-european"),
        (lookup.timber, "mahogany", "khaya"),
        (lookup.timber, "plywood", "ply-okoume-marine"),
        (lookup.metal, "silicon-bronze", "silicon-bronze-c65500"),
        (lookup.metal, "stainless", "A4-50"),
        (lookup.metal, "a4-70", "A4-70"),
        (lookup.bolt, "m10", "M10"),
        (lookup.friction, "timber_lead", "lead-timber"),
        (lookup.pad, "rubber", "natural-rubber-60"),
        (lookup.cable_tie, "standard", "standard-50"),
        (lookup.line, "polyester-3-strand-4", "polyester-3-strand-4-iso"),
    ],
)
def test_alias(find, alias: str, meant: str) -> None:
    assert find(alias).id == meant


def test_an_unspecific_name_means_the_weakest_row() -> None:
    def gravity(prefix: str) -> list[float]:
        return [t.g_ovendry for t in lookup.timbers().values() if prefix in t.id]

    for word in ("oak", "elm", "pine", "larch", "meranti", "ply"):
        assert lookup.timber(word).g_ovendry == min(gravity(f"{word}-")), word
    bronzes = [m.fyb_MPa for m in lookup.metals().values() if "bronze" in m.id]
    assert lookup.metal("silicon-bronze").fyb_MPa == min(b for b in bronzes if b is not None)
    stainless = [m.fu_MPa for m in lookup.metals().values() if m.id.startswith(("A2", "A4"))]
    assert lookup.metal("stainless").fu_MPa == min(stainless)


@pytest.mark.parametrize(
    ("find", "asked", "near", "listing"),
    [
        (lookup.timber, "oka-white", "oak-white", "timbers"),
        (lookup.timber, "mahog", "mahogany-true", "timbers"),
        (lookup.pad, "neoprene60", "neoprene-60", "pads"),
        (lookup.line, "polyester-8", "polyester-3-strand-8", "lines"),
        (lookup.metal, "silicon brnze", "silicon-bronze-c65500", "metals"),
        (lookup.friction, "rubber-timbre", "rubber-timber", "friction"),
        (lookup.factor, "load-duration-ten-minute", "load-duration-ten-minutes", "factors"),
        (lookup.wood_screw, 11, "10", "screws"),
        (lookup.coach_screw, 5, "coach-screw-m6", "screws"),
    ],
)
def test_unknown_name_says_what_is_near_and_where_all_are(find, asked, near: str, listing: str) -> None:
    with pytest.raises(UnknownRow) as caught:
        find(asked)
    error = caught.value
    assert near in error.near
    assert str(error).count("\n") == 0
    assert f"'secure-load list {listing}' shows all" in str(error)
    assert str(asked) in str(error)
    assert isinstance(error, LookupError)


def test_a_name_like_nothing_has_no_near_match() -> None:
    with pytest.raises(UnknownRow) as caught:
        lookup.timber("qqqqqq")
    assert caught.value.near == ()
    assert "near it" not in str(caught.value)


@given(st.text(max_size=3000))
def test_no_text_breaks_the_message(text: str) -> None:
    with pytest.raises(UnknownRow) as caught:
        lookup.timber(f"x{text}x")
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 300


@pytest.mark.parametrize(
    ("asked", "got"),
    [
        (6, "coach-screw-m6"),
        (8, "coach-screw-m8"),
        (7.94, "coach-screw-5-16-in"),
        (6.35, "coach-screw-1-4-in"),
        (9, "coach-screw-m8"),
        (9.5, "coach-screw-3-8-in"),
        (10, "coach-screw-m10"),
        (12, "coach-screw-m12"),
        (40, "coach-screw-5-8-in"),
    ],
)
def test_coach_screw_takes_the_size_or_the_next_smaller(asked: float, got: str) -> None:
    assert lookup.coach_screw(asked).id == got


@given(st.floats(min_value=6.0, max_value=60.0))
def test_a_size_never_finds_a_thicker_screw(asked: float) -> None:
    assert lookup.coach_screw(asked).d_mm <= asked + 0.05
    assert lookup.bolt_of_diameter(asked).d_mm <= asked + 0.05
    assert lookup.metric_screw(asked).d_mm <= asked + 0.05


@pytest.mark.parametrize("size", [math.nan, math.inf, -8.0, 0.0])
def test_a_size_that_is_no_size_is_refused(size: float) -> None:
    with pytest.raises(UnknownRow):
        lookup.coach_screw(size)


def test_si_properties() -> None:
    screw = lookup.wood_screw(10)
    assert screw.d == pytest.approx(0.190 * 0.0254)
    assert screw.root == pytest.approx(0.152 * 0.0254)
    assert screw.root_area == pytest.approx(11.71e-6, rel=1e-3)
    assert screw.fyb_steel == pytest.approx(80_000 * 6894.76, rel=1e-4)
    assert lookup.metal("galvanised-steel").bending_yield(screw) == screw.fyb_steel
    assert lookup.metal("silicon-bronze").bending_yield(screw) == 242e6
    assert lookup.bolt("M8").stress_area == pytest.approx(36.6e-6)
    pad = lookup.pad("neoprene-60")
    assert (pad.E0, pad.E_bulk, pad.k) == (4.45e6, 1090e6, 0.57)


def test_asking_for_one_table_reads_no_other() -> None:
    """In a fresh interpreter: the first keystroke must not pay for 140 lines it does not look at."""
    code = (
        "import secure_load.catalogue.table as t, tomllib\n"
        "count = []\n"
        "plain = tomllib.loads\n"
        "t.tomllib.loads = lambda s: (count.append(1), plain(s))[1]\n"
        "from secure_load.catalogue import lookup\n"
        "assert not count, 'read on import'\n"
        "lookup.pad('neoprene-60'); lookup.pad('cork')\n"
        "assert len(count) == 1, count\n"
        "import sys\n"
        "assert not {'numpy', 'textual', 'rich', 'tomlkit', 'scipy'} & set(sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
