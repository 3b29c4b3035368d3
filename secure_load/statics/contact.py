"""Beds, cleats, battens, bolts and bonds as links: where they touch a weight and which way they push.

Geometry follows from the weight's size unless the file says otherwise. Every contact is given at the
corners of the strip or patch it covers, so that a weight tips about the edge it really tips about.
Stiffness is a share of the restraint's own (see ``stiffness``), spread evenly over its corners.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from secure_load.boat.models import AnyRestraint, Batten, Bed, Bolt, Bond, Cleat, Neighbour
from secure_load.statics.arrays import Array
from secure_load.statics.body import OUTWARD, Body, face_axes, face_centre, inward, patch
from secure_load.statics.links import Leg, Link

MM = 1e-3


@dataclass(frozen=True)
class Fitting:
    """One restraint as it bears on the weight; one entry per link in ``links``, ``height`` and ``along``."""

    restraint: AnyRestraint
    id: str
    index: int
    links: list[Link]
    height: Array
    """Of each link above the foot of a cleat, m; nil for others."""
    along: Array
    """Of each link along a batten, from its middle, m; nil for others."""
    area: float = 0.0
    """Of the contact, m2; nil for lines."""
    ends: list[Array] = field(default_factory=list[Array])
    """Unit directions in which a line pulls on the boat at each end made fast to her."""
    owner: int = 0
    """Which weight of a group it was written for."""
    other: int | None = None
    """Which weight it leans on, for a neighbour."""


def _offset(body: Body, at_m: tuple[float, float, float] | None, default: Array) -> Array:
    """A place given in the boat's measures, from the centre of gravity; or the default."""
    return default if at_m is None else np.array(at_m, dtype=float) - body.at


def _corner_links(
    index: int, points: Array, direction: Array, stiffness: float, friction: float, ratio: float
) -> list[Link]:
    share = stiffness / len(points)
    return [
        Link(
            restraint=index,
            legs=[Leg(point, direction)],
            stiffness=share,
            friction=friction,
            tangential_ratio=ratio,
        )
        for point in points
    ]


def bed(body: Body, restraint: Bed, name: str, index: int, stiffness: float, friction: float, ratio: float) -> Fitting:
    """A bearing over a face or part of it, with friction. Raises ValueError where it misses the face."""
    centre = _offset(body, restraint.at_m, face_centre(body, restraint.face))
    a, b = face_axes(restraint.face)
    size = restraint.size_m or (float(body.size[a]), float(body.size[b]))
    points = patch(body, restraint.face, centre, size)
    spread = points.max(axis=0) - points.min(axis=0)
    return Fitting(
        restraint=restraint,
        id=name,
        index=index,
        links=_corner_links(index, points, inward(restraint.face), stiffness, friction, ratio),
        height=np.zeros(len(points)),
        along=np.zeros(len(points)),
        area=float(spread[a] * spread[b]),
    )


def cleat(
    body: Body, restraint: Cleat, name: str, index: int, stiffness: float, friction: float, ratio: float
) -> Fitting:
    """A strip against one side, from the foot up to the cleat's height or the top of the weight.

    Raises ValueError where it misses the side.
    """
    assert restraint.length_mm is not None
    assert restraint.height_mm is not None
    foot = face_centre(body, restraint.face)
    foot[2] = -body.half[2]
    foot = _offset(body, restraint.at_m, foot)
    height = restraint.height_mm * MM
    centre = foot.copy()
    centre[2] = foot[2] + 0.5 * height
    points = patch(body, restraint.face, centre, (restraint.length_mm * MM, height))
    spread = points.max(axis=0) - points.min(axis=0)
    level = face_axes(restraint.face)[0]
    return Fitting(
        restraint=restraint,
        id=name,
        index=index,
        links=_corner_links(index, points, inward(restraint.face), stiffness, friction, ratio),
        height=points[:, 2] - foot[2],
        along=points[:, level] - foot[level],
        area=float(spread[level] * spread[2]),
    )


def batten(
    body: Body, restraint: Batten, name: str, index: int, stiffness: float, friction: float, ratio: float
) -> Fitting:
    """A strip across the top, over the middle unless placed. Raises ValueError where it misses the top."""
    assert restraint.span_mm is not None
    assert restraint.width_mm is not None
    centre = _offset(body, restraint.at_m, face_centre(body, "top"))
    span, width = restraint.span_mm * MM, restraint.width_mm * MM
    across = restraint.along == "athwartships"
    points = patch(body, "top", centre, (width, span) if across else (span, width))
    spread = points.max(axis=0) - points.min(axis=0)
    way = 1 if across else 0
    # the batten's two ends stand where it was screwed down, whatever part of it lies on the weight
    return Fitting(
        restraint=restraint,
        id=name,
        index=index,
        links=_corner_links(index, points, inward("top"), stiffness, friction, ratio),
        height=np.zeros(len(points)),
        along=points[:, way] - centre[way],
        area=float(spread[0] * spread[1]),
    )


APART = 0.25
"""m between two faces beyond which they cannot be meant to touch."""


def neighbour(
    body: Body,
    other: Body,
    restraint: Neighbour,
    name: str,
    index: int,
    stiffness: float,
    friction: float,
    ratio: float,
) -> Fitting:
    """Where two weights touch: the corners of what their faces have in common; legs 0 on this body, 1 on the other.

    A space between the two faces is slack before they touch. Raises ValueError where they cannot meet.
    """
    axis, sign = OUTWARD[restraint.face]
    away = other.at - body.at
    gap = float(sign * away[axis] - body.half[axis] - other.half[axis])
    if gap > APART or gap < -min(body.size[axis], other.size[axis]):
        raise ValueError(
            f"the {restraint.face} face does not meet '{restraint.weight}': "
            f"their faces are {abs(gap) * 1000:.0f} mm {'apart' if gap > 0 else 'through each other'}"
        )
    corners: list[Array] = []
    spans: list[tuple[float, float]] = []
    for level in face_axes(restraint.face):
        low = max(-body.half[level], away[level] - other.half[level])
        high = min(body.half[level], away[level] + other.half[level])
        if high - low < 1e-4:
            raise ValueError(f"the {restraint.face} face does not lie against '{restraint.weight}' anywhere")
        spans.append((float(low), float(high)))
    first, second = face_axes(restraint.face)
    for a in spans[0]:
        for b in spans[1]:
            corner = np.zeros(3)
            corner[axis], corner[first], corner[second] = sign * body.half[axis], a, b
            corners.append(corner)
    push = inward(restraint.face)
    links = [
        Link(
            restraint=index,
            legs=[Leg(corner, push, 0), Leg(corner - away, -push, 1)],
            stiffness=stiffness / len(corners),
            friction=friction,
            tangential_ratio=ratio,
            gap=max(gap, 0.0),
        )
        for corner in corners
    ]
    nothing = np.zeros(len(links))
    area = (spans[0][1] - spans[0][0]) * (spans[1][1] - spans[1][0])
    return Fitting(restraint=restraint, id=name, index=index, links=links, height=nothing, along=nothing, area=area)


def bond(body: Body, restraint: Bond, name: str, index: int, stiffness: float) -> Fitting:
    """A bonded patch: holds both ways at its corners, square to the face and along it."""
    centre = _offset(body, restraint.at_m, face_centre(body, restraint.face))
    a, b = face_axes(restraint.face)
    size = restraint.size_m or (float(body.size[a]), float(body.size[b]))
    points = patch(body, restraint.face, centre, size)
    spread = points.max(axis=0) - points.min(axis=0)
    return _both_ways(restraint, name, index, points, inward(restraint.face), stiffness, float(spread[a] * spread[b]))


def bolt(body: Body, restraint: Bolt, name: str, index: int, stiffness: float, bearing_stiffness: float) -> Fitting:
    """Bolts through a face, in a row along its longer way: both ways along and across; the face bears as well."""
    centre = _offset(body, restraint.at_m, face_centre(body, restraint.face))
    a, b = face_axes(restraint.face)
    way = a if body.size[a] >= body.size[b] else b
    # evenly spread, half a space in from each end, as a shipwright would bore them
    steps = (np.arange(restraint.count) + 0.5) / restraint.count - 0.5
    points = np.tile(centre, (restraint.count, 1))
    points[:, way] += steps * body.size[way]
    fitting = _both_ways(restraint, name, index, points, inward(restraint.face), stiffness, 0.0)
    # drawn up tight, the weight also bears on the structure over its whole face
    face = patch(body, restraint.face, face_centre(body, restraint.face), (float(body.size[a]), float(body.size[b])))
    bearing = _corner_links(index, face, inward(restraint.face), bearing_stiffness, 0.0, 0.0)
    nothing = np.zeros(len(fitting.links) + len(bearing))
    return replace(fitting, links=[*fitting.links, *bearing], height=nothing, along=nothing)


def _both_ways(
    restraint: Bolt | Bond, name: str, index: int, points: Array, square: Array, stiffness: float, area: float
) -> Fitting:
    """Three both-way links at each point: square to the face first, then the two ways along it."""
    share = stiffness / len(points)
    flat = [axis for axis in np.eye(3) if abs(float(axis @ square)) < 0.5]
    links = [
        Link(restraint=index, legs=[Leg(point, direction)], stiffness=share, one_way=False)
        for point in points
        for direction in (square, *flat)
    ]
    return Fitting(
        restraint=restraint,
        id=name,
        index=index,
        links=links,
        height=np.zeros(len(links)),
        along=np.zeros(len(links)),
        area=area,
    )
