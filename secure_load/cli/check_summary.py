"""The check in brief, as the command line prints it: the boat's verdict first, and nothing more of what holds.

``tables`` prints all of it, for ``--why`` and ``--all``.
"""

from __future__ import annotations

from collections.abc import Sequence

from rich import box
from rich.cells import cell_len, set_cell_size
from rich.console import Console
from rich.table import Table

from secure_load.check.cautions import INDICATIVE
from secure_load.check.results import BoatVerdict, WeightVerdict
from secure_load.cli.console import TABLE_FROM, after, page_of, print_lines, shown
from secure_load.cli.verdict_table import STYLE
from secure_load.record.text.text_layout import plain, wrapped
from secure_load.record.text.words import case, colour, count, mass, remedy_words, tally, use

MOST_LINES = 3
"""Of the reasons of one weight, below its name."""
INDENT = 4
FIGURE_WIDTHS = (2, 10, 6, 5)
"""Of the columns of figures: number, verdict, use, mass."""


def print_summary(console: Console, verdict: BoatVerdict, file: str) -> None:
    """Verdict, table, the reasons of what does not hold, scenarios that are not green, and the first caution."""
    page = page_of(console)
    mark = colour(verdict.verdict)
    if verdict.weights:
        console.print(shown(console, mark, STYLE[verdict.verdict]), end="  ")
    said = f"{plain(verdict.boat)} ({plain(file)}): {tally(verdict)}."
    print_lines(console, after(said, len(mark) + 2 if verdict.weights else 0, page))
    numbers = {w.id: n for n, w in enumerate(verdict.weights, start=1)}
    if verdict.weights and page >= TABLE_FROM:
        console.print(_table(console, verdict.weights, page))
    names = {s.id: s.name for s in verdict.scenarios}
    for alike in _alike(verdict.weights):
        if alike[0].verdict != "green" or page < TABLE_FROM:
            _print_weights(console, alike, numbers, names, page)
    print_lines(console, _closing_lines(verdict, page))


def _table(console: Console, weights: Sequence[WeightVerdict], page: int) -> Table:
    """One line for each weight, of the width of the page."""
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False)
    room = (page - sum(FIGURE_WIDTHS) - len(FIGURE_WIDTHS) - 2) // 2
    for heading, width in zip(("#", "verdict", "use", "kg"), FIGURE_WIDTHS, strict=True):
        table.add_column(heading, justify="left" if heading == "verdict" else "right", min_width=width, no_wrap=True)
    table.add_column("weight", min_width=room, no_wrap=True)
    table.add_column("what goes first", no_wrap=True)
    for number, weight in enumerate(weights, start=1):
        table.add_row(
            str(number),
            shown(console, colour(weight.verdict), STYLE[weight.verdict]),
            shown(console, use(weight)),
            mass(weight.mass_kg),
            shown(console, _cut(plain(weight.name), room)),
            shown(console, _cut(_first_to_go(weight), room)),
        )
    return table


def _cut(words: str, cells: int) -> str:
    """Words cut to so many cells of a terminal."""
    return words if cell_len(words) <= cells else set_cell_size(words, cells - 2) + ".."


def _first_to_go(weight: WeightVerdict) -> str:
    """What gives way first; nothing of what holds."""
    if weight.verdict == "green":
        return ""
    if weight.unchecked is not None:
        return plain(weight.unchecked.partition(":")[0])
    if weight.free_to_move and weight.moves:
        return plain(weight.moves)
    first = weight.first_to_go
    return f"{plain(first.restraint)}: {plain(first.part)}" if first else ""


def _alike(weights: Sequence[WeightVerdict]) -> list[list[WeightVerdict]]:
    """Weights of which the same is to be said, gathered; in the order of the first of each."""
    found: dict[tuple[object, ...], list[WeightVerdict]] = {}
    for weight in weights:
        key = (weight.verdict, weight.mass_kg, use(weight), *weight.reasons)
        found.setdefault(key, []).append(weight)
    return list(found.values())


def _print_weights(
    console: Console, alike: Sequence[WeightVerdict], numbers: dict[str, int], names: dict[str, str], page: int
) -> None:
    """One weight, or several of which the same is to be said: its name, and at most ``MOST_LINES`` of reasons."""
    weight = alike[0]
    mark = colour(weight.verdict)
    console.print(shown(console, mark, STYLE[weight.verdict]), end="  ")
    which = ", ".join(str(numbers[w.id]) for w in alike)
    title = f"{which} {plain(weight.name)}" + (f" and {count(len(alike) - 1, 'other')} alike" if alike[1:] else "")
    for line in after(title, len(mark) + 2, page):
        console.print(shown(console, line, "bold"), soft_wrap=True)
    print_lines(console, _reason_lines(weight, names, page))


def _reason_lines(weight: WeightVerdict, names: dict[str, str], page: int) -> list[str]:
    reasons = [plain(each) for each in weight.reasons]
    if reasons and not weight.free_to_move and weight.first_to_go is not None and weight.worst is not None:
        reasons[0] = f"{reasons[0]} ({case(weight.worst, names)})"
    lines: list[str] = []
    told = 0
    for reason in reasons:
        more = wrapped(reason, INDENT, INDENT + 2, page)
        if len(lines) + len(more) > MOST_LINES:
            break
        lines += more
        told += 1
    if not told and reasons:
        lines, told = wrapped(reasons[0], INDENT, INDENT + 2, page)[:MOST_LINES], 1
        lines[-1] = f"{lines[-1][: page - 4]} ..."
    left = len(reasons) - told
    if left:
        pointer = f" (+{left} more: --why {plain(weight.id)})"
        if len(lines[-1]) + len(pointer) <= page:
            lines[-1] += pointer
        elif len(lines) < MOST_LINES:
            lines.append(" " * INDENT + pointer.strip())
        else:
            lines[-1] = lines[-1][: page - len(pointer) - 3].rstrip() + ".." + pointer
    for remedy in weight.remedies:
        lines += wrapped(f"Fix: {remedy_words(remedy)}", INDENT, INDENT + 2, page)
    return lines


def _closing_lines(verdict: BoatVerdict, page: int) -> list[str]:
    lines: list[str] = []
    for found, word in (("red", "Fails in"), ("amber", "Doubtful in")):
        scenarios = [plain(s.name) for s in verdict.scenarios if s.verdict == found]
        if scenarios:
            lines += wrapped(f"{word}: {', '.join(scenarios)}.", 0, 2, page)
    assumed = [w for w in verdict.weights if w.assumptions]
    if assumed:
        figures = sum(len(w.assumptions) for w in assumed)
        lines += wrapped(f"Assumed: {count(figures, 'figure')} of {count(len(assumed), 'weight')}.", 0, 2, page)
    lines += wrapped(INDICATIVE, 0, 2, page)
    lines += wrapped(
        "--why [ID] the figures and their sources; --mend what would fix it; --all everything.", 0, 2, page
    )
    return ["", *lines]
