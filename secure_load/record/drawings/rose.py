"""The rose of one weight: how many g it is held against in each direction of the section, and what is asked of it.

Directions are the boat's own, seen from aft: up is towards her deck however she lies. What a scenario asks for is
drawn where its load points, by its part in the section; its fore-and-aft part is not in the picture.
"""

from __future__ import annotations

import math

import numpy as np

from secure_load.boat.models import Weight
from secure_load.catalogue.lookup import factor
from secure_load.check.context import GroupSolution
from secure_load.check.holding import holds_in
from secure_load.record.drawings.drawing_model import Area, Legend, Mark, Picture, Shape, Stroke, Words, circle, spots
from secure_load.record.drawings.heel_strip import member_of
from secure_load.record.text.text_layout import plain
from secure_load.solver.arrays import Array, Mask

DIRECTIONS = 72
"""At 5 degrees."""
LEAST_RING = 2.0
"""g of the outer ring where little is asked."""
GRAIN = 60
"""Demands nearer to each other than the ring over this are one dot."""
ROOM = 1.6
"""The outer ring over the greatest demand."""


def rose_directions(count: int = DIRECTIONS) -> Array:
    """Unit vectors in the section, (count, 3): from down, over starboard, up and port back to down."""
    turn = 2.0 * np.pi * np.arange(count) / count
    return np.column_stack([np.zeros(count), -np.sin(turn), -np.cos(turn)])


def demand_in_section(solved: GroupSolution, weight: Weight) -> Array:
    """(d, 2) of (to starboard, up) in g over the distinct loads of the run."""
    member = member_of(solved, weight.id)
    force = solved.load[:, 6 * member : 6 * member + 3] / (weight.mass * factor("g0"))
    return np.column_stack([-force[:, 1], force[:, 2]])


def rose_picture(solved: GroupSolution, weight: Weight, ring_g: float | None = None) -> Picture:
    """How many g hold in each direction, cut off at the outer ring, and the demand of the run's scenarios.

    ``ring_g``: radius of the outer ring, g; chosen from the demand unless given.
    """
    member = member_of(solved, weight.id)
    ways = rose_directions()
    held = holds_in(solved.model, ways, member)
    asked = demand_in_section(solved, weight)
    size = np.hypot(asked[:, 0], asked[:, 1])
    most = float(size.max(initial=0.0))
    ring = ring_g if ring_g is not None else _round_up(max(LEAST_RING, ROOM * most))
    out: Mask = size > _held_towards(asked, held)
    beyond = len(np.unique(np.round(_sectors(asked[out], len(ways))) % len(ways)))
    holds = np.minimum(held, ring)
    at = np.column_stack([-ways[:, 1], ways[:, 2]])
    shapes: list[Shape] = [circle((0.0, 0.0), r, "grid") for r in _rings(ring)]
    shapes += [Stroke(((-ring, 0.0), (ring, 0.0)), "axis"), Stroke(((0.0, -ring), (0.0, ring)), "axis")]
    # between two of the dashed axes, where neither the demand upright nor that on her side lies
    aslant = math.cos(math.radians(45.0))
    shapes += [Words((r * aslant, r * aslant), f"{r:g} g", "axis") for r in _rings(ring)]
    shapes += _demand(asked, out, ring)
    shapes.append(Area(spots(at * holds[:, None]), "holds"))
    shapes += _ways(ring)
    worst = int(np.argmin(held))
    notes = [f"The outer ring is {ring:g} g; where the curve lies on it the weight is held against more."]
    if np.isfinite(held[worst]) and held[worst] < ring:
        tip = at[worst] * held[worst]
        shapes.append(Mark((float(tip[0]), float(tip[1])), "holds"))
    notes.append("Demand is drawn by its part in the section; its fore-and-aft part is left out.")
    notes.append(
        "The curve is that of the least friction and of stiffness as it was worked out; "
        "the verdict tries the bounds of both, and may find less."
    )
    if beyond:
        notes.append("Demand beyond the curve is marked: there the weight is not held.")
    return Picture(
        title=f"{plain(weight.title)}: how many g it is held against",
        description=_description(weight, ways, held, most, beyond, len(ways)),
        window=(-1.3 * ring, -1.2 * ring, 1.3 * ring, 1.2 * ring),
        shapes=tuple(shapes),
        legend=(
            Legend("line", "held against, g, in each direction of the boat", "holds"),
            Legend("dots", f"what the scenarios ask for, at most {most:.1f} g", "demand"),
            *([Legend("x", "asked for and not held", "beyond")] if beyond else []),
        ),
        notes=tuple(notes),
    )


def _round_up(g: float) -> float:
    """The next figure of 1, 2, 3, 4, 5, 6, 8, 10, 15, 20 ... that is no less."""
    scale = 10.0 ** math.floor(math.log10(g))
    return scale * next(s for s in (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0) if s * scale >= g - 1e-9)


def _rings(ring: float) -> list[float]:
    step = 1.0 if ring <= 4.0 else 2.0 if ring <= 10.0 else ring / 4.0
    inner = [step * i for i in range(1, int(ring / step) + 1) if step * i < ring - 0.25 * step]
    return [*inner, ring]


def _sectors(asked: Array, count: int) -> Array:
    """(d,) place of each demand among the directions, not rounded: from down over starboard, as they go."""
    return np.arctan2(asked[:, 0], -asked[:, 1]) / (2.0 * np.pi / count)


def _demand(asked: Array, out: Mask, ring: float) -> list[Shape]:
    """A dot for every place where something is asked for; near ones are one, marked if any of them is not held."""
    grain = ring / GRAIN
    cells, which = np.unique(np.round(asked / grain).astype(np.int64), axis=0, return_inverse=True)
    any_out = np.zeros(len(cells), dtype=bool)
    np.logical_or.at(any_out, which.ravel(), out)
    spot = cells * grain
    far = np.hypot(spot[:, 0], spot[:, 1])
    spot = spot * np.minimum(1.0, ring / np.maximum(far, 1e-9))[:, None]
    return [
        Mark(at, "beyond" if is_out else "demand") for at, is_out in zip(spots(spot), any_out.tolist(), strict=True)
    ]


def _held_towards(asked: Array, held: Array) -> Array:
    """(d,) what is held in the very direction of each demand, between the two directions next to it: the lesser."""
    count = len(held)
    low = np.floor(_sectors(asked, count)).astype(np.int64)
    return np.minimum(held[low % count], held[(low + 1) % count])


def _ways(ring: float) -> list[Shape]:
    far = 1.1 * ring
    return [
        Words((0.0, far), "up", "axis"),
        Words((0.0, -far), "down", "axis"),
        Words((-1.03 * ring, 0.0), "port", "axis", "end"),
        Words((1.03 * ring, 0.0), "stbd", "axis", "start"),
    ]


def _description(weight: Weight, ways: Array, held: Array, most: float, beyond: int, count: int) -> str:
    named = {"down": 0, "to starboard": count // 4, "up": count // 2, "to port": 3 * count // 4}

    def said(g: float) -> str:
        return "more than was tried" if math.isinf(g) else f"{g:.1f} g"

    figures = ", ".join(f"{name} {said(float(held[i]))}" for name, i in named.items())
    least = float(held.min())
    words = f"{plain(weight.title)} is held against: {figures}; least of all {said(least)}. "
    words += f"The scenarios ask for up to {most:.1f} g in the section"
    if beyond:
        return f"{words}, and in {beyond} of {count} directions for more than is held."
    return f"{words}, and nowhere for more than is held in that direction."
