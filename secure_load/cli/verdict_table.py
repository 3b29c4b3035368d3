"""The check as the command line prints it for people. No part of the form is imported here."""

from __future__ import annotations

from collections.abc import Sequence

from rich import box
from rich.console import Console
from rich.table import Table

from secure_load.check.results import BoatVerdict, Colour, ScenarioRun, WeightVerdict
from secure_load.cli.console import TABLE_FROM, after, page_of, print_lines, shown
from secure_load.record.text.text_layout import bullet, labelled_list, plain, wrapped
from secure_load.record.text.weight_text import goes, weight_lines
from secure_load.record.text.why_chain import why_chain
from secure_load.record.text.words import (
    colour,
    mass,
    tally,
    use,
)

STYLE: dict[Colour, str] = {"green": "bold green", "amber": "bold yellow", "red": "bold red"}


def print_weights(console: Console, verdict: BoatVerdict, weights: Sequence[WeightVerdict]) -> None:
    """Every figure of some weights, with its source."""
    names = {s.id: s.name for s in verdict.scenarios}
    page = page_of(console)
    for weight in weights:
        _print_weight(console, weight, names, page)
        chain = why_chain(weight, names)
        print_lines(console, labelled_list("figures", [f"{each.text} [{each.source}]" for each in chain], 2, 13, page))


def print_check(console: Console, verdict: BoatVerdict, file: str) -> None:
    """The whole check: the table, each weight, the scenarios, the cautions, and the verdict once more."""
    page = page_of(console)
    print_lines(console, wrapped(f"{plain(verdict.boat)} ({plain(file)})", page=page))
    if not verdict.weights:
        print_lines(console, wrapped(f"{tally(verdict)}.", page=page))
    elif page >= TABLE_FROM:
        console.print(_weights_table(console, verdict.weights))
    else:
        for weight in verdict.weights:
            console.print(shown(console, colour(weight.verdict), STYLE[weight.verdict]), end="  ")
            first = f", {'' if weight.free_to_move else 'first '}{goes(weight)}"
            said = f"{plain(weight.name)}, {mass(weight.mass_kg)} kg, {use(weight)}{first}"
            print_lines(console, after(said, len(colour(weight.verdict)) + 2, page))
    print_weights(console, verdict, verdict.weights)
    if verdict.weights:
        _print_scenarios(console, verdict.scenarios, page)
    console.print()
    console.print(shown(console, "Cautions", "bold"))
    for caution in verdict.cautions:
        print_lines(console, bullet(caution, page=page))
    if verdict.weights:
        console.print()
        console.print(shown(console, colour(verdict.verdict), STYLE[verdict.verdict]), end="  ")
        print_lines(console, after(f"{plain(verdict.boat)}: {tally(verdict)}.", len(colour(verdict.verdict)) + 2, page))


def _weights_table(console: Console, weights: Sequence[WeightVerdict]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False)
    table.add_column("weight", overflow="fold", ratio=3)
    table.add_column("kg", justify="right", no_wrap=True)
    table.add_column("verdict", no_wrap=True)
    table.add_column("use", justify="right", no_wrap=True)
    table.add_column("what goes first", overflow="fold", ratio=3)
    table.add_column("holds to heel", overflow="fold", max_width=13)
    for weight in weights:
        table.add_row(
            shown(console, weight.name),
            mass(weight.mass_kg),
            shown(console, colour(weight.verdict), STYLE[weight.verdict]),
            shown(console, use(weight)),
            shown(console, goes(weight)),
            shown(console, _heels(weight)),
        )
    return table


def _heels(weight: WeightVerdict) -> str:
    found = weight.holds_to_heel_deg
    if found is None:
        return "-"
    sides = [
        f"{'none' if side is None else f'{side:.0f}'} {name}"
        for side, name in ((found.port, "P"), (found.starboard, "S"))
    ]
    return " ".join(sides)


def _print_weight(console: Console, weight: WeightVerdict, names: dict[str, str], page: int) -> None:
    console.print()
    title = plain(weight.name) if weight.name == weight.id else f"{plain(weight.name)} ({plain(weight.id)})"
    console.print(shown(console, colour(weight.verdict), STYLE[weight.verdict]), end="  ")
    for line in after(title, len(colour(weight.verdict)) + 2, page):
        console.print(shown(console, line, "bold"), soft_wrap=True)
    print_lines(console, weight_lines(weight, names, page))


def _print_scenarios(console: Console, scenarios: Sequence[ScenarioRun], page: int) -> None:
    console.print()
    console.print(shown(console, "Scenarios", "bold"))
    for run in scenarios:
        if run.instants:
            console.print(shown(console, f"{colour(run.verdict):<10}", STYLE[run.verdict]), end="  ")
            lines = after(f"{plain(run.name)} ({plain(run.id)})", 12, page)
        else:
            lines = wrapped(f"{'- not run':<12}{plain(run.name)} ({plain(run.id)}): no weight of its kind", 0, 12, page)
        print_lines(console, lines)
