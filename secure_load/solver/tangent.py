"""Tangent stiffness of bodies on springs, for many contact states at once.

Each normal spring adds k g g^T while it is closed; friction adds its own stiffness, and where it slides it follows its
normal force, which is not symmetric. The products of directions are worked out once and summed as a matrix product.
A spring moves one body or two, of however many: springs are taken together by the bodies they join, so that the work
grows with the contacts and not with the square of the bodies.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask
from secure_load.solver.case_set import CACHE_SIZE, CaseSet, rows_or_broadcast
from secure_load.solver.springs import SpringSet, batched_products


@dataclass(frozen=True)
class _BodyGroup:
    """All springs between the same bodies, whose unknowns are c in number."""

    bodies: list[int]
    unknowns: Index
    """(c,)"""
    columns: Index
    """Places of its products among all."""
    batched_products: Array
    """(columns, c c) products of directions times stiffness: normal; friction along both rows and between them;
    friction that follows the normal force, of both rows."""


SOFT = 1e-8
"""The soft spring that keeps the matrices regular, over the softest real one."""
FREE = 1e-6
"""Share of the load that is left to the soft spring beyond which there is no equilibrium."""


@lru_cache(maxsize=CACHE_SIZE)
def tangents_of(cases: CaseSet) -> Tangents:
    """Those of some cases, kept ready for the next question."""
    return Tangents(cases)


class Tangents:
    """What the links of a body, or of bodies that touch, add to its tangent stiffness."""

    def __init__(self, cases: CaseSet) -> None:
        springs, links = cases.springs, cases.links
        stiff = np.concatenate([cases.parameters.stiffness.ravel(), cases.parameters.tangent_stiffness.ravel()])
        self.springs, self.d = springs, links.unknowns
        self.soft = SOFT * float(stiff[stiff > 0.0].min(initial=np.inf)) if (stiff > 0.0).any() else 1.0
        """Stiffness of the soft spring, N/m."""
        moved = (links.direction.reshape(len(links.stiffness), self.d // 6, 6) != 0.0).any(axis=2)
        bodies, joint = np.unique(moved, axis=0, return_inverse=True)
        # a link whose pulls on a body cancel, such as a tie round one ingot, stiffens nothing
        self.groups = [_body_group(links, own, joint.ravel() == j) for j, own in enumerate(bodies) if own.any()]
        self.is_one = len(bodies) == len(self.groups) == 1 and len(self.groups[0].unknowns) == self.d

    def assemble(
        self, case: Index, closed: Mask, radial: Array, slip: Array | None = None, follow: bool = True
    ) -> Array:
        """Tangent matrices (n, d, d) of some cases (n,) in contact states ``closed`` (n, m), ``radial`` (n, p) and
        ``slip`` (n, p, 2), as ``ContactState`` has them; without ``slip`` no contact slides.

        ``follow``: the friction of what slides follows its normal force, which makes the matrix unsymmetric.
        """
        factors = self._factors(case, closed, radial, slip, follow)
        if self.is_one:
            matrix = _added(self.groups[0], factors)
        else:
            matrix = np.zeros((len(closed), self.d, self.d))
            for group in self.groups:
                added = _added(group, factors[:, group.columns])
                for i, a in enumerate(group.bodies):
                    for j, b in enumerate(group.bodies):
                        block = added[:, 6 * i : 6 * i + 6, 6 * j : 6 * j + 6]
                        matrix[:, 6 * a : 6 * a + 6, 6 * b : 6 * b + 6] += block
        matrix.reshape(len(matrix), -1)[:, :: self.d + 1] += self.soft
        return matrix

    def _factors(self, case: Index, closed: Mask, radial: Array, slip: Array | None, follow: bool) -> Array:
        """(n, m + 5 p) by how much each product of ``_BodyGroup.products`` is multiplied.

        The derivative of friction returned radially is radial k (I - s s^T) along the disc, s its direction, and
        mu s dN/du where it slides.
        """
        springs = self.springs
        n, m, p = len(closed), closed.shape[1], radial.shape[1]
        factors = np.zeros((n, m + 5 * p))
        factors[:, :m] = closed
        if springs.factor is not None:
            factors[:, :m] *= rows_or_broadcast(springs.factor, case)
        if not p:
            return factors
        stiff = radial if springs.contact_factor is None else radial * rows_or_broadcast(springs.contact_factor, case)
        tangential = factors[:, m:].reshape(n, 5, p)
        tangential[:, 0] = stiff
        tangential[:, 2] = stiff
        if slip is not None:
            x, y = slip[:, :, 0], slip[:, :, 1]
            tangential[:, 0] -= stiff * x * x
            tangential[:, 1] = -stiff * x * y
            tangential[:, 2] -= stiff * y * y
            if follow:
                pressed = factors[:, springs.contacts] * rows_or_broadcast(springs.friction, case)
                tangential[:, 3] = pressed * x
                tangential[:, 4] = pressed * y
        return factors


def _body_group(links: SpringSet, bodies: Mask, rows: Mask) -> _BodyGroup:
    """The springs ``rows`` (m,), which move some bodies (b,) and no others."""
    unknowns = np.flatnonzero(np.repeat(bodies, 6))
    contacts = np.flatnonzero(rows[links.normal[::2]])
    on = links.normal[2 * contacts]
    g = links.direction[:, unknowns]
    a, b = links.tangent_direction[2 * contacts][:, unknowns], links.tangent_direction[2 * contacts + 1][:, unknowns]
    tangent_stiffness, stiffness = links.tangent_stiffness[2 * contacts], links.stiffness[on]
    m, p = len(links.stiffness), len(links.tangent_stiffness) // 2
    return _BodyGroup(
        bodies=np.flatnonzero(bodies).tolist(),
        unknowns=unknowns,
        columns=np.concatenate([np.flatnonzero(rows), *(m + block * p + contacts for block in range(5))]),
        batched_products=np.concatenate(
            [
                batched_products(links.stiffness[rows], g[rows], g[rows]),
                batched_products(tangent_stiffness, a, a),
                batched_products(tangent_stiffness, a, b) + batched_products(tangent_stiffness, b, a),
                batched_products(tangent_stiffness, b, b),
                batched_products(stiffness, a, g[on]),
                batched_products(stiffness, b, g[on]),
            ]
        ),
    )


def _added(group: _BodyGroup, factors: Array) -> Array:
    """(n, c, c) what the springs of a group add to the tangent stiffness."""
    c = len(group.unknowns)
    return (factors @ group.batched_products).reshape(-1, c, c)


def closed_guess(cases: CaseSet, case: Index, w: Array) -> Array:
    """Displacements (n, 6 b) under loads w (n, 6 b) with every contact closed and sticking."""
    every = np.arange(cases.count)
    closed = np.ones((len(every), len(cases.links.stiffness)), dtype=bool)
    sticking = np.ones((len(every), len(cases.links.tangent_stiffness) // 2))
    inverse = np.linalg.inv(tangents_of(cases).assemble(every, closed, sticking))
    return np.einsum("nij,nj->ni", inverse[case], w + cases.rows(case).preload @ cases.links.direction)
