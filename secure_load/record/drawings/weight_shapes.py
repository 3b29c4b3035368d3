"""Weights and what holds them as boxes and lines in the boat, m: true size, in the places where the check has them.

What the owner left out is filled in by the very rules of the check, so that the picture shows what was checked.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.boat.models import (
    AnyRestraint,
    Batten,
    Bed,
    BoatParticulars,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Lashing,
    Neighbour,
    Strap,
    Weight,
)
from secure_load.model.assumptions import Assumptions, box_size, with_defaults
from secure_load.model.body import OUTWARD, Body, face_axes, face_centre
from secure_load.model.lines import nearest_top_edge
from secure_load.record.drawings.drawing_model import Style
from secure_load.solver.arrays import Array

MM = 1e-3
THIN_BED = 0.012
"""m; how thick a bed without a pad is drawn."""
THROUGH = 0.05
"""m; how far a bolt is drawn out of the weight."""


@dataclass(frozen=True)
class Box:
    """A box square to the boat's axes."""

    low: Array
    """(3,) m"""
    high: Array
    """(3,) m"""
    style: Style
    name: str


@dataclass(frozen=True)
class Run:
    """A line through some points; ``ends`` are those where it is made fast."""

    points: Array
    """(n, 3) m"""
    style: Style
    name: str
    ends: Array
    """(k, 3) m"""


Piece = Box | Run


def corners_of(piece: Piece) -> list[Array]:
    """Points (3,) that it reaches out to."""
    return [piece.low, piece.high] if isinstance(piece, Box) else list(piece.points)


def body_of(weight: Weight) -> Body:
    """The weight's box as the check has it."""
    return Body(weight.mass, np.array(weight.at_m, dtype=float), box_size(weight, Assumptions()))


def pieces_of(weight: Weight, boat: BoatParticulars) -> list[Piece]:
    """What holds a weight, restraint by restraint. Raises UnknownRow as the check does for names nobody knows."""
    body = body_of(weight)
    found: list[Piece] = []
    for name, restraint in with_defaults(weight, boat, Assumptions()):
        found.extend(_pieces(body, restraint, name))
    return found


def _pieces(body: Body, restraint: AnyRestraint, name: str) -> list[Piece]:
    match restraint:
        case Bed():
            thick = restraint.pad.thickness_mm * MM if restraint.pad else THIN_BED
            return [_on_face(body, restraint, thick, "bed", name)]
        case Bond():
            return [_on_face(body, restraint, 0.5 * THIN_BED, "bond", name)]
        case Cleat():
            return [_cleat(body, restraint, name)]
        case Batten():
            return [_batten(body, restraint, name)]
        case Lashing():
            points = np.array([restraint.from_m, restraint.to_m], dtype=float)
            return [Run(points, "line", name, points)]
        case Strap() | CableTie():
            return [_over(body, restraint, name)]
        case Bolt():
            return _bolts(body, restraint, name)
        case Neighbour():
            middle = body.at + face_centre(body, restraint.face)
            return [Run(middle[None, :], "neighbour", name, middle[None, :])]


def _on_face(body: Body, restraint: Bed | Bond, thick: float, style: Style, name: str) -> Box:
    """A layer on a face, outside it, cut off at the weight's own edges."""
    face = restraint.face
    axis, sign = OUTWARD[face]
    centre = face_centre(body, face) if restraint.at_m is None else np.array(restraint.at_m, dtype=float) - body.at
    low, high = np.zeros(3), np.zeros(3)
    for place, along in enumerate(face_axes(face)):
        length = restraint.size_m[place] if restraint.size_m else float(body.size[along])
        low[along] = max(centre[along] - 0.5 * length, -body.half[along])
        high[along] = min(centre[along] + 0.5 * length, body.half[along])
    inner = sign * body.half[axis]
    low[axis], high[axis] = min(inner, inner + sign * thick), max(inner, inner + sign * thick)
    return Box(body.at + low, body.at + high, style, name)


def _cleat(body: Body, cleat: Cleat, name: str) -> Box:
    assert cleat.length_mm is not None
    assert cleat.height_mm is not None
    assert cleat.depth_mm is not None
    axis, sign = OUTWARD[cleat.face]
    along = face_axes(cleat.face)[0]
    foot = face_centre(body, cleat.face)
    foot[2] = -body.half[2]
    if cleat.at_m is not None:
        foot = np.array(cleat.at_m, dtype=float) - body.at
    low, high = np.zeros(3), np.zeros(3)
    low[along], high[along] = foot[along] - 0.5 * cleat.length_mm * MM, foot[along] + 0.5 * cleat.length_mm * MM
    low[2], high[2] = foot[2], foot[2] + cleat.height_mm * MM
    inner = sign * body.half[axis]
    outer = inner + sign * cleat.depth_mm * MM
    low[axis], high[axis] = min(inner, outer), max(inner, outer)
    return Box(body.at + low, body.at + high, "cleat", name)


def _batten(body: Body, batten: Batten, name: str) -> Box:
    assert batten.span_mm is not None
    assert batten.width_mm is not None
    assert batten.depth_mm is not None
    centre = face_centre(body, "top") if batten.at_m is None else np.array(batten.at_m, dtype=float) - body.at
    span, width = batten.span_mm * MM, batten.width_mm * MM
    level = (width, span) if batten.along == "athwartships" else (span, width)
    top = body.half[2]
    low = np.array([centre[0] - 0.5 * level[0], centre[1] - 0.5 * level[1], top])
    high = np.array([centre[0] + 0.5 * level[0], centre[1] + 0.5 * level[1], top + batten.depth_mm * MM])
    return Box(body.at + low, body.at + high, "batten", name)


def _over(body: Body, line: Strap | CableTie, name: str) -> Run:
    assert line.from_m is not None
    assert line.to_m is not None
    ends = [np.array(line.from_m, dtype=float), np.array(line.to_m, dtype=float)]
    edges = [body.at + nearest_top_edge(body, end - body.at) for end in ends]
    points = np.array([ends[0], edges[0], edges[1], ends[1]])
    return Run(points, "tie" if isinstance(line, CableTie) else "line", name, np.array(ends))


def _bolts(body: Body, bolt: Bolt, name: str) -> list[Piece]:
    axis, sign = OUTWARD[bolt.face]
    centre = face_centre(body, bolt.face) if bolt.at_m is None else np.array(bolt.at_m, dtype=float) - body.at
    a, b = face_axes(bolt.face)
    way = a if body.size[a] >= body.size[b] else b
    steps = (np.arange(bolt.count) + 0.5) / bolt.count - 0.5
    found: list[Piece] = []
    for step in steps:
        inner, outer = centre.copy(), centre.copy()
        inner[way] += step * body.size[way]
        outer[way] = inner[way]
        inner[axis], outer[axis] = -sign * body.half[axis], sign * (body.half[axis] + THROUGH)
        points = body.at + np.array([inner, outer])
        found.append(Run(points, "bolt", name, points[1:]))
    return found
