"""A picture in characters: three sets of them, square squares, words that keep clear of one another."""

from __future__ import annotations

import pytest

from secure_load.record.drawings.drawing_model import Area, Arrow, Mark, Picture, Shape, Stroke, Words, circle
from secure_load.screen.drawing.glyphs import GlyphSet, usual_glyphs
from secure_load.screen.drawing.raster import plain_rows, rasterise

SETS: list[GlyphSet] = ["braille", "quadrant", "ascii"]


def picture(*shapes: Shape, window: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)) -> Picture:
    return Picture("", "", window, shapes)


def box(side: float, style: str = "hull", filled: bool = False) -> Area:
    low, high = 0.5 - side / 2, 0.5 + side / 2
    return Area(((low, low), (high, low), (high, high), (low, high)), style, filled)  # type: ignore[arg-type]


@pytest.mark.parametrize("glyphs", SETS)
@pytest.mark.parametrize(("width", "height"), [(40, 20), (7, 3), (1, 1), (80, 30)])
def test_every_row_is_as_wide_as_asked(glyphs: GlyphSet, width: int, height: int) -> None:
    rows = plain_rows(rasterise(picture(box(0.9), Words((0.5, 0.5), "port")), width, height, glyphs))
    assert [len(row) for row in rows] == [width] * height


@pytest.mark.parametrize("glyphs", SETS)
def test_no_room_is_no_drawing(glyphs: GlyphSet) -> None:
    assert rasterise(picture(box(1.0)), 0, 5, glyphs) == [()] * 5
    assert rasterise(picture(box(1.0)), 5, 0, glyphs) == []


@pytest.mark.parametrize("glyphs", SETS)
def test_a_square_stays_square(glyphs: GlyphSet) -> None:
    """In cells twice as high as wide it is twice as many cells broad as high."""
    rows = plain_rows(rasterise(picture(box(0.77)), 60, 20, glyphs))
    drawn = [row for row in rows if row.strip()]
    broad = max(len(row.rstrip()) for row in drawn) - min(len(row) - len(row.lstrip()) for row in drawn)
    assert broad == pytest.approx(2 * len(drawn), abs=2)


@pytest.mark.parametrize("glyphs", SETS)
def test_another_shape_of_cell(glyphs: GlyphSet) -> None:
    rows = plain_rows(rasterise(picture(box(0.77)), 60, 20, glyphs, cell=1.0))
    drawn = [row for row in rows if row.strip()]
    broad = max(len(row.rstrip()) for row in drawn) - min(len(row) - len(row.lstrip()) for row in drawn)
    assert broad == pytest.approx(len(drawn), abs=2)


def test_braille_dots_are_the_right_ones() -> None:
    """One cell of 2 x 4 dots: the diagonal from lower left to upper right."""
    line = picture(Stroke(((0.0, 0.0), (0.49, 0.99)), "hull"), window=(0.0, 0.0, 0.5, 1.0))
    assert plain_rows(rasterise(line, 1, 1, "braille")) == ["\u2800"[:0] + chr(0x2800 + 0x40 + 0x04 + 0x10 + 0x08)]


def test_quadrants_are_the_right_ones() -> None:
    corner = picture(Mark((0.1, 0.9), "demand"), window=(0.0, 0.0, 0.5, 1.0))
    assert plain_rows(rasterise(corner, 1, 1, "quadrant")) == ["▘"]


def test_ascii_lines_follow_their_slope() -> None:
    def drawn(*spots: tuple[float, float]) -> str:
        rows = plain_rows(rasterise(picture(Stroke(spots, "hull")), 20, 10, "ascii"))
        return "".join(set("".join(rows)) - {" "})

    assert drawn((0.0, 0.5), (0.99, 0.5)) == "-"
    assert drawn((0.5, 0.01), (0.5, 0.99)) == "|"
    assert drawn((0.01, 0.01), (0.99, 0.99)) == "/"
    assert drawn((0.01, 0.99), (0.99, 0.01)) == "\\"


def test_an_arrow_points_where_the_load_does() -> None:
    for head, letter in (((0.5, 0.1), "v"), ((0.5, 0.9), "^"), ((0.9, 0.5), ">"), ((0.1, 0.5), "<")):
        rows = plain_rows(rasterise(picture(Arrow((0.5, 0.5), head, "load")), 20, 10, "ascii"))
        assert letter in "".join(rows)


@pytest.mark.parametrize("glyphs", SETS)
def test_the_last_shape_in_a_cell_gives_it_its_style(glyphs: GlyphSet) -> None:
    line = ((0.0, 0.5), (0.99, 0.5))
    rows = rasterise(picture(Stroke(line, "hull"), Stroke(line, "load")), 20, 10, glyphs)
    styles = {run.style for row in rows for run in row if run.text.strip()}
    assert styles == {"load"}


@pytest.mark.parametrize("glyphs", SETS)
def test_what_is_filled_hides_what_was_drawn_before(glyphs: GlyphSet) -> None:
    line = Stroke(((0.0, 0.5), (0.99, 0.5)), "waterline")
    rows = rasterise(picture(line, box(0.6, "weight", filled=True)), 40, 20, glyphs)
    middle = "".join(run.text for run in rows[10])
    assert middle[14:26].strip() == ""
    assert middle[1:6].strip() != ""


def test_ascii_is_ascii_whatever_the_name() -> None:
    rows = plain_rows(rasterise(picture(box(0.9, "bed", True), Words((0.5, 0.5), "Äther 船")), 30, 10, "ascii"))
    assert "".join(rows).isascii()
    assert any("?ther ?" in row for row in rows)


def test_broad_and_combining_characters_take_the_cells_they_take() -> None:
    rows = rasterise(picture(Words((0.5, 0.5), "船e\u0301")), 10, 3, "braille")
    text = "".join(run.text for run in rows[1])
    assert "船e\u0301" in text
    # ten cells: one character of two cells, one of one, a mark of none, and seven blanks
    assert len(text) == 10


def test_words_give_way_to_one_another() -> None:
    rows = plain_rows(rasterise(picture(Words((0.5, 0.5), "first"), Words((0.5, 0.5), "second")), 40, 11, "braille"))
    assert sum("first" in row for row in rows) == 1
    assert sum("second" in row for row in rows) == 1
    assert not any("first" in row and "second" in row for row in rows)


def test_words_out_of_sight_are_left_out_and_near_the_edge_are_moved_in() -> None:
    rows = plain_rows(rasterise(picture(Words((3.0, 0.5), "gone"), Words((0.0, 0.5), "edge")), 20, 10, "braille"))
    assert not any("gone" in row for row in rows)
    assert any("edge" in row for row in rows)


@pytest.mark.parametrize("glyphs", SETS)
def test_lines_far_outside_cost_nothing_and_come_in_where_they_should(glyphs: GlyphSet) -> None:
    rows = plain_rows(rasterise(picture(Stroke(((-1e6, 0.5), (1e6, 0.5)), "hull")), 20, 10, glyphs))
    assert sum(bool(row.strip()) for row in rows) == 1
    assert any(len(row.strip()) == 20 for row in rows)
    away = picture(Stroke(((-1e6, 5.0), (1e6, 5.0)), "hull"), circle((50.0, 50.0), 3.0, "grid"))
    assert not "".join(plain_rows(rasterise(away, 20, 10, glyphs))).strip()


@pytest.mark.parametrize(
    ("encoding", "environ", "wanted"),
    [
        ("utf-8", {"TERM": "xterm-256color"}, "braille"),
        ("utf-8", {"TERM": "linux"}, "ascii"),
        ("ascii", {"TERM": "xterm"}, "ascii"),
        ("cp1252", {}, "ascii"),
        (None, {}, "ascii"),
        ("no such thing", {}, "ascii"),
        ("utf-8", {"LC_ALL": "C", "LANG": "en_GB.UTF-8"}, "ascii"),
        ("utf-8", {"LANG": "POSIX", "LC_CTYPE": "C.UTF-8"}, "ascii"),  # as python leaves it
        ("utf-8", {"LANG": "C.UTF-8"}, "braille"),
        ("utf-8", {"LC_ALL": "C.UTF-8", "LANG": "C"}, "braille"),
        ("utf-8", {"OS": "Windows_NT"}, "quadrant"),
        ("utf-8", {"OS": "Windows_NT", "WT_SESSION": "1"}, "braille"),
    ],
)
def test_the_terminals_characters(encoding: str | None, environ: dict[str, str], wanted: str) -> None:
    assert usual_glyphs(encoding, environ) == wanted
