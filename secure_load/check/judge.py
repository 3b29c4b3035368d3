"""Red, amber or green, and why.

Red: a utilisation over 1, or free to move. Amber: over 0.8; or over 0.5 with no second path; or held by friction
alone; or a cable tie is the only thing that holds it some way; or the figure that governs is an assumed one; or
something holds it only after slack is taken up (counted as a sudden load); or a bed is pressed beyond what its timber
bears (``check``); or it leans on a neighbour whose restraints fail. Green: the rest. (Limits: common practice, chosen
for this tool.) A weight that moves before it is held is amber over what ISO 10133 allows a battery and red over what
33 CFR 183.420 does (``displacement_limits``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.boat.models import Bed, CableTie
from secure_load.catalogue.assumed import assumed
from secure_load.check.leaning import leans_on_failing
from secure_load.check.response import LargestDisplacement, Response, displacement_limits, first_near_maximum, severity
from secure_load.check.results import Colour, HoldsToHeel
from secure_load.check.second_path import ReducedHold
from secure_load.check.utilisation import colour_of, percent
from secure_load.loads.load_cases import LoadCases
from secure_load.model.group_model import GroupModel
from secure_load.model.motion_words import describe_motion, direction_words, format_heel, listed
from secure_load.solver.arrays import Array, Index, Mask


@dataclass(frozen=True)
class ScenarioFigure:
    """One weight in one scenario."""

    utilisation: float
    free: bool
    at: int
    colour: Colour


@dataclass(frozen=True)
class Judgement:
    """What follows from the figures of one weight."""

    colour: Colour
    reasons: list[str]
    utilisation: float
    free_to_move: bool
    moves: str | None
    worst: int
    """Index of the worst instant of the family."""
    farthest: LargestDisplacement
    """Where it moves most before it is held; ``at`` is an instant of the family."""
    governing: tuple[int, int] | None
    """Restraint and part that are worked hardest; None where nothing has a strength."""
    second_path: bool
    holds_to_heel: HoldsToHeel
    by_scenario: list[ScenarioFigure]
    by_friction_alone: bool
    """It is held, and would go if every surface were greased."""


def judge(reduced: ReducedHold, member: int) -> Judgement:
    """The verdict on one weight of a group from its response to all its loads."""
    model, load_cases, load, response = reduced.model, reduced.load_cases, reduced.load, reduced.response
    assert response.displacement is not None
    worst = response.worst(model, member)[load_cases.inverse]
    graded = np.maximum(worst, severity(response.displacement[:, member])[load_cases.inverse])
    free = np.isinf(worst)
    at = _worst_instant(load_cases, worst)
    free_to_move = bool(free.any())
    utilisation = float(worst.max(initial=0.0))
    notes = model.members[member].notes
    farthest = response.farthest[member]
    farthest = LargestDisplacement(farthest.corner, int(load_cases.unique_rows[farthest.at]))
    too_far = _far_words(load_cases, farthest)
    moves_too_far = farthest.distance > displacement_limits()[1]
    red = free_to_move or utilisation > _limit("red-over") or moves_too_far or bool(notes.faults)
    reasons: list[str] = []
    moves = None
    if free_to_move:
        heel = float(load_cases.instants.heel_deg[at])
        moves = describe_motion(response.displacement_vector[load_cases.inverse[at], 6 * member : 6 * member + 6], heel)
        reasons.append(_free_words(model, member, load_cases, at, moves))
        clear = [f.id for f in model.restraints_of(member) if f.index in response.clear]
        if clear:
            reasons.append(f"by the time it is held up it has moved clear of {' and '.join(clear)}: hold it closer")
    governing = _governing(model, member, response)
    if governing is not None and governing[0] > _limit("red-over"):
        reasons.append(_over_words(model, response, governing, ""))
    if moves_too_far:
        reasons.append(too_far)
    reasons += notes.faults
    lacking = [] if red else reduced.lacking_second_path(member)
    second_path = not red and not lacking and bool(model.fastened(member))
    doubts: list[str] = []
    alone = None
    if not red:
        if governing is not None and utilisation > _limit("amber-over"):
            doubts.append(_over_words(model, response, governing, ", close to its working strength"))
        elif governing is not None and utilisation > _limit("amber-over-single") and not second_path:
            names = " or ".join(model.restraints[i].id for i in lacking) or "one of the restraints"
            doubts.append(
                f"{_over_words(model, response, governing, ', more than half')}, and there is no back-up "
                f"should {names} fail"
            )
        alone = reduced.motion_without_friction(member)
        if alone is not None:
            doubts.append(f"held by friction alone: without it, it {alone}")
        unrated = reduced.effect_without_unrated(member)
        if unrated is not None:
            kinds = {"a cable tie" if isinstance(f.restraint, CableTie) else "a bond" for f in model.unrated(member)}
            doubts.append(f"{listed(sorted(kinds))} is the only thing that stops it: without, it {unrated}")
        if governing is not None and model.failure_modes[governing[1]][governing[2]].assumed:
            doubts.append(
                f"{model.restraints[governing[1]].id} governs, and its strength rests on an assumption: measure it"
            )
        if farthest.distance > displacement_limits()[0]:
            doubts.append(too_far)
        if member in response.astray:
            doubts.append("it moves, and where it comes to rest could not be worked out: hold it closer")
        doubts += _slack_words(model, member, response)
        doubts += leans_on_failing(model, member, load, response)
    if any(isinstance(f.restraint, Bed) and f.restraint.on == "planking" for f in model.restraints_of(member)):
        doubts.append("it bears on planking; carry it on floors, keel or frames")
    doubts += notes.doubts
    colour: Colour = "red" if red else "amber" if doubts else "green"
    reasons += doubts
    if not reasons:
        reasons.append(_green_words(model, response, governing, second_path))
    return Judgement(
        colour=colour,
        reasons=reasons,
        utilisation=utilisation,
        free_to_move=free_to_move,
        moves=moves,
        worst=at,
        farthest=farthest,
        governing=None if governing is None else governing[1:],
        second_path=second_path,
        holds_to_heel=HoldsToHeel(
            port=_holds_to(load_cases, graded, -1.0), starboard=_holds_to(load_cases, graded, 1.0)
        ),
        by_friction_alone=alone is not None,
        by_scenario=[_in_scenario(load_cases, worst, graded, index) for index in range(len(load_cases.scenarios))],
    )


def _limit(name: str) -> float:
    return assumed(name).number


def _worst_instant(load_cases: LoadCases, worst: Array) -> int:
    """Where it is free: the first heel at which it goes, at the least load; else the greatest utilisation.

    A knockdown tells the story better than a test laid down upright, so scenarios that heel come first.
    """
    free = np.flatnonzero(np.isinf(worst))
    if len(free):
        moments = load_cases.instants
        upright = np.array([s.heel_deg.to == 0.0 and s.heel_deg.from_ == 0.0 for s in load_cases.scenarios])
        rank = np.lexsort(
            (moments.load_factor[free], np.abs(moments.heel_deg[free]), upright[load_cases.scenario[free]])
        )
        return int(free[rank[0]])
    return first_near_maximum(worst)


def _heeling(load_cases: LoadCases) -> Mask:
    """(n,) True for instants of scenarios that heel her; for all of them where none does."""
    heels = np.array([s.heel_deg.to != 0.0 or s.heel_deg.from_ != 0.0 for s in load_cases.scenarios])
    return heels[load_cases.scenario] if heels.any() else np.ones(len(load_cases.scenario), dtype=bool)


def _governing(model: GroupModel, member: int, response: Response) -> tuple[float, int, int] | None:
    """(utilisation, restraint, part) of a member's hardest worked part; None where nothing has a strength."""
    every = [
        (peak.utilisation, f.index, j)
        for f in model.restraints_of(member)
        for j, peak in enumerate(response.peaks[f.index])
    ]
    return every[first_near_maximum(np.array([each[0] for each in every]))] if every else None


def _free_words(model: GroupModel, member: int, load_cases: LoadCases, at: int, moves: str) -> str:
    scenario = load_cases.scenarios[int(load_cases.scenario[at])].title
    if not model.restraints_of(member):
        return "nothing holds it: no bed and no restraint was entered"
    heel = format_heel(float(load_cases.instants.heel_deg[at]))
    when = heel if heel == "upright" else f"at {heel}"
    return f"free to move {when} ({scenario}): it {moves}"


NOTHING_LEFT = 1e6
"""Utilisation beyond which a part has no strength worth a figure."""


def _over_words(model: GroupModel, response: Response, governing: tuple[float, int, int], what: str) -> str:
    ratio, i, j = governing
    part, peak = model.failure_modes[i][j], response.peaks[i][j]
    if np.isinf(ratio):
        return f"{model.restraints[i].id}, {part.name}: has no strength at all that way"
    if ratio > NOTHING_LEFT:
        return f"{model.restraints[i].id}, {part.name}: nothing is left of its strength; {peak.demand:.0f} N is asked"
    strength = peak.demand / ratio if ratio > 0.0 else 0.0
    used = f"{percent(ratio)} used: {peak.demand:.0f} N on a working strength of {strength:.0f} N"
    return f"{model.restraints[i].id}, {part.name}: {used}{what}"


def _slack_words(model: GroupModel, member: int, response: Response) -> list[str]:
    """What a weight comes to only after moving, where it bears on it at any instant."""
    found: list[str] = []
    for restraint in model.restraints_of(member):
        slack = max((link.gap for link in restraint.springs), default=0.0)
        if slack <= 0.0 or restraint.index not in response.reached:
            continue
        far = f"{slack * 1000:.3g} mm"
        if restraint.other is None:
            found.append(
                f"{restraint.id} has {far} of slack: the weight snatches at it, counted as more than twice the static "
                "load; take the slack up"
            )
        else:
            other = model.members[restraint.owner if restraint.other == member else restraint.other].weight.title
            found.append(
                f"{restraint.id} leaves {far} between this weight and {other}: one snatches at the other, "
                "counted as more than twice the static load on all that stops them; close it"
            )
    return found


def _green_words(
    model: GroupModel, response: Response, governing: tuple[float, int, int] | None, second_path: bool
) -> str:
    spare = "; backed up if one restraint fails" if second_path else ""
    if governing is None:
        return f"holds in every scenario{spare}"
    ratio, i, j = governing
    what = f"{model.restraints[i].id}, {model.failure_modes[i][j].name}"
    return f"holds in every scenario; highest use {percent(ratio)} ({what}){spare}"


FAR = 0.1
"""m of movement beyond which no more is said than that it is far: the engine's displacements are small ones."""


def _far_words(load_cases: LoadCases, farthest: LargestDisplacement) -> str:
    amber, red = displacement_limits()
    limit, whose = (red, "33 CFR 183.420") if farthest.distance > red else (amber, "ISO 10133")
    scenario = load_cases.scenarios[int(load_cases.scenario[farthest.at])].title
    heel = format_heel(float(load_cases.instants.heel_deg[farthest.at]))
    when = heel if heel == "upright" else f"at {heel}"
    far = f"{farthest.distance * 1000:.0f}" if farthest.distance < FAR else f"more than {FAR * 1000:.0f}"
    return (
        f"moves {far} mm {direction_words(farthest.corner)} before it is held {when} "
        f"({scenario}), more than the {limit * 1000:.0f} mm that {whose} allows a battery: hold it closer"
    )


def _holds_to(load_cases: LoadCases, graded: Array, side: float) -> float | None:
    """The last heel before the first red one, going out from upright to one side; None if red at the start.

    Tests laid down upright say nothing of heel and are left out, unless nothing else was run.
    """
    out = load_cases.instants.heel_deg * side
    here = (out >= 0.0) & _heeling(load_cases)
    if not here.any():
        return None
    red = here & (graded > _limit("red-over"))
    if not red.any():
        return float(out[here].max()) + 0.0
    first = float(out[red].min())
    before = out[here & (out < first - 1e-9)]
    return float(before.max()) + 0.0 if len(before) else None


def _in_scenario(load_cases: LoadCases, worst: Array, graded: Array, index: int) -> ScenarioFigure:
    own = np.flatnonzero(load_cases.scenario == index)
    at = int(own[_gravest(load_cases, worst, own)])
    free = bool(np.isinf(worst[at]))
    figure, grade = float(worst[at]), float(graded[own].max())
    return ScenarioFigure(utilisation=0.0 if free else figure, free=free, at=at, colour=colour_of(grade))


def _gravest(load_cases: LoadCases, worst: Array, own: Index) -> int:
    free = np.flatnonzero(np.isinf(worst[own]))
    if len(free):
        return int(free[np.abs(load_cases.instants.heel_deg[own[free]]).argmin()])
    return first_near_maximum(worst[own])
