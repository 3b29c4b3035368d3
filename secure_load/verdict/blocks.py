"""Cleats and battens in ever stouter sizes: the ladders of ``changes`` for pieces of timber and their screws."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from secure_load.boat.models import AnyRestraint, Batten, Cleat, Screws, SideFace, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.strengths import Service
from secure_load.strength.fastenings import fastening
from secure_load.verdict.changes import (
    DEEPEST_MM,
    FACE_WORDS,
    MM,
    Change,
    Ladder,
    Stuff,
    free_id,
    size,
    with_pieces,
)
from secure_load.verdict.screw_room import (
    LONGEST_MM,
    MOST_SCREWS,
    WASHER_DIAMETERS,
    diameter,
    give,
    known,
    row_of_screws,
)
from secure_load.verdict.work_of_change import labour_of, named

CLEATS: tuple[tuple[str, float, float, float], ...] = (
    ("wood-screw", 8, 35.0, 35.0),
    ("wood-screw", 10, 40.0, 45.0),
    ("wood-screw", 12, 45.0, 50.0),
    ("coach-screw", 6.0, 50.0, 45.0),
    ("coach-screw", 8.0, 65.0, 60.0),
    ("coach-screw", 10.0, 80.0, 60.0),
    ("coach-screw", 12.0, 100.0, 60.0),
)
"""New cleats: screw, its gauge or diameter, thickness of the cleat, depth of the screw, mm. Common practice: the
screw stands 4 diameters from the loaded edge, in the middle of the thickness (NDS 12.5.1C)."""
BATTENS: tuple[tuple[float, float, float, bool], ...] = (
    (60.0, 20.0, 6.0, False),
    (65.0, 25.0, 8.0, False),
    (65.0, 32.0, 8.0, False),
    (80.0, 38.0, 10.0, False),
    (100.0, 45.0, 12.0, False),
    (80.0, 38.0, 10.0, True),
    (100.0, 50.0, 12.0, True),
    (130.0, 60.0, 16.0, True),
)
"""New battens: width, thickness, screw or bolt, mm; through-bolted or not. Two fastenings at each end, side by
side 4 diameters apart and 1.5 from the edges (NDS 12.5.1)."""
HIGH, LOW = 0.6, 0.2
"""Heights of cleats, over the weight's, tried beside the usual."""
HIGHEST_MM = 120.0
"""Of a new cleat: with more, the screws are not to be had."""


@dataclass(frozen=True)
class _Rung:
    """One size of cleat: its thickness and what holds it."""

    depth: float
    screws: Screws
    give: float
    """Utilisation per newton of thrust, roughly: shear and prying added up (NDS 12.4.1)."""
    labour: float


def _front(rungs: list[_Rung]) -> list[_Rung]:
    """Those than which none is stronger for as little labour; weakest first."""
    best: list[_Rung] = []
    for rung in sorted(rungs, key=lambda r: (r.give, r.labour)):
        if not best or rung.labour < best[-1].labour:
            best.append(rung)
    return best[::-1]


@cache
def _cleat_sizes(
    length: float, height: float, wood: str, into: str, made_of: str, service: Service
) -> tuple[_Rung, ...]:
    rungs: list[_Rung] = []
    for kind, how_large, depth, deep in CLEATS:
        screws = Screws.model_validate(
            {"kind": kind, "penetration_mm": deep, "into": into, "metal": made_of}
            | (
                {"gauge": int(how_large)}
                if kind == "wood-screw"
                else {"diameter_mm": how_large, "washer_mm": WASHER_DIAMETERS * how_large}
            )
        )
        if height + deep > LONGEST_MM[kind]:
            continue
        each = fastening(screws, service, wood, height * MM)
        for count in range(2, min(row_of_screws(length, diameter(screws)), MOST_SCREWS) + 1):
            many = screws.model_copy(update={"count": count})
            piece = Cleat(face="fore", timber=wood, depth_mm=depth, screws=many)
            rungs.append(_Rung(depth, many, give(each, count, height, depth), labour_of(piece)))
    return tuple(_front(rungs))


def cleat_length(weight: Weight, face: SideFace) -> float:
    """Length of a new cleat in mm: that of the side it stands against."""
    return size(weight)[0 if face in ("port", "starboard") else 1] / MM // 5 * 5


def cleat_height(weight: Weight, share: float) -> float:
    """Height of a new cleat in mm: a share of the weight's, within what can be screwed down."""
    high = size(weight)[2] / MM
    return min(max(min(share * high, HIGHEST_MM) // 5 * 5, 25.0), 0.9 * high)


def new_cleats(weight: Weight, faces: list[SideFace], stuff: Stuff, service: Service, share: float = 0.35) -> Ladder:
    """Cleats on some sides, alike in thickness and screws. Empty where a side is too short for two screws."""
    names = {face: free_id(weight, f"{FACE_WORDS[face]}-cleat") for face in faces}
    pieces = {
        face: Cleat(
            id=names[face],
            face=face,
            timber=stuff.timber,
            length_mm=cleat_length(weight, face),
            height_mm=cleat_height(weight, share),
        )
        for face in faces
    }
    return _sized("cleats on the open sides", weight, {names[f]: p for f, p in pieces.items()}, stuff, service)


def _sized(kind: str, weight: Weight, cleats: dict[str, Cleat], stuff: Stuff, service: Service) -> Ladder:
    """Cleats in every size there is room for; alike, but for the number of screws in the shorter ones."""
    shortest = min((c.length_mm or 0.0 for c in cleats.values()), default=0.0)
    height = max((c.height_mm or 0.0 for c in cleats.values()), default=0.0)
    if not cleats:
        return []
    ladder: Ladder = []
    thinnest_screw = max((diameter(c.screws) for c in cleats.values() if c.screws is not None), default=0.0)
    thinnest = max((c.depth_mm or 0.0 for c in cleats.values()), default=0.0)
    for rung in _cleat_sizes(shortest, height, stuff.timber, stuff.into, stuff.metal, service):
        if diameter(rung.screws) < thinnest_screw - 0.5:
            # code figures jump at 1/4 in; nobody thanks one for a thinner screw in place of a stouter
            continue
        pieces: dict[str, AnyRestraint] = {
            name: cleat.model_copy(
                update={
                    "timber": stuff.timber,
                    "depth_mm": max(rung.depth, thinnest),
                    "screws": stuff.driven(rung.screws, sheared=True),
                    "strength_N": None,
                    "stiffness_N_per_mm": None,
                }
            )
            for name, cleat in cleats.items()
        }
        ladder.append(Change(kind, with_pieces(weight, pieces)))
    return ladder


def _longer(weight: Weight, cleat: Cleat) -> float:
    """All the side's length, but for a cleat that was put where it is on purpose."""
    if cleat.at_m is not None and cleat.length_mm is not None:
        return cleat.length_mm
    return max(cleat_length(weight, cleat.face), cleat.length_mm or 0.0)


def stouter_cleats(weight: Weight, names: list[str], new: bool, stuff: Stuff, service: Service) -> list[Ladder]:
    """Cleats made anew: of the same height; higher; and, where they are new anyway, lower, which pries them less."""
    have = named(weight)
    old = {n: r for n in names if isinstance(r := have[n], Cleat)}

    def anew(kind: str, height: Callable[[Cleat], float]) -> Ladder:
        made = {
            n: c.model_copy(update={"length_mm": _longer(weight, c), "height_mm": height(c)}) for n, c in old.items()
        }
        return _sized(kind, weight, made, stuff, service)

    def now(cleat: Cleat) -> float:
        return cleat.height_mm or assumed("cleat-height").number

    ladders = [
        anew("stouter cleats", now),
        anew("stouter and higher cleats", lambda c: max(now(c), cleat_height(weight, HIGH))),
    ]
    if new:
        ladders.append(anew("stouter and lower cleats", lambda c: min(now(c), cleat_height(weight, LOW))))
    return ladders


def _span(weight: Weight, way: int) -> float:
    """Clear span of a new batten in mm: over the weight and the cleats beside it."""
    faces = ("port", "starboard") if way == 1 else ("fore", "aft")
    beside = sum(
        c.depth_mm or assumed("cleat-depth").number
        for c in weight.restraint
        if isinstance(c, Cleat) and c.face in faces
    )
    over = max(assumed("batten-overhang").number, beside)
    return round((size(weight)[way] / MM + over) / 5.0) * 5.0


def _batten_sizes(stuff: Stuff) -> list[dict[str, object]]:
    return [
        {
            "timber": stuff.timber,
            "width_mm": width,
            "depth_mm": depth,
            "strength_N": None,
            "stiffness_N_per_mm": None,
            "screws": stuff.driven(
                Screws(
                    kind="bolt" if through else "coach-screw",
                    diameter_mm=diameter,
                    count=4,
                    penetration_mm=DEEPEST_MM if through else min(DEEPEST_MM, 45.0 if diameter < 8.0 else 60.0),
                    metal=stuff.metal,
                    washer_mm=WASHER_DIAMETERS * diameter,
                ),
                sheared=False,
            ),
        }
        for width, depth, diameter, through in BATTENS
    ]


def new_battens(weight: Weight, count: int, stuff: Stuff) -> Ladder:
    """One batten over the middle of the top, or two at a quarter of its length; across its shorter way."""
    long, broad, high = size(weight)
    athwart = broad <= 1.5 * long
    x, y, z = weight.at_m
    places = [0.0] if count == 1 else [0.25, -0.25]
    names: list[str] = []
    for share in places:
        wish = "hold-down" if count == 1 else _end_name(share, athwart)
        names.append(free_id(weight, wish, names))
    ladder: Ladder = []
    for sizes in _batten_sizes(stuff):
        width = sizes["width_mm"]
        assert isinstance(width, float)
        if count * width * MM > (long if athwart else broad):
            break
        pieces: dict[str, AnyRestraint] = {}
        for name, share in zip(names, places, strict=True):
            at = (x + share * long, y, z + 0.5 * high) if athwart else (x, y + share * broad, z + 0.5 * high)
            piece = Batten(
                id=name,
                along="athwartships" if athwart else "fore-and-aft",
                span_mm=_span(weight, 1 if athwart else 0),
                at_m=_rounded(at) if count > 1 else None,
            )
            pieces[name] = piece.model_copy(update=sizes)
        ladder.append(Change("a batten over the top" if count == 1 else "two battens", with_pieces(weight, pieces)))
    return ladder


def _end_name(share: float, athwart: bool) -> str:
    if athwart:
        return "fore-hold-down" if share > 0.0 else "after-hold-down"
    return "port-hold-down" if share > 0.0 else "starboard-hold-down"


def _rounded(at: tuple[float, float, float]) -> tuple[float, float, float]:
    x, y, z = (round(value, 3) + 0.0 for value in at)
    return x, y, z


def stouter_battens(weight: Weight, names: list[str], stuff: Stuff) -> list[Ladder]:
    """Battens made anew; and a lone batten joined by a second like it."""
    have = named(weight)
    old = {n: r for n in names if isinstance(r := have[n], Batten)}
    if not old:
        return []
    anew: Ladder = []
    for sizes in _batten_sizes(stuff):
        pieces: dict[str, AnyRestraint] = {
            n: b.model_copy(
                update={**sizes, "span_mm": b.span_mm or _span(weight, 1 if b.along == "athwartships" else 0)}
            )
            for n, b in old.items()
        }
        anew.append(Change("a stouter batten" if len(old) == 1 else "stouter battens", with_pieces(weight, pieces)))
    lone = [n for n, r in have.items() if isinstance(r, Batten)]
    ladders = [anew]
    if len(lone) == 1:
        ladders.append(_second(weight, lone[0]))
    return ladders


def _second(weight: Weight, name: str) -> Ladder:
    """A second batten like the first, both at a quarter of the length they cross."""
    first = named(weight)[name]
    assert isinstance(first, Batten)
    long, broad, high = size(weight)
    athwart = first.along == "athwartships"
    run = long if athwart else broad
    if first.width_mm is None or 2.0 * first.width_mm * MM > run or first.strength_N is not None:
        return []
    if first.timber is None or first.depth_mm is None or not known(first.screws):
        return []
    x, y, z = weight.at_m
    top = z + 0.5 * high
    at = [_rounded((x + s * long, y, top) if athwart else (x, y + s * broad, top)) for s in (0.25, -0.25)]
    other = free_id(weight, "second-hold-down")
    return [
        Change(
            "a second batten",
            with_pieces(
                weight,
                {
                    name: first.model_copy(update={"at_m": at[0]}),
                    other: first.model_copy(update={"at_m": at[1], "id": other}),
                },
            ),
        )
    ]
