"""Sets of links that differ only in their figures, so that they can be worked side by side.

The bounds of stiffness and friction, and a stow with one restraint after another taken away, have the same
directions; what differs is how stiff each link is, how tight, and how much its friction may bear. An instant of any
of them is a row of the same arrays, which says by its ``case`` whose figures it goes by.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask
from secure_load.solver.springs import Links

KEPT = 8
"""Sets of links whose arrays are kept ready: the same ones are asked about many times over."""


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
        return Figures(pick(self.k, rows), pick(self.f0, rows), pick(self.kt, rows), pick(self.limit, rows))


@dataclass(frozen=True, eq=False)
class Cases:
    """c sets of links with the same directions."""

    links: Links
    """The directions and all else that is common; its own figures are those of one of the sets, and none is nil."""
    figures: Figures
    """By case, or one row where a figure is the same in all."""
    count: int

    @cached_property
    def springs(self) -> Springs:
        """What they push."""
        return Springs(self)

    def rows(self, case: Index) -> Figures:
        """The figures that instants of some cases (n,) go by."""
        return self.figures.at(case)


@lru_cache(maxsize=KEPT)
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


def _over(table: Array, common: Array) -> Array | None:
    return None if (table == common).all() else table / common


def pick(table: Array, rows: Index | Mask) -> Array:
    """Some rows of a table; of a table of one row that row, which goes for all of them."""
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
    """What the links of some cases push at displacements.

    The friction rows of a contact follow one another, as ``links.assemble`` makes them, and are alike but for their
    direction: what is the same for all of them is worked out once for each contact.
    """

    def __init__(self, cases: Cases) -> None:
        links, figures = cases.links, cases.figures
        self.links = links
        # minus the stiffness goes into the directions once and for all
        self.give = -(links.g * links.k[:, None]).T
        self.drag = -(links.gt * links.kt[:, None]).T
        self.factor = _over(figures.k, links.k)
        """(c | 1, m) the stiffness of each case over that in ``give``; None where it is the same in all."""
        self.contacts = np.unique(links.normal)
        """(p,) the normal rows that have friction."""
        self.axes = len(links.kt) // max(len(self.contacts), 1)
        assert (links.normal == np.repeat(self.contacts, self.axes)).all()
        self._f0 = figures.f0 if figures.f0.any() else None
        self._two_way = None if links.one_way.all() else ~links.one_way
        self.contact_limit = figures.limit[:, :: max(self.axes, 1)]
        """(c | 1, p)"""
        # friction is as stiff as its contact, over and over
        by_row = _over(figures.kt, links.kt)
        self.contact_factor = None if by_row is None else by_row[:, :: self.axes]
        """(c | 1, p)"""

    def look(self, u: Array, case: Index) -> Look:
        """Forces and states at displacements (n, 6 b) of some cases (n,)."""
        normal, closed, trial, tangential = self._forces(u, case)
        pushed = normal @ self.links.g
        t = trial.shape[1] * trial.shape[2]
        if not t:
            none = np.zeros((len(u), 0), dtype=bool)
            return Look(normal, tangential.reshape(len(u), 0), pushed, closed, none, none)
        flat = tangential.reshape(len(u), t)
        pushed += flat @ self.links.gt
        stick = tangential == trial
        # only of what slides does it matter which way: the fewer states, the fewer matrices
        slides = trial > 0.0
        slides &= ~stick
        slides &= closed[:, self.contacts, None]
        return Look(normal, flat, pushed, closed, stick.reshape(len(u), t), slides.reshape(len(u), t))

    def pushed(self, u: Array, case: Index) -> Array:
        """What the links push on the bodies (n, 6 b) at displacements (n, 6 b) of some cases (n,)."""
        normal, _, _, tangential = self._forces(u, case)
        pushed = normal @ self.links.g
        if len(self.links.kt):
            pushed += tangential.reshape(len(u), -1) @ self.links.gt
        return pushed

    def _forces(self, u: Array, case: Index) -> tuple[Array, Mask, Array, Array]:
        """Normal forces (n, m), which are closed, and by contact the friction that would stick and what it comes to,
        (n, p, axes)."""
        pull = u @ self.give
        if self.factor is not None:
            pull *= pick(self.factor, case)
        if self._f0 is not None:
            pull += pick(self._f0, case)
        closed = pull > 0.0
        if self._two_way is None:
            normal = np.maximum(pull, 0.0, out=pull)
        else:
            closed |= self._two_way
            normal = pull * closed
        trial = (u @ self.drag).reshape(len(u), len(self.contacts), self.axes)
        if self.contact_factor is not None:
            trial *= pick(self.contact_factor, case)[:, :, None]
        bound = np.maximum(normal[:, self.contacts], 0.0)
        bound *= pick(self.contact_limit, case)
        bound = bound[:, :, None]
        tangential = np.minimum(trial, bound)
        return normal, closed, trial, np.maximum(tangential, -bound, out=tangential)
