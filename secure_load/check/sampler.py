"""The worst that many loads ask of a weight's restraints, over every bound of stiffness and friction.

All bounds are worked side by side, and not every load is solved: first a coarse choice of them, then those that can
matter to the verdict. Which they are is told in two ways. Where nothing is tight or slack at rest, forces grow in
proportion to the load, and loads are gathered by direction (``loads.direction_bins``); else, and for weights that
touch, by heel, each history by itself.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.check.displaced import in_place, small_movement
from secure_load.check.impact import gaps_between
from secure_load.check.response import (
    TIE_TOLERANCE,
    BedForce,
    LargestDisplacement,
    Peak,
    Response,
    displacement_limits,
    evaluate_cases,
    max_bed_force,
    near_maximum,
    severity,
    worst_of,
)
from secure_load.loads.direction_bins import DirectionBins, bin_levels
from secure_load.loads.load_cases import LoadCases
from secure_load.model.displacement import corner_displacements, greatest_displacements
from secure_load.model.group_model import GroupModel
from secure_load.solver.arrays import Array, Index, Mask, row_max, spanned
from secure_load.solver.case_set import CaseSet
from secure_load.solver.equilibrium import solve_cases
from secure_load.solver.newton import RefinementPlan, WarmStart

BINS_DEG = (15.0, 5.0, 1.7)
"""Degrees across the bins of directions, level by level."""
REFINE_ABOVE = (0.45, 0.75, 0.9)
"""How far up between the least and the greatest utilisation of a scenario lies what is solved more finely, by level."""
NEIGHBOUR_BINS = (1.7, 2.4, 2.4)
"""Bins within which a held one is next to a free one: each direction lies anywhere in its own; by level."""
OTHER_BOUNDS = 0.9
"""Share of the worst over all bounds below which a bound is not worse anywhere near."""
HEELS_ABOVE = 0.8
"""As ``REFINE_ABOVE`` between coarse heels, and beside a limit between colours."""
EDGE_BINS = 1.7
"""Steps of a net within which a free cell is next to a held one; taken for free, it errs to the safe side."""
NEAR_REPRESENTATIVE = 0.95
"""Share of the greatest load of a cell at which a load in it may work a part nearly as hard."""
LIMIT_MARGIN = (0.4, 0.15, 0.05)
"""How near a limit a utilisation has to come, as a share of it, for its neighbours to be solved; by level."""


def worst_over_bounds(
    stowed: GroupModel, load: Array, load_cases: LoadCases | None = None, moved: bool = True
) -> Response:
    """The worst over every bound, load by load and part by part.

    load: (d, 6 b), the distinct loads of the family ``load_cases``; without one, some loads that are all solved.
    ``moved``: what moves far is solved again in the place it has moved to.
    """
    sweep = AdaptiveSampler(stowed, stowed.cases, list(stowed.bounds), load)
    if load_cases is None:
        sweep.solve_seed(np.arange(len(load)))
    elif stowed.springs.has_preload:
        _sample_heels(
            sweep, load_cases.plan if len(stowed.members) == 1 else load_cases.outward_plan, load_cases.occurs
        )
    else:
        _sample_directions(sweep, load_cases)
    for member in range(len(stowed.members)) if moved else ():
        sweep.look_in_place(member)
    return sweep.result()


@dataclass
class AdaptiveSampler:
    """Results so far for n loads in c cases; a row is ``case * n + load``."""

    model: GroupModel
    cases: CaseSet
    bounds: list[str]
    load: Array

    def __post_init__(self) -> None:
        n, c = len(self.load), self.cases.count
        self.n = n
        self.by_restraint = np.zeros((c * n, len(self.model.restraints)))
        self.unrestrained = np.zeros((c * n, len(self.model.members)), dtype=bool)
        self.u = np.zeros((c * n, self.load.shape[1]))
        self.rest = _at_rest(self.model, self.cases)
        self.displacement = np.zeros((c * n, len(self.model.members)))
        self.near_peak = np.zeros(c * n, dtype=bool)
        self.is_solved = np.zeros(c * n, dtype=bool)
        self.peaks: list[list[Peak]] = []
        self.pressed: dict[int, BedForce] = {}
        self.reached: frozenset[int] = frozenset()
        self.handed_over = 0
        self.bins: list[DirectionBins] = []
        self.fine = False
        """The rows now solved lie between loads for which impacts between weights were evaluated."""
        self.clear: set[int] = set()
        self.astray: set[int] = set()

    def rows(self, at: Index) -> Index:
        """Row numbers of some loads in all cases, case by case."""
        return (np.arange(self.cases.count)[:, None] * self.n + at).ravel()

    def solve_rows_skipping_red(self, place: Index, begin: WarmStart) -> None:
        """Solve rows from a warm start and store the results.

        What goes by the least friction, which is the first case's, is red: how hard the other cases would work it is
        asked no more, once anything is known to go.
        """
        first = place < self.n
        if self.unrestrained.any() and not first.all():
            self.solve_rows(place[first], begin.subset(first))
            goes = ~first & self.unrestrained[place % self.n].all(axis=1)
            self.fill_from(place[goes], place[goes] % self.n)
            self.is_solved[place[goes]] = True
            rest = ~first & ~goes
            self.solve_rows(place[rest], begin.subset(rest))
        else:
            self.solve_rows(place, begin)

    def solve_seed(self, at: Index, order: RefinementPlan | None = None) -> None:
        """Solve loads in the first case, and in the others from the displacements found there."""
        self.solve_rows(at, order=order)
        others = self.rows(at)[len(at) :]
        self.solve_rows_skipping_red(others, self.warm_start(others % self.n))

    def solve_rows(self, place: Index, begin: WarmStart | None = None, order: RefinementPlan | None = None) -> None:
        """Solve rows, solved before or not, and store the results."""
        if not len(place):
            return
        case, at = np.divmod(place, self.n)
        found = evaluate_cases(
            self.model, self.cases, self.bounds, case, self.load[at], order, begin=begin, falls=not self.fine
        )
        if self.fine and len(gaps_between(self.cases)):
            # the jerk of one weight on another stays that of the loads beside it
            np.maximum(found.by_restraint, self.by_restraint[place], out=found.by_restraint)
            np.logical_or(found.unrestrained, self.unrestrained[place], out=found.unrestrained)
        self.by_restraint[place], self.unrestrained[place], self.u[place] = (
            found.by_restraint,
            found.unrestrained,
            found.displacement_vector,
        )
        assert found.near_peak is not None
        self.near_peak[place], self.is_solved[place] = found.near_peak, True
        self.displacement[place] = self.displaced(case, found.displacement_vector, found.unrestrained)
        self.near_peak[place] |= _far(self.displacement[place])
        self.handed_over += found.fallback_count
        mapped = [[replace(peak, at=int(at[peak.at])) for peak in own] for own in found.peaks]
        self.peaks = _harder(self.peaks, mapped) if self.peaks else mapped
        self.pressed = max_bed_force(self.pressed, found.bed_forces)
        self.reached |= found.reached

    def warm_start(self, near: Index, share: Array | None = None) -> WarmStart:
        """A warm start from the rows ``near`` (r,), scaled by ``share`` (r,)."""
        known, back = np.unique(near, return_inverse=True)
        u, load = self.u[known], self.load[known % self.n]
        return WarmStart(u, load, back, share)

    def fill_from(self, place: Index, near: Index, share: Array | None = None) -> None:
        """Fill unsolved rows from the rows ``near``, scaled by ``share``."""
        part = np.ones((len(place), 1)) if share is None else share[:, None]
        self.by_restraint[place] = self.by_restraint[near] * part
        self.unrestrained[place] = self.unrestrained[near]
        self.u[place] = self.u[near] * part
        self.displacement[place] = self.displacement[near] * part

    def displaced(self, case: Index, u: Array, unrestrained: Mask) -> Array:
        """How far each weight is from its place at rest, (r, b), m; nil where it is free."""
        bodies = [m.body for m in self.model.members]
        return np.where(unrestrained, 0.0, greatest_displacements(bodies, u - self.rest[case]))

    def look_in_place(self, member: int) -> None:
        """Look again at the most telling loads in the place to which they move a member, where that is some way off."""
        far = self.displacement[:, member]
        if not small_movement(self.model, member) < far.max(initial=0.0) <= displacement_limits()[1]:
            return
        held = np.flatnonzero(
            self.is_solved & ~self.unrestrained.any(axis=1) & (far > small_movement(self.model, member))
        )
        own = [f.index for f in self.model.restraints_of(member)]
        response = self.by_restraint[held][:, own]
        rise = np.maximum(self.u[held, 6 * member + 2], 0.0)
        telling = [far[held], row_max(response), row_max(response) * far[held], row_max(response) * rise]
        for place in {int(held[each.argmax()]) for each in telling} if len(held) else ():
            case, at = divmod(place, self.n)
            found = in_place(self.model, self.bounds[case], self.load[at], self.u[place])
            if not found.settled:
                self.astray |= {member}
            if found.response.unrestrained.any():
                self.clear |= set(found.clear)
                self.unrestrained[place] |= found.response.unrestrained[0]
                self.u[place] = found.response.displacement_vector[0]
            np.maximum(self.by_restraint[place], found.response.by_restraint[0], out=self.by_restraint[place])
            there = self.displaced(
                np.array([case]), found.response.displacement_vector, self.unrestrained[place][None]
            )[0]
            self.displacement[place] = np.where(
                self.unrestrained[place], 0.0, np.maximum(self.displacement[place], there)
            )
            mapped = [[replace(peak, at=at, bound=self.bounds[case]) for peak in own] for own in found.response.peaks]
            self.peaks = _harder(self.peaks, mapped)

    def worst(self, member: int) -> Array:
        """(c n,) a member's greatest utilisation, or the severity of its displacement; infinite where it is free."""
        worst = worst_of(self.model, member, self.by_restraint, self.unrestrained)
        return np.maximum(worst, severity(self.displacement[:, member]))

    def farthest(self, member: int) -> LargestDisplacement:
        """Where a member that is held moves most."""
        # what was not solved has the figure of what was
        place = int(np.where(self.is_solved, self.displacement[:, member], -1.0).argmax())
        case, at = divmod(place, self.n)
        own = slice(6 * member, 6 * member + 6)
        u = self.u[place, own] - self.rest[case, own]
        corners = corner_displacements(self.model.members[member].body, u[None])[0]
        corner = corners[np.linalg.norm(corners, axis=1).argmax()]
        return LargestDisplacement(corner if self.displacement[place, member] > 0.0 else np.zeros(3), at)

    def result(self) -> Response:
        """The worst over the cases."""
        n, c = self.n, self.cases.count
        unrestrained = self.unrestrained.reshape(c, n, -1)
        free = unrestrained.any(axis=2)
        # the motion reported is that of the first case in which it is free
        first = np.where(free.any(axis=0), free.argmax(axis=0), 0)
        return Response(
            by_restraint=self.by_restraint.reshape(c, n, -1).max(axis=0),
            unrestrained=np.asarray(unrestrained.any(axis=0)),
            displacement_vector=self.u.reshape(c, n, -1)[first, np.arange(n)],
            peaks=self.peaks,
            fallback_count=self.handed_over,
            bed_forces=self.pressed,
            reached=self.reached,
            is_solved=np.asarray(self.is_solved.reshape(c, n).any(axis=0)),
            bins=self.bins,
            displacement=self.displacement.reshape(c, n, -1).max(axis=0),
            clear=frozenset(self.clear),
            astray=frozenset(self.astray),
            farthest=[self.farthest(member) for member in range(len(self.model.members))],
        )


def _at_rest(stowed: GroupModel, cases: CaseSet) -> Array:
    """Displacements (c, 6 b) at rest upright in each case; nil where something is free there."""
    down = np.tile([0.0, 0.0, -factor("g0")], (cases.count, 1))
    load = stowed.total_load([m.body.mass * down for m in stowed.members])
    found = solve_cases(cases, np.arange(cases.count), load)
    return np.where(found.free[:, None], 0.0, found.displacement)


def _far(displacement: Array) -> Mask:
    """Which of some displacements (r, b) come near the greatest of their weight, where that is worth a look."""
    far = np.zeros(len(displacement), dtype=bool)
    for own in displacement.T:
        if own.max(initial=0.0) > HEELS_ABOVE * displacement_limits()[0]:
            far |= near_maximum(own)
    return far


def _harder(a: list[list[Peak]], b: list[list[Peak]]) -> list[list[Peak]]:
    """The worse of two sets of peaks; of peaks alike but for rounding the first."""
    return [
        [x if x.utilisation >= TIE_TOLERANCE * y.utilisation else y for x, y in zip(p, q, strict=True)]
        for p, q in zip(a, b, strict=True)
    ]


def _near_worst(worst: Array, occurs: Mask, above: float) -> Mask:
    """Which loads may be worse than the worst by their utilisation or what stands for it, (c, n), infinite where free.

    Where it comes near the greatest of a scenario the load occurs in, over all cases. ``occurs`` (n, scenarios).
    """
    held = np.where(np.isinf(worst), 0.0, worst)
    most = held.max(axis=0)
    highest = np.where(occurs, most[:, None], 0.0).max(axis=0, initial=0.0)
    lowest = np.where(occurs, most[:, None], np.inf).min(axis=0, initial=np.inf)
    worth = highest - (1.0 - above) * (highest - np.minimum(lowest, highest))
    least = np.maximum(np.where(occurs, worth, np.inf).min(axis=1), OTHER_BOUNDS * most)
    return np.asarray((held > 0.0) & (held >= least))


def _doubtful(low: Array, high: Array, margin: float) -> Mask:
    """Where a limit between colours lies between two utilisations, or near one of them."""
    doubtful = np.zeros(low.shape, dtype=bool)
    for limit in (assumed("amber-over").number, assumed("red-over").number):
        doubtful |= (low * (1.0 - margin) < limit) & (limit < high * (1.0 + margin))
    return doubtful


def _changes(worst: Array, load_cases: LoadCases, margin: float) -> Mask:
    """Which loads have a limit between colours within a few heels of them, (c, n), from what stands for each."""
    found = np.zeros(worst.shape, dtype=bool)
    for history in load_cases.histories:
        load: Index = load_cases.inverse[history.place]
        columns = int(history.place.shape[1])
        low = high = worst[:, load]
        for shift in (-history.beside, history.beside):
            beside = worst[:, load[:, np.clip(np.arange(columns) + shift, 0, columns - 1)]]
            low, high = np.minimum(low, beside), np.maximum(high, beside)
        case, row, place = np.nonzero(_doubtful(low, high, margin))
        found[case, load[row, place]] = True
    return found & (worst >= HEELS_ABOVE * worst.max(axis=0))


def _sample_directions(sweep: AdaptiveSampler, load_cases: LoadCases) -> None:
    """Without preload, by the direction of the loads: coarse bins, then fine ones and single loads where it matters.

    What is not solved has the figures of the greatest load of its bin, in proportion.
    """
    n, c = sweep.n, sweep.cases.count
    levels = sweep.bins = bin_levels(sweep.load @ spanned(sweep.load), BINS_DEG)
    sweep.solve_seed(levels[0].representative)
    source, scale = np.zeros(c * n, dtype=np.int64), np.zeros(c * n)
    finer = [load_cases.with_history_ends(levels[1].representative), levels[2].representative, np.arange(n)]
    for bins, candidates, above, reach, margin in zip(
        levels, finer, REFINE_ABOVE, NEIGHBOUR_BINS, LIMIT_MARGIN, strict=True
    ):
        stands = sweep.rows(bins.representative[bins.bin])
        known = sweep.is_solved[stands]
        source[known], scale[known] = stands[known], np.tile(bins.relative_magnitude, c)[known]
        rest = np.flatnonzero(~sweep.is_solved)
        sweep.fill_from(rest, source[rest], scale[rest])
        # a group takes long: after its coarse bins only what is near the worst of all scenarios is refined
        alone_or_coarse = len(sweep.model.members) == 1 or bins is levels[0]
        occurs = load_cases.occurs if alone_or_coarse else np.ones((n, 1), dtype=bool)
        wanted = (sweep.near_peak[source] & (scale >= NEAR_REPRESENTATIVE)).reshape(c, n)
        for member in range(len(sweep.model.members)):
            worst = sweep.worst(member).reshape(c, n)
            wanted |= _near_worst(worst, occurs, above) | _changes(worst, load_cases, margin)
            free = sweep.unrestrained[sweep.rows(bins.representative), member].reshape(c, -1)
            wanted |= (bins.boundary(free, reach) | bins.boundary(~free, EDGE_BINS))[:, bins.bin]
        rows = sweep.rows(candidates)
        rows = rows[wanted.ravel()[rows] & ~sweep.is_solved[rows]]
        sweep.solve_rows_skipping_red(rows, sweep.warm_start(source[rows], scale[rows]))


def _sample_heels(sweep: AdaptiveSampler, order: RefinementPlan, occurs: Mask) -> None:
    """One weight or several by heel: coarse heels, then those between two of them where it may matter.

    Between two coarse heels nothing is solved where both are well below the greatest utilisation, or where the same
    weights are red at both; such loads keep the worse figures of the two.
    """
    shape = (sweep.cases.count, sweep.n)
    sweep.solve_seed(order.coarse, order.parent)
    rest = sweep.rows(order.fine)
    near, far = sweep.rows(order.nearest_coarse), sweep.rows(order.opposite_coarse)
    sweep.fill_from(rest, near)
    sweep.by_restraint[rest] = np.maximum(sweep.by_restraint[near], sweep.by_restraint[far])
    sweep.unrestrained[rest] = sweep.unrestrained[near] | sweep.unrestrained[far]
    sweep.displacement[rest] = np.maximum(sweep.displacement[near], sweep.displacement[far])
    look = sweep.near_peak[near] | sweep.near_peak[far]
    for member in range(len(sweep.model.members)):
        worst = sweep.worst(member)
        look |= _near_worst(worst.reshape(shape), occurs, HEELS_ABOVE).ravel()[rest]
        look |= _doubtful(np.minimum(worst[near], worst[far]), np.maximum(worst[near], worst[far]), LIMIT_MARGIN[1])
    sweep.fine = True
    sweep.solve_rows_skipping_red(rest[look], sweep.warm_start(near[look]))
