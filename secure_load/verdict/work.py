"""How hard every part is worked at every instant."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import reduce

import numpy as np

from secure_load.boat.models import Bed
from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.equilibrium import Equilibrium, solve
from secure_load.statics.links import Links
from secure_load.statics.newton import Begin, Order
from secure_load.strength.pads import sudden_load
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
class Pressed:
    """The most that a bed bears, N, each at its own worst instant."""

    total: float
    """All of it together."""
    corner: float
    """Its hardest pressed corner, which stands for a quarter of it."""


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
    pressed: dict[int, Pressed] = field(default_factory=dict[int, "Pressed"])
    """By bed, the most it bears over the instants at which it is held."""
    near_most: Mask | None = None
    """(n,) True where some part is worked, or some bed or its corner pressed, nearly the most it is; None: not kept."""

    def worst(self, stowed: Stowed, member: int) -> Array:
        """(n,) the greatest utilisation of any of a member's restraints; infinite where it is free to move."""
        own = [f.index for f in stowed.of(member)]
        return np.where(self.adrift[:, member], np.inf, self.by_restraint[:, own].max(axis=1, initial=0.0))


def work(
    stowed: Stowed,
    bound: str,
    links: Links,
    load: Array,
    order: Order | None = None,
    patient: bool = True,
    begin: Begin | None = None,
) -> Worked:
    """Solve a group under loads (n, 3) or (n, 6 b) with some set of its links, and work out its parts.

    ``bound`` names the set of links, for the record.
    """
    found = solve(links, load, order, patient, begin)
    by_restraint = np.zeros((len(load), len(stowed.fittings)))
    peaks: list[list[Peak]] = []
    pressed: dict[int, Pressed] = {}
    near_most = np.zeros(len(load), dtype=bool)
    for fitting, parts in zip(stowed.fittings, stowed.parts, strict=True):
        rows = rows_of(links, fitting.index)
        own: list[Peak] = []
        is_bed = isinstance(fitting.restraint, Bed)
        if len(rows) and (parts or is_bed):
            loose = found.adrift[:, fitting.owner]
            forces = found.normal[:, rows]
            forces[loose] = 0.0
            forces = jerked(links, rows, forces)
            if is_bed:
                pressed[fitting.index] = most = pressing(forces)
                if most.total > 0.0:
                    near_most |= forces @ np.ones(forces.shape[1]) > NEARLY * most.total
                    near_most |= forces.max(axis=1) > NEARLY * most.corner
            drag = drag_of(links, found, rows, loose) if parts else np.zeros(len(load))
            column = by_restraint[:, fitting.index]
            for part in parts:
                demand, ratio = part.working(forces, drag)
                np.maximum(column, ratio, out=column)
                near_most |= (ratio > NEARLY * ratio.max(initial=0.0)) & (ratio > 0.0)
                at = int(ratio.argmax()) if len(ratio) else 0
                own.append(
                    Peak(float(ratio[at]), float(demand[at]), at, bound) if len(ratio) else Peak(0.0, 0.0, 0, bound)
                )
        peaks.append(own)
    return Worked(by_restraint, found.adrift, found.u, peaks, found.handed_over, pressed, near_most)


def jerked(links: Links, rows: Index, forces: Array) -> Array:
    """Forces (n, rows) with what the weight brings along where it first has to move through slack."""
    slack = np.maximum(-links.f0[rows], 0.0) / links.k[rows]
    if not slack.any():
        return forces
    return np.where(slack > 0.0, sudden_load(np.maximum(forces, 0.0), slack, links.k[rows]), forces)


def rows_of(links: Links, fitting: int) -> Index:
    """The rows of one fitting that load its parts."""
    rows = np.flatnonzero(links.restraint == fitting)
    if not links.one_way[rows].all():
        # what bolts and bonds bear by pressing is not a load on them
        rows = rows[~links.one_way[rows]]
    return rows


def pressing(forces: Array) -> Pressed:
    """The most that a bed bears at any of n instants; forces (n, corners) in N."""
    return Pressed(float((forces @ np.ones(forces.shape[1])).max(initial=0.0)), float(forces.max(initial=0.0)))


def harder_pressed(a: dict[int, Pressed], b: dict[int, Pressed]) -> dict[int, Pressed]:
    """The worse of two sets of instants, bed by bed."""
    none = Pressed(0.0, 0.0)
    both = {bed: (a.get(bed, none), b.get(bed, none)) for bed in {*a, *b}}
    return {bed: Pressed(max(x.total, y.total), max(x.corner, y.corner)) for bed, (x, y) in both.items()}


WORTH_A_LOOK = 0.7
"""Share of a scenario's greatest utilisation below which, at coarse heels on both sides, none is looked at between."""
NEARLY = 0.98
"""Share of the most that a part is worked or a bed pressed, at coarse heels, from which those beside are looked at."""
DOUBTFUL = 0.7
"""Utilisation from which the heels between two coarse ones are looked at, unless both are red: one may be amber."""


def _worth_a_look(worst: Array, order: Order, near: Index, far: Index) -> Mask:
    """Which loads between coarse heels may matter, (rest,), from one weight's utilisation at those, (first,).

    Where the verdict changes between the two heels beside it; where it is in doubt; and where it comes near the
    greatest of a scenario the load occurs in.
    """
    red = worst > 1.0
    either = np.maximum(worst[near], worst[far])
    held = np.where(np.isinf(worst), 0.0, worst)
    if order.scenarios is None:
        least = np.full(len(near), held.max(initial=0.0))
    else:
        most = np.where(order.scenarios[order.first], held[:, None], 0.0).max(axis=0, initial=0.0)
        least = np.where(order.scenarios[order.rest], most, np.inf).min(axis=1)
    doubtful = (either >= DOUBTFUL) & ~(red[near] & red[far])
    near_worst = ~np.isinf(either) & (either > 0.0) & (either >= WORTH_A_LOOK * least)
    return (red[near] != red[far]) | doubtful | near_worst


def work_refined(stowed: Stowed, bound: str, links: Links, load: Array, order: Order) -> Worked:
    """As ``work``, with coarse heels first and all heels only where they can matter.

    Between two coarse heels nothing is solved where both are well below the greatest utilisation, or where the
    same weights are red at both; such instants keep the worse figures of the two.
    """
    first, rest = order.first, order.rest
    coarse = work(stowed, bound, links, load[first], order.coarser)
    place = np.full(len(load), -1)
    place[first] = np.arange(len(first))
    near, far = place[order.near], place[order.far]
    assert coarse.near_most is not None
    worth = coarse.near_most[near] | coarse.near_most[far]
    for member in range(len(stowed.members)):
        worth |= _worth_a_look(coarse.worst(stowed, member), order, near, far)
    if not worth.any():
        worth[:1] = True
    look = rest[worth]
    fine = work(stowed, bound, links, load[look], begin=Begin(coarse.u, load[first], near[worth]))
    by_restraint = np.zeros((len(load), len(stowed.fittings)))
    adrift = np.zeros((len(load), len(stowed.members)), dtype=bool)
    u = np.zeros((len(load), load.shape[1]))
    by_restraint[first], adrift[first], u[first] = coarse.by_restraint, coarse.adrift, coarse.u
    skipped = rest[~worth]
    by_restraint[skipped] = np.maximum(coarse.by_restraint[near[~worth]], coarse.by_restraint[far[~worth]])
    adrift[skipped] = coarse.adrift[near[~worth]] | coarse.adrift[far[~worth]]
    u[skipped] = coarse.u[near[~worth]]
    by_restraint[look], adrift[look], u[look] = fine.by_restraint, fine.adrift, fine.u
    peaks = [
        [
            replace(x, at=int(first[x.at])) if x.utilisation >= y.utilisation else replace(y, at=int(look[y.at]))
            for x, y in zip(p, q, strict=True)
        ]
        for p, q in zip(coarse.peaks, fine.peaks, strict=True)
    ]
    pressed = harder_pressed(coarse.pressed, fine.pressed)
    return Worked(by_restraint, adrift, u, peaks, coarse.handed_over + fine.handed_over, pressed)


def work_all(stowed: Stowed, load: Array, order: Order | None = None) -> Worked:
    """The worst over every bound of stiffness and friction, instant by instant and part by part."""

    def one(bound: tuple[str, Links]) -> Worked:
        name, links = bound
        if order is None or not len(order.rest):
            return work(stowed, name, links, load, order)
        return work_refined(stowed, name, links, load, order)

    return reduce(harder, map(one, stowed.bounds.items()))


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
        pressed=harder_pressed(a.pressed, b.pressed),
    )


def drag_of(links: Links, found: Equilibrium, rows: Index, loose: Mask) -> Array:
    """Resultant of the friction at some contacts, (n,), N."""
    own = np.isin(links.normal, rows)
    if not own.any():
        return np.zeros(len(found.u))
    # each friction row's own direction on the first body it touches
    body = int(np.flatnonzero(links.gt[own][0])[0]) // 6 if links.gt[own].any() else 0
    pull = found.tangential[:, own] @ links.gt[own, 6 * body : 6 * body + 3]
    pull[loose] = 0.0
    return np.linalg.norm(pull, axis=1)
