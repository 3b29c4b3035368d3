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
from secure_load.check.response import Farthest, Worked, displacement_limits, first_of_greatest, severity
from secure_load.check.results import Colour, HoldsToHeel
from secure_load.check.second_path import Meant, goes_without_friction, goes_without_unrated, without_second_path
from secure_load.check.utilisation import colour_of
from secure_load.loads.load_cases import Family
from secure_load.model.model_builder import Stowed
from secure_load.model.motion_words import direction_words, heel_words, listed, movement
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
    farthest: Farthest
    """Where it moves most before it is held; ``at`` is an instant of the family."""
    governing: tuple[int, int] | None
    """Restraint and part that are worked hardest; None where nothing has a strength."""
    second_path: bool
    holds_to_heel: HoldsToHeel
    by_scenario: list[ScenarioFigure]
    by_friction_alone: bool
    """It is held, and would go if every surface were greased."""


def judge(stowed: Stowed, member: int, meant: Family, load: Array, worked: Worked) -> Judgement:
    """The verdict on one weight of a group from its working over the distinct loads (d, 6 b) of a family."""
    assert worked.displacement is not None
    worst = worked.worst(stowed, member)[meant.which]
    graded = np.maximum(worst, severity(worked.displacement[:, member])[meant.which])
    free = np.isinf(worst)
    at = _worst_instant(meant, worst)
    free_to_move = bool(free.any())
    utilisation = float(worst.max(initial=0.0))
    notes = stowed.members[member].notes
    farthest = worked.farthest[member]
    farthest = Farthest(farthest.corner, int(meant.distinct[farthest.at]))
    too_far = _far_words(meant, farthest)
    moves_too_far = farthest.distance > displacement_limits()[1]
    red = free_to_move or utilisation > _limit("red-over") or moves_too_far or bool(notes.faults)
    reasons: list[str] = []
    moves = None
    if free_to_move:
        heel = float(meant.instants.heel_deg[at])
        moves = movement(worked.u[meant.which[at], 6 * member : 6 * member + 6], heel)
        reasons.append(_free_words(stowed, member, meant, at, moves))
        clear = [f.id for f in stowed.of(member) if f.index in worked.clear]
        if clear:
            reasons.append(f"by the time it is held up it has moved clear of {' and '.join(clear)}: hold it closer")
    governing = _governing(stowed, member, worked)
    if governing is not None and governing[0] > _limit("red-over"):
        reasons.append(_over_words(stowed, worked, governing, "more than it may be asked for"))
    if moves_too_far:
        reasons.append(too_far)
    reasons += notes.faults
    tried = Meant(stowed, member, meant, load, worked)
    lacking = [] if red else without_second_path(tried)
    second_path = not red and not lacking and bool(stowed.fastened(member))
    doubts: list[str] = []
    alone = None
    if not red:
        if governing is not None and utilisation > _limit("amber-over"):
            doubts.append(_over_words(stowed, worked, governing, "close to all it may be asked for"))
        elif governing is not None and utilisation > _limit("amber-over-single") and not second_path:
            names = " or ".join(stowed.fittings[i].id for i in lacking) or "any of it"
            doubts.append(
                f"{_over_words(stowed, worked, governing, 'more than half')}, and there is no second path "
                f"should {names} fail"
            )
        alone = goes_without_friction(tried)
        if alone is not None:
            doubts.append(f"held by friction alone: without it, it {alone}")
        unrated = goes_without_unrated(tried)
        if unrated is not None:
            kinds = {"a cable tie" if isinstance(f.restraint, CableTie) else "a bond" for f in stowed.unrated(member)}
            doubts.append(f"{listed(sorted(kinds))} is the only thing that stops it: without, it {unrated}")
        if governing is not None and stowed.parts[governing[1]][governing[2]].assumed:
            doubts.append(
                f"{stowed.fittings[governing[1]].id} governs, and its strength rests on an assumption: measure it"
            )
        if farthest.distance > displacement_limits()[0]:
            doubts.append(too_far)
        if member in worked.astray:
            doubts.append("it moves, and where it comes to rest could not be worked out: hold it closer")
        doubts += _slack_words(stowed, member, worked)
        doubts += leans_on_failing(stowed, member, load, worked)
    if any(isinstance(f.restraint, Bed) and f.restraint.on == "planking" for f in stowed.of(member)):
        doubts.append("it bears on planking; carry it on floors, keel or frames")
    doubts += notes.doubts
    colour: Colour = "red" if red else "amber" if doubts else "green"
    reasons += doubts
    if not reasons:
        reasons.append(_green_words(stowed, worked, governing, second_path))
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
        holds_to_heel=HoldsToHeel(port=_holds_to(meant, graded, -1.0), starboard=_holds_to(meant, graded, 1.0)),
        by_friction_alone=alone is not None,
        by_scenario=[_in_scenario(meant, worst, graded, index) for index in range(len(meant.scenarios))],
    )


def _limit(name: str) -> float:
    return assumed(name).number


def _worst_instant(meant: Family, worst: Array) -> int:
    """Where it is free: the first heel at which it goes, at the least load; else the greatest utilisation.

    A knockdown tells the story better than a test laid down upright, so scenarios that heel come first.
    """
    free = np.flatnonzero(np.isinf(worst))
    if len(free):
        moments = meant.instants
        upright = np.array([s.heel_deg.to == 0.0 and s.heel_deg.from_ == 0.0 for s in meant.scenarios])
        rank = np.lexsort((moments.load_factor[free], np.abs(moments.heel_deg[free]), upright[meant.scenario[free]]))
        return int(free[rank[0]])
    return first_of_greatest(worst)


def _heeling(meant: Family) -> Mask:
    """(n,) True for instants of scenarios that heel her; for all of them where none does."""
    heels = np.array([s.heel_deg.to != 0.0 or s.heel_deg.from_ != 0.0 for s in meant.scenarios])
    return heels[meant.scenario] if heels.any() else np.ones(len(meant.scenario), dtype=bool)


def _governing(stowed: Stowed, member: int, worked: Worked) -> tuple[float, int, int] | None:
    """(utilisation, restraint, part) of a member's hardest worked part; None where nothing has a strength."""
    every = [(peak.utilisation, f.index, j) for f in stowed.of(member) for j, peak in enumerate(worked.peaks[f.index])]
    return every[first_of_greatest(np.array([each[0] for each in every]))] if every else None


def _free_words(stowed: Stowed, member: int, meant: Family, at: int, moves: str) -> str:
    scenario = meant.scenarios[int(meant.scenario[at])].title
    if not stowed.of(member):
        return "nothing holds it: no bed and no restraint was entered"
    heel = heel_words(float(meant.instants.heel_deg[at]))
    when = heel if heel == "upright" else f"at {heel}"
    return f"free to move {when} ({scenario}): it {moves}"


NOTHING_LEFT = 1e6
"""Utilisation beyond which a part has no strength worth a figure."""


def _over_words(stowed: Stowed, worked: Worked, governing: tuple[float, int, int], what: str) -> str:
    ratio, i, j = governing
    part, peak = stowed.parts[i][j], worked.peaks[i][j]
    if np.isinf(ratio):
        return f"{stowed.fittings[i].id}, {part.name}: has no strength at all that way"
    if ratio > NOTHING_LEFT:
        return f"{stowed.fittings[i].id}, {part.name}: nothing is left of its strength; {peak.demand:.0f} N is asked"
    strength = peak.demand / ratio if ratio > 0.0 else 0.0
    return (
        f"{stowed.fittings[i].id}, {part.name}: worked to {ratio:.0%} ({peak.demand:.0f} N of {strength:.0f} N), {what}"
    )


def _slack_words(stowed: Stowed, member: int, worked: Worked) -> list[str]:
    """What a weight comes to only after moving, where it bears on it at any instant."""
    found: list[str] = []
    for fitting in stowed.of(member):
        slack = max((link.gap for link in fitting.links), default=0.0)
        if slack <= 0.0 or fitting.index not in worked.reached:
            continue
        far = f"{slack * 1000:.3g} mm"
        if fitting.other is None:
            found.append(
                f"{fitting.id} has {far} of slack: the weight comes to it with a jerk, counted as a sudden load of "
                "more than twice what it bears at rest; take the slack up"
            )
        else:
            other = stowed.members[fitting.owner if fitting.other == member else fitting.other].weight.title
            found.append(
                f"{fitting.id} leaves {far} between this weight and {other}: one comes to the other with a jerk, "
                "counted as a sudden load of more than twice what it bears at rest on all that stops them; close it"
            )
    return found


def _green_words(stowed: Stowed, worked: Worked, governing: tuple[float, int, int] | None, second_path: bool) -> str:
    spare = "a second path takes over should one restraint fail" if second_path else "there is strength in hand"
    if governing is None:
        return f"held in everything tried; {spare}"
    ratio, i, j = governing
    what = f"{stowed.fittings[i].id}, {stowed.parts[i][j].name}"
    return f"held in everything tried: {what}, is worked to {ratio:.0%}; {spare}"


FAR = 0.1
"""m of movement beyond which no more is said than that it is far: the engine's displacements are small ones."""


def _far_words(meant: Family, farthest: Farthest) -> str:
    amber, red = displacement_limits()
    limit, whose = (red, "33 CFR 183.420") if farthest.distance > red else (amber, "ISO 10133")
    scenario = meant.scenarios[int(meant.scenario[farthest.at])].title
    heel = heel_words(float(meant.instants.heel_deg[farthest.at]))
    when = heel if heel == "upright" else f"at {heel}"
    far = f"{farthest.distance * 1000:.0f}" if farthest.distance < FAR else f"more than {FAR * 1000:.0f}"
    return (
        f"moves {far} mm {direction_words(farthest.corner)} before it is held {when} "
        f"({scenario}), more than the {limit * 1000:.0f} mm that {whose} allows a battery: hold it closer"
    )


def _holds_to(meant: Family, graded: Array, side: float) -> float | None:
    """The last heel before the first red one, going out from upright to one side; None if red at the start.

    Tests laid down upright say nothing of heel and are left out, unless nothing else was run.
    """
    out = meant.instants.heel_deg * side
    here = (out >= 0.0) & _heeling(meant)
    if not here.any():
        return None
    red = here & (graded > _limit("red-over"))
    if not red.any():
        return float(out[here].max()) + 0.0
    first = float(out[red].min())
    before = out[here & (out < first - 1e-9)]
    return float(before.max()) + 0.0 if len(before) else None


def _in_scenario(meant: Family, worst: Array, graded: Array, index: int) -> ScenarioFigure:
    own = np.flatnonzero(meant.scenario == index)
    at = int(own[_gravest(meant, worst, own)])
    free = bool(np.isinf(worst[at]))
    figure, grade = float(worst[at]), float(graded[own].max())
    return ScenarioFigure(utilisation=0.0 if free else figure, free=free, at=at, colour=colour_of(grade))


def _gravest(meant: Family, worst: Array, own: Index) -> int:
    free = np.flatnonzero(np.isinf(worst[own]))
    if len(free):
        return int(free[np.abs(meant.instants.heel_deg[own[free]]).argmin()])
    return first_of_greatest(worst[own])
