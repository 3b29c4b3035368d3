"""The stowage record as one page of HTML that stands alone: no script, nothing fetched, made for A4.

It says what the text says, with the drawings. The same record gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib import resources

from secure_load.boat.models import Scenario
from secure_load.record.afloat import HEADS, LOOSE_HEADS, loose_said
from secure_load.record.afloat_rows import GUESSED, Row, change_rows, guessed, list_words, loose_rows
from secure_load.record.afloat_words import answer, basis_sheets
from secure_load.record.describe import factor_words
from secure_load.record.drawings import curve_drawing, loose_drawing, plan_drawing, section_drawings
from secure_load.record.html_weight import verdict_mark, weight_part
from secure_load.record.markup import Markup, el, joined, listed, name_of, pairs, table, text
from secure_load.record.model import StowageRecord
from secure_load.record.page import plain
from secure_load.record.words import mass, number, scenario_figures, tally, use
from secure_load.statics.scenarios import choose


def record_html(record: StowageRecord) -> str:
    """The whole page, lines ended with LF."""
    title = f"Stowage record: {plain(record.boat_file.boat.name)}, {record.date.isoformat()}"
    head = joined(
        [
            el("meta", charset="utf-8"),
            el("meta", name="viewport", content="width=device-width, initial-scale=1"),
            el("meta", name="generator", content=record.program),
            el("title", title),
            # a style sheet of this package, and no text from a file
            Markup(f"<style>\n{_style()}</style>"),
        ]
    )
    parts = [_head(record), _summary(record), *plan_drawing(record), *_weights(record), _scenarios(record)]
    parts += [_afloat(record), _sources(record), _cautions(record), _signatures()]
    body = Markup("\n".join(p for p in parts if p))
    page = el("html", Markup("\n"), el("head", head), Markup("\n"), el("body", body), Markup("\n"), lang="en")
    return f"<!DOCTYPE html>\n{page}\n"


@cache
def _style() -> str:
    return resources.files("secure_load.record").joinpath("stowage-record.css").read_text(encoding="utf-8")


def _head(record: StowageRecord) -> Markup:
    rows: list[tuple[str, str]] = [(label, name_of(words)) for label, words in record.particulars]
    rows.append(("Date", record.date.isoformat()))
    if record.by:
        rows.append(("Made by", name_of(record.by)))
    if record.file:
        rows.append(("Boat file", name_of(record.file)))
    if record.boat_file.boat.photos:
        rows.append(("Photographs", joined(_between([name_of(p) for p in record.boat_file.boat.photos]))))
    rows.append(("Worked out by", record.program))
    found = record.verdict
    mark = joined([verdict_mark(found.verdict), " "]) if found.weights else Markup("")
    rows.append(("Verdict", joined([mark, tally(found)])))
    parts = [el("h1", "Stowage record"), pairs(rows)]
    if found.cautions:
        parts.append(el("p", found.cautions[0], class_="caution"))
    return el("header", *parts)


def _between(names: list[Markup]) -> list[str]:
    return [part for name in names for part in (", ", name)][1:]


def _summary(record: StowageRecord) -> Markup:
    if not record.verdict.weights:
        return Markup("")
    at = {w.id: w.at_m for w in record.boat_file.weight}
    rows: list[list[str]] = []
    for place, found in enumerate(record.verdict.weights, start=1):
        goes = f"{found.first_to_go.restraint}: {found.first_to_go.part}" if found.first_to_go else ""
        if found.free_to_move:
            goes = found.moves or "free to move"
        figures = [number(value, 2) for value in at[found.id]]
        rows.append(
            [
                el("span", str(place), class_="place"),
                name_of(found.name),
                mass(found.mass_kg),
                *figures,
                verdict_mark(found.verdict),
                use(found),
                name_of(goes),
            ]
        )
    whole = mass(sum(w.mass_kg for w in record.verdict.weights))
    rows.append(["", "all told", whole, "", "", "", "", "", ""])
    heads = ["", "weight", "kg", "forward m", "to port m", "up m", "verdict", "use", "goes first, or moves"]
    where = "Forward of the after end of the waterline, to port of the middle line, above the waterline."
    return el(
        "section", el("h2", "Weights"), table(heads, rows, figures=(2, 3, 4, 5, 7)), el("p", where, class_="small")
    )


def _weights(record: StowageRecord) -> list[Markup]:
    names = {s.id: s.name for s in record.verdict.scenarios}
    found = {w.id: w for w in record.verdict.weights}
    drawings = section_drawings(record)
    return [
        weight_part(place, said, weight, found[weight.id], names, drawings.get(weight.id))
        for place, (said, weight) in enumerate(zip(record.weights, record.boat_file.weight, strict=True), start=1)
    ]


def _scenarios(record: StowageRecord) -> Markup:
    runs = record.verdict.scenarios
    known: dict[str, Scenario] = {s.id: s for s in choose(record.boat_file, [s.id for s in runs])}
    rows: list[list[str]] = []
    for run in runs:
        if run.instants:
            said: str = verdict_mark(run.verdict)
        else:
            said = "not run: no weight of its kind" if record.verdict.weights else "not run"
        figures = el("div", scenario_figures(known[run.id]), class_="small")
        rows.append([joined([name_of(run.name), figures]), said, name_of(run.source)])
    return el("section", el("h2", "Scenarios that were run"), table(["scenario", "verdict", "source"], rows))


def _afloat(record: StowageRecord) -> Markup:
    report = record.afloat
    if report is None:
        return Markup("")
    parts = [
        el("h2", "Afloat"),
        *_figures(change_rows(report), HEADS, list_words(report), answer(report)),
        curve_drawing(report),
    ]
    for sheet in basis_sheets(report):
        parts += [el("h3", sheet.heading), listed(sheet.lines)]
    if report.loose is not None:
        rows = loose_rows(report.loose)
        parts += [el("h3", "With weights gone to the low side"), *_figures(rows, LOOSE_HEADS)]
        parts += [loose_drawing(report), listed(loose_said(report))]
    return el("section", *parts)


def _figures(rows: Sequence[Row], heads: Sequence[str], *words: str) -> list[Markup]:
    made = table(["", *heads], [[row.label, *row.cells] for row in rows], figures=(1, 2, 3))
    return [made, *(el("p", each) for each in ([GUESSED] if guessed(rows) else []) + list(words) if each)]


def _sources(record: StowageRecord) -> Markup:
    rows = [[s.what, s.row, s.source, s.mark or "seen in print"] for s in record.sources]
    parts = [el("h2", "Where the catalogue's figures come from")]
    if rows:
        parts.append(table(["what", "row", "source", "figures"], rows, class_="small"))
    return el("section", *parts, el("p", factor_words(), class_="small"))


def _cautions(record: StowageRecord) -> Markup:
    return el("section", el("h2", "Cautions"), listed(record.verdict.cautions))


def _signatures() -> Markup:
    empty = text("")
    rows = [
        el("tr", el("td", who), el("td", empty, class_="line"), el("td", "date"), el("td", empty, class_="day"))
        for who in ("Stowed by", "Checked aboard by", "Owner")
    ]
    return el("table", el("tbody", *rows), class_="signatures")
