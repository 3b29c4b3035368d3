"""Equilibrium by convex minimisation with the friction limits held, and those limits brought up from a greased start.

With the limit of every friction row held at a given force, the equilibrium is the minimum of a strictly convex,
piecewise quadratic energy in the six unknowns of each body: there is one, Newton's method with a line search always
finds it, and it says without doubt whether the bodies are held or free. (In contact mechanics: Tresca's friction.)

Coulomb's limits are the fixed point of a sequence of such problems. It is begun without friction, so that friction
rests on normal forces that the load itself makes, and a weight that is held without friction is held at every step.
Used where the plain iteration of ``newton`` has not settled, or has found a state that leans on normal forces which
friction itself has made.

Friction may not rest on forces that friction itself has made. A drawer wedged askew bears on both of its sides with
forces that hold one another in balance and that little but its own friction calls up: such a state balances on paper
and goes with a knock. So where fixed faces press a body from both sides, each counts only for what the others do not
press back, besides what lines set up tight press at rest (``Available``). It errs to the safe side: what a couple of
the load presses between two faces is not counted either.

Sources: Tresca's friction and the fixed point: J. Haslinger, I. Hlavacek and J. Necas, Handbook of Numerical Analysis
IV (1996) (memory). All instants are worked side by side: arrays are (n, ...) throughout.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask, row_norm
from secure_load.solver.cancellation import raise_if_cancelled
from secure_load.solver.case_set import CACHE_SIZE, CaseSet, SpringParameters, rows_or_broadcast
from secure_load.solver.tangent import FREE, tangents_of

MAX_INNER_ITERATIONS = 40
"""Newton steps within which the energy of every instant has come to its least."""
CONVERGED = 1e-9
"""Share of the slope at the start of a step below which it is taken to be level at its end."""
SETTLED = 1e-9
"""Change of the normal forces, over the load, at which they have settled."""
AWAY, NEARLY = 0.05, 0.02
"""Share of the load on the soft spring beyond which a body is well on its way, and at which change it is then left."""
STEADY, SMALL = 20, 0.3
"""Updates after which the normal forces follow by a share that stays the same, and that share."""
REGULARISATION_SUSPECT = 1e-2
"""Share of the load on the soft spring below which it is asked whether it alone is to blame."""
STEADY_DRIFT_ITERATIONS = 8
"""How often the foot of the soft spring is moved."""
ROUNDING = 1e-6
"""Share of the greatest friction force by which any may exceed its limit."""


@dataclass(frozen=True)
class FixedPointState:
    """Instants in balance under given friction limits."""

    u: Array
    """(n, 6 b)"""
    normal: Array
    tangential: Array
    reaction: Array
    """(n, 6 b) what the links push on the bodies."""


class Available:
    """How much of the normal force at each contact with friction is pressed by something else than friction.

    Two fixed faces, a cleat and the cleat opposite, that press a body between them hold one another in balance: that
    part of the force is not counted. What a line or a batten presses, and what the load does, is.
    """

    def __init__(self, cases: CaseSet) -> None:
        links, self.contacts, self.axes = cases.links, cases.springs.contacts, cases.springs.axes
        m = len(links.stiffness)
        legs = links.direction.reshape(m, -1, 6)
        moved = (legs != 0.0).any(axis=2)
        # on a contact between two bodies either side's direction will do: it is looked both ways
        way = legs[np.arange(m), moved.argmax(axis=1), :3]
        along = (way @ way[self.contacts].T) * links.is_face[:, None]
        """(m, p) the part of each fixed face's direction that lies along the contact's own."""
        self.toward, self.back = np.maximum(along, 0.0), np.maximum(-along, 0.0)
        pair = np.unique(np.column_stack([links.restraint, moved]), axis=0, return_inverse=True)[1].ravel()
        self.same = (pair[:, None] == pair[self.contacts]).astype(float)
        """(m, p) one where a link belongs to the contact's own restraint, between the same bodies."""
        self.fixed = links.is_face[self.contacts]

    def without_friction(self, normal: Array) -> Array:
        """(n, p) what the whole restraint of each contact bears, of normal forces (n, m)."""
        return np.asarray(np.maximum(normal, 0.0) @ self.same)

    def share(self, normal: Array, granted: Array | float = 0.0) -> Array:
        """(n, p) of the normal force at each contact that counts; ``granted`` (n, p) of its restraint's in any case."""
        presses = np.maximum(normal, 0.0)
        toward, back = presses @ self.toward, presses @ self.back
        own = np.maximum(presses @ self.same, 1e-300)
        whole = np.where(self.fixed, np.maximum(toward, 1e-300), own)
        squeezed = np.where(self.fixed, back, np.minimum(toward, back))
        return np.clip(np.maximum(1.0 - squeezed / whole, granted / own), 0.0, 1.0)

    def limits(self, normal: Array, granted: Array | float, limit: Array) -> Array:
        """(n, t) what each friction row may bear; ``limit`` (n | 1, t) as a fraction of the normal force."""
        bears = np.maximum(normal[:, self.contacts], 0.0) * self.share(normal, granted)
        return np.repeat(bears, self.axes, axis=1) * limit

    def is_kept(self, normal: Array, tangential: Array, limit: Array) -> Mask:
        """(n,) True where friction nowhere exceeds what counts, with nothing granted."""
        size = np.abs(tangential)
        rounding = ROUNDING * size.max(axis=1, initial=0.0)
        return np.asarray((size <= self.limits(normal, 0.0, limit) + rounding[:, None]).all(axis=1))


def settle(
    cases: CaseSet, case: Index, w: Array, begin: Array, updates: int, found_free: Mask | bool = False
) -> FixedPointState:
    """Where bodies come to rest, or go, with friction brought up from a greased start.

    Under loads w (n, d), by the figures of their ``case`` (n,). ``begin`` (n, d): displacements that only make the way
    shorter, for the energy has one least point. Where friction goes round in a ring and the limits have not settled
    after so many ``updates`` of them, the state nearest to settling is taken: it is in balance, and its friction is out
    by some ten-thousandths of the load. ``found_free`` (n,): what is free by another way already, so that it is
    enough to see it go with the first limits.
    """
    figures, energy = cases.rows(case), energy_of(cases)
    bound = np.zeros((len(w), len(cases.links.tangent_stiffness)))
    u = energy.minimise(figures, case, w, bound, begin)
    if not bound.shape[1]:
        return energy.rest(figures, case, w, bound, u)
    available = energy.available
    held = energy.normal(figures, u)
    granted = available.without_friction(held) * ~available.fixed
    if (figures.preload > 0.0).any():
        tight = energy.tight[case]
        granted, held = granted + available.without_friction(tight), held + tight
    scale = np.maximum(row_norm(w), max(float(np.abs(figures.preload).max(initial=0.0)), 1e-12))
    found_free = np.broadcast_to(found_free, len(w))
    active, share, last = np.arange(len(w)), np.ones(len(w)), np.zeros_like(held)
    # the state whose normal forces are nearest to those its friction limits were taken from
    nearest, best, best_bound = np.full(len(w), np.inf), u.copy(), bound.copy()
    for turn in range(updates):
        raise_if_cancelled()
        own = figures.at(active)
        limits = available.limits(held[active], granted[active], own.friction_limit)
        u[active] = energy.minimise(own, case[active], w[active], limits, u[active])
        change = energy.normal(own, u[active]) - held[active]
        off = np.abs(change).max(axis=1, initial=0.0)
        nearer = off < nearest[active]
        at = active[nearer]
        nearest[at], best[at], best_bound[at] = off[nearer], u[at], limits[nearer]
        # of what is well on its way only the way it goes is wanted
        away = energy.tangents.soft * row_norm(u[active]) > AWAY * row_norm(w[active])
        done = (off <= np.where(away, NEARLY, SETTLED) * scale[active]) | (away & found_free[active])
        if turn >= STEADY:
            share[active] = SMALL
        elif turn > 2:
            share[active] = _aitken(share[active], last[active], change, 1.0)
        held[active] += share[active, None] * change
        last[active] = change
        active = active[~done]
        if not len(active):
            break
    return energy.rest(figures, case, w, best_bound, best)


def _aitken(share: Array, last: Array, change: Array, blend: float) -> Array:
    """The share of the next change to take, (n,), from the last two changes (n, m).

    Aitken's dynamic relaxation, U. Kuettler and W. A. Wall, Comput. Mech. 43 (2008) 61-72, eq. 44 (memory),
    kept between a twentieth and the whole.
    """
    bend = change - last
    square = np.maximum((bend**2).sum(axis=1), 1e-300)
    wanted = -share * (last * bend).sum(axis=1) / square
    return np.clip(np.where(np.isfinite(wanted), wanted, blend), 0.05, 1.0)


@lru_cache(maxsize=CACHE_SIZE)
def energy_of(cases: CaseSet) -> Energy:
    """That of some cases, kept ready for the next question."""
    return Energy(cases)


class Energy:
    """The energy of the links of some cases with their friction limits held: strictly convex, piecewise quadratic.

    Every link is a spring whose force stays between two bounds: nil and no end for one that presses, none for one
    that acts both ways, the friction held either way for the tangential ones.
    """

    def __init__(self, cases: CaseSet) -> None:
        links = cases.links
        self.cases, self.tangents, self.links, self.m = cases, tangents_of(cases), links, len(links.stiffness)
        self.along = np.vstack([links.direction, links.tangent_direction]).T
        """(d, m + t) directions of all links."""
        self.least_normal = np.where(links.one_way, 0.0, -np.inf)

    @cached_property
    def available(self) -> Available:
        """What of the normal forces counts for friction."""
        return Available(self.cases)

    @cached_property
    def tight(self) -> Array:
        """(cases, m) what tight lines press at rest, without friction."""
        every = np.arange(self.cases.count)
        figures, none = self.cases.rows(every), np.zeros((len(every), len(self.links.tangent_stiffness)))
        nothing = np.zeros((len(every), self.links.unknowns))
        return np.maximum(self.normal(figures, self.minimise(figures, every, nothing, none, nothing)), 0.0)

    @cached_property
    def _all_round(self) -> Mask:
        """(cases, 2, d) which forces along each unknown, forward and back, are held without friction."""
        d, count = self.links.unknowns, self.cases.count
        force = max(float(np.abs(self.cases.parameters.preload).max(initial=0.0)), 1.0)
        w = np.tile(np.vstack([np.eye(d), -np.eye(d)]) * force, (count, 1))
        return self._held(np.repeat(np.arange(count), 2 * d), w).reshape(count, 2, d)

    def holds_greased(self, case: Index, w: Array) -> Mask:
        """(n,) True where loads w (n, d) are held without friction.

        The loads that one-way links balance make up a convex cone: what is held along each of its components is held.
        """
        if len(w) > 2 * w.shape[1]:
            along, back = self._all_round[case, 0], self._all_round[case, 1]
            held = np.asarray(((along | (w <= 0.0)) & (back | (w >= 0.0))).all(axis=1))
        else:
            held = np.zeros(len(w), dtype=bool)
        rest = np.flatnonzero(~held)
        held[rest] = self._held(case[rest], w[rest])
        return held

    def _held(self, case: Index, w: Array) -> Mask:
        figures, none = self.cases.rows(case), np.zeros((len(w), len(self.links.tangent_stiffness)))
        u = self.minimise(figures, case, w, none, np.zeros(w.shape))
        out = row_norm(w + self.rest(figures, case, w, none, u).reaction)
        return np.asarray(out <= FREE * np.maximum(row_norm(w), 1e-12))

    def rest(self, figures: SpringParameters, case: Index, w: Array, bound: Array, u: Array) -> FixedPointState:
        """The state at displacements ``u`` (n, d) of least energy, with the soft spring taken off where it carries a
        little: its foot is moved to where the body has come to, until nothing is left of what is held."""
        state, size = self.state(figures, u, bound), row_norm(w)
        for _ in range(STEADY_DRIFT_ITERATIONS):
            out = row_norm(w + state.reaction)
            at = np.flatnonzero((out > 0.1 * FREE * size) & (out < REGULARISATION_SUSPECT * size))
            if not len(at):
                break
            u = state.u.copy()
            u[at] = self.minimise(figures.at(at), case[at], w[at] + self.tangents.soft * u[at], bound[at], u[at])
            state = self.state(figures, u, bound)
        return state

    def normal(self, figures: SpringParameters, u: Array) -> Array:
        """(n, m) normal forces at displacements (n, d)."""
        return np.asarray(
            np.maximum(figures.preload - (u @ self.links.direction.T) * figures.stiffness, self.least_normal)
        )

    def state(self, figures: SpringParameters, u: Array, bound: Array) -> FixedPointState:
        """Forces at displacements (n, d) with friction bounds (n, t)."""
        normal = self.normal(figures, u)
        tangential = np.clip((u @ self.links.tangent_direction.T) * -figures.tangent_stiffness, -bound, bound)
        return FixedPointState(
            u, normal, tangential, normal @ self.links.direction + tangential @ self.links.tangent_direction
        )

    def minimise(self, figures: SpringParameters, case: Index, w: Array, bound: Array, u: Array) -> Array:
        """Displacements (n, d) of least energy under loads w (n, d) for friction bounds (n, t), from a start (n, d)."""
        u, n, m, soft = u.copy(), len(w), self.m, self.tangents.soft
        size = np.maximum(row_norm(w), 1e-12)
        k = np.concatenate(broadcast_rows(figures.stiffness, figures.tangent_stiffness), axis=1)
        stiffest = max(float(k.max(initial=0.0)), 1.0)
        low = np.concatenate([np.broadcast_to(self.least_normal, (n, m)), -bound], axis=1)
        high = np.concatenate([np.full((n, m), np.inf), bound], axis=1)
        active = np.arange(n)
        for _ in range(MAX_INNER_ITERATIONS):
            here = u[active]
            force = (here @ self.along) * -rows_or_broadcast(k, active)
            force[:, :m] += rows_or_broadcast(figures.preload, active)
            total = w[active] + np.clip(force, low, high) @ self.along.T - soft * here
            out = row_norm(total)
            keep = out > 1e-10 * size[active] + 1e-13 * stiffest * row_norm(here)
            if not keep.any():
                break
            if not keep.all():
                active, here, total, force = active[keep], here[keep], total[keep], force[keep]
                low, high = low[keep], high[keep]
            acts = (force > low) & (force < high)
            matrix = self.tangents.assemble(case[active], acts[:, :m], acts[:, m:])
            step = np.linalg.solve(matrix, total[:, :, None])[:, :, 0]
            along = step @ self.along
            change = -along * rows_or_broadcast(k, active)
            # at the end of the whole step the energy mostly has come to its least, or still falls
            down = np.einsum("nd,nd->n", total, step)
            rise = np.einsum("nr,nr->n", np.clip(force + change, low, high) - np.clip(force, low, high), along)
            rise -= soft * np.einsum("nd,nd->n", step, step)
            beyond = down + rise < -CONVERGED * down
            length = np.ones(len(step))
            if beyond.any():
                length[beyond] = self._length(
                    force[beyond], low[beyond], high[beyond], along[beyond], change[beyond], down[beyond], step[beyond]
                )
            u[active] = here + length[:, None] * step
        return u

    def _length(
        self, force: Array, low: Array, high: Array, along: Array, change: Array, down: Array, step: Array
    ) -> Array:
        """Where along steps (n, d) down the energy it is least, (n,).

        Along a line the slope of the energy is piecewise linear and rising: its bends, where a link begins or
        ceases to act, are sorted and the root is read off. force, low, high (n, m + t): what the links would bear
        at the start, and between what; along, change: how far each moves with the step, and by how much its force
        changes; down (n,): how fast the energy falls at the start.
        """
        stiff = -along * change
        with np.errstate(divide="ignore", invalid="ignore"):
            one, other = (low - force) / change, (high - force) / change
        begins, ends = np.fmin(one, other), np.fmax(one, other)
        # what does not move, or is not there, never bends
        still = change == 0.0
        begins[still], ends[still] = np.inf, np.inf
        soft = self.tangents.soft * np.einsum("nd,nd->n", step, step)
        curve = soft + np.einsum("nr,nr->n", stiff, (begins <= 0.0) & (ends > 0.0))
        at = np.concatenate([begins, ends], axis=1)
        at[at <= 0.0] = np.inf
        order = at.argsort(axis=1)
        row = np.arange(len(step))
        at = at[row[:, None], order]
        bend = np.concatenate([stiff, -stiff], axis=1)[row[:, None], order]
        nowhere = np.isinf(at)
        at[nowhere], bend[nowhere] = 0.0, 0.0
        # the soft spring is always there, whatever rounding makes of the rest
        curvature = np.maximum(curve[:, None] + np.cumsum(bend, axis=1), (soft + 1e-300)[:, None])
        curvature = np.concatenate([np.maximum(curve, soft + 1e-300)[:, None], curvature], axis=1)
        start = np.concatenate([np.zeros((len(step), 1)), at], axis=1)
        length = np.diff(start, axis=1)
        length[nowhere] = 0.0
        slope = np.cumsum(np.concatenate([-down[:, None], curvature[:, :-1] * length], axis=1), axis=1)
        slope[:, 1:][nowhere] = np.inf
        last = np.maximum((slope < 0.0).sum(axis=1) - 1, 0)
        return np.asarray(start[row, last] - slope[row, last] / curvature[row, last])


def broadcast_rows(k: Array, tangent_stiffness: Array) -> tuple[Array, Array]:
    """Two tables with as many rows, where one of them has one that goes for all."""
    rows = max(len(k), len(tangent_stiffness))
    return np.broadcast_to(k, (rows, k.shape[1])), np.broadcast_to(
        tangent_stiffness, (rows, tangent_stiffness.shape[1])
    )
