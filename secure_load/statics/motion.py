"""What the boat does, and what each weight then feels.

Axes: x forward, y to port, z up. Heel is a rotation about x (positive: starboard side down), pitch a
rotation about y (positive: bow down). The boat is pitched first and then heeled about her own x axis, so
gravity in her axes is

    R(heel, pitch)^T (0, 0, -g) = g (sin p, -cos p sin h, -cos p cos h).

The load on a weight of mass m at r from the roll axis (d'Alembert; any text on dynamics in a moving frame)

    F = m [ n R^T g  -  a  -  alpha x r  -  omega x (omega x r) ]

with n the load factor on gravity, a the boat's own linear acceleration in her axes, and omega, alpha her
roll rate and roll acceleration about x. With it comes the moment -I alpha about x, I the weight's moment of inertia
about its own centre of gravity (``Body.roll_inertia``; put on in ``verdict.stow``).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from secure_load.boat.models import HeelRange, Scenario
from secure_load.catalogue.lookup import factor
from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.newton import Order

STEPS = (5, 20)
"""Every so many heels are solved first, and of those every so many before them; the others start from them."""


@dataclass(frozen=True)
class Instants:
    """A family of moments: ``rows`` histories of ``columns`` heels each, laid out row after row.

    All arrays have length rows x columns; angles in degrees, accelerations in g, rates in rad/s.
    """

    rows: int
    columns: int
    heel_deg: Array
    pitch_deg: Array
    load_factor: Array
    acceleration_g: Array
    """(n, 3)"""
    roll_rate: Array
    roll_acceleration: Array
    pull_at_most_N: Array
    """Ceiling on the force of a pull test, N; not a number where there is none."""

    def __len__(self) -> int:
        return len(self.heel_deg)

    def at(self, index: Index) -> Instants:
        """Some of these instants."""
        return Instants(
            rows=len(index),
            columns=1,
            heel_deg=self.heel_deg[index],
            pitch_deg=self.pitch_deg[index],
            load_factor=self.load_factor[index],
            acceleration_g=self.acceleration_g[index],
            roll_rate=self.roll_rate[index],
            roll_acceleration=self.roll_acceleration[index],
            pull_at_most_N=self.pull_at_most_N[index],
        )


FINEST_NEEDED = 1.0
"""Degrees: nothing is checked at heels further apart, so that a long step misses nothing between."""


def heels(scenario: Scenario) -> Array:
    """The heels a scenario asks for, going outward, in degrees; the last one is always included."""
    span: HeelRange = scenario.heel_deg
    count = int(np.floor((span.to - span.from_) / span.step + 1e-9)) + 1
    values = span.from_ + span.step * np.arange(count)
    if values[-1] < span.to - 1e-9:
        values = np.append(values, span.to)
    return values


def finely(scenario: Scenario) -> Scenario:
    """The scenario with a step longer than ``FINEST_NEEDED`` divided evenly.

    Between heels a degree apart a load turns by 1.7 % and its size hardly changes: the worst is found to a few
    parts in ten thousand.
    """
    span = scenario.heel_deg
    if span.step <= FINEST_NEEDED:
        return scenario
    step = span.step / float(np.ceil(span.step / FINEST_NEEDED - 1e-9))
    return scenario.model_copy(update={"heel_deg": span.model_copy(update={"step": step})})


@dataclass(frozen=True)
class Family:
    """The instants of several scenarios, one after another, and the distinct loads among them."""

    scenarios: list[Scenario]
    instants: Instants
    scenario: Index
    """(n,) which scenario each instant belongs to."""
    distinct: Index
    """(d,) one instant for each load that differs from all others."""
    which: Index
    """(n,) the place in ``distinct`` of each instant's load."""
    order: Order
    """Over ``distinct``, for a weight by itself."""
    histories: list[Index]
    """By scenario, its instants (rows, columns), each row a history outward from upright."""

    @cached_property
    def occurs(self) -> Mask:
        """(d, scenarios) in which of them each distinct load occurs."""
        found = np.zeros((len(self.distinct), len(self.scenarios)), dtype=bool)
        found[self.which, self.scenario] = True
        return found

    def with_ends(self, greatest: Index) -> Index:
        """The greatest distinct loads of a net's cells, and those at either end of a history.

        The ends reach furthest out, where what is free may be no wider than a cell.
        """
        ends = [self.which[history[:, [0, -1]]].ravel() for history in self.histories]
        return np.unique(np.concatenate([greatest, *ends]))

    @cached_property
    def outward(self) -> Order:
        """The same for weights that touch: from upright outward, each heel from the one before it, for with many
        contacts a guess from far off seldom settles."""
        return replace(self.order, coarser=_outward(self.histories, self.which, self.order.first))


def family(scenarios: list[Scenario]) -> Family:
    """All instants of some scenarios. Instants that feel alike (weightless at any heel, say) are solved once."""
    each = [instants(finely(s)) for s in scenarios]
    starts = np.cumsum([0, *[len(one) for one in each]])
    whole = Instants(
        rows=sum(one.rows for one in each),
        columns=0,
        heel_deg=np.concatenate([one.heel_deg for one in each]),
        pitch_deg=np.concatenate([one.pitch_deg for one in each]),
        load_factor=np.concatenate([one.load_factor for one in each]),
        acceleration_g=np.concatenate([one.acceleration_g for one in each]),
        roll_rate=np.concatenate([one.roll_rate for one in each]),
        roll_acceleration=np.concatenate([one.roll_acceleration for one in each]),
        pull_at_most_N=np.concatenate([one.pull_at_most_N for one in each]),
    )
    felt = (
        whole.load_factor[:, None] * gravity_direction(np.radians(whole.heel_deg), np.radians(whole.pitch_deg))
        - whole.acceleration_g
    )
    # where a pull has a ceiling, it matters how much of what is felt is the pull
    capped = ~np.isnan(whole.pull_at_most_N)
    marks = np.column_stack(
        [
            felt,
            whole.roll_rate**2,
            whole.roll_acceleration,
            np.nan_to_num(whole.pull_at_most_N),
            whole.acceleration_g * capped[:, None],
        ]
    )
    # adding nil turns -0.0 into 0.0: unique compares bytes
    _, distinct, which = np.unique(np.round(marks, 10) + 0.0, axis=0, return_index=True, return_inverse=True)
    which = which.ravel()
    blocks = [
        start + np.arange(len(one)).reshape(one.rows, one.columns) for start, one in zip(starts[:-1], each, strict=True)
    ]
    scenario = np.repeat(np.arange(len(each)), [len(one) for one in each])
    return Family(
        scenarios=scenarios,
        instants=whole,
        scenario=scenario,
        distinct=distinct,
        which=which,
        order=_order(blocks, distinct, which, np.arange(len(distinct)), STEPS),
        histories=blocks,
    )


def _order(blocks: list[Index], distinct: Index, which: Index, among: Index, steps: tuple[int, ...]) -> Order:
    """The order of some distinct loads: those at every so many heels of a history first.

    blocks: by scenario, the instants (rows, columns) of its histories; among (d,): the loads, as places in
    ``distinct`` (see ``Family``).
    """
    ahead = np.zeros(len(distinct), dtype=bool)
    near, far = np.empty(len(which), dtype=np.int64), np.empty(len(which), dtype=np.int64)
    for place in blocks:
        column = np.arange(int(place.shape[1]))
        coarse = _coarse(len(column), steps[0])
        ahead[which[place[:, coarse]]] = True
        nearest = coarse[np.abs(column[:, None] - coarse[None, :]).argmin(axis=1)]
        before, after = (
            coarse[np.searchsorted(coarse, column, side="right") - 1],
            coarse[np.searchsorted(coarse, column)],
        )
        near[place] = place[:, nearest]
        far[place] = place[:, np.where(nearest == before, after, before)]
    first, rest = among[ahead[among]], among[~ahead[among]]
    turn = np.full(len(distinct), -1)
    turn[among] = np.arange(len(among))
    return Order(
        first=turn[first],
        rest=turn[rest],
        near=turn[which[near[distinct[rest]]]],
        far=turn[which[far[distinct[rest]]]],
        coarser=_order(blocks, distinct, which, first, steps[1:]) if steps[1:] else None,
    )


def _coarse(count: int, step: int) -> Index:
    """Every so many columns, and the last."""
    return np.unique(np.append(np.arange(0, count, step), count - 1))


def _outward(blocks: list[Index], which: Index, among: Index) -> Order:
    """The order of the distinct loads ``among``, all at coarse heels: a heel at a time, outward.

    A load that occurs more than once comes where it occurs nearest to the start of a history.
    """
    turn = np.full(int(which.max(initial=0)) + 1, np.iinfo(np.int64).max)
    before = np.zeros(len(turn), dtype=np.int64)
    for place in blocks:
        coarse = _coarse(place.shape[1], STEPS[0])
        for number, column in enumerate(coarse):
            load = which[place[:, column]]
            sooner = turn[load] > number
            turn[load[sooner]] = number
            before[load[sooner]] = which[place[sooner, coarse[max(number - 1, 0)]]]
    own = turn[among]
    order: Order | None = None
    for number in range(1, int(own.max(initial=0)) + 1):
        here = among[own <= number]
        rest = own[own <= number] == number
        spot = np.full(len(turn), -1)
        spot[here] = np.arange(len(here))
        near = spot[before[here[rest]]]
        order = Order(np.flatnonzero(~rest), np.flatnonzero(rest), near, near, order)
    none = np.zeros(0, dtype=np.int64)
    return order or Order(np.arange(len(among)), none, none, none)


def _several(value: float | list[float]) -> list[float]:
    return list(value) if isinstance(value, list) else [value]


def instants(scenario: Scenario) -> Instants:
    """Every combination a scenario asks for, on both sides where it says so.

    The other side is the mirror image: heel, sway, roll rate and roll acceleration change sign together.
    """
    steps = heels(scenario)
    if abs(steps[0]) > abs(steps[-1]):
        # always outward from upright, so that a scenario written for the other side is run just as its mirror image
        steps = steps[::-1]
    if scenario.one_at_a_time:
        accelerations = [
            tuple(value if axis == way else 0.0 for axis in range(3))
            for way, values in enumerate((scenario.surge_g, scenario.sway_g, scenario.heave_g))
            for value in values
            if value != 0.0
        ] or [(0.0, 0.0, 0.0)]
    else:
        accelerations = list(itertools.product(scenario.surge_g, scenario.sway_g, scenario.heave_g))
    cases = [
        (pitch, factor_n, *acceleration, rate, quickening)
        for pitch in scenario.pitch_deg
        for factor_n in scenario.load_factor
        for acceleration in accelerations
        for rate in _several(scenario.roll_rate_deg_s)
        for quickening in _several(scenario.roll_acceleration_deg_s2)
    ]
    table = np.array(cases, dtype=float)
    signs = [1.0]
    if scenario.both_sides:
        signs.append(-1.0)
    heel_blocks: list[Array] = []
    case_blocks: list[Array] = []
    for sign in signs:
        mirrored = table * np.array([1.0, 1.0, 1.0, sign, 1.0, sign, sign])
        if sign < 0 and _same_rows(table, mirrored) and not np.any(steps):
            continue
        heel_blocks.append(np.tile(sign * steps, len(table)))
        case_blocks.append(np.repeat(mirrored, len(steps), axis=0))
    heel = np.concatenate(heel_blocks)
    case = np.concatenate(case_blocks)
    return Instants(
        rows=len(heel) // len(steps),
        columns=len(steps),
        heel_deg=heel,
        pitch_deg=case[:, 0],
        load_factor=case[:, 1],
        acceleration_g=case[:, 2:5],
        roll_rate=np.radians(case[:, 5]),
        roll_acceleration=np.radians(case[:, 6]),
        pull_at_most_N=np.full(len(heel), np.nan if scenario.pull_at_most_N is None else scenario.pull_at_most_N),
    )


def _same_rows(a: Array, b: Array) -> bool:
    """True where two tables hold the same set of rows."""
    return {tuple(row) for row in a.tolist()} == {tuple(row) for row in b.tolist()}


def gravity_direction(heel: Array, pitch: Array) -> Array:
    """Unit vector of gravity in the boat's axes, (n, 3), for heel and pitch in radians."""
    return np.stack(
        [np.sin(pitch), -np.cos(pitch) * np.sin(heel), -np.cos(pitch) * np.cos(heel)],
        axis=-1,
    )


def loads(moments: Instants, mass: float, arm: Array) -> Array:
    """Force on a weight at its centre of gravity, (n, 3) in newtons, in the boat's axes.

    mass in kg; arm (3,) in m from the roll axis to the centre of gravity.
    """
    g = factor("g0")
    gravity = (
        g
        * moments.load_factor[:, None]
        * gravity_direction(np.radians(moments.heel_deg), np.radians(moments.pitch_deg))
    )
    own = g * moments.acceleration_g
    ceiling = moments.pull_at_most_N
    if not np.all(np.isnan(ceiling)):
        size = np.linalg.norm(own, axis=1) * mass
        share = np.where(np.isnan(ceiling), 1.0, np.minimum(1.0, ceiling / np.maximum(size, 1e-300)))
        own = own * share[:, None]
    rate_squared = moments.roll_rate**2
    zero = np.zeros_like(rate_squared)
    # alpha x r = alpha (0, -z, y) and omega x (omega x r) = -omega^2 (0, y, z) for rotation about x
    tangential = np.stack([zero, -moments.roll_acceleration * arm[2], moments.roll_acceleration * arm[1]], axis=-1)
    centripetal = np.stack([zero, -rate_squared * arm[1], -rate_squared * arm[2]], axis=-1)
    return mass * (gravity - own - tangential - centripetal)
