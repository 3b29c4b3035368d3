"""The lists of the catalogue as the command line prints them: every row with its source.

Scenarios apart, nothing of a boat file is imported here: a list should come at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rich import box
from rich.console import Console
from rich.table import Table

from secure_load.cli.console import TABLE_FROM, after, page_of, print_lines, shown
from secure_load.record.text.text_layout import labelled, plain, wrapped

if TYPE_CHECKING:
    from secure_load.boat.models import Scenario

_NAMES_FROM = 110
"""Columns from which there is room for names beside the ids."""
_MARKS = {"not checked in print": "(n)", "assumed": "(a)", "derived": "(d)"}
"""Marks in a table, where there is no room for the words."""


def print_scenarios(console: Console, scenarios: Sequence[Scenario]) -> None:
    """The built-in scenarios with their figures, reasons and sources."""
    from secure_load.record.text.words import scenario_figures

    page = page_of(console)
    for place, scenario in enumerate(scenarios):
        if place:
            console.print()
        console.print(shown(console, scenario.id, "bold"), end="  ")
        lines = after(plain(scenario.title), len(scenario.id) + 2, page)
        lines += labelled("figures", scenario_figures(scenario), 2, 10, page)
        lines += labelled("why", plain(scenario.why or "the owner's own"), 2, 10, page)
        lines += labelled("source", plain(scenario.source or "the owner's own"), 2, 10, page)
        print_lines(console, lines)


def print_listing(console: Console, rows: Sequence[dict[str, Any]]) -> None:
    """Tables of the catalogue, one per kind of row, each row with the number and mark of its source below."""
    page = page_of(console)
    for place, kind in enumerate(dict.fromkeys(row["kind"] for row in rows)):
        own = [row for row in rows if row["kind"] == kind]
        if place:
            console.print()
        console.print(shown(console, f"{kind} ({len(own)})", "bold"))
        sources = list(dict.fromkeys(row["source"] for row in own))
        if page >= TABLE_FROM:
            console.print(_listing_table(console, own, sources))
        else:
            for row in own:
                figures = ", ".join(f"{head} {value}" for head, value in row["figures"].items())
                print_lines(console, wrapped(f"{row['id']}: {figures} {_from(row, sources)}", 0, 2, page))
        for index, source in enumerate(sources, start=1):
            print_lines(console, wrapped(f"[{index}] {source}", 0, 4, page))
        notes = dict.fromkeys(row["note"] for row in own if row["note"])
        for note in notes:
            ids = [row["id"] for row in own if row["note"] == note]
            who = "all" if len(ids) == len(own) > 1 else ", ".join(ids)
            print_lines(console, wrapped(f"{who}: {note}", 0, 4, page))
        if any("*" in value for row in own for value in row["figures"].values()):
            print_lines(console, wrapped("* worked out from other figures, not printed in the source", page=page))
    values = [value for row in rows for value in [*row["figures"].values(), f"({row['mark']})"]]
    used = [f"{letter} {word}" for word, letter in _MARKS.items() if any(f"({word})" in v for v in values)]
    if used and page >= TABLE_FROM:
        print_lines(console, ["", *wrapped(f"Marks: {', '.join(used)}.", page=page)])
    if any(row["mark"] for row in rows):
        said = (
            "not checked in print: from memory; derived: worked out from other rows; assumed: nobody published it. "
            "Rows without a mark were seen in print."
        )
        print_lines(console, ["", *wrapped(said, page=page)])


def _listing_table(console: Console, rows: Sequence[dict[str, Any]], sources: list[str]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False)
    table.add_column("id", overflow="fold", no_wrap=True)  # to be copied into a boat file
    headings = list(dict.fromkeys(head for row in rows for head in row["figures"]))
    wide = console.width >= _NAMES_FROM or len(headings) <= 2
    if wide:
        table.add_column("name", overflow="fold")
    for head in headings:
        table.add_column(shown(console, head), justify="left" if head == "unit" else "right", overflow="fold")
    table.add_column("source", overflow="fold", no_wrap=True)  # beside the mark a person looks for
    for row in rows:
        table.add_row(
            shown(console, row["id"]),
            *([shown(console, row["name"])] if wide else []),
            *(shown(console, _short(row["figures"].get(head, ""))) for head in headings),
            shown(console, _short(_from(row, sources))),
        )
    return table


def _short(figure: str) -> str:
    """A figure whose mark would otherwise take a line of its own."""
    for word, letter in _MARKS.items():
        figure = figure.replace(f"({word})", letter)
    return figure


def _from(row: dict[str, Any], sources: list[str]) -> str:
    mark = f" ({row['mark']})" if row["mark"] else ""
    return f"[{sources.index(row['source']) + 1}]{mark}"
