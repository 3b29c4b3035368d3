"""Newton's iteration over many loads on bodies held by springs; ``equilibrium`` describes the method."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask, row_norm
from secure_load.solver.cancellation import raise_if_cancelled
from secure_load.solver.case_set import CaseSet, ContactState
from secure_load.solver.fixed_point import REGULARISATION_SUSPECT, FixedPointState, energy_of, settle
from secure_load.solver.springs import SpringSet
from secure_load.solver.tangent import FREE, closed_guess, tangents_of

REFINEMENT_ITERATIONS = 5
TOLERANCE = 1e-9
"""Residual over load at which an instant is settled."""
MAX_ITERATIONS, RETRY_ITERATIONS = 20, 8
"""Newton iterations from a guess, and from the result of a few updates of held friction limits."""
RETRY_UPDATES, UPDATES = 3, 60
"""Updates of the friction limits before Newton's method is tried again, and in the fallback."""
FULL_STEP_ITERATIONS = 3
"""Iterations with full steps at first, of one body; several bodies need the line search from the start."""
LINE_SEARCH_STEPS = np.array([1.0, 0.75, 0.5, 0.3, 0.15, 0.05])
"""Shares of a step that are tried after them."""
FULL_STEP_REDUCTION = 0.8
"""Share of the unbalanced force, squared, that a full step may leave without shorter ones being tried."""
SHARED_FACTORISATION_MAX_DOF = 12
"""Unknowns up to which rows that start from the same displacement share one inverse."""
BATCH_ROWS = 512
"""Rows whose matrices are assembled at once, so that they stay in the cache and take little memory."""


@dataclass(frozen=True)
class RefinementPlan:
    """Which loads are solved first, and which of those each other load starts from."""

    coarse: Index
    fine: Index
    nearest_coarse: Index
    """For each of ``rest``, the member of ``first`` that lies nearest in its history."""
    opposite_coarse: Index
    """For each of ``rest``, the member of ``first`` on its other side."""
    parent: RefinementPlan | None = None
    """The order among ``first`` themselves, by their places in it; None where they come all at once."""


@dataclass(frozen=True)
class WarmStart:
    """What was found with the same links at k other loads, and which of them each load is near."""

    displacement: Array
    """(k, 6 b)"""
    load: Array
    """(k, 3) or (k, 6 b)"""
    source_row: Index
    """(n,)"""
    scale: Array | None = None
    """(n,) of what was found there, and of the load, that each begins with; None: all of it. It has to be without
    preload."""

    @classmethod
    def at_one(cls, displacement: Array, load: Array) -> WarmStart:
        """One load from a displacement (6 b,) found at a load (6 b,)."""
        return cls(displacement[None, :], load[None, :], np.zeros(1, dtype=np.int64))

    def subset(self, rows: Mask) -> WarmStart:
        """That of some of the loads."""
        return replace(self, source_row=self.source_row[rows], scale=None if self.scale is None else self.scale[rows])


@dataclass
class NewtonResult:
    """Where each instant came to rest, filled as they settle."""

    u: Array
    normal: Array
    tangential: Array
    reaction: Array
    unsettled: Mask
    """(n,) True where Newton's iteration found nothing."""
    fallback_count: int = 0

    @classmethod
    def empty(cls, n: int, links: SpringSet) -> NewtonResult:
        return cls(
            u=np.zeros((n, links.unknowns)),
            normal=np.zeros((n, len(links.stiffness))),
            tangential=np.zeros((n, len(links.tangent_stiffness))),
            reaction=np.zeros((n, links.unknowns)),
            unsettled=np.zeros(n, dtype=bool),
        )

    def store(
        self, at: Index, u: Array, state: ContactState | FixedPointState, rows: Mask | slice = slice(None)
    ) -> None:
        """Keep some rows of a state at the instants ``at``."""
        self.u[at] = u[rows]
        self.normal[at] = state.normal[rows]
        self.tangential[at] = state.tangential[rows]
        self.reaction[at] = state.reaction[rows]

    def free(self, w: Array) -> Mask:
        """(n,) True where something of the load w (n, 6 b) is left that no link answers."""
        return np.asarray(row_norm(w + self.reaction) > FREE * np.maximum(row_norm(w), 1e-12))


class BatchNewton:
    """Newton's iteration over many loads, all of them side by side.

    Each load is borne by the links of some case: ``case`` (n,), for all loads that will ever be asked about.
    """

    def __init__(self, cases: CaseSet, case: Index) -> None:
        self.cases, self.case = cases, case
        self.links, figures = cases.links, cases.parameters
        self.d = self.links.unknowns
        self.springs, self.tangents = cases.springs, tangents_of(cases)
        self.soft = self.tangents.soft
        self.floor = 1e-13 * float(max(figures.stiffness.max(initial=1.0), figures.tangent_stiffness.max(initial=1.0)))
        self.least = float(np.abs(figures.preload).max(initial=0.0))

    def evaluate(self, at: Index, u: Array) -> ContactState:
        """Forces and contact states of the instants ``at`` at displacements (n, 6 b)."""
        return self.springs.evaluate(u, self.case[at])

    def warm_start_guess(self, at: Index, begin: WarmStart, w: Array) -> Array:
        """Guesses (n, 6 b) for the instants ``at``, from what was found at other loads, keeping the state there."""
        if not len(at):
            return np.zeros((0, self.d))
        near, case = begin.source_row, self.case[at]
        start, load = begin.displacement[near], begin.load[near]
        if begin.scale is not None:
            start, load = start * begin.scale[:, None], load * begin.scale[:, None]
        change = w[at] - load
        if not change.any():
            return start
        if self.d > SHARED_FACTORISATION_MAX_DOF:
            return start + self.step(case, self.springs.evaluate(start, case), change)
        # rows that start from the same displacement in the same case share a contact state and its inverse
        _, coarse, back = np.unique(near * self.cases.count + case, return_index=True, return_inverse=True)
        state = self.springs.evaluate(begin.displacement[near[coarse]], case[coarse])
        inverse = np.linalg.inv(self.tangents.assemble(case[coarse], state.closed, state.radial, state.slip))
        return start + np.einsum("nij,nj->ni", inverse[back], change)

    def solve_coarse_to_fine(self, w: Array, at: Index, order: RefinementPlan, found: NewtonResult) -> None:
        """Settle the instants ``at`` (cases, n), the first of their order before those that start from them."""
        coarse, rest, near = at[:, order.coarse], at[:, order.fine].ravel(), at[:, order.nearest_coarse].ravel()
        if order.parent is not None:
            self.solve_coarse_to_fine(w, coarse, order.parent, found)
        else:
            coarse = coarse.ravel()
            self.solve_from(w, coarse, closed_guess(self.cases, self.case[coarse], w[coarse]), found)
        if len(rest):
            self.solve_from(w, rest, self.warm_start_guess(rest, WarmStart(found.u, w, near), w), found)

    def solve_from(self, w: Array, at: Index, u: Array, found: NewtonResult) -> None:
        """From guesses u (r, 6 b) at the instants ``at`` of the loads w to what is found there."""
        unsettled = self.iterate(w, at, u, found, MAX_ITERATIONS)
        if len(unsettled):
            # a few sure steps bring most within reach of Newton's
            near = settle(
                self.cases,
                self.case[unsettled],
                w[unsettled],
                closed_guess(self.cases, self.case[unsettled], w[unsettled]),
                RETRY_UPDATES,
            )
            found.unsettled[self.iterate(w, unsettled, near.u, found, RETRY_ITERATIONS)] = True

    def confirm_free(self, w: Array, found: NewtonResult) -> None:
        """Solve again with held friction limits where Newton's result is not reliable.

        That is what has not settled; what is held only by normal forces that friction has made, where it is not held
        without friction as well; and what is free although something was made fast before the load came on.
        """
        doubtful, free = found.unsettled.copy(), found.free(w) & ~found.unsettled
        if len(self.links.tangent_stiffness):
            if np.any(self.cases.parameters.preload > 0.0):
                doubtful |= free
            held = np.flatnonzero(~free & ~doubtful)
            doubtful[held[self.leans_on_friction(w, held, found)]] = True
        at = np.flatnonzero(doubtful)
        found.fallback_count = len(at)
        if len(at):
            state = settle(self.cases, self.case[at], w[at], found.u[at], UPDATES, free[at])
            found.store(at, state.u, state)

    def leans_on_friction(self, w: Array, at: Index, found: NewtonResult) -> Mask:
        """Which of the instants ``at`` are held only by friction that uses more than counts, (r,)."""
        energy, limit = energy_of(self.cases), self.cases.rows(self.case[at]).friction_limit[:, ::2]
        leans = ~energy.available.is_kept(found.normal[at], found.tangential[at], limit)
        some = at[leans]
        if len(some):
            leans[leans] = ~energy.holds_greased(self.case[some], w[some])
        return leans

    def remove_regularisation(self, w: Array, found: NewtonResult) -> None:
        """Take the soft spring off where it carries a little: what is held comes to rest without it."""
        size = row_norm(w)
        out = row_norm(w + found.reaction)
        at = np.flatnonzero((out > 0.1 * FREE * size) & (out < REGULARISATION_SUSPECT * size))
        u = found.u[at]
        for _ in range(REFINEMENT_ITERATIONS):
            if not len(at):
                break
            state = self.evaluate(at, u)
            total = w[at] + state.reaction
            better = row_norm(total) < row_norm(w[at] + found.reaction[at])
            found.store(at[better], u, state, better)
            u = u + self.step(self.case[at], state, total)

    def iterate(self, w: Array, at: Index, u: Array, found: NewtonResult, rounds: int) -> Index:
        """Newton's iteration from displacements u (r, 6 b); stores the instants that converge in ``found`` and returns
        the others, in order."""
        state = self.evaluate(at, u)
        total, out = self.unbalanced(w[at], u, state)
        for turn in range(rounds if len(at) else 0):
            raise_if_cancelled()
            load = w[at]
            size = np.maximum(np.einsum("nd,nd->n", load, load), self.least**2)
            off = out > (TOLERANCE**2) * size + self.floor**2 * np.einsum("nd,nd->n", u, u)
            if not off.all():
                found.store(at[~off], u, state, ~off)
                at, u, total, load, out, state = at[off], u[off], total[off], load[off], out[off], state.subset(off)
            if not len(at):
                break
            step = self.step(self.case[at], state, total)
            before = out
            start, u = u, u + step
            state = self.evaluate(at, u)
            total, out = self.unbalanced(load, u, state)
            if turn < FULL_STEP_ITERATIONS and self.d == 6:
                continue
            poor = np.flatnonzero(out > FULL_STEP_REDUCTION * before)
            if not len(poor):
                continue
            u[poor] = self.line_search(at[poor], load[poor], start[poor], step[poor])
            state.assign(poor, self.evaluate(at[poor], u[poor]))
            total[poor], out[poor] = self.unbalanced(load[poor], u[poor], state.subset(poor))
        return at

    def unbalanced(self, load: Array, u: Array, state: ContactState) -> tuple[Array, Array]:
        """The force that nothing balances, (n, 6 b), and its square, (n,)."""
        total = load + state.reaction
        total -= self.soft * u
        return total, np.einsum("nd,nd->n", total, total)

    def line_search(self, at: Index, w: Array, u: Array, step: Array) -> Array:
        """Displacements (n, 6 b) with as much of each step as leaves the least force unbalanced."""
        tried = u[None, :, :] + LINE_SEARCH_STEPS[:, None, None] * step[None, :, :]
        flat = tried.reshape(-1, self.d)
        total = self.springs.reaction(flat, np.tile(self.case[at], len(LINE_SEARCH_STEPS))) - self.soft * flat
        total = total.reshape(tried.shape) + w
        best = np.einsum("snd,snd->sn", total, total).argmin(axis=0)
        return np.asarray(tried[best, np.arange(len(u))])

    def step(self, case: Index, state: ContactState, total: Array) -> Array:
        """Displacements (n, 6 b) by which forces (n, 6 b) move bodies in some contact states, of some cases (n,)."""
        moved = np.empty_like(total)
        for start in range(0, len(total), BATCH_ROWS):
            some = slice(start, start + BATCH_ROWS)
            matrix = self.tangents.assemble(case[some], state.closed[some], state.radial[some], state.slip[some])
            moved[some] = np.linalg.solve(matrix, total[some, :, None])[:, :, 0]
        return moved
