"""What keeps the ingots of a bundle together: cleats that reach them all, or straps round the stack."""

from __future__ import annotations

from secure_load.boat.models import AnyRestraint, BundleTie, Cleat, Weight
from secure_load.verdict.blocks import cleat_length
from secure_load.verdict.changes import Change, Ladder, with_pieces
from secure_load.verdict.work_of_change import named

ROUND = "polyester-webbing-25-lc500"
HOVE_TIGHT_N = 300.0
"""Tension of a buckled strap hove tight by hand. Common practice."""


def kept_together(weight: Weight) -> Ladder:
    """Ways to keep every ingot in its stack, least labour first; empty for a weight that is no bundle."""
    if weight.bundle is None:
        return []
    reached = _reaching(weight)
    level = BundleTie(line=ROUND, around="level", tension_N=HOVE_TIGHT_N)
    across = BundleTie(line=ROUND, count=2, around="athwartships", tension_N=HOVE_TIGHT_N)
    along = BundleTie(line=ROUND, count=2, around="fore-and-aft", tension_N=HOVE_TIGHT_N)
    rungs = [Change("cleats that reach every ingot", reached)] if reached != weight else []
    round_it = ([level], [across], [along], [across, level], [across, along, level])
    rungs += [Change("straps round the stack", _tied(weight, ties)) for ties in round_it]
    if reached != weight:
        rungs += [
            Change("straps round the stack and cleats that reach every ingot", _tied(reached, t)) for t in round_it
        ]
    return rungs


def _tied(weight: Weight, ties: list[BundleTie]) -> Weight:
    assert weight.bundle is not None
    return weight.model_copy(update={"bundle": weight.bundle.model_copy(update={"ties": ties})})


def _reaching(weight: Weight) -> Weight:
    """The weight with its cleats as long as the sides they stand against."""
    pieces: dict[str, AnyRestraint] = {}
    for name, cleat in named(weight).items():
        if isinstance(cleat, Cleat) and cleat.length_mm is not None:
            length = cleat_length(weight, cleat.face)
            if length > cleat.length_mm:
                pieces[name] = cleat.model_copy(update={"length_mm": length, "at_m": None})
    return with_pieces(weight, pieces) if pieces else weight
