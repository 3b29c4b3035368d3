"""Changes to a weight's stowage that a shipwright could make, from the catalogue, each as a changed weight.

A kind of change is a ladder: the same idea in ever stouter sizes, least labour first, so that the smallest
that serves is found by climbing it. Pieces are of sizes in common use; a cleat is no longer than the side it
stands against, screws keep the distances of NDS-2018 (``nds_placing``) and go at most ``DEEPEST_MM`` into
the timber, and not at all deeper where they already stand in the planking.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from secure_load.boat.base import Member
from secure_load.boat.models import (
    AnyRestraint,
    Batten,
    Bed,
    BoatFile,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Neighbour,
    Screws,
    SideFace,
    Weight,
)
from secure_load.boat.weights import restraint_ids
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import timber
from secure_load.statics.assume import Notes, size_of
from secure_load.statics.members import wanted_scantlings
from secure_load.verdict.work_of_change import named

MM = 1e-3
DEEPEST_MM = 60.0
"""Depth of a screw in the timber that holds its point, at most: what a floor or bearer of a small boat has."""
SIDES: tuple[SideFace, ...] = ("port", "starboard", "fore", "aft")
FACE_WORDS: dict[SideFace, str] = {"port": "port", "starboard": "starboard", "fore": "fore", "aft": "after"}
WIDE_WASHER_DIAMETERS = 3.5
"""Outside of a wide washer over the bolt's diameter. Common practice."""
HEAVY_ENOUGH = 0.45
"""Ovendry gravity below which a timber is too soft to make new cleats and battens of, if there is oak."""


@dataclass(frozen=True)
class Change:
    """One way to change a stowage: of what kind, and the weight with it made."""

    kind: str
    weight: Weight


Ladder = list[Change]
"""One kind of change in ever stouter sizes."""


@dataclass(frozen=True)
class Stuff:
    """What new pieces are made of: what is already in use there, or oak and galvanised steel."""

    timber: str
    into: str
    metal: str
    member: Member

    def driven(self, screws: Screws, sheared: bool) -> Screws:
        """New fastenings with the part of the boat that is to hold them, as thick and as wide as they want it."""
        placed = screws.model_copy(update={"into": self.into, "member": self.member})
        return placed.model_copy(update=wanted_scantlings(placed, sheared))


def stuff_of(weight: Weight, boat: BoatFile) -> Stuff:
    """The timber and metal most used on this weight; else on the boat; else white oak and galvanised steel."""
    planking = boat.boat.planking.timber if boat.boat.planking is not None else None
    timbers: list[str] = []
    under: list[str] = []
    metals: list[str] = []
    for restraints in (weight.restraint, [r for w in boat.weight for r in w.restraint]):
        blocks = [r for r in restraints if isinstance(r, Cleat | Batten)]
        screws = [r.screws for r in blocks if r.screws is not None]
        timbers += _commonest(r.timber for r in blocks if r.timber != planking and _sound(r.timber))
        under += _commonest(s.into for s in screws if s.into != planking and _sound(s.into))
        metals += _commonest(s.metal for s in screws if s.metal not in ("brass", "naval-brass", "copper"))
    return Stuff(
        timber=(timbers or ["oak-white"])[0],
        into=(under or ["oak-white"])[0],
        metal=(metals or ["galvanised-steel"])[0],
        member=_built_on([*weight.restraint, *(r for w in boat.weight for r in w.restraint)]),
    )


def _built_on(restraints: Iterable[AnyRestraint]) -> Member:
    """The first part of the boat that a cleat or batten stands on and that new ones may stand on too; else a floor."""
    for restraint in restraints:
        if isinstance(restraint, Cleat | Batten) and restraint.screws is not None:
            member = restraint.screws.member
            if member is not None and member not in ("planking", "sole", "landing"):
                return member
    return "floor"


def _commonest(names: Iterable[str | None]) -> list[str]:
    counted = Counter(name for name in names if name is not None)
    return [name for name, _ in counted.most_common(1)]


def _sound(name: str | None) -> bool:
    """True for a solid timber hard enough for new pieces."""
    if name is None:
        return False
    try:
        row = timber(name)
    except UnknownRow:
        return False
    return row.kind != "panel" and row.g_ovendry >= HEAVY_ENOUGH


def size(weight: Weight) -> tuple[float, float, float]:
    """Fore-and-aft, athwartships, height in m; as the check takes it where it is not given."""
    a, b, c = size_of(weight, Notes())
    return float(a), float(b), float(c)


def with_pieces(weight: Weight, pieces: dict[str, AnyRestraint]) -> Weight:
    """The weight with some of its restraints put in place of those of the same id, and others added."""
    have = restraint_ids(weight)
    kept = [pieces.get(name, was) for name, was in zip(have, weight.restraint, strict=True)]
    added = [piece for name, piece in pieces.items() if name not in have]
    return weight.model_copy(update={"restraint": [*kept, *added]})


def without(weight: Weight, gone: list[str]) -> Weight:
    """The weight without some of its restraints; the others keep the ids they had."""
    kept = {name: r for name, r in named(weight).items() if name not in gone}
    fewer = weight.model_copy(update={"restraint": list(kept.values())})
    if restraint_ids(fewer) == list(kept):
        return fewer
    same = [r.model_copy(update={"id": name}) for name, r in kept.items()]
    return weight.model_copy(update={"restraint": same})


def free_id(weight: Weight, wish: str, also: Iterable[str] = ()) -> str:
    """The wished-for id, or the first "-2", "-3" of it that no restraint of the weight has."""
    taken = {*restraint_ids(weight), *also}
    number, name = 1, wish
    while name in taken:
        number += 1
        name = f"{wish}-{number}"
    return name


def ties(weight: Weight) -> list[str]:
    """Ids of its cable ties."""
    return [name for name, r in named(weight).items() if isinstance(r, CableTie)]


def open_sides(weight: Weight) -> list[SideFace]:
    """The sides of a weight that nothing stands against; none where it is bolted or bonded down."""
    if any(isinstance(r, Bolt | Bond) for r in weight.restraint):
        return []
    stopped = {r.face for r in weight.restraint if isinstance(r, Bed | Cleat | Neighbour)}
    return [face for face in SIDES if face not in stopped]


def bedding(weight: Weight) -> list[Ladder]:
    """A bed where there is none; bearers where it bears on planking. Empty where neither is wanted."""
    borne = any(isinstance(r, Bed | Bolt | Bond | Neighbour) and r.face == "bottom" for r in weight.restraint)
    if not borne:
        name = free_id(weight, "bed")
        return [[Change("a bed", with_pieces(weight, {name: Bed(id=name, on="floors")}))]]
    moved: dict[str, AnyRestraint] = {
        name: r.model_copy(update={"on": "floors" if r.face == "bottom" else "frames"})
        for name, r in named(weight).items()
        if isinstance(r, Bed) and r.on == "planking"
    }
    return [[Change("off the planking", with_pieces(weight, moved))]] if moved else []


def larger_bed(weight: Weight, names: list[str], stuff: Stuff) -> list[Ladder]:
    """Beds that are crushed: over the whole face, and of harder timber."""
    have = named(weight)
    whole: dict[str, AnyRestraint] = {}
    hard: dict[str, AnyRestraint] = {}
    for name in names:
        bed = have[name]
        if isinstance(bed, Bed):
            whole[name] = bed.model_copy(update={"size_m": None, "at_m": None})
            hard[name] = whole[name].model_copy(update={"timber": stuff.timber})
    rungs = [Change("a larger bed", with_pieces(weight, pieces)) for pieces in (whole, hard) if pieces]
    return [[r for r in rungs if r.weight != weight]]


def thicker_pad(weight: Weight, names: list[str]) -> list[Ladder]:
    """Pads of the same stuff, thicker by half and twice over."""
    have = named(weight)
    rungs: Ladder = []
    for times in (1.5, 2.0):
        pieces: dict[str, AnyRestraint] = {}
        for name in names:
            bed = have[name]
            if isinstance(bed, Bed) and bed.pad is not None:
                pad = bed.pad.model_copy(update={"thickness_mm": bed.pad.thickness_mm * times})
                pieces[name] = bed.model_copy(update={"pad": pad})
        if pieces:
            rungs.append(Change("a thicker pad", with_pieces(weight, pieces)))
    return [rungs] if rungs else []


def bolts_through(weight: Weight, names: list[str]) -> list[Ladder]:
    """Larger bolts through the weight under wide washers, then four of them."""
    have = named(weight)
    rungs: Ladder = []
    for count in (None, 4):
        for thread in ("M6", "M8", "M10", "M12", "M16"):
            pieces: dict[str, AnyRestraint] = {}
            for name in names:
                bolt = have[name]
                if isinstance(bolt, Bolt):
                    size_now = float((bolt.size or str(assumed("bolt-size").value)).lstrip("Mm"))
                    washer = max(bolt.washer_mm or 0.0, WIDE_WASHER_DIAMETERS * float(thread[1:]))
                    new = bolt.model_copy(
                        update={"size": thread, "count": max(bolt.count, count or 0), "washer_mm": washer}
                    )
                    if float(thread[1:]) >= size_now and new != bolt:
                        pieces[name] = new
            if pieces:
                rungs.append(Change("larger bolts under wide washers", with_pieces(weight, pieces)))
    return [rungs]


def in_planking(screws: Screws, boat: BoatFile) -> bool:
    """True where screws seem to stand in the planking: its timber, and no deeper than it is thick."""
    planking = boat.boat.planking
    if screws.member is not None:
        return screws.member == "planking"
    if planking is None or planking.timber is None or screws.into != planking.timber:
        return False
    return planking.thickness_mm is None or (screws.penetration_mm or 0.0) <= planking.thickness_mm + 0.5
