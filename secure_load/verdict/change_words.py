"""A change in shipwright's words, read off the difference between two stowages of one weight.

Pieces that are alike are said together, so that four cleats are one sentence.
"""

from __future__ import annotations

from secure_load.boat.models import (
    Anchors,
    AnyRestraint,
    Batten,
    Bed,
    Bolt,
    BundleTie,
    Cleat,
    Lashing,
    Screws,
    Strap,
    Weight,
)
from secure_load.catalogue.lookup import line, structural_member, termination, timber
from secure_load.verdict.loose_ingots import stack_words
from secure_load.verdict.work_of_change import named

EACH = "{each}"
"""Stands where "each" is said if there are several."""
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def sentence(before: Weight, after: Weight) -> str:
    """What is to be done, in one sentence; empty where the two are alike."""
    old, new = named(before), named(after)
    gone = [name for name in old if name not in new]
    said: list[str] = []
    for verb, what in _together([(name, old.get(name), piece) for name, piece in new.items()]):
        said.append(f"{verb} {what}".strip())
    if gone:
        said.append(f"take off {_list(gone)}")
    if before.bundle != after.bundle and after.bundle is not None:
        if before.bundle is None or before.bundle.stack != after.bundle.stack:
            said.append(f"lay its ingots {stack_words(after.bundle)}")
        if after.bundle.ties:
            said.append(f"put round the stack {_list([_round(tie) for tie in after.bundle.ties])}")
        if before.bundle is not None and before.bundle.ties:
            said[-1] += ", in place of what ties it now"
    whole = "; ".join(said)
    return whole[:1].upper() + whole[1:]


def _together(pieces: list[tuple[str, AnyRestraint | None, AnyRestraint]]) -> list[tuple[str, str]]:
    """(verb, words) for each kind of change, the names of like ones listed together, in order of first use."""
    alike: dict[tuple[str, str], list[str]] = {}
    for name, was, now in pieces:
        if was == now:
            continue
        if was is None:
            key = _fit(now)
            alike.setdefault(key, []).append(_place(now))
        else:
            alike.setdefault(_alter(was, now), []).append(name)
    result: list[tuple[str, str]] = []
    for (verb, words), names in alike.items():
        many = len(names) > 1
        each = " each" if many else ""
        if verb == "fit":
            kind, _, detail = words.partition(": ")
            who = f"{_number(len(names))} {_plural(kind)}" if many else f"a {kind}"
            places = [n for n in names if n]
            words = f"{who}{f' ({_list(places)})' if places else ''}: {detail}"
        else:
            words = f"{_list(names)}{words}"
        result.append((verb, words.replace(EACH, each)))
    return result


def _plural(kind: str) -> str:
    """The plural of "cleat", "strap over the top"."""
    head, _, tail = kind.partition(" ")
    return f"{head}s {tail}".strip()


def _place(restraint: AnyRestraint) -> str:
    """Where a new piece goes, where its kind does not say."""
    return restraint.face if isinstance(restraint, Cleat) else ""


def _fit(now: AnyRestraint) -> tuple[str, str]:
    match now:
        case Cleat():
            return "fit", f"cleat: {_block(now)}"
        case Batten():
            return "fit", f"batten over the top, {now.along}: {_block(now)}"
        case Strap():
            way = "athwartships" if abs(now.from_m[1] - now.to_m[1]) >= abs(now.from_m[0] - now.to_m[0]) else ""
            return "fit", f"strap over the top, {way or 'fore-and-aft'}: {_line(now)}"
        case Bed():
            return "fit", f"bed: on the {now.on or 'floors'}"
        case _:
            return "fit", f"{now.type.replace('_', ' ')}: as shown"


def _alter(was: AnyRestraint, now: AnyRestraint) -> tuple[str, str]:
    if isinstance(was, Bed) and isinstance(now, Bed) and was.on != now.on:
        return "carry", f" on bearers across the {now.on}, not on the {was.on}"
    if isinstance(was, Bed) and isinstance(now, Bed):
        return "make", f" anew over the whole face, of {wood(now.timber)}"
    if isinstance(was, Cleat | Batten) and isinstance(now, Cleat | Batten):
        if was.model_copy(update={"screws": None}) == now.model_copy(update={"screws": None}):
            assert now.screws is not None
            if was.screws is not None and was.screws.model_copy(update={"count": now.screws.count}) == now.screws:
                return "screw", f" down with {screws_words(now.screws)}{EACH}, in place of {_number(was.screws.count)}"
            instead = f", in place of {screws_words(was.screws, short=True)}" if was.screws is not None else ""
            return "screw", f" down with {screws_words(now.screws)}{EACH}{instead}"
        if isinstance(was, Batten) and isinstance(now, Batten) and was.model_copy(update={"at_m": now.at_m}) == now:
            return "shift", f" {_shift(was, now)}"
        return "make", f" anew: {_block(now)}"
    if isinstance(was, Lashing | Strap) and isinstance(now, Lashing | Strap):
        parts: list[str] = []
        if was.line != now.line or was.turns != now.turns:
            parts.append(f" in {_rope(now)}")
        elif was.termination != now.termination and now.termination is not None:
            parts.append(f" with its ends made with a {termination(now.termination).name.lower()}")
        if was.anchors != now.anchors:
            parts.append(f" to {_eyes(now.anchors)}")
        return "set up", "".join(parts)
    if isinstance(was, Bolt) and isinstance(now, Bolt):
        return "replace", f" with {_bolts(now)} (it has {_bolts(was)})"
    return "replace", f" with a {now.type}"


def _shift(was: Batten, now: Batten) -> str:
    if was.at_m is None or now.at_m is None:
        return "so that two share the length" if now.at_m is not None else "to the middle"
    by = max((abs(b - a) for a, b in zip(was.at_m, now.at_m, strict=True)), default=0.0)
    return f"by {by * 1000:.0f} mm, so that two share the length"


def _block(piece: Cleat | Batten) -> str:
    sizes = (piece.length_mm, piece.height_mm, piece.depth_mm) if isinstance(piece, Cleat) else ()
    if isinstance(piece, Cleat):
        size = " x ".join(f"{s or 0.0:.0f}" for s in sizes) + " mm (length, height, thickness)"
    else:
        size = (
            f"{piece.width_mm or 0.0:.0f} x {piece.depth_mm or 0.0:.0f} mm on a span of {piece.span_mm or 0.0:.0f} mm"
        )
    held = f", held down by {screws_words(piece.screws)}" if piece.screws is not None else ""
    return f"{wood(piece.timber)}, {size}{held}{EACH}"


def _bolts(bolt: Bolt) -> str:
    washers = f" under {bolt.washer_mm:.0f} mm washers" if bolt.washer_mm is not None else ""
    return f"{_number(bolt.count)} {bolt.size or 'unmarked'} bolt{'' if bolt.count == 1 else 's'}{washers}"


def _line(strap: Strap) -> str:
    return f"{_rope(strap)} to {_eyes(strap.anchors)}{EACH}"


def _round(tie: BundleTie) -> str:
    what = line(tie.line).name if tie.line is not None else "cable tie"
    tight = f", hove tight to {tie.tension_N:.0f} N" if tie.tension_N > 0.0 else ""
    return f"{_number(tie.count)} of {what} ({tie.around}{tight})"


def _rope(restraint: Lashing | Strap) -> str:
    name = line(restraint.line).name if restraint.line is not None else "line"
    return f"{_number(restraint.turns)} turns of {name}" if restraint.turns > 1 else name


def _eyes(anchors: Anchors | None) -> str:
    if anchors is None or anchors.screws is None:
        return "what it has now"
    return f"eyes, each with {screws_words(anchors.screws)}"


def wood(name: str | None) -> str:
    """A timber's name without its botany."""
    return timber(name).name.split(" (")[0] if name is not None else "timber"


def screws_words(screws: Screws, short: bool = False) -> str:
    """A set of fastenings in words: "four 8 mm coach screws of galvanised steel, 60 mm into White oak"."""
    match screws.kind:
        case "coach-screw":
            size = f"{screws.diameter_mm:g} mm coach screw" if screws.diameter_mm else "coach screw"
        case "bolt":
            size = f"{screws.diameter_mm:g} mm bolt" if screws.diameter_mm else "bolt"
        case _:
            size = f"No {screws.gauge} wood screw" if screws.gauge is not None else "wood screw"
            if screws.gauge is None and screws.diameter_mm:
                size = f"{screws.diameter_mm:g} mm wood screw"
    words = f"{_number(screws.count)} {size}{'' if screws.count == 1 else 's'}"
    if short:
        return words
    if screws.metal is not None:
        words += f" of {screws.metal.replace('-steel', ' steel').replace('silicon-bronze', 'silicon bronze')}"
    if screws.washer_mm is not None:
        words += f" under {screws.washer_mm:.0f} mm washers"
    if screws.into is not None:
        depth = f"{screws.penetration_mm:.0f} mm " if screws.penetration_mm and screws.kind != "bolt" else ""
        words += f", {depth}{'through' if screws.kind == 'bolt' else 'into'} {_member(screws)}{wood(screws.into)}"
    return words


def _member(screws: Screws) -> str:
    """What part of the boat holds some fastenings, and what is wanted of it: "a floor, 64 mm wide or more, of "."""
    if screws.member is None:
        return ""
    sizes = [f"{value:g} mm {way}" for value, way in ((screws.sided_mm, "wide"), (screws.stock_mm, "thick")) if value]
    wanted = f", {' and '.join(sizes)} or more," if sizes else ""
    return f"{structural_member(screws.member).name}{wanted} of "


def _number(count: int) -> str:
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def _list(names: list[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
