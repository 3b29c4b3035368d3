"""Weights and what holds them as solids and lines in the boat, m: true size, as they lie where the check has them.

What the owner left out is filled in by the very rules of the check, so that the picture shows what was checked.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from secure_load.boat.models import (
    AnyRestraint,
    Batten,
    Bed,
    BoatFile,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Lashing,
    Neighbour,
    Strap,
    Weight,
)
from secure_load.model import weight_body
from secure_load.model.assumptions import Assumptions, with_defaults
from secure_load.model.body import OUTWARD, Body, face_axes, nearest_top_edge
from secure_load.model.contact_patch import Footprint, footprint, patch
from secure_load.model.planking import Boat
from secure_load.record.drawings.drawing_model import Style
from secure_load.solver.arrays import Array

MM = 1e-3
THIN_BED = 0.012
"""m; how thick a bed without a pad is drawn."""
PLANK = 0.06
"""m; how much of a sloping support is drawn up and down from the edge that rests on it."""
THROUGH = 0.05
"""m; how far a bolt is drawn out of the weight."""


@dataclass(frozen=True)
class Solid:
    """A body of flat faces, all corners outermost."""

    corners: Array
    """(n, 3) m"""
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


Piece = Solid | Run


def points_of(piece: Piece) -> Array:
    """Points (n, 3) that it reaches out to."""
    return piece.corners if isinstance(piece, Solid) else piece.points


def body_of(weight: Weight, boat: Boat | None = None) -> Body:
    """The weight's body as the check has it."""
    return weight_body.body_of(weight, Assumptions(), boat)


def corners_of(body: Body) -> Array:
    """(n, 3) corners of a weight in the boat, m; of a cylinder or taper enough points of its outline."""
    half = body.half
    if body.ends is not None:
        own = np.array(
            [
                (0.5 * a * end[0], 0.5 * b * end[1], z)
                for end, z in zip(body.ends, (-half[2], half[2]), strict=True)
                for a, b in itertools.product((-1.0, 1.0), repeat=2)
            ]
        )
    elif body.shape in ("cylinder-upright", "cylinder-lying"):
        turns = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
        ring = np.column_stack([np.cos(turns), np.sin(turns), np.zeros(24)])
        ring = ring[:, [2, 0, 1]] if body.shape == "cylinder-lying" else ring
        axis = 0 if body.shape == "cylinder-lying" else 2
        own = half * np.vstack([ring - np.eye(3)[axis], ring + np.eye(3)[axis]])
    else:
        return body.at + body.corners
    return body.at + body.from_own(own)


def hull(points: Array) -> Array:
    """The convex outline (k, 2) of points (n, 2), anticlockwise from the leftmost (Andrew's monotone chain)."""
    ordered = sorted({(round(float(a), 9), round(float(b), 9)) for a, b in points})

    def half(run: list[tuple[float, float]]) -> list[tuple[float, float]]:
        found: list[tuple[float, float]] = []
        for p in run:
            while len(found) > 1 and (found[-1][0] - found[-2][0]) * (p[1] - found[-2][1]) <= (
                found[-1][1] - found[-2][1]
            ) * (p[0] - found[-2][0]):
                found.pop()
            found.append(p)
        return found[:-1]

    return np.array(half(ordered) + half(ordered[::-1])) if len(ordered) > 2 else np.array(ordered)


def pieces_of(weight: Weight, boat: BoatFile) -> list[Piece]:
    """What holds a weight, restraint by restraint. Raises UnknownRow as the check does for names nobody knows."""
    body = body_of(weight, boat)
    found: list[Piece] = []
    for name, restraint in with_defaults(weight, boat, Assumptions()):
        try:
            found.extend(_pieces(body, restraint, name))
        except ValueError:
            continue  # it cannot stand where it is written, and the check says so
    return found


def _pieces(body: Body, restraint: AnyRestraint, name: str) -> list[Piece]:
    match restraint:
        case Bed():
            thick = restraint.pad.thickness_mm * MM if restraint.pad else THIN_BED
            return [_bed(body, footprint(body, restraint), thick, name)]
        case Bond():
            return [_slab(body, footprint(body, restraint), 0.5 * THIN_BED, "bond", name)]
        case Cleat():
            return [_cleat(body, restraint, name)]
        case Batten():
            assert restraint.depth_mm is not None
            return [_slab(body, footprint(body, restraint), restraint.depth_mm * MM, "batten", name, cut=False)]
        case Lashing():
            points = np.array([restraint.from_m, restraint.to_m], dtype=float)
            return [Run(points, "line", name, points)]
        case Strap() | CableTie():
            return [_over(body, restraint, name)]
        case Bolt():
            return _bolts(body, restraint, name)
        case Neighbour():
            middle = body.at + body.from_own(body.face(restraint.face).centre)
            return [Run(middle[None, :], "neighbour", name, middle[None, :])]


def _solid(body: Body, own: Array, style: Style, name: str) -> Solid:
    return Solid(body.at + body.from_own(own), style, name)


def _slab(body: Body, place: Footprint, thick: float, style: Style, name: str, cut: bool = True) -> Solid:
    """A layer on a face, outside it; cut off at the weight's own edges unless it runs on beyond them."""
    plane = place.plane
    limits: list[tuple[float, float]] = []
    for middle, length, half in zip(place.centre.tolist(), place.size, plane.half, strict=True):
        low, high = middle - 0.5 * length, middle + 0.5 * length
        limits.append((max(low, -half), min(high, half)) if cut else (low, high))
    own = [
        plane.centre + a * plane.first + b * plane.second + c * plane.normal
        for a, b, c in itertools.product(*limits, (0.0, thick))
    ]
    return _solid(body, np.array(own), style, name)


def _bed(body: Body, place: Footprint, thick: float, name: str) -> Solid:
    """A layer under or against a face, or a strip of the slope that an edge rests on."""
    met = patch(body, place, (2, 2))
    if met.is_patch:
        return _slab(body, place, thick, "bed", name)
    middle, push = met.points.mean(axis=0), place.push
    along = place.plane.first if np.ptp(met.places[:, 0]) > 0.0 else place.plane.second
    along = along - (along @ push) * push
    along /= np.linalg.norm(along)
    half = 0.5 * float(np.ptp(met.places, axis=0).max())
    across = np.cross(push, along)
    own = [
        middle + a * along + b * across - c * push
        for a, b, c in itertools.product((-half, half), (-PLANK, PLANK), (0.0, thick))
    ]
    return _solid(body, np.array(own), "bed", name)


def _cleat(body: Body, cleat: Cleat, name: str) -> Solid:
    """A block from its foot up; its inner face leans as it was cut."""
    assert cleat.length_mm is not None
    assert cleat.height_mm is not None
    assert cleat.depth_mm is not None
    axis, sign = OUTWARD[cleat.face]
    out, along = sign * np.eye(3)[axis], np.eye(3)[face_axes(cleat.face)[0]]
    foot = np.array([0.0, 0.0, -body.half[2]]) + float(body.half[axis]) * out
    if cleat.at_m is not None:
        foot = body.to_own(np.array(cleat.at_m))
        foot[axis] = sign * body.half[axis]
    push = footprint(body, cleat).push
    up = np.cross(along, push)
    up *= np.sign(up[2]) or 1.0
    high, deep = cleat.height_mm * MM, cleat.depth_mm * MM
    inner = high / max(up[2], 0.2) * up
    section = [0.0 * out, inner, deep * out, deep * out + high * np.array([0.0, 0.0, 1.0])]
    half = 0.5 * cleat.length_mm * MM
    own = [foot + each + side * half * along for each in section for side in (-1.0, 1.0)]
    return _solid(body, np.array(own), "cleat", name)


def _over(body: Body, line: Strap | CableTie, name: str) -> Run:
    assert line.from_m is not None
    assert line.to_m is not None
    ends = [np.array(line.from_m, dtype=float), np.array(line.to_m, dtype=float)]
    edges = [body.at + body.from_own(nearest_top_edge(body, body.to_own(end))) for end in ends]
    points = np.array([ends[0], edges[0], edges[1], ends[1]])
    return Run(points, "tie" if isinstance(line, CableTie) else "line", name, np.array(ends))


def _bolts(body: Body, bolt: Bolt, name: str) -> list[Piece]:
    axis, sign = OUTWARD[bolt.face]
    centre = body.face(bolt.face).centre if bolt.at_m is None else body.to_own(np.array(bolt.at_m))
    a, b = face_axes(bolt.face)
    way = a if body.size[a] >= body.size[b] else b
    steps = (np.arange(bolt.count) + 0.5) / bolt.count - 0.5
    found: list[Piece] = []
    for step in steps:
        inner, outer = centre.copy(), centre.copy()
        inner[way] += step * body.size[way]
        outer[way] = inner[way]
        inner[axis], outer[axis] = -sign * body.half[axis], sign * (body.half[axis] + THROUGH)
        points = body.at + body.from_own(np.array([inner, outer]))
        found.append(Run(points, "bolt", name, points[1:]))
    return found
