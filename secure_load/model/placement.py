"""Where a restraint lies on the weight, and whether it can act there at all.

The distance from a contact to the face it is meant for is never taken away: a small one is a gap that the weight
has to cross first, a large one means that the restraint holds nothing. The same is asked of lines: a lashing begins
on the weight, and a strap goes over its top from one side to the other without passing through it.

Points are taken from the middle of the weight, in metres, in its own axes. The limits are rows of the catalogue's
``assumed`` table.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.boat.models import AnyRestraint, Batten, Bed, Bolt, Bond, CableTie, Cleat, Face, Lashing, Strap
from secure_load.catalogue.assumed import assumed
from secure_load.model.body import Body, nearest_top_edge
from secure_load.model.contact_patch import Footprint, flush_angle, footprint, support_push
from secure_load.solver.arrays import Array

MM = 1e-3
_BEYOND: dict[Face, str] = {
    "fore": "before the weight's fore end",
    "aft": "abaft the weight's after end",
    "port": "to port of the weight's port side",
    "starboard": "to starboard of the weight's starboard side",
    "top": "above the weight's top",
    "bottom": "below the weight's bottom",
}
_ENDS = {"athwartships": ("port end", "starboard end"), "fore-and-aft": ("fore end", "after end")}


@dataclass(frozen=True)
class Placement:
    """What follows from where a restraint lies. Sentences do not name the restraint."""

    gap: float = 0.0
    """m between contact and face, which the weight has to cross before it bears."""
    acts: bool = True
    """False where it cannot hold anything: it is then left out of the model."""
    fault: str | None = None
    """What is wrong for certain."""
    doubt: str | None = None
    """What the owner is to look at."""


def touching() -> float:
    """m between two faces up to which they touch: what is left by the rounding of coordinates."""
    return assumed("touching").number * MM


def placement(body: Body, restraint: AnyRestraint) -> Placement:
    """Whether and how a restraint without gaps meets the weight. Raises ValueError for what cannot be."""
    if body.shape == "loose":
        return _heap(body, restraint)
    match restraint:
        case Bed(edge=edge) if edge is not None and _cuts_in(body, restraint):
            return _nothing("lies less steep than the weight's bottom there, so that the edge cannot rest on it")
        case Bed() | Cleat():
            return _contact(body, footprint(body, restraint), restraint.face)
        case Batten():
            return _batten(body, restraint)
        case Bolt() | Bond():
            return _fixed(body, restraint)
        case Lashing():
            return _lashing(body, restraint)
        case Strap() | CableTie():
            return _strap(body, restraint)
        case _:
            return Placement()


def _cuts_in(body: Body, bed: Bed) -> bool:
    """Whether what an edge is said to rest on would pass through the weight's bottom, or through its side."""
    assert bed.edge is not None
    side = bed.edge.removeprefix("bottom-")
    push = support_push(body, bed)
    faces: tuple[Face, ...] = ("bottom", side)  # type: ignore[assignment]
    return any(float(push @ body.face(face).normal) > np.sin(flush_angle()) for face in faces)


def _nothing(fault: str) -> Placement:
    return Placement(acts=False, fault=f"{fault}; it holds nothing there: correct its place or the weight's size")


def _not_counted(doubt: str) -> Placement:
    return Placement(acts=False, doubt=f"{doubt}; it is not counted")


def _heap(body: Body, restraint: AnyRestraint) -> Placement:
    """What keeps in a loose heap: a bottom, walls and a lid that cover it; a line or a batten over it does not."""
    if not isinstance(restraint, Bed | Cleat | Batten):
        return _not_counted("the heap is loose, and nothing but a bottom, walls and a lid keeps it in")
    place = footprint(body, restraint)
    least = assumed("loose-cover").number
    if any(length < 2.0 * least * half for length, half in zip(place.size, place.plane.half, strict=True)):
        what = "a batten is no lid" if restraint.face == "top" else "the wall is no cover"
        return _not_counted(f"{what}: loose pieces get past what leaves the {_name(restraint.face)} of the heap open")
    return _batten(body, restraint) if isinstance(restraint, Batten) else _contact(body, place, restraint.face)


def _contact(body: Body, place: Footprint, face: Face) -> Placement:
    """A contact that only presses: near its face, and with some of the face before it."""
    for middle, length, half in zip(place.centre.tolist(), place.size, place.plane.half, strict=True):
        beside = abs(middle) - 0.5 * length - half
        if beside > 0.0 or (beside == 0.0 and half > 0.0):
            return _nothing(f"lies wholly beside the weight's {_name(face)}")
    if place.off > assumed("standing-off").number * MM + touching():
        return _nothing(f"stands {place.off / MM:.0f} mm {_BEYOND[face]}")
    if place.off < -assumed("measuring-error").number * MM:
        return Placement(doubt=_inside(place.off))
    return Placement(gap=place.off if place.off > touching() else 0.0)


def _batten(body: Body, batten: Batten) -> Placement:
    """A contact whose two ends are made fast to either side of the weight."""
    place = footprint(body, batten)
    met = _contact(body, place, "top")
    if not met.acts:
        return met
    axis = 1 if batten.along == "athwartships" else 0
    half = place.plane.half[axis] or float(body.half[axis])
    span, under = place.size[axis], 2.0 * half
    error = assumed("measuring-error").number * MM
    if span < under - error:
        return _nothing(
            f"its span of {span / MM:.0f} mm is less than the {under / MM:.0f} mm of the weight under it, so that its "
            "ends stand on nothing"
        )
    for sign, name in zip((1.0, -1.0), _ENDS[batten.along], strict=True):
        over = float(half - (sign * place.centre[axis] + 0.5 * span))
        if over > error:
            return _nothing(f"its {name} stands over the weight, {over / MM:.0f} mm short of its edge")
    return met


def _fixed(body: Body, restraint: Bolt | Bond) -> Placement:
    """Bolts and bonds hold both ways, and only drawn up to the face."""
    place = footprint(body, restraint)
    error = assumed("measuring-error").number * MM
    off = place.off
    if off > error:
        return _nothing(f"stands {off / MM:.0f} mm {_BEYOND[restraint.face]}")
    for middle, length, half in zip(place.centre.tolist(), place.size, place.plane.half, strict=True):
        if abs(middle) - 0.5 * length > half:
            return _nothing(f"lies wholly beside the weight's {_name(restraint.face)}")
    if isinstance(restraint, Bond) and restraint.strength_N is None:
        return _not_counted("no code gives a bond's strength: test a piece and give its strength_N, or screw it down")
    if restraint.slack_mm > 0.0:
        return _not_counted(f"{restraint.slack_mm:g} mm of slack: it holds only drawn up to the weight")
    return Placement(doubt=_inside(off) if off < -error else None)


def _inside(off: float) -> str:
    return (
        f"at_m lies {-off / MM:.0f} mm inside the weight; it is taken to touch the weight there: correct its place or "
        "the weight's size"
    )


def _name(face: Face) -> str:
    return {"fore": "fore end", "aft": "after end", "port": "port side", "starboard": "starboard side"}.get(face, face)


def _lashing(body: Body, lashing: Lashing) -> Placement:
    """A line that begins on the weight, or somewhere within it, and does not pass through it."""
    start, end = (body.to_own(np.array(point)) for point in (lashing.from_m, lashing.to_m))
    margin = assumed("line-off-the-weight").number * MM
    off = float(np.linalg.norm(np.maximum(np.abs(start) - body.half, 0.0)))
    if off > margin:
        return _nothing(f"from_m lies {off / MM:.0f} mm off the weight, where nothing of it can be made fast to")
    deep = float((body.half - np.abs(start)).min())
    if deep > margin:
        # within the box there may be an anchor's shank or an engine's lug, or there may be nothing
        return Placement(
            doubt=f"from_m lies {deep / MM:.0f} mm inside the weight: say where on its surface it is made fast"
        )
    if segment_within(0.5 * body.half, start, end) is not None:
        return _nothing("runs through the weight")
    if _passes_through(body, start, end, margin):
        return Placement(doubt="runs inside the weight's edges: give the place where it leaves the weight as from_m")
    return Placement()


def _strap(body: Body, strap: Strap | CableTie) -> Placement:
    """A line over the top, from one side of it to the other."""
    assert strap.from_m is not None
    assert strap.to_m is not None
    margin = assumed("line-off-the-weight").number * MM
    ends = [body.to_own(np.array(point)) for point in (strap.from_m, strap.to_m)]
    for end in ends:
        if _passes_through(body, nearest_top_edge(body, end), end, margin):
            return _nothing("runs through the weight, for its end lies under or inside it")
    above = max(float(end[2] - body.half[2]) for end in ends)
    if above > margin:
        return _not_counted(
            f"an end of it is made fast {above / MM:.0f} mm above the weight's top: it presses on nothing"
        )
    half = body.half[:2]
    for axis, names in enumerate((("fore end", "after end"), ("port side", "starboard side"))):
        for sign, name in zip((1.0, -1.0), names, strict=True):
            if all(sign * end[axis] > half[axis] - MM for end in ends):
                return _not_counted(f"both its ends lie beyond the weight's {name}, so that it slips off")
    if not _crosses_over(half, ends[0][:2], ends[1][:2]):
        return _not_counted("crosses only a corner of the weight's top, so that it slips off")
    return Placement()


def _passes_through(body: Body, start: Array, end: Array, margin: float) -> bool:
    """Whether a straight line (3,) to (3,) passes through the weight deeper than a margin from its faces."""
    # of a thin weight half of it is left
    half = body.half - np.minimum(margin, 0.5 * body.half)
    return segment_within(half, start, end) is not None


def segment_within(half: Array, start: Array, end: Array) -> tuple[Array, Array] | None:
    """The two ends of what of a straight line lies within a box about nil; None where nothing does.

    half, start, end (d,). The slab method, any text on computer graphics.
    """
    context = end - start
    first, last = 0.0, 1.0
    for axis in range(len(half)):
        if context[axis] == 0.0:
            if abs(start[axis]) >= half[axis]:
                return None
            continue
        one, other = sorted((side * half[axis] - start[axis]) / context[axis] for side in (-1.0, 1.0))
        first, last = max(first, one), min(last, other)
    if last <= first:
        return None
    return start + first * context, start + last * context


def _crosses_over(half: Array, start: Array, end: Array) -> bool:
    """Whether a line seen from above crosses a top (2,) from one side to the opposite, or nearly from corner to corner.

    What cuts off a corner grows shorter as it slides towards the corner, and so slips off it.
    """
    found = segment_within(half, start, end)
    if found is None:
        return False
    enters, leaves = found
    opposite = (np.abs(enters) > half - MM) & (np.abs(leaves) > half - MM) & (enters * leaves < 0.0)
    return bool(opposite.any()) or float(np.linalg.norm(leaves - enters)) >= float(np.linalg.norm(half))
