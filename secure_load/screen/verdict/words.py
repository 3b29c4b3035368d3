"""A verdict in words, as lines of (style, text) pairs; the panes turn the styles into colours.

Styles: ``holds``, ``doubtful``, ``fails`` (always beside a word and a letter), ``head``, ``strong``, ``quiet``.
Text from a file passes through as text: nothing here is read as markup.
"""

from __future__ import annotations

from secure_load.boat.base import visible
from secure_load.check.judge import format_heel
from secure_load.check.results import LETTER, WORD, Colour, PartFigure, RestraintVerdict, WeightVerdict
from secure_load.check.utilisation import colour_of, percent
from secure_load.record.text.words import movement, use
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
    """How hard the weight's restraints are worked; "free" where it is free to move."""
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


def asked_of(demand: float, strength: float | None) -> str:
    """What is asked of a part and what it bears, in the same unit."""
    if strength is None:
        return force(demand)
    if max(demand, strength) >= 9999.5:
        return f"{demand / 1000:.2f} on {strength / 1000:.2f} kN"
    return f"{demand:.0f} on {strength:.0f} N"


def verdict_lines(state: WeightStatus, names: dict[str, str]) -> list[Line]:
    """The whole of a weight's verdict. ``names`` are the scenarios' names by id."""
    v = state.verdict
    if v is None:
        return [[("quiet", "working")]]
    lines: list[Line] = [short(state)]
    lines += [[("", f"- {safe(reason, 1000)}")] for reason in v.reasons]
    if v.unchecked is not None:
        return lines
    lines += _worst(v, names)
    lines += _restraints(v)
    lines += _order(v)
    lines += _inside(v)
    lines += _listed("Bearing pressure", [b.sentence for b in v.bearing])
    lines += _scenarios(v, names)
    lines += _why(v)
    lines += _beyond(v)
    lines += _listed("Assumed (not entered)", v.assumptions)
    lines += _listed("Check", v.warnings)
    return lines


def _head(text: str) -> list[Line]:
    return [[], [("head", text)]]


def _listed(head: str, sentences: list[str]) -> list[Line]:
    return [*_head(head), *[[("", f"- {safe(s, 1000)}")] for s in sentences]] if sentences else []


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


def _worst(v: WeightVerdict, names: dict[str, str]) -> list[Line]:
    w = v.worst
    if w is None:
        return []
    pitch = f", bow {'down' if w.pitch_deg > 0 else 'up'} {abs(w.pitch_deg):.0f}" if abs(w.pitch_deg) >= 0.5 else ""
    what = "Where it first goes" if v.free_to_move else "Worst case"
    lines = _head(what)
    lines.append([("", f"{safe(names.get(w.scenario, w.scenario))}: {format_heel(w.heel_deg)}{pitch},")])
    weighs = {0.0: "weightless", 1.0: "at 1 g"}
    lines.append([("", weighs.get(w.load_factor, f"at {w.load_factor:g} g"))])
    lines.append([("", f"load on it: {directions(w.demand_N)}")])
    if v.first_to_go is not None:
        first = v.first_to_go
        what = "highest use: " if v.free_to_move else "first to go: "
        lines.append([("", what), ("strong", safe(f"{first.restraint}, {first.part}"))])
        lines.append([("", f"  demand {asked_of(first.demand_N, first.strength_N)}")])
    heels = v.holds_to_heel_deg
    if heels is None or (heels.port is None and heels.starboard is None):
        lines.append([("", "fails upright")])
    else:
        to = ["none" if h is None else f"{h:.0f} degrees" for h in (heels.port, heels.starboard)]
        lines.append([("", f"holds to {to[0]} of heel to port, {to[1]} to starboard")])
    lines.append([("", safe(f"moves before it is held: {movement(v)}"))])
    return lines


def _restraints(v: WeightVerdict) -> list[Line]:
    if not v.restraints:
        return []
    lines = _head("What holds it, and its use")
    width = max(len(safe(r.id, 24)) for r in v.restraints)
    for r in sorted(v.restraints, key=lambda r: -r.utilisation):
        name = safe(r.id, 24).ljust(width)
        if not r.parts:
            lines.append([("", f"  {name}  bears")])
            continue
        colour = colour_of(r.utilisation)
        tail = " (assumed)" if r.assumed else ""
        lines.append(
            [(STYLE[colour], f"{LETTER[colour]} "), ("", f"{name} {percent(r.utilisation):>6}  {r.part}{tail}")]
        )
    lines.append([("", "  backed up if one restraint fails" if v.second_path else "  no back-up")])
    return lines


def _order(v: WeightVerdict) -> list[Line]:
    """What breaks first as the worst load grows, and what follows."""
    if not v.order_of_failure:
        return []
    return [*_head("Order of failure"), *[[("", safe(f.sentence, 1000))] for f in v.order_of_failure]]


def _inside(v: WeightVerdict) -> list[Line]:
    """Whether every ingot stays in its bundle."""
    b = v.bundle
    if b is None:
        return []
    at = "" if b.heel_deg is None else f", {format_heel(b.heel_deg)}"
    worked = "" if b.utilisation is None else f"  highest use of a tie {percent(b.utilisation)}{at}"
    return [
        *_head("Inside the bundle"),
        [(STYLE[b.verdict], mark(b.verdict)), ("quiet", worked)],
        [("", safe(b.sentence, 1000))],
    ]


def _scenarios(v: WeightVerdict, names: dict[str, str]) -> list[Line]:
    lines = _head("In each scenario")
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


def governing(v: WeightVerdict) -> tuple[RestraintVerdict, PartFigure] | None:
    """The restraint and the part that are worked hardest."""
    found = [(r, p) for r in v.restraints for p in r.parts]
    return max(found, key=lambda each: each[1].utilisation, default=None)


def _why(v: WeightVerdict) -> list[Line]:
    found = governing(v)
    if found is None:
        return []
    restraint, part = found
    lines = _head(f"Why: {safe(restraint.id)}, {part.part}")
    lines += [[("", f"- {safe(each, 1000)}")] for each in part.why]
    asked = f"- demand {asked_of(part.demand_N, part.strength_N)}"
    lines.append([("", asked + (f": {percent(part.utilisation)} used" if part.strength_N is not None else ""))])
    lines.append([("quiet", f"  {safe(part.basis, 1000)}")])
    return lines


def _gees(g: float | None) -> str:
    """So many g; beyond twenty the figure says no more than that."""
    return "over 20" if g is None or g > 20.0 else f"{g:.1f}"


def _beyond(v: WeightVerdict) -> list[Line]:
    g, loose = v.holds_g, v.if_loose
    if g is None or loose is None:
        return []
    ways = (
        ("down", g.down),
        ("up", g.up),
        ("port", g.port),
        ("starboard", g.starboard),
        ("fore", g.fore),
        ("aft", g.aft),
    )
    lines = _head("Load it holds, in g, by direction")
    for three in (ways[:3], ways[3:]):
        lines.append([("", "  ".join(f"{name} {_gees(x)}" for name, x in three))])
    if g.weakest is not None:
        lines.append([("", f"weakest: {g.weakest:.1f} {g.weakest_direction}")])
    lines += _head("If it gets loose (indicative)")
    lines.append([("", f"falls {loose.fall_m:.2f} m with {loose.energy_J:.0f} J;")])
    if loose.plank_absorbs_J is None:
        lines.append([("", "what a plank takes is not known: give her planking")])
    else:
        lines.append([("", f"a plank between two frames takes {loose.plank_absorbs_J:.0f} J")])
    return lines
