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
from secure_load.solver.springs import SpringSet

CACHE_SIZE = 8
"""Sets of links whose arrays are kept ready: the same ones are asked about many times over."""


@dataclass(frozen=True)
class SpringParameters:
    """The figures of n rows; a table of one row goes for all of them."""

    stiffness: Array
    """(n | 1, m) stiffness, N/m; nil where the link is not there."""
    preload: Array
    """(n | 1, m) force at no displacement, N."""
    tangent_stiffness: Array
    """(n | 1, t) tangential stiffness."""
    friction_limit: Array
    """(n | 1, t) limit of friction as a fraction of the normal force."""

    def at(self, rows: Index | Mask) -> SpringParameters:
        """Those of some rows."""
        return SpringParameters(
            rows_or_broadcast(self.stiffness, rows),
            rows_or_broadcast(self.preload, rows),
            rows_or_broadcast(self.tangent_stiffness, rows),
            rows_or_broadcast(self.friction_limit, rows),
        )


@dataclass(frozen=True, eq=False)
class CaseSet:
    """c sets of links with the same directions."""

    links: SpringSet
    """The directions and all else that is common; its own figures are those of one of the sets, and none is nil."""
    parameters: SpringParameters
    """By case, or one row where a figure is the same in all."""
    count: int

    @cached_property
    def springs(self) -> SpringForces:
        """What they push."""
        return SpringForces(self)

    def rows(self, case: Index) -> SpringParameters:
        """The figures that instants of some cases (n,) go by."""
        return self.parameters.at(case)


@lru_cache(maxsize=CACHE_SIZE)
def single(links: SpringSet) -> CaseSet:
    """One set of links."""
    return CaseSet(
        links,
        SpringParameters(
            links.stiffness[None], links.preload[None], links.tangent_stiffness[None], links.friction_limit[None]
        ),
        1,
    )


def stack(several: Sequence[SpringSet]) -> CaseSet:
    """Sets of links with the same normal rows, one of which has every friction row that any other has."""
    if len(several) == 1:
        return single(several[0])
    most = max(several, key=lambda links: len(links.tangent_stiffness))
    friction_limit = np.zeros((len(several), len(most.tangent_stiffness)))
    for row, links in zip(friction_limit, several, strict=True):
        # a contact that is greased in this set has no friction rows there
        row[np.isin(most.normal, links.normal)] = links.friction_limit
    stiffness = np.stack([links.stiffness for links in several])
    parameters = SpringParameters(
        stiffness=_narrow(stiffness),
        preload=_narrow(np.stack([links.preload for links in several])),
        tangent_stiffness=_narrow(most.tangent_stiffness * (stiffness / most.stiffness)[:, most.normal]),
        friction_limit=_narrow(friction_limit),
    )
    return CaseSet(most, parameters, len(several))


def leave_one_out(links: SpringSet, restraints: Sequence[int]) -> CaseSet:
    """The same links with one of some restraints taken away after the other."""
    stays = links.restraint != np.array(restraints, dtype=np.int64)[:, None]
    figures = SpringParameters(
        stiffness=links.stiffness * stays,
        preload=_narrow(links.preload * stays),
        tangent_stiffness=links.tangent_stiffness * stays[:, links.normal],
        friction_limit=links.friction_limit[None],
    )
    return CaseSet(links, figures, len(restraints))


def _narrow(table: Array) -> Array:
    """One row where all rows are alike."""
    return table[:1] if (table == table[0]).all() else table


def _over(table: Array, common: Array) -> Array | None:
    return None if (table == common).all() else table / common


def rows_or_broadcast(table: Array, rows: Index | Mask) -> Array:
    """Some rows of a table; of a table of one row that row, which goes for all of them."""
    return table if len(table) == 1 else table[rows]


@dataclass(frozen=True)
class ContactState:
    """Forces and states of the links at some displacements."""

    normal: Array
    tangential: Array
    reaction: Array
    """(n, 6 b) what the links push on the bodies."""
    closed: Mask
    stick: Mask
    forward: Mask
    """(n, t) friction slides, and pushes along its direction."""


class SpringForces:
    """What the links of some cases push at displacements.

    The friction rows of a contact follow one another, as ``links.assemble`` makes them, and are alike but for their
    direction: what is the same for all of them is worked out once for each contact.
    """

    def __init__(self, cases: CaseSet) -> None:
        links, figures = cases.links, cases.parameters
        self.links = links
        # minus the stiffness goes into the directions once and for all
        self.give = -(links.direction * links.stiffness[:, None]).T
        self.drag = -(links.tangent_direction * links.tangent_stiffness[:, None]).T
        self.factor = _over(figures.stiffness, links.stiffness)
        """(c | 1, m) the stiffness of each case over that in ``give``; None where it is the same in all."""
        self.contacts = np.unique(links.normal)
        """(p,) the normal rows that have friction."""
        self.axes = len(links.tangent_stiffness) // max(len(self.contacts), 1)
        assert (links.normal == np.repeat(self.contacts, self.axes)).all()
        self._f0 = figures.preload if figures.preload.any() else None
        self._two_way = None if links.one_way.all() else ~links.one_way
        self.contact_limit = figures.friction_limit[:, :: max(self.axes, 1)]
        """(c | 1, p)"""
        # friction is as stiff as its contact, over and over
        by_row = _over(figures.tangent_stiffness, links.tangent_stiffness)
        self.contact_factor = None if by_row is None else by_row[:, :: self.axes]
        """(c | 1, p)"""

    def evaluate(self, u: Array, case: Index) -> ContactState:
        """Forces and states at displacements (n, 6 b) of some cases (n,)."""
        normal, closed, trial, tangential = self._forces(u, case)
        reaction = normal @ self.links.direction
        t = trial.shape[1] * trial.shape[2]
        if not t:
            none = np.zeros((len(u), 0), dtype=bool)
            return ContactState(normal, tangential.reshape(len(u), 0), reaction, closed, none, none)
        flat = tangential.reshape(len(u), t)
        reaction += flat @ self.links.tangent_direction
        stick = tangential == trial
        # only of what slides does it matter which way: the fewer states, the fewer matrices
        slides = trial > 0.0
        slides &= ~stick
        slides &= closed[:, self.contacts, None]
        return ContactState(normal, flat, reaction, closed, stick.reshape(len(u), t), slides.reshape(len(u), t))

    def reaction(self, u: Array, case: Index) -> Array:
        """What the links push on the bodies (n, 6 b) at displacements (n, 6 b) of some cases (n,)."""
        normal, _, _, tangential = self._forces(u, case)
        pushed = normal @ self.links.direction
        if len(self.links.tangent_stiffness):
            pushed += tangential.reshape(len(u), -1) @ self.links.tangent_direction
        return pushed

    def _forces(self, u: Array, case: Index) -> tuple[Array, Mask, Array, Array]:
        """Normal forces (n, m), which are closed, and by contact the friction that would stick and what it comes to,
        (n, p, axes)."""
        pull = u @ self.give
        if self.factor is not None:
            pull *= rows_or_broadcast(self.factor, case)
        if self._f0 is not None:
            pull += rows_or_broadcast(self._f0, case)
        closed = pull > 0.0
        if self._two_way is None:
            normal = np.maximum(pull, 0.0, out=pull)
        else:
            closed |= self._two_way
            normal = pull * closed
        trial = (u @ self.drag).reshape(len(u), len(self.contacts), self.axes)
        if self.contact_factor is not None:
            trial *= rows_or_broadcast(self.contact_factor, case)[:, :, None]
        bound = np.maximum(normal[:, self.contacts], 0.0)
        bound *= rows_or_broadcast(self.contact_limit, case)
        bound = bound[:, :, None]
        tangential = np.minimum(trial, bound)
        return normal, closed, trial, np.maximum(tangential, -bound, out=tangential)
