"""What becomes of a weight when some of what holds it is taken away: a restraint, ties and bonds, friction.

Restraints are taken away one after the other, and all these stows are worked side by side. Loads are tried from the
most telling on: those that work a restraint hardest, then a coarse choice, then those between that come near red.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from secure_load.catalogue.assumed import assumed
from secure_load.check.response import Response, evaluate_cases
from secure_load.loads.load_cases import LoadCases
from secure_load.model.model_builder import NOMINAL, GroupModel
from secure_load.model.motion_words import describe_motion
from secure_load.solver.arrays import Array, Index, Mask
from secure_load.solver.case_set import CaseSet, leave_one_out, single
from secure_load.solver.equilibrium import solve
from secure_load.solver.newton import WarmStart
from secure_load.solver.springs import SpringSet

HARDEST_COUNT = 4
"""Instants that work a restraint hardest: they are tried first when it is taken away."""
CLEARLY_SAFE = 0.85
"""Utilisation at coarse loads below which those between them cannot be red."""


@dataclass(frozen=True)
class MemberLoads:
    """A member of a group, and the loads it is meant to stand."""

    model: GroupModel
    member: int
    load_cases: LoadCases
    load: Array
    """(d, 6 b) the distinct loads of the family."""
    response: Response
    """With all that holds it."""

    @cached_property
    def choices(self) -> list[Index]:
        """Loads that are tried before the others: a few, then more."""
        net, order = self.response.bins, self.load_cases.plan
        if net is not None:
            return [self.load_cases.with_history_ends(net.representative)]
        return [order.coarse] if order.parent is None else [order.coarse[order.parent.coarse], order.coarse]


def without_second_path(meant: MemberLoads) -> list[int]:
    """A member's own restraints without any one of which it goes red somewhere."""
    own = meant.model.fastened(meant.member)
    springs = meant.model.springs
    bare = {index for index in own if (springs.restraint == index).all()}
    # where a restraint carries nothing, nothing changes when it is taken away
    tried = [i for i in own if i not in bare and (meant.response.by_restraint[:, i] > 0.0).any()]
    lacking = set(bare)
    if tried:
        carries = meant.response.by_restraint[:, tried].T
        red = _goes_red(meant, leave_one_out(springs, tried), carries)
        lacking |= {index for index, goes in zip(tried, red, strict=True) if goes}
    return [index for index in own if index in lacking]


def goes_without_friction(meant: MemberLoads) -> str | None:
    """How it goes where every surface is greased; None where it stays."""
    springs = meant.model.springs
    return _first_motion(meant, springs.frictionless()) if len(springs.tangent_stiffness) else None


def goes_without_unrated(meant: MemberLoads) -> str | None:
    """What becomes of it without its cable ties and bonds, in words; None where it stays and nothing is overloaded.

    That friction would hold in their place is no comfort: it is left out as well.
    """
    unrated = meant.model.unrated(meant.member)
    if not unrated:
        return None
    springs = meant.model.springs
    springs = springs.subset(~np.isin(springs.restraint, [f.index for f in unrated]))
    goes = _first_motion(meant, springs.frictionless())
    if goes is None and _goes_red(meant, single(springs), np.ones((1, len(meant.load)))).any():
        return "overloads what is left"
    return goes


def _first_motion(meant: MemberLoads, springs: SpringSet) -> str | None:
    """How it goes at the first load that frees it; None where none does.

    Coarse loads tell: those that links without friction can bear fill a convex cone, so that what is held at loads
    all round is held between them.
    """
    if not len(springs.stiffness):
        return "falls: nothing else holds it"
    at, member = meant.choices[-1], meant.member
    found = solve(springs, meant.load[at], begin=_begin(meant, at))
    loose = np.flatnonzero(found.unrestrained[:, member])
    return describe_motion(found.displacement[loose[0], 6 * member : 6 * member + 6]) if len(loose) else None


def _begin(meant: MemberLoads, at: Index) -> WarmStart:
    return WarmStart(meant.response.displacement_vector[at], meant.load[at], np.arange(len(at)))


def _goes_red(meant: MemberLoads, cases: CaseSet, carries: Array) -> Mask:
    """Whether a member goes red in each of c stows, (c,); carries (c, n): how hard what they lack is worked."""
    red = np.zeros(cases.count, dtype=bool)
    count = min(HARDEST_COUNT, carries.shape[1])
    hardest = np.argpartition(-carries, count - 1, axis=1)[:, :count]
    case = np.repeat(np.arange(cases.count), count)
    at = hardest.ravel()
    some = carries[case, at] > 0.0
    _screen_then_confirm(meant, cases, case[some], at[some], red)
    worst = np.zeros(carries.shape)
    for choice in meant.choices:
        case, at = _unfinished(_candidates(meant, choice, carries > 0.0) & (worst == 0.0), red)
        worst[case, at] = _screen_then_confirm(meant, cases, case, at, red)
    if len(meant.model.members) > 1:
        return red  # a group takes long: its coarse heels must do
    case, at = _unfinished(_near(meant, worst) & (carries > 0.0) & (worst == 0.0), red)
    _screen_then_confirm(meant, cases, case, at, red)
    return red


def _candidates(meant: MemberLoads, choice: Index, carries: Mask) -> Mask:
    """Which loads of a choice to try in each stow, (c, n): those at which what it lacks carries."""
    coarse = np.zeros(carries.shape[1], dtype=bool)
    coarse[choice] = True
    net = meant.response.bins
    if net is None:
        return carries & coarse
    in_cell = np.zeros((len(carries), len(net.representative)), dtype=bool)
    case, at = np.nonzero(carries)
    in_cell[case, net.bin[at]] = True
    return in_cell[:, net.bin] & coarse


def _near(meant: MemberLoads, worst: Array) -> Mask:
    """Which loads may be red by what was found beside them, (c, n), from the utilisation at those that were tried."""
    net, order = meant.response.bins, meant.load_cases.plan
    if net is not None:
        return np.asarray(worst[:, net.representative][:, net.bin] * net.relative_magnitude >= CLEARLY_SAFE)
    near = np.zeros(worst.shape, dtype=bool)
    tried = worst > 0.0
    beside = np.maximum(worst[:, order.nearest_coarse], worst[:, order.opposite_coarse]) >= CLEARLY_SAFE
    near[:, order.fine] = beside | ~(tried[:, order.nearest_coarse] | tried[:, order.opposite_coarse])
    return near


def _unfinished(which: Mask, red: Mask) -> tuple[Index, Index]:
    """Case and load of those marked, (c, n), in stows that are not known to be red."""
    case, at = np.nonzero(which & ~red[:, None])
    return case, at


def _screen_then_confirm(meant: MemberLoads, cases: CaseSet, case: Index, at: Index, red: Mask) -> Array:
    """A member's utilisation, infinite where it is free, at some loads in some stows; marks the stows that are red."""
    if not len(at):
        return np.zeros(0)
    bounds = [NOMINAL] * cases.count
    found = evaluate_cases(meant.model, cases, bounds, case, meant.load[at], begin=_begin(meant, at))
    worst = found.worst(meant.model, meant.member)
    red[case[worst > assumed("red-over").number]] = True
    return worst
