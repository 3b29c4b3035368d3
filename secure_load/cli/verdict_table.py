"""The check as the command line prints it for people. No part of the form is imported here."""

from __future__ import annotations

from collections.abc import Sequence

from rich import box
from rich.console import Console
from rich.table import Table

from secure_load.check.results import BoatVerdict, Colour, ScenarioRun, WeightVerdict
from secure_load.cli.console import TABLE_FROM, after, page_of, print_lines, shown
from secure_load.record.text.text_layout import bullet, labelled, labelled_list, plain, wrapped
from secure_load.record.text.why_chain import why_chain
from secure_load.record.text.words import (
    colour,
    holds_g,
    holds_to,
    if_loose,
    instant,
    mass,
    movement,
    number,
    percent,
    remedy_words,
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
            first = f", {'' if weight.free_to_move else 'first '}{_goes(weight)}"
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
            shown(console, _goes(weight)),
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


def _first(weight: WeightVerdict) -> str:
    return f"{plain(weight.first_to_go.restraint)}: {plain(weight.first_to_go.part)}" if weight.first_to_go else "-"


def _goes(weight: WeightVerdict) -> str:
    """What gives way first; a weight that nothing holds gives way to nothing, it goes."""
    if weight.unchecked is not None:
        return plain(weight.unchecked.partition(":")[0])
    return plain(weight.moves) if weight.free_to_move and weight.moves else _first(weight)


def _print_weight(console: Console, weight: WeightVerdict, names: dict[str, str], page: int) -> None:
    console.print()
    title = plain(weight.name) if weight.name == weight.id else f"{plain(weight.name)} ({plain(weight.id)})"
    console.print(shown(console, colour(weight.verdict), STYLE[weight.verdict]), end="  ")
    for line in after(title, len(colour(weight.verdict)) + 2, page):
        console.print(shown(console, line, "bold"), soft_wrap=True)
    lines: list[str] = []
    for reason in weight.reasons:
        lines += bullet(plain(reason), 2, page)
    if weight.unchecked is not None:
        lines += labelled_list("would mend", [remedy_words(r) for r in weight.remedies], 2, 13, page)
        print_lines(console, lines)
        return

    def add(label: str, words: str) -> None:
        lines.extend(labelled(label, words, 2, 13, page))

    if weight.moves and not any(weight.moves in reason for reason in weight.reasons):
        add("moves", f"it {plain(weight.moves)}")
    add("worst", instant(weight.worst, names))
    first = weight.first_to_go
    if first is not None:
        worn = next((r.utilisation for r in weight.restraints if r.id == first.restraint), None)
        strength = "no strength this way" if first.strength_N is None else f"{number(first.strength_N, 0)} N"
        share = f" ({percent(worn)})" if worn is not None and first.strength_N is not None else ""
        asked = f"{number(first.demand_N, 0)} N demand on {strength}{share}"
        # where nothing stops it, a part that is merely worked has not given way
        label = "highest use" if weight.free_to_move else "first to go"
        add(label, f"{_first(weight)}: {asked}; {plain(first.basis)}")
    add("back-up", "yes" if weight.second_path else "none")
    add("holds to", holds_to(weight.holds_to_heel_deg))
    add("movement", f"{movement(weight)} (before it is held)")
    add("holds", holds_g(weight))
    add("if loose", if_loose(weight))
    if weight.bundle is not None:
        add("bundle", plain(weight.bundle.sentence))
    for label, items in (
        ("gives way", [f.sentence for f in weight.order_of_failure]),
        ("borne by", [b.sentence for b in weight.bearing]),
        ("would mend", [remedy_words(r) for r in weight.remedies]),
    ):
        lines += labelled_list(label, [plain(item) for item in items], 2, 13, page)
    for label, items in (("assumed", weight.assumptions), ("look at", weight.warnings)):
        lines += labelled_list(label, [plain(item) for item in items], 2, 13, page)
    print_lines(console, lines)


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
