"""The boat from above: her waterline, her weights, and what holds them. The bow is to the right, port is up."""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import BoatFile, Weight
from secure_load.catalogue.errors import UnknownRow
from secure_load.check.results import WORD
from secure_load.model.body import Body
from secure_load.record.drawings.drawing_model import Picture, Shape, Style, Words, area, around, stroke, style_of
from secure_load.record.drawings.outline import waterline_outline
from secure_load.record.drawings.section import Verdicts, chosen_of, colours_of, legend_of, mark_of, run_shapes
from secure_load.record.drawings.structure_shapes import from_above
from secure_load.record.drawings.weight_shapes import Piece, Solid, body_of, corners_of, hull, pieces_of, points_of
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import count
from secure_load.solver.arrays import Array


def plan_picture(
    boat: BoatFile, weight_id: str | None = None, verdict: Verdicts = None, close: bool = False
) -> Picture:
    """Her weights from above, the chosen one strong. ``close``: the chosen weight and what holds it alone, large.

    Raises LookupError for a weight that is nowhere.
    """
    chosen = chosen_of(boat, weight_id)[1] if weight_id is not None else None
    colours = colours_of(verdict)
    outline = waterline_outline(boat)
    shapes: list[Shape] = []
    notes: list[str] = []
    if outline is not None:
        shapes.append(area(outline.points, "hull"))
        aft, fore = outline.points[:, 0].min(), outline.points[:, 0].max()
        shapes.append(stroke([(aft, 0.0), (fore, 0.0)], "axis"))
        if outline.note:
            notes.append(outline.note)
    else:
        notes.append("Neither her length nor her sections are in the file: no outline is drawn.")
    shapes.extend(from_above(boat, 0.25 * (boat.boat.bwl_m or 1.0)))
    bodies = [body_of(w, boat) for w in boat.weight]
    solids = [corners_of(body) for body in bodies]
    held = {w.id: _held(w, boat, notes) for w in boat.weights_as_held()}
    # what lies higher covers what lies lower, and letters stand on top of everything
    for place in sorted(range(len(bodies)), key=lambda n: float(solids[n][:, 2].max())):
        weight, top = boat.weight[place], float(solids[place][:, 2].max()) - 1e-6
        is_chosen = chosen is not None and weight.id == chosen.id
        over = [piece for piece in held[weight.id] if points_of(piece)[:, 2].max() > top]
        under = [piece for piece in held[weight.id] if points_of(piece)[:, 2].max() <= top]
        for piece in under:
            shapes.extend(_drawn(piece))
        shapes.append(_area(solids[place], "weight-chosen" if is_chosen else "weight", filled=True))
        for piece in over:
            shapes.extend(_drawn(piece))
    for place, (weight, body) in enumerate(zip(boat.weight, bodies, strict=True)):
        is_chosen = chosen is not None and weight.id == chosen.id
        if is_chosen:
            shapes.append(_area(solids[place], "weight-chosen", filled=False))
        colour = colours.get(weight.id)
        style = style_of(colour) if colour else ("weight-chosen" if is_chosen else "weight")
        shapes.append(Words((float(body.at[0]), float(body.at[1])), mark_of(place, colour), style))
    corners = [(float(p[0]), float(p[1])) for p in (outline.points if outline is not None else np.zeros((0, 2)))]
    corners.extend((float(p[0]), float(p[1])) for solid in solids for p in solid)
    if close and chosen is not None:
        window = _close(body_of(chosen, boat), held[chosen.id])
    else:
        left, bottom, right, top = around(corners or [(0.0, -1.0), (1.0, 1.0)], 0.12)
        window = (left, bottom, right + 0.07 * (right - left), top)
    shapes.extend(_ways(window))
    return Picture(
        title=f"{plain(boat.boat.name)}, her weights from above",
        description=_description(boat, chosen, verdict),
        window=window,
        shapes=tuple(shapes),
        legend=tuple(
            legend_of(i, w, colours.get(w.id), chosen is not None and w.id == chosen.id)
            for i, w in enumerate(boat.weights_as_held())
        ),
        notes=tuple(notes),
    )


def _held(weight: Weight, boat: BoatFile, notes: list[str]) -> list[Piece]:
    """What holds a weight; one name nobody knows must not cost the picture of all the others."""
    try:
        return pieces_of(weight, boat)
    except UnknownRow as problem:
        notes.append(f"What holds {plain(weight.title)} is not drawn: {plain(str(problem))}.")
        return []


def _close(body: Body, pieces: list[Piece]) -> tuple[float, float, float, float]:
    every = np.vstack([corners_of(body), *map(points_of, pieces)])
    spots = [(float(c[0]), float(c[1])) for c in every]
    margin = 0.15 * max(float(body.size[0]), float(body.size[1]))
    return around(spots, margin)


def _area(corners: Array, style: Style, filled: bool) -> Shape:
    return area(hull(corners[:, :2]), style, filled)


def _drawn(piece: Piece) -> list[Shape]:
    if isinstance(piece, Solid):
        return [_area(piece.corners, piece.style, filled=True)]
    return run_shapes(piece, piece.points[:, :2], piece.ends[:, :2])


def _ways(window: tuple[float, float, float, float]) -> list[Shape]:
    left, bottom, right, top = window
    middle = 0.5 * (bottom + top)
    inset = 0.02 * (right - left)
    return [
        Words((right - inset, middle), "bow", "axis", "end"),
        Words((left + inset, top - 0.06 * (top - bottom)), "port", "axis", "start"),
        Words((left + inset, bottom + 0.06 * (top - bottom)), "starboard", "axis", "start"),
    ]


def _description(boat: BoatFile, chosen: Weight | None, verdict: Verdicts) -> str:
    said = [f"{plain(boat.boat.name)} seen from above, the bow to the right, with {count(len(boat.weight), 'weight')}."]
    colours = colours_of(verdict)
    for colour in ("red", "amber", "green"):
        names = [plain(w.title) for w in boat.weight if colours.get(w.id) == colour]
        if names:
            said.append(f"{WORD[colour].capitalize()}: {', '.join(names)}.")
    if chosen is not None:
        said.append(f"Drawn strong: {plain(chosen.title)}.")
    return " ".join(said)
