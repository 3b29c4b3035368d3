"""A block in a plane, held within the friction cones of its contacts, by linear programming (any text on statics)."""

from __future__ import annotations

import numpy as np
from scipy.optimize import linprog

STEP = 0.1
"""Degrees of heel."""


def at_rest_up_to(slope: float, mu: float, breadth: float = 0.12, height: float = 0.06) -> float:
    """Heel in degrees up to which two cones hold a block whose lower corners rest on two planks."""
    angle = np.radians(slope)
    columns: list[list[float]] = []
    for side in (1.0, -1.0):
        y, z = side * 0.5 * breadth, -0.5 * height
        normal = np.array([-side * np.sin(angle), np.cos(angle)])
        along = np.array([np.cos(angle), side * np.sin(angle)])
        cone = (normal + mu * along, normal - mu * along)
        columns.extend([*force, y * force[1] - z * force[0]] for force in cone)
    matrix = np.array(columns).T
    for heel in np.radians(np.arange(0.0, 100.0, STEP)):
        needed = np.array([np.sin(heel), np.cos(heel), 0.0])
        if linprog(np.zeros(4), A_eq=matrix, b_eq=needed, bounds=(0.0, None)).status != 0:
            return float(np.degrees(heel))
    return float("inf")
