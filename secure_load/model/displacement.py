"""How far a weight moves under a load: the displacements of the corners of its box.

The greatest displacement of a rigid box is that of one of its corners, for the size of d + theta x p is a convex
function of the point p.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from secure_load.model.body import Body
from secure_load.solver.arrays import Array

CORNERS = 8


def corner_matrix(body: Body) -> Array:
    """Turns a displacement (6,), rotations multiplied by rho, into those of the eight corners of a box: (6, 24)."""
    matrix = np.zeros((6, CORNERS, 3))
    for place, (x, y, z) in enumerate(body.corners.tolist()):
        matrix[:3, place] = np.eye(3)
        # theta x p, a row for the rotation about each axis
        matrix[3:, place] = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]]) / body.rotation_scale
    return matrix.reshape(6, 3 * CORNERS)


def corner_displacements(body: Body, u: Array) -> Array:
    """Displacements (n, 8, 3), m, of a box's corners for displacements (n, 6) of the box."""
    return (u @ corner_matrix(body)).reshape(len(u), CORNERS, 3)


def greatest_displacements(bodies: Sequence[Body], u: Array) -> Array:
    """The greatest displacement of any corner of each of b boxes, (n, b), m, for displacements (n, 6 b)."""
    found = np.empty((len(u), len(bodies)))
    for place, body in enumerate(bodies):
        corners = corner_displacements(body, u[:, 6 * place : 6 * place + 6])
        found[:, place] = np.sqrt(np.einsum("nci,nci->nc", corners, corners).max(axis=1, initial=0.0))
    return found
