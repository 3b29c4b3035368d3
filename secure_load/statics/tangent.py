"""Tangent stiffness of bodies on links, for many sets of closed, sticking and sliding links at once.

Each link adds k g g^T while it is closed or sticks; a friction row that slides follows its normal row, and adds
+-c k gt g^T, which is not symmetric. What each link adds is worked out once and summed set by set as a matrix
product; places that join bodies which no link joins are left out of it.
"""

from __future__ import annotations

import numpy as np

from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.links import Links, products


class Tangents:
    """What the links of a body, or of bodies that touch, add to its tangent stiffness."""

    def __init__(self, links: Links, soft: float) -> None:
        """soft: stiffness of the spring that keeps the matrices regular, N/m."""
        self.d, self.soft = links.unknowns, soft
        self.on: Index = links.normal
        blocks = [
            products(links.k, links.g, links.g),
            products(links.kt, links.gt, links.gt),
            products(links.limit * links.k[links.normal], links.gt, links.g[links.normal]),
        ]
        filled = np.logical_or.reduce([np.any(block != 0.0, axis=0) for block in blocks])
        self.filled: Index = np.flatnonzero(filled)
        self.normal, self.stick, self.slip = (np.ascontiguousarray(block[:, filled]) for block in blocks)

    def at(self, closed: Mask, stick: Mask, forward: Mask | None = None) -> Array:
        """Tangent matrices (n, d, d) of states (n, m) and (n, t).

        ``forward`` (n, t): which way a friction row that does not stick slides. Without it, what slides adds
        nothing: its normal force is held.
        """
        a = closed.astype(float) @ self.normal
        if stick.shape[1]:
            a += stick.astype(float) @ self.stick
            if forward is not None:
                a += np.where(stick | ~closed[:, self.on], 0.0, np.where(forward, 1.0, -1.0)) @ self.slip
        matrix = np.zeros((len(a), self.d**2))
        matrix[:, self.filled] = a
        matrix = matrix.reshape(-1, self.d, self.d)
        matrix[:, range(self.d), range(self.d)] += self.soft
        return matrix
