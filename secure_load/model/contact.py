"""Beds, cleats, battens, bolts and bonds as links: where they touch a weight and which way they push.

Geometry follows from the weight's size unless the file says otherwise. Every contact is given at the nodes of a
Gauss-Lobatto quadrature over the strip or patch it covers: edges are among them, so that a weight tips about the
edge it really tips about, and each node bears the share of the restraint's stiffness (see ``stiffness``) that its
weight is of the whole, so that the patch as a whole resists tipping as an evenly elastic one does. Four corners
alone would resist it with three times the stiffness.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cache

import numpy as np

from secure_load.boat.models import AnyRestraint, Batten, Bed, Bolt, Bond, Cleat, Face, Neighbour
from secure_load.catalogue.assumed import assumed
from secure_load.model.body import OUTWARD, Body, face_axes, face_centre, inward
from secure_load.model.placement import Footprint, footprint, touching
from secure_load.solver.arrays import Array
from secure_load.solver.springs import Attachment, Spring

MM = 1e-3
# The fewest with which the hardest worked part of stows that tip comes within 5 % of that by 24 x 24 (measured in the
# tests). What tips presses along the height of cleats and the length of battens.
FACE = (3, 3)
"""Points of a contact over a face, along either of its axes."""
CLEAT = (2, 5)
"""Points of a cleat: along it, and up it."""
BATTEN = (5, 2)
"""Points of a batten: along it, and across it."""


@dataclass(frozen=True)
class RestraintModel:
    """One restraint as it bears on the weight; one entry per link in ``links``, ``height``, ``along``, ``across``."""

    restraint: AnyRestraint
    id: str
    index: int
    springs: list[Spring]
    height: Array
    """Of each link above the foot of a cleat, m; nil for others."""
    along: Array
    """Of each link along a batten, from its middle, m; nil for others."""
    across: Array = field(default_factory=lambda: np.zeros(0))
    """Of each link across a batten, from its middle, m; none for others."""
    area: float = 0.0
    """Of the contact, m2; nil for lines."""
    shares: Array = field(default_factory=lambda: np.zeros(0))
    """Of the contact's area, by point at which it bears; none for lines."""
    quarters: Array = field(default_factory=lambda: np.zeros((0, 0)))
    """(4, points) what each quarter of a bed bears for each newton at a point."""
    through: float = 0.0
    """Thickness of the weight that a bolt passes through, m; nil for others."""
    ends: list[Array] = field(default_factory=list[Array])
    """Unit directions in which a line pulls on the boat at each end made fast to her."""
    owner: int = 0
    """Which weight of a group it was written for."""
    other: int | None = None
    """Which weight it leans on, for a neighbour."""


@cache
def lobatto(count: int) -> tuple[Array, Array]:
    """Nodes (count,) of Gauss-Lobatto quadrature on -1 to 1, both ends among them, and weights (count,) of sum 1.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 25.4.32.
    """
    legendre = np.polynomial.legendre.Legendre.basis(count - 1)
    nodes = np.array([-1.0, *np.sort(np.real(legendre.deriv().roots())), 1.0])
    return nodes, 1.0 / (count * (count - 1) * legendre(nodes) ** 2)


def _grid(
    face: Face, limits: Sequence[tuple[float, float]], off: float, counts: tuple[int, int]
) -> tuple[Array, Array]:
    """Points (r, 3) spread over a rectangle of a face, and the share of it that each stands for, (r,).

    limits: of the rectangle along ``face_axes``; off: of the face from the centre of gravity along its axis, m;
    counts: of points along ``face_axes``.
    """
    (first, a), (second, b) = (
        (weights, 0.5 * (low + high) + 0.5 * (high - low) * nodes)
        for (nodes, weights), (low, high) in zip(map(lobatto, counts), limits, strict=True)
    )
    points = np.empty((len(a) * len(b), 3))
    level, rise = face_axes(face)
    points[:, OUTWARD[face][0]] = off
    points[:, level], points[:, rise] = np.repeat(a, len(b)), np.tile(b, len(a))
    return points, np.outer(first, second).ravel()


def quarters(counts: tuple[int, int]) -> Array:
    """(4, r) what each quarter of a rectangle bears for each newton at the points that ``patch`` gives it.

    The pressure is taken to run between the points as the polynomial through it does.
    """
    first, second = map(_halves, counts)
    return np.kron(first, second)


@cache
def _halves(count: int) -> Array:
    """(2, count) what each half of a line bears for each newton at the nodes of its quadrature."""
    nodes, weights = lobatto(count)
    found = np.empty((2, count))
    for i in range(count):
        others = np.delete(nodes, i)
        through = np.polynomial.Polynomial.fromroots(others)
        whole = (through / float(through(nodes[i]))).integ()
        ends = np.array([whole(-1.0), whole(0.0), whole(1.0)])
        # a newton at the node is a pressure of its inverse share of the whole
        found[:, i] = 0.5 * np.diff(ends) / weights[i]
    return found


def patch(body: Body, place: Footprint, counts: tuple[int, int]) -> tuple[Array, Array]:
    """Points (r, 3) at which a rectangle bears on a face, cut off at the weight's own edges, and their shares (r,).

    counts: of points along ``face_axes``. Raises ValueError where it misses the face altogether.
    """
    axis, sign = OUTWARD[place.face]
    limits: list[tuple[float, float]] = []
    for along, length in zip(face_axes(place.face), place.size, strict=True):
        low = max(float(place.centre[along]) - 0.5 * length, -float(body.half[along]))
        high = min(float(place.centre[along]) + 0.5 * length, float(body.half[along]))
        if high <= low:
            raise ValueError("lies wholly beside the weight: give its place as at_m, in the boat's measures")
        limits.append((low, high))
    return _grid(place.face, limits, sign * float(body.half[axis]), counts)


def _contact_links(
    index: int,
    points: Array,
    shares: Array,
    direction: Array,
    stiffness: float,
    friction: float,
    ratio: float,
    face: bool = True,
) -> list[Spring]:
    """``face``: True where the weight stands on it or lies against it, False where it is put over the weight."""
    return [
        Spring(
            restraint=index,
            attachments=[Attachment(point, direction)],
            stiffness=stiffness * float(share),
            friction=friction,
            tangential_ratio=ratio,
            face=face,
        )
        for point, share in zip(points, shares, strict=True)
    ]


def bed(
    body: Body, restraint: Bed, name: str, index: int, stiffness: float, friction: float, ratio: float
) -> RestraintModel:
    """A bearing over a face or part of it, with friction. Raises ValueError where it misses the face."""
    a, b = face_axes(restraint.face)
    points, shares = patch(body, footprint(body, restraint), FACE)
    spread = points.max(axis=0) - points.min(axis=0)
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=_contact_links(index, points, shares, inward(restraint.face), stiffness, friction, ratio),
        height=np.zeros(len(points)),
        along=np.zeros(len(points)),
        area=float(spread[a] * spread[b]),
        shares=shares,
        quarters=quarters(FACE),
    )


def cleat(
    body: Body, restraint: Cleat, name: str, index: int, stiffness: float, friction: float, ratio: float
) -> RestraintModel:
    """A strip against one side, from the foot up to the cleat's height or the top of the weight.

    Raises ValueError where it misses the side.
    """
    place = footprint(body, restraint)
    points, shares = patch(body, place, CLEAT)
    foot = place.centre[2] - 0.5 * place.size[1]
    spread = points.max(axis=0) - points.min(axis=0)
    level = face_axes(restraint.face)[0]
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=_contact_links(index, points, shares, inward(restraint.face), stiffness, friction, ratio),
        height=points[:, 2] - foot,
        along=points[:, level] - place.centre[level],
        area=float(spread[level] * spread[2]),
        shares=shares,
    )


def batten(
    body: Body, restraint: Batten, name: str, index: int, stiffness: float, friction: float, ratio: float
) -> RestraintModel:
    """A strip across the top, over the middle unless placed. Raises ValueError where it misses the top."""
    place = footprint(body, restraint)
    points, shares = patch(body, place, BATTEN if restraint.along == "fore-and-aft" else (BATTEN[1], BATTEN[0]))
    spread = points.max(axis=0) - points.min(axis=0)
    way = 1 if restraint.along == "athwartships" else 0
    # the batten's two ends stand where it was screwed down, whatever part of it lies on the weight
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=_contact_links(index, points, shares, inward("top"), stiffness, friction, ratio, face=False),
        height=np.zeros(len(points)),
        along=points[:, way] - place.centre[way],
        across=points[:, 1 - way] - place.centre[1 - way],
        area=float(spread[0] * spread[1]),
        shares=shares,
    )


def neighbour(
    body: Body,
    other: Body,
    restraint: Neighbour,
    name: str,
    index: int,
    stiffness: float,
    friction: float,
    ratio: float,
) -> RestraintModel:
    """Where two weights touch: points over what their faces have in common; legs 0 on this body, 1 on the other.

    A space between the two faces is slack before they touch. Raises ValueError where they cannot meet.
    """
    axis, sign = OUTWARD[restraint.face]
    away = other.at - body.at
    gap = float(sign * away[axis] - body.half[axis] - other.half[axis])
    if gap > assumed("standing-off").number * MM + touching() or gap < -min(body.size[axis], other.size[axis]):
        raise ValueError(
            f"the {restraint.face} face does not meet '{restraint.weight}': "
            f"their faces are {abs(gap) * 1000:.0f} mm {'apart' if gap > 0 else 'through each other'}"
        )
    spans: list[tuple[float, float]] = []
    for level in face_axes(restraint.face):
        low = max(-body.half[level], away[level] - other.half[level])
        high = min(body.half[level], away[level] + other.half[level])
        if high - low < 1e-4:
            raise ValueError(f"the {restraint.face} face does not lie against '{restraint.weight}' anywhere")
        spans.append((float(low), float(high)))
    points, shares = _grid(restraint.face, spans, sign * float(body.half[axis]), FACE)
    push = inward(restraint.face)
    links = [
        Spring(
            restraint=index,
            attachments=[Attachment(point, push, 0), Attachment(point - away, -push, 1)],
            stiffness=stiffness * float(share),
            friction=friction,
            tangential_ratio=ratio,
            gap=gap if gap > touching() else 0.0,
        )
        for point, share in zip(points, shares, strict=True)
    ]
    nothing = np.zeros(len(links))
    area = (spans[0][1] - spans[0][0]) * (spans[1][1] - spans[1][0])
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=links,
        height=nothing,
        along=nothing,
        area=area,
        shares=shares,
    )


def bond(body: Body, restraint: Bond, name: str, index: int, stiffness: float) -> RestraintModel:
    """A bonded patch: holds both ways at its corners, square to the face and along it."""
    a, b = face_axes(restraint.face)
    points, shares = patch(body, footprint(body, restraint), FACE)
    spread = points.max(axis=0) - points.min(axis=0)
    return _both_ways(
        restraint, name, index, points, shares, inward(restraint.face), stiffness, float(spread[a] * spread[b])
    )


def bolt(
    body: Body, restraint: Bolt, name: str, index: int, stiffness: float, bearing_stiffness: float
) -> RestraintModel:
    """Bolts through a face, in a row along its longer way: both ways along and across; the face bears as well."""
    centre = footprint(body, restraint).centre
    a, b = face_axes(restraint.face)
    way = a if body.size[a] >= body.size[b] else b
    # evenly spread, half a space in from each end, as a shipwright would bore them
    steps = (np.arange(restraint.count) + 0.5) / restraint.count - 0.5
    points = np.tile(centre, (restraint.count, 1))
    points[:, way] += steps * body.size[way]
    fitting = _both_ways(
        restraint,
        name,
        index,
        points,
        np.full(restraint.count, 1.0 / restraint.count),
        inward(restraint.face),
        stiffness,
        0.0,
    )
    # drawn up tight, the weight also bears on the structure over its whole face
    whole = Footprint(restraint.face, face_centre(body, restraint.face), (float(body.size[a]), float(body.size[b])))
    face, shares = patch(body, whole, FACE)
    bearing = _contact_links(index, face, shares, inward(restraint.face), bearing_stiffness, 0.0, 0.0)
    nothing = np.zeros(len(fitting.springs) + len(bearing))
    through = float(np.abs(inward(restraint.face)) @ body.size)
    return replace(fitting, springs=[*fitting.springs, *bearing], height=nothing, along=nothing, through=through)


def _both_ways(
    restraint: Bolt | Bond,
    name: str,
    index: int,
    points: Array,
    shares: Array,
    square: Array,
    stiffness: float,
    area: float,
) -> RestraintModel:
    """Three both-way links at each point: square to the face first, then the two ways along it."""
    flat = [axis for axis in np.eye(3) if abs(float(axis @ square)) < 0.5]
    links = [
        Spring(
            restraint=index,
            attachments=[Attachment(point, direction)],
            stiffness=stiffness * float(share),
            one_way=False,
        )
        for point, share in zip(points, shares, strict=True)
        for direction in (square, *flat)
    ]
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=links,
        height=np.zeros(len(links)),
        along=np.zeros(len(links)),
        area=area,
        shares=shares,
    )
