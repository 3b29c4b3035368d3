"""What would mend it: the least work that brings a weight to green.

First what is missing is put there: a bed, something on every open side, something over the top. Then whatever is
still worked too hard, or in doubt, is made stouter, the worst first, each way that there is; every step takes the
smallest size that serves at a quick check (``screening``). What comes out is stripped of pieces it can do without,
and checked in full: what is promised is what the check says of the changed weight once it is built.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from secure_load.boat.models import AnyRestraint, Batten, Bed, CableTie, Cleat, Lashing, Screws, Strap, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.labour import labour
from secure_load.check.check import Progress, check_weight
from secure_load.check.context import CheckContext
from secure_load.check.results import RANK, BoatVerdict, Remedy, WeightVerdict
from secure_load.check.unchecked import LOG
from secure_load.model.assumptions import Assumptions, proposals, with_defaults
from secure_load.model.motion_words import listed
from secure_load.model.rules.corrosion import corrosion_warnings
from secure_load.model.rules.loose_ingots import laid_out, question
from secure_load.remedies.labour_estimate import Jobs, by_id, jobs_between, screws_of, time_words
from secure_load.remedies.materials import DEEPEST_MM, bases, materials_of, needed_mm, sided_mm, without
from secure_load.remedies.screening import Screening
from secure_load.remedies.search import Candidate, Search, complete, prune, strengthen
from secure_load.remedies.wording import sentence
from secure_load.solver.cancellation import Cancelled

ROUNDS = 3
"""Times a stowage that a full check refused is mended further."""
MARGIN = 0.99
"""Share of a limit that a quick check aims at, for the loads it does not solve."""
BUNDLE_LIMIT = 2
"""Remedies of a bundle, at most: every full check takes it apart, which is slow."""
CHECKS = 12
"""Full checks, about, before the search is given up."""

Rejected = tuple[Remedy, str]
"""A stowage as checked in full, and the gravest reason the check gave."""


def remedies(
    weight: Weight,
    run: CheckContext,
    verdict: WeightVerdict | None = None,
    *,
    cancelled: Callable[[], bool] | None = None,
    limit: int = 3,
) -> list[Remedy]:
    """The few changes of least work that bring a weight to green in a run's scenarios, least work first.

    None for a weight that is green, or that no scenario is meant for. Where nothing that was tried reaches green, the
    best that was found short of it, and a last entry of kind "none" that says so. Where nobody said what new pieces
    could be fastened to, an entry of kind "measure" asks. A search that fails is logged and costs this weight its
    proposals only.

    weight: as it is in ``run.boat``; verdict: of that weight in that run, if it is known already.
    Raises ``Cancelled`` where ``cancelled`` comes true between two checks.
    """
    try:
        now = verdict if verdict is not None else check_weight(weight, run)
        if now.verdict == "green" or not run.scenarios_for(weight):
            return []
        if now.unchecked is not None:
            return [_words(f"Put right first what stands in the way: it {now.unchecked}", now, "none")]
        return _found(weight, run, now, cancelled, limit)
    except Cancelled:
        raise
    except Exception:
        LOG.exception("weight '%s': no proposal could be worked out", weight.id)
        words = f"No proposal could be worked out for '{weight.title}'"
        return [_words(words, verdict, "none")]


def _found(
    weight: Weight, run: CheckContext, now: WeightVerdict, cancelled: Callable[[], bool] | None, limit: int
) -> list[Remedy]:
    pending = proposals(weight)
    if pending:
        now = check_weight(_marked(weight, set()), run)
        if now.verdict == "green":
            words = f"Build what is proposed ({listed(pending)}), look it over and tick it off in the form"
            return [_words(words, now, "measure")]
    there = bases(weight, run.boat)
    if weight.size_m is None:
        words = f"Measure how long, broad and high '{weight.title}' is: pieces can be proposed only for a known size"
        return [_words(words, now, "measure")]
    found = _asked(weight, run, now, bool(there))
    if not there:
        return found
    if laid_out(weight).bundle is not None:
        limit = min(limit, BUNDLE_LIMIT)
    search, short, green = None, list[Rejected](), list[Remedy]()
    built = _marked(weight, set())
    for base in there:
        screening = Screening(run, built)
        screening.add(now)
        materials = materials_of(weight, run.boat, base)
        for name in ["amber-over" if now.second_path else "amber-over-single", "red-over"]:
            search = Search(run, built, materials, assumed(name).number * MARGIN, screening, cancelled)
            green, more = _verified(search, limit - len(found))
            short += more
            # what cannot be made sound may yet be made doubtful, or sound by a second path
            if green or any(r.verdict != "red" for r, _ in short):
                break
        if green:
            break
    if green or (found and found[0].verdict == "green"):
        return sorted([*found, *_proposed(weight, green)], key=lambda r: r.minutes)[:limit]
    better = [(r, why) for r, why in short if RANK[r.verdict] < RANK[now.verdict]]
    better.sort(key=lambda each: (RANK[each[0].verdict], each[0].minutes))
    best = better[: max(limit - 1, 0)]
    last = _nothing(search, now, best[0][1] if best else None)
    return [*found, *_proposed(weight, [r for r, _ in best]), last]


def _marked(weight: Weight, names: set[str]) -> Weight:
    """The weight with these of its pieces marked as proposed, and no others; a tie is named as in ``proposals``."""
    pieces: list[AnyRestraint] = [
        r if r.proposed == (name in names) else r.model_copy(update={"proposed": name in names})
        for name, r in by_id(weight).items()
    ]
    bundle = weight.bundle
    if bundle is not None:
        ties = [t.model_copy(update={"proposed": "ties round the stack" in names}) for t in bundle.ties]
        bundle = bundle.model_copy(update={"ties": ties})
    return weight.model_copy(update={"restraint": pieces, "bundle": bundle})


def _proposed(weight: Weight, found: list[Remedy]) -> list[Remedy]:
    """Remedies with all that differs from what is there marked as proposed, beside what was so before."""
    have, old = set(proposals(weight)), by_id(_marked(weight, set()))
    marked: list[Remedy] = []
    for remedy in found:
        changed = remedy.weight
        assert changed is not None
        names = {name for name, r in by_id(changed).items() if old.get(name) != r or name in have}
        if changed.bundle != _marked(weight, set()).bundle or "ties round the stack" in have:
            names.add("ties round the stack")
        marked.append(remedy.model_copy(update={"weight": _marked(changed, names)}))
    return marked


def _asked(weight: Weight, run: CheckContext, now: WeightVerdict, may_propose: bool) -> list[Remedy]:
    """Saying what the check asks for: it may be all that is wanted, and without it nothing may be proposed."""
    notes = Assumptions()
    # ties are no restraint to go on with: nothing is asked of them
    weight = without(weight, [name for name, r in by_id(weight).items() if isinstance(r, CableTie)])
    pieces = [_answered(r.model_copy(update={"id": name})) for name, r in with_defaults(weight, run.boat, notes)]
    doubts = [*notes.doubts, *filter(None, [question(weight)])]
    asked = "; ".join(each.replace(": say ", ": ") for each in doubts if ": say " in each)
    minutes = round(labour("measure").minutes * max(len(notes.questions), 1))
    then = now
    if asked and now.verdict == "amber":
        then = check_weight(laid_out(weight.model_copy(update={"restraint": pieces})), run)
    if then.verdict == "green":
        words = (
            f"Look, measure and write down: {asked}. It would be green if all of it is sound and as good as was taken"
        )
    elif not may_propose:
        words = (
            f"Look what lies under '{weight.title}' and beside it, and write it down: a floor, the keel, a frame or a "
            "bearer, of what timber and how thick. New pieces are screwed into that, never into planking or a loose "
            "sole; nothing can be proposed before it is known" + (f". Not said yet: {asked}" if asked else "")
        )
    elif asked:
        words = f"Say first what is not known: {asked}. Some of the work may then fall away"
    else:
        return []
    remedy = _words(words, then if then.verdict == "green" else now, "measure")
    return [remedy.model_copy(update={"work": time_words(minutes), "minutes": minutes})]


def _answered(piece: AnyRestraint) -> AnyRestraint:
    """A restraint without gaps, with the place of its fastenings said as a shipwright would have it."""

    def in_a_floor(screws: Screws, sheared: bool) -> Screws:
        sound: dict[str, object] = {"member": screws.member or "floor"}
        if screws.stock_mm is None:
            sound["stock_mm"] = needed_mm(screws.penetration_mm or DEEPEST_MM)
        if screws.sided_mm is None:
            sound["sided_mm"] = sided_mm(screws, sheared)
        return screws.model_copy(update=sound)

    if isinstance(piece, Bed):
        return piece.model_copy(update={"on": piece.on or "floors"})
    if isinstance(piece, Cleat | Batten) and piece.screws is not None:
        return piece.model_copy(update={"screws": in_a_floor(piece.screws, isinstance(piece, Cleat))})
    if isinstance(piece, Lashing | Strap) and piece.anchors is not None and piece.anchors.screws is not None:
        eye = piece.anchors.model_copy(update={"screws": in_a_floor(piece.anchors.screws, False)})
        return piece.model_copy(update={"anchors": eye})
    return piece


def _verified(search: Search, limit: int) -> tuple[list[Remedy], list[Rejected]]:
    """Remedies that a full check found green, no two of one kind, and those it found short of it."""
    green: dict[str, Remedy] = {}
    short: list[Rejected] = []
    done: list[Jobs] = []
    seen: set[str] = set()
    groups = [strengthen(search, start) for start in complete(search)]
    for kind, candidate in _various(groups, search):
        if len(green) >= limit or len(seen) >= CHECKS:
            break
        if kind in green or jobs_between(search.weight, candidate) in done:
            # the same pieces in other sizes, for the same work
            continue
        mended = _mended(search, kind, candidate, seen)
        if mended is not None and mended[0].verdict == "green":
            green[kind] = mended[0]
            done += [jobs_between(search.weight, w) for w in (candidate, mended[0].weight) if w is not None]
        elif mended is not None:
            short.append(mended)
    return list(green.values()), short


def _mended(search: Search, kind: str, candidate: Weight, seen: set[str]) -> Rejected | None:
    """A stowage checked in full, and mended further where it is refused; None where it was seen before."""
    mended: Rejected | None = None
    for _ in range(ROUNDS):
        trimmed = prune(search, candidate)
        key = trimmed.model_dump_json()
        if key in seen:
            break
        seen.add(key)
        found = search.check(trimmed)
        if not _warns_of_own(search.weight, trimmed, found):
            mended = _remedy(search, trimmed, found), found.reasons[0]
            if found.verdict == "green":
                break
        search.screening.add(found)
        further = strengthen(search, (kind, candidate))
        if not further:
            break
        candidate = further[0][1]
    return mended


def _warns_of_own(before: Weight, changed: Weight, found: WeightVerdict) -> bool:
    """True where the check warns of a piece that is proposed: then it is no proposal to make.

    That it is of the metal in use there, which wastes, is no reason: two metals side by side would be worse.
    """
    old = by_id(before)
    own = {name for name, r in by_id(changed).items() if old.get(name) != r}
    of_metal = {each.partition(": ")[2] for each in corrosion_warnings(changed)}
    parted = [each.partition(": ") for each in found.warnings]
    return any(own & set(who.split(", ")) for who, _, what in parted if what not in of_metal)


def _various(groups: list[list[Candidate]], search: Search) -> list[Candidate]:
    """The best of every group first, by labour, then the second best of every group, and so on."""
    ranked: list[tuple[int, int, str, Weight]] = []
    for group in groups:
        ranked += [(place, search.labour(weight), kind, weight) for place, (kind, weight) in enumerate(group)]
    ranked.sort(key=lambda each: each[:2])
    return [(kind, weight) for _, _, kind, weight in ranked]


def _remedy(search: Search, changed: Weight, found: WeightVerdict) -> Remedy:
    minutes = search.labour(changed)
    on_bearers = {name for name, r in by_id(changed).items() if any(s.member == "bearer" for s in screws_of(r))}
    carried = sum(r.demand_N for r in found.restraints if r.id in on_bearers)
    return Remedy(
        change=sentence(search.weight, changed, search.context.boat.boat.hull, carried),
        work=time_words(minutes),
        minutes=minutes,
        utilisation=found.utilisation,
        verdict=found.verdict,
        weight=changed,
    )


def _words(words: str, now: WeightVerdict | None, kind: Literal["measure", "none"]) -> Remedy:
    """A remedy in words only, that leaves the weight as it is."""
    colour = now.verdict if now is not None else "red"
    use = now.utilisation if now is not None else None
    return Remedy(change=words, work="", minutes=0, utilisation=use, verdict=colour, kind=kind)


def _nothing(search: Search | None, now: WeightVerdict, left: str | None) -> Remedy:
    assert search is not None
    tried = ", ".join(sorted(search.tried)) or "nothing fitted it"
    instead = (
        f"the first above is the best of it, and there remains: {left}"
        if left is not None
        else "nothing of it does better than what is there"
    )
    words = f"Nothing in the catalogue brings '{now.name}' to green. Tried: {tried}; {instead}. {_advice(search)}"
    return _words(words, now, "none")


def _advice(search: Search) -> str:
    others = [f"'{w.title}'" for w in search.context.group_of(search.weight) if w.id != search.weight.id]
    if others:
        return f"It leans on {listed(others)}: mend that as well, or part them"
    return "Stow less there, or stow it elsewhere"


def with_remedies(verdict: BoatVerdict, run: CheckContext, progress: Progress | None = None) -> BoatVerdict:
    """A boat's verdict with what would mend each weight that is not green; seconds of work for a whole boat."""
    weights: list[WeightVerdict] = []
    for done, each in enumerate(verdict.weights):
        if progress is not None:
            progress(done, len(verdict.weights), each.name)
        weight = next(w for w in run.boat.weight if w.id == each.id)
        weights.append(each.model_copy(update={"remedies": remedies(weight, run, each)}))
    if progress is not None:
        progress(len(verdict.weights), len(verdict.weights), "")
    return verdict.model_copy(update={"weights": weights})
