"""Sets of links that differ only in their figures, so that they can be worked side by side.

The bounds of stiffness and friction, and a stow with one restraint after another taken away, have the same
directions; what differs is how stiff each link is, how tight, and how much its friction may bear. An instant of any
of them is a row of the same arrays, which says by its ``case`` whose figures it goes by.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
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

    @cached_property
    def frictionless(self) -> CaseSet:
        """The same with every surface greased."""
        none = np.zeros((1, 0))
        parameters = replace(self.parameters, tangent_stiffness=none, friction_limit=none)
        return CaseSet(self.links.frictionless(), parameters, self.count)

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
    """Forces and contact states of n rows at some displacements."""

    normal: Array
    """(n, m) normal forces."""
    tangential: Array
    """(n, 2 p) friction forces."""
    reaction: Array
    """(n, 6 b) resultant of the springs on the bodies."""
    closed: Mask
    """(n, m)"""
    radial: Array
    """(n, p) share of the elastic friction force that is left by the return to the disc: 1 where the contact sticks."""
    slip: Array
    """(n, p, 2) unit direction of the friction force where the contact slides; nil where it sticks."""

    def subset(self, rows: Mask | Index) -> ContactState:
        """The state of some rows."""
        return ContactState(
            self.normal[rows],
            self.tangential[rows],
            self.reaction[rows],
            self.closed[rows],
            self.radial[rows],
            self.slip[rows],
        )

    def assign(self, rows: Index, other: ContactState) -> None:
        """Put the rows of another state in place of some rows."""
        self.normal[rows], self.tangential[rows], self.reaction[rows] = other.normal, other.tangential, other.reaction
        self.closed[rows], self.radial[rows], self.slip[rows] = other.closed, other.radial, other.slip


class SpringForces:
    """Forces of the springs of some cases. The two friction rows of a contact follow one another (``assemble``)."""

    def __init__(self, cases: CaseSet) -> None:
        links, figures = cases.links, cases.parameters
        self.links = links
        self.normal_gain = -(links.direction * links.stiffness[:, None]).T
        self.tangential_gain = -(links.tangent_direction * links.tangent_stiffness[:, None]).T
        self.factor = _over(figures.stiffness, links.stiffness)
        """(c | 1, m) stiffness of each case over that in ``normal_gain``; None where it is the same in all."""
        self.contacts = links.normal[::2]
        """(p,) the normal rows that have friction."""
        assert (links.normal == np.repeat(self.contacts, 2)).all()
        self._f0 = figures.preload if figures.preload.any() else None
        self._two_way = None if links.one_way.all() else ~links.one_way
        self.friction = figures.friction_limit[:, ::2]
        """(c | 1, p) coefficients of friction."""
        by_row = _over(figures.tangent_stiffness, links.tangent_stiffness)
        self.contact_factor = None if by_row is None else by_row[:, ::2]
        """(c | 1, p) tangential stiffness of each case over that in ``tangential_gain``."""

    def evaluate(self, u: Array, case: Index) -> ContactState:
        """Forces and contact states at displacements (n, 6 b) of some cases (n,)."""
        normal, closed = self._normal(u, case)
        bound = np.maximum(normal[:, self.contacts], 0.0)
        bound *= rows_or_broadcast(self.friction, case)
        elastic = self.elastic_friction(u, case)
        tangential, radial, slip = radial_return(elastic, bound)
        flat = tangential.reshape(len(u), -1)
        return ContactState(
            normal, flat, normal @ self.links.direction + flat @ self.links.tangent_direction, closed, radial, slip
        )

    def reaction(self, u: Array, case: Index) -> Array:
        """Resultant (n, 6 b) of the springs on the bodies at displacements (n, 6 b) of some cases (n,)."""
        return self.evaluate(u, case).reaction

    def elastic_friction(self, u: Array, case: Index) -> Array:
        """Friction (n, p, 2) if every contact stuck, at displacements (n, 6 b)."""
        elastic = (u @ self.tangential_gain).reshape(len(u), len(self.contacts), 2)
        if self.contact_factor is not None:
            elastic *= rows_or_broadcast(self.contact_factor, case)[:, :, None]
        return elastic

    def _normal(self, u: Array, case: Index) -> tuple[Array, Mask]:
        """Normal forces (n, m) and which contacts are closed."""
        pull = u @ self.normal_gain
        if self.factor is not None:
            pull *= rows_or_broadcast(self.factor, case)
        if self._f0 is not None:
            pull += rows_or_broadcast(self._f0, case)
        closed = pull > 0.0
        if self._two_way is None:
            return np.maximum(pull, 0.0, out=pull), closed
        closed |= self._two_way
        return pull * closed, closed


def radial_return(elastic: Array, bound: Array) -> tuple[Array, Array, Array]:
    """Friction (n, p, 2) cut back radially to discs of radius ``bound`` (n, p), what share is left, (n, p), and the
    unit directions (n, p, 2) of what was cut, nil for the others.

    J. C. Simo and T. J. R. Hughes, Computational Inelasticity (1998), radial return (memory).
    """
    x, y = elastic[:, :, 0], elastic[:, :, 1]
    size = np.sqrt(x * x + y * y)
    slides = size > bound
    size[~slides] = 1.0
    radial = np.where(slides, bound / size, 1.0)
    slip = elastic * (slides / size)[:, :, None]
    return elastic * radial[:, :, None], radial, slip
