"""One weight as a rigid body: its shape, its faces, how it lies, and where a restraint touches it.

Two sets of axes are used. Its own: fore-and-aft, athwartships and up along its own edges, from the middle of its box.
The boat's: what the engine works in, from the weight's centre of gravity. ``Body`` turns one into the other.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field, replace

import numpy as np

from secure_load.boat.models import Face, Lie, Shape
from secure_load.solver.arrays import Array

OUTWARD: dict[Face, tuple[int, int]] = {
    "fore": (0, 1),
    "aft": (0, -1),
    "port": (1, 1),
    "starboard": (1, -1),
    "top": (2, 1),
    "bottom": (2, -1),
}
"""Axis and sign of the outward normal of each face of a box."""


def rotation(lie: Lie | None) -> Array:
    """(3, 3) matrix whose columns are a weight's own axes in the boat's; each slope is read along its own edge.

    The weight is first turned about the upright axis, then tipped about its own (intrinsic z-y-x rotation, any text
    on dynamics). A gauge along its breadth reads the slope a of an edge that is tipped by r about an axis that rises
    by p itself: sin a = sin r cos p.
    """
    if lie is None or lie.is_level:
        return np.eye(3)
    pitch, across, yaw = np.radians([lie.fore_and_aft, lie.athwartships, lie.turned])
    roll = np.arcsin(np.clip(np.sin(across) / max(np.cos(pitch), 1e-12), -1.0, 1.0))
    cp, sp, cr, sr, cy, sy = np.cos(pitch), np.sin(pitch), np.cos(roll), np.sin(roll), np.cos(yaw), np.sin(yaw)
    turn = np.array([[cy, -sy, 0.0], [sy, cy, 0.0], [0.0, 0.0, 1.0]])
    rise = np.array([[cp, 0.0, -sp], [0.0, 1.0, 0.0], [sp, 0.0, cp]])
    tip = np.array([[1.0, 0.0, 0.0], [0.0, cr, -sr], [0.0, sr, cr]])
    return turn @ rise @ tip


@dataclass(frozen=True)
class FacePlane:
    """The part of a face on which something may bear, in the weight's own axes."""

    centre: Array
    """(3,)"""
    normal: Array
    """(3,) unit vector, outward."""
    first: Array
    """(3,) unit vectors along it: the lengths of a patch run along these, in this order."""
    second: Array
    half: tuple[float, float]
    """Half its length either way; nil where a round side touches along a line."""


@dataclass(frozen=True)
class Body:
    """A weight as a rigid body about its centre of gravity."""

    mass: float
    """kg"""
    at: Array
    """(3,) centre of gravity in the boat, m."""
    size: Array
    """(3,) of the box round it along its own axes, m."""
    axes: Array = field(default_factory=lambda: np.eye(3))
    """(3, 3), its own axes in the boat's, as columns."""
    centre: Array = field(default_factory=lambda: np.zeros(3))
    """(3,) centre of gravity from the middle of the box, in its own axes, m."""
    shape: Shape = "box"
    ends: Array | None = None
    """(2, 2) of a tapered ingot: length and breadth of its bottom and of its top, m."""

    @property
    def half(self) -> Array:
        """Half the size, (3,)."""
        return 0.5 * self.size

    @property
    def rotation_scale(self) -> float:
        """A length of the body's own size for scaling rotations: half its diagonal."""
        return float(np.linalg.norm(self.half))

    @property
    def middle(self) -> Array:
        """(3,) middle of the box in the boat, m."""
        return self.at - self.axes @ self.centre

    @property
    def corners(self) -> Array:
        """(8, 3) corners of the box in the boat's axes, from the centre of gravity, m."""
        return self.from_own(self.half * np.array(list(itertools.product((-1.0, 1.0), repeat=3))))

    @property
    def is_turned(self) -> bool:
        """True where its faces do not lie along the boat's axes."""
        return not np.array_equal(self.axes, np.eye(3))

    def to_own(self, point: Array) -> Array:
        """A place in the boat (..., 3) as one in the weight's own axes."""
        return (np.asarray(point, dtype=float) - self.middle) @ self.axes

    def from_own(self, point: Array) -> Array:
        """A place in the weight's own axes (..., 3) as one in the boat's, from the centre of gravity."""
        return (point - self.centre) @ self.axes.T

    @property
    def volume(self) -> float:
        """m3; of what is loose, of its heap's box."""
        a, b, c = (float(v) for v in self.size)
        if self.shape == "cylinder-upright":
            return 0.25 * np.pi * a * b * c
        if self.shape == "cylinder-lying":
            return 0.25 * np.pi * b * c * a
        return float(_moments(self)[0]) if self.ends is not None else a * b * c

    @property
    def inertia(self) -> Array:
        """(3, 3) moments of inertia about the centre of gravity, in the boat's axes, kg m2.

        Of an even body of its shape: cuboid m (b^2 + h^2) / 12, cylinder m r^2 / 2 and m (3 r^2 + h^2) / 12, any text
        on dynamics; a tapered ingot slice by slice. About a centre of gravity that is off the middle, m d^2 is added,
        which is more than it can be.
        """
        squares = _mean_squares(self)
        if self.ends is None:
            squares = squares + self.centre**2
        own = self.mass * np.diag(squares.sum() - squares)
        return self.axes @ own @ self.axes.T

    def face(self, face: Face) -> FacePlane:
        """The plane of a face. A round side is the plane that touches it; a round end the square within it."""
        axis, sign = OUTWARD[face]
        a, b = face_axes(face)
        centre, normal = np.zeros(3), np.zeros(3)
        centre[axis], normal[axis] = sign * self.half[axis], sign
        first, second = np.eye(3)[a], np.eye(3)[b]
        half = [float(self.half[a]), float(self.half[b])]
        round_axis = {"cylinder-upright": 2, "cylinder-lying": 0}.get(self.shape)
        if round_axis == axis:
            half = [h / np.sqrt(2.0) for h in half]
        elif round_axis is not None:
            half = [h if i == round_axis else 0.0 for h, i in zip(half, (a, b), strict=True)]
        elif self.ends is not None and axis == 2:
            half = [0.5 * float(v) for v in self.ends[1 if sign > 0 else 0]]
        elif self.ends is not None:
            # the side leans from the edge of the bottom to that of the top
            (low, high), height = self.ends[:, axis], float(self.size[2])
            run = 0.5 * float(high - low)
            slant = float(np.hypot(run, height))
            centre[axis] = sign * 0.25 * float(low + high)
            second = np.zeros(3)
            second[axis], second[2] = sign * run / slant, height / slant
            normal = np.zeros(3)
            normal[axis], normal[2] = sign * height / slant, -run / slant
            half = [0.5 * float(self.ends[:, 1 - axis].min()), 0.5 * slant]
        return FacePlane(centre, normal, first, second, (half[0], half[1]))


def tapered(body: Body, bottom: tuple[float, float], top: tuple[float, float]) -> Body:
    """A body as a tapered ingot, its centre of gravity where an even one has it."""
    ends = np.array([bottom, top], dtype=float)
    shaped = replace(body, size=np.array([*ends.max(axis=0), body.size[2]]), ends=ends, shape="ingot")
    _, height, _ = _moments(shaped)
    return replace(shaped, centre=np.array([0.0, 0.0, height]))


def _moments(body: Body) -> tuple[float, float, Array]:
    """Volume of a tapered ingot, height of its centre above the middle, and mean squares (3,) about that centre.

    Slices are summed by Gauss-Legendre quadrature, which is exact for these polynomials.
    """
    assert body.ends is not None
    nodes, weights = np.polynomial.legendre.leggauss(4)
    height = float(body.size[2])
    sides = body.ends[0] + 0.5 * (nodes[:, None] + 1.0) * (body.ends[1] - body.ends[0])
    slices = 0.5 * height * weights * sides.prod(axis=1)
    volume = float(slices.sum())
    z = 0.5 * height * nodes
    middle = float(slices @ z) / volume
    squares = [*(slices @ sides**2 / 12.0 / volume), float(slices @ (z - middle) ** 2) / volume]
    return volume, middle, np.array(squares)


def _mean_squares(body: Body) -> Array:
    """(3,) mean of the squared distances along its own axes from the middle of an even body."""
    if body.ends is not None:
        return _moments(body)[2]
    squares = body.size**2 / 12.0
    if body.shape in ("cylinder-upright", "cylinder-lying"):
        across = [0, 1] if body.shape == "cylinder-upright" else [1, 2]
        squares[across] = body.size[across] ** 2 / 16.0
    return squares


def inward(face: Face) -> Array:
    """Unit vector of the force that the bearing on a box's face can put on the weight, in its own axes, (3,)."""
    axis, sign = OUTWARD[face]
    direction = np.zeros(3)
    direction[axis] = -sign
    return direction


def face_axes(face: Face) -> tuple[int, int]:
    """The two axes that lie in a box's face: [a, b] of a bearing's size run along these, in this order."""
    axis = OUTWARD[face][0]
    return tuple(i for i in range(3) if i != axis)  # type: ignore[return-value]  # always two of three


def nearest_top_edge(body: Body, point: Array) -> Array:
    """The point of the rim of the weight's top that lies nearest to another, both in its own axes, (3,)."""
    half = body.half if body.ends is None else np.array([*(0.5 * body.ends[1]), body.half[2]])
    rim = np.array([*np.clip(point[:2], -half[:2], half[:2]), half[2]])
    inside = half[:2] - np.abs(point[:2])
    if np.all(inside > 0.0):
        axis = int(np.argmin(inside))
        rim[axis] = np.copysign(half[axis], point[axis] if point[axis] else 1.0)
    return rim


def depth_between(one: Body, other: Body) -> float:
    """How far the boxes of two bodies lie in one another at the least, m; below nil where they are apart.

    The least overlap along the normals of their faces and the cross products of their edges (separating axis theorem,
    any text on computer graphics).
    """
    edges = [np.cross(a, b) for a in one.axes.T for b in other.axes.T]
    ways = [*one.axes.T, *other.axes.T, *(e / np.linalg.norm(e) for e in edges if np.linalg.norm(e) > 1e-6)]
    apart = other.middle - one.middle
    depths = [
        float(np.abs(way @ one.axes) @ one.half + np.abs(way @ other.axes) @ other.half - abs(way @ apart))
        for way in ways
    ]
    return min(depths)
