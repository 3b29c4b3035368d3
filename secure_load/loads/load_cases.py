"""What the boat does, and what each weight then feels.

Axes: x forward, y to port, z up. Heel is a rotation about x (positive: starboard side down), pitch a
rotation about y (positive: bow down). The boat is pitched first and then heeled about her own x axis, so
gravity in her axes is

    R(heel, pitch)^T (0, 0, -g) = g (sin p, -cos p sin h, -cos p cos h).

The load on a weight of mass m at r from the roll axis (d'Alembert; any text on dynamics in a moving frame)

    F = m [ n R^T g  -  a  -  alpha x r  -  omega x (omega x r) ]

with n the load factor on gravity, a the boat's own linear acceleration in her axes, and omega, alpha her
roll rate and roll acceleration about x. With it comes the moment -I alpha about x, I the weight's moment of inertia
about its own centre of gravity (``Body.roll_inertia``; put on in ``model.model_builder``).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from secure_load.boat.models import Duration, HeelRange, Scenario
from secure_load.catalogue.lookup import factor
from secure_load.solver.arrays import Array, Index, Mask
from secure_load.solver.newton import RefinementPlan

SPARSE_DEG = 15.0
"""Degrees between the heels at which each motion is run by itself; see ``instants``."""


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
    duration_scale: Array
    """What loads are multiplied by where they last longer than ten minutes."""
    sparse: bool = False
    """True where the heels of a row lie far apart, each of them to be solved."""

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
            duration_scale=self.duration_scale[index],
        )


@dataclass(frozen=True)
class History:
    """Instants of a scenario as she heels outward."""

    place: Index
    """(rows, columns) among the instants of a family."""
    sparse: bool
    """True where its heels lie far apart."""

    @property
    def steps(self) -> tuple[int, int]:
        """Of its heels, every so many are solved first, and of those every so many before them."""
        return (1, 2) if self.sparse else (5, 20)

    @property
    def beside(self) -> int:
        """Heels away at which it is looked whether a limit between colours lies between."""
        return 1 if self.sparse else 4


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


def with_fine_step(scenario: Scenario) -> Scenario:
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
class LoadCases:
    """The instants of several scenarios, one after another, and the distinct loads among them."""

    scenarios: list[Scenario]
    instants: Instants
    scenario: Index
    """(n,) which scenario each instant belongs to."""
    unique_rows: Index
    """(d,) one instant for each load that differs from all others."""
    inverse: Index
    """(n,) the place in ``distinct`` of each instant's load."""
    plan: RefinementPlan
    """Over ``distinct``, for a weight by itself."""
    histories: list[History]

    @cached_property
    def occurs(self) -> Mask:
        """(d, scenarios) in which of them each distinct load occurs."""
        found = np.zeros((len(self.unique_rows), len(self.scenarios)), dtype=bool)
        found[self.inverse, self.scenario] = True
        return found

    def with_history_ends(self, greatest: Index) -> Index:
        """The greatest distinct loads of a net's cells, and those at either end of a history.

        The ends reach furthest out, where what is free may be no wider than a cell. Those of sparse cases lie between
        the ends of dense ones.
        """
        ends = [self.inverse[history.place[:, [0, -1]]].ravel() for history in self.histories if not history.sparse]
        return np.unique(np.concatenate([greatest, *ends]))

    @cached_property
    def outward_plan(self) -> RefinementPlan:
        """The same for weights that touch: from upright outward, each heel from the one before it, for with many
        contacts a guess from far off seldom settles."""
        return replace(self.plan, parent=_outward_plan(self.histories, self.inverse, self.plan.coarse))


def load_cases(scenarios: list[Scenario]) -> LoadCases:
    """All instants of some scenarios. Instants that feel alike (weightless at any heel, say) are solved once."""
    parts = [(index, part) for index, s in enumerate(scenarios) for part in instants(with_fine_step(s))]
    each = [part for _, part in parts]
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
        duration_scale=np.concatenate([one.duration_scale for one in each]),
    )
    scale = whole.duration_scale
    felt = scale[:, None] * (
        whole.load_factor[:, None] * gravity_direction(np.radians(whole.heel_deg), np.radians(whole.pitch_deg))
        - whole.acceleration_g
    )
    # where a pull has a ceiling, it matters how much of what is felt is the pull
    capped = ~np.isnan(whole.pull_at_most_N)
    marks = np.column_stack(
        [
            felt,
            scale * whole.roll_rate**2,
            scale * whole.roll_acceleration,
            np.nan_to_num(whole.pull_at_most_N),
            whole.acceleration_g * capped[:, None],
            scale * capped,
        ]
    )
    # adding nil turns -0.0 into 0.0: unique compares bytes
    _, distinct, inverse = np.unique(np.round(marks, 10) + 0.0, axis=0, return_index=True, return_inverse=True)
    inverse = inverse.ravel()
    histories = [
        History(start + np.arange(len(one)).reshape(one.rows, one.columns), one.sparse)
        for start, one in zip(starts[:-1], each, strict=True)
    ]
    scenario = np.repeat([index for index, _ in parts], [len(one) for one in each])
    return LoadCases(
        scenarios=scenarios,
        instants=whole,
        scenario=scenario,
        unique_rows=distinct,
        inverse=inverse,
        plan=_plan(histories, distinct, inverse, np.arange(len(distinct))),
        histories=histories,
    )


def _plan(histories: list[History], distinct: Index, which: Index, among: Index, level: int = 0) -> RefinementPlan:
    """The order of some distinct loads: those at every so many heels of a history first.

    among (d,): the loads, as places in ``distinct`` (see ``LoadCases``).
    """
    ahead = np.zeros(len(distinct), dtype=bool)
    near, far = np.empty(len(which), dtype=np.int64), np.empty(len(which), dtype=np.int64)
    for history in histories:
        place = history.place
        column = np.arange(int(place.shape[1]))
        coarse = _coarse(len(column), history.steps[level])
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
    return RefinementPlan(
        coarse=turn[first],
        fine=turn[rest],
        nearest_coarse=turn[which[near[distinct[rest]]]],
        opposite_coarse=turn[which[far[distinct[rest]]]],
        parent=_plan(histories, distinct, which, first, level + 1) if level == 0 else None,
    )


def _coarse(count: int, step: int) -> Index:
    """Every so many columns, and the last."""
    return np.unique(np.append(np.arange(0, count, step), count - 1))


def _outward_plan(histories: list[History], which: Index, among: Index) -> RefinementPlan:
    """The order of the distinct loads ``among``, all at coarse heels: a heel at a time, outward.

    A load that occurs more than once comes where it occurs nearest to the start of a history.
    """
    turn = np.full(int(which.max(initial=0)) + 1, np.iinfo(np.int64).max)
    before = np.zeros(len(turn), dtype=np.int64)
    for history in histories:
        place = history.place
        coarse = _coarse(place.shape[1], history.steps[0])
        for number, column in enumerate(coarse):
            load = which[place[:, column]]
            sooner = turn[load] > number
            turn[load[sooner]] = number
            before[load[sooner]] = which[place[sooner, coarse[max(number - 1, 0)]]]
    own = turn[among]
    order: RefinementPlan | None = None
    for number in range(1, int(own.max(initial=0)) + 1):
        here = among[own <= number]
        rest = own[own <= number] == number
        spot = np.full(len(turn), -1)
        spot[here] = np.arange(len(here))
        near = spot[before[here[rest]]]
        order = RefinementPlan(np.flatnonzero(~rest), np.flatnonzero(rest), near, near, order)
    none = np.zeros(0, dtype=np.int64)
    return order or RefinementPlan(np.arange(len(among)), none, none, none)


Case = tuple[float, ...]
"""Pitch, surge, sway, heave, roll rate and roll acceleration, in a scenario's own units."""
STILL: Case = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def _cases(scenario: Scenario) -> tuple[Array, Array]:
    """Combinations of pitch, load factor and the other motions of ``Case``: (dense, sparse), each (n, 7).

    0 is tried in every list, whether or not it is written there: a weight that is jammed while she is shaken may fall
    out when she lies still. Dense are the combinations of all values that are not 0, and no motion at all; sparse is
    each motion by itself, with all others at 0. Where nothing is felt there is nothing to check, and the case is left
    out.
    """
    given = (
        scenario.pitch_deg,
        scenario.surge_g,
        scenario.sway_g,
        scenario.heave_g,
        scenario.roll_rate_deg_s,
        scenario.roll_acceleration_deg_s2,
    )
    motions = [[v for v in (each if isinstance(each, list) else [each]) if v != 0.0] for each in given]
    alone = [(*STILL[:n], value, *STILL[n + 1 :]) for n, values in enumerate(motions) for value in values]
    pitch, surge, sway, heave, rate, gain = [values or [0.0] for values in motions]
    shoves: list[Case] = list(itertools.product(surge, sway, heave))
    if scenario.one_at_a_time:
        shoves = [case[1:4] for case in alone if any(case[1:4])] or [STILL[1:4]]
    together = [(p, *shove, r, g) for p, shove, r, g in itertools.product(pitch, shoves, rate, gain)]
    dense = list(dict.fromkeys([*together, STILL]))
    sparse = [case for case in alone if case not in dense]
    return _with_factors(scenario, dense), _with_factors(scenario, sparse)


def _with_factors(scenario: Scenario, cases: list[Case]) -> Array:
    """The cases (pitch, ...) at each load factor; without those in which nothing is felt, unless all are so."""
    every = np.array([(p, n, *rest) for n in scenario.load_factor for p, *rest in cases], dtype=float).reshape(-1, 7)
    felt = np.any(every[:, 1:] != 0.0, axis=1)
    return every[felt] if felt.any() else every


def instants(scenario: Scenario) -> list[Instants]:
    """Every combination a scenario asks for, on both sides where it says so: first the dense cases, then the sparse.

    Dense cases (see ``_cases``) are run at every heel of the scenario, sparse ones at heels ``SPARSE_DEG`` apart and at
    the last, for their loads lie between those of dense cases. The other side is the mirror image: heel, sway, roll
    rate and roll acceleration change sign together.
    """
    dense, sparse = _cases(scenario)
    span = scenario.heel_deg
    wide = scenario.model_copy(update={"heel_deg": span.model_copy(update={"step": max(span.step, SPARSE_DEG)})})
    found = [_histories(scenario, dense)]
    if len(sparse):
        found.append(replace(_histories(wide, sparse), sparse=True))
    return found


def _histories(scenario: Scenario, table: Array) -> Instants:
    """The cases of a table (n, 7) at each heel of a scenario, going outward from upright."""
    steps = heels(scenario)
    if abs(steps[0]) > abs(steps[-1]):
        # always outward from upright, so that a scenario written for the other side is run just as its mirror image
        steps = steps[::-1]
    heel_blocks: list[Array] = []
    case_blocks: list[Array] = []
    for sign in (1.0, -1.0) if scenario.both_sides else (1.0,):
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
        duration_scale=np.full(len(heel), duration_scale(scenario.load_duration)),
    )


def duration_scale(lasts: Duration) -> float:
    """What the loads of a scenario are multiplied by for how long they last.

    Strengths are worked out once, for loads that last up to ten minutes. Timber and what is screwed into it bear less
    for longer, by the ratio of the two load duration factors (AWC NDS-2018 Table 2.3.2); in place of a second set of
    strengths the load is multiplied by that ratio. Metal and rope do not weaken so: for them it errs to the safe side.
    """
    return factor("load-duration-ten-minutes") / factor(f"load-duration-{lasts}")


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
    return mass * moments.duration_scale[:, None] * (gravity - own - tangential - centripetal)
