"""Coulomb friction by following the load in small steps: heavily damped motion, return mapping at every contact.

Each contact presses with N = max(0, N0 - k g.u) and drags with a vector in its own plane that grows with what the
point has moved since the last step and is cut back to the disc |t| <= mu N: no polygon, no Newton's method, no
sets of states, and the path counts. The load is brought on slowly, first the part ``rest`` (upright, at rest),
with the tension of tight lines, then the part ``more``; each step is one of explicit, damped motion with masses
chosen so that a unit time step is stable. Many cases are run side by side, padded to the same number of contacts.

It shares nothing with ``secure_load.solver`` but the arrays that say where the contacts are.

Method: dynamic relaxation (M. Papadrakakis, Comput. Methods Appl. Mech. Eng. 25 (1981) 35, memory) and radial
return (J. C. Simo and T. J. R. Hughes, Computational Inelasticity (1998), memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from secure_load.solver.springs import Spring, SpringSet

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Case:
    """One body under one load path."""

    G: Array
    """(m, 6) normal directions."""
    k: Array
    f0: Array
    one_way: Mask
    T: Array
    """(m, 2, 6) two directions square to each other in each contact's plane; nil where there is no friction."""
    kt: Array
    """(m,) stiffness along the plane."""
    mu: Array
    rest: Array
    """(6,) load brought on first."""
    more: Array
    """(6,) load brought on after it."""
    faces: Mask
    """(m,) fixed faces: of what one presses, friction may not use what those that face it press back."""


@dataclass(frozen=True)
class Ends:
    """Where each case has come to."""

    out_of_balance: Array
    """(n,) over the load: nil where it came to rest, not nil where it is still on its way."""
    earlier: Array
    """(n,) the same, half-way through the wait."""
    normal: list[Array]
    drag: list[Array]
    """(m, 2) each."""
    u: Array
    """(n, 6) displacement; rotations are multiplied by rho."""

    @property
    def at_rest(self) -> Mask:
        """(n,) True where nothing is left to balance."""
        return self.out_of_balance < 1e-4

    @property
    def moving(self) -> Mask:
        """(n,) True where it goes on and on: out of balance, and no less so than a good while ago."""
        return (self.out_of_balance > 5e-4) & (self.out_of_balance > 0.9 * self.earlier)


def _padded(cases: Sequence[Case], m: int) -> tuple[Array, ...]:
    n = len(cases)
    G, T = np.zeros((n, m, 6)), np.zeros((n, m, 2, 6))
    k, f0, kt, mu, one, faces = (np.zeros((n, m)) for _ in range(6))
    for i, case in enumerate(cases):
        rows = len(case.k)
        G[i, :rows], T[i, :rows] = case.G, case.T
        k[i, :rows], f0[i, :rows], kt[i, :rows], mu[i, :rows] = case.k, case.f0, case.kt, case.mu
        one[i, :rows], faces[i, :rows] = case.one_way, case.faces
    return G, T, k, f0, kt, mu, one, faces


def follow(cases: Sequence[Case], steps: int = 3000, wait: int = 3000, damping: float = 0.02) -> Ends:
    """Bring ``rest`` on over half of ``steps`` and ``more`` over the other half, then ``wait``."""
    m = max(len(c.k) for c in cases)
    G, T, k, f0, kt, mu, one, faces = _padded(cases, m)
    ways = G[:, :, :3] * faces[:, :, None]
    facing = np.einsum("nra,nsa->nrs", ways, ways)
    toward, against = np.maximum(facing, 0.0), np.maximum(-facing, 0.0)
    rest, more = np.array([c.rest for c in cases]), np.array([c.more for c in cases])
    size = np.linalg.norm(rest + more, axis=1)
    # Gershgorin: with these masses the quickest motion of the body has a period of at least 2 pi steps / 2
    both = np.concatenate([G, T.reshape(len(cases), -1, 6)], axis=1)
    stiff = np.concatenate([k, np.repeat(kt, 2, axis=1)], axis=1)
    sum_abs = np.abs(both).sum(axis=2)
    mass = np.einsum("nr,nra,nr->na", stiff, np.abs(both), sum_abs) * 1.05
    mass = np.maximum(mass, 1e-3 * mass.max(axis=1, keepdims=True))
    flat_G, flat_T = G, T.reshape(len(cases), 2 * m, 6)
    kT = np.repeat(kt, 2, axis=1)
    u, v = np.zeros_like(rest), np.zeros_like(rest)
    drag = np.zeros((len(cases), 2 * m))
    first = steps // 2
    normal = np.zeros_like(k)
    total = np.zeros_like(rest)
    earlier = np.full(len(cases), np.inf)
    for step in range(steps + wait):
        early, late = min(1.0, (step + 1) / first), min(1.0, max(0.0, (step + 1 - first) / (steps - first)))
        # lines are set up tight while the weight comes on; slack is there from the start
        pull = np.where(f0 > 0.0, early * f0, f0) - k * np.matmul(flat_G, u[:, :, None])[:, :, 0]
        normal = np.where(one > 0, np.maximum(pull, 0.0), pull)
        drag = drag - kT * np.matmul(flat_T, v[:, :, None])[:, :, 0]
        pair = drag.reshape(len(cases), m, 2)
        length = np.sqrt((pair**2).sum(axis=2))
        pressed = np.maximum(normal, 0.0)
        # two faces that grip the body between them hold one another: that much is not a force that friction can use
        whole = np.maximum(np.matmul(toward, pressed[:, :, None])[:, :, 0], 1e-300)
        gripped = np.matmul(against, pressed[:, :, None])[:, :, 0] / whole
        limit = mu * pressed * np.clip(1.0 - gripped, 0.0, 1.0)
        cut = np.where(length > limit, limit / np.maximum(length, 1e-300), 1.0)
        drag = (pair * cut[:, :, None]).reshape(len(cases), 2 * m)
        total = early * rest + late * more
        total = total + np.matmul(normal[:, None, :], flat_G)[:, 0] + np.matmul(drag[:, None, :], flat_T)[:, 0]
        v = (1.0 - damping) * v + total / mass
        u = u + v
        if step == steps + wait // 2:
            earlier = np.linalg.norm(total, axis=1) / size
    return Ends(
        earlier=earlier,
        out_of_balance=np.linalg.norm(total, axis=1) / size,
        normal=[normal[i, : len(c.k)] for i, c in enumerate(cases)],
        drag=[drag[i].reshape(m, 2)[: len(c.k)] for i, c in enumerate(cases)],
        u=u,
    )


def case(links: SpringSet, made: Sequence[Spring], rest: Array, more: Array) -> Case:
    """A case of one weight, from its links and the list they were assembled from; loads (3,) in N."""
    m = len(made)
    T, mu, kt = np.zeros((m, 2, 6)), np.zeros(m), np.zeros(m)
    for i, link in enumerate(made):
        if link.friction > 0.0:
            leg = link.attachments[0]
            ways = plane(leg.direction)
            T[i] = np.hstack([ways, np.cross(leg.point, ways) / links.rotation_scale[0]])
            mu[i], kt[i] = link.friction, link.stiffness * link.tangential_ratio
    still = np.zeros(3)
    return Case(
        links.direction,
        links.stiffness,
        links.preload,
        links.one_way,
        T,
        kt,
        mu,
        np.append(rest, still),
        np.append(more, still),
        np.array([link.face for link in made]),
    )


def plane(direction: Array) -> Array:
    """Two unit vectors square to a direction and to each other, (2, 3)."""
    across = np.cross(direction, [1.0, 0.0, 0.0] if abs(direction[0]) < 0.7 else [0.0, 1.0, 0.0])
    across = across / np.linalg.norm(across)
    return np.array([across, np.cross(direction, across)])
