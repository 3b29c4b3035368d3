"""From a boat file to a verdict: every weight in every scenario that is run."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace

import numpy as np

from secure_load.boat.models import BoatFile, Weight
from secure_load.check.bearing import bearing
from secure_load.check.cautions import cautions
from secure_load.check.context import CheckContext, GroupSolution, make_context
from secure_load.check.failure_order import order_of_failure
from secure_load.check.groups import groups_of
from secure_load.check.holding import holds_g
from secure_load.check.if_loose import if_loose
from secure_load.check.ingots.bundle import bundle_verdict
from secure_load.check.judge import Judgement, judge
from secure_load.check.pool import can_fork, forked_pool
from secure_load.check.response import Response
from secure_load.check.results import (
    RANK,
    BoatVerdict,
    BundleVerdict,
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
from secure_load.check.unchecked import LOG, attempt, cannot_be_checked, not_run, only_floats
from secure_load.model.group_model import GroupModel
from secure_load.model.motion_words import direction_words, gathered
from secure_load.model.rules.loose_ingots import laid_out
from secure_load.solver.cancellation import Cancelled

Progress = Callable[[int, int, str], None]
"""Called with weights done, weights in all, and the name of the one just done."""
Failed = Callable[[Weight, Exception], None]
"""Called with a weight that cannot be checked, and why."""


def check_boat(
    boat: BoatFile,
    scenarios: list[str] | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
    copy: bool = False,
    failed: Failed | None = None,
) -> BoatVerdict:
    """The verdict on every weight.

    ``copy``: the work may be shared out over copies of the program where that is safe (see ``pool.may_copy``).
    ``failed`` is called with each weight that cannot be checked and the error; all others keep their verdicts.
    Raises LookupError for a scenario that is nowhere, ``Cancelled`` where ``cancelled`` comes true between two
    weights.
    """
    run = make_context(boat, scenarios)
    for weight in boat.weight:
        if run.scenarios_for(weight):
            run.load_cases_for(weight)
    groups = groups_of(boat.weight, boat.restraint)
    done = 0

    def report_progress(weight: Weight) -> None:
        nonlocal done
        done += 1
        if progress is not None:
            progress(done, len(boat.weight), weight.title)

    def check_group(group: list[int]) -> list[WeightVerdict]:
        found: list[WeightVerdict] = []
        for i in group:
            if cancelled is not None and cancelled():
                raise Cancelled
            found.append(check_weight(boat.weight[i], run, failed))
            report_progress(boat.weight[i])
        return found

    if progress is not None:
        progress(0, len(boat.weight), "")
    if copy and cancelled is None and can_fork(len(groups)):
        found = _check_in_pool(run, groups, check_group, report_progress)
    else:
        found = [check_group(group) for group in groups]
    by_id = {v.id: v for verdicts in found for v in verdicts}
    return assemble(run, [by_id[w.id] for w in boat.weight])


_copied: CheckContext | None = None
"""The run that copies of the program were made with."""


def _check_in_pool(
    run: CheckContext,
    groups: list[list[int]],
    one: Callable[[list[int]], list[WeightVerdict]],
    tell: Callable[[Weight], None],
) -> list[list[WeightVerdict]]:
    """The verdicts of all groups, worked by copies of the program.

    What a copy stumbles over is done here again, and all that is left where copies cannot be made (no shared memory,
    no more processes) or one of them is killed.
    """
    global _copied
    _copied = run
    found: list[list[WeightVerdict] | None] = []
    try:
        with forked_pool() as pool:
            try:
                answers = [pool.submit(_pool_worker, group) for group in groups]
                for group, answer in zip(groups, answers, strict=True):
                    found.append(answer.result())
                    for i in group if found[-1] is not None else []:
                        tell(run.boat.weight[i])
            except BaseException:
                pool.shutdown(wait=False, cancel_futures=True)
                raise
    except (BrokenProcessPool, OSError, ImportError) as problem:
        LOG.warning("the check goes on in one process", exc_info=problem)
    finally:
        _copied = None
    rest: list[None] = [None] * (len(groups) - len(found))
    return [one(group) if done is None else done for group, done in zip(groups, [*found, *rest], strict=True)]


def _pool_worker(group: list[int]) -> list[WeightVerdict] | None:
    """The verdicts of one group; None where one of them fails, so that it fails and is logged in the first program."""
    assert _copied is not None
    failures: list[Exception] = []
    found = [check_weight(_copied.boat.weight[i], _copied, lambda _, problem: failures.append(problem)) for i in group]
    return None if failures else found


def assemble(run: CheckContext, weights: list[WeightVerdict]) -> BoatVerdict:
    """The verdict on the boat from those on her weights."""
    by_scenario: dict[str, Colour] = {s.id: "green" for s in run.scenarios}
    overall: Colour = "green"
    for weight in weights:
        overall = worse(overall, weight.verdict)
        for each in weight.scenarios:
            by_scenario[each.scenario] = worse(by_scenario[each.scenario], each.verdict)
    counts = {s.id: 0 for s in run.scenarios}
    for weight, found in zip(run.boat.weight, weights, strict=True):
        if found.unchecked is not None:
            for scenario in run.scenarios_for(weight):
                by_scenario[scenario.id] = worse(by_scenario[scenario.id], found.verdict)
            continue
        load_cases = run.load_cases_for(weight)
        for index, scenario in enumerate(load_cases.scenarios):
            counts[scenario.id] += int(np.count_nonzero(load_cases.scenario == index))
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
        instants=sum(counts.values()),
    )


def check_weight(weight: Weight, run: CheckContext, failed: Failed | None = None) -> WeightVerdict:
    """The verdict on one weight, solved together with those it touches.

    Where it cannot be worked out the verdict says so, and ``failed`` is told. Raises nothing but ``Cancelled``.
    """
    *_, whole = check_stages(weight, run, failed)
    return whole


def check_stages(weight: Weight, run: CheckContext, failed: Failed | None = None) -> Iterator[WeightVerdict]:
    """As ``check_weight``: of a weight of a group first the verdict with colour, use and cause, then all of it.

    What is still to come of the first, which says so (``is_complete``): how many g it holds, and what gives way in
    which order. Neither changes the colour.
    """
    if weight.float_only:
        yield only_floats(weight)
    elif not run.scenarios_for(weight):
        yield not_run(weight)
    else:
        try:
            yield from _stages(weight, run)
        except Exception as problem:
            if failed is not None:
                failed(weight, problem)
            yield cannot_be_checked(weight, problem)


SLIDES_ON = "friction alone holds it while it lies still; once it slides, three quarters of that is left"


def _stages(weight: Weight, run: CheckContext) -> Iterator[WeightVerdict]:
    """As ``check_stages``; raises whatever goes wrong."""
    solved = run.solved(weight)
    member = next(i for i, w in enumerate(solved.group) if w.id == weight.id)
    found = judge(solved.reduced, member)
    if found.by_friction_alone and member not in solved.model.sliding:
        # a knock is enough to set it sliding
        solved = solved.slid
        found = judge(solved.reduced, member)
        if found.free_to_move:
            found = replace(found, reasons=[*found.reasons, SLIDES_ON])
    bundle = None
    laid = laid_out(solved.group[member])
    if laid.bundle is not None:
        bundle = bundle_verdict(laid, run.boat, solved.load_cases)
    core = _core(solved, member, run, found, bundle)
    if len(solved.group) > 1:
        yield core
    warnings = list(core.warnings)
    order = attempt(
        "what gives way in which order",
        weight,
        lambda: order_of_failure(solved.model, member, solved.load_cases, solved.load, solved.response),
        warnings,
    )
    held = attempt("how many g it holds", weight, lambda: holds_g(solved.model, member, solved.at_one_g), warnings)
    extras = {"order_of_failure": order or [], "holds_g": held, "warnings": warnings, "is_complete": True}
    yield core.model_copy(update=extras)


def _core(
    solved: GroupSolution, member: int, run: CheckContext, found: Judgement, bundle: BundleVerdict | None
) -> WeightVerdict:
    """The verdict without what is told beside it."""
    model, load_cases, response = solved.model, solved.load_cases, solved.response
    moments = load_cases.instants
    restraints = _restraints(model, member, response)
    first = None
    if found.governing is not None:
        name = model.restraints[found.governing[0]].id
        first = next(r for r in restraints if r.id == name)
    # a weight that is free goes without breaking anything, unless something was overloaded elsewhere
    goes = first is not None and (first.utilisation > 1.0 or not found.free_to_move)
    weight, body = model.members[member].weight, model.members[member].body
    bears = bearing(model, member, response, run.boat.boat)
    crushed = [each.sentence for each in bears if each.utilisation > 1.0]
    reasons = _reasons(found, bundle)
    if crushed:
        reasons = [*([] if reasons == found.reasons and found.colour == "green" else reasons), *crushed]
    warnings = gathered(model.members[member].warnings)
    loose = attempt(
        "what it does if it gets loose",
        weight,
        lambda: if_loose(run.boat.boat, body, float(moments.load_factor.max(initial=1.0))),
        warnings,
    )
    return WeightVerdict(
        id=weight.id,
        name=weight.title,
        kind=weight.kind or "other",
        mass_kg=weight.mass,
        verdict=worse(worse(found.colour, bundle.verdict if bundle else "green"), "amber" if crushed else "green"),
        reasons=reasons,
        utilisation=None if found.free_to_move else _rounded(found.utilisation),
        free_to_move=found.free_to_move,
        moves=found.moves,
        movement_mm=round(1000.0 * found.farthest.distance, 2),
        movement_direction=direction_words(found.farthest.corner),
        movement_at=_instant(solved, member, found.farthest.at) if found.farthest.distance > 0.0 else None,
        worst=_instant(solved, member, found.worst),
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
        if_loose=loose,
        scenarios=[
            ScenarioVerdict(
                scenario=scenario.id,
                verdict=figure.colour,
                utilisation=None if figure.free else _rounded(figure.utilisation),
                free_to_move=figure.free,
                heel_deg=_rounded(moments.heel_deg[figure.at]),
            )
            for scenario, figure in zip(load_cases.scenarios, found.by_scenario, strict=True)
        ],
        bundle=bundle,
        assumptions=model.members[member].notes.lines,
        warnings=warnings,
        bearing=bears,
        holds_g=None,
        is_complete=False,
    )


def _instant(solved: GroupSolution, member: int, at: int) -> Instant:
    load_cases, moments = solved.load_cases, solved.load_cases.instants
    force = solved.load[load_cases.inverse[at], 6 * member : 6 * member + 3]
    return Instant(
        scenario=load_cases.scenarios[int(load_cases.scenario[at])].id,
        heel_deg=_rounded(moments.heel_deg[at]),
        pitch_deg=_rounded(moments.pitch_deg[at]),
        load_factor=_rounded(moments.load_factor[at]),
        demand_N=(_rounded(force[0]), _rounded(force[1]), _rounded(force[2])),
    )


def _reasons(found: Judgement, bundle: BundleVerdict | None) -> list[str]:
    """Those of the weight as one block, and the bundle's where it is not green; the gravest first."""
    if bundle is None or bundle.verdict == "green":
        return found.reasons
    if found.colour == "green":
        return [bundle.sentence]
    if RANK[bundle.verdict] > RANK[found.colour]:
        return [bundle.sentence, *found.reasons]
    return [*found.reasons, bundle.sentence]


def _restraints(model: GroupModel, member: int, response: Response) -> list[RestraintVerdict]:
    result: list[RestraintVerdict] = []
    for fitting in model.restraints_of(member):
        parts, peaks = model.failure_modes[fitting.index], response.peaks[fitting.index]
        figures = [
            PartFigure(
                part=part.name,
                demand_N=_rounded(peak.demand),
                strength_N=_rounded(peak.demand / peak.utilisation) if 0.0 < peak.utilisation < np.inf else None,
                utilisation=_rounded(peak.utilisation),
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


def _rounded(value: float) -> float:
    """A figure fit for print: four decimals, no negative nil; a part without strength is as if worked 1e9 fold."""
    if np.isinf(value):
        return 1e9
    return round(float(value), 4) + 0.0
