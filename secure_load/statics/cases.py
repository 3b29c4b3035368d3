"""Sets of links that differ only in their figures, so that they can be worked side by side.

The bounds of stiffness and friction, and a stow with one restraint after another taken away, have the same
directions; what differs is how stiff each link is, how tight, and how much its friction may bear. An instant of any
of them is a row of the same arrays, which says by its ``case`` whose figures it goes by.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.links import Links


@dataclass(frozen=True)
class Figures:
    """The figures of n rows; a table of one row goes for all of them."""

    k: Array
    """(n | 1, m) stiffness, N/m; nil where the link is not there."""
    f0: Array
    """(n | 1, m) force at no displacement, N."""
    kt: Array
    """(n | 1, t) tangential stiffness."""
    limit: Array
    """(n | 1, t) limit of friction as a fraction of the normal force."""

    def at(self, rows: Index | Mask) -> Figures:
        """Those of some rows."""
        return Figures(_pick(self.k, rows), _pick(self.f0, rows), _pick(self.kt, rows), _pick(self.limit, rows))


@dataclass(frozen=True)
class Cases:
    """c sets of links with the same directions."""

    links: Links
    """The directions and all else that is common; its own figures are those of one of the sets, and none is nil."""
    figures: Figures
    """By case, or one row where a figure is the same in all."""
    count: int

    def rows(self, case: Index) -> Figures:
        """The figures that instants of some cases (n,) go by."""
        return self.figures.at(case)

    def of(self, case: int) -> Figures:
        """The figures of one case, in tables of one row."""
        return self.figures.at(np.array([case]))


def alone(links: Links) -> Cases:
    """One set of links."""
    return Cases(links, Figures(links.k[None], links.f0[None], links.kt[None], links.limit[None]), 1)


def beside(several: Sequence[Links]) -> Cases:
    """Sets of links with the same normal rows, one of which has every friction row that any other has."""
    if len(several) == 1:
        return alone(several[0])
    most = max(several, key=lambda links: len(links.kt))
    limit = np.zeros((len(several), len(most.kt)))
    for row, links in zip(limit, several, strict=True):
        # a contact that is greased in this set has no friction rows there
        row[np.isin(most.normal, links.normal)] = links.limit
    k = np.stack([links.k for links in several])
    figures = Figures(
        k=_narrow(k),
        f0=_narrow(np.stack([links.f0 for links in several])),
        kt=_narrow(most.kt * (k / most.k)[:, most.normal]),
        limit=_narrow(limit),
    )
    return Cases(most, figures, len(several))


def without_each(links: Links, restraints: Sequence[int]) -> Cases:
    """The same links with one of some restraints taken away after the other."""
    stays = links.restraint != np.array(restraints, dtype=np.int64)[:, None]
    figures = Figures(
        k=links.k * stays,
        f0=_narrow(links.f0 * stays),
        kt=links.kt * stays[:, links.normal],
        limit=links.limit[None],
    )
    return Cases(links, figures, len(restraints))


def _narrow(table: Array) -> Array:
    """One row where all rows are alike."""
    return table[:1] if (table == table[0]).all() else table


def _pick(table: Array, rows: Index | Mask) -> Array:
    return table if len(table) == 1 else table[rows]


@dataclass(frozen=True)
class Look:
    """Forces and states of the links at some displacements."""

    normal: Array
    tangential: Array
    pushed: Array
    """(n, 6 b) what the links push on the bodies."""
    closed: Mask
    stick: Mask
    forward: Mask
    """(n, t) friction slides, and pushes along its direction."""


class Springs:
    """What the links of some cases push at displacements."""

    def __init__(self, cases: Cases) -> None:
        links, figures = cases.links, cases.figures
        self.links, self.m = links, len(links.k)
        # minus the stiffness goes into the directions once and for all
        self.give = -np.vstack([links.g * links.k[:, None], links.gt * links.kt[:, None]]).T.copy()
        self.f0, self.limit = figures.f0, figures.limit
        """(c | 1, m), (c | 1, t)"""
        self.factor: Array | None = None
        """(c, m) the stiffness of each case over that in ``give``; None where it is the same in all."""
        self.friction_factor: Array | None = None
        if len(figures.k) > 1:
            self.factor = figures.k / links.k
            self.friction_factor = figures.kt / links.kt if len(links.kt) else figures.kt
        self.two_way = ~links.one_way

    def look(self, u: Array, case: Index) -> Look:
        """Forces and states at displacements (n, 6 b) of some cases (n,)."""
        links, m = self.links, self.m
        trial = u @ self.give
        pull = trial[:, :m]
        if self.factor is not None:
            pull *= self.factor[case]
        pull += _pick(self.f0, case)
        closed = pull > 0.0
        closed |= self.two_way
        normal = pull * closed
        pushed = normal @ links.g
        trial = trial[:, m:]
        if not len(links.kt):
            none = trial > 0.0
            return Look(normal, trial, pushed, closed, none, none)
        if self.friction_factor is not None:
            trial *= self.friction_factor[case]
        bound = normal[:, links.normal]
        bound *= _pick(self.limit, case)
        np.maximum(bound, 0.0, out=bound)
        tangential = np.minimum(trial, bound)
        np.negative(bound, out=bound)
        np.maximum(tangential, bound, out=tangential)
        pushed += tangential @ links.gt
        stick = tangential == trial
        # only of what slides does it matter which way: the fewer states, the fewer matrices
        slides = closed[:, links.normal]
        slides &= ~stick
        slides &= trial > 0.0
        return Look(normal, tangential, pushed, closed, stick, slides)
