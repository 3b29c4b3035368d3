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

import numpy as np

from secure_load.boat.models import AnyRestraint, Batten, Bed, Bolt, Bond, Cleat, Face, Neighbour
from secure_load.catalogue.assumed import assumed
from secure_load.model.body import OUTWARD, Body, face_axes, inward
from secure_load.model.contact_patch import MM, Footprint, Patch, footprint, lobatto, patch
from secure_load.model.placement import segment_within, touching
from secure_load.solver.arrays import Array
from secure_load.solver.springs import Attachment, Spring

# The fewest with which the hardest worked part of stows that tip comes within 5 % of that by 24 x 24 (measured in the
# tests). What tips presses along the height of cleats and the length of battens.
FACE = (3, 3)
"""Points of a contact over a face, along either of its axes."""
NEIGHBOUR = (2, 2)
"""Points of a contact between two weights: both are stiff, and only where its edges lie matters."""
CLEAT = (2, 5)
"""Points of a cleat: along it, and up it."""
BATTEN = (5, 2)
"""Points of a batten: along it, and across it."""


@dataclass(frozen=True)
class RestraintModel:
    """One restraint as it bears on the weight; one entry per link in ``springs``, ``height``, ``along``, ``across``."""

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
    pieces: tuple[RestraintModel, ...] = ()
    """Of one that reaches over several weights: what it is on each of them, in the order of its springs."""

    @property
    def owners(self) -> list[int]:
        """The weights that it holds."""
        return [piece.owner for piece in self.pieces] or [self.owner]


def joined(pieces: Sequence[RestraintModel]) -> RestraintModel:
    """One restraint from what it is on each of the weights that it reaches over: its strength counts once."""
    first = pieces[0]
    return replace(
        first,
        springs=[spring for piece in pieces for spring in piece.springs],
        height=np.concatenate([piece.height for piece in pieces]),
        along=np.concatenate([piece.along for piece in pieces]),
        across=np.concatenate([piece.across for piece in pieces]),
        area=sum(piece.area for piece in pieces),
        shares=np.concatenate([piece.shares for piece in pieces]) / len(pieces),
        pieces=tuple(pieces),
    )


def _contact_links(
    body: Body, index: int, met: Patch, stiffness: float, friction: float, ratio: float, face: bool = True
) -> list[Spring]:
    """``face``: True where the weight stands on it or lies against it, False where it is put over the weight."""
    direction = body.axes @ met.push
    return [
        Spring(
            restraint=index,
            attachments=[Attachment(point, direction)],
            stiffness=stiffness * float(share),
            friction=friction,
            tangential_ratio=ratio,
            face=face,
        )
        for point, share in zip(body.from_own(met.points), met.shares, strict=True)
    ]


def bed(
    body: Body, restraint: Bed, name: str, index: int, met: Patch, stiffness: float, friction: float, ratio: float
) -> RestraintModel:
    """A bearing over a face or part of it, or along an edge, with friction."""
    nothing = np.zeros(len(met.points))
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=_contact_links(body, index, met, stiffness, friction, ratio),
        height=nothing,
        along=nothing,
        area=met.area,
        shares=met.shares,
        quarters=met.quarters,
    )


def cleat(
    body: Body,
    restraint: Cleat,
    name: str,
    index: int,
    stiffness: float,
    friction: float,
    ratio: float,
    place: Footprint,
) -> RestraintModel:
    """A strip against one side, from the foot up to the cleat's height or the top of the weight.

    Raises ValueError where it misses the side.
    """
    met = patch(body, place, CLEAT)
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=_contact_links(body, index, met, stiffness, friction, ratio),
        height=_above_foot(body, restraint, place, met),
        along=met.places[:, 0],
        area=met.area,
        shares=met.shares,
    )


def _above_foot(body: Body, cleat: Cleat, place: Footprint, met: Patch) -> Array:
    """(r,) height of each point above a cleat's foot, m."""
    if place.size[1] > 0.0:
        return met.places[:, 1] + 0.5 * place.size[1]
    foot = -float(body.half[2]) if cleat.at_m is None else float(body.to_own(np.array(cleat.at_m))[2])
    return met.points[:, 2] - foot


def batten(
    body: Body,
    restraint: Batten,
    name: str,
    index: int,
    stiffness: float,
    friction: float,
    ratio: float,
    place: Footprint,
) -> RestraintModel:
    """A strip across the top, over the middle unless placed. Raises ValueError where it misses the top."""
    met = patch(body, place, BATTEN if restraint.along == "fore-and-aft" else (BATTEN[1], BATTEN[0]))
    way = 1 if restraint.along == "athwartships" else 0
    # the batten's two ends stand where it was screwed down, whatever part of it lies on the weight
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=_contact_links(body, index, met, stiffness, friction, ratio, face=False),
        height=np.zeros(len(met.points)),
        along=met.places[:, way],
        across=met.places[:, 1 - way],
        area=met.area,
        shares=met.shares,
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
    points, shares, push, gap, area = (_side_by_side if _alike(body, other) else _askew)(body, other, restraint)
    links = [
        Spring(
            restraint=index,
            attachments=[Attachment(point, push, 0), Attachment(point + body.at - other.at, -push, 1)],
            stiffness=stiffness * float(share),
            friction=friction,
            tangential_ratio=ratio,
            gap=gap if gap > touching() else 0.0,
        )
        for point, share in zip(points, shares, strict=True)
    ]
    nothing = np.zeros(len(links))
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


_Meeting = tuple[Array, Array, Array, float, float]
"""Points (r, 3) from the first weight's centre of gravity and their shares (r,), push on it (3,), gap, area."""


def _alike(body: Body, other: Body) -> bool:
    """Whether two weights' faces lie alike."""
    return bool(np.abs(body.axes - other.axes).max() < np.sin(np.radians(assumed("flush-angle").number)))


def _side_by_side(body: Body, other: Body, restraint: Neighbour) -> _Meeting:
    """Two weights that lie alike: what their faces have in common."""
    axis, sign = OUTWARD[restraint.face]
    away = body.to_own(other.middle)
    near, far = body.face(restraint.face), other.face(_OPPOSITE[restraint.face])
    gap = float(sign * away[axis] - abs(near.centre[axis]) - abs(far.centre[axis]))
    if gap > assumed("standing-off").number * MM + touching() or gap < -min(body.size[axis], other.size[axis]):
        raise ValueError(
            f"the {restraint.face} face does not meet '{restraint.weight}': "
            f"their faces are {abs(gap) * 1000:.0f} mm {'apart' if gap > 0 else 'through each other'}"
        )
    spans: list[tuple[float, float]] = []
    for level, one, two in zip(face_axes(restraint.face), near.half, far.half, strict=True):
        low, high = max(-one, away[level] - two), min(one, away[level] + two)
        if high - low < (1e-4 if one and two else -1e-4):
            raise ValueError(f"the {restraint.face} face does not lie against '{restraint.weight}' anywhere")
        spans.append((float(low), float(max(low, high))))
    centre = np.array([0.5 * (low + high) for low, high in spans])
    size = (spans[0][1] - spans[0][0], spans[1][1] - spans[1][0])
    level = replace(near, normal=-inward(restraint.face))
    met = patch(body, Footprint(level, centre, size, gap, inward(restraint.face)), NEIGHBOUR)
    return body.from_own(met.points), met.shares, body.axes @ inward(restraint.face), gap, met.area


def _askew(body: Body, other: Body, restraint: Neighbour) -> _Meeting:
    """Two weights that lie askew: an edge or corner of one on a face of the other."""
    face = restraint.face
    out = body.axes @ body.face(face).normal

    def facing_out(each: Face) -> float:
        return float(other.axes @ other.face(each).normal @ out)

    facing = min(_OPPOSITE, key=facing_out)
    pairs: list[tuple[Body, Body, Face]] = [(body, other, face), (other, body, facing)]
    for one, two, plane_of in pairs:
        plane = one.face(plane_of)
        corners = (two.corners + two.at - one.middle) @ one.axes - plane.centre
        off = corners @ plane.normal
        gap = float(off.min())
        near = corners[off < gap + np.sin(np.radians(assumed("flush-angle").number)) * float(two.size.min())]
        ways = near @ np.column_stack([plane.first, plane.second])
        ends = _clipped(ways, np.array(plane.half))
        if ends is None or not -min(one.size.min(), two.size.min()) < gap:
            continue
        if gap > assumed("standing-off").number * MM + touching():
            break
        nodes, shares = lobatto(FACE[0] if len(ends) == 2 else 1)
        along = ends[0] + 0.5 * (nodes[:, None] + 1.0) * (ends[-1] - ends[0])
        own = plane.centre + along[:, :1] * plane.first + along[:, 1:] * plane.second
        normal = one.axes @ plane.normal
        length = float(np.linalg.norm(ends[-1] - ends[0]))
        strip = assumed("edge-bearing-width").number * MM
        return (
            one.from_own(own) + one.at - body.at,
            shares,
            -normal if one is body else normal,
            gap,
            strip * max(length, strip),
        )
    raise ValueError(f"the {face} face does not lie against '{restraint.weight}' anywhere")


def _clipped(ways: Array, half: Array) -> Array | None:
    """Ends (1 or 2, 2) of what of a corner or edge (n, 2) lies on a face of half lengths (2,); None if nothing."""
    ends = ways[[0, -1]] if len(ways) > 1 else ways[:1]
    if len(ends) == 1:
        return ends if bool(np.all(np.abs(ends[0]) <= half)) else None
    found = segment_within(half, ends[0], ends[1])
    return None if found is None else np.array(found)


_OPPOSITE: dict[Face, Face] = {
    "fore": "aft",
    "aft": "fore",
    "port": "starboard",
    "starboard": "port",
    "top": "bottom",
    "bottom": "top",
}


def bond(body: Body, restraint: Bond, name: str, index: int, stiffness: float) -> RestraintModel:
    """A bonded patch: holds both ways at its corners, square to the face and along it."""
    met = patch(body, footprint(body, restraint), FACE)
    return _both_ways(body, restraint, name, index, met.points, met.shares, stiffness, met.area)


def bolt(
    body: Body, restraint: Bolt, name: str, index: int, stiffness: float, bearing_stiffness: float
) -> RestraintModel:
    """Bolts through a face, in a row along its longer way: both ways along and across; the face bears as well."""
    place = footprint(body, restraint)
    plane = place.plane
    middle = plane.centre + place.centre[0] * plane.first + place.centre[1] * plane.second + place.off * plane.normal
    a, b = face_axes(restraint.face)
    way = a if body.size[a] >= body.size[b] else b
    # evenly spread, half a space in from each end, as a shipwright would bore them
    steps = (np.arange(restraint.count) + 0.5) / restraint.count - 0.5
    points = np.repeat(middle[None, :], restraint.count, axis=0)
    points[:, way] += steps * body.size[way]
    shares = np.full(restraint.count, 1.0 / restraint.count)
    fitting = _both_ways(body, restraint, name, index, points, shares, stiffness, 0.0)
    # drawn up tight, the weight also bears on the structure over its whole face
    whole = replace(place, centre=np.zeros(2), size=(2.0 * plane.half[0], 2.0 * plane.half[1]))
    bearing = _contact_links(body, index, patch(body, whole, FACE), bearing_stiffness, 0.0, 0.0)
    nothing = np.zeros(len(fitting.springs) + len(bearing))
    through = float(np.abs(inward(restraint.face)) @ body.size)
    return replace(fitting, springs=[*fitting.springs, *bearing], height=nothing, along=nothing, through=through)


def _both_ways(
    body: Body,
    restraint: Bolt | Bond,
    name: str,
    index: int,
    points: Array,
    shares: Array,
    stiffness: float,
    area: float,
) -> RestraintModel:
    """Three both-way links at each point: square to the face first, then the two ways along it."""
    square = inward(restraint.face)
    flat = [axis for axis in np.eye(3) if abs(float(axis @ square)) < 0.5]
    links = [
        Spring(
            restraint=index,
            attachments=[Attachment(point, direction)],
            stiffness=stiffness * float(share),
            one_way=False,
        )
        for point, share in zip(body.from_own(points), shares, strict=True)
        for direction in (body.axes @ square, *(body.axes @ each for each in flat))
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
