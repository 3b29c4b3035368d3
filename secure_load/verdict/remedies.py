"""What would mend it: the least work that brings a weight to green.

First what is missing is put there: a bed, something on every open side, something over the top. Then whatever is
still worked too hard is made stouter, the worst first, each way that there is; every step takes the smallest size
that serves at a quick look (``screening``). What comes out is stripped of pieces it can do without, and checked
in full: what is promised is what the check says of the changed weight.
"""

from __future__ import annotations

from collections.abc import Callable

from secure_load.boat.models import AnyRestraint, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.labour import labour
from secure_load.statics.assume import Notes, filled
from secure_load.verdict.change_words import sentence
from secure_load.verdict.changes import stuff_of
from secure_load.verdict.check import Progress, check_weight
from secure_load.verdict.loose_ingots import laid_out
from secure_load.verdict.mending import Candidate, Search, completed, lean, sized
from secure_load.verdict.models import RANK, BoatVerdict, Remedy, WeightVerdict
from secure_load.verdict.run import Run
from secure_load.verdict.screening import Screening
from secure_load.verdict.unchecked import LOG, reason_for
from secure_load.verdict.work_of_change import Jobs, jobs_between, time_words

ROUNDS = 3
"""Times a stowage that a full check refused is mended further."""
MARGIN = 0.99
"""Share of a limit that a quick look aims at, for the loads it does not look at."""


BUNDLE_LIMIT = 2
"""Remedies of a bundle, at most."""
CHECKS = 12
"""Full checks, about, before the search is given up."""


__all__ = ["Remedy", "remedies", "with_remedies"]

Short = tuple[Remedy, str]
"""A stowage as checked in full, and the gravest reason the check gave."""


def remedies(
    weight: Weight,
    run: Run,
    verdict: WeightVerdict | None = None,
    *,
    cancelled: Callable[[], bool] | None = None,
    limit: int = 4,
) -> list[Remedy]:
    """The few changes of least work that bring a weight to green in a run's scenarios, least work first.

    None for a weight that is green, or that no scenario is meant for. Where nothing that was tried reaches green, the
    best that was found short of it, and a last entry of kind "none" that says so.

    weight: as it is in ``run.boat``; verdict: of that weight in that run, if it is known already.
    Raises ``Cancelled`` where ``cancelled`` comes true between two checks, and ``stow.CannotCheck``.
    """
    now = verdict if verdict is not None else check_weight(weight, run)
    if now.verdict == "green" or not run.meant_for(weight):
        return []
    if now.unchecked is not None:
        return [_no_remedy(now, f"Put right first what stands in the way: it {now.unchecked}")]
    if weight.size_m is None:
        return [_size_first(now)]
    screening = Screening(run, weight)
    screening.add(now)
    limits = ["amber-over" if now.second_path else "amber-over-single", "red-over"]
    searches = [
        Search(run, weight, stuff_of(weight, run.boat), assumed(each).number * MARGIN, screening, cancelled)
        for each in limits
    ]
    search = searches[0]
    if laid_out(weight).bundle is not None:
        # every full check takes a bundle apart, which is slow
        limit = min(limit, BUNDLE_LIMIT)
    measured = _measured(search, now)
    green, short = _verified(search, limit - len(measured))
    if not green and not measured and all(r.verdict == "red" for r, _ in short):
        # what cannot be made sound may yet be made doubtful, or sound by a second path
        green, more = _verified(searches[1], limit)
        short += more
    found = sorted([*measured, *green], key=lambda r: r.minutes)[:limit]
    if found:
        return found
    better = [(r, why) for r, why in short if RANK[r.verdict] < RANK[now.verdict]]
    best = sorted(better, key=lambda each: (RANK[each[0].verdict], each[0].minutes))[: max(limit - 1, 0)]
    return [*(r for r, _ in best), _nothing(search, now, best[0][1] if best else None)]


def _size_first(now: WeightVerdict) -> Remedy:
    """Of a weight whose size was guessed."""
    count = round(labour("measure").minutes)
    return Remedy(
        change="Measure its size first: nothing can be cut to fit a guessed one",
        work=time_words(count),
        minutes=count,
        utilisation=now.utilisation,
        verdict=now.verdict,
        kind="measure",
    )


def _measured(search: Search, now: WeightVerdict) -> list[Remedy]:
    """Writing down what was assumed, where that alone would make it green."""
    if now.verdict != "amber" or not any(r.assumed for r in now.restraints):
        return []
    notes = Notes()
    gapless: list[AnyRestraint] = [
        r.model_copy(update={"id": name}) for name, r in filled(search.weight, search.run.boat.boat, notes)
    ]
    known = search.check(search.weight.model_copy(update={"restraint": gapless}))
    wanted = [line for line in notes.lines if line.split(":")[0] in notes.strength]
    if known.verdict != "green" or not wanted:
        return []
    what = "; ".join(wanted)
    count = round(labour("measure").minutes * len(notes.strength))
    return [
        Remedy(
            change=f"Measure and write down what was assumed: {what}. It is green if all is as good or better",
            work=time_words(count),
            minutes=count,
            utilisation=known.utilisation,
            verdict=known.verdict,
            kind="measure",
        )
    ]


def _verified(search: Search, limit: int) -> tuple[list[Remedy], list[Short]]:
    """Remedies that a full check found green, no two of one kind, and those it found short of it."""
    green: dict[str, Remedy] = {}
    short: list[Short] = []
    done: list[Jobs] = []
    seen: set[str] = set()
    groups = [sized(search, start) for start in completed(search)]
    for kind, candidate in _various(groups, search):
        if len(green) >= limit or len(seen) >= CHECKS:
            break
        if kind in green:
            continue
        if _jobs(search, candidate) in done:
            # the same pieces in other sizes, for the same work
            continue
        mended = _mended(search, kind, candidate, seen)
        if mended is not None and mended[0].verdict == "green":
            green[kind] = mended[0]
            done += [_jobs(search, w) for w in (candidate, mended[0].weight) if w is not None]
        elif mended is not None:
            short.append(mended)
    return list(green.values()), short


def _jobs(search: Search, changed: Weight) -> Jobs:
    return jobs_between(search.weight, changed)


def _mended(search: Search, kind: str, candidate: Weight, seen: set[str]) -> Short | None:
    """A stowage checked in full, and mended further where it is refused; None where it was seen before."""
    mended: Short | None = None
    for _ in range(ROUNDS):
        trimmed = lean(search, candidate)
        key = trimmed.model_dump_json()
        if key in seen:
            break
        seen.add(key)
        found = search.check(trimmed)
        mended = _remedy(search, trimmed, found), found.reasons[0]
        if found.verdict == "green":
            break
        search.screening.add(found)
        further = sized(search, (kind, candidate))
        if not further:
            break
        candidate = further[0][1]
    return mended


def _various(groups: list[list[Candidate]], search: Search) -> list[Candidate]:
    """The best of every group first, by labour, then the second best of every group, and so on."""
    ranked: list[tuple[int, int, str, Weight]] = []
    for group in groups:
        ranked += [(place, search.labour(weight), kind, weight) for place, (kind, weight) in enumerate(group)]
    ranked.sort(key=lambda each: each[:2])
    return [(kind, weight) for _, _, kind, weight in ranked]


def _remedy(search: Search, changed: Weight, found: WeightVerdict) -> Remedy:
    count = search.labour(changed)
    return Remedy(
        change=sentence(search.weight, changed),
        work=time_words(count),
        minutes=count,
        utilisation=found.utilisation,
        verdict=found.verdict,
        weight=changed,
    )


def _nothing(search: Search, now: WeightVerdict, left: str | None) -> Remedy:
    tried = ", ".join(sorted(search.tried)) or "nothing fitted it"
    instead = (
        f"the first above is the best of it, and there remains: {left}"
        if left is not None
        else "nothing of it does better than what is there"
    )
    return _no_remedy(
        now, f"Nothing in the catalogue brings '{now.name}' to green. Tried: {tried}; {instead}. {_advice(search)}"
    )


def _no_remedy(now: WeightVerdict, words: str) -> Remedy:
    return Remedy(change=words, work="", minutes=0, utilisation=now.utilisation, verdict=now.verdict, kind="none")


def _remedies_or_why_not(weight: Weight, run: Run, now: WeightVerdict) -> list[Remedy]:
    """As ``remedies``; where the search itself fails, that in words, so that the other weights keep theirs."""
    try:
        return remedies(weight, run, now)
    except Exception as problem:
        LOG.warning("weight '%s': remedies", weight.id, exc_info=problem)
        return [_no_remedy(now, f"What would mend it could not be worked out: {reason_for(problem, weight)}")]


def _advice(search: Search) -> str:
    others = [f"'{w.title}'" for w in search.run.group_of(search.weight) if w.id != search.weight.id]
    if others:
        return f"It leans on {' and '.join(others)}: mend that as well, or part them"
    return "Stow less there, or stow it elsewhere"


def with_remedies(verdict: BoatVerdict, run: Run, progress: Progress | None = None) -> BoatVerdict:
    """A boat's verdict with what would mend each weight that is not green; seconds of work for a whole boat."""
    weights: list[WeightVerdict] = []
    for done, each in enumerate(verdict.weights):
        if progress is not None:
            progress(done, len(verdict.weights), each.name)
        if each.verdict == "green":
            weights.append(each)
            continue
        weight = next(w for w in run.boat.weight if w.id == each.id)
        weights.append(each.model_copy(update={"remedies": _remedies_or_why_not(weight, run, each)}))
    if progress is not None:
        progress(len(verdict.weights), len(verdict.weights), "")
    return verdict.model_copy(update={"weights": weights})
