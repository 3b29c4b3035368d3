"""How she floats, for the record: with what the check finds red gone to the low side as well."""

from __future__ import annotations

from collections.abc import Sequence

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.models import FloatReport
from secure_load.afloat.report import float_report
from secure_load.boat.models import BoatFile
from secure_load.check.results import BoatVerdict
from secure_load.record.text.afloat_rows import GUESSED, Row, change_rows, guessed, list_words, loose_rows, state_tables
from secure_load.record.text.afloat_words import answer, answer_sheets, basis_sheets, loose_is, loose_words
from secure_load.record.text.text_layout import bullet, heading, plain, wrapped

HEADS = ("before", "after", "change")
LOOSE_HEADS = ("as stowed", "loose", "change")
LABEL, CELL = 27, 17


def red_weights(verdict: BoatVerdict) -> list[str]:
    """Ids of the weights that a check found red."""
    return [w.id for w in verdict.weights if w.verdict == "red"]


def float_report_if_known(boat: BoatFile, verdict: BoatVerdict | None = None) -> FloatReport | None:
    """How she floats; None where too little is known of her. Raises UnknownRow for a water not in the catalogue.

    With a ``verdict`` also how she lies with its red weights gone to the low side, where that can be told.
    """
    red = [] if verdict is None else red_weights(verdict)
    try:
        return float_report(boat, red)
    except CannotFloat:
        if not red:
            return None
    return float_report_if_known(boat)


def afloat_text(report: FloatReport) -> list[str]:
    """The lines of a record on paper."""
    rows = change_rows(report)
    lines = _table("Afloat", rows, HEADS)
    lines += ["", *_said(rows), *wrapped(list_words(report)), *wrapped(answer(report))]
    for heads, rows in state_tables(report):
        lines += ["", *_table("States side by side", rows, [head[:CELL] for head in heads])]
    for sheet in (*answer_sheets(report), *basis_sheets(report)):
        lines += ["", *wrapped(sheet.heading, 0, 2)]
        for each in sheet.lines:
            lines += bullet(each)
    if report.loose is not None:
        rows = loose_rows(report.loose)
        lines += [*_table("Afloat, weights loose", rows, LOOSE_HEADS), "", *_said(rows)]
        for each in loose_said(report):
            lines += bullet(each)
    return lines


def loose_said(report: FloatReport) -> list[str]:
    """Which weights are loose, what that does to her, and how it is taken."""
    if report.loose is None:
        return []
    which = f"Loose, because the check finds them red: {', '.join(map(plain, report.loose.weights))}."
    return [which, *loose_words(report, report.loose), *loose_is(report)]


def _said(rows: Sequence[Row]) -> list[str]:
    return wrapped(GUESSED, 0, 2) if guessed(rows) else []


def _table(title: str, rows: Sequence[Row], heads: Sequence[str]) -> list[str]:
    lines = heading(title, "".join(f"{head:>{CELL}}" for head in heads))
    for n, row in enumerate(rows):
        if row.first and n:
            lines.append("")
        figures = "".join(f"{cell:>{CELL}}" for cell in row.cells).rstrip()
        if len(row.label) > LABEL:
            # a name out of the file, longer than its column
            lines += [*wrapped(row.label, 0, 2), " " * LABEL + figures]
        else:
            lines.append(f"{row.label:<{LABEL}}{figures}")
    return lines
