"""Straps over a weight and round a stack of ingots, and stouter line and eyes for the lines it has."""

from __future__ import annotations

from secure_load.boat.models import Anchors, AnyRestraint, BundleTie, Cleat, Lashing, SideFace, Strap, Weight
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import line, lines
from secure_load.remedies.cleats_and_battens import WELDED_N, along_side
from secure_load.remedies.labour_estimate import by_id, jobs_between, minutes
from secure_load.remedies.materials import MM, Change, Materials, SizeSeries, free_id, size, with_pieces

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


def eyes(materials: Materials, battery: bool = False) -> list[Anchors]:
    """Eyes in all sizes; for a battery bolted right through, where a nut can be got at."""
    if materials.base.kind == "welded":
        return [Anchors(kind="eye", strength_N=force) for force in WELDED_N]
    bolts = materials.base.takes_bolts
    found: list[Anchors] = []
    for kind, diameter, count, depth in EYES:
        if (kind == "bolt" and not bolts) or (kind != "bolt" and bolts and battery):
            continue
        washer = WASHER_DIAMETERS * diameter if kind == "bolt" else None
        deep = min(depth, materials.base.deepest_mm)
        screws = materials.screws(kind, diameter, deep, count=count, washer_mm=washer)
        if not materials.has_room_for(screws):
            continue
        found.append(Anchors(kind="through-bolt" if kind == "bolt" else "pad-eye", screws=screws))
    return found


def new_straps(weight: Weight, count: int, materials: Materials) -> SizeSeries:
    """Webbing over the middle of the top, or two at a quarter of its length; across its shorter way, to eyes."""
    extent = size(weight)
    athwart = extent[1] <= 1.5 * extent[0]
    made = eyes(materials, weight.kind == "battery")
    if not made:
        return []
    series: SizeSeries = []
    # thin webbing to ever stouter eyes, then thicker webbing to the stoutest
    for webbing, eye in [(WEBBINGS[0], eye) for eye in made] + [(webbing, made[-1]) for webbing in WEBBINGS[1:]]:
        pieces: dict[str, AnyRestraint] = {}
        for share in [0.0] if count == 1 else [0.25, -0.25]:
            name = free_id(weight, "strap", pieces)
            start, end = (
                _foot(weight, face, share) for face in (("port", "starboard") if athwart else ("fore", "aft"))
            )
            pieces[name] = Strap(id=name, from_m=start, to_m=end, line=webbing, anchors=eye)
        series.append(Change("a strap over the top" if count == 1 else "two straps", with_pieces(weight, pieces)))
    return series


def _foot(weight: Weight, face: SideFace, share: float) -> tuple[float, float, float]:
    """Where the end of a strap stands: beside the bottom edge of a face, clear of the cleats."""
    way, sign = {"port": (1, 1.0), "starboard": (1, -1.0), "fore": (0, 1.0), "aft": (0, -1.0)}[face]
    extent, at = size(weight), list(weight.at_m)
    beside = [c.depth_mm or 0.0 for c in weight.restraint if isinstance(c, Cleat) and c.face == face]
    at[way] += sign * (0.5 * extent[way] + (max(beside, default=0.0) + CLEAR_MM) * MM)
    at[1 - way] += share * extent[1 - way]
    return round(at[0], 3), round(at[1], 3), round(at[2] - 0.5 * extent[2], 3)


def stouter_lines(weight: Weight, names: list[str], materials: Materials) -> SizeSeries:
    """Lines with spliced ends, better eyes, or thicker; least labour first."""
    have = by_id(weight)
    old = {n: r for n in names if isinstance(r := have[n], Lashing | Strap)}
    made: list[Weight] = []
    for eye in (None, *eyes(materials, weight.kind == "battery")):
        for thicker in range(4):
            for ending in (None, ROPE_ENDING):
                pieces: dict[str, AnyRestraint] = {n: _made(r, thicker, ending, eye) for n, r in old.items()}
                new = with_pieces(weight, pieces)
                if new not in (weight, *made):
                    made.append(new)
    made.sort(key=lambda new: minutes(jobs_between(weight, new)))
    return [Change("stouter gear", new) for new in made]


def _made(was: Lashing | Strap, thicker: int, ending: str | None, eye: Anchors | None) -> Lashing | Strap:
    """A line so many sizes up, of the same construction if it is rope, else of webbing; with other ends and eyes."""
    try:
        row = line(was.line) if was.line is not None else None
    except UnknownRow:
        row = None
    update: dict[str, object] = {"strength_N": None}
    if eye is not None:
        update["anchors"] = eye
    rope = row is not None and row.kind == "rope"
    if rope and ending is not None:
        update["termination"] = ending
    if thicker or row is None:
        like = [
            r for r in lines().values() if (r.construction == row.construction if rope and row else r.id in WEBBINGS)
        ]
        larger = [r for r in like if row is None or r.breaking_N > 1.2 * row.breaking_N]
        larger.sort(key=lambda r: r.breaking_N)
        if larger:
            update["line"] = larger[min(max(thicker - 1, 0), len(larger) - 1)].id
            update |= {} if rope else {"termination": None}
    return was.model_copy(update=update)


# Round a stack of ingots -------------------------------------------------------------------------------------

ROUND = "polyester-webbing-25-lc500"
HOVE_TIGHT_N = 300.0
"""Tension of a buckled strap hove tight by hand. Common practice."""


def kept_together(weight: Weight) -> SizeSeries:
    """Ways to keep every ingot in its stack, least labour first; empty for a weight that is no bundle."""
    if weight.bundle is None:
        return []
    reached = _reaching(weight)
    level = BundleTie(line=ROUND, around="level", tension_N=HOVE_TIGHT_N)
    across = BundleTie(line=ROUND, count=2, around="athwartships", tension_N=HOVE_TIGHT_N)
    along = BundleTie(line=ROUND, count=2, around="fore-and-aft", tension_N=HOVE_TIGHT_N)
    series = [Change("cleats that reach every ingot", reached)] if reached != weight else []
    round_it = ([level], [across], [along], [across, level], [across, along, level])
    series += [Change("straps round the stack", _tied(weight, ties)) for ties in round_it]
    if reached != weight:
        series += [
            Change("straps round the stack and cleats that reach every ingot", _tied(reached, t)) for t in round_it
        ]
    return series


def _tied(weight: Weight, ties: list[BundleTie]) -> Weight:
    assert weight.bundle is not None
    return weight.model_copy(update={"bundle": weight.bundle.model_copy(update={"ties": ties})})


def _reaching(weight: Weight) -> Weight:
    """The weight with its cleats as long as the sides they stand against."""
    pieces: dict[str, AnyRestraint] = {}
    for name, cleat in by_id(weight).items():
        if isinstance(cleat, Cleat) and cleat.length_mm is not None:
            length = along_side(weight, cleat.face)
            if length > cleat.length_mm:
                pieces[name] = cleat.model_copy(update={"length_mm": length, "at_m": None})
    return with_pieces(weight, pieces) if pieces else weight
