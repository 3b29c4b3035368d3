"""How she floats, and the sheets for her ballast, as the command line prints them. No part of the form is loaded."""

from __future__ import annotations

from collections.abc import Sequence

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from secure_load.afloat.models import FloatReport
from secure_load.cli.console import TABLE_FROM, page_of, print_lines, shown
from secure_load.record.afloat import LOOSE_HEADS
from secure_load.record.drawings.curve import loose_curve_picture, righting_curve_picture
from secure_load.record.drawings.drawing_model import Picture, Style
from secure_load.record.text.afloat_rows import GUESSED, Row, change_rows, guessed, list_words, loose_rows, state_tables
from secure_load.record.text.afloat_words import NO_CURVE, Sheet, answer, answer_sheets, basis_sheets, loose_sheets
from secure_load.record.text.text_layout import bullet, labelled, plain, wrapped
from secure_load.screen.drawing.glyphs import usual_glyphs
from secure_load.screen.drawing.raster import CELL, rasterise

INK: dict[Style, str] = {
    "holds": "bold green",
    "tie": "cyan",
    "beyond": "bold red",
    "words": "bold",
    "grid": "dim",
    "axis": "dim",
}
CURVE_MOST, CURVE_ROWS = 100, 17
"""Columns and rows of the drawn curve."""
LOOSE_HINT = (
    "What a shift does to her: --loose shows how she lies with what the check finds red gone to the low side, "
    "--loose and names of weights with those."
)


def print_float(console: Console, report: FloatReport, file: str) -> None:
    """Before and after: the table, the answer, the curve, and what it all rests on."""
    page = page_of(console)
    print_lines(console, wrapped(f"{plain(report.boat)} ({plain(file)}): how she floats", page=page))
    print_lines(console, wrapped("Without the weights in the file, and with them.", page=page))
    rows = change_rows(report)
    _print_rows(console, rows, ("without", "with weights", "change"))
    if guessed(rows):
        print_lines(console, wrapped(GUESSED, 0, 2, page))
    print_lines(console, wrapped(list_words(report), page=page))
    console.print()
    for line in wrapped(answer(report), page=page):
        console.print(shown(console, line, "bold"), soft_wrap=True)
    wide = min(page, CURVE_MOST)
    picture = righting_curve_picture(report, tall=tall_for(wide, CURVE_ROWS))
    if picture is None:
        console.print()
        print_lines(console, wrapped(NO_CURVE, page=page))
    else:
        _print_curve(console, picture, wide)
    for heads, rows in state_tables(report):
        console.print()
        _print_rows(console, rows, heads)
    print_sheets(console, [*answer_sheets(report), *basis_sheets(report)])
    console.print()
    print_lines(console, wrapped(LOOSE_HINT, page=page))


def print_loose(console: Console, report: FloatReport, file: str) -> None:
    """How she lies with weights gone to the low side, to port and to starboard."""
    page = page_of(console)
    name = f"{plain(report.boat)} ({plain(file)})"
    if report.loose is None:
        print_lines(console, wrapped(f"{name}: no weight is red in the check, so none is taken as loose.", page=page))
        return
    gone = ", ".join(plain(i) for i in report.loose.weights)
    print_lines(console, wrapped(f"{name}: loose and gone across: {gone}", page=page))
    rows = loose_rows(report.loose)
    _print_rows(console, rows, LOOSE_HEADS)
    if guessed(rows):
        print_lines(console, wrapped(GUESSED, 0, 2, page))
    wide = min(page, CURVE_MOST)
    picture = loose_curve_picture(report, report.loose, tall=tall_for(wide, CURVE_ROWS))
    if picture is not None:
        _print_curve(console, picture, wide)
    print_sheets(console, loose_sheets(report, report.loose))


def print_sheets(console: Console, sheets: Sequence[Sheet]) -> None:
    """Headed lists."""
    page = page_of(console)
    for sheet in sheets:
        console.print()
        for line in wrapped(sheet.heading, 0, 2, page):
            console.print(shown(console, line, "bold yellow" if sheet.grave else "bold"), soft_wrap=True)
        for line in sheet.lines:
            print_lines(console, bullet(line, page=page))


def tall_for(columns: int, rows: int) -> float:
    """Height over width of a picture that fills so many cells."""
    return rows * CELL / max(columns, 1)


def _print_rows(console: Console, rows: Sequence[Row], heads: Sequence[str]) -> None:
    page = page_of(console)
    if page < TABLE_FROM:
        for row in rows:
            said = ", ".join(f"{h} {c}" for h, c in zip(heads, row.cells, strict=True) if c)
            print_lines(console, labelled(row.label.strip(), said, 0, 26, page))
        return
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 2, 0, 0), pad_edge=False, show_edge=False)
    table.add_column("", overflow="fold", min_width=26)
    for head in heads:
        table.add_column(head, justify="right", overflow="fold", min_width=13)
    for n, row in enumerate(rows):
        if row.first and n:
            table.add_row("", "", "", "")
        table.add_row(shown(console, row.label), *(shown(console, cell) for cell in row.cells))
    console.print(table)


def _print_curve(console: Console, picture: Picture, wide: int) -> None:
    console.print()
    print_lines(console, wrapped(picture.title.split(": ", 1)[-1].capitalize(), page=page_of(console)))
    left, bottom, right, top = picture.window
    rows = round((top - bottom) / (right - left) * wide / CELL)
    for row in rasterise(picture, wide, rows, usual_glyphs(console.encoding)):
        line = Text(no_wrap=True)
        for run in row:
            line.append(run.text, INK.get(run.style, "") if run.style is not None else "")
        line.rstrip()
        console.print(line, soft_wrap=True)
    for entry in picture.legend:
        print_lines(console, labelled(entry.mark, entry.text, 2, 5, page_of(console)))
    for note in picture.notes:
        print_lines(console, wrapped(note, 2, 2, page_of(console)))
