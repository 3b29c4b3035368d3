"""Red, amber or green, and why.

Red: a utilisation over 1, or free to move. Amber: over 0.8; or over 0.5 with no second path; or held by friction
alone; or a cable tie is the only thing that holds it some way; or the figure that governs is an assumed one; or
something holds it only after slack is taken up (counted as a sudden load); or a bed is pressed
beyond what its timber bears (``check``). Green: the rest. (Limits: common practice, chosen for this tool.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.boat.models import Bed
from secure_load.catalogue.assumed import assumed
from secure_load.statics.arrays import Array, Index, Mask
from secure_load.statics.equilibrium import solve
from secure_load.statics.links import Links
from secure_load.statics.motion import Family
from secure_load.statics.newton import Begin
from secure_load.statics.words import heel_words, movement
from secure_load.verdict.models import Colour, HoldsToHeel
from secure_load.verdict.stow import AS_WORKED_OUT, Stowed
from secure_load.verdict.work import Worked, work


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
    governing: tuple[int, int] | None
    """Restraint and part that are worked hardest; None where nothing has a strength."""
    second_path: bool
    holds_to_heel: HoldsToHeel
    by_scenario: list[ScenarioFigure]


def judge(stowed: Stowed, member: int, meant: Family, load: Array, worked: Worked) -> Judgement:
    """The verdict on one weight of a group from its working over the distinct loads (d, 6 b) of a family."""
    worst = worked.worst(stowed, member)[meant.which]
    free = np.isinf(worst)
    at = _worst_instant(meant, worst)
    free_to_move = bool(free.any())
    utilisation = float(worst.max(initial=0.0))
    red = free_to_move or utilisation > _limit("red-over")
    reasons: list[str] = []
    moves = None
    if free_to_move:
        heel = float(meant.instants.heel_deg[at])
        moves = movement(worked.u[meant.which[at], 6 * member : 6 * member + 6], heel)
        reasons.append(_free_words(stowed, member, meant, at, moves))
    governing = _governing(stowed, member, worked)
    if governing is not None and governing[0] > _limit("red-over"):
        reasons.append(_over_words(stowed, worked, governing, "more than it may be asked for"))
    lacking = [] if red else _without_second_path(stowed, member, meant, load, worked)
    second_path = not red and not lacking and bool(stowed.fastened(member))
    doubts: list[str] = []
    if not red:
        assert governing is None or governing[0] <= _limit("red-over")
        if governing is not None and utilisation > _limit("amber-over"):
            doubts.append(_over_words(stowed, worked, governing, "close to all it may be asked for"))
        elif governing is not None and utilisation > _limit("amber-over-single") and not second_path:
            names = " or ".join(stowed.fittings[i].id for i in lacking) or "any of it"
            doubts.append(
                f"{_over_words(stowed, worked, governing, 'more than half')}, and there is no second path "
                f"should {names} fail"
            )
        alone = _friction_alone(stowed, member, meant, load, worked)
        if alone is not None:
            doubts.append(f"held by friction alone: without it, it {alone}")
        tie = _tie_alone(stowed, member, meant, load, worked)
        if tie is not None:
            doubts.append(f"a cable tie is the only thing that stops it: without, it {tie}")
        if governing is not None and stowed.parts[governing[1]][governing[2]].assumed:
            doubts.append(
                f"{stowed.fittings[governing[1]].id} governs, and its strength rests on an assumption: measure it"
            )
        doubts += _slack_words(stowed, member, worked)
    if any(isinstance(f.restraint, Bed) and f.restraint.on == "planking" for f in stowed.of(member)):
        doubts.append("it bears on planking; carry it on floors, keel or frames")
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
        governing=None if governing is None else governing[1:],
        second_path=second_path,
        holds_to_heel=HoldsToHeel(port=_holds_to(meant, worst, -1.0), starboard=_holds_to(meant, worst, 1.0)),
        by_scenario=[_in_scenario(meant, worst, index) for index in range(len(meant.scenarios))],
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
    return int(worst.argmax())


def _heeling(meant: Family) -> Mask:
    """(n,) True for instants of scenarios that heel her; for all of them where none does."""
    heels = np.array([s.heel_deg.to != 0.0 or s.heel_deg.from_ != 0.0 for s in meant.scenarios])
    return heels[meant.scenario] if heels.any() else np.ones(len(meant.scenario), dtype=bool)


def _governing(stowed: Stowed, member: int, worked: Worked) -> tuple[float, int, int] | None:
    """(utilisation, restraint, part) of a member's hardest worked part; None where nothing has a strength."""
    every = [(peak.utilisation, f.index, j) for f in stowed.of(member) for j, peak in enumerate(worked.peaks[f.index])]
    return max(every, key=lambda each: each[0], default=None)


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
    """What is not counted of restraints that the weight reaches only after moving, and then bears on."""
    found: list[str] = []
    for fitting in stowed.of(member):
        slack = max((link.gap for link in fitting.links), default=0.0)
        # without parts it only bears, and how hard it is worked is not known
        idle = bool(stowed.parts[fitting.index]) and not worked.by_restraint[:, fitting.index].any()
        if slack > 0.0 and not idle:
            found.append(
                f"{fitting.id} has {slack * 1000:.0f} mm of slack: the weight comes to it with a jerk, counted as a "
                "sudden load of more than twice what it bears at rest; take the slack up"
            )
    return found


def _green_words(stowed: Stowed, worked: Worked, governing: tuple[float, int, int] | None, second_path: bool) -> str:
    spare = "a second path takes over should one restraint fail" if second_path else "there is strength in hand"
    if governing is None:
        return f"held in everything tried; {spare}"
    ratio, i, j = governing
    what = f"{stowed.fittings[i].id}, {stowed.parts[i][j].name}"
    return f"held in everything tried: {what}, is worked to {ratio:.0%}; {spare}"


HARDEST = 4
"""Instants that work a restraint hardest: they are tried first when it is taken away."""
EARNEST = 16
"""Red instants that are looked at first."""
CLEAR = 0.85
"""Utilisation at coarse heels below which the heels between them cannot be red."""


@dataclass(frozen=True)
class _Without:
    """A member at the loads of a family, with some set of links that is not the whole."""

    stowed: Stowed
    member: int
    links: Links
    meant: Family
    load: Array
    u: Array
    """(d, 6 b) displacements with all links, to start from."""

    def red(self, at: Index) -> Mask:
        """Whether it goes red at some loads, (n,)."""
        return np.asarray(self._work(at, True) > _limit("red-over"))

    def worst(self, at: Index) -> Array:
        """Its utilisation at some loads, (n,); infinite where it is free.

        Looked for without patience first, which errs towards free; what comes out red is then looked at in
        earnest, until one is.
        """
        worst = self._work(at, False)
        red = np.flatnonzero(worst > _limit("red-over"))
        for some in (red[:EARNEST], red[EARNEST:]):
            if len(some):
                worst[some] = self._work(at[some], True)
            if (worst[some] > _limit("red-over")).any():
                break
        return worst

    def _work(self, at: Index, patient: bool) -> Array:
        begin = Begin(self.u[at], self.load[at], np.arange(len(at)))
        found = work(self.stowed, AS_WORKED_OUT, self.links, self.load[at], patient=patient, begin=begin)
        return found.worst(self.stowed, self.member)

    def goes_red(self, among: Mask) -> bool:
        """Whether it goes red at one of some loads, (d,): coarse heels first, then those between that are near it."""
        order, limit = self.meant.order, _limit("red-over")
        coarse = order.first[among[order.first]]
        worst = np.zeros(len(self.load))
        if len(coarse):
            worst[coarse] = self.worst(coarse)
        if (worst > limit).any():
            return True
        if len(self.stowed.members) > 1:
            return False  # a group takes long: its coarse heels must do
        close = np.maximum(worst[order.near], worst[order.far]) >= CLEAR
        rest = order.rest[among[order.rest] & (close | ~(among[order.near] | among[order.far]))]
        return bool(len(rest)) and bool((self.worst(rest) > limit).any())

    def goes(self) -> str | None:
        """How it goes at the first load that frees it; None where none does.

        Coarse heels tell: the loads that links without friction can bear fill a convex cone, so that what is held
        at two heels is held between them.
        """
        if not len(self.links.k):
            return "falls: nothing else holds it"
        at = self.meant.order.first
        found = solve(self.links, self.load[at], begin=Begin(self.u[at], self.load[at], np.arange(len(at))))
        loose = np.flatnonzero(found.adrift[:, self.member])
        return movement(found.u[loose[0], 6 * self.member : 6 * self.member + 6]) if len(loose) else None


def _without_second_path(stowed: Stowed, member: int, meant: Family, load: Array, worked: Worked) -> list[int]:
    """A member's own restraints without which it goes red somewhere.

    The instants that work a restraint hardest are tried first: most often they decide.
    """

    def is_lacking(index: int) -> bool:
        without = _Without(stowed, member, stowed.links.without(index), meant, load, worked.u)
        if not len(without.links.k):
            return True
        # where a restraint carries nothing, nothing changes when it is taken away
        carries = worked.by_restraint[:, index] > 0.0
        at = np.flatnonzero(carries)
        if not len(at):
            return False
        by_work = at[np.argsort(worked.by_restraint[at, index])]
        return bool(without.red(by_work[-HARDEST:]).any() or without.goes_red(carries))

    return [index for index in stowed.fastened(member) if is_lacking(index)]


def _friction_alone(stowed: Stowed, member: int, meant: Family, load: Array, worked: Worked) -> str | None:
    if not len(stowed.links.kt):
        return None
    return _Without(stowed, member, stowed.links.frictionless(), meant, load, worked.u).goes()


def _tie_alone(stowed: Stowed, member: int, meant: Family, load: Array, worked: Worked) -> str | None:
    ties = stowed.ties(member)
    if not ties:
        return None
    links = stowed.links.keeping(~np.isin(stowed.links.restraint, ties))
    without = _Without(stowed, member, links, meant, load, worked.u)
    goes = without.goes()
    if goes is None and without.goes_red(np.ones(len(load), dtype=bool)):
        return "overloads what is left"
    return goes


def _holds_to(meant: Family, worst: Array, side: float) -> float | None:
    """The last heel before the first red one, going out from upright to one side; None if red at the start.

    Tests laid down upright say nothing of heel and are left out, unless nothing else was run.
    """
    out = meant.instants.heel_deg * side
    here = (out >= 0.0) & _heeling(meant)
    if not here.any():
        return None
    red = here & (worst > _limit("red-over"))
    if not red.any():
        return float(out[here].max()) + 0.0
    first = float(out[red].min())
    before = out[here & (out < first - 1e-9)]
    return float(before.max()) + 0.0 if len(before) else None


def _in_scenario(meant: Family, worst: Array, index: int) -> ScenarioFigure:
    own = np.flatnonzero(meant.scenario == index)
    at = int(own[_gravest(meant, worst, own)])
    free = bool(np.isinf(worst[at]))
    figure = float(worst[at])
    colour: Colour = "red" if figure > _limit("red-over") else "amber" if figure > _limit("amber-over") else "green"
    return ScenarioFigure(utilisation=0.0 if free else figure, free=free, at=at, colour=colour)


def _gravest(meant: Family, worst: Array, own: Index) -> int:
    free = np.flatnonzero(np.isinf(worst[own]))
    if len(free):
        return int(free[np.abs(meant.instants.heel_deg[own[free]]).argmin()])
    return int(worst[own].argmax())
