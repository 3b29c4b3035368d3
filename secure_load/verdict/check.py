"""From a boat file to a verdict: every weight in every scenario that is run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from secure_load.boat.models import BoatFile, Scenario, Weight
from secure_load.statics.arrays import Array
from secure_load.statics.motion import Family, family, loads
from secure_load.statics.scenarios import applies, choose
from secure_load.verdict.cautions import cautions
from secure_load.verdict.directions import holds_g
from secure_load.verdict.judge import Judgement, judge
from secure_load.verdict.loose import if_loose
from secure_load.verdict.models import (
    BoatVerdict,
    Colour,
    FirstToGo,
    Instant,
    PartFigure,
    RestraintVerdict,
    ScenarioRun,
    ScenarioVerdict,
    WeightVerdict,
    worse,
)
from secure_load.verdict.stow import Stowed, groups_of, stow_together
from secure_load.verdict.work import Worked, work_all

Progress = Callable[[int, int, str], None]
"""Called with weights done, weights in all, and the name of the one in hand."""


class Cancelled(Exception):
    """A newer question has made this check pointless."""


@dataclass
class Run:
    """A boat and the scenarios to run her through; instants are worked out once for all her weights."""

    boat: BoatFile
    scenarios: list[Scenario]
    _families: dict[tuple[str, ...], Family] = field(default_factory=dict[tuple[str, ...], Family])
    _groups: dict[str, list[Weight]] = field(default_factory=dict[str, list[Weight]])

    def family_for(self, weight: Weight) -> Family:
        """The instants meant for a weight of its kind."""
        meant = [s for s in self.scenarios if applies(s, weight)]
        key = tuple(s.id for s in meant)
        if key not in self._families:
            self._families[key] = family(meant)
        return self._families[key]

    def group_of(self, weight: Weight) -> list[Weight]:
        """The weights that touch it, itself among them, in the order of the file."""
        if not self._groups:
            for places in groups_of(self.boat.weight):
                together = [self.boat.weight[i] for i in places]
                self._groups.update({w.id: together for w in together})
        return self._groups.get(weight.id, [weight])


def prepare(boat: BoatFile, scenarios: list[str] | None = None) -> Run:
    """A run over the scenarios asked for by id, or all. Raises LookupError for an id that is nowhere."""
    return Run(boat, choose(boat, scenarios))


def check_boat(
    boat: BoatFile,
    scenarios: list[str] | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> BoatVerdict:
    """The verdict on every weight.

    Raises LookupError for a scenario that is nowhere, ``stow.CannotCheck`` for a weight that cannot be worked
    out, ``Cancelled`` where ``cancelled`` comes true between two weights.
    """
    run = prepare(boat, scenarios)
    found: list[WeightVerdict] = []
    instants = 0
    for done, weight in enumerate(boat.weight):
        if cancelled is not None and cancelled():
            raise Cancelled
        if progress is not None:
            progress(done, len(boat.weight), weight.title)
        found.append(check_weight(weight, run))
        instants += len(run.family_for(weight).instants)
    if progress is not None:
        progress(len(boat.weight), len(boat.weight), "")
    return assemble(run, found, instants)


def assemble(run: Run, weights: list[WeightVerdict], instants: int) -> BoatVerdict:
    """The verdict on the boat from those on her weights."""
    by_scenario: dict[str, Colour] = {s.id: "green" for s in run.scenarios}
    overall: Colour = "green"
    for weight in weights:
        overall = worse(overall, weight.verdict)
        for each in weight.scenarios:
            by_scenario[each.scenario] = worse(by_scenario[each.scenario], each.verdict)
    counts = {s.id: 0 for s in run.scenarios}
    for weight in run.boat.weight:
        meant = run.family_for(weight)
        for index, scenario in enumerate(meant.scenarios):
            counts[scenario.id] += int(np.count_nonzero(meant.scenario == index))
    return BoatVerdict(
        boat=run.boat.boat.name,
        scenarios=[
            ScenarioRun(
                id=s.id,
                name=s.title,
                why=s.why or "the owner's own",
                source=s.source or "the owner's own",
                instants=counts[s.id],
                verdict=by_scenario[s.id],
            )
            for s in run.scenarios
        ],
        verdict=overall,
        cautions=cautions(),
        weights=weights,
        instants=instants,
    )


def check_weight(weight: Weight, run: Run) -> WeightVerdict:
    """The verdict on one weight, solved together with those it touches.

    Raises ``stow.CannotCheck``, in one sentence.
    """
    together = run.group_of(weight)
    member = next(i for i, w in enumerate(together) if w.id == weight.id)
    stowed = stow_together(together, run.boat.boat)
    meant = run.family_for(weight)
    moments = meant.instants.at(meant.distinct)
    load = stowed.total_load([loads(moments, m.body.mass, m.body.at) for m in stowed.members])
    worked = work_all(stowed, load, meant.order)
    found = judge(stowed, member, meant, load, worked)
    return _verdict(stowed, member, run, meant, load, worked, found)


def _verdict(
    stowed: Stowed, member: int, run: Run, meant: Family, load: Array, worked: Worked, found: Judgement
) -> WeightVerdict:
    moments = meant.instants
    at = found.worst
    restraints = _restraints(stowed, member, worked)
    first = max(restraints, key=lambda r: r.utilisation, default=None)
    goes = first is not None and (first.utilisation > 0.0 or not found.free_to_move)
    force = load[meant.which[at], 6 * member : 6 * member + 3]
    instant = Instant(
        scenario=meant.scenarios[int(meant.scenario[at])].id,
        heel_deg=_plain(moments.heel_deg[at]),
        pitch_deg=_plain(moments.pitch_deg[at]),
        load_factor=_plain(moments.load_factor[at]),
        demand_N=(_plain(force[0]), _plain(force[1]), _plain(force[2])),
    )
    weight, body = stowed.members[member].weight, stowed.members[member].body
    return WeightVerdict(
        id=weight.id,
        name=weight.title,
        kind=weight.kind,
        mass_kg=weight.mass,
        verdict=found.colour,
        reasons=found.reasons,
        utilisation=None if found.free_to_move else _plain(found.utilisation),
        free_to_move=found.free_to_move,
        moves=found.moves,
        worst=instant,
        first_to_go=FirstToGo(
            restraint=first.id,
            part=first.part,
            demand_N=first.demand_N,
            strength_N=first.strength_N,
            basis=first.basis,
        )
        if first is not None and goes and first.parts
        else None,
        restraints=restraints,
        second_path=found.second_path,
        holds_to_heel_deg=found.holds_to_heel,
        holds_g=holds_g(stowed, member),
        if_loose=if_loose(run.boat.boat, body, instant.load_factor),
        scenarios=[
            ScenarioVerdict(
                scenario=scenario.id,
                verdict=figure.colour,
                utilisation=None if figure.free else _plain(figure.utilisation),
                free_to_move=figure.free,
                heel_deg=_plain(moments.heel_deg[figure.at]),
            )
            for scenario, figure in zip(meant.scenarios, found.by_scenario, strict=True)
        ],
        assumptions=stowed.members[member].notes.lines,
        warnings=stowed.members[member].warnings,
    )


def _restraints(stowed: Stowed, member: int, worked: Worked) -> list[RestraintVerdict]:
    result: list[RestraintVerdict] = []
    for fitting in stowed.of(member):
        parts, peaks = stowed.parts[fitting.index], worked.peaks[fitting.index]
        figures = [
            PartFigure(
                part=part.name,
                demand_N=_plain(peak.demand),
                strength_N=_plain(peak.demand / peak.utilisation) if 0.0 < peak.utilisation < np.inf else None,
                utilisation=_plain(peak.utilisation),
                basis=part.basis,
                assumed=part.assumed,
                why=part.why,
            )
            for part, peak in zip(parts, peaks, strict=True)
        ]
        worst = max(figures, key=lambda f: f.utilisation, default=None)
        result.append(
            RestraintVerdict(
                id=fitting.id,
                type=fitting.restraint.type,
                face=getattr(fitting.restraint, "face", None),
                utilisation=worst.utilisation if worst else 0.0,
                part=worst.part if worst else "bearing",
                demand_N=worst.demand_N if worst else 0.0,
                strength_N=worst.strength_N if worst else None,
                basis=worst.basis if worst else "not a strength: it only bears",
                assumed=worst.assumed if worst else False,
                parts=figures,
            )
        )
    return result


def _plain(value: float) -> float:
    """A figure fit for print: four decimals, no negative nil; a part without strength is as if worked 1e9 fold."""
    if np.isinf(value):
        return 1e9
    return round(float(value), 4) + 0.0
