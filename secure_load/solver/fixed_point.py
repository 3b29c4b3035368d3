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

from secure_load.solver.arrays import Array, Index, Mask, row_norm, spanned
from secure_load.solver.cancellation import raise_if_cancelled
from secure_load.solver.case_set import CACHE_SIZE, CaseSet, SpringParameters, radial_return
from secure_load.solver.tangent import FREE, closed_guess, tangents_of

MAX_INNER_ITERATIONS = 40
"""Newton steps within which the energy of every instant has come to its least."""
CONVERGED = 1e-2
"""Share of the slope at the start of a step below which the energy is taken to be level."""
LINE_SEARCH_ROUNDS = 20
SETTLED = 1e-7
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
        links, self.contacts = cases.links, cases.springs.contacts
        m = len(links.stiffness)
        legs = links.direction.reshape(m, -1, 6)
        moved = (legs != 0.0).any(axis=2)
        # on a contact between two bodies either direction will do, for both signs are evaluated
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

    def limits(self, normal: Array, granted: Array | float, friction: Array) -> Array:
        """(n, p) what friction may bear at each contact; ``friction`` (n | 1, p) coefficients."""
        return np.maximum(normal[:, self.contacts], 0.0) * self.share(normal, granted) * friction

    def is_kept(self, normal: Array, tangential: Array, friction: Array) -> Mask:
        """(n,) True where friction nowhere exceeds what counts, with nothing granted."""
        size = np.linalg.norm(tangential.reshape(len(normal), len(self.contacts), 2), axis=2)
        rounding = ROUNDING * size.max(axis=1, initial=0.0)
        return np.asarray((size <= self.limits(normal, 0.0, friction) + rounding[:, None]).all(axis=1))


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
    bound = np.zeros((len(w), len(cases.links.tangent_stiffness) // 2))
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
    # rows that are free without friction start from the sticking state: from far off convergence is slow
    far = energy.tangents.soft * row_norm(u) > FREE * row_norm(w)
    u[far] = closed_guess(cases, case[far], w[far])
    for turn in range(updates):
        raise_if_cancelled()
        own = figures.at(active)
        limits = available.limits(held[active], granted[active], own.friction_limit[:, ::2])
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
        self.least_normal = np.where(links.one_way, 0.0, -np.inf)

    @cached_property
    def available(self) -> Available:
        """What of the normal forces counts for friction."""
        return Available(self.cases)

    @cached_property
    def tight(self) -> Array:
        """(cases, m) what tight lines press at rest, without friction."""
        every = np.arange(self.cases.count)
        figures, none = self.cases.rows(every), np.zeros((len(every), len(self.links.tangent_stiffness) // 2))
        nothing = np.zeros((len(every), self.links.unknowns))
        return np.maximum(self.normal(figures, self.minimise(figures, every, nothing, none, nothing)), 0.0)

    @cached_property
    def _held_along_unknowns(self) -> Mask:
        """(cases, 2, d) which forces along each unknown, forward and back, are held without friction."""
        return self._held_along(np.eye(self.links.unknowns))

    def _held_along(self, axes: Array) -> Mask:
        """(cases, 2, r) which forces along axes (d, r), forward and back, are held without friction."""
        count, r = self.cases.count, axes.shape[1]
        force = max(float(np.abs(self.cases.parameters.preload).max(initial=0.0)), 1.0)
        w = np.tile(np.vstack([axes.T, -axes.T]) * force, (count, 1))
        return self._held(np.repeat(np.arange(count), 2 * r), w).reshape(count, 2, r)

    def holds_greased(self, case: Index, w: Array) -> Mask:
        """(n,) True where loads w (n, d) are held without friction.

        The loads that one-way springs balance make up a convex cone: what is held along each of its components is
        held. Loads on several bodies have few components: the accelerations of the boat.
        """
        held = np.zeros(len(w), dtype=bool)
        if w.shape[1] > 6:
            axes = spanned(w)
            along, parts = self._held_along(axes), w @ axes
        else:
            along, parts = self._held_along_unknowns, w
        if len(w) > 2 * parts.shape[1]:
            forward, back = along[case, 0], along[case, 1]
            negligible = FREE * row_norm(w)[:, None]
            held = np.asarray(((forward | (parts <= negligible)) & (back | (parts >= -negligible))).all(axis=1))
        rest = np.flatnonzero(~held)
        held[rest] = self._held(case[rest], w[rest])
        return held

    def _held(self, case: Index, w: Array) -> Mask:
        energy = energy_of(self.cases.frictionless)
        figures, none = energy.cases.rows(case), np.zeros((len(w), 0))
        u = energy.minimise(figures, case, w, none, np.zeros(w.shape))
        out = row_norm(w + energy.rest(figures, case, w, none, u).reaction)
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
        """Forces at displacements (n, d) with friction bounds (n, p)."""
        normal = self.normal(figures, u)
        tangential = radial_return(self._elastic(figures, u), bound)[0].reshape(
            len(u), len(self.links.tangent_stiffness)
        )
        return FixedPointState(
            u, normal, tangential, normal @ self.links.direction + tangential @ self.links.tangent_direction
        )

    def _elastic(self, figures: SpringParameters, u: Array) -> Array:
        """Friction (n, p, 2) if every contact stuck."""
        return ((u @ self.links.tangent_direction.T) * -figures.tangent_stiffness).reshape(
            len(u), len(self.links.tangent_stiffness) // 2, 2
        )

    def minimise(self, figures: SpringParameters, case: Index, w: Array, bound: Array, u: Array) -> Array:
        """Displacements (n, d) of least energy under loads w (n, d) for friction bounds (n, p), from a start (n, d)."""
        u, soft = u.copy(), self.tangents.soft
        size = np.maximum(row_norm(w), 1e-12)
        stiffest = max(
            float(figures.stiffness.max(initial=0.0)), float(figures.tangent_stiffness.max(initial=0.0)), 1.0
        )
        active = np.arange(len(w))
        for _ in range(MAX_INNER_ITERATIONS):
            own, here, limit = figures.at(active), u[active], bound[active]
            pull = own.preload - (here @ self.links.direction.T) * own.stiffness
            normal = np.maximum(pull, self.least_normal)
            elastic = self._elastic(own, here)
            tangential, radial, slip = radial_return(elastic, limit)
            total = (
                w[active]
                + normal @ self.links.direction
                + tangential.reshape(len(here), len(self.links.tangent_stiffness)) @ self.links.tangent_direction
                - soft * here
            )
            out, away = row_norm(total), soft * row_norm(here)
            # the energy is convex with at least the modulus ``soft``: what is far off can be no nearer than this
            gone = (away > AWAY * size[active]) & (out < NEARLY * away)
            keep = (out > 1e-10 * size[active] + 1e-13 * stiffest * row_norm(here)) & ~gone
            if not keep.any():
                break
            if not keep.all():
                active, here, total, limit, pull = active[keep], here[keep], total[keep], limit[keep], pull[keep]
                elastic, radial, slip, own = elastic[keep], radial[keep], slip[keep], figures.at(active)
            acts = pull > self.least_normal
            matrix = self.tangents.assemble(case[active], acts, radial, slip, follow=False)
            step = np.linalg.solve(matrix, total[:, :, None])[:, :, 0]
            line = _Line(self, own, w[active], here, step, pull, elastic, limit)
            u[active] = here + line.length(-np.einsum("nd,nd->n", total, step))[:, None] * step
        return u


class _Line:
    """The slope of the energy along steps (n, d) from displacements ``start`` (n, d): convex, so that it rises."""

    def __init__(
        self,
        energy: Energy,
        figures: SpringParameters,
        w: Array,
        start: Array,
        step: Array,
        pull: Array,
        elastic: Array,
        bound: Array,
    ) -> None:
        links, soft = energy.links, energy.tangents.soft
        self.least_normal, self.bound = energy.least_normal, bound
        self.along, self.pull = step @ links.direction.T, pull
        self.change = -self.along * figures.stiffness
        self.slide, self.elastic = (step @ links.tangent_direction.T).reshape(elastic.shape), elastic
        self.elastic_change = -self.slide * figures.tangent_stiffness.reshape(
            len(figures.tangent_stiffness), elastic.shape[1], 2
        )
        self.constant = soft * np.einsum("nd,nd->n", start, step) - np.einsum("nd,nd->n", w, step)
        self.linear = soft * np.einsum("nd,nd->n", step, step)

    def slope(self, at: Array, rows: Index) -> tuple[Array, Array]:
        """The slope and its own derivative, (r,), at shares ``at`` (r,) of the steps of some rows."""
        pull = self.pull[rows] + at[:, None] * self.change[rows]
        elastic = self.elastic[rows] + at[:, None, None] * self.elastic_change[rows]
        friction, radial, slip = radial_return(elastic, self.bound[rows])
        along, slide = self.along[rows], self.slide[rows]
        evaluate = np.einsum("nm,nm->n", np.maximum(pull, self.least_normal), along)
        evaluate += np.einsum("npk,npk->n", friction, slide)
        curve = np.einsum("nm,nm,nm->n", pull > self.least_normal, self.change[rows], along)
        turn = self.elastic_change[rows]
        curve += np.einsum("np,npk,npk->n", radial, turn, slide)
        curve -= np.einsum(
            "np,np,np->n", radial, np.einsum("npk,npk->np", slip, turn), np.einsum("npk,npk->np", slip, slide)
        )
        return self.constant[rows] + at * self.linear[rows] - evaluate, self.linear[rows] - curve

    def length(self, start: Array) -> Array:
        """(n,) shares of the steps: the whole where the energy still falls there, else to where it is about level, by
        Newton's method kept between a share at which it falls and one at which it rises. ``start`` (n,): the slope at
        the start of the steps."""
        n = len(self.constant)
        at, low, high = np.ones(n), np.zeros(n), np.ones(n)
        rows = np.arange(n)
        for _ in range(LINE_SEARCH_ROUNDS):
            slope, curve = self.slope(at[rows], rows)
            rises = slope > 0.0
            done = (np.abs(slope) <= -CONVERGED * start[rows]) | (~rises & (at[rows] == 1.0))
            high[rows] = np.where(rises, at[rows], high[rows])
            low[rows] = np.where(rises, low[rows], at[rows])
            wanted = at[rows] - slope / np.maximum(curve, 1e-300)
            inside = (wanted > low[rows]) & (wanted < high[rows])
            middle = np.where(low[rows] > 0.0, np.sqrt(low[rows] * high[rows]), 0.1 * high[rows])
            at[rows] = np.where(done, at[rows], np.where(inside, wanted, middle))
            rows = rows[~done]
            if not len(rows):
                break
        return at
