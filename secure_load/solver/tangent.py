"""Tangent stiffness of bodies on links, for many sets of closed, sticking and sliding links at once.

Each link adds k g g^T while it is closed or sticks; a friction row that slides follows its normal row, and adds
+-c k gt g^T, which is not symmetric. What each link adds is worked out once and summed set by set as a matrix
product. A link moves one body or two, of however many: links are taken together by the bodies they join, so that
the work grows with the contacts and not with the square of the bodies.
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
    """All links between the same bodies, whose unknowns are c in number."""

    unknowns: Index
    """(c,)"""
    rows: Index
    """Places of its links among all: pressing, sticking, and what slides."""
    held: int
    """How many of the rows come before those of what slides."""
    added: Array
    """(rows, c c) what each adds; of what slides where its friction may bear all of its normal force."""


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
        self.joints = [_joint(links, own, joint.ravel() == j) for j, own in enumerate(bodies) if own.any()]
        self.is_one = len(bodies) == len(self.joints) == 1 and len(self.joints[0].unknowns) == self.d

    def assemble(self, case: Index, closed: Mask, stick: Mask, forward: Mask | None = None) -> Array:
        """Tangent matrices (n, d, d) of some cases (n,) in states (n, m) and (n, t).

        ``forward`` (n, t): which of the friction rows that do not stick slide forward, the others slide back. Without
        it, what slides adds nothing: its normal force is held.
        """
        share = self._activation(case, closed, stick, forward)
        if self.is_one:
            matrix = _added(self.joints[0], share)
        else:
            matrix = np.zeros((len(closed), self.d, self.d))
            for joint in self.joints:
                rows = joint.rows if forward is not None else joint.rows[: joint.held]
                matrix[:, joint.unknowns[:, None], joint.unknowns] += _added(joint, share[:, rows])
        matrix.reshape(len(matrix), -1)[:, :: self.d + 1] += self.soft
        return matrix

    def _activation(self, case: Index, closed: Mask, stick: Mask, forward: Mask | None) -> Array:
        """How much of what each link can add it adds, (n, m + 2 t): pressing, sticking, and what slides; (n, m + t)
        where that adds nothing."""
        springs = self.springs
        n, m, t = len(closed), closed.shape[1], stick.shape[1]
        share = np.empty((n, m + t if forward is None else m + 2 * t))
        share[:, :m] = closed
        share[:, m : m + t] = stick
        if springs.factor is not None:
            share[:, :m] *= rows_or_broadcast(springs.factor, case)
        if springs.contact_factor is not None:
            share[:, m : m + t] *= np.repeat(rows_or_broadcast(springs.contact_factor, case), springs.axes, axis=1)
        if forward is not None and t:
            sliding = share[:, m + t :]
            # one way or the other; it follows its normal force, and is as stiff
            np.subtract(forward, ~(forward | stick), out=sliding, dtype=float)
            follows = share[:, springs.contacts] * rows_or_broadcast(springs.contact_limit, case)
            sliding *= np.repeat(follows, springs.axes, axis=1)
        return share


def _joint(links: SpringSet, bodies: Mask, rows: Mask) -> _BodyGroup:
    """The links ``rows`` (m,), which move some bodies (b,) and no others."""
    unknowns = np.flatnonzero(np.repeat(bodies, 6))
    friction = rows[links.normal]
    on = links.normal[friction]
    g, tangent_direction = links.direction[:, unknowns], links.tangent_direction[friction][:, unknowns]
    m, t = len(links.stiffness), len(links.tangent_stiffness)
    own = np.flatnonzero(friction)
    return _BodyGroup(
        unknowns=unknowns,
        rows=np.concatenate([np.flatnonzero(rows), m + own, m + t + own]),
        held=int(np.count_nonzero(rows)) + len(own),
        added=np.concatenate(
            [
                batched_products(links.stiffness[rows], g[rows], g[rows]),
                batched_products(links.tangent_stiffness[friction], tangent_direction, tangent_direction),
                batched_products(links.stiffness[on], tangent_direction, g[on]),
            ]
        ),
    )


def _added(joint: _BodyGroup, share: Array) -> Array:
    """(n, c, c) what the links of a joint add, from how much of each (n, rows) is there."""
    c = len(joint.unknowns)
    return (share @ joint.added[: share.shape[1]]).reshape(-1, c, c)
