"""What becomes of a weight when some of what holds it is taken away: a restraint, ties and bonds, friction.

Restraints are taken away one after the other, and all these stows are worked side by side. Loads are tried from the
most telling on: those that work a restraint hardest, then a coarse choice, then those between that come near red.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from secure_load.catalogue.assumed import assumed
from secure_load.check.response import Worked, work_cases
from secure_load.loads.load_cases import Family
from secure_load.model.model_builder import AS_WORKED_OUT, Stowed
from secure_load.model.motion_words import movement
from secure_load.solver.arrays import Array, Index, Mask
from secure_load.solver.case_set import Cases, alone, without_each
from secure_load.solver.equilibrium import solve
from secure_load.solver.newton import Begin
from secure_load.solver.springs import Links

HARDEST = 4
"""Instants that work a restraint hardest: they are tried first when it is taken away."""
CLEAR = 0.85
"""Utilisation at coarse loads below which those between them cannot be red."""


@dataclass(frozen=True)
class Meant:
    """A member of a group, and the loads it is meant to stand."""

    stowed: Stowed
    member: int
    family: Family
    load: Array
    """(d, 6 b) the distinct loads of the family."""
    worked: Worked
    """With all that holds it."""

    @cached_property
    def choices(self) -> list[Index]:
        """Loads that are tried before the others: a few, then more."""
        net, order = self.worked.net, self.family.order
        if net is not None:
            return [self.family.with_ends(net.greatest)]
        return [order.first] if order.coarser is None else [order.first[order.coarser.first], order.first]


def without_second_path(meant: Meant) -> list[int]:
    """A member's own restraints without any one of which it goes red somewhere."""
    own = meant.stowed.fastened(meant.member)
    links = meant.stowed.links
    bare = {index for index in own if (links.restraint == index).all()}
    # where a restraint carries nothing, nothing changes when it is taken away
    tried = [i for i in own if i not in bare and (meant.worked.by_restraint[:, i] > 0.0).any()]
    lacking = set(bare)
    if tried:
        carries = meant.worked.by_restraint[:, tried].T
        red = _goes_red(meant, without_each(links, tried), carries)
        lacking |= {index for index, goes in zip(tried, red, strict=True) if goes}
    return [index for index in own if index in lacking]


def goes_without_friction(meant: Meant) -> str | None:
    """How it goes where every surface is greased; None where it stays."""
    links = meant.stowed.links
    return _goes(meant, links.frictionless()) if len(links.kt) else None


def goes_without_unrated(meant: Meant) -> str | None:
    """What becomes of it without its cable ties and bonds, in words; None where it stays and nothing is overloaded.

    That friction would hold in their place is no comfort: it is left out as well.
    """
    unrated = meant.stowed.unrated(meant.member)
    if not unrated:
        return None
    links = meant.stowed.links
    links = links.keeping(~np.isin(links.restraint, [f.index for f in unrated]))
    goes = _goes(meant, links.frictionless())
    if goes is None and _goes_red(meant, alone(links), np.ones((1, len(meant.load)))).any():
        return "overloads what is left"
    return goes


def _goes(meant: Meant, links: Links) -> str | None:
    """How it goes at the first load that frees it; None where none does.

    Coarse loads tell: those that links without friction can bear fill a convex cone, so that what is held at loads
    all round is held between them.
    """
    if not len(links.k):
        return "falls: nothing else holds it"
    at, member = meant.choices[-1], meant.member
    found = solve(links, meant.load[at], begin=_begin(meant, at))
    loose = np.flatnonzero(found.adrift[:, member])
    return movement(found.u[loose[0], 6 * member : 6 * member + 6]) if len(loose) else None


def _begin(meant: Meant, at: Index) -> Begin:
    return Begin(meant.worked.u[at], meant.load[at], np.arange(len(at)))


def _goes_red(meant: Meant, cases: Cases, carries: Array) -> Mask:
    """Whether a member goes red in each of c stows, (c,); carries (c, n): how hard what they lack is worked."""
    red = np.zeros(cases.count, dtype=bool)
    count = min(HARDEST, carries.shape[1])
    hardest = np.argpartition(-carries, count - 1, axis=1)[:, :count]
    case = np.repeat(np.arange(cases.count), count)
    at = hardest.ravel()
    some = carries[case, at] > 0.0
    _look(meant, cases, case[some], at[some], red)
    worst = np.zeros(carries.shape)
    for choice in meant.choices:
        case, at = _those(_among(meant, choice, carries > 0.0) & (worst == 0.0), red)
        worst[case, at] = _look(meant, cases, case, at, red)
    if len(meant.stowed.members) > 1:
        return red  # a group takes long: its coarse heels must do
    case, at = _those(_near(meant, worst) & (carries > 0.0) & (worst == 0.0), red)
    _look(meant, cases, case, at, red)
    return red


def _among(meant: Meant, choice: Index, carries: Mask) -> Mask:
    """Which loads of a choice to try in each stow, (c, n): those at which what it lacks carries."""
    coarse = np.zeros(carries.shape[1], dtype=bool)
    coarse[choice] = True
    net = meant.worked.net
    if net is None:
        return carries & coarse
    in_cell = np.zeros((len(carries), len(net.greatest)), dtype=bool)
    case, at = np.nonzero(carries)
    in_cell[case, net.cell[at]] = True
    return in_cell[:, net.cell] & coarse


def _near(meant: Meant, worst: Array) -> Mask:
    """Which loads may be red by what was found beside them, (c, n), from the utilisation at those that were tried."""
    net, order = meant.worked.net, meant.family.order
    if net is not None:
        return np.asarray(worst[:, net.greatest][:, net.cell] * net.share >= CLEAR)
    near = np.zeros(worst.shape, dtype=bool)
    tried = worst > 0.0
    beside = np.maximum(worst[:, order.near], worst[:, order.far]) >= CLEAR
    near[:, order.rest] = beside | ~(tried[:, order.near] | tried[:, order.far])
    return near


def _those(which: Mask, red: Mask) -> tuple[Index, Index]:
    """Case and load of those marked, (c, n), in stows that are not known to be red."""
    case, at = np.nonzero(which & ~red[:, None])
    return case, at


def _look(meant: Meant, cases: Cases, case: Index, at: Index, red: Mask) -> Array:
    """A member's utilisation, infinite where it is free, at some loads in some stows; marks the stows that are red."""
    if not len(at):
        return np.zeros(0)
    bounds = [AS_WORKED_OUT] * cases.count
    found = work_cases(meant.stowed, cases, bounds, case, meant.load[at], begin=_begin(meant, at))
    worst = found.worst(meant.stowed, meant.member)
    red[case[worst > assumed("red-over").number]] = True
    return worst
