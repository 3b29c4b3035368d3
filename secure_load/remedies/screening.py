"""A quick look at a changed stowage, before it is checked in full.

Of the many thousand loads of a family only those that reach furthest are solved: those that reach furthest along
each axis of the boat and along ``CELLS`` evenly spread directions, and of those nearest each of these directions
the greatest and the least. What a quick look passes is checked in full; the loads at which a full check still
finds fault are added to the quick look's.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from secure_load.boat.models import Weight
from secure_load.check.context import CheckContext
from secure_load.check.holding import sphere
from secure_load.check.ingots.bundle import bundle_verdict
from secure_load.check.results import WeightVerdict
from secure_load.check.sampler import worst_over_bounds
from secure_load.loads.load_cases import LoadCases, loads
from secure_load.model.group_model import CannotCheck, GroupModel
from secure_load.model.model_builder import build_model
from secure_load.model.rules.loose_ingots import laid_out
from secure_load.solver.arrays import Array, Index
from secure_load.solver.equilibrium import solve
from secure_load.solver.newton import RefinementPlan

CELLS = 120


@dataclass(frozen=True)
class QuickResult:
    """What a quick check found of one weight."""

    unrestrained: bool
    """It is free to move at some load."""
    friction_alone: bool
    """It is free where every surface is greased."""
    utilisation: dict[str, float]
    """By restraint, the worst of its parts."""
    on_assumption: dict[str, bool]
    """By restraint: the part that governs rests on something nobody wrote down."""
    doubted: frozenset[str]
    """Restraints of which something is not known, or that no shipwright would sign, whatever they bear."""

    @property
    def worst(self) -> float:
        """The greatest utilisation."""
        return max(self.utilisation.values(), default=0.0)

    @property
    def governing(self) -> str | None:
        """The restraint worked hardest; None where nothing has a strength."""
        return max(self.utilisation, key=self.utilisation.__getitem__, default=None)


@dataclass
class Screening:
    """Quick checks of the changes of one weight."""

    context: CheckContext
    weight: Weight
    _meant: LoadCases = field(init=False)
    _chosen: Index = field(init=False)
    _seen: dict[str, QuickResult | None] = field(init=False, default_factory=dict[str, "QuickResult | None"])
    checks: int = field(init=False, default=0)
    """How many stowages were solved."""

    def __post_init__(self) -> None:
        self._meant = self.context.load_cases_for(self.weight)
        moments = self._meant.instants.at(self._meant.unique_rows)
        felt = loads(moments, 1.0, np.array(self.weight.at_m, dtype=float))
        self._chosen = _furthest(felt)

    def add(self, verdict: WeightVerdict) -> None:
        """Look at the worst instants of a full check from now on."""
        moments = self._meant.instants
        at = verdict.worst
        if at is None:
            return
        like = (
            (np.abs(moments.heel_deg - at.heel_deg) < 0.01)
            & (np.abs(moments.pitch_deg - at.pitch_deg) < 0.01)
            & (np.abs(moments.load_factor - at.load_factor) < 0.001)
        )
        self._chosen = np.union1d(self._chosen, self._meant.inverse[np.flatnonzero(like)])
        self._seen.clear()

    def quick_check(self, changed: Weight) -> QuickResult | None:
        """A quick look at the weight changed so; None where it cannot be worked out."""
        key = changed.model_dump_json()
        if key not in self._seen:
            self.checks += 1
            try:
                self._seen[key] = self._solve(changed)
            except CannotCheck:
                self._seen[key] = None
        return self._seen[key]

    def bundle_holds(self, changed: Weight) -> bool:
        """True where the weight is no bundle, or every ingot stays in it at the loads of a quick look."""
        changed = laid_out(changed)
        if changed.bundle is None:
            return True
        at = self._meant.unique_rows[self._chosen]
        every = np.arange(len(at))
        once = RefinementPlan(coarse=every, fine=every[:0], nearest_coarse=every[:0], opposite_coarse=every[:0])
        few = LoadCases(
            scenarios=self._meant.scenarios,
            instants=self._meant.instants.at(at),
            scenario=self._meant.scenario[at],
            unique_rows=every,
            inverse=every,
            plan=once,
            histories=[],
        )
        try:
            return bundle_verdict(changed, self.context.boat, few).verdict == "green"
        except CannotCheck:
            return False

    def _solve(self, changed: Weight) -> QuickResult:
        together = self.context.group_of(changed)
        member = next(i for i, w in enumerate(together) if w.id == changed.id)
        model = build_model(together, self.context.boat)
        moments = self._meant.instants.at(self._meant.unique_rows[self._chosen])
        load = model.loads_at(moments)
        response = worst_over_bounds(model, load)
        utilisation: dict[str, float] = {}
        on_assumption: dict[str, bool] = {}
        for restraint in model.restraints_of(member):
            peaks = response.peaks[restraint.index]
            if not peaks:
                continue
            at = max(range(len(peaks)), key=lambda j: peaks[j].utilisation)
            utilisation[restraint.id] = peaks[at].utilisation
            on_assumption[restraint.id] = model.failure_modes[restraint.index][at].assumed
        return QuickResult(
            unrestrained=bool(response.unrestrained[:, member].any()),
            friction_alone=_slips(model, member, load),
            utilisation=utilisation,
            on_assumption=on_assumption,
            doubted=_doubted(model, member),
        )


def _doubted(model: GroupModel, member: int) -> frozenset[str]:
    """Restraints that a doubt or a fault of the weight names, as "port-cleat: ..." or "port-cleat, bar: ..."."""
    notes = model.members[member].notes
    named = {name for each in [*notes.doubts, *notes.faults] for name in each.partition(": ")[0].split(", ")}
    return frozenset(f.id for f in model.restraints_of(member) if f.id in named)


def _furthest(felt: Array) -> Index:
    """Which of some accelerations (n, 3) reach furthest, or least far, all round."""
    directions = np.vstack([np.eye(3), -np.eye(3), sphere(CELLS)])
    reach = felt @ directions.T
    length = np.linalg.norm(felt, axis=1)
    toward = np.asarray(reach.argmax(axis=1))
    order = np.lexsort((length, toward))
    cells = toward[order]
    last = np.append(cells[1:] != cells[:-1], True)
    first = np.append(True, cells[1:] != cells[:-1])
    return np.unique(np.concatenate([order[last | first], reach.argmax(axis=0)]))


def _slips(model: GroupModel, member: int, load: Array) -> bool:
    springs = model.springs.frictionless()
    return not len(springs.stiffness) or bool(solve(springs, load).unrestrained[:, member].any())
