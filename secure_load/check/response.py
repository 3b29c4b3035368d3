"""How hard every part is worked at every instant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from secure_load.boat.models import Bed
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.check.impact import impact
from secure_load.loads.direction_bins import DirectionBins
from secure_load.model.contact import RestraintModel
from secure_load.model.group_model import GroupModel
from secure_load.solver.arrays import Array, Index, Mask, row_max, row_norm
from secure_load.solver.case_set import CaseSet, single
from secure_load.solver.equilibrium import Equilibrium, solve_cases
from secure_load.solver.newton import FREE, RefinementPlan, WarmStart
from secure_load.solver.springs import SpringSet
from secure_load.strength.pads import sudden_load

PEAK_BAND = 0.98
"""How far up between the least and the most that a part is worked or a bed pressed the instants lie beside which others
are looked at too."""
TIE_TOLERANCE = 1.0 - 1e-6
"""Share of the greatest of some figures from which others are as great but for rounding; the first of them is named."""


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
class BedForce:
    """The most that a bed bears, N, each at its own worst instant."""

    total: float
    """All of it together."""
    quarter: float
    """Its hardest pressed quarter."""


@dataclass(frozen=True)
class LargestDisplacement:
    """The greatest displacement of a weight that is held, over many instants."""

    corner: Array
    """(3,) displacement of the corner that moves most, m."""
    at: int
    """Index of the instant."""

    @property
    def distance(self) -> float:
        """m"""
        return float(np.linalg.norm(self.corner))


@dataclass(frozen=True)
class Response:
    """What n instants ask of a group of b weights' restraints."""

    by_restraint: Array
    """(n, restraints) utilisation of each, the worst of its parts; nil where a weight it touches is free."""
    unrestrained: Mask
    """(n, b) True where a weight is free to move."""
    displacement_vector: Array
    """(n, 6 b) displacement, rotations multiplied by the weight's own length."""
    peaks: list[list[Peak]]
    """By restraint and part, over the instants at which it is held."""
    fallback_count: int
    """Instants the fast iteration left to the slow one."""
    bed_forces: dict[int, BedForce] = field(default_factory=dict[int, "BedForce"])
    """By bed, the most it bears over the instants at which it is held."""
    reached: frozenset[int] = frozenset()
    """Fittings that bear anything at any instant at which it is held."""
    near_peak: Mask | None = None
    """(n,) True where some part is worked, or some bed or its quarter pressed, nearly the most; None: not kept."""
    is_solved: Mask | None = None
    """(n,) True where it was solved, and not only judged by what was found beside it; None: everywhere."""
    bins: Sequence[DirectionBins] = ()
    """The bins of directions that were gone by, coarse ones first; none where it was by heel."""
    displacement: Array | None = None
    """(n, b) the greatest displacement of any corner of each weight from its place at rest upright, m, over all bounds;
    nil where it is free. None: not asked for."""
    clear: frozenset[int] = frozenset()
    """Fittings that a weight has moved clear of where it is free to move."""
    astray: frozenset[int] = frozenset()
    """Members whose place after moving was not found."""
    farthest: list[LargestDisplacement] = field(default_factory=list["LargestDisplacement"])
    """By weight, where it moves most of all instants at which it is held."""

    @property
    def free(self) -> Mask:
        """(n,) True where any weight is free to move."""
        return np.asarray(self.unrestrained.any(axis=1))

    def worst(self, stowed: GroupModel, member: int) -> Array:
        """(n,) the greatest utilisation of any of a member's restraints; infinite where it is free to move."""
        return worst_of(stowed, member, self.by_restraint, self.unrestrained)


def worst_of(stowed: GroupModel, member: int, by_restraint: Array, adrift: Mask) -> Array:
    """As ``Worked.worst``, of utilisations (n, restraints) and of what is free (n, b)."""
    own = [f.index for f in stowed.restraints_of(member)]
    return np.where(adrift[:, member], np.inf, row_max(by_restraint[:, own]))


def displacement_limits() -> tuple[float, float]:
    """What a weight may move before it is amber, and before it is red, m."""
    return factor("iso10133-movement"), factor("cfr183-movement")


def severity(displacement: Array) -> Array:
    """Displacements in m on the scale of a utilisation: at the limit between two colours they have its figure."""
    amber, red = displacement_limits()
    low, high = assumed("amber-over").number, assumed("red-over").number
    beyond = low + (high - low) * (displacement - amber) / (red - amber)
    return np.where(displacement < amber, low * displacement / amber, beyond)


def evaluate(
    stowed: GroupModel,
    bound: str,
    links: SpringSet,
    load: Array,
    begin: WarmStart | None = None,
) -> Response:
    """Solve a group under loads (n, 3) or (n, 6 b) with some set of its links, and work out its parts.

    ``bound`` names the set of links, for the record.
    """
    case = np.zeros(len(load), dtype=np.int64)
    return evaluate_cases(stowed, single(links), [bound], case, load, begin=begin)


def evaluate_cases(
    stowed: GroupModel,
    cases: CaseSet,
    bounds: list[str],
    case: Index,
    load: Array,
    order: RefinementPlan | None = None,
    begin: WarmStart | None = None,
    falls: bool = True,
) -> Response:
    """As ``evaluate``, each load (n, ...) borne by the links of its own ``case`` (n,), whose names are ``bounds``.

    ``order``: as ``solve_cases`` has it. ``falls``: weights that fall on one another are looked at, which takes long.
    """
    found = solve_cases(cases, case, load, order, begin)
    looks = [(np.arange(len(load)), found)]
    struck = impact(cases, case, load, found) if falls else None
    if struck is not None:
        looks.append((struck.at, struck.found))
        # what is knocked loose goes the way it is knocked
        goes = struck.found.unrestrained.any(axis=1)
        found.displacement[struck.at[goes]] = struck.found.displacement[goes]
        found.unrestrained[struck.at] |= struck.found.unrestrained
    by_restraint = np.zeros((len(load), len(stowed.restraints)))
    peaks: list[list[Peak]] = []
    pressed: dict[int, BedForce] = {}
    near_most = np.zeros(len(load), dtype=bool)
    bears = (found.normal > FREE * row_norm(load)[:, None])[~found.free].any(axis=0)
    for restraint, parts in zip(stowed.restraints, stowed.failure_modes, strict=True):
        rows = rows_of(cases.links, restraint.index)
        own = [Peak(0.0, 0.0, 0, bounds[0]) for _ in parts]
        is_bed = isinstance(restraint.restraint, Bed)
        for at, look in looks if len(rows) and len(load) and (parts or is_bed) else []:
            forces, loose = forces_on(restraint, look, rows)
            forces = with_snatch_load(cases, case[at], rows, forces)
            if is_bed:
                pressed = max_bed_force(pressed, {restraint.index: peak_bed_force(forces, restraint.quarters)})
                near_most[at] |= near_maximum(forces @ np.ones(forces.shape[1])) | near_maximum(
                    row_max(forces @ restraint.quarters.T)
                )
            drag = friction_resultant(cases.links, look, rows, loose, restraint.owners) if parts else np.zeros(len(at))
            for place, part in enumerate(parts):
                demand, ratio = part.working(forces, drag)
                by_restraint[at, restraint.index] = np.maximum(by_restraint[at, restraint.index], ratio)
                near_most[at] |= near_maximum(ratio)
                first = first_near_maximum(ratio)
                if look is found or ratio[first] > own[place].utilisation:
                    load_at = int(at[first])
                    own[place] = Peak(float(ratio[first]), float(demand[first]), load_at, bounds[int(case[load_at])])
        peaks.append(own)
    reached = frozenset(cases.links.restraint[bears].tolist())
    return Response(
        by_restraint, found.unrestrained, found.displacement, peaks, found.fallback_count, pressed, reached, near_most
    )


def first_near_maximum(figures: Array) -> int:
    """Place of the first of some figures (n,), nil or more, that is the greatest but for rounding."""
    return int((figures >= TIE_TOLERANCE * figures.max()).argmax())


def near_maximum(figures: Array) -> Mask:
    """Which of n figures, nil or more, come near the most of them; none where all are alike."""
    if not len(figures):
        return np.zeros(0, dtype=bool)
    most, least = float(figures.max()), float(figures.min())
    return np.asarray(figures > most - (1.0 - PEAK_BAND) * (most - least))


def with_snatch_load(cases: CaseSet, case: Index, rows: Index, forces: Array) -> Array:
    """Forces (n, rows) with what the weight brings along where it first has to move through slack."""
    gap = cases.links.gap[rows]
    if not gap.any():
        return forces
    k = np.maximum(cases.rows(case).stiffness[:, rows], 1e-300)
    return np.where(gap > 0.0, sudden_load(np.maximum(forces, 0.0), gap, k), forces)


def rows_of(links: SpringSet, restraint: int) -> Index:
    """The rows of one fitting that load its parts."""
    rows = np.flatnonzero(links.restraint == restraint)
    if not links.one_way[rows].all():
        # what bolts and bonds bear by pressing is not a load on them
        rows = rows[~links.one_way[rows]]
    return rows


def peak_bed_force(forces: Array, quarters: Array) -> BedForce:
    """The most that a bed bears at any of n instants; forces (n, points) in N, ``quarters`` as the fitting's."""
    total = forces @ np.ones(forces.shape[1])
    quarter = np.minimum(row_max(forces @ quarters.T), total)
    return BedForce(float(total.max(initial=0.0)), float(quarter.max(initial=0.0)))


def max_bed_force(a: dict[int, BedForce], b: dict[int, BedForce]) -> dict[int, BedForce]:
    """The worse of two sets of instants, bed by bed."""
    none = BedForce(0.0, 0.0)
    both = {bed: (a.get(bed, none), b.get(bed, none)) for bed in {*a, *b}}
    return {bed: BedForce(max(x.total, y.total), max(x.quarter, y.quarter)) for bed, (x, y) in both.items()}


def forces_on(restraint: RestraintModel, found: Equilibrium, rows: Index) -> tuple[Array, Mask]:
    """Normal forces (n, rows) on a restraint, nil from weights that are free; and (n,) where nothing that is held
    bears on it."""
    forces = found.normal[:, rows]
    if not restraint.pieces:
        loose = found.unrestrained[:, restraint.owner]
        forces[loose] = 0.0
        return forces, loose
    by_row = found.unrestrained[:, [spring.attachments[0].body for spring in restraint.springs]]
    forces[by_row] = 0.0
    return forces, np.asarray(by_row.all(axis=1))


def friction_resultant(
    links: SpringSet, found: Equilibrium, rows: Index, loose: Mask, bodies: Sequence[int] = ()
) -> Array:
    """Resultant of the friction at some contacts, (n,), N; bodies: those that it is the friction of."""
    here = np.zeros(len(links.stiffness), dtype=bool)
    here[rows] = True
    own = here[links.normal]
    if not own.any():
        return np.zeros(len(found.displacement))
    directions = links.tangent_direction[own]
    if len(bodies) < 2:
        # each friction row's own direction on the first body it touches
        bodies = [int(np.flatnonzero(directions[0])[0]) // 6 if directions.any() else 0]
    pull = found.tangential[:, own] @ sum(directions[:, 6 * body : 6 * body + 3] for body in bodies)
    pull[loose] = 0.0
    return row_norm(pull)
