"""A change in a shipwright's words, read off the difference between two stowages of one weight.

Pieces that are alike are said together, so that four cleats are one sentence. What the timber under them must be is
said once, at the end.
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
from secure_load.catalogue.lookup import line, termination, timber
from secure_load.model.motion_words import listed
from secure_load.model.rules.loose_ingots import stack_words
from secure_load.remedies.labour_estimate import by_id, fastenings, fits_bearers
from secure_load.remedies.materials import BEARER_MM, needed_mm

EACH = "{each}"
"""Stands where "each" is said if there are several."""
GAS = "A gas bottle belongs in a locker of its own that drains overboard, above the waterline"
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def sentence(before: Weight, after: Weight, hull: str = "wood", bearers_carry_N: float = 0.0) -> str:
    """What is to be done, in a sentence or two; empty where the two are alike.

    bearers_carry_N: what new bearers are asked for by the pieces that stand on them, all of it together.
    """
    old, new = by_id(before), by_id(after)
    gone = [name for name in old if name not in new]
    said = [_bearers(after, hull, bearers_carry_N)] if fits_bearers(before, after) else []
    said += _together([(name, old.get(name), piece) for name, piece in new.items()])
    if gone:
        said.append(f"take off {listed(gone)}")
    if before.bundle != after.bundle and after.bundle is not None:
        if before.bundle is None or before.bundle.rows != after.bundle.rows:
            said.append(f"lay its ingots {stack_words(after.bundle)}")
        if after.bundle.ties:
            said.append(f"put round the stack {listed([_round(tie) for tie in after.bundle.ties])}")
        if before.bundle is not None and before.bundle.ties:
            said[-1] += ", in place of what ties it now"
    whole = "; ".join(said)
    sentences = [whole[:1].upper() + whole[1:], *_needs(before, after)]
    if _welded(after) - _welded(before):
        sentences.append("The yard is to prove each weld to twice its working load")
    if after.kind == "gas" and not after.drained_locker:
        sentences.append(GAS)
    return ". ".join(each for each in sentences if each)


def _bearers(after: Weight, hull: str, carry_N: float) -> str:
    stands = next(s for s in fastenings(after) if s.member == "bearer")
    what = f"two {wood(stands.into)} bearers {BEARER_MM:.0f} x {BEARER_MM:.0f} mm"
    pull = -(-carry_N // 100.0) * 100.0
    if hull == "grp":
        return f"bond in {what}, glassed on to the hull on both sides and good for a pull of {pull:.0f} N in all"
    return f"fit {what} across two floors or more, screwed or bolted down to them for a pull of {pull:.0f} N in all"


def _needs(before: Weight, after: Weight) -> list[str]:
    """What the timber must be that new screws go into; its width only where the owner has not said it."""
    was = fastenings(before)
    said_wide = {(s.member, s.sided_mm) for s in was}
    needs: dict[str, tuple[float, float]] = {}
    for each in fastenings(after):
        new_bearer = each.member == "bearer" and fits_bearers(before, after)
        if each in was or each.into is None or each.kind == "bolt" or each.member == "landing" or new_bearer:
            continue
        what = wood(each.into) + (f" in the {each.member}" if each.member is not None else "")
        thick, wide = needs.get(what, (0.0, 0.0))
        told = each.sided_mm is None or (each.member, each.sided_mm) in said_wide
        needs[what] = (
            max(thick, needed_mm(each.penetration_mm or 0.0)),
            max(wide, 0.0 if told else each.sided_mm or 0.0),
        )
    return [
        f"Needs {thick:.0f} mm of sound {what} under the screws{f', {wide:.0f} mm wide' if wide else ''}: "
        "look before you bore"
        for what, (thick, wide) in needs.items()
    ]


def _welded(weight: Weight) -> set[str]:
    return {
        name
        for name, r in by_id(weight).items()
        if (isinstance(r, Cleat | Batten) and r.strength_N is not None and r.screws is None)
        or (isinstance(r, Strap | Lashing) and r.anchors is not None and r.anchors.strength_N is not None)
    }


def _together(pieces: list[tuple[str, AnyRestraint | None, AnyRestraint]]) -> list[str]:
    """Words for each kind of change, the names of like ones listed together, in order of first use."""
    alike: dict[tuple[str, str], list[str]] = {}
    for name, was, now in pieces:
        if was == now:
            continue
        if was is None:
            place = now.face if isinstance(now, Cleat) else ""
            alike.setdefault(("fit", _new(name, now)), []).append(place)
        else:
            alike.setdefault(_altered(was, now), []).append(name)
    result: list[str] = []
    for (verb, words), names in alike.items():
        each = " each" if len(names) > 1 else ""
        if verb == "fit":
            kind, _, detail = words.partition(": ")
            what = f"{_number(len(names))} {_plural(kind)}" if len(names) > 1 else f"a {kind}"
            places = [n for n in names if n]
            words = f"{what}{f' ({listed(places)})' if places else ''}: {detail}"
        else:
            words = f"{listed(names)}{words}"
        result.append(f"{verb} {words.replace(EACH, each)}")
    return result


def _plural(kind: str) -> str:
    """The plural of "cleat", "strap over the top"."""
    head, _, tail = kind.partition(" ")
    return f"{head}s {tail}".strip()


def _new(name: str, now: AnyRestraint) -> str:
    match now:
        case Cleat():
            kind = "side of a tray" if "tray-side" in name else "lug" if now.screws is None else "cleat"
            return f"{kind}: {_block(now)}"
        case Batten() if now.screws is None:
            return f"flat bar across the top, {now.along}: {_block(now)}"
        case Batten():
            return f"{'lid over the bin' if 'lid' in name else 'batten over the top'}, {now.along}: {_block(now)}"
        case Strap():
            way = "athwartships" if abs(now.from_m[1] - now.to_m[1]) >= abs(now.from_m[0] - now.to_m[0]) else ""
            return f"strap over the top, {way or 'fore-and-aft'}: {_rope(now)} to {_eyes(now.anchors)}{EACH}"
        case Bed():
            return f"bed: on the {now.on or 'floors'}"
        case _:
            return f"{now.type.replace('_', ' ')}: as shown"


def _altered(was: AnyRestraint, now: AnyRestraint) -> tuple[str, str]:
    if isinstance(was, Bed) and isinstance(now, Bed):
        if was.on == now.on:
            return "make", f" anew over the whole face, of {wood(now.timber)}"
        return ("lay", f" on the {now.on}") if was.on is None else (
            "carry", f" on bearers across the {now.on}, not on the {was.on}"
        )  # fmt: skip
    if isinstance(was, Cleat | Batten) and isinstance(now, Cleat | Batten):
        if was.model_copy(update={"screws": None}) == now.model_copy(update={"screws": None}):
            assert now.screws is not None
            if was.screws is not None and was.screws.model_copy(update={"count": now.screws.count}) == now.screws:
                return "screw", f" down with {screws_words(now.screws)}{EACH}, in place of {_number(was.screws.count)}"
            instead = f", in place of {screws_words(was.screws, short=True)}" if was.screws is not None else ""
            return "screw", f" down with {screws_words(now.screws)}{EACH}{instead}"
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


def _block(piece: Cleat | Batten) -> str:
    if isinstance(piece, Cleat):
        sizes = (piece.length_mm, piece.height_mm, piece.depth_mm)
        size = " x ".join(f"{s or 0.0:.0f}" for s in sizes) + " mm (length, height, thickness)"
    else:
        size = (
            f"{piece.width_mm or 0.0:.0f} x {piece.depth_mm or 0.0:.0f} mm on a span of {piece.span_mm or 0.0:.0f} mm"
        )
    if piece.screws is None and piece.strength_N is not None:
        how = "welded on" if isinstance(piece, Cleat) else "on welded studs"
        return f"{size}, {how}, good for a working load of {piece.strength_N:.0f} N{EACH}"
    if piece.screws is None:
        return f"{wood(piece.timber)}, {size}{EACH}"
    held = f"{wood(piece.timber)}, {size}, screwed down with {screws_words(piece.screws)}{EACH}"
    if isinstance(piece, Batten) and piece.landing is not None:
        return f"{held} into landings as high as the weight, and these with {screws_words(piece.landing)}"
    return f"{held}, over packing pieces as high as the weight" if isinstance(piece, Batten) else held


def _bolts(bolt: Bolt) -> str:
    washers = f" under {bolt.washer_mm:.0f} mm washers" if bolt.washer_mm is not None else ""
    return f"{_number(bolt.count)} {bolt.size or 'unmarked'} bolt{'' if bolt.count == 1 else 's'}{washers}"


def _round(tie: BundleTie) -> str:
    what = line(tie.line).name if tie.line is not None else "cable tie"
    tight = f", hove tight to {tie.tension_N:.0f} N" if tie.tension_N > 0.0 else ""
    return f"{_number(tie.count)} of {what} ({tie.around}{tight})"


def _rope(restraint: Lashing | Strap) -> str:
    name = line(restraint.line).name if restraint.line is not None else "line"
    return f"{_number(restraint.turns)} turns of {name}" if restraint.turns > 1 else name


def _eyes(anchors: Anchors | None) -> str:
    if anchors is not None and anchors.strength_N is not None:
        return f"welded eyes, good for a working load of {anchors.strength_N:.0f} N"
    if anchors is None or anchors.screws is None:
        return "what it has now"
    return f"eyes, each with {screws_words(anchors.screws)}"


def wood(name: str | None) -> str:
    """A timber's name without its botany."""
    return timber(name).name.split(" (")[0] if name is not None else "timber"


def screws_words(screws: Screws, short: bool = False) -> str:
    """A set of fastenings in words: "four 8 mm coach screws of silicon bronze, 60 mm into the floor"."""
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
    if screws.member == "landing":
        return words
    depth = f"{screws.penetration_mm:.0f} mm " if screws.penetration_mm and screws.kind != "bolt" else ""
    where = f"the {screws.member}" if screws.member is not None else wood(screws.into)
    return f"{words}, {depth}{'through' if screws.kind == 'bolt' else 'into'} {where}"


def _number(count: int) -> str:
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)
