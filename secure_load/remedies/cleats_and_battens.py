"""Cleats, trays, battens and lids, and in a metal hull lugs and flat bars, in ever stouter sizes."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

from secure_load.boat.models import AnyRestraint, Batten, Cleat, Screws, SideFace, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.strengths import Service
from secure_load.remedies.labour_estimate import by_id, labour_of
from secure_load.remedies.materials import MM, Change, Materials, SizeSeries, free_id, size, with_pieces
from secure_load.remedies.screw_layout import (
    LONGEST_MM,
    MOST_SCREWS,
    WASHER_DIAMETERS,
    diameter,
    row_of_screws,
    utilisation_per_newton,
)
from secure_load.strength.fastenings import fastening

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
BATTENS: tuple[tuple[float, float, float, str], ...] = (
    (60.0, 20.0, 6.0, "coach-screw"),
    (65.0, 25.0, 8.0, "coach-screw"),
    (65.0, 32.0, 8.0, "coach-screw"),
    (80.0, 38.0, 10.0, "coach-screw"),
    (100.0, 45.0, 12.0, "coach-screw"),
    (65.0, 32.0, 8.0, "bolt"),
    (80.0, 38.0, 10.0, "bolt"),
    (100.0, 50.0, 12.0, "bolt"),
    (130.0, 60.0, 16.0, "bolt"),
)
"""New battens: width, thickness, screw or bolt and its diameter, mm. Two fastenings at each end, side by side 4
diameters apart and 1.5 from the edges (NDS 12.5.1)."""
WELDED_N = (2000.0, 5000.0, 10_000.0, 20_000.0, 40_000.0)
"""Working loads that a yard is asked to make a lug, bar or eye good for. Assumption."""
LUG_MM, BAR_MM = 10.0, (50.0, 12.0)
"""Thickness of a welded lug; width and thickness of a flat bar on studs, mm. Assumption."""
HIGH, USUAL, LOW = 0.6, 0.35, 0.2
"""Heights of cleats, over the weight's."""
HIGHEST_MM = 120.0
"""Of a new cleat: with more, the screws are not to be had."""
_FACE_WORDS: dict[SideFace, str] = {"port": "port", "starboard": "starboard", "fore": "fore", "aft": "after"}
_AS_BUILT: dict[str, object] = {"strength_N": None, "stiffness_N_per_mm": None}


def along_side(weight: Weight, face: SideFace) -> float:
    """Length in mm of the side that a cleat stands against."""
    return size(weight)[0 if face in ("port", "starboard") else 1] / MM // 5 * 5


def cleat_height(weight: Weight, share: float) -> float:
    """Height of a new cleat in mm: a share of the weight's, within what can be screwed down."""
    high = size(weight)[2] / MM
    return min(max(min(share * high, HIGHEST_MM) // 5 * 5, 25.0), 0.9 * high)


def new_cleats(weight: Weight, faces: list[SideFace], materials: Materials, service: Service) -> SizeSeries:
    """Cleats on some sides, alike in thickness and screws; all round a battery, a tray.

    Empty where a side is too short for two screws.
    """
    tray = weight.kind == "battery" and len(faces) == 4
    kind = "tray-side" if tray else "lug" if materials.base.kind == "welded" else "cleat"
    made: dict[str, Cleat] = {}
    for face in faces:
        name = free_id(weight, f"{_FACE_WORDS[face]}-{kind}")
        height = cleat_height(weight, USUAL)
        made[name] = Cleat(id=name, face=face, length_mm=along_side(weight, face), height_mm=height)
    return _cleats_in_sizes("a tray" if tray else "cleats on the open sides", weight, made, materials, service)


def stouter_cleats(
    weight: Weight, names: list[str], new: bool, materials: Materials, service: Service
) -> list[SizeSeries]:
    """Cleats made anew: of the same height; higher; and, where they are new anyway, lower, which pries them less."""
    have = by_id(weight)
    old = {n: r for n in names if isinstance(r := have[n], Cleat)}

    def anew(kind: str, height: Callable[[Cleat], float]) -> SizeSeries:
        made = {
            n: c.model_copy(update={"length_mm": _longer(weight, c), "height_mm": height(c)}) for n, c in old.items()
        }
        return _cleats_in_sizes(kind, weight, made, materials, service)

    def now(cleat: Cleat) -> float:
        return cleat.height_mm or assumed("cleat-height").number

    series = [
        anew("stouter cleats", now),
        anew("stouter cleats", lambda c: max(now(c), cleat_height(weight, HIGH))),
    ]
    if new:
        series.append(anew("stouter cleats", lambda c: min(now(c), cleat_height(weight, LOW))))
    return series


def _longer(weight: Weight, cleat: Cleat) -> float:
    """All the side's length, but for a cleat that was put where it is on purpose."""
    if cleat.at_m is not None and cleat.length_mm is not None:
        return cleat.length_mm
    return max(along_side(weight, cleat.face), cleat.length_mm or 0.0)


def _cleats_in_sizes(
    kind: str, weight: Weight, cleats: dict[str, Cleat], materials: Materials, service: Service
) -> SizeSeries:
    """Cleats in every size there is room for, alike."""
    if not cleats:
        return []
    if materials.base.kind == "welded":
        return [Change(kind, with_pieces(weight, {n: lug(c, force) for n, c in cleats.items()})) for force in WELDED_N]
    shortest = min(c.length_mm or 0.0 for c in cleats.values())
    height = max(c.height_mm or 0.0 for c in cleats.values())
    thinnest = max(c.depth_mm or 0.0 for c in cleats.values())
    thinnest_screw = max((diameter(c.screws) for c in cleats.values() if c.screws is not None), default=0.0)
    series: SizeSeries = []
    for depth, screws in _cleat_sizes(shortest, height, materials, service):
        if diameter(screws) < thinnest_screw - 0.5:
            # code figures jump at 1/4 in; nobody wants a thinner screw in place of a stouter
            continue
        pieces: dict[str, AnyRestraint] = {}
        for name, cleat in cleats.items():
            # as close together in the longer ones
            long = cleat.length_mm or 0.0
            count = min(math.ceil(screws.count * long / shortest), row_of_screws(long, diameter(screws)), MOST_SCREWS)
            held = {"timber": materials.timber, "depth_mm": max(depth, thinnest), **_AS_BUILT}
            pieces[name] = cleat.model_copy(update=held | {"screws": screws.model_copy(update={"count": count})})
        series.append(Change(kind, with_pieces(weight, pieces)))
    return series


@cache
def _cleat_sizes(length: float, height: float, materials: Materials, service: Service) -> list[tuple[float, Screws]]:
    """(thickness, screws) of cleats than which none is stronger for as little labour; weakest first."""
    options: list[tuple[float, float, float, Screws]] = []
    deepest = materials.base.deepest_mm
    for kind, how_large, depth, wished in CLEATS:
        deep = min(wished, deepest)
        washer = {} if kind == "wood-screw" else {"washer_mm": WASHER_DIAMETERS * how_large}
        screws = materials.screws(kind, how_large, deep, sheared=True, **washer)
        if height + deep > LONGEST_MM[kind] or not materials.has_room_for(screws, sheared=True):
            continue
        each = fastening(screws, service, materials.timber, height * MM)
        if each.warnings:
            continue
        for count in range(2, min(row_of_screws(length, diameter(screws)), MOST_SCREWS) + 1):
            many = screws.model_copy(update={"count": count})
            piece = Cleat(face="fore", timber=materials.timber, depth_mm=depth, screws=many)
            ratio = utilisation_per_newton(each, count, height, depth)
            options.append((ratio, labour_of(piece), depth, many))
    best: list[tuple[float, float, float, Screws]] = []
    for option in sorted(options, key=lambda each: each[:2]):
        if not best or option[1] < best[-1][1]:
            best.append(option)
    return [(depth, screws) for _, _, depth, screws in best[::-1]]


def lug(cleat: Cleat, force: float) -> Cleat:
    """A cleat as a lug welded to the hull, that the yard makes good for a working load."""
    return cleat.model_copy(
        update={"timber": None, "screws": None, "depth_mm": LUG_MM, "strength_N": force}
        | {"stiffness_N_per_mm": assumed("rigid-stiffness").number}
    )


# Over the top ----------------------------------------------------------------------------------------------------


def new_battens(weight: Weight, count: int, materials: Materials) -> SizeSeries:
    """One batten over the middle of the top, or two at a quarter of its length; across its shorter way.

    Over chain a lid: one board over all of the top.
    """
    long, broad, high = size(weight)
    athwart = broad <= 1.5 * long
    lid = weight.kind == "chain"
    if lid and count > 1:
        return []
    x, y, z = weight.at_m
    places = [0.0] if count == 1 else [0.25, -0.25]
    names: list[str] = []
    for share in places:
        wish = "lid" if lid else "hold-down" if count == 1 else _end_name(share, athwart)
        names.append(free_id(weight, wish, names))
    context = (long if athwart else broad) / MM
    series: SizeSeries = []
    for sizes in _batten_sizes(weight, materials, context // 5 * 5 if lid else None):
        width = sizes["width_mm"]
        assert isinstance(width, float)
        if count * width > context:
            continue
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
        kind = "a lid" if lid else "a batten over the top" if count == 1 else "two battens"
        series.append(Change(kind, with_pieces(weight, pieces)))
    return series


def _batten_sizes(weight: Weight, materials: Materials, lid_mm: float | None = None) -> list[dict[str, object]]:
    """The changing fields of battens in all sizes; over a battery through-bolted, where a nut can be got at.

    The screws go over packing pieces as high as the weight into what is under it; where none is long enough, into
    landings that have screws of their own.
    """
    if materials.base.kind == "welded":
        stiff = assumed("rigid-stiffness").number
        fixed: dict[str, object] = {"timber": None, "screws": None, "width_mm": BAR_MM[0], "depth_mm": BAR_MM[1]}
        return [fixed | {"stiffness_N_per_mm": stiff, "strength_N": force} for force in WELDED_N]
    high = size(weight)[2] / MM
    bolts = materials.base.takes_bolts
    sizes: list[dict[str, object]] = []
    for width, thick, size_mm, kind in BATTENS:
        if (kind == "bolt" and not bolts) or (kind != "bolt" and bolts and weight.kind == "battery"):
            continue
        deep = min(materials.base.deepest_mm, 45.0 if size_mm < 8.0 else 60.0)
        screws = materials.screws(kind, size_mm, deep, count=4, washer_mm=WASHER_DIAMETERS * size_mm)
        if not materials.has_room_for(screws):
            continue
        landing = None
        if thick + high + (screws.penetration_mm or 0.0) > LONGEST_MM[kind]:
            landing = screws.model_copy(update={"count": 4})
            into = {"kind": "coach-screw", "penetration_mm": deep, "into": materials.timber, "member": "landing"}
            screws = screws.model_copy(update={**into, "stock_mm": high, "sided_mm": width})
        broad = max(width, lid_mm or 0.0)
        piece = {"timber": materials.timber, "width_mm": broad, "depth_mm": thick, "screws": screws}
        sizes.append(piece | {"landing": landing} | _AS_BUILT)
    return sizes


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


def _end_name(share: float, athwart: bool) -> str:
    if athwart:
        return "fore-hold-down" if share > 0.0 else "after-hold-down"
    return "port-hold-down" if share > 0.0 else "starboard-hold-down"


def _rounded(at: tuple[float, float, float]) -> tuple[float, float, float]:
    x, y, z = (round(value, 3) + 0.0 for value in at)
    return x, y, z


def stouter_battens(weight: Weight, names: list[str], materials: Materials) -> SizeSeries:
    """Battens made anew."""
    have = by_id(weight)
    old = {n: r for n in names if isinstance(r := have[n], Batten)}
    if not old:
        return []
    anew: SizeSeries = []
    lid = max((b.width_mm or 0.0 for b in old.values()), default=0.0) if weight.kind == "chain" else None
    for sizes in _batten_sizes(weight, materials, lid):
        pieces: dict[str, AnyRestraint] = {}
        for name, batten in old.items():
            span = batten.span_mm or _span(weight, 1 if batten.along == "athwartships" else 0)
            pieces[name] = batten.model_copy(update={**sizes, "span_mm": span})
        anew.append(Change("a stouter batten" if len(old) == 1 else "stouter battens", with_pieces(weight, pieces)))
    return anew
