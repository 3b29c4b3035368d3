"""Weights that fall on one another through a gap between them.

A weight that first moves through a gap s to its neighbour brings the work of its load on the way, N s, where N is what
the contact bears once everything is at rest. What it strikes, and all that stands behind that, takes it up by bending
further than at rest. For a mass on a linear spring without loss the greatest force is N (1 + sqrt(1 + 2 s / d)), with
d = N / k (S. Timoshenko, Strength of Materials). Here the spring is the whole group: the contacts' forces N are put on
once more, as a load p on the weights that fell, and do the work D = p . change of u. The energy balance

    lambda^2 D / 2 = D / 2 + sum of N s

gives the lambda p that is to be added to the load at rest. It passes through every body behind; several gaps in a row
bring the work of all of them. The change of u is that of the links as they stand, with whatever bears anywhere bearing
all over: the stiffer what is struck, the greater lambda.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.solver.arrays import Array, Index, row_max, row_norm
from secure_load.solver.case_set import CaseSet
from secure_load.solver.equilibrium import Equilibrium, solve_cases
from secure_load.solver.newton import BATCH_ROWS, FREE, WarmStart
from secure_load.solver.tangent import tangents_of


@dataclass(frozen=True)
class Impact:
    """What the weights and their restraints bear while a neighbour is being stopped."""

    at: Index
    """(r,) the loads at which one strikes another."""
    found: Equilibrium
    """(r, ...) under the greatest force."""


def gaps_between(cases: CaseSet) -> Index:
    """The normal rows of contacts between two bodies that stand apart at rest."""
    springs = cases.links
    bodies = (springs.direction.reshape(len(springs.stiffness), springs.unknowns // 6, 6) != 0.0).any(axis=2)
    return np.flatnonzero((bodies.sum(axis=1) > 1) & (springs.gap > 0.0))


def impact(cases: CaseSet, case: Index, load: Array, found: Equilibrium) -> Impact | None:
    """What the loads (n, 6 b) of some cases (n,) come to where one weight falls on another; None where none does.

    ``found``: at rest under the same loads.
    """
    rows = gaps_between(cases)
    if not len(rows):
        return None
    felt = row_max(found.normal[:, rows]) > FREE * row_norm(load)
    at = np.flatnonzero(felt & ~found.free)
    if not len(at):
        return None
    own, u = case[at], found.displacement[at]
    force = np.maximum(found.normal[np.ix_(at, rows)], 0.0)
    again = _of_those_that_fell(cases.links.direction[rows], force, u)
    bent = _least_movement(cases, own, u, again)
    work = np.einsum("nd,nd->n", again, bent)
    times = np.sqrt(1.0 + 2.0 * (force @ cases.links.gap[rows]) / work)[:, None]
    most = load[at] + times * again
    begin = WarmStart(u + times * bent, most, np.arange(len(at)))
    return Impact(at, solve_cases(cases, own, most, begin=begin))


def _least_movement(cases: CaseSet, case: Index, u: Array, load: Array) -> Array:
    """How far loads (n, 6 b) move bodies from where they are, (n, 6 b), with what bears anywhere bearing all over."""
    springs, state = cases.links, cases.springs.evaluate(u, case)
    together = (springs.restraint[:, None] == springs.restraint[None, :]).astype(float)
    closed = (state.normal > 0.0) @ together > 0.0
    sticking = (state.radial == 1.0) & closed[:, cases.springs.contacts]
    moved = np.empty_like(load)
    for start in range(0, len(load), BATCH_ROWS):
        some = slice(start, start + BATCH_ROWS)
        matrix = tangents_of(cases).assemble(case[some], closed[some], sticking[some].astype(float))
        moved[some] = np.linalg.solve(matrix, load[some, :, None])[:, :, 0]
    return moved


def _of_those_that_fell(g: Array, force: Array, u: Array) -> Array:
    """The forces (n, r) of contacts in the directions g (r, 6 b), as a load (n, 6 b) on those that moved to them."""
    n, r = force.shape
    parts = g.reshape(r, -1, 6)
    toward = -np.einsum("rbi,nbi->nrb", parts, u.reshape(n, -1, 6))
    fell = toward.argmax(axis=2)
    load = np.zeros((n, parts.shape[1], 6))
    for j in range(r):
        # a contact pushes a weight away: what pushes as hard the other way is the weight that comes to it
        own = fell[:, j, None] == np.arange(parts.shape[1])
        load -= own[:, :, None] * force[:, j, None, None] * parts[j]
    return load.reshape(n, -1)
