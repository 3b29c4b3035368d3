"""What goes first, and what follows: the order in which a weight's restraints break.

Taken at the moment that works the weight's restraints hardest. The whole load of that moment - gravity and
accelerations together, on all the weights of the group - is scaled up from nil until a part reaches what it breaks
at (its *breaking* strength, not the working one). That restraint is taken away and the scaling goes on, never
downwards, until the weight is free. Without tension or slack the forces grow in proportion to the load and each
step is exact; with either the load is found to about one in a hundred. Nothing falls or swings meanwhile: what goes
with a jerk asks more of the next than is told here. Timber crushed across its grain is told of, and goes on bearing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.boat.models import Bed
from secure_load.catalogue.lookup import factor
from secure_load.check.judge import format_heel
from secure_load.check.response import Response, first_near_maximum, forces_on, friction_resultant, rows_of
from secure_load.check.results import Failure
from secure_load.loads.load_cases import LoadCases
from secure_load.model.group_model import GroupModel
from secure_load.model.motion_words import describe_motion
from secure_load.solver.arrays import Array, Index, Mask
from secure_load.solver.equilibrium import Equilibrium, solve
from secure_load.solver.newton import WarmStart
from secure_load.solver.springs import SpringSet

MAX_LOAD_FACTOR = 1e4
"""Times the load beyond which nothing is said to go."""
FIRST_GROWTH = 1.3
"""Of the load at which a part is worked to its working strength: where the search begins if something is tight."""
MAX_GROWTH = 3.0
"""Times a load, to which the search goes at most in one step."""
TOLERANCE = 0.02
"""How near a part is to what it breaks at when that will do, if something is tight."""
BRACKET_TOLERANCE = 0.02
"""How closely the load is found at which a weight slips that a tight line presses down."""
SIMULTANEOUS = 1.001
"""Two restraints that go within this ratio go at once."""
MAX_EVENTS = 20


@dataclass(frozen=True)
class Event:
    """Something gives way at ``scale`` times the load."""

    scale: float
    fitting: int
    part: str
    lets_go: bool


@dataclass(frozen=True)
class BreakingResponse:
    """One set of links under n loads."""

    found: Equilibrium
    free: Mask
    """(n,) True where the weight in question is free to move."""
    ratio: Array
    """(n,) the worst of the parts that let go, over what they break at; infinite where the weight is free."""
    which: Index
    """(n,) the place of that part in ``parts``."""
    parts: list[tuple[int, str]]
    """(fitting, name) of the parts that let go."""
    crushed: list[tuple[Array, int, str]]
    """((n,) ratio, fitting, name) of those that crush and go on bearing."""


@dataclass(frozen=True)
class _NextEvent:
    """The load at which something lets go, or the weight is free, and what is seen there."""

    scale: float
    free: bool
    u: Array
    """(6 b,)"""
    part: tuple[int, str] | None
    crushed: list[tuple[float, int, str]]
    """(ratio at that load, fitting, name)."""


def order_of_failure(
    stowed: GroupModel, member: int, load_cases: LoadCases, load: Array, response: Response
) -> list[Failure]:
    """The restraints of a weight in the order in which they break, from its hardest worked instant.

    load: (d, 6 b), the distinct loads that ``response`` was worked out for. A failure's ``load_factor`` is the load
    factor n of that instant times the scale at which it goes: 6 says that it goes where the same moment, in heel and
    in the make-up of its load, is felt with n = 6. Where n is nil at that instant (she is weightless, and thrown)
    it is the load in weights of the weight instead. Empty where the weight is free to move already at some instant
    - nothing needs to break first - and where no restraint that can break is worked at all.
    """
    own = [peak for f in stowed.restraints_of(member) for peak in response.peaks[f.index]]
    hardest = own[first_near_maximum(np.array([peak.utilisation for peak in own]))] if own else None
    if hardest is None or hardest.utilisation <= 0.0 or response.unrestrained[:, member].any():
        return []
    moment = load[hardest.at]
    near = response.displacement_vector[hardest.at]
    events, end = breaking_order(stowed, member, stowed.bounds[hardest.bound], moment, hardest.utilisation, near)
    return _format(stowed, member, load_cases, hardest.at, moment, events, end)


def breaking_order(
    stowed: GroupModel,
    member: int,
    springs: SpringSet,
    moment: Array,
    utilisation: float,
    near: Array | None = None,
) -> tuple[list[Event], str]:
    """What gives way, in order, as the load (6 b,) is scaled up, and how it ends in words.

    ``utilisation`` is the greatest, by working strengths, under that load: it only says where to begin to look; so does
    ``near`` (6 b,), a displacement found under it.
    """
    events: list[Event] = []
    crushed: set[int] = set()
    scale = 0.0
    while len(events) < MAX_EVENTS:
        if not len(springs.stiffness):
            return events, "it falls: nothing holds it"
        step = _next(stowed, member, springs, moment, scale, utilisation, near)
        near = step.u
        for ratio, fitting, part in sorted(step.crushed, reverse=True):
            if ratio >= 1.0 and fitting not in crushed and not step.free:
                crushed.add(fitting)
                events.append(Event(max(step.scale / ratio, scale), fitting, part, lets_go=False))
        scale = step.scale
        if step.free:
            way = describe_motion(step.u[6 * member : 6 * member + 6])
            return _slipped(stowed, member, events, scale), f"it {way}"
        if step.part is None:
            return events, "nothing more goes: it rests on what is left"
        events.append(Event(scale, *step.part, lets_go=True))
        springs = springs.without_restraint(step.part[0])
    return events, "more goes in its turn"


def _slipped(stowed: GroupModel, member: int, events: list[Event], scale: float) -> list[Event]:
    """Where a weight that a tight line pressed down slides before anything has broken, its friction went first."""
    if any(event.lets_go for event in events) or scale <= 0.0:
        return events
    held_by = [f for f in stowed.restraints_of(member) if isinstance(f.restraint, Bed)] or stowed.restraints_of(member)
    return [*events, Event(scale, held_by[0].index, "friction", lets_go=True)]


def _next(
    stowed: GroupModel,
    member: int,
    springs: SpringSet,
    moment: Array,
    scale: float,
    utilisation: float,
    near: Array | None,
) -> _NextEvent:
    """The least scale, not below ``scale``, at which something lets go or the weight is free."""
    if springs.has_preload:
        return _bracketed(stowed, member, springs, moment, scale, utilisation)
    looks = _breaking_ratios(stowed, member, springs, moment[None, :], near)
    if looks.free[0]:
        return _step(looks, 0, scale)
    ratio = float(looks.ratio[0])
    if ratio <= 1.0 / MAX_LOAD_FACTOR:
        return _step(looks, 0, MAX_LOAD_FACTOR, never=True)
    reached = max(scale, 0.0 if np.isinf(ratio) else 1.0 / ratio)
    # forces grow in proportion to the load: what is seen at once is seen at any
    return _step(looks, 0, reached, grown=reached)


def _step(looks: BreakingResponse, row: int, scale: float, never: bool = False, grown: float = 1.0) -> _NextEvent:
    place = int(looks.which[row])
    part = None if never or place < 0 else looks.parts[place]
    crushed = [] if never else [(float(ratio[row]) * grown, fitting, name) for ratio, fitting, name in looks.crushed]
    return _NextEvent(scale, bool(looks.free[row]), looks.found.displacement[row], part, crushed)


def _bracketed(
    stowed: GroupModel, member: int, springs: SpringSet, moment: Array, scale: float, utilisation: float
) -> _NextEvent:
    """As ``_next`` where something is tight or slack: out to a load that is too much, then in.

    Forces run in all but straight lines between two loads, so a secant finds where a part breaks within a few
    looks; where the weight slips between them there is nothing to go by, and the bracket is halved.
    """

    def look(at: float) -> BreakingResponse:
        return _breaking_ratios(stowed, member, springs, at * moment[None, :])

    low, below = 0.0, 0.0
    # a part without any strength is worked without limit: any load will do to begin with
    high = scale if scale > 0.0 else FIRST_GROWTH / min(utilisation, MAX_LOAD_FACTOR)
    looks = look(high)
    above = float(looks.ratio[0])
    if scale > 0.0 and above >= 1.0:
        return _step(looks, 0, scale)
    while above < 1.0 - TOLERANCE:
        if high >= MAX_LOAD_FACTOR:
            return _step(looks, 0, MAX_LOAD_FACTOR, never=True)
        rise = (above - below) / (high - low) if low > 0.0 else above / high
        low, below = high, above
        high *= float(np.clip(1.0 + (1.0 - above) / max(rise * high, 1e-9), 1.02, MAX_GROWTH))
        looks = look(high)
        above = float(looks.ratio[0])
    while abs(above - 1.0) > TOLERANCE and high - low > BRACKET_TOLERANCE * high and high > 1.0 / MAX_LOAD_FACTOR:
        straight = low + (high - low) * (1.0 - below) / (above - below) if np.isfinite(above) else 0.0
        middle = straight if low < straight < high else 0.5 * (low + high)
        tried = look(middle)
        value = float(tried.ratio[0])
        if value >= 1.0 - TOLERANCE:
            high, above, looks = middle, value, tried
        else:
            # a kink: what was held to be straight is not, and the lower end has to come up by more than a secant's step
            low, below = middle, value
            if np.isfinite(above) and high - low > BRACKET_TOLERANCE * high and 1.0 - value > 0.1:
                half = look(0.5 * (low + high))
                if half.ratio[0] >= 1.0 - TOLERANCE:
                    high, above, looks = 0.5 * (low + high), float(half.ratio[0]), half
                else:
                    low, below = 0.5 * (low + high), float(half.ratio[0])
    # the last little way in a straight line, without another look
    rest = (1.0 - above) * (high - low) / (above - below) if np.isfinite(above) and above > below else 0.0
    return _step(looks, 0, max(high + rest, scale))


def _breaking_ratios(
    stowed: GroupModel, member: int, springs: SpringSet, load: Array, near: Array | None = None
) -> BreakingResponse:
    """Every part's share of what it breaks at, under n loads (n, 6 b); ``near`` (6 b,): where to begin, of one load."""
    found = solve(springs, load, begin=None if near is None else WarmStart.at_one(near, load[0]))
    free = found.unrestrained[:, member]
    ratios: list[Array] = []
    names: list[tuple[int, str]] = []
    crushed: list[tuple[Array, int, str]] = []
    for fitting, parts in zip(stowed.restraints, stowed.failure_modes, strict=True):
        rows = rows_of(springs, fitting.index) if parts else np.zeros(0, dtype=np.int64)
        if not len(rows):
            continue
        forces, loose = forces_on(fitting, found, rows)
        if not forces.any():
            continue
        drag = friction_resultant(springs, found, rows, loose, fitting.owners)
        for part in parts:
            ratio = part.breaking(forces, drag)[1]
            if part.is_loss_of_restraint:
                ratios.append(ratio)
                names.append((fitting.index, part.name))
            else:
                crushed.append((ratio, fitting.index, part.name))
    if not ratios:
        none = np.full(len(load), -1, dtype=np.int64)
        return BreakingResponse(found, free, np.where(free, np.inf, 0.0), none, names, crushed)
    table = np.array(ratios)
    return BreakingResponse(
        found, free, np.where(free, np.inf, table.max(axis=0)), table.argmax(axis=0), names, crushed
    )


def _format(
    stowed: GroupModel, member: int, load_cases: LoadCases, at: int, moment: Array, events: list[Event], end: str
) -> list[Failure]:
    """The events in words. ``at``: place of the moment among the distinct loads."""
    instant = int(load_cases.unique_rows[at])
    heel = float(load_cases.instants.heel_deg[instant])
    n = float(load_cases.instants.load_factor[instant])
    title = load_cases.scenarios[int(load_cases.scenario[instant])].title
    weights = float(np.linalg.norm(moment[6 * member : 6 * member + 3]))
    weights /= stowed.members[member].body.mass * factor("g0")
    unit = n if n > 0.0 else weights
    result: list[Failure] = []
    for place, event in enumerate(events):
        restraint = _name(stowed, member, event.fitting)
        after = next((later for later in events[place + 1 :] if later.lets_go), None)
        if not event.lets_go:
            then = "it goes on bearing, crushed"
        elif after is None:
            then = f"then {end}"
        elif after.scale <= event.scale * SIMULTANEOUS:
            then = f"at once {_name(stowed, member, after.fitting)} goes too"
        else:
            then = f"then {_name(stowed, member, after.fitting)} carries it"
        factor_there = unit * event.scale
        felt = f"load factor {factor_there:.1f}" if n > 0.0 else f"{factor_there:.1f} times its own weight"
        gives = "gives way" if event.lets_go else "gives"
        result.append(
            Failure(
                restraint=restraint,
                part=event.part,
                load_factor=round(factor_there, 4),
                heel_deg=round(heel, 4) + 0.0,
                then=then,
                sentence=f"{place + 1}. At {event.scale:.2g} times the worst load ({title}, {format_heel(heel)}; "
                f"{felt}) {restraint} {gives}: {event.part}; {then}.",
            )
        )
    return result


def _name(stowed: GroupModel, member: int, fitting: int) -> str:
    """A restraint's id, and whose it is where it is another weight's."""
    which = stowed.restraints[fitting]
    if member in which.owners:
        return which.id
    return f"{which.id} of {stowed.members[which.owner].weight.title}"
