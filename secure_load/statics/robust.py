"""Slow and sure: the same equilibrium by convex minimisation, with the friction limits held and updated.

With the normal forces N held, the equilibrium is the minimum of a strictly convex, piecewise quadratic
energy in the six unknowns; Newton's method with a line search on it always gets there. N is then read off
and held again, until it settles. Used for the instants on which the plain iteration of ``equilibrium`` has
not settled, and beside it in the tests.

All instants are worked side by side: arrays are (n, ...) throughout.
"""

from __future__ import annotations

import numpy as np

from secure_load.statics.arrays import Array, Index, Mask, sizes
from secure_load.statics.cancellation import raise_if_cancelled
from secure_load.statics.cases import Figures, pick
from secure_load.statics.tangent import Tangents

INNER = 40
ATTEMPTS = ((1.0, 20), (0.3, 40))
"""Blend of new with held normal forces, and how many updates it is given, until one of them settles."""
FEW = 32
"""Instants up to which all are followed to the end."""
AWAY = 0.05
"""Share of the load on the soft spring beyond which a weight is on its way, whether its friction settles or not."""
LEVEL = 1e-9
"""Share of the slope at the start of a step below which it is taken to be level at its end."""
SETTLED = 1e-10
"""Change of the held normal forces, over the load, at which they have settled."""


def approach(
    tangents: Tangents, figures: Figures, case: Index, w: Array, start: Array, blend: float, updates: int
) -> tuple[Array, Mask]:
    """Some updates of the held normal forces: displacements (n, d), and which have settled, (n,).

    Under loads w (n, d), by the figures of n rows, which are those of their ``case`` (n,), and from displacements
    ``start`` (n, d), which only make the way shorter, for the energy has one least point. The first pass lets
    nothing slide, as if everything had been set down in place before the load came on; from there friction gives
    way. Where a held and a sliding state both balance, this finds the held one, as loading step by step does.
    """
    n, links = len(w), tangents.springs.links
    energy = Energy(tangents)
    u = start.copy()
    held = np.full((n, len(links.k)), np.inf)
    size = sizes(w)
    scale = np.maximum(size, max(float(np.abs(figures.f0).max(initial=0.0)), 1e-12))
    settled = np.zeros(n, dtype=bool)
    soft = tangents.soft
    active = np.arange(n)
    share = np.full(n, blend)
    last = np.zeros((n, len(links.k)))
    for turn in range(updates):
        raise_if_cancelled()
        own = figures.at(active)
        # where there is no friction, none of any force held without end
        bound = np.where(own.limit > 0.0, held[active][:, links.normal], 0.0) * own.limit
        u[active] = energy.least(own, case[active], w[active], bound, u[active])
        found = np.maximum(own.f0 - (u[active] @ links.g.T) * own.k, 0.0)
        before = held[active]
        change = found - np.where(np.isinf(before), found, before)
        done = np.abs(change).max(axis=1, initial=0.0) <= SETTLED * scale[active]
        if turn == 0:
            held[active] = found
            done[:] = not len(links.kt)
        else:
            if turn > 2:
                share[active] = _aitken(share[active], last[active], change, blend)
            held[active] = before + share[active, None] * change
            last[active] = change
        settled[active[done]] = True
        if turn >= updates // 3 and len(active) > FEW:
            # well on its way by now: more updates would only tell how it slides
            done |= soft * sizes(u[active]) > AWAY * size[active]
        active = active[~done]
        if not len(active):
            break
    return u, settled


def _aitken(share: Array, last: Array, change: Array, blend: float) -> Array:
    """The share of the next change to take, (n,), from the last two changes (n, m).

    Aitken's dynamic relaxation, U. Kuettler and W. A. Wall, Comput. Mech. 43 (2008) 61-72, eq. 44 (memory),
    kept between a twentieth and the whole.
    """
    bend = change - last
    square = np.maximum((bend**2).sum(axis=1), 1e-300)
    wanted = -share * (last * bend).sum(axis=1) / square
    return np.clip(np.where(np.isfinite(wanted), wanted, blend), 0.05, 1.0)


class Energy:
    """The energy of the links of some cases with their friction limits held: strictly convex, piecewise quadratic.

    Every link is a spring whose force stays between two bounds: nil and no end for one that presses, none for one
    that acts both ways, the friction held either way for the tangential ones.
    """

    def __init__(self, tangents: Tangents) -> None:
        links = tangents.springs.links
        self.tangents, self.links, self.m = tangents, links, len(links.k)
        self.along = np.vstack([links.g, links.gt]).T
        """(d, m + t) directions of all links."""
        self.least_normal = np.where(links.one_way, 0.0, -np.inf)

    def least(self, figures: Figures, case: Index, w: Array, bound: Array, u: Array) -> Array:
        """Displacements (n, d) of least energy under loads w (n, d) for friction bounds (n, t), from a start (n, d)."""
        u, n, m, soft = u.copy(), len(w), self.m, self.tangents.soft
        size = np.maximum(sizes(w), 1e-12)
        k = np.concatenate(_level(figures.k, figures.kt), axis=1)
        stiffest = max(float(k.max(initial=0.0)), 1.0)
        low = np.concatenate([np.broadcast_to(self.least_normal, (n, m)), -bound], axis=1)
        high = np.concatenate([np.full((n, m), np.inf), bound], axis=1)
        active = np.arange(n)
        for _ in range(INNER):
            here = u[active]
            force = (here @ self.along) * -pick(k, active)
            force[:, :m] += pick(figures.f0, active)
            total = w[active] + np.clip(force, low, high) @ self.along.T - soft * here
            out = sizes(total)
            keep = out > 1e-10 * size[active] + 1e-13 * stiffest * sizes(here)
            if not keep.any():
                break
            if not keep.all():
                active, here, total, force = active[keep], here[keep], total[keep], force[keep]
                low, high = low[keep], high[keep]
            acts = (force > low) & (force < high)
            matrix = self.tangents.at(case[active], acts[:, :m], acts[:, m:])
            step = np.linalg.solve(matrix, total[:, :, None])[:, :, 0]
            along = step @ self.along
            change = -along * pick(k, active)
            # at the end of the whole step the energy mostly has come to its least, or still falls
            down = np.einsum("nd,nd->n", total, step)
            rise = np.einsum("nr,nr->n", np.clip(force + change, low, high) - np.clip(force, low, high), along)
            rise -= soft * np.einsum("nd,nd->n", step, step)
            beyond = down + rise < -LEVEL * down
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


def _level(k: Array, kt: Array) -> tuple[Array, Array]:
    """Two tables with as many rows, where one of them has one that goes for all."""
    rows = max(len(k), len(kt))
    return np.broadcast_to(k, (rows, k.shape[1])), np.broadcast_to(kt, (rows, kt.shape[1]))
