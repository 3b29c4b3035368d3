"""The force in every link of one body, or of several that touch, at many instants at once.

Problem, for each load w: find the displacement u with

    w + sum_i g_i f_i(u) - s u = 0,      f_i = max(0, f0_i - k_i g_i.u)      (normal rows)
                                         t_j = clip(-k_j g_j.u, +-c_j f_n(j))  (friction rows)

where s is a spring so soft that it carries nothing unless nothing else does. Friction is Coulomb's and
non-associated: its limit follows the normal force found, it is never traded against it, so no self-stress
can be invented (it is not one optimisation problem, and is not solved as one).

Method: a semismooth Newton iteration. For a given set of closed contacts, taut lines, sticking and sliding
points the equations are linear in u; the iteration guesses a set, solves, reads the new set off the result
and stops when the residual vanishes. Instants that share a set share one factorisation, so a sweep of
thousands of instants factors a few dozen small matrices a round and does the rest as matrix products.
Coarse heels are solved first; each other instant steps off from its nearest coarse one with that one's set,
which for most is the answer. The few instants on which the plain iteration has not settled are handed to
``robust``, which is slower and sure.

Sources: Alart and Curnier, Comput. Methods Appl. Mech. Eng. 92 (1991) 353-375, for Newton's method on
frictional contact (memory); the set-wise reuse is plain linear algebra.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.links import Links
from secure_load.statics.robust import ATTEMPTS, AWAY, approach
from secure_load.statics.tangent import Tangents

SOFT = 1e-8
"""Soft spring over the softest real one."""
FREE = 1e-6
"""Share of the load that no link answers beyond which there is no equilibrium."""
RING = 2e-3
"""Share of the load left over, at a state that friction will not settle to, up to which it is held."""
MARGINAL = 1e-2
"""Share below which it is asked whether the soft spring alone is to blame."""
SHARPENINGS = 5
NEIGHBOURS = 6
"""Settled instants with the most similar loads that a stubborn one is started from."""
FEW = 48
"""Free instants up to which each is tried a second time."""
TOLERANCE = 1e-9
"""Residual over load at which an instant is settled."""
ROUNDS = 16
"""Newton rounds before an instant is handed over."""
FULL = 4
"""Rounds of full steps at first."""
SHARES = np.array([1.0, 0.6, 0.3, 0.15, 0.05])
"""Shares of a step that are tried after them."""
GATHERED = 12
"""Unknowns up to which states are shared by so many instants that their inverses are kept; beyond, few are alike."""
AT_ONCE = 256
"""Instants of many unknowns whose matrices are in hand at once, for memory's sake."""


@dataclass(frozen=True)
class Equilibrium:
    """What was found at n instants, for m normal and t friction rows and b bodies."""

    u: Array
    """(n, 6 b) displacement; rotations are multiplied by rho."""
    normal: Array
    """(n, m) force in each normal row, N; pressing or pulling along g."""
    tangential: Array
    """(n, t) force in each friction row, N."""
    adrift: Mask
    """(n, b) True where a body has no equilibrium: it is free to move, along its part of u."""
    residual: Array
    """(n,) unbalanced force over load, without the soft spring; large where something is free."""
    handed_over: int
    """How many instants the plain iteration left to the robust one."""

    @property
    def free(self) -> Mask:
        """(n,) True where any body is free to move."""
        return np.asarray(self.adrift.any(axis=1))


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
    scenarios: Mask | None = None
    """(n, scenarios) in which of them each load occurs."""


@dataclass(frozen=True)
class Begin:
    """What was found with the same links at k other loads, and which of them each load is near."""

    u: Array
    """(k, 6 b)"""
    load: Array
    """(k, 3) or (k, 6 b)"""
    near: Index
    """(n,)"""


def solve(
    links: Links, load: Array, order: Order | None = None, patient: bool = True, begin: Begin | None = None
) -> Equilibrium:
    """Equilibrium under loads at the bodies' centres of gravity.

    load: (n, 3) forces on one body, or (n, 6 b) forces and moments / rho on each of b bodies in turn, N.
    Not ``patient``, an instant that friction does not settle at once is called free: the cautious answer where
    many loads are tried only to find a limit. ``begin``: what was found at other loads, to start from.
    """
    n = len(load)
    w = np.zeros((n, links.unknowns))
    w[:, : load.shape[1]] = load
    soft = SOFT * float(min(links.k.min(), links.kt.min(initial=np.inf))) if len(links.k) else 1.0
    sweep = _Sweep(links, soft, patient)
    found = _Found.empty(n, links)
    if begin is not None:
        before = np.zeros((len(begin.load), links.unknowns))
        before[:, : begin.load.shape[1]] = begin.load
        start = sweep.step_off(begin.u, begin.near, w - before[begin.near])
        sweep.to_the_end(w, np.arange(n), start, found)
    elif order is None:
        sweep.to_the_end(w, np.arange(n), sweep.all_touching(w), found)
    else:
        sweep.in_turn(w, np.arange(n), order, found)
    sweep.second_thoughts(w, found)
    sweep.sharpen(w, found)
    return _report(found, w)


@dataclass
class _Found:
    """Where each instant came to rest, filled as they settle."""

    u: Array
    normal: Array
    tangential: Array
    pushed: Array
    out: Array
    """(n,) force that was left over where nothing settled, N; nil elsewhere."""
    handed_over: int = 0

    @classmethod
    def empty(cls, n: int, links: Links) -> _Found:
        return cls(
            u=np.zeros((n, links.unknowns)),
            normal=np.zeros((n, len(links.k))),
            tangential=np.zeros((n, len(links.kt))),
            pushed=np.zeros((n, links.unknowns)),
            out=np.zeros(n),
        )

    def put(self, at: Index, u: Array, look: _Look, rows: Mask | slice = slice(None)) -> None:
        """Keep some rows of a look at the instants ``at``."""
        self.u[at] = u[rows]
        self.normal[at] = look.normal[rows]
        self.tangential[at] = look.tangential[rows]
        self.pushed[at] = look.pushed[rows]

    def back(self, at: Index, before: _Found, rows: Mask) -> None:
        """Put some instants back to what was found before."""
        self.u[at], self.normal[at] = before.u[rows], before.normal[rows]
        self.tangential[at], self.pushed[at] = before.tangential[rows], before.pushed[rows]
        self.out[at] = before.out[rows]


def _report(found: _Found, w: Array) -> Equilibrium:
    size = np.maximum(np.linalg.norm(w, axis=1), 1e-12)
    out_of_balance = w + found.pushed
    # what no link answers is what the soft spring had to carry
    unanswered = np.linalg.norm(out_of_balance.reshape(len(w), found.u.shape[1] // 6, 6), axis=2)
    # where friction goes round in a ring and nothing drifts, the weight stays where it is
    ring = (found.out > 0.0) & (unanswered.max(axis=1, initial=0.0) < RING * size)
    unanswered[ring] = 0.0
    return Equilibrium(
        u=found.u,
        normal=found.normal,
        tangential=found.tangential,
        adrift=unanswered > FREE * size[:, None],
        residual=np.linalg.norm(out_of_balance, axis=1) / size,
        handed_over=found.handed_over,
    )


@dataclass(frozen=True)
class _Look:
    """Forces and states of the links at some displacements."""

    normal: Array
    tangential: Array
    pushed: Array
    """(n, 6 b) what the links push on the bodies."""
    closed: Mask
    stick: Mask
    forward: Mask
    """(n, t) friction pushes along its direction, where it slides."""


class _Sweep:
    """Newton's iteration over many loads, with one factorisation per set of states."""

    def __init__(self, links: Links, soft: float, patient: bool = True) -> None:
        self.links, self.soft, self.patient = links, soft, patient
        self.m, self.d = len(links.k), links.unknowns
        # minus the stiffness goes into the directions once and for all
        self.give = -np.vstack([links.g * links.k[:, None], links.gt * links.kt[:, None]]).T.copy()
        self.tangents = Tangents(links, soft)
        self.known: dict[int, int] = {}
        self.inverse: Array = np.empty((0, self.d, self.d))
        self.met = 0
        self.floor = 1e-13 * float(max(links.k.max(initial=1.0), links.kt.max(initial=1.0)))
        self.least = float(np.abs(links.f0).max(initial=0.0))

    def look(self, u: Array) -> _Look:
        """Forces and states at displacements (n, 6 b)."""
        links, m = self.links, self.m
        trial = u @ self.give
        pull = trial[:, :m]
        pull += links.f0
        closed = pull > 0.0
        closed |= ~links.one_way
        normal = pull * closed
        pushed = normal @ links.g
        if not len(links.kt):
            none = trial[:, m:]
            return _Look(normal, none, pushed, closed, none > 0.0, none > 0.0)
        trial = trial[:, m:]
        bound = normal[:, links.normal]
        bound *= links.limit
        np.maximum(bound, 0.0, out=bound)
        tangential = np.minimum(trial, bound)
        np.negative(bound, out=bound)
        np.maximum(tangential, bound, out=tangential)
        pushed += tangential @ links.gt
        return _Look(normal, tangential, pushed, closed, tangential == trial, trial > 0.0)

    def all_touching(self, w: Array) -> Array:
        """A first guess (n, 6 b): everything in touch and sticking."""
        every = np.ones((1, self.m), dtype=bool)
        sticking = np.ones((1, len(self.links.kt)), dtype=bool)
        inverse = np.asarray(np.linalg.inv(self.tangents.at(every, sticking, sticking)[0]), dtype=float)
        return (w + self.links.f0 @ self.links.g) @ inverse

    def step_off(self, u: Array, near: Index, change: Array) -> Array:
        """Guesses (r, 6 b): from solved displacements u at ``near`` by a change of load, keeping the state there."""
        if not len(near):
            return np.zeros((0, self.d))
        if self.d > GATHERED:
            look = self.look(u[near])
            return u[near] + self.step(look.closed, look.stick, look.forward, change)
        at, back = np.unique(near, return_inverse=True)
        look = self.look(u[at])
        inverse, member = self.inverses(look.closed, look.stick, look.forward)
        return u[near] + np.einsum("nij,nj->ni", inverse[member[back]], change)

    def in_turn(self, w: Array, at: Index, order: Order, found: _Found) -> None:
        """Settle the instants ``at``, the first of their order before those that start from them."""
        first, rest, near = at[order.first], at[order.rest], at[order.near]
        if order.coarser is not None:
            self.in_turn(w, first, order.coarser, found)
        else:
            self.to_the_end(w, first, self.all_touching(w[first]), found)
        if len(rest):
            self.to_the_end(w, rest, self.step_off(found.u, near, w[rest] - w[near]), found)

    def to_the_end(self, w: Array, at: Index, u: Array, found: _Found) -> None:
        """From guesses u (r, 6 b) at the instants ``at`` of the loads w to what is found there."""
        unsettled = self.iterate(w, at, u, found, ROUNDS)
        found.handed_over += len(unsettled)
        if not len(unsettled):
            return
        if not self.patient:
            u, _ = approach(self.links, self.tangents, w[unsettled], 0.5, 6)
            found.put(unsettled, u, self.look(u))
            return
        # a couple of sure steps bring most within reach of Newton's
        u, _ = approach(self.links, self.tangents, w[unsettled], 1.0, 2)
        unsettled = self.iterate(w, unsettled, u, found, 5)
        if len(unsettled):
            unsettled = self.from_neighbours(w, np.setdiff1d(at, unsettled), unsettled, found)
        self.the_sure_way(w, unsettled, found)

    def the_sure_way(self, w: Array, at: Index, found: _Found) -> None:
        """Ever smaller blends of the held normal forces, with a Newton's finish after each.

        What settles by none of them keeps the state that came nearest, and is marked.
        """
        found.out[at] = np.inf
        twice = np.zeros(len(at), dtype=bool)
        for blend, updates in ATTEMPTS:
            if not len(at):
                return
            u, settled = approach(self.links, self.tangents, w[at], blend, updates)
            look = self.look(u)
            out = np.linalg.norm(w[at] + look.pushed - self.soft * u, axis=1)
            away = self.soft * np.linalg.norm(u, axis=1) > AWAY * np.linalg.norm(w[at], axis=1)
            nearer = settled | (out < found.out[at])
            found.put(at[nearer], u, look, nearer)
            found.out[at[nearer]] = out[nearer]
            # on its way by two different roads: whether its friction settles does not matter
            left = ~settled & ~(away & twice)
            found.out[at[~left]] = 0.0
            at, twice, u = at[left], away[left], u[left]
            stubborn = self.iterate(w, at, u, found, 8)
            keep = np.isin(at, stubborn)
            found.out[at[~keep]] = 0.0
            at, twice = at[keep], twice[keep]

    def from_neighbours(self, w: Array, settled: Index, unsettled: Index, found: _Found) -> Index:
        """Start the last few from what was found at the loads most like theirs; returns those that still do not."""
        count = min(NEIGHBOURS, len(settled))
        if len(unsettled) > FEW or not count:
            return unsettled
        away = np.linalg.norm(w[unsettled][:, None, :] - w[settled][None, :, :], axis=2)
        nearest = np.argpartition(away, count - 1, axis=1)[:, :count]
        like = settled[np.take_along_axis(nearest, np.take_along_axis(away, nearest, axis=1).argsort(axis=1), axis=1)]
        row = np.arange(len(unsettled))
        for k in range(count):
            left = self.iterate(w, unsettled[row], found.u[like[row, k]].copy(), found, 6)
            row = row[np.isin(unsettled[row], left)]
            if not len(row):
                break
        return unsettled[row]

    def sharpen(self, w: Array, found: _Found) -> None:
        """Take the soft spring off where it carries a little: what is held comes to rest without it."""
        size = np.linalg.norm(w, axis=1)
        out = np.linalg.norm(w + found.pushed, axis=1)
        at = np.flatnonzero((out > 0.1 * FREE * size) & (out < MARGINAL * size))
        u = found.u[at]
        for _ in range(SHARPENINGS):
            if not len(at):
                break
            look = self.look(u)
            total = w[at] + look.pushed
            better = np.linalg.norm(total, axis=1) < np.linalg.norm(w[at] + found.pushed[at], axis=1)
            found.put(at[better], u, look, better)
            u = u + self.step(look.closed, look.stick, look.forward, total)

    def second_thoughts(self, w: Array, found: _Found) -> None:
        """Where few instants are free and friction could hold, try them again from a state where nothing slides."""
        if not len(self.links.kt) or not self.patient:
            return
        out = np.linalg.norm(w + found.pushed, axis=1) > FREE * np.maximum(np.linalg.norm(w, axis=1), 1e-12)
        free = np.flatnonzero(out)
        if not len(free) or len(free) > max(FEW, len(w) // 50):
            return
        before = _Found(found.u[free], found.normal[free], found.tangential[free], found.pushed[free], found.out[free])
        self.the_sure_way(w, free, found)
        worse = np.linalg.norm(w[free] + found.pushed[free], axis=1) >= np.linalg.norm(w[free] + before.pushed, axis=1)
        found.back(free[worse], before, worse)

    def iterate(self, w: Array, at: Index, u: Array, found: _Found, rounds: int) -> Index:
        """Newton's iteration; puts what settles into ``found`` and returns the instants that did not."""
        for turn in range(rounds):
            look = self.look(u)
            load = w[at]
            total = load + look.pushed
            total -= self.soft * u
            out = np.einsum("nd,nd->n", total, total)
            size = np.maximum(np.einsum("nd,nd->n", load, load), self.least**2)
            off = out > (TOLERANCE**2) * size + self.floor**2 * np.einsum("nd,nd->n", u, u)
            found.put(at[~off], u, look, ~off)
            at, u, total = at[off], u[off], total[off]
            if not len(at):
                break
            step = self.step(look.closed[off], look.stick[off], look.forward[off], total)
            u = u + step if turn < FULL else self.shortened(load[off], u, step)
        return at

    def shortened(self, w: Array, u: Array, step: Array) -> Array:
        """u (n, 6 b) with as much of each step as leaves the least out of balance: it parts sets that take turns."""
        tried = u[None, :, :] + SHARES[:, None, None] * step[None, :, :]
        flat = tried.reshape(-1, self.d)
        total = self.look(flat).pushed - self.soft * flat
        total = total.reshape(tried.shape) + w
        best = np.einsum("snd,snd->sn", total, total).argmin(axis=0)
        return np.asarray(tried[best, np.arange(len(u))])

    def step(self, closed: Mask, stick: Mask, forward: Mask, total: Array) -> Array:
        """How far forces (n, 6 b) move bodies whose links are in some states (n, ...), (n, 6 b)."""
        if self.d <= GATHERED:
            inverse, member = self.inverses(closed, stick, forward)
            return np.einsum("nij,nj->ni", inverse[member], total)
        moved = np.empty_like(total)
        for start in range(0, len(total), AT_ONCE):
            some = slice(start, start + AT_ONCE)
            matrix = self.tangents.at(closed[some], stick[some], forward[some])
            moved[some] = np.linalg.solve(matrix, total[some, :, None])[:, :, 0]
        return moved

    def inverses(self, closed: Mask, stick: Mask, forward: Mask) -> tuple[Array, Index]:
        """Inverse tangent matrices (s, d, d) of the sets met so far, and which set each of n states is, (n,)."""
        bits = np.packbits(np.concatenate([closed, stick, forward], axis=1), axis=1)
        padded = np.zeros((len(bits), -(-bits.shape[1] // 8) * 8), dtype=np.uint8)
        padded[:, : bits.shape[1]] = bits
        words = padded.view(np.uint64)
        keys = words[:, 0] if words.shape[1] == 1 else words @ _ODD[: words.shape[1]]
        sets, first, member = np.unique(keys, return_index=True, return_inverse=True)
        place = np.array([self.known.setdefault(key, len(self.known)) for key in sets.tolist()], dtype=np.int64)
        new = place >= self.met
        if new.any():
            pick = first[new]
            if len(self.known) > len(self.inverse):
                self.inverse = np.concatenate(
                    [self.inverse[: self.met], np.empty((2 * len(self.known), self.d, self.d))]
                )
            self.inverse[place[new]] = np.linalg.inv(self.tangents.at(closed[pick], stick[pick], forward[pick]))
            self.met = len(self.known)
        return self.inverse, place[member]


_ODD = np.random.default_rng(20240229).integers(1, 2**63, size=4096, dtype=np.uint64) | np.uint64(1)
"""Odd numbers that mix the words of a state into one key."""
