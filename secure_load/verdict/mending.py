"""The search for what would mend a weight: first what is missing, then whatever is worked too hard made stouter.

Half-mended stowages are kept by the labour that lies between them and what is there; the worst worked restraint
of each is relieved every way there is, by the smallest size that serves at a quick look.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from secure_load.boat.models import AnyRestraint, Batten, Bed, Bolt, Cleat, Lashing, Strap, Weight
from secure_load.statics.cancellation import Cancelled
from secure_load.verdict.blocks import new_battens, new_cleats, stouter_battens, stouter_cleats
from secure_load.verdict.bundling import kept_together
from secure_load.verdict.changes import (
    Ladder,
    Stuff,
    bedding,
    bolts_through,
    larger_bed,
    open_sides,
    thicker_pad,
    ties,
    without,
)
from secure_load.verdict.check import check_weight
from secure_load.verdict.loose_ingots import laid_out
from secure_load.verdict.models import WeightVerdict
from secure_load.verdict.refastening import refastened
from secure_load.verdict.run import Run
from secure_load.verdict.screening import Look, Screening
from secure_load.verdict.straps import new_straps, second_strap, stouter_lines
from secure_load.verdict.work_of_change import jobs_between, minutes, named

Candidate = tuple[str, Weight]
"""What was done, in order, and the stowage it came to."""
BEAM = 5
"""Half-mended stowages kept at each step, those of least work."""
WAYS = 2
"""Ways to keep a bundle together that are gone on with."""
HELPS = 0.9
"""A change that does not serve by itself is gone on with if it lowers the worst utilisation to this share of it."""
STEPS = 5
"""Changes made one after another, at most."""


@dataclass
class Search:
    """One weight to be mended, and what was looked at on the way."""

    run: Run
    weight: Weight
    stuff: Stuff
    target: float
    screening: Screening
    cancelled: Callable[[], bool] | None
    doubted: bool = field(init=False, default=False)
    """As it is, what governs rests on an assumption: then no piece of unknown strength is to be left."""
    tried: set[str] = field(default_factory=set[str])

    def __post_init__(self) -> None:
        look = self.screening.look(self.weight)
        if look is not None and look.governing is not None and not look.adrift:
            self.doubted = look.on_assumption[look.governing]

    @property
    def service(self) -> Literal["wet", "dry"]:
        return "wet" if self.run.boat.boat.bilge == "wet" else "dry"

    def look(self, changed: Weight) -> Look | None:
        if self.cancelled is not None and self.cancelled():
            raise Cancelled
        return self.screening.look(changed)

    def check(self, changed: Weight) -> WeightVerdict:
        if self.cancelled is not None and self.cancelled():
            raise Cancelled
        return check_weight(changed, self.run)

    def labour(self, changed: Weight) -> int:
        return minutes(jobs_between(self.weight, changed))


def completed(search: Search) -> list[Candidate]:
    """(what was added, stowage) with nothing missing: borne, stopped on every side, held down, its ingots together."""
    return [each for start in _held(search) for each in _together(search, start)]


def _together(search: Search, start: Candidate) -> list[Candidate]:
    """A start as it is, if it is no bundle or its ingots stay together; else the first ways to keep them so.

    Ingots that lie nobody knows how are laid out.
    """
    begun, weight = start[0], laid_out(start[1])
    if search.screening.bundle_holds(weight):
        return [(begun, weight)]
    found: dict[str, Candidate] = {}
    for change in kept_together(weight):
        if any(kind in change.kind for kind in found):
            continue
        search.tried.add(change.kind)
        if search.cancelled is not None and search.cancelled():
            raise Cancelled
        if search.screening.bundle_holds(change.weight):
            found[change.kind] = (f"{begun}+{change.kind}".strip("+"), change.weight)
        if len(found) == WAYS:
            break
    return list(found.values()) or [(begun, weight)]


def _held(search: Search) -> list[Candidate]:
    """(what was added, stowage) that is borne, stopped on every side, and held down if need be."""
    weight = search.weight
    for (change,) in bedding(weight):
        search.tried.add(change.kind)
        weight = change.weight
    look = search.look(weight)
    if look is None:
        return []
    if ties(weight):
        bare = without(weight, ties(weight))
        seen = search.look(bare)
        if seen is None or seen.adrift or _too_hard(search, seen):
            weight, look = bare, seen
    faces = open_sides(weight)
    if faces and look is not None and (look.adrift or look.friction_alone):
        ladder = new_cleats(weight, faces, search.stuff, search.service)
        search.tried.add("cleats on the open sides" + ("" if ladder else " (too short for two screws)"))
        if ladder:
            weight = ladder[0].weight
            look = search.look(weight)
    if look is None:
        return []
    if not look.adrift and not look.friction_alone:
        return [("", weight)]
    starts: list[Candidate] = []
    for ladders in _over_the_top(search, weight):
        for ladder in ladders:
            if not ladder:
                continue
            search.tried.add(ladder[0].kind)
            seen = search.look(ladder[0].weight)
            if seen is not None and not seen.adrift and not seen.friction_alone:
                starts.append((ladder[0].kind, ladder[0].weight))
                break
    return starts


def _over_the_top(search: Search, weight: Weight) -> list[list[Ladder]]:
    """Ways to hold it down; of each, two pieces where one does not keep it from tipping."""
    battens = [new_battens(weight, 1, search.stuff), new_battens(weight, 2, search.stuff)]
    # a strap does not hold a heap of chain together, and a batten does not go over a gas bottle's valve
    return [
        battens if weight.kind != "gas" else [],
        new_straps(weight, search.stuff) if weight.kind != "chain" else [],
    ]


def sized(search: Search, start: Candidate) -> list[Candidate]:
    """Stowages in which nothing is worked too hard at a quick look, least work first; then the best of the rest."""
    done: list[Candidate] = []
    stuck: list[tuple[float, str, Weight]] = []
    beam = [start]
    for step in range(STEPS + 1):
        ahead: dict[str, Candidate] = {}
        for kind, weight in beam:
            look = search.look(weight)
            if look is None or look.adrift:
                continue
            over = _too_hard(search, look)
            if not over:
                done.append((kind, weight))
                continue
            further = _stouter(search, weight, look, over) if step < STEPS else []
            for name, better in further:
                ahead[better.model_dump_json()] = (f"{kind}+{name}".strip("+"), better)
            if not further:
                stuck.append((look.worst, kind, weight))
        beam = sorted(ahead.values(), key=lambda each: search.labour(each[1]))[:BEAM]
        if not beam:
            break
    done.sort(key=lambda each: search.labour(each[1]))
    stuck.sort(key=lambda each: each[0])
    return done if done else [(kind, weight) for _, kind, weight in stuck[:2]]


def _too_hard(search: Search, look: Look) -> list[str]:
    """Restraints worked beyond the target, the worst first; with them those of unknown strength that must not be."""
    over = [
        name
        for name, ratio in look.utilisation.items()
        if ratio > search.target or (look.on_assumption[name] and (search.doubted or name == look.governing))
    ]
    return sorted(over, key=look.utilisation.__getitem__, reverse=True)


def _stouter(search: Search, weight: Weight, look: Look, over: list[str]) -> list[Candidate]:
    """(kind, stowage) for each way to relieve the worst worked restraint and those like it."""
    have = named(weight)
    own = [name for name in over if name in have]
    if not own:
        return []
    first = have[own[0]]
    kin = [name for name in own if _family(have[name]) == _family(first)]
    found: list[Candidate] = []
    partly: list[Candidate] = []
    for ladder in _ladders(search, weight, kin, first, look):
        if not ladder:
            continue
        search.tried.add(ladder[0].kind)
        rung = _climb(search, ladder, kin)
        if rung is not None:
            found.append((ladder[0].kind, rung))
        elif not found:
            top = search.look(ladder[-1].weight)
            if top is not None and not top.adrift and top.worst < HELPS * look.worst:
                partly.append((ladder[0].kind, ladder[-1].weight))
    return found or partly


def _family(restraint: AnyRestraint) -> str:
    return "line" if isinstance(restraint, Lashing | Strap) else restraint.type


def _ladders(search: Search, weight: Weight, kin: list[str], first: AnyRestraint, look: Look) -> list[Ladder]:
    new = [name for name in kin if name not in named(search.weight)]
    doubtful = any(look.on_assumption.get(name, False) for name in kin)
    refit: list[Ladder] = []
    if not new and not doubtful:
        refit = [refastened(weight, kin, search.run.boat, search.service)]
    match first:
        case Cleat():
            found = [*refit, *stouter_cleats(weight, kin, len(new) == len(kin), search.stuff, search.service)]
            mine = {n: r for n, r in named(weight).items() if isinstance(r, Batten)}
            if not mine and weight.kind != "gas":
                found.append(new_battens(weight, 1, search.stuff))
            elif mine and not set(mine) & set(named(search.weight)):
                # a stiffer hold-down takes the tipping off the cleats
                found += stouter_battens(weight, list(mine), search.stuff)[:1]
            return found
        case Batten():
            ladders = [*refit, *stouter_battens(weight, kin, search.stuff)]
            return ladders[:1] if new else ladders
        case Lashing() | Strap():
            found = [stouter_lines(weight, kin, search.stuff)]
            if not new:
                found += second_strap(weight)
                found += [new_battens(weight, 1, search.stuff)] if weight.kind != "gas" else []
            return found
        case Bolt():
            return bolts_through(weight, kin)
        case Bed():
            return [*larger_bed(weight, kin, search.stuff), *thicker_pad(weight, kin)]
        case _:
            return []


def _climb(search: Search, ladder: Ladder, kin: list[str]) -> Weight | None:
    """The lowest rung that relieves the restraints it is meant for, found by halving; None where none does."""

    def serves(place: int) -> bool:
        look = search.look(ladder[place].weight)
        if look is None or look.adrift:
            return False
        over = _too_hard(search, look)
        return not any(name in over for name in kin)

    low, high = 0, len(ladder) - 1
    if not serves(high):
        return None
    while low < high:
        middle = (low + high) // 2
        if serves(middle):
            high = middle
        else:
            low = middle + 1
    return ladder[high].weight


def lean(search: Search, candidate: Weight) -> Weight:
    """The stowage without those of its new pieces that it can do without."""
    have = named(search.weight)
    for name in [n for n, r in named(candidate).items() if n not in have and not isinstance(r, Bed)]:
        fewer = without(candidate, [name])
        look = search.look(fewer)
        if look is not None and not look.adrift and not look.friction_alone and not _too_hard(search, look):
            candidate = fewer
    return candidate
