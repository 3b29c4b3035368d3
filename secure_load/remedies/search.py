"""The search: first what is missing is added, then whatever is worked too hard, or is in doubt, is made stouter.

Half-mended stowages are kept by the labour that lies between them and what is there; the worst restraint of each is
relieved every way there is, by the smallest size that serves at a quick check.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from secure_load.boat.models import (
    AnyRestraint,
    Batten,
    Bed,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Lashing,
    Neighbour,
    SideFace,
    Strap,
    Weight,
)
from secure_load.catalogue.assumed import assumed
from secure_load.check.check import check_weight
from secure_load.check.context import CheckContext
from secure_load.check.results import WeightVerdict
from secure_load.model.rules.loose_ingots import laid_out
from secure_load.remedies.cleats_and_battens import new_battens, new_cleats, stouter_battens, stouter_cleats
from secure_load.remedies.labour_estimate import by_id, jobs_between, minutes
from secure_load.remedies.materials import Change, Materials, SizeSeries, free_id, with_pieces, without
from secure_load.remedies.more_screws import more_screws
from secure_load.remedies.screening import QuickResult, Screening
from secure_load.remedies.straps import kept_together, new_straps, stouter_lines
from secure_load.solver.cancellation import Cancelled

Candidate = tuple[str, Weight]
"""What was done, in order, and the stowage it came to."""
BEAM = 5
"""Half-mended stowages kept at each step, those of least work."""
BUNDLE_WAYS = 2
"""Ways to keep a bundle together that are gone on with."""
HELPS = 0.9
"""A change that does not serve by itself is gone on with if it lowers the worst utilisation to this share of it."""
STEPS = 5
"""Changes made one after another, at most."""
SIDES: tuple[SideFace, ...] = ("port", "starboard", "fore", "aft")
WIDE_WASHER_DIAMETERS = 3.5
"""Outside of a wide washer over the bolt's diameter. Common practice."""
_LAID_ON: dict[str, Literal["floors", "keel", "frames"]] = {"keel": "keel", "frame": "frames"}
"""What a new bed lies on, by the member that its pieces are fastened to; floors for the others."""


@dataclass
class Search:
    """One weight to be mended, and what was found on the way."""

    context: CheckContext
    weight: Weight
    materials: Materials
    target: float
    """Greatest utilisation allowed."""
    screening: Screening
    cancelled: Callable[[], bool] | None
    assumption_governs: bool = field(init=False, default=False)
    """As it is, what governs rests on an assumption: then no piece of unknown strength is to be left."""
    tried: set[str] = field(default_factory=set[str])

    def __post_init__(self) -> None:
        found = self.screening.quick_check(self.weight)
        if found is not None and found.governing is not None and not found.unrestrained:
            self.assumption_governs = found.on_assumption[found.governing]

    @property
    def service(self) -> Literal["wet", "dry"]:
        return self.context.boat.boat.bilge

    def quick_check(self, changed: Weight) -> QuickResult | None:
        self._stop_if_cancelled()
        return self.screening.quick_check(changed)

    def check(self, changed: Weight) -> WeightVerdict:
        self._stop_if_cancelled()
        return check_weight(changed, self.context)

    def bundle_holds(self, changed: Weight) -> bool:
        self._stop_if_cancelled()
        return self.screening.bundle_holds(changed)

    def _stop_if_cancelled(self) -> None:
        if self.cancelled is not None and self.cancelled():
            raise Cancelled

    def labour(self, changed: Weight) -> int:
        return minutes(jobs_between(self.weight, changed))

    def holds(self, found: QuickResult | None) -> bool:
        """Not adrift, and not held by friction alone."""
        return found is not None and not found.unrestrained and not found.friction_alone

    def to_relieve(self, found: QuickResult) -> list[str]:
        """Restraints worked beyond the target, in doubt, or of an unknown strength that matters; the worst first."""
        use = found.utilisation
        over = {n for n, ratio in use.items() if ratio > self.target}
        over |= {n for n in use if found.on_assumption[n] and (self.assumption_governs or n == found.governing)}
        return sorted(over | found.doubted, key=lambda name: -use.get(name, 0.0))


def complete(search: Search) -> list[Candidate]:
    """(what was added, stowage) with nothing missing: borne, stopped on every side, held down, its ingots together."""
    return [each for start in _held(search) for each in _together(search, start)]


def _together(search: Search, start: Candidate) -> list[Candidate]:
    """A start as it is, if it is no bundle or its ingots stay together; else the first ways to keep them so.

    Ingots of which nobody said how they lie are laid out.
    """
    begun, weight = start[0], laid_out(start[1])
    if search.bundle_holds(weight):
        return [(begun, weight)]
    found: dict[str, Candidate] = {}
    for change in kept_together(weight):
        if any(kind in change.kind for kind in found):
            continue
        search.tried.add(change.kind)
        if search.bundle_holds(change.weight):
            found[change.kind] = (_joined(begun, change.kind), change.weight)
        if len(found) == BUNDLE_WAYS:
            break
    return list(found.values()) or [(begun, weight)]


def _joined(begun: str, kind: str) -> str:
    return f"{begun}+{kind}".strip("+")


def _held(search: Search) -> list[Candidate]:
    """(what was added, stowage) that is borne, stopped on every side, and held down if need be.

    Cable ties are left only where they are not needed; a line in doubt is gone on with, and taken off beside.
    """
    weight = search.weight
    bed = _bedded(weight, search.materials)
    if bed is not None:
        search.tried.add(bed.kind)
        weight = bed.weight
    found = search.quick_check(weight)
    have = by_id(weight)
    ties = [name for name, r in have.items() if isinstance(r, CableTie)]
    if ties:
        bare = without(weight, ties)
        seen = search.quick_check(bare)
        if seen is None or seen.unrestrained or search.to_relieve(seen):
            weight, found = bare, seen
    doubted = found.doubted if found is not None else frozenset[str]()
    lines = [name for name in doubted if isinstance(have[name], Lashing | Strap)]
    starts = _stopped(search, weight)
    return [*starts, *_stopped(search, without(weight, lines))] if lines else starts


def _stopped(search: Search, weight: Weight) -> list[Candidate]:
    """The same for a weight on its bed."""
    found = search.quick_check(weight)
    faces = _open_sides(weight)
    if faces and found is not None and not search.holds(found):
        series = new_cleats(weight, faces, search.materials, search.service)
        search.tried.add("cleats on the open sides" + ("" if series else " (too short for two screws)"))
        if series:
            weight = series[0].weight
            found = search.quick_check(weight)
    if found is None:
        return []
    if search.holds(found):
        return [("", weight)]
    starts: list[Candidate] = []
    for ways in _over_the_top(search, weight):
        for series in ways:
            search.tried.update(change.kind for change in series[:1])
            if series and search.holds(search.quick_check(series[0].weight)):
                starts.append((series[0].kind, series[0].weight))
                break
    return starts


def _bedded(weight: Weight, materials: Materials) -> Change | None:
    """A bed where there is none; beds off the planking and on what carries them. None where neither is wanted."""
    below = [r for r in weight.restraint if isinstance(r, Bed | Bolt | Bond | Neighbour) and r.face == "bottom"]
    on = _LAID_ON.get(materials.base.member, "floors")
    if not below:
        name = free_id(weight, "bed")
        return Change("a bed", with_pieces(weight, {name: Bed(id=name, on=on, timber=materials.timber or None)}))
    moved: dict[str, AnyRestraint] = {
        name: r.model_copy(update={"on": on if r.face == "bottom" else "frames"})
        for name, r in by_id(weight).items()
        if isinstance(r, Bed) and (r.on == "planking" or (r.on is None and r.face == "bottom"))
    }
    return Change("off the planking", with_pieces(weight, moved)) if moved else None


def _open_sides(weight: Weight) -> list[SideFace]:
    """The sides of a weight that nothing stands against; none where it is bolted or bonded down."""
    if any(isinstance(r, Bolt | Bond) for r in weight.restraint):
        return []
    stopped = {r.face for r in weight.restraint if isinstance(r, Bed | Cleat | Neighbour)}
    return [face for face in SIDES if face not in stopped]


def _over_the_top(search: Search, weight: Weight) -> list[list[SizeSeries]]:
    """Ways to hold it down; of each, two pieces where one does not keep it from tipping.

    No batten goes over a gas bottle's valve; webbing holds neither a heap of chain together nor ballast for years.
    """
    ways: list[list[SizeSeries]] = []
    if weight.kind != "gas":
        ways.append([new_battens(weight, count, search.materials) for count in (1, 2)])
    if weight.kind not in ("chain", "ballast"):
        ways.append([new_straps(weight, count, search.materials) for count in (1, 2)])
    return ways


def strengthen(search: Search, start: Candidate) -> list[Candidate]:
    """Stowages in which nothing is worked too hard at a quick check, least work first; then the best of the rest."""
    done: list[Candidate] = []
    stuck: list[tuple[float, str, Weight]] = []
    beam = [start]
    for step in range(STEPS + 1):
        ahead: dict[str, Candidate] = {}
        for kind, weight in beam:
            found = search.quick_check(weight)
            if found is None or found.unrestrained:
                continue
            over = search.to_relieve(found)
            if not over:
                done.append((kind, weight))
                continue
            further = _stouter(search, weight, found, over) if step < STEPS else []
            for name, better in further:
                ahead[better.model_dump_json()] = (_joined(kind, name), better)
            if not further:
                stuck.append((found.worst, kind, weight))
        beam = sorted(ahead.values(), key=lambda each: search.labour(each[1]))[:BEAM]
        if not beam:
            break
    done.sort(key=lambda each: search.labour(each[1]))
    stuck.sort(key=lambda each: each[0])
    return done if done else [(kind, weight) for _, kind, weight in stuck[:2]]


def _stouter(search: Search, weight: Weight, found: QuickResult, over: list[str]) -> list[Candidate]:
    """(kind, stowage) for each way to relieve the worst restraint and those like it."""
    have = by_id(weight)
    own = [name for name in over if name in have]
    if not own:
        return []
    first = have[own[0]]
    alike = [name for name in own if _family(have[name]) == _family(first)]
    whole: list[Candidate] = []
    partly: list[Candidate] = []
    for series in _series(search, weight, alike, first, found):
        if not series:
            continue
        search.tried.add(series[0].kind)
        smallest = _smallest(search, series, alike)
        if smallest is not None:
            whole.append((series[0].kind, smallest))
        elif not whole:
            largest = search.quick_check(series[-1].weight)
            if largest is not None and not largest.unrestrained and largest.worst < HELPS * found.worst:
                partly.append((series[0].kind, series[-1].weight))
    return whole or partly


def _family(restraint: AnyRestraint) -> str:
    return "line" if isinstance(restraint, Lashing | Strap) else restraint.type


def _series(
    search: Search, weight: Weight, alike: list[str], first: AnyRestraint, found: QuickResult
) -> list[SizeSeries]:
    new = [name for name in alike if name not in by_id(search.weight)]
    unknown = any(found.on_assumption.get(name, False) for name in alike)
    anew: list[SizeSeries] = []
    if not new and not unknown:
        anew = [more_screws(weight, alike, search.materials, search.service, move=bool(found.doubted & set(alike)))]
    match first:
        case Cleat():
            series = [*anew, *stouter_cleats(weight, alike, len(new) == len(alike), search.materials, search.service)]
            battens = [n for n, r in by_id(weight).items() if isinstance(r, Batten)]
            if not battens and weight.kind != "gas":
                series.append(new_battens(weight, 1, search.materials))
            elif battens and not set(battens) & set(by_id(search.weight)):
                # a stiffer hold-down takes the tipping off the cleats
                series.append(stouter_battens(weight, battens, search.materials))
            return series
        case Batten():
            return [*anew, stouter_battens(weight, alike, search.materials)]
        case Lashing() | Strap():
            series = [stouter_lines(weight, alike, search.materials)]
            return series if new or weight.kind == "gas" else [*series, new_battens(weight, 1, search.materials)]
        case Bolt():
            return [_larger_bolts(weight, alike)]
        case Bed():
            return [_larger_bed(weight, alike, search.materials)]
        case _:
            return []


def _smallest(search: Search, series: SizeSeries, alike: list[str]) -> Weight | None:
    """The smallest size that relieves the restraints it is meant for, found by halving; None where none does."""

    def serves(place: int) -> bool:
        found = search.quick_check(series[place].weight)
        return found is not None and not found.unrestrained and not set(search.to_relieve(found)) & set(alike)

    low, high = 0, len(series) - 1
    if not serves(high):
        return None
    while low < high:
        middle = (low + high) // 2
        if serves(middle):
            high = middle
        else:
            low = middle + 1
    return series[high].weight


def prune(search: Search, candidate: Weight) -> Weight:
    """The stowage without those of its new pieces that it can do without."""
    have = by_id(search.weight)
    for name in [n for n, r in by_id(candidate).items() if n not in have and not isinstance(r, Bed)]:
        fewer = without(candidate, [name])
        found = search.quick_check(fewer)
        if found is not None and search.holds(found) and not search.to_relieve(found):
            candidate = fewer
    return candidate


def _larger_bed(weight: Weight, names: list[str], materials: Materials) -> SizeSeries:
    """Beds that are crushed: over the whole face, and of harder timber."""
    beds = {n: r for n in names if isinstance(r := by_id(weight)[n], Bed)}
    whole: dict[str, AnyRestraint] = {n: b.model_copy(update={"size_m": None, "at_m": None}) for n, b in beds.items()}
    hard: dict[str, AnyRestraint] = {n: b.model_copy(update={"timber": materials.timber}) for n, b in whole.items()}
    series = [Change("a larger bed", with_pieces(weight, pieces)) for pieces in (whole, hard)]
    return [each for each in series if each.weight != weight]


def _larger_bolts(weight: Weight, names: list[str]) -> SizeSeries:
    """Larger bolts through the weight under wide washers, then four of them."""
    series: SizeSeries = []
    for count in (0, 4):
        for thread in ("M6", "M8", "M10", "M12", "M16"):
            pieces: dict[str, AnyRestraint] = {}
            for name in names:
                bolt = by_id(weight)[name]
                if not isinstance(bolt, Bolt):
                    continue
                diameter = float(thread[1:])
                now = float((bolt.size or str(assumed("bolt-size").value)).lstrip("Mm"))
                washer = max(bolt.washer_mm or 0.0, WIDE_WASHER_DIAMETERS * diameter)
                larger = {"size": thread, "count": max(bolt.count, count), "washer_mm": washer}
                new = bolt.model_copy(update=larger)
                if diameter >= now and new != bolt:
                    pieces[name] = new
            if pieces:
                series.append(Change("larger bolts under wide washers", with_pieces(weight, pieces)))
    return series
