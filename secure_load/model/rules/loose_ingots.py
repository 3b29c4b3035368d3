"""Ingots of which nobody said how they lie: loose, in the stack whose ingots have the likeliest proportions."""

from __future__ import annotations

import itertools

import numpy as np

from secure_load.boat.models import Bundle, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.model.assumptions import Assumptions, box_size

MOST = 6
"""Ingots up to which those of which nobody said how they lie are laid out: more would take seconds at every figure."""


def lie_unsaid(weight: Weight) -> bool:
    """True where a weight is several ingots of which it was not said that they are joined or how they lie."""
    ingots = weight.ingots
    return ingots is not None and ingots.count > 1 and ingots.joined is None and weight.bundle is None


def laid_out(weight: Weight) -> Weight:
    """The weight with the stack its ingots are likeliest to lie in, where nobody said how they do; else as it is."""
    if not lie_unsaid(weight):
        return weight
    assert weight.ingots is not None
    if weight.ingots.count > MOST:
        return weight
    stack = _stack(weight.ingots.count, box_size(weight, Assumptions()))
    return weight.model_copy(update={"bundle": Bundle(stack=stack)})


def stack_words(bundle: Bundle) -> str:
    """How a stack lies."""
    rows = bundle.rows
    if len(set(rows)) == 1:
        return f"{rows[0][0]} along her, {rows[0][1]} across her, {len(rows)} high"
    return ", then on it ".join(f"{along} along her and {across} across her" for along, across in rows)


def question(weight: Weight) -> str | None:
    """What to ask of a weight whose ingots lie nobody knows how; None where that is known."""
    if not lie_unsaid(weight):
        return None
    taken = laid_out(weight).bundle
    lying = "" if taken is None else f", {stack_words(taken)}"
    return (
        f"its ingots are taken as loose{lying}: say how they lie (`bundle` with its `stack`), or that they are cast, "
        "bolted or boxed together (`joined`)"
    )


def _stack(count: int, size: np.ndarray[tuple[int], np.dtype[np.float64]]) -> tuple[int, int, int]:
    """The stack of so many boxes in one of some size (3,) whose proportions are likest to an ingot's."""
    ways = [n for n in range(1, count + 1) if count % n == 0]
    stacks = [(i, j, k) for i, j, k in itertools.product(ways, ways, ways) if i * j * k == count]
    sides = np.sort(size / np.array(stacks, dtype=float), axis=1)
    length, breadth = np.log(sides[:, 2] / sides[:, 1]), np.log(sides[:, 1] / sides[:, 0])
    off = np.hypot(length - np.log(assumed("ingot-length").number), breadth - np.log(assumed("ingot-breadth").number))
    # of ways alike but for rounding the first: the mirror image of a weight is laid out as its own
    return stacks[int(np.argmax(off <= off.min() * (1.0 + 1e-9) + 1e-12))]
