"""The chosen weight's verdict in a few lines: what fails, by how much, what fixes it."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from secure_load.boat.models import Weight
from secure_load.check.results import RANK, Colour, Remedy
from secure_load.record.drawings.heel_strip import StripRow, cell_words
from secure_load.screen.session.session import Session, WeightStatus
from secure_load.screen.table.lines import SCALE
from secure_load.screen.table.table import strip_pieces
from secure_load.screen.verdict.words import STYLE, Line, percent, safe, short

Fixes = Sequence[Remedy] | None
"""What would fix the weight; None until it is known."""


def top_line(session: Session, elsewhere: bool, stopped: bool, wide: bool) -> Line:
    """The boat, her file, and how many of her weights hold; with ``wide`` also the mass of all."""
    states = session.states().values()
    count = {colour: sum(s.verdict is not None and s.verdict.verdict == colour for s in states) for colour in RANK}
    where = session.path.name if session.path else "no file yet"
    line: Line = [
        ("strong", safe(session.boat.boat.name, 60)),
        ("quiet", f"   {safe(where, 60)}  " if wide or session.path is None else "  "),
        ("strong" if session.dirty else "quiet", "not saved" if session.dirty else "saved"),
        ("strong", "  open elsewhere too" if elsewhere else ""),
        ("", "     " if wide else "  "),
    ]
    words: dict[Colour, str] = {"red": "FAILS", "amber": "DOUBT", "green": "HOLD"}
    for colour, word in words.items():
        if count[colour]:
            line += [(STYLE[colour], f"{word} {count[colour]}"), ("", "   " if wide else "  ")]
    left = len(session.requests())
    if left:
        line.append(("quiet", f"{'stopped' if stopped else 'checking'}, {left} to go   "))
    weights = session.boat.weight
    if wide:
        line.append(("", f"{sum(w.mass for w in weights):.0f} kg in {len(weights)}     "))
    picked = session.scenarios
    line.append(("quiet", "all scenarios" if picked is None else f"{len(picked)} of the scenarios"))
    return line


def fix_lines(fixes: Fixes, state: WeightStatus, width: int, most: int) -> list[Line]:
    """What would fix it, least work first."""
    if state.verdict is None or state.working or state.verdict.verdict == "green":
        return []
    if fixes is None:
        return [[("quiet", "Fix  f looks for what would fix it")]]
    lines: list[Line] = []
    for n, fix in enumerate(fixes[:most], start=1):
        head = [("strong" if n == 1 else "", "Fix  " if n == 1 else "     ")]
        done = f"  {fix.work}, then {percent(fix.utilisation)}" if fix.kind == "change" else ""
        words = wrap(f"{n} {safe(fix.change, 300)}", max(width - 5, 20))
        if len(words) > 2:
            words = [words[0], words[1][: max(width - 9, 10)] + " ..."]
        lines += [[*(head if k == 0 else [("", "     ")]), ("", w)] for k, w in enumerate(words)]
        if done:
            lines.append([("quiet", f"     {done.strip()}")])
    return lines


def summary_lines(
    weight: Weight | None, number: int, state: WeightStatus | None, fixes: Fixes, width: int, wide: bool
) -> list[Line]:
    """The title, the verdict, its reasons and what fixes it, so wide."""
    if weight is None or state is None:
        return [[("quiet", "No weight is listed yet: press a to add one.")]]
    title = f" {number} {safe(weight.title, 60)} "[: width - 3]
    lines: list[Line] = [[("quiet", "━"), ("strong", title), ("quiet", "━" * max(width - 1 - len(title), 0))]]
    lines.append(short(state))
    if state.verdict is not None:
        words = [w for reason in state.verdict.reasons[:2] for w in wrap(safe(reason, 600), max(width - 1, 20))[:3]]
        lines += [[("", w)] for w in words[: 6 if wide else 2]]
    lines += fix_lines(fixes, state, width, 2 if wide else 1)
    return lines


def heel_lines(row: StripRow | None, heel: float, names: dict[str, str], width: int) -> list[Line]:
    """The strip of one weight under its scale, and the cell under the cursor in words."""
    if row is None:
        return []
    before = " " * max((width - len(SCALE)) // 2, 0)
    return [
        [("quiet", before + SCALE)],
        [("", before), *strip_pieces(row, heel)],
        [("quiet", cell_words(row, heel, names)[:width])],
    ]
