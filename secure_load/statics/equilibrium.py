"""The force in every link of one body, at many instants at once.

Problem, for each load w: find the displacement u with

    w + sum_i g_i f_i(u) - s u = 0,      f_i = max(0, f0_i - k_i g_i.u)      (normal rows)
                                         t_j = clip(-k_j g_j.u, +-c_j f_n(j))  (friction rows)

where s is a spring so soft that it carries nothing unless nothing else does. Friction is Coulomb's and
non-associated: its limit follows the normal force found, it is never traded against it, so no self-stress
can be invented (it is not one optimisation problem, and is not solved as one).

Method: a semismooth Newton iteration. For a given set of closed contacts, taut lines, sticking and sliding
points the equations are linear in u; the iteration guesses a set, solves, reads the new set off the result
and stops when the residual vanishes. Instants that share a set share one factorisation, so a sweep of
thousands of instants factors a few dozen 6 x 6 matrices a round and does the rest as matrix products.
Coarse heels are solved first and their neighbours start from them. The few instants on which the plain
iteration has not settled are handed to ``robust``, which is slow and sure.

Sources: Alart and Curnier, Comput. Methods Appl. Mech. Eng. 92 (1991) 353-375, for Newton's method on
frictional contact (memory); the set-wise reuse is plain linear algebra.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.links import Links
from secure_load.statics.robust import settle

SOFT = 1e-8
"""Soft spring over the softest real one."""
FREE = 1e-6
"""Share of the load on the soft spring beyond which there is no equilibrium."""
TOLERANCE = 1e-9
"""Residual over load at which an instant is settled."""
ROUNDS = 10
"""Newton rounds before an instant is handed over."""


@dataclass(frozen=True)
class Equilibrium:
    """What was found at n instants, for m normal and t friction rows."""

    u: Array
    """(n, 6) displacement; rotations are multiplied by rho."""
    normal: Array
    """(n, m) force in each normal row, N; pressing or pulling along g."""
    tangential: Array
    """(n, t) force in each friction row, N."""
    free: Mask
    """(n,) True where there is no equilibrium: the weight is free to move, along u."""
    residual: Array
    """(n,) unbalanced force over load, without the soft spring; large where free."""
    handed_over: int
    """How many instants the plain iteration left to the robust one."""


@dataclass(frozen=True)
class Order:
    """Which loads are solved first, and which of those each other load starts from."""

    first: Index
    rest: Index
    near: Index
    """For each of ``rest``, a member of ``first`` that lies near it."""


def solve(links: Links, load: Array, order: Order | None = None) -> Equilibrium:
    """Equilibrium of one body under loads (n, 3) at its centre of gravity, or (n, 6) with moments / rho."""
    n = len(load)
    w = np.zeros((n, 6))
    w[:, : load.shape[1]] = load
    soft = SOFT * float(min(links.k.min(), links.kt.min(initial=np.inf))) if len(links.k) else 1.0
    solver = _Sweep(links, soft)
    u = np.zeros((n, 6))
    handed_over = 0
    steps = [(np.arange(n), None)] if order is None else [(order.first, None), (order.rest, order.near)]
    for place, near in steps:
        u[place], settled = solver.iterate(w[place], u[place if near is None else near], cold=near is None)
        left = place[~settled]
        if len(left):
            u[left] = settle(links, w[left], soft)
        handed_over += len(left)
    return _report(links, w, u, soft, handed_over)


def _report(links: Links, w: Array, u: Array, soft: float, handed_over: int) -> Equilibrium:
    normal, tangential = forces(links, u)
    size = np.maximum(np.linalg.norm(w, axis=1), 1e-12)
    out_of_balance = w + normal @ links.g + tangential @ links.gt
    residual = np.linalg.norm(out_of_balance, axis=1) / size
    return Equilibrium(
        u=u,
        normal=normal,
        tangential=tangential,
        free=(soft * np.linalg.norm(u, axis=1) > FREE * size) | (residual > FREE),
        residual=residual,
        handed_over=handed_over,
    )


def forces(links: Links, u: Array) -> tuple[Array, Array]:
    """Forces in the normal (n, m) and friction (n, t) rows at displacements (n, 6)."""
    pull = links.f0 - (u @ links.g.T) * links.k
    normal = np.where(links.one_way & (pull < 0.0), 0.0, pull)
    bound = np.maximum(normal[:, links.normal], 0.0) * links.limit
    tangential = np.clip(-(u @ links.gt.T) * links.kt, -bound, bound)
    return normal, tangential


class _Sweep:
    """Newton's iteration for one body over many loads, with one factorisation per set of states."""

    def __init__(self, links: Links, soft: float) -> None:
        self.links = links
        self.soft = soft
        self.stiffness = np.concatenate([links.k, links.kt])
        self.all_g = np.vstack([links.g, links.gt])
        self.normal_blocks = (links.k[:, None, None] * links.g[:, :, None] * links.g[:, None, :]).reshape(-1, 36)
        self.stick_blocks = (links.kt[:, None, None] * links.gt[:, :, None] * links.gt[:, None, :]).reshape(-1, 36)
        on = links.normal
        slip = links.limit * links.k[on]
        self.slip_blocks = (slip[:, None, None] * links.gt[:, :, None] * links.g[on][:, None, :]).reshape(-1, 36)
        rng = np.random.default_rng(20240229)
        self.m = len(links.k)
        self.codes = rng.integers(1, 2**62, size=(self.m + len(links.kt)), dtype=np.int64)
        self.known: dict[int, Array] = {}
        self.floor = 1e-13 * float(self.stiffness.max(initial=1.0))

    def inverses(self, states: NDArray[np.int8]) -> Array:
        """Inverse tangent matrices (s, 6, 6) for states (s, m + t): 1 closed or sliding +, -1 sliding -, 0 else;
        friction rows that stick are marked 2."""
        closed = (states[:, : self.m] > 0).astype(float)
        rows = states[:, self.m :]
        a = closed @ self.normal_blocks
        if rows.shape[1]:
            a += (rows == 2).astype(float) @ self.stick_blocks
            a += np.where(rows == 2, 0, rows).astype(float) @ self.slip_blocks
        a = a.reshape(-1, 6, 6)
        a[:, range(6), range(6)] += self.soft
        return np.linalg.inv(a)

    def iterate(self, w: Array, u: Array, *, cold: bool) -> tuple[Array, Mask]:
        """Displacements (n, 6) and which of them settled, from a starting guess."""
        links, m = self.links, self.m
        u = u.copy()
        size = np.linalg.norm(w, axis=1)
        settled = size == 0.0 if not links.has_preload else np.zeros(len(w), dtype=bool)
        active = np.flatnonzero(~settled)
        fresh = cold
        for _ in range(ROUNDS):
            if not len(active):
                break
            here = u[active]
            moved = here @ self.all_g.T
            pull = links.f0 - moved[:, :m] * links.k
            open_ = links.one_way & (pull < 0.0)
            if fresh:
                # nothing is known yet: start with everything in touch and sticking
                open_ = np.zeros_like(open_)
            normal = np.where(open_, 0.0, pull)
            states = np.empty(moved.shape, dtype=np.int8)
            np.logical_not(open_, out=states[:, :m], casting="unsafe")
            total = w[active] + normal @ links.g - self.soft * here
            if len(links.kt):
                trial = -moved[:, m:] * links.kt
                n_here = normal[:, links.normal]
                bound = np.maximum(n_here, 0.0) * links.limit
                over = np.abs(trial) > bound
                if fresh:
                    over[:] = False
                sliding = np.where(trial > 0, 1, -1).astype(np.int8)
                sliding[n_here <= 0.0] = 0
                states[:, m:] = np.where(over, sliding, np.int8(2))
                total += np.clip(trial, -bound, bound) @ links.gt if not fresh else 0.0
            out = np.linalg.norm(total, axis=1)
            fine = out <= TOLERANCE * size[active] + self.floor * np.linalg.norm(here, axis=1)
            if fresh:
                fine[:] = False
            fresh = False
            settled[active[fine]] = True
            keep = ~fine
            active = active[keep]
            if not len(active):
                break
            key = states[keep].astype(np.int64) @ self.codes
            unique, first, member = np.unique(key, return_index=True, return_inverse=True)
            inverse = self._inverses_for(unique, states[keep][first])
            u[active] += np.einsum("nij,nj->ni", inverse[member], total[keep])
        return u, settled

    def _inverses_for(self, keys: Index, states: NDArray[np.int8]) -> Array:
        """Inverses by state, each worked out once for the whole sweep."""
        new = [i for i, key in enumerate(keys.tolist()) if key not in self.known]
        if new:
            for i, matrix in zip(new, self.inverses(states[new]), strict=True):
                self.known[int(keys[i])] = matrix
        return np.array([self.known[key] for key in keys.tolist()])
