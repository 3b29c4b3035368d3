"""Frictionless one-way links by two other roads: a dual quadratic program (daqp) and scipy.

For links without friction the equilibrium is the minimum of a convex energy, and its dual is

    min  sum_i (f_i - f0_i)^2 / 2 k_i     subject to   G^T f + w = 0,   f_i >= 0 on one-way links.

The program has an answer where, and only where, the weight is held. Neither road shares a line with
``secure_load.solver``; both take the arrays G (m, 6), k (m,), f0 (m,), one_way (m,) and a load w (6,).

References: D. Arnstrom, A. Bemporad and D. Axehill, IEEE Trans. Autom. Control 67 (2022) 4362 for daqp's
dual active-set method (memory); scipy.optimize for the others.
"""

from __future__ import annotations

from dataclasses import dataclass

import daqp
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog, minimize

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

OPEN = 1e30


@dataclass(frozen=True)
class Prepared:
    """The program of one set of links, scaled, with the equality rows made independent."""

    G: Array
    k: Array
    f0: Array
    one_way: Mask
    root: Array
    """(m,) square root of k over the stiffest."""
    rows: Array
    """(r, m) independent equality rows in the scaled unknowns."""
    basis: Array
    """(6, r) orthonormal basis of all loads the links could take if none were one-way."""
    down: Array
    """(r,) what each equality row was divided by."""


def prepare(G: Array, k: Array, f0: Array, one_way: Mask) -> Prepared:
    """Scale once for many loads. Unknowns are f / sqrt(k), so that the energy is a plain sum of squares."""
    root = np.sqrt(k / k.max())
    matrix = (G * root[:, None]).T
    left, size, right = np.linalg.svd(matrix, full_matrices=False)
    rank = int(np.count_nonzero(size > 1e-10 * size[0]))
    # rows of the right singular basis are orthonormal: as well scaled as equality rows can be
    return Prepared(G, k, f0, one_way, root, right[:rank].copy(), left[:, :rank], size[:rank])


def by_daqp(problem: Prepared, w: Array, spent: list[float] | None = None) -> Array | None:
    """Link forces (m,) under the load w (6,), or None where the weight is free to move.

    ``spent`` is given the seconds daqp itself took.
    """
    scale = max(float(np.linalg.norm(w)), 1e-300)
    outside = w - problem.basis @ (problem.basis.T @ w)
    if np.linalg.norm(outside) > 1e-9 * scale:
        return None
    m = len(problem.k)
    wanted = problem.f0 / problem.root / scale
    right = -(problem.basis.T @ w) / problem.down / scale
    upper = np.concatenate([np.full(m, OPEN), right])
    lower = np.concatenate([np.where(problem.one_way, 0.0, -OPEN), right])
    sense = np.concatenate([np.zeros(m, dtype=np.int32), np.full(len(right), 5, dtype=np.int32)])
    x, _, flag, info = daqp.solve(
        np.eye(m), -wanted, problem.rows, upper, lower, sense, sing_tol=1e-14, primal_tol=1e-9, dual_tol=1e-12
    )
    if spent is not None:
        spent.append(info["setup_time"] + info["solve_time"])
    if flag != 1:
        return None
    force = np.asarray(x) * problem.root * scale
    if np.linalg.norm(problem.G.T @ force + w) > 1e-6 * scale:
        return None
    return force


def displacement(G: Array, k: Array, f0: Array, force: Array) -> float:
    """How far the weight moves under link forces (m,) of an equilibrium: the length of the least u (6,) with
    f = f0 - k G u on the links that act."""
    acts = np.abs(force) > 1e-9 * float(np.abs(force).max())
    give = (f0 - force)[acts] / k[acts]
    u, *_ = np.linalg.lstsq(G[acts], give, rcond=1e-12)
    return float(np.linalg.norm(u))


def distance_from_held(G: Array, one_way: Mask, w: Array) -> float:
    """How far the load is from one that can be held, as a share of the load: nil where it is held.

    The least sum of the absolute out-of-balance components, a linear program (HiGHS).
    """
    scale = float(np.linalg.norm(w))
    m = len(G)
    cost = np.concatenate([np.zeros(m), np.ones(12)])
    equal = np.hstack([G.T, np.eye(6), -np.eye(6)])
    bounds = [(0.0 if each else None, None) for each in one_way] + [(0.0, None)] * 12
    found = linprog(cost, A_eq=equal, b_eq=-w / scale, bounds=bounds, method="highs", options={"time_limit": 5.0})
    assert found.status == 0, found.message
    return float(found.fun)


def by_scipy(G: Array, k: Array, f0: Array, one_way: Mask, w: Array) -> Array:
    """Link forces (m,) of a held weight, by minimising the energy over its displacement (trust region, exact
    sub-problems). The energy, in the units of the load and the stiffest link, is

        E(u) = 1/2 sum_i max(0, f0_i - k_i g_i.u)^2 / k_i - w.u.
    """
    scale, stiff = float(np.linalg.norm(w)), float(k.max())
    kk, ff, load = k / stiff, f0 / scale, w / scale

    def pull(u: Array) -> Array:
        force = ff - kk * (G @ u)
        return np.where(one_way, np.maximum(force, 0.0), force)

    def energy(u: Array) -> float:
        return float(0.5 * (pull(u) ** 2 / kk).sum() - load @ u)

    def slope(u: Array) -> Array:
        return -G.T @ pull(u) - load

    def curve(u: Array) -> Array:
        acts = ~one_way | (ff - kk * (G @ u) > 0.0)
        # a whisper of stiffness keeps the sub-problem regular where nothing bears
        return (G * (kk * acts)[:, None]).T @ G + 1e-12 * np.eye(G.shape[1])

    found = minimize(
        energy,
        np.zeros(G.shape[1]),
        jac=slope,
        hess=curve,
        method="trust-exact",
        options={"gtol": 1e-11, "maxiter": 2000, "initial_trust_radius": 1.0, "max_trust_radius": 1e6},
    )
    return pull(found.x) * scale
