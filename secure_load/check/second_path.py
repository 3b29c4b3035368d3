"""What becomes of weights when some of what holds them is taken away: a restraint, ties and bonds, friction.

Restraints are taken away one after the other, and these stows are solved side by side.
Loads are tried from the most telling on: those that work a restraint hardest, then coarse bins of directions or coarse
heels, then finer ones where a restraint that is left comes near red.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from secure_load.catalogue.assumed import assumed
from secure_load.check.response import Response, evaluate_cases
from secure_load.loads.load_cases import LoadCases
from secure_load.model.group_model import NOMINAL, GroupModel
from secure_load.model.motion_words import describe_motion
from secure_load.solver.arrays import Array, Index, Mask
from secure_load.solver.case_set import CaseSet, leave_one_out, single
from secure_load.solver.equilibrium import Equilibrium, solve
from secure_load.solver.newton import WarmStart
from secure_load.solver.springs import SpringSet

HARDEST_COUNT = 4
"""Instants that work a restraint hardest: they are tried first when it is taken away."""
CLEARLY_SAFE = (0.7, 0.85, 0.95)
"""Utilisation at the loads of one level of bins below which those of the next between them cannot be red."""
LITTLE = 0.1
"""Share of the hardest a restraint of a group is worked below which little changes when it is taken away."""
HEELS_CLEARLY_SAFE = 0.85
"""The same between coarse heels."""


@dataclass(frozen=True)
class ReducedHold:
    """A group of weights, the loads it is meant to stand, and what they ask of it with all that holds it."""

    model: GroupModel
    load_cases: LoadCases
    load: Array
    """(d, 6 b) the distinct loads."""
    response: Response

    def lacking_second_path(self, member: int) -> list[int]:
        """A member's own restraints without any one of which it goes red somewhere; none where it is red already."""
        model, springs = self.model, self.model.springs
        own = model.fastened(member)
        sole = {index for index in own if (springs.restraint == index).all()}
        # where a restraint carries nothing, nothing changes when it is taken away
        tried = [i for i in own if i not in sole and (self.response.by_restraint[:, i] > 0.0).any()]
        if not tried:
            return [index for index in own if index in sole]
        red = self._goes_red(leave_one_out(springs, tried), member, self.response.by_restraint[:, tried].T)
        lacking = sole | {index for index, goes in zip(tried, red, strict=True) if goes}
        return [index for index in own if index in lacking]

    def motion_without_friction(self, member: int) -> str | None:
        """How a member goes where every surface is greased; None where it stays."""
        return None if self._greased is None else _first_motion(self._greased, member)

    def effect_without_unrated(self, member: int) -> str | None:
        """What becomes of a member without its cable ties and bonds, in words; None where it stays and nothing is
        overloaded. That friction would hold in their place is no comfort: it is left out as well."""
        unrated = self.model.unrated(member)
        if not unrated:
            return None
        springs = self.model.springs
        springs = springs.subset(~np.isin(springs.restraint, [f.index for f in unrated]))
        if not len(springs.stiffness):
            return NOTHING_ELSE
        goes = _first_motion(self._solve_coarse(springs.frictionless()), member)
        every = np.ones((1, len(self.load)))
        if goes is None and self._goes_red(single(springs), member, every).any():
            return "overloads what is left"
        return goes

    @cached_property
    def _greased(self) -> Equilibrium | None:
        springs = self.model.springs
        return self._solve_coarse(springs.frictionless()) if len(springs.tangent_stiffness) else None

    def _solve_coarse(self, springs: SpringSet) -> Equilibrium:
        """Coarse loads borne by springs without friction: the loads that those can bear fill a convex cone, so that
        what is held at loads all round is held between them."""
        at = self._coarse[-1]
        return solve(springs, self.load[at], begin=self._warm_start(at))

    @cached_property
    def _coarse(self) -> list[Index]:
        """Loads that are tried before the others: a few, then more."""
        bins, plan = self.response.bins, self.load_cases.plan
        if bins:
            return [self.load_cases.with_history_ends(bins[0].representative)]
        return [plan.coarse] if plan.parent is None else [plan.coarse[plan.parent.coarse], plan.coarse]

    def _warm_start(self, at: Index) -> WarmStart:
        return WarmStart(self.response.displacement_vector[at], self.load[at], np.arange(len(at)))

    def _goes_red(self, cases: CaseSet, member: int, carried: Array) -> Mask:
        """Whether a member goes red in each of c stows, (c,); carried (c, n): how hard what it lacks is worked."""
        red, worst = np.zeros(cases.count, dtype=bool), np.zeros(carried.shape)
        count = min(HARDEST_COUNT, carried.shape[1])
        hardest = np.zeros(carried.shape, dtype=bool)
        np.put_along_axis(hardest, np.argpartition(-carried, count - 1, axis=1)[:, :count], True, axis=1)
        alone = len(self.model.members) == 1
        carries = carried > (0.0 if alone else LITTLE * carried.max(axis=1, keepdims=True))
        self._try(cases, member, hardest & carries, worst, red)
        for level in self._coarse:
            self._try(cases, member, self._in_bins(carries) & _marked(level, carried.shape[1]), worst, red)
        if self.response.bins:
            finer = [*(_marked(b.representative, carried.shape[1]) for b in self.response.bins[1:]), True]
            # a group takes long: its fine bins must do
            levels = len(finer) if alone else 1
            for bins, candidates, safe in list(zip(self.response.bins, finer, CLEARLY_SAFE, strict=True))[:levels]:
                near = worst[:, bins.representative][:, bins.bin] * bins.relative_magnitude >= safe
                self._try(cases, member, near & candidates, worst, red)
        elif alone:
            self._try(cases, member, self._between_heels(worst) & carries, worst, red)
        return red

    def _try(self, cases: CaseSet, member: int, wanted: Mask, worst: Array, red: Mask) -> None:
        """Put the member's utilisation in each stow, infinite where it is free, into ``worst`` (c, n) at the loads
        wanted (c, n) that were not tried before; mark the stows that are red."""
        case, at = np.nonzero(wanted & (worst == 0.0) & ~red[:, None])
        if not len(at):
            return
        bounds = [NOMINAL] * cases.count
        found = evaluate_cases(self.model, cases, bounds, case, self.load[at], begin=self._warm_start(at))
        worst[case, at] = found.worst(self.model, member)
        red[case[worst[case, at] > assumed("red-over").number]] = True

    def _in_bins(self, carries: Mask) -> Mask:
        """(c, n) the loads of coarse bins in any of which what is taken away carries something."""
        if not self.response.bins:
            return carries
        bins = self.response.bins[0]
        in_bin = np.zeros((len(carries), len(bins.representative)), dtype=bool)
        case, at = np.nonzero(carries)
        in_bin[case, bins.bin[at]] = True
        return in_bin[:, bins.bin]

    def _between_heels(self, worst: Array) -> Mask:
        """(c, n) the loads between coarse heels of which one comes near red or neither was tried."""
        plan = self.load_cases.plan
        between = np.zeros(worst.shape, dtype=bool)
        near, far = worst[:, plan.nearest_coarse], worst[:, plan.opposite_coarse]
        between[:, plan.fine] = (np.maximum(near, far) >= HEELS_CLEARLY_SAFE) | ((near == 0.0) & (far == 0.0))
        return between


NOTHING_ELSE = "falls: nothing else holds it"


def _first_motion(found: Equilibrium, member: int) -> str | None:
    """How a member goes at the first load that frees it; None where none does."""
    loose = np.flatnonzero(found.unrestrained[:, member])
    return describe_motion(found.displacement[loose[0], 6 * member : 6 * member + 6]) if len(loose) else None


def _marked(at: Index, count: int) -> Mask:
    marked = np.zeros(count, dtype=bool)
    marked[at] = True
    return marked
