"""The force in every link of one body, or of several that touch, at many instants at once.

Problem, for each load w: find the displacement u with

    w + sum_i g_i f_i(u) - s u = 0,      f_i = max(0, f0_i - k_i g_i.u)      (normal rows)
                                         t_j = -k_j G_j u, cut back to |t_j| <= mu_j f_n(j)  (friction)

where s is a spring so soft that it carries nothing unless nothing else does. Friction is Coulomb's and
non-associated: its limit follows the normal force found, it is never traded against it, so no self-stress
can be invented (it is not one optimisation problem, and is not solved as one).

Method: a semismooth Newton iteration on the contact states (closed or open, sticking or sliding and which way) until
the unbalanced force vanishes. All instants are iterated side by side, each with its own state and its own six
equations for each body; sets of springs that differ only in their parameters - the bounds of stiffness and friction,
a stow with a restraint taken away - are more rows of the same arrays (``case_set``). Coarse loads are solved first,
and the others start from the state of the nearest of them. Where a full step leaves much unbalanced, the share of it
that leaves least is taken. What the iteration (``newton``) cannot decide, convex minimisation does (``fixed_point``),
which always says held or free: instants that have not settled; those whose friction rests on normal forces that
friction itself has made, where they are not held without friction; and, where lines are set up tight at rest, those
found free.

Sources: Alart and Curnier, Comput. Methods Appl. Mech. Eng. 92 (1991) 353-375, for Newton's method on
frictional contact (memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask, row_norm
from secure_load.solver.case_set import CaseSet, single
from secure_load.solver.newton import BatchNewton, NewtonResult, RefinementPlan, WarmStart
from secure_load.solver.springs import SpringSet
from secure_load.solver.tangent import FREE, closed_guess

UNBALANCED_LIMIT = 1e-2
"""Share of the load up to which rounding may leave something over on a body that stays beside one that drifts."""


@dataclass(frozen=True)
class Equilibrium:
    """What was found at n instants, for m normal and t friction rows and b bodies."""

    displacement: Array
    """(n, 6 b) displacement; rotations are multiplied by rho."""
    normal: Array
    """(n, m) force in each normal row, N; pressing or pulling along g."""
    tangential: Array
    """(n, t) force in each friction row, N."""
    unrestrained: Mask
    """(n, b) True where a body has no equilibrium: it is free to move, along its part of u."""
    residual: Array
    """(n,) unbalanced force over load, without the soft spring; large where something is free."""
    fallback_count: int
    """How many instants were decided by convex minimisation."""

    @property
    def free(self) -> Mask:
        """(n,) True where any body is free to move."""
        return np.asarray(self.unrestrained.any(axis=1))


def solve(
    springs: SpringSet, load: Array, order: RefinementPlan | None = None, begin: WarmStart | None = None
) -> Equilibrium:
    """Equilibrium under loads at the bodies' centres of gravity.

    load: (n, 3) forces on one body, or (n, 6 b) forces and moments / rho on each of b bodies in turn, N.
    ``begin``: what was found at other loads, to start from.
    """
    return solve_cases(single(springs), np.zeros(len(load), dtype=np.int64), load, order, begin)


def solve_cases(
    cases: CaseSet,
    case: Index,
    load: Array,
    order: RefinementPlan | None = None,
    begin: WarmStart | None = None,
) -> Equilibrium:
    """As ``solve``, each load (n, ...) borne by the links of its own ``case`` (n,).

    ``order``: over the loads of one case; the loads are then the same for every case, one case after the other.
    """
    springs, n = cases.links, len(load)
    w = _whole(load, springs)
    sweep = BatchNewton(cases, case)
    found = NewtonResult.empty(n, springs)
    every = np.arange(n)
    if begin is not None:
        start = sweep.warm_start_guess(every, replace(begin, load=_whole(begin.load, springs)), w)
        sweep.solve_from(w, every, start, found)
    elif order is None:
        sweep.solve_from(w, every, closed_guess(cases, case, w), found)
    else:
        sweep.solve_coarse_to_fine(w, every.reshape(-1, len(order.coarse) + len(order.fine)), order, found)
    sweep.confirm_free(w, found)
    sweep.remove_regularisation(w, found)
    return _report(found, w, sweep.soft)


def _whole(load: Array, springs: SpringSet) -> Array:
    """(n, 6 b) from forces (n, 3) on one body, or as it is."""
    w = np.zeros((len(load), springs.unknowns))
    w[:, : load.shape[1]] = load
    return w


def _report(found: NewtonResult, w: Array, soft: float) -> Equilibrium:
    size = np.maximum(row_norm(w), 1e-12)
    out_of_balance = w + found.reaction
    # what no link answers is what the soft spring had to carry
    unanswered, moved = _by_body(out_of_balance), _by_body(found.u)
    # beside a body that drifts far off, rounding leaves a little over on those that stay where they are
    drifts = soft * moved > FREE * size[:, None]
    stays = drifts.any(axis=1, keepdims=True) & ~drifts & (unanswered < UNBALANCED_LIMIT * size[:, None])
    return Equilibrium(
        displacement=found.u,
        normal=found.normal,
        tangential=found.tangential,
        unrestrained=(unanswered > FREE * size[:, None]) & ~stays,
        residual=row_norm(out_of_balance) / size,
        fallback_count=found.fallback_count,
    )


def _by_body(vectors: Array) -> Array:
    """Lengths (n, b) of each body's part of some vectors (n, 6 b)."""
    return np.asarray(np.linalg.norm(vectors.reshape(len(vectors), -1, 6), axis=2))
