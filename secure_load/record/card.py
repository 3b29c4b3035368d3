"""The first sheet of a record: what is aboard, what is wrong with it and by when that has to be put right.

For whoever tapes one sheet to the chart table; the pages behind it say the rest.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from secure_load.boat.models import BoatFile, Weight
from secure_load.check.results import RANK, Colour, WeightVerdict
from secure_load.record.inspecting import due
from secure_load.record.snapshot import Snapshot
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import count

DEADLINES: dict[Colour, str] = {"red": "before she sails", "amber": "before a passage"}
"""By when what is not green has to be put right; common practice."""
_LEVEL = 0.005
"""Metres; half of the last figure shown."""


@dataclass(frozen=True)
class CardRow:
    """One weight on the card."""

    number: int
    name: str
    mass_kg: float
    place: str
    """Its centre of gravity, in short."""
    held_by: str
    verdict: Colour
    check_again: str


@dataclass(frozen=True)
class Defect:
    """One thing to be put right."""

    number: int
    """Of the weight."""
    name: str
    verdict: Colour
    reason: str
    by_when: str


@dataclass(frozen=True)
class Card:
    """What the first sheet says besides the boat's particulars."""

    rows: list[CardRow]
    defects: list[Defect]
    """The worst first."""


def card(shot: Snapshot) -> Card:
    """The card of a snapshot."""
    again = due(shot.boat.boat, shot.date)
    routine = "now" if again.now else again.on.isoformat()
    found = {w.id: w for w in shot.verdict.weights}
    rows = [
        CardRow(
            number=number,
            name=plain(weight.title),
            mass_kg=weight.mass,
            place=short_place(weight.at_m),
            held_by=held_by(weight),
            verdict=found[weight.id].verdict,
            check_again=DEADLINES.get(found[weight.id].verdict, routine),
        )
        for number, weight in enumerate(shot.boat.weights_as_held(), start=1)
    ]
    return Card(rows, _defects(shot.boat, found))


def _defects(boat: BoatFile, found: dict[str, WeightVerdict]) -> list[Defect]:
    numbered = [(number, found[w.id]) for number, w in enumerate(boat.weight, start=1)]
    wrong = [(n, w) for n, w in numbered if w.verdict != "green"]
    return [
        Defect(n, plain(w.name), w.verdict, plain(w.reasons[0]), DEADLINES[w.verdict])
        for n, w in sorted(wrong, key=lambda each: -RANK[each[1].verdict])
    ]


def short_place(at_m: tuple[float, float, float]) -> str:
    """A centre of gravity in a table's cell; metres.

    >>> short_place((3.9, 0.0, -0.42)), short_place((-0.2, -0.35, 0.0))
    ('3.90 fwd, centreline, 0.42 below', '0.20 aft, 0.35 stbd, at WL')
    """
    x, y, z = at_m
    side = "centreline" if abs(y) < _LEVEL else f"{abs(y):.2f} {'port' if y > 0 else 'stbd'}"
    level = "at WL" if abs(z) < _LEVEL else f"{abs(z):.2f} {'above' if z > 0 else 'below'}"
    return f"{abs(x):.2f} {'fwd' if x >= 0 else 'aft'}, {side}, {level}"


def held_by(weight: Weight) -> str:
    """The restraints of a weight, counted by their kind."""
    kinds = Counter(r.type.replace("_", " ") for r in weight.restraint)
    return ", ".join(kind if n == 1 else count(n, kind) for kind, n in kinds.items()) or "nothing"
