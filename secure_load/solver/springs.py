"""The links that hold one rigid body, or several that touch, as arrays.

A link is a one-way spring (bed, cleat, batten, line), a both-way spring (bolt, bond), or a friction spring
that lives on a one-way spring's normal force. With small displacement d and rotation theta of the weight,
and rho a length of its own size, the unknowns are u = (d, rho theta); a link with the force direction n at
the point p from the centre of gravity has

    g = [n ; p x n / rho]        f = max(0, f0 - k g . u).

Several bodies have their unknowns one after another; a contact between two of them is one link that pushes
both, with opposite signs. A gap before a link takes up is a force below nil at no displacement, f0 = -k gap.

Friction at a contact is an elastic-plastic spring in the tangent plane whose limit is the disc of radius mu N: two
rows, square to each other, whose force is returned radially to the disc where it would leave it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask

Vector = Array


@dataclass(frozen=True, eq=False)
class SpringSet:
    """All links of one body: m normal rows, and t = 2 p friction rows, two for each of p contacts with friction."""

    direction: Array
    """(m, 6 b) directions of the normal rows, in scaled coordinates."""
    stiffness: Array
    """(m,) stiffness, N/m."""
    preload: Array
    """(m,) force at no displacement, N: above nil where it is tight, below where there is slack first."""
    gap: Array
    """(m,) slack before it takes up, m: it is reached with a jerk."""
    one_way: Mask
    """(m,) True where the link can only press, or only pull, along g."""
    restraint: Index
    """(m,) which restraint the row belongs to."""
    measured: Mask
    """(m,) True where the stiffness was measured and is not to be doubted."""
    tangent_direction: Array
    """(t, 6 b) directions of the friction rows."""
    tangent_stiffness: Array
    """(t,) tangential stiffness."""
    friction_limit: Array
    """(t,) coefficient of friction of the contact, the same for both of its rows."""
    normal: Index
    """(t,) the normal row each friction row lives on."""
    is_face: Mask
    """(m,) True for a fixed face that a body stands on or lies against."""
    rotation_scale: tuple[float, ...]
    """By body: the length that makes rotations commensurate with displacements, m."""

    @property
    def unknowns(self) -> int:
        """Six for each body."""
        return self.direction.shape[1]

    @property
    def has_preload(self) -> bool:
        """True where something is tight or slack at rest, so that the answer does not scale with the load."""
        return bool(np.any(self.preload != 0.0))

    def without_restraint(self, restraint: int) -> SpringSet:
        """The same body with one restraint taken away."""
        return self.subset(self.restraint != restraint)

    def subset(self, rows: Mask) -> SpringSet:
        """The same body with only some normal rows, and the friction that lives on them."""
        new_index = np.cumsum(rows) - 1
        friction = rows[self.normal]
        return replace(
            self,
            direction=self.direction[rows],
            stiffness=self.stiffness[rows],
            preload=self.preload[rows],
            gap=self.gap[rows],
            one_way=self.one_way[rows],
            restraint=self.restraint[rows],
            measured=self.measured[rows],
            is_face=self.is_face[rows],
            tangent_direction=self.tangent_direction[friction],
            tangent_stiffness=self.tangent_stiffness[friction],
            friction_limit=self.friction_limit[friction],
            normal=new_index[self.normal[friction]],
        )

    def with_stiffness_scaled(self, factor: Array) -> SpringSet:
        """The same body with each normal row's stiffness, and its friction's, times a factor (m,).

        Slack stays the same length and a tight line the same tension.
        """
        slack = self.preload < 0.0
        return replace(
            self,
            stiffness=self.stiffness * factor,
            preload=np.where(slack, self.preload * factor, self.preload),
            tangent_stiffness=self.tangent_stiffness * factor[self.normal],
        )

    def frictionless(self) -> SpringSet:
        """The same body with every surface greased."""
        none = np.zeros(0)
        return replace(
            self,
            tangent_direction=np.zeros((0, self.unknowns)),
            tangent_stiffness=none,
            friction_limit=none,
            normal=np.zeros(0, dtype=np.int64),
        )


@dataclass(frozen=True)
class Attachment:
    """One place where a link acts."""

    point: Vector
    """(3,) from the body's centre of gravity, m."""
    direction: Vector
    """(3,) unit vector of the force on the body."""
    body: int = 0


@dataclass(frozen=True)
class Spring:
    """One normal row before it goes into the arrays."""

    restraint: int
    attachments: Sequence[Attachment]
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


def generalised(legs: Sequence[Attachment], rho: Sequence[float]) -> Vector:
    """g = sum over the legs of [n ; p x n / rho] in each leg's own body, (6 b,)."""
    g = np.zeros((len(rho), 6))
    for leg in legs:
        g[leg.body, :3] += leg.direction
        g[leg.body, 3:] += moment(leg.point, leg.direction) / rho[leg.body]
    return g.ravel()


def tangents(normal: Vector) -> list[Vector]:
    """Two unit vectors square to a normal and to each other."""
    axis = int(np.argmin(np.abs(normal)))
    first = np.eye(3)[axis] - normal[axis] * normal
    first /= np.linalg.norm(first)
    return [first, moment(normal, first)]


def assemble(springs: Sequence[Spring], rho: Sequence[float]) -> SpringSet:
    """Arrays for some bodies from their list of links; rho in m, one for each body."""
    unknowns = 6 * len(rho)
    gt: list[Vector] = []
    kt: list[float] = []
    limit: list[float] = []
    normal: list[int] = []
    for index, link in enumerate(springs):
        if link.friction <= 0.0:
            continue
        first = link.attachments[0].direction
        for tangent in tangents(first):
            # where two bodies touch, the second leg's direction is opposite and so is the drag on it
            attachments = [
                replace(leg, direction=tangent * float(np.sign(leg.direction @ first))) for leg in link.attachments
            ]
            gt.append(generalised(attachments, rho))
            kt.append(link.stiffness * link.tangential_ratio)
            limit.append(link.friction)
            normal.append(index)
    return SpringSet(
        direction=np.array([generalised(link.attachments, rho) for link in springs], dtype=float).reshape(-1, unknowns),
        stiffness=np.array([link.stiffness for link in springs], dtype=float),
        preload=np.array([link.preload - link.stiffness * link.gap for link in springs], dtype=float),
        gap=np.array([link.gap for link in springs], dtype=float),
        one_way=np.array([link.one_way for link in springs], dtype=bool),
        restraint=np.array([link.restraint for link in springs], dtype=np.int64),
        measured=np.array([link.measured for link in springs], dtype=bool),
        is_face=np.array([link.face for link in springs], dtype=bool),
        tangent_direction=np.array(gt, dtype=float).reshape(-1, unknowns),
        tangent_stiffness=np.array(kt, dtype=float),
        friction_limit=np.array(limit, dtype=float),
        normal=np.array(normal, dtype=np.int64),
        rotation_scale=tuple(rho),
    )


def batched_products(factor: Array, left: Array, right: Array) -> Array:
    """factor_i left_i right_i^T for each row, flattened, (rows, d d)."""
    return (factor[:, None, None] * left[:, :, None] * right[:, None, :]).reshape(len(factor), left.shape[1] ** 2)
