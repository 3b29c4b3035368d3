"""The boat's section at one weight, turned to a heel and seen from aft: port on the left, starboard on the right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from secure_load.boat.models import BoatFile, Weight
from secure_load.catalogue.lookup import factor
from secure_load.check.results import LETTER, WORD, BoatVerdict, Colour, WeightVerdict
from secure_load.model.body import Body
from secure_load.record.drawings.drawing_model import (
    Arrow,
    Legend,
    Mark,
    Picture,
    Shape,
    Style,
    Words,
    area,
    spots,
    stroke,
    style_of,
)
from secure_load.record.drawings.outline import section_at, turned, water_level
from secure_load.record.drawings.structure_shapes import in_section
from secure_load.record.drawings.weight_shapes import Piece, Run, Solid, body_of, corners_of, hull, pieces_of, points_of
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import heel, mass, percent
from secure_load.solver.arrays import Array

NEAR = 0.25
"""m fore and aft within which another weight is drawn beside the chosen one."""
ARROW_OF_ONE_G = 0.22
"""Length of the load's arrow for 1 g, over the half-width of the window."""
LONGEST_ARROW = 0.75
"""The same, at most; a longer one is cut short, and its figure still says how large it is."""
SHORTEST_ARROW = 0.04

Verdicts = BoatVerdict | WeightVerdict | Mapping[str, Colour] | None
"""Whatever there is to know of colours: of the whole boat, of one weight, by id, or nothing yet."""


def colours_of(verdict: Verdicts) -> dict[str, Colour]:
    """Colours by the weights' ids."""
    if verdict is None:
        return {}
    if isinstance(verdict, BoatVerdict):
        return {w.id: w.verdict for w in verdict.weights}
    if isinstance(verdict, WeightVerdict):
        return {verdict.id: verdict.verdict}
    return dict(verdict)


def chosen_of(boat: BoatFile, weight_id: str) -> tuple[int, Weight]:
    """A weight and its place in the file. Raises LookupError, in one sentence."""
    for place, weight in enumerate(boat.weights_as_held()):
        if weight.id == weight_id:
            return place, weight
    raise LookupError(f"no weight '{plain(weight_id)}' in this boat")


def mark_of(place: int, colour: Colour | None) -> str:
    """What stands in a weight's box: its number in the file, and its verdict's letter."""
    return f"{place + 1}{LETTER[colour]}" if colour else f"{place + 1}"


def legend_of(place: int, weight: Weight, colour: Colour | None, chosen: bool) -> Legend:
    """A weight's line in the legend."""
    said = f"{plain(weight.title)}, {mass(weight.mass)} kg" + (f": {WORD[colour]}" if colour else "")
    return Legend(mark_of(place, colour), said, style_of(colour) if colour else _box_style(chosen))


def _box_style(chosen: bool) -> Style:
    return "weight-chosen" if chosen else "weight"


def section_picture(
    boat: BoatFile,
    weight_id: str,
    heel_deg: float,
    load: Sequence[float] | None = None,
    verdict: Verdicts = None,
    close: bool = False,
) -> Picture:
    """The section at a weight's place, at a heel.

    ``heel_deg``: positive puts the starboard side down. ``load``: force on the weight (x, y, z) in the boat's axes,
    N, drawn from its centre of gravity; its fore-and-aft part is only said. ``close``: the weight and what holds it
    alone, large; else all of her. Raises LookupError for a weight that is nowhere, UnknownRow as the check does.
    """
    place, weight = chosen_of(boat, weight_id)
    colours = colours_of(verdict)
    body = body_of(weight, boat)
    own = corners_of(body)
    beside = _beside(boat, weight)
    solids = [(i, w, corners_of(body_of(w, boat))) for i, w in beside]
    every_corner = np.vstack([own, *(corners for _, _, corners in solids)])
    lowest, widest = float(every_corner[:, 2].min()), float(np.abs(every_corner[:, 1]).max())
    outline = section_at(boat, float(body.at[0]), lowest, widest)
    pieces = pieces_of(weight, boat)
    level = water_level(boat, heel_deg)
    notes = [outline.note] if outline.note else []
    if level is None:
        axis = np.array([[0.0, boat.boat.roll_axis_z_m]])
        # the axis keeps its height over the water, whichever way she lies
        level = float(turned(axis, heel_deg)[0, 1]) - boat.boat.roll_axis_z_m
        notes.append("The water is drawn as if she turned about her roll axis: how deep she lies is not known.")
    else:
        notes.append("The water is drawn at the volume of her designed waterline, her trim left as it is.")
    window = _close(body.at, pieces, own, heel_deg) if close else _whole(outline.points, heel_deg)
    half = 0.5 * (window[2] - window[0])
    shapes: list[Shape] = [
        stroke([(window[0], level), (window[2], level)], "waterline"),
        area(turned(outline.points, heel_deg), "hull"),
        stroke(turned(_middle(outline.points), heel_deg), "axis"),
        *in_section(boat, outline.points, float(body.at[0]), heel_deg),
    ]
    for i, other, corners in solids:
        shapes.append(_area(corners, "weight", heel_deg, filled=True))
        middle = turned(corners[:, 1:].mean(axis=0)[None, :], heel_deg)[0]
        shapes.append(_letters(middle, i, colours.get(other.id), False))
    for piece in pieces:
        shapes.extend(_drawn(piece, heel_deg))
    shapes.append(_area(own, "weight-chosen", heel_deg, filled=True))
    force = None if load is None else np.array(load, dtype=float)
    shapes.append(_letters(_beside_arrow(body, force, heel_deg, half), place, colours.get(weight.id), True))
    shapes.extend(_sides(outline.points, heel_deg, window, close))
    if force is not None:
        shapes.extend(_load(body.at, force, weight.mass, heel_deg, half, window))
    every = sorted([(place, weight), *beside], key=lambda each: each[0])
    return Picture(
        title=f"{plain(boat.boat.name)}, section at {plain(weight.title)}, {heel(heel_deg)}",
        description=_description(boat, weight, heel_deg, load, verdict, len(beside), pieces),
        window=window,
        shapes=tuple(shapes),
        legend=tuple(legend_of(i, w, colours.get(w.id), w.id == weight_id) for i, w in every),
        notes=tuple(notes),
    )


def _beside(boat: BoatFile, weight: Weight) -> list[tuple[int, Weight]]:
    def span(w: Weight) -> tuple[float, float]:
        along = corners_of(body_of(w, boat))[:, 0]
        return float(along.min()), float(along.max())

    aft, fore = span(weight)
    return [
        (i, w)
        for i, w in enumerate(boat.weights_as_held())
        if w.id != weight.id and span(w)[0] <= fore + NEAR and span(w)[1] >= aft - NEAR
    ]


def _whole(outline: Array, heel_deg: float) -> tuple[float, float, float, float]:
    """The same square at every heel, so that she does not grow and shrink as she rolls."""
    centre = 0.5 * (outline.min(axis=0) + outline.max(axis=0))
    radius = 1.06 * float(np.hypot(*(outline - centre).T).max())
    u, v = turned(centre[None, :], heel_deg)[0]
    return float(u) - radius, float(v) - radius, float(u) + radius, float(v) + radius


def _close(at: Array, pieces: list[Piece], own: Array, heel_deg: float) -> tuple[float, float, float, float]:
    """The weight and what holds it, as large at every heel."""
    away = np.vstack([own, *map(points_of, pieces)])[:, 1:] - at[1:]
    radius = max(1.25 * float(np.hypot(*away.T).max()), 0.05)
    u, v = turned(at[None, 1:], heel_deg)[0]
    return float(u) - radius, float(v) - radius, float(u) + radius, float(v) + radius


def _middle(outline: Array) -> Array:
    return np.array([[0.0, outline[:, 1].min()], [0.0, outline[:, 1].max()]])


def _area(corners: Array, style: Style, heel_deg: float, filled: bool = False) -> Shape:
    return area(turned(hull(corners[:, 1:]), heel_deg), style, filled)


def _drawn(piece: Piece, heel_deg: float) -> list[Shape]:
    if isinstance(piece, Solid):
        return [_area(piece.corners, piece.style, heel_deg, filled=True)]
    return run_shapes(piece, turned(piece.points[:, 1:], heel_deg), turned(piece.ends[:, 1:], heel_deg))


def run_shapes(run: Run, points: Array, ends: Array) -> list[Shape]:
    """A line and the dots where it is made fast, from points (n, 2) as they lie in the picture."""
    found: list[Shape] = [stroke(points, run.style)] if len(points) > 1 else []
    found.extend(Mark(spot, run.style) for spot in spots(ends))
    return found


def _letters(spot: Array, place: int, colour: Colour | None, chosen: bool) -> Shape:
    style = style_of(colour) if colour else _box_style(chosen)
    return Words((float(spot[0]), float(spot[1])), mark_of(place, colour), style)


def _beside_arrow(body: Body, force: Array | None, heel_deg: float, half: float) -> Array:
    """Where the chosen weight's letters stand: clear of the arrow, outside a box that has no room for both."""
    middle = turned(body.at[None, 1:], heel_deg)[0]
    if force is None or not np.hypot(force[1], force[2]) > 1e-9:
        return middle
    away = -turned(force[None, 1:], heel_deg)[0] / np.hypot(force[1], force[2])
    across = float(np.hypot(body.half[1], body.half[2]))
    far = across + 0.05 * half if across < 0.3 * half else 0.5 * float(body.half[1:].min())
    return middle + far * away


def _sides(outline: Array, heel_deg: float, window: tuple[float, float, float, float], close: bool) -> list[Shape]:
    """Which side is which, written at the rail; in the corners where only the weight is seen."""
    if close:
        turn = turned(np.array([[1.0, 0.0]]), heel_deg)[0]
        middle = np.array([0.5 * (window[0] + window[2]), 0.5 * (window[1] + window[3])])
        reach = 0.92 * 0.5 * (window[2] - window[0])
        ends = [middle + reach * turn, middle - reach * turn]
    else:
        rail = outline[np.argmax(outline[:, 0] + 0.2 * outline[:, 1])]
        both = np.array([[rail[0], rail[1]], [-rail[0], rail[1]]]) * 0.82
        ends = list(turned(both, heel_deg))
    return [
        Words((float(end[0]), float(end[1])), name, "axis") for end, name in zip(ends, ("port", "stbd"), strict=True)
    ]


def _load(
    at: Array, force: Array, kg: float, heel_deg: float, half: float, window: tuple[float, float, float, float]
) -> list[Shape]:
    across = turned(force[None, 1:], heel_deg)[0]
    size = float(np.hypot(*across))
    in_g = float(np.linalg.norm(force)) / (kg * factor("g0"))
    tail = turned(at[None, 1:], heel_deg)[0]
    said = f"{in_g:.1f} g, {np.linalg.norm(force):.0f} N"
    if in_g < 1e-6:
        return [Words((float(tail[0]), float(tail[1]) + 0.15 * half), "weightless", "load")]
    length = size / (kg * factor("g0")) * ARROW_OF_ONE_G * half
    length = min(max(length, SHORTEST_ARROW * half), LONGEST_ARROW * half)
    way = across / size if size > 1e-9 else np.zeros(2)
    head = tail + way * length
    inside = np.clip(
        head + way * 0.07 * half,
        [window[0] + 0.2 * half, window[1] + 0.05 * half],
        [window[2] - 0.2 * half, window[3] - 0.05 * half],
    )
    return [
        Arrow((float(tail[0]), float(tail[1])), (float(head[0]), float(head[1])), "load"),
        Words((float(inside[0]), float(inside[1])), said, "load"),
    ]


def _description(
    boat: BoatFile,
    weight: Weight,
    heel_deg: float,
    load: Sequence[float] | None,
    verdict: Verdicts,
    beside: int,
    pieces: list[Piece],
) -> str:
    said = [
        f"{plain(boat.boat.name)} seen from aft, {heel(heel_deg)}, cut at {plain(weight.title)} "
        f"({mass(weight.mass)} kg), {weight.at_m[0]:.2f} m forward of the after end of the waterline."
    ]
    names = list(dict.fromkeys(plain(p.name) for p in pieces))
    said.append(f"Held by {', '.join(names)}." if names else "Nothing holds it.")
    if load is not None:
        x, y, z = load
        said.append(
            f"The load on it: {abs(y):.0f} N to {'port' if y > 0 else 'starboard'}, "
            f"{abs(z):.0f} N {'up' if z > 0 else 'down'} in the boat, {abs(x):.0f} N {'forward' if x > 0 else 'aft'} "
            "(not drawn)."
        )
    if beside:
        said.append(f"{beside} more {'weight lies' if beside == 1 else 'weights lie'} near it.")
    if isinstance(verdict, WeightVerdict) and verdict.id == weight.id:
        worked = verdict.unchecked or f"use {percent(verdict.utilisation)}"
        said.append(f"Verdict: {WORD[verdict.verdict]}, {worked}.")
    return " ".join(said)
