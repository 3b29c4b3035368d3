"""Rows and sheets as lines of (style, text) for the screen."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len, set_cell_size

from secure_load.record.drawings.drawing_model import Picture, Style
from secure_load.record.text.afloat_rows import Row
from secure_load.record.text.afloat_words import Sheet
from secure_load.screen.verdict.words import Line

LABEL, CELL = 27, 16
_LEGEND: dict[Style, str] = {"holds": "holds", "load": "fails"}


def table_lines(rows: Sequence[Row], heads: Sequence[str]) -> list[Line]:
    """A table in fixed columns, the middle one strong."""
    lines: list[Line] = [[("", " " * LABEL), *(("head", f"{h:>{CELL}}") for h in heads)]]
    for n, row in enumerate(rows):
        if row.first and n:
            lines.append([])
        line: Line = [("", set_cell_size(row.label, LABEL))]
        if cell_len(row.label) > LABEL:
            # a name out of the file, longer than its column
            lines.append([("", row.label)])
            line = [("", " " * LABEL)]
        for place, cell in enumerate(row.cells):
            line.append(("strong" if place == 1 else "", f"{cell:>{CELL}}"))
        lines.append(line)
    return lines


def sheet_lines(sheets: Sequence[Sheet]) -> list[Line]:
    """Headed lists, an empty line between them."""
    lines: list[Line] = []
    for sheet in sheets:
        if lines:
            lines.append([])
        lines.append([("doubtful" if sheet.grave else "head", sheet.heading)])
        lines += [[("quiet", "- "), ("", line)] for line in sheet.lines]
    return lines


def legend_lines(picture: Picture) -> list[Line]:
    """The legend and the notes of a picture."""
    lines: list[Line] = [
        [(_LEGEND.get(each.style, "quiet"), f"{each.mark:<5}"), ("", each.text)] for each in picture.legend
    ]
    return [*lines, *([("quiet", note)] for note in picture.notes)]
