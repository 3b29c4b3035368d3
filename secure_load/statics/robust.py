"""Slow and sure: the same equilibrium by convex minimisation, with the friction limits held and updated.

With the normal forces N held, the equilibrium is the minimum of a strictly convex, piecewise quadratic
energy in the six unknowns; Newton's method with a line search on it always gets there. N is then read off
and held again, until it settles. Used for the instants on which the plain iteration of ``equilibrium`` has
not settled, and beside it in the tests.

All instants are worked side by side: arrays are (n, ...) throughout.
"""

from __future__ import annotations

import numpy as np

from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.cases import Figures
from secure_load.statics.links import Links
from secure_load.statics.tangent import Tangents

INNER = 40
ATTEMPTS = ((1.0, 20), (0.3, 40))
"""Blend of new with held normal forces, and how many updates it is given, until one of them settles."""
FEW = 32
"""Instants up to which all are followed to the end."""
AWAY = 0.05
"""Share of the load on the soft spring beyond which a weight is on its way, whether its friction settles or not."""
SETTLED = 1e-10
"""Change of the held normal forces, over the load, at which they have settled."""


def approach(
    tangents: Tangents, figures: Figures, case: Index, w: Array, blend: float, updates: int
) -> tuple[Array, Mask]:
    """Some updates of the held normal forces: displacements (n, d), and which have settled, (n,).

    Under loads w (n, d), by the figures of n rows, which are those of their ``case`` (n,). The first pass lets
    nothing slide, as if everything had been set down in place before the load came on; from there friction gives
    way. Where a held and a sliding state both balance, this finds the held one, as loading step by step does.
    """
    n, links = len(w), tangents.springs.links
    u = np.zeros_like(w)
    held = np.full((n, len(links.k)), np.inf)
    scale = np.maximum(np.linalg.norm(w, axis=1), max(float(np.abs(figures.f0).max(initial=0.0)), 1e-12))
    settled = np.zeros(n, dtype=bool)
    soft = tangents.soft
    active = np.arange(n)
    size = np.linalg.norm(w, axis=1)
    share = np.full(n, blend)
    last = np.zeros((n, len(links.k)))
    for turn in range(updates):
        own = figures.at(active)
        # where there is no friction, none of any force held without end
        bound = np.where(own.limit > 0.0, held[active][:, links.normal], 0.0) * own.limit
        u[active] = minimise(tangents, own, case[active], w[active], bound, u[active])
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
            done |= soft * np.linalg.norm(u[active], axis=1) > AWAY * size[active]
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


def step_length(
    links: Links, figures: Figures, bound: Array, u: Array, step: Array, slope: Array, soft: float
) -> Array:
    """Where along a step (n, d) from u the energy is least, (n,), with its slope (n,) at the start, below nil.

    Along a line the slope of the energy is piecewise linear and rising: its bends, where a contact opens or
    closes or a friction spring starts or stops sliding, are sorted and the root is read off.
    """
    one = links.one_way
    pull = figures.f0 - (u @ links.g.T) * figures.k
    along = step @ links.g.T
    d = -along * figures.k
    stiff = along**2 * figures.k
    with np.errstate(divide="ignore", invalid="ignore"):
        bend = np.where(one & (d != 0.0), -pull / d, np.inf)
    acts = ~one | (pull > 0.0) | ((pull == 0.0) & (d > 0.0))
    bends = [np.where(bend > 0.0, bend, np.inf)]
    changes = [np.where(d > 0.0, stiff, -stiff)]
    curve = soft * (step**2).sum(axis=1) + (stiff * acts).sum(axis=1)
    if len(links.kt):
        trial = -(u @ links.gt.T) * figures.kt
        along = step @ links.gt.T
        d = -along * figures.kt
        stiff = along**2 * figures.kt
        with np.errstate(divide="ignore", invalid="ignore"):
            enter = np.where(d != 0.0, (-bound * np.sign(d) - trial) / d, np.inf)
            leave = np.where(d != 0.0, (bound * np.sign(d) - trial) / d, np.inf)
        curve += (stiff * ((enter <= 0.0) & (leave > 0.0))).sum(axis=1)
        bends += [np.where(enter > 0.0, enter, np.inf), np.where(leave > 0.0, leave, np.inf)]
        changes += [stiff, -stiff]
    at, change = np.concatenate(bends, axis=1), np.concatenate(changes, axis=1)
    order = at.argsort(axis=1)
    at = np.take_along_axis(at, order, axis=1)
    change = np.where(np.isinf(at), 0.0, np.take_along_axis(change, order, axis=1))
    zero = np.zeros((len(u), 1))
    start = np.concatenate([zero, at], axis=1)
    # the soft spring is always there, whatever rounding makes of the rest
    least = (soft * (step**2).sum(axis=1))[:, None] + 1e-300
    curvature = np.maximum(curve[:, None] + np.concatenate([zero, np.cumsum(change, axis=1)], axis=1), least)
    finite = np.where(np.isinf(start), 0.0, start)
    length = np.diff(finite, axis=1)
    length[np.isinf(at)] = 0.0
    value = slope[:, None] + np.concatenate([zero, np.cumsum(curvature[:, :-1] * length, axis=1)], axis=1)
    value[np.isinf(start)] = np.inf
    last = (value < 0.0).sum(axis=1) - 1
    row = np.arange(len(u))
    last = np.maximum(last, 0)
    return finite[row, last] - value[row, last] / curvature[row, last]


def minimise(tangents: Tangents, figures: Figures, case: Index, w: Array, bound: Array, u: Array) -> Array:
    """Displacements (n, d) of least energy for friction bounds (n, t) held, from a starting point (n, d)."""
    u, links = u.copy(), tangents.springs.links
    soft = tangents.soft
    size = np.maximum(np.linalg.norm(w, axis=1), 1e-12)
    stiffest = max(float(figures.k.max(initial=1.0)), float(figures.kt.max(initial=1.0)))
    active = np.arange(len(w))
    for _ in range(INNER):
        here, load, limit, own = u[active], w[active], bound[active], figures.at(active)
        pull = own.f0 - (here @ links.g.T) * own.k
        closed = ~links.one_way | (pull > 0.0)
        trial = -(here @ links.gt.T) * own.kt
        stick = np.abs(trial) < limit
        total = load + (pull * closed) @ links.g + np.clip(trial, -limit, limit) @ links.gt - soft * here
        out = np.linalg.norm(total, axis=1)
        keep = out > 1e-10 * size[active] + 1e-13 * stiffest * np.linalg.norm(here, axis=1)
        if not keep.any():
            break
        active, here, load, limit, total = active[keep], here[keep], load[keep], limit[keep], total[keep]
        own = own.at(keep)
        matrix = tangents.at(case[active], closed[keep], stick[keep])
        step = np.linalg.solve(matrix, total[:, :, None])[:, :, 0]
        slope = -(total * step).sum(axis=1)
        u[active] = here + step_length(links, own, limit, here, step, slope, soft)[:, None] * step
    return u
