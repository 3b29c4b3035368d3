"""One weight as a rigid box: its size, its faces, and where a restraint touches it.

Points are taken from the centre of gravity, in metres, in the boat's axes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.boat.models import Face
from secure_load.solver.arrays import Array

OUTWARD: dict[Face, tuple[int, int]] = {
    "fore": (0, 1),
    "aft": (0, -1),
    "port": (1, 1),
    "starboard": (1, -1),
    "top": (2, 1),
    "bottom": (2, -1),
}
"""Axis and sign of each face's outward normal."""


@dataclass(frozen=True)
class Body:
    """A weight as a box about its centre of gravity."""

    mass: float
    """kg"""
    at: Array
    """(3,) centre of gravity in the boat, m."""
    size: Array
    """(3,) fore-and-aft, athwartships, height, m."""

    @property
    def half(self) -> Array:
        """Half the size, (3,)."""
        return 0.5 * self.size

    @property
    def rotation_scale(self) -> float:
        """A length of the body's own size for scaling rotations: half its diagonal."""
        return float(np.linalg.norm(self.half))

    @property
    def roll_inertia(self) -> float:
        """Moment of inertia about the fore-and-aft axis through its centre of gravity, kg m2.

        m (b^2 + h^2) / 12, a solid cuboid; any text on dynamics.
        """
        return self.mass * float(self.size[1] ** 2 + self.size[2] ** 2) / 12.0


def inward(face: Face) -> Array:
    """Unit vector of the force a face's bearing can put on the weight, (3,)."""
    axis, sign = OUTWARD[face]
    direction = np.zeros(3)
    direction[axis] = -sign
    return direction


def face_centre(body: Body, face: Face) -> Array:
    """Middle of a face, from the centre of gravity, (3,)."""
    axis, sign = OUTWARD[face]
    centre = np.zeros(3)
    centre[axis] = sign * body.half[axis]
    return centre


def face_axes(face: Face) -> tuple[int, int]:
    """The two axes that lie in a face: [a, b] of a bearing's size run along these, in this order."""
    axis = OUTWARD[face][0]
    return tuple(i for i in range(3) if i != axis)  # type: ignore[return-value]  # always two of three


def nearest_top_edge(body: Body, point: Array) -> Array:
    """The point of the rim of the weight's top that lies nearest, all from the centre of gravity, (3,)."""
    half = body.half
    rim = np.array([*np.clip(point[:2], -half[:2], half[:2]), half[2]])
    inside = half[:2] - np.abs(point[:2])
    if np.all(inside > 0.0):
        axis = int(np.argmin(inside))
        rim[axis] = np.copysign(half[axis], point[axis] if point[axis] else 1.0)
    return rim
