"""The links that hold one rigid body, or several that touch, as arrays.

A link is a one-way spring (bed, cleat, batten, line), a both-way spring (bolt, bond), or a friction spring
that lives on a one-way spring's normal force. With small displacement d and rotation theta of the weight,
and rho a length of its own size, the unknowns are u = (d, rho theta); a link with the force direction n at
the point p from the centre of gravity has

    g = [n ; p x n / rho]        f = max(0, f0 - k g . u).

Several bodies have their unknowns one after another; a contact between two of them is one link that pushes
both, with opposite signs. A gap before a link takes up is a force below nil at no displacement, f0 = -k gap.

Friction at a contact is an elastic-plastic spring in the tangent plane whose limit is mu N. The limit
circle is replaced by a regular polygon of ``2 x FRICTION_AXES`` sides inside it, made up of
``FRICTION_AXES`` one-dimensional springs: the polygon touches the circle fore-and-aft and athwartships
(on a level face), and lies at most 2 % inside it elsewhere, always on the cautious side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask

Vector = Array

FRICTION_AXES = 8
"""Half the number of sides of the friction polygon: cos(pi/16) = 0.981, within 2 % of the circle."""


@dataclass(frozen=True, eq=False)
class Links:
    """All links of one body: first the m normal rows, then the t friction rows that live on some of them."""

    g: Array
    """(m, 6 b) directions of the normal rows, in scaled coordinates."""
    k: Array
    """(m,) stiffness, N/m."""
    f0: Array
    """(m,) force at no displacement, N: above nil where it is tight, below where there is slack first."""
    gap: Array
    """(m,) slack before it takes up, m: it is reached with a jerk."""
    one_way: Mask
    """(m,) True where the link can only press, or only pull, along g."""
    restraint: Index
    """(m,) which restraint the row belongs to."""
    measured: Mask
    """(m,) True where the stiffness was measured and is not to be doubted."""
    gt: Array
    """(t, 6 b) directions of the friction rows."""
    kt: Array
    """(t,) tangential stiffness."""
    limit: Array
    """(t,) limit of this friction row as a fraction of its normal force."""
    normal: Index
    """(t,) the normal row each friction row lives on."""
    faces: Mask
    """(m,) True for a fixed face that a body stands on or lies against."""
    rho: tuple[float, ...]
    """By body: the length that makes rotations commensurate with displacements, m."""

    @property
    def unknowns(self) -> int:
        """Six for each body."""
        return self.g.shape[1]

    @property
    def has_preload(self) -> bool:
        """True where something is tight or slack at rest, so that the answer does not scale with the load."""
        return bool(np.any(self.f0 != 0.0))

    def without(self, restraint: int) -> Links:
        """The same body with one restraint taken away."""
        return self.keeping(self.restraint != restraint)

    def keeping(self, rows: Mask) -> Links:
        """The same body with only some normal rows, and the friction that lives on them."""
        new_index = np.cumsum(rows) - 1
        friction = rows[self.normal]
        return replace(
            self,
            g=self.g[rows],
            k=self.k[rows],
            f0=self.f0[rows],
            gap=self.gap[rows],
            one_way=self.one_way[rows],
            restraint=self.restraint[rows],
            measured=self.measured[rows],
            faces=self.faces[rows],
            gt=self.gt[friction],
            kt=self.kt[friction],
            limit=self.limit[friction],
            normal=new_index[self.normal[friction]],
        )

    def stiffened(self, factor: Array) -> Links:
        """The same body with each normal row's stiffness, and its friction's, times a factor (m,).

        Slack stays the same length and a tight line the same tension.
        """
        slack = self.f0 < 0.0
        return replace(
            self,
            k=self.k * factor,
            f0=np.where(slack, self.f0 * factor, self.f0),
            kt=self.kt * factor[self.normal],
        )

    def frictionless(self) -> Links:
        """The same body with every surface greased."""
        none = np.zeros(0)
        return replace(self, gt=np.zeros((0, self.unknowns)), kt=none, limit=none, normal=np.zeros(0, dtype=np.int64))


@dataclass(frozen=True)
class Leg:
    """One place where a link acts."""

    point: Vector
    """(3,) from the body's centre of gravity, m."""
    direction: Vector
    """(3,) unit vector of the force on the body."""
    body: int = 0


@dataclass(frozen=True)
class Link:
    """One normal row before it goes into the arrays."""

    restraint: int
    legs: Sequence[Leg]
    """More than one for a line that runs over the weight with one tension, and for two weights in touch."""
    stiffness: float
    preload: float = 0.0
    one_way: bool = True
    friction: float = 0.0
    tangential_ratio: float = 0.0
    """Tangential over normal stiffness of the contact."""
    gap: float = 0.0
    """Slack before it takes up, m."""
    measured: bool = False
    """True where the stiffness was measured."""
    face: bool = False
    """True for a fixed face that the body stands on or lies against; False for what is put over it, a line, a body."""


def moment(point: Vector, force: Vector) -> Vector:
    """point x force, (3,); numpy's own takes its time over two vectors."""
    (x, y, z), (a, b, c) = point.tolist(), force.tolist()
    return np.array([y * c - z * b, z * a - x * c, x * b - y * a])


def generalised(legs: Sequence[Leg], rho: Sequence[float]) -> Vector:
    """g = sum over the legs of [n ; p x n / rho] in each leg's own body, (6 b,)."""
    g = np.zeros((len(rho), 6))
    for leg in legs:
        g[leg.body, :3] += leg.direction
        g[leg.body, 3:] += moment(leg.point, leg.direction) / rho[leg.body]
    return g.ravel()


def tangents(normal: Vector, axes: int = FRICTION_AXES) -> list[Vector]:
    """So many unit vectors in the plane square to a normal, evenly spread.

    The polygon they make has a corner along both of the boat's axes that lie in a level or upright face.
    """
    axis = int(np.argmin(np.abs(normal)))
    first = np.eye(3)[axis] - normal[axis] * normal
    first /= np.linalg.norm(first)
    second = moment(normal, first)
    angles = (np.arange(axes) + 0.5) * np.pi / axes
    return [np.cos(a) * first + np.sin(a) * second for a in angles]


def assemble(links: Sequence[Link], rho: Sequence[float], axes: int = FRICTION_AXES) -> Links:
    """Arrays for some bodies from their list of links; rho in m, one for each body.

    ``axes``: friction springs at a contact, half the sides of its polygon; even.
    """
    unknowns = 6 * len(rho)
    gt: list[Vector] = []
    kt: list[float] = []
    limit: list[float] = []
    normal: list[int] = []
    # n equally spread one-dimensional springs of stiffness s add up to n s / 2 in every direction, and
    # reach their corner at limit / sin(pi / 2n)
    corner = np.sin(np.pi / (2 * axes))
    for index, link in enumerate(links):
        if link.friction <= 0.0:
            continue
        first = link.legs[0].direction
        for tangent in tangents(first, axes):
            # where two bodies touch, the second leg's direction is opposite and so is the drag on it
            legs = [replace(leg, direction=tangent * float(np.sign(leg.direction @ first))) for leg in link.legs]
            gt.append(generalised(legs, rho))
            kt.append(link.stiffness * link.tangential_ratio * 2.0 / axes)
            limit.append(link.friction * corner)
            normal.append(index)
    return Links(
        g=np.array([generalised(link.legs, rho) for link in links], dtype=float).reshape(-1, unknowns),
        k=np.array([link.stiffness for link in links], dtype=float),
        f0=np.array([link.preload - link.stiffness * link.gap for link in links], dtype=float),
        gap=np.array([link.gap for link in links], dtype=float),
        one_way=np.array([link.one_way for link in links], dtype=bool),
        restraint=np.array([link.restraint for link in links], dtype=np.int64),
        measured=np.array([link.measured for link in links], dtype=bool),
        faces=np.array([link.face for link in links], dtype=bool),
        gt=np.array(gt, dtype=float).reshape(-1, unknowns),
        kt=np.array(kt, dtype=float),
        limit=np.array(limit, dtype=float),
        normal=np.array(normal, dtype=np.int64),
        rho=tuple(rho),
    )


def products(factor: Array, left: Array, right: Array) -> Array:
    """factor_i left_i right_i^T for each row, flattened, (rows, d d)."""
    return (factor[:, None, None] * left[:, :, None] * right[:, None, :]).reshape(len(factor), left.shape[1] ** 2)
