"""How hard every part is worked at every instant."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.equilibrium import Equilibrium, Order, solve
from secure_load.statics.links import Links
from secure_load.verdict.stow import Stowed


@dataclass(frozen=True)
class Peak:
    """The hardest a part is worked over many instants."""

    utilisation: float
    demand: float
    """N"""
    at: int
    """Index of the instant."""
    bound: str
    """Which bound of stiffness and friction it came from."""


@dataclass(frozen=True)
class Worked:
    """What n instants ask of a group of b weights' restraints."""

    by_restraint: Array
    """(n, restraints) utilisation of each, the worst of its parts; nil where a weight it touches is free."""
    adrift: Mask
    """(n, b) True where a weight is free to move."""
    u: Array
    """(n, 6 b) displacement, rotations multiplied by the weight's own length."""
    peaks: list[list[Peak]]
    """By restraint and part, over the instants at which it is held."""
    handed_over: int
    """Instants the fast iteration left to the slow one."""

    def worst(self, stowed: Stowed, member: int) -> Array:
        """(n,) the greatest utilisation of any of a member's restraints; infinite where it is free to move."""
        own = [f.index for f in stowed.of(member)]
        return np.where(self.adrift[:, member], np.inf, self.by_restraint[:, own].max(axis=1, initial=0.0))


def work(stowed: Stowed, bound: str, links: Links, load: Array, order: Order | None = None) -> Worked:
    """Solve a group under loads (n, 3) or (n, 6 b) with some set of its links, and work out its parts.

    ``bound`` names the set of links, for the record.
    """
    found = solve(links, load, order)
    by_restraint = np.zeros((len(load), len(stowed.fittings)))
    peaks: list[list[Peak]] = []
    for fitting, parts in zip(stowed.fittings, stowed.parts, strict=True):
        rows = np.flatnonzero(links.restraint == fitting.index)
        own: list[Peak] = []
        if len(rows) and parts:
            loose = found.adrift[:, fitting.owner]
            forces = found.normal[:, rows]
            forces[loose] = 0.0
            drag = _drag(links, found, rows, loose)
            column = by_restraint[:, fitting.index]
            for part in parts:
                demand, ratio = part.working(forces, drag)
                np.maximum(column, ratio, out=column)
                at = int(ratio.argmax())
                own.append(Peak(float(ratio[at]), float(demand[at]), at, bound))
        peaks.append(own)
    return Worked(by_restraint, found.adrift, found.u, peaks, found.handed_over)


def work_all(stowed: Stowed, load: Array, order: Order | None = None) -> Worked:
    """The worst over every bound of stiffness and friction, instant by instant and part by part."""
    worst: Worked | None = None
    for bound, links in stowed.bounds.items():
        one = work(stowed, bound, links, load, order)
        worst = one if worst is None else harder(worst, one)
    assert worst is not None
    return worst


def harder(a: Worked, b: Worked) -> Worked:
    """The worse of two workings of the same loads."""
    newly = np.asarray((b.adrift & ~a.adrift).any(axis=1))
    return Worked(
        by_restraint=np.maximum(a.by_restraint, b.by_restraint),
        adrift=a.adrift | b.adrift,
        u=np.where(newly[:, None], b.u, a.u),
        peaks=[
            [x if x.utilisation >= y.utilisation else y for x, y in zip(p, q, strict=True)]
            for p, q in zip(a.peaks, b.peaks, strict=True)
        ],
        handed_over=a.handed_over + b.handed_over,
    )


def _drag(links: Links, found: Equilibrium, rows: Index, loose: Mask) -> Array:
    """Resultant of the friction at some contacts, (n,), N."""
    own = np.isin(links.normal, rows)
    if not own.any():
        return np.zeros(len(found.u))
    # each friction row's own direction on the first body it touches
    body = int(np.flatnonzero(links.gt[own][0])[0]) // 6 if links.gt[own].any() else 0
    pull = found.tangential[:, own] @ links.gt[own, 6 * body : 6 * body + 3]
    pull[loose] = 0.0
    return np.linalg.norm(pull, axis=1)
