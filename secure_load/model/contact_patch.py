"""Where a restraint bears on a weight: over a patch, along an edge or at a point, and which way it pushes there.

A support lies as the weight's face does unless its slope is given. Where the two differ by more than ``flush-angle``
(catalogue) they meet along the edge, or at the corner, that comes first: on the weight's own edge the push is square to
the support, and where the support ends under a face it is square to that face (friction aside; any text on statics).

All places are in the weight's own axes, from the middle of its box, m.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from secure_load.boat.models import Batten, Bed, Bolt, Bond, Cleat
from secure_load.catalogue.assumed import assumed
from secure_load.model.body import OUTWARD, Body, FacePlane, inward
from secure_load.solver.arrays import Array
from secure_load.solver.springs import moment

MM = 1e-3
Placed = Bed | Bond | Bolt | Cleat | Batten


@dataclass(frozen=True)
class Footprint:
    """The rectangle in which a restraint bears on a face, before it is cut off at the weight's edges."""

    plane: FacePlane
    centre: Array
    """(2,) from the middle of the plane, along its two ways, m."""
    size: tuple[float, float]
    """Along the two ways, m."""
    off: float
    """m from the face outward to the place given; below nil inside the weight."""
    push: Array
    """(3,) unit vector in which the support pushes the weight."""


@dataclass(frozen=True)
class Patch:
    """The points at which a footprint bears."""

    points: Array
    """(r, 3)"""
    shares: Array
    """(r,) of the contact that each point stands for."""
    places: Array
    """(r, 2) of the points from the footprint's middle, along the two ways of its plane, m."""
    push: Array
    """(3,) unit vector of the force on the weight."""
    quarters: Array
    """(4, r) what each quarter of it bears for each newton at a point."""
    size: tuple[float, float]
    """Of what bears, m; an edge bears over a narrow strip."""

    @property
    def is_patch(self) -> bool:
        """False where it bears along an edge or at a corner only."""
        return bool((np.ptp(self.places, axis=0) > 0.0).all())

    @property
    def area(self) -> float:
        """m2"""
        return self.size[0] * self.size[1]


@cache
def lobatto(count: int) -> tuple[Array, Array]:
    """Nodes (count,) of Gauss-Lobatto quadrature on -1 to 1, both ends among them, and weights (count,) of sum 1.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 25.4.32. One node stands in the middle.
    """
    if count == 1:
        return np.zeros(1), np.ones(1)
    legendre = np.polynomial.legendre.Legendre.basis(count - 1)
    nodes = np.array([-1.0, *np.sort(np.real(legendre.deriv().roots())), 1.0])
    return nodes, 1.0 / (count * (count - 1) * legendre(nodes) ** 2)


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
    if count == 1:
        return np.full((2, 1), 0.5)
    found = np.empty((2, count))
    for i in range(count):
        others = np.delete(nodes, i)
        through = np.polynomial.Polynomial.fromroots(others)
        whole = (through / float(through(nodes[i]))).integ()
        ends = np.array([whole(-1.0), whole(0.0), whole(1.0)])
        # a newton at the node is a pressure of its inverse share of the whole
        found[:, i] = 0.5 * np.diff(ends) / weights[i]
    return found


def support_push(body: Body, restraint: Placed) -> Array:
    """Unit vector (3,) square to a support's surface, towards the weight. Raises ValueError where none can be."""
    slope = restraint.slope_deg if isinstance(restraint, Bed | Cleat) else None
    edge = restraint.edge if isinstance(restraint, Bed) else None
    if edge is None and not slope:
        # a piece of timber beside a tapered ingot stands square to its bottom unless it was cut to its side
        if isinstance(restraint, Cleat) and body.ends is not None:
            return inward(restraint.face)
        return -body.face(restraint.face).normal
    axis, sign = _side(body, restraint)
    # the surface holds the weight's other level edge, and rises square to it
    out, up = sign * float(body.axes[2, axis]), float(body.axes[2, 2])
    steepest = float(np.hypot(out, up))
    rise = np.sin(np.radians(slope or 0.0))
    if rise > steepest:
        raise ValueError("nothing can rise so steeply square to the weight's edge as it lies: correct one slope")
    angle = np.arcsin(rise / steepest) - np.arctan2(out, up)
    push = np.zeros(3)
    push[axis], push[2] = -sign * np.sin(angle), np.cos(angle)
    return -push if edge is None and restraint.face == "top" else push


def _side(body: Body, restraint: Placed) -> tuple[int, int]:
    """Axis and sign of the way in which a support's surface rises."""
    if isinstance(restraint, Bed) and restraint.edge is not None:
        return OUTWARD[restraint.edge.removeprefix("bottom-")]  # type: ignore[index]
    axis, sign = OUTWARD[restraint.face]
    if axis != 2:
        return axis, sign
    assert restraint.at_m is not None
    out = body.to_own(np.array(restraint.at_m))[:2] / body.half[:2]
    axis = int(np.argmax(np.abs(out)))
    if abs(out[axis]) < 0.01:
        raise ValueError("its slope rises away from the weight's middle, and its own middle at_m is there: correct it")
    return axis, int(np.sign(out[axis]))


def _edge_plane(body: Body, bed: Bed, push: Array) -> FacePlane:
    """A strip along a lower edge, square to a support's push."""
    axis, sign = _side(body, bed)
    breadth = 0.0 if bed.size_m is None else 0.5 * bed.size_m[1]
    bottom = body.face("bottom")
    centre = bottom.centre.copy()
    half = 0.5 * float((body.size if body.ends is None else body.ends[0])[1 - axis])
    centre[axis] = sign * 0.5 * float((body.size if body.ends is None else body.ends[0])[axis])
    if body.shape == "cylinder-upright" or (body.shape == "cylinder-lying" and axis == 0):
        half = 0.0
    first = np.eye(3)[1 - axis]
    return FacePlane(centre, -push, first, moment(push, first), (half, breadth))


def _round_plane(body: Body, restraint: Placed, push: Array) -> tuple[FacePlane, Array]:
    """The line along which a lying cylinder bears on something beside or under it, and the push there."""
    radius = 0.5 * float(body.size[2])
    at = -radius * push
    if isinstance(restraint, Cleat):
        assert restraint.height_mm is not None
        foot = -radius if restraint.at_m is None else float(body.to_own(np.array(restraint.at_m))[2])
        top = foot + restraint.height_mm * MM
        if top <= -radius:
            raise ValueError("does not reach up to the weight")
        if top < at[2]:
            # its upper corner comes first, and pushes towards the axis
            out = np.sign(at[1]) * np.sqrt(max(radius**2 - top**2, 0.0))
            at = np.array([0.0, out, top])
            push = -at / radius
    first = np.eye(3)[0]
    return FacePlane(at, -push, first, moment(push, first), (0.5 * float(body.size[0]), 0.0)), push


def footprint(body: Body, restraint: Placed, shift: Array | None = None) -> Footprint:
    """Where a restraint without gaps in its figures bears on the weight.

    shift: (3,) by which the weight has moved from under it, in its own axes. Raises ValueError for what cannot be.
    """
    push = support_push(body, restraint)
    plane = body.face(restraint.face)
    edge = isinstance(restraint, Bed) and restraint.edge is not None
    rolls = (
        body.shape == "cylinder-lying" and isinstance(restraint, Bed | Cleat) and abs(push[0]) < np.sin(flush_angle())
    )
    if rolls:
        plane, push = _round_plane(body, restraint, push)
    elif isinstance(restraint, Bed) and edge:
        plane = _edge_plane(body, restraint, push)
    whole = (2.0 * plane.half[0], 2.0 * plane.half[1])
    match restraint:
        case Bed() | Bond():
            size = restraint.size_m or whole
            size = (size[0], whole[1]) if edge or rolls else size
        case Bolt():
            size = (0.0, 0.0)
        case Cleat():
            assert restraint.length_mm is not None
            assert restraint.height_mm is not None
            size = (restraint.length_mm * MM, 0.0 if rolls else restraint.height_mm * MM)
        case Batten():
            assert restraint.span_mm is not None
            assert restraint.width_mm is not None
            span, width = restraint.span_mm * MM, restraint.width_mm * MM
            size = (width, span) if restraint.along == "athwartships" else (span, width)
    centre, off = np.zeros(2), 0.0
    if restraint.at_m is not None:
        away = body.to_own(np.array(restraint.at_m)) - plane.centre
        centre, off = np.array([away @ plane.first, away @ plane.second]), float(away @ plane.normal)
        if rolls or edge:
            centre[1] = 0.0
        if rolls and isinstance(restraint, Cleat):
            off = 0.0
    elif isinstance(restraint, Cleat) and not rolls:
        centre[1] = -plane.half[1]
    if isinstance(restraint, Cleat):
        # at_m is the middle of its foot
        centre[1] += 0.5 * size[1]
    if shift is not None:
        centre = centre - np.array([shift @ plane.first, 0.0 if rolls or edge else shift @ plane.second])
    return Footprint(plane, centre, size, off, push)


def flush_angle() -> float:
    """Angle, rad, up to which two faces bear on each other all over."""
    return float(np.radians(assumed("flush-angle").number))


def patch(body: Body, place: Footprint, counts: tuple[int, int]) -> Patch:
    """How a footprint bears, cut off at the weight's own edges; counts: of points along its plane's two ways.

    Raises ValueError where it misses the face altogether, or where the support would pass through the weight.
    """
    limits: list[tuple[float, float]] = []
    for middle, length, half in zip(place.centre.tolist(), place.size, place.plane.half, strict=True):
        low, high = max(middle - 0.5 * length, -half), min(middle + 0.5 * length, half)
        if high < low or (high == low and half > 0.0):
            raise ValueError("lies wholly beside the weight: give its place as at_m, in the boat's measures")
        limits.append((low, high))
    if body.shape == "cylinder-upright" and _covers(limits, place.plane.half) and place.plane.normal[2] < -0.5:
        return _disc(body, place)
    push = place.push
    ways = np.array([place.plane.first, place.plane.second])
    tilt = ways @ push
    flush = np.abs(tilt) < np.sin(flush_angle())
    if not flush.all():
        if push @ place.plane.normal > -np.sin(flush_angle()):
            raise ValueError("would pass through the weight as it lies: correct one slope or the other")
        own_edge = False
        for way in np.flatnonzero(~flush):
            low, high = limits[way]
            at = low if tilt[way] > 0.0 else high
            own_edge = own_edge or abs(at) > place.plane.half[way] - MM
            limits[way] = (at, at)
        push = push if own_edge else -place.plane.normal
    return _grid(place, limits, push, counts)


def _covers(limits: list[tuple[float, float]], half: tuple[float, float]) -> bool:
    return all(high - low > 2.0 * h - MM for (low, high), h in zip(limits, half, strict=True))


def _grid(place: Footprint, limits: list[tuple[float, float]], push: Array, counts: tuple[int, int]) -> Patch:
    """Points over a rectangle of a plane; a way of no length has one."""
    strip = assumed("edge-bearing-width").number * MM
    lengths = [high - low for low, high in limits]
    counts = (counts[0] if lengths[0] > 0.0 else 1, counts[1] if lengths[1] > 0.0 else 1)
    (first, a), (second, b) = (
        (weights, 0.5 * (low + high) + 0.5 * (high - low) * nodes)
        for (nodes, weights), (low, high) in zip(map(lobatto, counts), limits, strict=True)
    )
    ways = np.column_stack([np.repeat(a, len(b)), np.tile(b, len(a))])
    points = place.plane.centre + ways[:, :1] * place.plane.first + ways[:, 1:] * place.plane.second
    shares = np.outer(first, second).ravel()
    size = (lengths[0] or strip, lengths[1] or strip)
    return Patch(points, shares, ways - place.centre, push, quarters(counts), size)


def _disc(body: Body, place: Footprint) -> Patch:
    """Points of a round bottom: its middle and eight on its rim, which resist tipping as an even disc does.

    The mean square of a disc's distance from a diameter is r^2 / 4, half that of its rim: the rim stands for half.
    """
    radius = float(body.half[0])
    angles = np.arange(8) * np.pi / 4.0
    ways = np.vstack([np.zeros((1, 2)), radius * np.column_stack([np.cos(angles), np.sin(angles)])])
    points = place.plane.centre + ways[:, :1] * place.plane.first + ways[:, 1:] * place.plane.second
    shares = np.array([0.5, *np.full(8, 1.0 / 16.0)])
    halves = [np.where(s * ways > 1e-9, 1.0, np.where(np.abs(ways) <= 1e-9, 0.5, 0.0)) for s in (-1.0, 1.0)]
    quarter = np.array([one[:, 0] * other[:, 1] for one in halves for other in halves])
    side = float(np.sqrt(np.pi) * radius)
    return Patch(points, shares, ways - place.centre, place.push, quarter, (side, side))
