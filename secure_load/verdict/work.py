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


@dataclass(frozen=True)
class Worked:
    """What n instants ask of one weight's restraints."""

    by_restraint: Array
    """(n, restraints) utilisation of each, the worst of its parts; nil where the weight is free to move."""
    free: Mask
    """(n,) True where the weight is free to move."""
    u: Array
    """(n, 6) displacement, rotations multiplied by the weight's own length."""
    peaks: list[list[Peak]]
    """By restraint and part, over the instants at which it is held."""
    handed_over: int
    """Instants the fast iteration left to the slow one."""

    @property
    def worst(self) -> Array:
        """(n,) the greatest utilisation of any restraint; infinite where the weight is free to move."""
        return np.where(self.free, np.inf, self.by_restraint.max(axis=1, initial=0.0))


def _drag(links: Links, found: Equilibrium, rows: Index) -> Array:
    """Resultant of the friction at some contacts, (n,), N."""
    own = np.isin(links.normal, rows)
    if not own.any():
        return np.zeros(len(found.u))
    pull = found.tangential[:, own] @ links.gt[own, :3]
    pull[found.free] = 0.0
    return np.linalg.norm(pull, axis=1)


def work(stowed: Stowed, links: Links, load: Array, order: Order | None = None) -> Worked:
    """Solve one weight under loads (n, 3) with some set of its links, and work out its parts."""
    found = solve(links, load, order)
    by_restraint = np.zeros((len(load), len(stowed.fittings)))
    peaks: list[list[Peak]] = []
    for fitting, parts in zip(stowed.fittings, stowed.parts, strict=True):
        rows = np.flatnonzero(links.restraint == fitting.index)
        own: list[Peak] = []
        if len(rows):
            forces = found.normal[:, rows]
            forces[found.free] = 0.0
            drag = _drag(links, found, rows)
            column = by_restraint[:, fitting.index]
            for part in parts:
                demand, ratio = part.working(forces, drag)
                np.maximum(column, ratio, out=column)
                at = int(ratio.argmax())
                own.append(Peak(float(ratio[at]), float(demand[at]), at))
        peaks.append(own)
    return Worked(by_restraint=by_restraint, free=found.free, u=found.u, peaks=peaks, handed_over=found.handed_over)
