"""The stowage record as one page of HTML that stands alone: no script, nothing fetched, made for A4.

It says what the text says, with the drawings. The same record gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib import resources

from secure_load.boat.models import Scenario
from secure_load.loads.scenarios import choose
from secure_load.record.afloat import HEADS, LOOSE_HEADS, loose_said
from secure_load.record.card import Card, card
from secure_load.record.condition import DISCLAIMER, clause_rows, clauses, condition_rows
from secure_load.record.drawings.record_drawings import card_drawings, curve_drawings, section_drawings
from secure_load.record.html.builder import Markup, el, joined, listed, name_of, pairs, table, text
from secure_load.record.html.weight_page import verdict_mark, weight_part
from secure_load.record.model import StowageRecord, snapshot_of
from secure_load.record.text.afloat_rows import GUESSED, Row, change_rows, guessed, list_words, loose_rows, state_tables
from secure_load.record.text.afloat_words import answer, answer_sheets, basis_sheets
from secure_load.record.text.restraint_text import factor_words
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import mass, scenario_figures, tally


def record_html(record: StowageRecord, full: bool = False) -> str:
    """The card, a part for each weight and the sources; with ``full`` every figure. Lines ended with LF."""
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
    parts = [_card(record), *_weights(record, full), _condition(record), _afloat(record, full)]
    parts += [_scenarios(record), _sources(record)] if full else [_sources(record)]
    body = Markup("\n".join(p for p in parts if p))
    page = el("html", Markup("\n"), el("head", head), Markup("\n"), el("body", body), Markup("\n"), lang="en")
    return f"<!DOCTYPE html>\n{page}\n"


@cache
def _style() -> str:
    return resources.files("secure_load.record").joinpath("stowage-record.css").read_text(encoding="utf-8")


def _card(record: StowageRecord) -> Markup:
    """The sheet to be taped to the chart table: what is aboard, what is wrong and by when it has to be put right."""
    shot = snapshot_of(record)
    found = card(shot)
    parts = [_head(record), _summary(found), *card_drawings(record), _defects(found)]
    return el("section", *parts, _cautions(record), _signatures(), class_="card")


def _defects(found: Card) -> Markup:
    if not found.defects:
        return Markup("")
    rows = [
        [
            el("span", str(d.number), class_="place"),
            verdict_mark(d.verdict),
            name_of(d.name),
            name_of(d.reason),
            d.by_when,
        ]
        for d in found.defects
    ]
    heads = ["", "", "weight", "what is wrong", "put right"]
    return joined([el("h2", "Open defects, worst first"), table(heads, rows, class_="small")])


def _head(record: StowageRecord) -> Markup:
    rows: list[tuple[str, str]] = [(label, name_of(words)) for label, words in record.particulars]
    made = [record.date.isoformat(), *([f"by {plain(record.by)}"] if record.by else []), record.program]
    rows.append(("Made", name_of(", ".join([*made, *([plain(record.file)] if record.file else [])]))))
    if record.boat_file.boat.photos:
        rows.append(("Photographs", joined(_between([name_of(p) for p in record.boat_file.boat.photos]))))
    found = record.verdict
    mark = joined([verdict_mark(found.verdict), " "]) if found.weights else Markup("")
    rows.append(("Verdict", joined([mark, tally(found)])))
    parts = [el("h1", "Stowage record"), pairs(rows)]
    if found.cautions:
        parts.append(el("p", found.cautions[0], class_="caution"))
    return el("header", *parts)


def _between(names: list[Markup]) -> list[str]:
    return [part for name in names for part in (", ", name)][1:]


def _summary(found: Card) -> Markup:
    if not found.rows:
        return Markup("")
    rows = [
        [
            el("span", str(r.number), class_="place"),
            name_of(r.name),
            mass(r.mass_kg),
            r.place,
            r.held_by,
            verdict_mark(r.verdict),
            r.check_again,
        ]
        for r in found.rows
    ]
    rows.append(["", "Total", mass(sum(r.mass_kg for r in found.rows)), "", "", "", ""])
    where = "Where: metres forward of the after end of the waterline, from the centreline, from the waterline."
    heads = ["", "weight", "kg", "where", "held by", "verdict", "check again"]
    return joined([table(heads, rows, figures=(2,), class_="small"), el("p", where, class_="small")])


def _weights(record: StowageRecord, full: bool) -> list[Markup]:
    names = {s.id: s.name for s in record.verdict.scenarios}
    found = {w.id: w for w in record.verdict.weights}
    drawings = section_drawings(record)
    return [
        weight_part(place, said, weight, found[weight.id], names, drawings.get(weight.id), full)
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


def _afloat(record: StowageRecord, full: bool) -> Markup:
    report = record.afloat
    if report is None:
        return Markup("")
    parts = [
        el("h2", "Afloat"),
        *_figures(change_rows(report), HEADS, list_words(report), answer(report)),
        *curve_drawings(report),
    ]
    for heads, rows in state_tables(report):
        parts += [el("h3", "States side by side"), *_figures(rows, heads)]
    for sheet in (*answer_sheets(report), *(basis_sheets(report) if full else [])):
        parts += [el("h3", sheet.heading), listed(sheet.lines)]
    if report.loose is not None:
        rows = loose_rows(report.loose)
        parts.append(el("h3", "With weights gone to the low side"))
        parts += _figures(rows, LOOSE_HEADS) if full else []
        parts.append(listed(loose_said(report)))
    return el("section", *parts, class_="afloat")


def _figures(rows: Sequence[Row], heads: Sequence[str], *words: str) -> list[Markup]:
    made = table(["", *heads], [[row.label, *row.cells] for row in rows], figures=(1, 2, 3))
    return [made, *(el("p", each) for each in ([GUESSED] if guessed(rows) else []) + list(words) if each)]


def _condition(record: StowageRecord) -> Markup:
    rows = [
        [state, name_of(clause.name), name_of(why)]
        for clause, state, why in clause_rows(record.boat_file, record.verdict)
    ]
    return el(
        "section",
        el("h2", "Condition when this was made"),
        pairs([(label, name_of(words)) for label, words in condition_rows(snapshot_of(record))]),
        el("h2", "Clauses of rules"),
        table(["", "clause", "which"], rows, class_="small"),
        el("p", DISCLAIMER),
        class_="sources",
    )


def _sources(record: StowageRecord) -> Markup:
    said = [f"{s.what} {s.row}: {s.source} ({s.mark or 'seen in print'})" for s in record.sources]
    said += [f"clause {c.id}: {c.source}" for c in clauses()]
    parts = [listed(said)] if said else []
    return el("section", el("h2", "Sources of the figures"), *parts, el("p", factor_words()), class_="sources")


def _cautions(record: StowageRecord) -> Markup:
    return el("section", el("h2", "Cautions"), listed(record.verdict.cautions))


def _signatures() -> Markup:
    empty = text("")
    rows = [
        el("tr", el("td", who), el("td", empty, class_="line"), el("td", "date"), el("td", empty, class_="day"))
        for who in ("Stowed by", "Checked aboard by", "Owner")
    ]
    return el("table", el("tbody", *rows), class_="signatures")
