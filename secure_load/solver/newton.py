"""Newton's iteration over many loads on bodies held by links; the method is told in ``equilibrium``."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask, sizes
from secure_load.solver.cancellation import raise_if_cancelled
from secure_load.solver.case_set import Cases, Look
from secure_load.solver.fixed_point import MARGINAL, State, energy_of, settle
from secure_load.solver.springs import Links
from secure_load.solver.tangent import FREE, tangents_of

SHARPENINGS = 5
TOLERANCE = 1e-9
"""Residual over load at which an instant is settled."""
ROUNDS, FINISH = 16, 8
"""Newton rounds from a guess, and from where friction limits held for a while have led."""
FEW, UPDATES = 3, 60
"""How often the friction limits are brought up to date before Newton's method is tried again, and in the end."""
FULL = 3
"""Rounds of full steps at first."""
SHARES = np.array([1.0, 0.75, 0.5, 0.3, 0.15, 0.05])
"""Shares of a step that are tried after them."""
STUCK = 0.99
"""Share of what is out of balance, squared, that a step has to leave less of; else the instant is handed over."""
GATHERED = 12
"""Unknowns up to which instants that begin from the same place are taken together."""
AT_ONCE = 512
"""Instants whose matrices are in hand at once: they stay near the processor, and few take much memory."""


@dataclass(frozen=True)
class Order:
    """Which loads are solved first, and which of those each other load starts from."""

    first: Index
    rest: Index
    near: Index
    """For each of ``rest``, the member of ``first`` that lies nearest in its history."""
    far: Index
    """For each of ``rest``, the member of ``first`` on its other side."""
    coarser: Order | None = None
    """The order among ``first`` themselves, by their places in it; None where they come all at once."""


@dataclass(frozen=True)
class Begin:
    """What was found with the same links at k other loads, and which of them each load is near."""

    u: Array
    """(k, 6 b)"""
    load: Array
    """(k, 3) or (k, 6 b)"""
    near: Index
    """(n,)"""
    share: Array | None = None
    """(n,) of what was found there, and of the load, that each begins with; None: all of it. It has to be without
    preload."""

    def of(self, rows: Mask) -> Begin:
        """That of some of the loads."""
        return replace(self, near=self.near[rows], share=None if self.share is None else self.share[rows])


@dataclass
class Found:
    """Where each instant came to rest, filled as they settle."""

    u: Array
    normal: Array
    tangential: Array
    pushed: Array
    unsettled: Mask
    """(n,) True where Newton's iteration found nothing."""
    handed_over: int = 0

    @classmethod
    def empty(cls, n: int, links: Links) -> Found:
        return cls(
            u=np.zeros((n, links.unknowns)),
            normal=np.zeros((n, len(links.k))),
            tangential=np.zeros((n, len(links.kt))),
            pushed=np.zeros((n, links.unknowns)),
            unsettled=np.zeros(n, dtype=bool),
        )

    def put(self, at: Index, u: Array, state: Look | State, rows: Mask | slice = slice(None)) -> None:
        """Keep some rows of a state at the instants ``at``."""
        self.u[at] = u[rows]
        self.normal[at] = state.normal[rows]
        self.tangential[at] = state.tangential[rows]
        self.pushed[at] = state.pushed[rows]

    def free(self, w: Array) -> Mask:
        """(n,) True where something of the load w (n, 6 b) is left that no link answers."""
        return np.asarray(sizes(w + self.pushed) > FREE * np.maximum(sizes(w), 1e-12))


class Sweep:
    """Newton's iteration over many loads, all of them side by side.

    Each load is borne by the links of some case: ``case`` (n,), for all loads that will ever be asked about.
    """

    def __init__(self, cases: Cases, case: Index) -> None:
        self.cases, self.case = cases, case
        self.links, figures = cases.links, cases.figures
        self.d = self.links.unknowns
        self.springs, self.tangents = cases.springs, tangents_of(cases)
        self.soft = self.tangents.soft
        self.floor = 1e-13 * float(max(figures.k.max(initial=1.0), figures.kt.max(initial=1.0)))
        self.least = float(np.abs(figures.f0).max(initial=0.0))

    def look(self, at: Index, u: Array) -> Look:
        """Forces and states of the instants ``at`` at displacements (n, 6 b)."""
        return self.springs.look(u, self.case[at])

    def all_touching(self, w: Array, at: Index) -> Array:
        """A first guess (n, 6 b): everything in touch and sticking."""
        every = np.arange(self.cases.count)
        closed = np.ones((len(every), len(self.links.k)), dtype=bool)
        sticking = np.ones((len(every), len(self.links.kt)), dtype=bool)
        inverse = np.linalg.inv(self.tangents.at(every, closed, sticking))
        case = self.case[at]
        load = w[at] + self.cases.rows(case).f0 @ self.links.g
        return np.einsum("nij,nj->ni", inverse[case], load)

    def step_off(self, at: Index, begin: Begin, w: Array) -> Array:
        """Guesses (n, 6 b) for the instants ``at``, from what was found at other loads, keeping the state there."""
        if not len(at):
            return np.zeros((0, self.d))
        near, case = begin.near, self.case[at]
        start, load = begin.u[near], begin.load[near]
        if begin.share is not None:
            start, load = start * begin.share[:, None], load * begin.share[:, None]
        change = w[at] - load
        if not change.any():
            return start
        if self.d > GATHERED:
            look = self.springs.look(start, case)
            return start + self.step(case, look.closed, look.stick, look.forward, change)
        # begun from the same place with the same links, they start in the same state
        _, first, back = np.unique(near * self.cases.count + case, return_index=True, return_inverse=True)
        look = self.springs.look(begin.u[near[first]], case[first])
        inverse = np.linalg.inv(self.tangents.at(case[first], look.closed, look.stick, look.forward))
        return start + np.einsum("nij,nj->ni", inverse[back], change)

    def in_turn(self, w: Array, at: Index, order: Order, found: Found) -> None:
        """Settle the instants ``at`` (cases, n), the first of their order before those that start from them."""
        first, rest, near = at[:, order.first], at[:, order.rest].ravel(), at[:, order.near].ravel()
        if order.coarser is not None:
            self.in_turn(w, first, order.coarser, found)
        else:
            first = first.ravel()
            self.to_the_end(w, first, self.all_touching(w, first), found)
        if len(rest):
            self.to_the_end(w, rest, self.step_off(rest, Begin(found.u, w, near), w), found)

    def to_the_end(self, w: Array, at: Index, u: Array, found: Found) -> None:
        """From guesses u (r, 6 b) at the instants ``at`` of the loads w to what is found there."""
        unsettled = self.iterate(w, at, u, found, ROUNDS)
        if len(unsettled):
            # a few sure steps bring most within reach of Newton's
            near = settle(self.cases, self.case[unsettled], w[unsettled], self.all_touching(w, unsettled), FEW)
            found.unsettled[self.iterate(w, unsettled, near.u, found, FINISH)] = True

    def confirm(self, w: Array, found: Found) -> None:
        """Work out by held friction limits what Newton's iteration cannot be believed about.

        That is what has not settled; what is held only by normal forces that friction has made, where it is not held
        without friction as well; and what is free although something was made fast before the load came on.
        """
        doubtful, free = found.unsettled.copy(), found.free(w) & ~found.unsettled
        if len(self.links.kt):
            if np.any(self.cases.figures.f0 > 0.0):
                doubtful |= free
            held = np.flatnonzero(~free & ~doubtful)
            doubtful[held[self.leans_on_friction(w, held, found)]] = True
        at = np.flatnonzero(doubtful)
        found.handed_over = len(at)
        if len(at):
            state = settle(self.cases, self.case[at], w[at], found.u[at], UPDATES, free[at])
            found.put(at, state.u, state)

    def leans_on_friction(self, w: Array, at: Index, found: Found) -> Mask:
        """Which of the instants ``at`` are held only by friction that uses more than counts, (r,)."""
        energy, limit = energy_of(self.cases), self.cases.rows(self.case[at]).limit
        leans = ~energy.available.is_kept(found.normal[at], found.tangential[at], limit)
        some = at[leans]
        if len(some):
            leans[leans] = ~energy.holds_greased(self.case[some], w[some])
        return leans

    def sharpen(self, w: Array, found: Found) -> None:
        """Take the soft spring off where it carries a little: what is held comes to rest without it."""
        size = sizes(w)
        out = sizes(w + found.pushed)
        at = np.flatnonzero((out > 0.1 * FREE * size) & (out < MARGINAL * size))
        u = found.u[at]
        for _ in range(SHARPENINGS):
            if not len(at):
                break
            look = self.look(at, u)
            total = w[at] + look.pushed
            better = sizes(total) < sizes(w[at] + found.pushed[at])
            found.put(at[better], u, look, better)
            u = u + self.step(self.case[at], look.closed, look.stick, look.forward, total)

    def iterate(self, w: Array, at: Index, u: Array, found: Found, rounds: int) -> Index:
        """Newton's iteration; puts what settles into ``found`` and returns the instants that did not, in order."""
        stuck = [at[:0]]
        for turn in range(rounds if len(at) else 0):
            raise_if_cancelled()
            look = self.look(at, u)
            load = w[at]
            total = load + look.pushed
            total -= self.soft * u
            out = np.einsum("nd,nd->n", total, total)
            size = np.maximum(np.einsum("nd,nd->n", load, load), self.least**2)
            off = out > (TOLERANCE**2) * size + self.floor**2 * np.einsum("nd,nd->n", u, u)
            closed, stick, forward, settled = look.closed, look.stick, look.forward, ~off
            if settled.any():
                found.put(at[settled], u, look, settled)
                at, u, total, load, out = at[off], u[off], total[off], load[off], out[off]
                if not len(at):
                    break
                closed, stick, forward = closed[off], stick[off], forward[off]
            step = self.step(self.case[at], closed, stick, forward, total)
            if turn < FULL:
                u = u + step
                continue
            u, left = self.shortened(at, load, u, step)
            moving = left < STUCK * out
            stuck.append(at[~moving])
            at, u = at[moving], u[moving]
            if not len(at):
                break
        return np.sort(np.concatenate([*stuck, at]))

    def shortened(self, at: Index, w: Array, u: Array, step: Array) -> tuple[Array, Array]:
        """u (n, 6 b) with as much of each step as leaves the least out of balance, and what it leaves, squared, (n,).

        It parts sets that take turns.
        """
        tried = u[None, :, :] + SHARES[:, None, None] * step[None, :, :]
        flat = tried.reshape(-1, self.d)
        total = self.springs.pushed(flat, np.tile(self.case[at], len(SHARES))) - self.soft * flat
        total = total.reshape(tried.shape) + w
        out = np.einsum("snd,snd->sn", total, total)
        best, n = out.argmin(axis=0), np.arange(len(u))
        return np.asarray(tried[best, n]), np.asarray(out[best, n])

    def step(self, case: Index, closed: Mask, stick: Mask, forward: Mask, total: Array) -> Array:
        """How far forces (n, 6 b) move bodies whose links, of some cases (n,), are in some states, (n, 6 b)."""
        moved = np.empty_like(total)
        for start in range(0, len(total), AT_ONCE):
            some = slice(start, start + AT_ONCE)
            matrix = self.tangents.at(case[some], closed[some], stick[some], forward[some])
            moved[some] = np.linalg.solve(matrix, total[some, :, None])[:, :, 0]
        return moved
