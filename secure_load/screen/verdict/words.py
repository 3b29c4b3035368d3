"""A verdict in words, as lines of (style, text) pairs; the panes turn the styles into colours.

Styles: ``holds``, ``doubtful``, ``fails`` (always beside a word and a letter), ``head``, ``strong``, ``quiet``.
Text from a file passes through as text: nothing here is read as markup.
"""

from __future__ import annotations

from secure_load.boat.base import visible
from secure_load.check.judge import format_heel
from secure_load.check.results import LETTER, WORD, Colour, WeightVerdict
from secure_load.check.utilisation import percent
from secure_load.record.text.weight_text import weight_lines
from secure_load.record.text.words import use
from secure_load.screen.session.session import WeightStatus

Piece = tuple[str, str]
Line = list[Piece]
STYLE: dict[Colour, str] = {"green": "holds", "amber": "doubtful", "red": "fails"}


def safe(text: str, limit: int = 400) -> str:
    """Text made fit for the screen: control characters shown, never obeyed."""
    return visible(text, limit)


def mark(colour: Colour) -> str:
    """Letter and word: "R fails"."""
    return f"{LETTER[colour]} {WORD[colour]}"


def state_mark(state: WeightStatus) -> Piece:
    """Letter and word of a weight's verdict, or what there is instead."""
    if state.verdict is None:
        return "quiet", "checking"
    return STYLE[state.verdict.verdict], mark(state.verdict.verdict)


def utilisation(state: WeightStatus) -> str:
    """How hard the weight's restraints are worked; "loose" where it is free to move."""
    return "-" if state.verdict is None else use(state.verdict)


def use_words(state: WeightStatus) -> str:
    """The same for the table, with a mark while it is being checked again."""
    return utilisation(state) + ("…" if state.working and state.verdict is not None else "")


def goes_first(state: WeightStatus) -> str:
    """What gives way first; where the weight is free to move it is the weight itself that goes."""
    v = state.verdict
    if v is None:
        return ""
    if v.unchecked is not None:
        return v.unchecked.partition(":")[0]
    if not v.restraints:
        return "nothing holds it"
    if v.free_to_move:
        return safe(f"it {v.moves}") if v.moves else "the weight itself"
    return "" if v.first_to_go is None else safe(f"{v.first_to_go.restraint}, {v.first_to_go.part}")


def short(state: WeightStatus) -> Line:
    """One line on a weight: mark, utilisation, which way it goes or what goes first."""
    style, words = state_mark(state)
    line: Line = [(style, words)]
    if state.verdict is not None:
        line.append(("strong", f"  {utilisation(state)}"))
        line.append(("", f"  {goes_first(state)}"))
    if state.working and state.verdict is not None:
        line.append(("quiet", "  working"))
    return line


def force(newtons: float) -> str:
    """A force with three figures, in N or kN."""
    return f"{newtons / 1000:.3g} kN" if abs(newtons) >= 9999.5 else f"{newtons:.0f} N"


def verdict_lines(state: WeightStatus, names: dict[str, str], page: int = 72) -> list[Line]:
    """The whole of a weight's verdict, so wide. ``names`` are the scenarios' names by id."""
    v = state.verdict
    if v is None:
        return [[("quiet", "checking")]]
    lines: list[Line] = [short(state), *([("", each)] for each in weight_lines(v, names, page))]
    return lines if v.unchecked is not None else [*lines, *_scenarios(v, names)]


def directions(demand: tuple[float, float, float]) -> str:
    """A force in the boat's axes, in words; parts under a hundredth of the whole are left out."""
    least = 0.01 * max(abs(x) for x in demand)
    ways = (("forward", "aft"), ("to port", "to starboard"), ("up", "down"))
    found = [
        f"{force(abs(x))} {way[0] if x > 0 else way[1]}"
        for x, way in zip(demand, ways, strict=True)
        if abs(x) > max(least, 0.5)
    ]
    return ", ".join(found) or "nothing to speak of"


def _scenarios(v: WeightVerdict, names: dict[str, str]) -> list[Line]:
    lines: list[Line] = [[], [("head", "In each scenario")]]
    for s in v.scenarios:
        figure = percent(s.utilisation)
        lines.append(
            [
                (STYLE[s.verdict], f"{LETTER[s.verdict]} "),
                ("", f"{figure:>6}  {safe(names.get(s.scenario, s.scenario))}, "),
                ("quiet", format_heel(s.heel_deg)),
            ]
        )
    return lines
