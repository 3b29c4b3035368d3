"""Straps over a weight, and stouter gear for the lines it has: the ladders of ``changes`` for lines."""

from __future__ import annotations

from secure_load.boat.models import Anchors, AnyRestraint, Cleat, Lashing, Screws, Strap, Weight
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import line, lines
from secure_load.verdict.changes import MM, Change, Ladder, Stuff, free_id, size, with_pieces
from secure_load.verdict.work_of_change import jobs_between, minutes, named

WEBBINGS = ("polyester-webbing-25-lc500", "polyester-webbing-35", "polyester-webbing-50")
EYES: tuple[tuple[str, float, int, float], ...] = (
    ("coach-screw", 6.0, 2, 45.0),
    ("coach-screw", 8.0, 2, 60.0),
    ("bolt", 8.0, 2, 40.0),
    ("bolt", 10.0, 2, 50.0),
    ("bolt", 12.0, 4, 60.0),
)
"""Eyes: fastening, its diameter in mm, how many, depth in mm. Common practice."""
CLEAR_MM = 30.0
"""How far from the weight, or the cleat beside it, an eye stands."""
WASHER_DIAMETERS = 3.75
ROPE_ENDING = "eye-splice"


def eyes(stuff: Stuff, rung: int) -> Anchors:
    """An eye of the ladder ``EYES``."""
    kind, diameter, count, depth = EYES[rung]
    bolt = kind == "bolt"
    return Anchors(
        kind="through-bolt" if bolt else "pad-eye",
        screws=stuff.driven(
            Screws(
                kind="bolt" if bolt else "coach-screw",
                diameter_mm=diameter,
                count=count,
                penetration_mm=depth,
                metal=stuff.metal,
                washer_mm=WASHER_DIAMETERS * diameter if bolt else None,
            ),
            sheared=False,
        ),
    )


def _over(weight: Weight, athwart: bool, share: float) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """The two ends of a strap over a weight, beside its bottom edges, clear of the cleats."""
    long, broad, high = size(weight)
    x, y, z = weight.at_m
    foot = z - 0.5 * high
    out: list[float] = []
    for face in ("port", "starboard") if athwart else ("fore", "aft"):
        beside = [c.depth_mm or 0.0 for c in weight.restraint if isinstance(c, Cleat) and c.face == face]
        out.append((max(beside, default=0.0) + CLEAR_MM) * MM + 0.5 * (broad if athwart else long))
    if athwart:
        at = x + share * long
        return (round(at, 3), round(y + out[0], 3), round(foot, 3)), (
            round(at, 3),
            round(y - out[1], 3),
            round(foot, 3),
        )
    at = y + share * broad
    return (round(x + out[0], 3), round(at, 3), round(foot, 3)), (round(x - out[1], 3), round(at, 3), round(foot, 3))


_PLANS: dict[str, list[tuple[bool, float]]] = {
    "a strap over the top": [(True, 0.0)],
    "two straps athwartships": [(True, 0.25), (True, -0.25)],
    "crossed straps": [(True, 0.0), (False, 0.0)],
}
"""By kind: each strap's way (athwartships or not) and its place along the other."""


def new_straps(weight: Weight, stuff: Stuff) -> list[Ladder]:
    """One strap over the top, two side by side, or two crossed; of webbing, to eyes on both sides."""
    ladders: list[Ladder] = []
    for kind, plan in _PLANS.items():
        names: list[str] = []
        for _ in plan:
            names.append(free_id(weight, "strap", names))
        rungs: Ladder = []
        for webbing, eye in ((0, 0), (0, 1), (0, 2), (1, 2), (1, 3), (2, 4)):
            pieces: dict[str, AnyRestraint] = {}
            for name, (athwart, share) in zip(names, plan, strict=True):
                start, end = _over(weight, athwart, share)
                pieces[name] = Strap(id=name, from_m=start, to_m=end, line=WEBBINGS[webbing], anchors=eyes(stuff, eye))
            rungs.append(Change(kind, with_pieces(weight, pieces)))
        ladders.append(rungs)
    return ladders


def second_strap(weight: Weight) -> list[Ladder]:
    """A second strap like the only one, athwart it, with eyes of its own."""
    have = {n: r for n, r in named(weight).items() if isinstance(r, Strap)}
    if len(have) != 1:
        return []
    (first,) = have.values()
    if first.line is None or first.anchors is None or first.strength_N is not None:
        return []
    name = free_id(weight, "second-strap")
    along = abs(first.from_m[1] - first.to_m[1]) >= abs(first.from_m[0] - first.to_m[0])
    start, end = _over(weight, not along, 0.0)
    other = first.model_copy(update={"id": name, "from_m": start, "to_m": end, "tension_N": 0.0, "slack_mm": 0.0})
    return [[Change("a second strap", with_pieces(weight, {name: other}))]]


def stouter_lines(weight: Weight, names: list[str], stuff: Stuff) -> Ladder:
    """Lines with better endings, better eyes, or thicker; least labour first."""
    have = named(weight)
    old = {n: r for n in names if isinstance(r := have[n], Lashing | Strap)}
    options: dict[str, tuple[int, Weight]] = {}
    for thicker in range(4):
        for eye in (None, *range(len(EYES))):
            for spliced in (False, True):
                pieces: dict[str, AnyRestraint] = {}
                for name, was in old.items():
                    update = _gear(was, thicker, spliced)
                    if update is None:
                        break
                    if eye is not None:
                        update["anchors"] = eyes(stuff, eye)
                    pieces[name] = was.model_copy(update={**update, "strength_N": None})
                else:
                    new = with_pieces(weight, pieces)
                    if new != weight:
                        options[new.model_dump_json()] = (minutes(jobs_between(weight, new)), new)
    return [Change("stouter gear", w) for _, w in sorted(options.values(), key=lambda o: o[0])]


def _gear(was: Lashing | Strap, thicker: int, spliced: bool) -> dict[str, object] | None:
    """Line and ending, so many sizes up; None where there is no such line or ending."""
    try:
        row = line(was.line) if was.line is not None else None
    except UnknownRow:
        return None
    update: dict[str, object] = {}
    if thicker:
        if row is None or row.kind in ("webbing", "chain", "wire"):
            larger = [w for w in WEBBINGS if row is None or line(w).breaking_N > row.breaking_N]
            if thicker > len(larger):
                return None
            update["line"] = larger[thicker - 1]
            update["termination"] = None
        else:
            sizes = sorted(
                (
                    r
                    for r in lines().values()
                    if r.construction == row.construction and r.breaking_N > 1.2 * row.breaking_N
                ),
                key=lambda r: r.breaking_N,
            )
            if thicker > len(sizes):
                return None
            update["line"] = sizes[thicker - 1].id
    elif row is None:
        return None
    if spliced:
        if row is None or row.kind != "rope" or update.get("termination", "") is None:
            return None
        update["termination"] = ROPE_ENDING
    return update
