"""Tangent stiffness of bodies on links, for many sets of closed, sticking and sliding links at once.

Each link adds k g g^T while it is closed or sticks; a friction row that slides follows its normal row, and adds
+-c k gt g^T, which is not symmetric. What each link adds is worked out once and summed set by set as a matrix
product. A link moves one body or two, of however many: links are taken together by the bodies they join, so that
the work grows with the contacts and not with the square of the bodies.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.cases import Springs
from secure_load.statics.links import Links, products


@dataclass(frozen=True)
class _Joint:
    """All links between the same bodies, whose unknowns are c in number."""

    unknowns: Index
    """(c,)"""
    rows: Index
    """Normal rows."""
    friction: Index
    """Friction rows."""
    normal: Array
    """(rows, c c) what each adds."""
    stick: Array
    slip: Array
    """(rows, c c) what each adds where its friction may bear all of its normal force."""


class Tangents:
    """What the links of a body, or of bodies that touch, add to its tangent stiffness."""

    def __init__(self, springs: Springs, soft: float) -> None:
        """soft: stiffness of the spring that keeps the matrices regular, N/m."""
        links = springs.links
        self.springs, self.d, self.soft = springs, links.unknowns, soft
        self.on: Index = links.normal
        moved = (links.g.reshape(len(links.k), self.d // 6, 6) != 0.0).any(axis=2)
        bodies, joint = np.unique(moved, axis=0, return_inverse=True)
        self.joints = [_joint(links, pattern, joint.ravel() == j) for j, pattern in enumerate(bodies)]

    def at(self, case: Index, closed: Mask, stick: Mask, forward: Mask | None = None) -> Array:
        """Tangent matrices (n, d, d) of some cases (n,) in states (n, m) and (n, t).

        ``forward`` (n, t): which way a friction row that does not stick slides. Without it, what slides adds
        nothing: its normal force is held.
        """
        springs = self.springs
        pressing, sticking = closed.astype(float), stick.astype(float)
        if springs.factor is not None and springs.friction_factor is not None:
            pressing *= springs.factor[case]
            sticking *= springs.friction_factor[case]
        sliding = None
        if forward is not None and stick.shape[1]:
            # it follows its normal force, and is as stiff
            sliding = np.where(stick, 0.0, pressing[:, self.on])
            sliding *= springs.limit[case] if len(springs.limit) > 1 else springs.limit
            np.negative(sliding, where=~forward, out=sliding)
        if len(self.joints) == 1 and len(self.joints[0].unknowns) == self.d:
            matrix = _added(self.joints[0], pressing, sticking, sliding)
        else:
            matrix = np.zeros((len(closed), self.d, self.d))
            for joint in self.joints:
                own = None if sliding is None else sliding[:, joint.friction]
                added = _added(joint, pressing[:, joint.rows], sticking[:, joint.friction], own)
                matrix[:, joint.unknowns[:, None], joint.unknowns] += added
        matrix[:, range(self.d), range(self.d)] += self.soft
        return matrix


def _joint(links: Links, bodies: Mask, rows: Mask) -> _Joint:
    """The links ``rows`` (m,), which move some bodies (b,) and no others."""
    unknowns = np.flatnonzero(np.repeat(bodies, 6))
    friction = rows[links.normal]
    on = links.normal[friction]
    g, gt = links.g[:, unknowns], links.gt[friction][:, unknowns]
    return _Joint(
        unknowns=unknowns,
        rows=np.flatnonzero(rows),
        friction=np.flatnonzero(friction),
        normal=products(links.k[rows], g[rows], g[rows]),
        stick=products(links.kt[friction], gt, gt),
        slip=products(links.k[on], gt, g[on]),
    )


def _added(joint: _Joint, pressing: Array, sticking: Array, sliding: Array | None) -> Array:
    """(n, c, c) what the links of a joint add in some states (n, rows)."""
    a = pressing @ joint.normal
    if sticking.shape[1]:
        a += sticking @ joint.stick
        if sliding is not None:
            a += sliding @ joint.slip
    c = len(joint.unknowns)
    return a.reshape(-1, c, c)
