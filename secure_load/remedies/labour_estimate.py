"""How much labour lies between a weight as it is stowed and as it might be.

The two are compared restraint by restraint, so that the work is that of what is really done, whatever the
way by which it was found. Minutes are estimates (``catalogue/labour.toml``).
"""

from __future__ import annotations

from collections import Counter

from secure_load.boat.models import Anchors, AnyRestraint, Batten, Bed, Bolt, Cleat, Lashing, Screws, Strap, Weight
from secure_load.boat.weights import restraint_ids
from secure_load.catalogue.labour import labour

Jobs = Counter[str]
"""Ids of jobs in the labour table, and how many of each."""
STOUT_CLEAT_MM = 70.0
STOUT_BATTEN_MM = 35.0
STOUT_COACH_SCREW_MM = 8.1
KG_A_LIFT = 5.0


def by_id(weight: Weight) -> dict[str, AnyRestraint]:
    """A weight's restraints by their ids, in order."""
    return dict(zip(restraint_ids(weight), weight.restraint, strict=True))


def jobs_between(before: Weight, after: Weight) -> Jobs:
    """What there is to be done to turn one stowage of a weight into another; nothing where they are alike."""
    old, new = by_id(before), by_id(after)
    jobs: Jobs = Counter()
    for name, restraint in new.items():
        was = old.get(name)
        if was is None:
            jobs += _fresh(restraint, after)
        elif was != restraint:
            jobs += _altered(was, restraint, after)
    jobs["take-off"] += sum(1 for name in old if name not in new)
    if fits_bearers(before, after):
        jobs["bearers"] = 1
    if before.bundle != after.bundle and after.bundle is not None:
        jobs["line"] += sum(tie.count for tie in after.bundle.ties)
        jobs += _lifted(after)
    jobs = +jobs
    if jobs:
        jobs["get-at-it"] += 1
    return jobs


def fits_bearers(before: Weight, after: Weight) -> bool:
    """Whether new pieces stand on bearers that are yet to be fitted."""
    return not any(s.member == "bearer" for s in fastenings(before)) and any(
        s.member == "bearer" for s in fastenings(after)
    )


def fastenings(weight: Weight) -> list[Screws]:
    """All sets of screws that hold a weight's restraints."""
    return [screws for each in weight.restraint for screws in screws_of(each)]


def screws_of(restraint: AnyRestraint) -> list[Screws]:
    """The sets of screws that hold a restraint and what it stands on."""
    found: list[Screws | None] = []
    if isinstance(restraint, Cleat | Batten):
        found = [restraint.screws, restraint.landing if isinstance(restraint, Batten) else None]
    elif isinstance(restraint, Lashing | Strap) and restraint.anchors is not None:
        found = [restraint.anchors.screws]
    return [screws for screws in found if screws is not None]


def minutes(jobs: Jobs) -> int:
    """Minutes of some jobs, to the whole minute."""
    return round(sum(labour(job).minutes * count for job, count in jobs.items()))


def labour_of(piece: Cleat | Batten) -> float:
    """Minutes to make and fit one new piece."""
    return sum(labour(job).minutes * count for job, count in _block(piece).items())


def time_words(count: int) -> str:
    """A time in words, no finer than it is known: "about 45 minutes", "about 2 1/2 hours"."""
    if count < 55:
        return f"about {max(5, round(count / 5) * 5)} minutes"
    halves = max(2, round(count / 30))
    hours = f"{halves // 2} 1/2" if halves % 2 else f"{halves // 2}"
    return f"about {hours} hour{'' if halves == 2 else 's'}"


def _fresh(restraint: AnyRestraint, weight: Weight) -> Jobs:
    jobs: Jobs = Counter()
    match restraint:
        case Cleat():
            jobs = _block(restraint)
        case Batten():
            jobs = _block(restraint)
            jobs += Counter({"landing": 1 if restraint.screws is not None else 0}) + _driven(restraint.landing)
        case Lashing() | Strap():
            jobs["line"] += 1
            jobs += _eyes(restraint.anchors, 2 if isinstance(restraint, Strap) else 1)
        case Bed():
            jobs["bed"] += 1
            jobs += _lifted(weight)
        case Bolt():
            jobs["bolt"] += restraint.count
            jobs += _lifted(weight)
        case _:
            jobs["line"] += 1
    return jobs


def _block(piece: Cleat | Batten) -> Jobs:
    """Cut, fitted and screwed down."""
    stout = STOUT_CLEAT_MM if isinstance(piece, Cleat) else STOUT_BATTEN_MM
    if piece.screws is None and piece.strength_N is not None:
        return Counter({"weld": 1 if isinstance(piece, Cleat) else 2})
    kind = piece.type if (piece.depth_mm or 0.0) <= stout else f"stout-{piece.type}"
    return Counter({kind: 1}) + _driven(piece.screws)


def _altered(was: AnyRestraint, now: AnyRestraint, weight: Weight) -> Jobs:
    jobs: Jobs = Counter()
    if isinstance(was, Bed) and isinstance(now, Bed):
        jobs["bearers" if was.on != now.on else "bed"] += 1
        return _lifted(weight) + (jobs if was.on is not None or was.on == now.on else Counter())
    if isinstance(was, Cleat | Batten) and isinstance(now, Cleat | Batten):
        if _without_screws(was) == _without_screws(now):
            return _redriven(was.screws, now.screws)
        fresh = _fresh(now, weight)
        # the landings of the old batten serve the new one
        fresh["landing"] = 0
        return +fresh + Counter({"take-off": 1})
    if isinstance(was, Lashing | Strap) and isinstance(now, Lashing | Strap):
        ends = 2 if isinstance(now, Strap) else 1
        if was.line != now.line or was.turns != now.turns:
            jobs["line"] += 1
        elif was.termination != now.termination:
            jobs["ending"] += ends
        if was.anchors != now.anchors:
            jobs["take-off"] += ends
            jobs += _eyes(now.anchors, ends)
        return jobs or Counter({"line": 1})
    return _fresh(now, weight) + Counter({"take-off": 1})


def _without_screws(restraint: Cleat | Batten) -> AnyRestraint:
    return restraint.model_copy(update={"screws": None})


def _kind(screws: Screws) -> str:
    if screws.kind == "coach-screw" and (screws.diameter_mm or 0.0) > STOUT_COACH_SCREW_MM:
        return "stout-coach-screw"
    return screws.kind


def _driven(screws: Screws | None) -> Jobs:
    return Counter({_kind(screws): screws.count}) if screws is not None else Counter()


def _redriven(was: Screws | None, now: Screws | None) -> Jobs:
    if now is None:
        return Counter()
    if was is not None and was.model_copy(update={"count": now.count}) == now:
        return Counter({_kind(now): abs(now.count - was.count)})
    drawn = was.count if was is not None else 0
    return Counter({"draw-screw": drawn}) + _driven(now)


def _eyes(anchors: Anchors | None, ends: int) -> Jobs:
    if anchors is None or anchors.kind == "frame":
        return Counter()
    if anchors.strength_N is not None:
        return Counter({"weld": ends})
    jobs: Jobs = Counter({"eye": ends})
    for job, count in _driven(anchors.screws).items():
        jobs[job] += ends * count
    return jobs


def _lifted(weight: Weight) -> Jobs:
    return Counter({"lift-out": max(1, round(weight.mass / KG_A_LIFT))})
