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
from secure_load.check.bundle import bundle_verdict
from secure_load.check.context import Run
from secure_load.check.holding import sphere
from secure_load.check.results import WeightVerdict
from secure_load.check.sampler import work_all
from secure_load.loads.load_cases import Family, loads
from secure_load.model.model_builder import CannotCheck, Stowed, stow_together
from secure_load.model.rules.loose_ingots import laid_out
from secure_load.solver.arrays import Array, Index
from secure_load.solver.equilibrium import solve
from secure_load.solver.newton import Order

CELLS = 120


@dataclass(frozen=True)
class QuickResult:
    """What a quick check found of one weight."""

    adrift: bool
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

    run: Run
    weight: Weight
    _meant: Family = field(init=False)
    _chosen: Index = field(init=False)
    _seen: dict[str, QuickResult | None] = field(init=False, default_factory=dict[str, "QuickResult | None"])
    checks: int = field(init=False, default=0)
    """How many stowages were solved."""

    def __post_init__(self) -> None:
        self._meant = self.run.family_for(self.weight)
        moments = self._meant.instants.at(self._meant.distinct)
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
        self._chosen = np.union1d(self._chosen, self._meant.which[np.flatnonzero(like)])
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
        at = self._meant.distinct[self._chosen]
        every = np.arange(len(at))
        once = Order(first=every, rest=every[:0], near=every[:0], far=every[:0])
        few = Family(
            scenarios=self._meant.scenarios,
            instants=self._meant.instants.at(at),
            scenario=self._meant.scenario[at],
            distinct=every,
            which=every,
            order=once,
            histories=[],
        )
        try:
            return bundle_verdict(changed, self.run.boat.boat, few).verdict == "green"
        except CannotCheck:
            return False

    def _solve(self, changed: Weight) -> QuickResult:
        together = self.run.group_of(changed)
        member = next(i for i, w in enumerate(together) if w.id == changed.id)
        stowed = stow_together(together, self.run.boat.boat)
        moments = self._meant.instants.at(self._meant.distinct[self._chosen])
        load = stowed.felt(moments)
        worked = work_all(stowed, load)
        utilisation: dict[str, float] = {}
        on_assumption: dict[str, bool] = {}
        for fitting in stowed.of(member):
            peaks = worked.peaks[fitting.index]
            if not peaks:
                continue
            at = max(range(len(peaks)), key=lambda j: peaks[j].utilisation)
            utilisation[fitting.id] = peaks[at].utilisation
            on_assumption[fitting.id] = stowed.parts[fitting.index][at].assumed
        return QuickResult(
            adrift=bool(worked.adrift[:, member].any()),
            friction_alone=_slips(stowed, member, load),
            utilisation=utilisation,
            on_assumption=on_assumption,
            doubted=_doubted(stowed, member),
        )


def _doubted(stowed: Stowed, member: int) -> frozenset[str]:
    """Restraints that a doubt or a fault of the weight names, as "port-cleat: ..." or "port-cleat, bar: ..."."""
    notes = stowed.members[member].notes
    named = {name for each in [*notes.doubts, *notes.faults] for name in each.partition(": ")[0].split(", ")}
    return frozenset(f.id for f in stowed.of(member) if f.id in named)


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


def _slips(stowed: Stowed, member: int, load: Array) -> bool:
    links = stowed.links.frictionless()
    return not len(links.k) or bool(solve(links, load).adrift[:, member].any())
