"""What new pieces are made of and fastened to, and how a weight's list of restraints is changed.

A piece is screwed only into timber that the owner named on a fastening or a bed of the same weight, or into a bearer
that is proposed with it: never into planking, and never into timber that nobody said is there. In a metal hull, lugs
and flat bars are welded on. Where none of these is possible, nothing is proposed before the owner has looked.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from secure_load.boat.models import AnyRestraint, Batten, Bed, BoatFile, Cleat, Screws, Weight
from secure_load.boat.weights import restraint_ids
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import timber
from secure_load.model.assumptions import Assumptions, box_size
from secure_load.remedies.labour_estimate import by_id, fastenings
from secure_load.remedies.screw_layout import diameter
from secure_load.strength.nds_placing import edge_distance

MM = 1e-3
DEEPEST_MM = 60.0
"""Greatest depth of a new screw in the timber that holds its point: what a floor of a small boat has. Assumption."""
TIMBER_OVER_DEPTH = 4.0 / 3.0
"""A screw goes at most three quarters through the timber that holds it. Common practice."""
BEARER_MM = 80.0
"""Height and width of a new bearer: a 60 mm screw goes three quarters through it. Assumption."""
HARD_ENOUGH = 0.45
"""Ovendry gravity below which a timber is too soft for new pieces, if there is oak. Assumption."""
_SUPPORTS = {"floors": "floor", "keel": "keel", "frames": "frame"}
"""What a bed may lie on, and the member that pieces beside it are screwed into."""
_SOUND = ("floor", "keel", "frame", "stringer", "bearer", "beam", "bulkhead")
"""Members that pieces may be screwed into."""
SOFT_METALS = ("brass", "naval-brass", "copper")
"""Not for new fastenings under load. Common practice."""
_METALS = {"wood": "silicon-bronze", "grp": "A4-70", "steel": "A4-70", "aluminium": "A4-70"}
"""Metal of new fastenings where none is in use that could be gone on with. Common practice."""


@dataclass(frozen=True)
class Change:
    """One way to change a stowage: of what kind, and the weight with it made."""

    kind: str
    weight: Weight


SizeSeries = list[Change]
"""One kind of change in ever stouter sizes, least labour first."""


@dataclass(frozen=True)
class Base:
    """What new pieces are fastened to."""

    kind: Literal["structure", "bearer", "welded"]
    """Timber of the boat that is there; a bearer that is yet to be fitted; a metal hull."""
    member: str
    timber: str
    stock_mm: float | None = None
    """Thickness of that timber, the way the screws go; None where nobody measured it."""
    sided_mm: float | None = None
    """Width of the face that screws are driven into; None where nobody measured it."""

    @property
    def deepest_mm(self) -> float:
        """Greatest depth of a screw in it."""
        if self.stock_mm is None:
            return DEEPEST_MM
        return min(DEEPEST_MM, self.stock_mm / TIMBER_OVER_DEPTH // 5.0 * 5.0)

    @property
    def takes_bolts(self) -> bool:
        """Whether a nut can be got at under it: not under a floor or keel."""
        return self.member in ("bearer", "frame", "stringer", "beam", "bulkhead")


@dataclass(frozen=True)
class Materials:
    """Timber and metal of new pieces, and what they are fastened to."""

    timber: str
    metal: str
    base: Base

    def screws(self, kind: str, size: float, depth_mm: float, *, sheared: bool = False, **more: object) -> Screws:
        """Fastenings of one size into the base; ``size`` is the gauge of a wood screw, else a diameter in mm.

        sheared: pushed sideways, and not only drawn. Where nobody measured the base, the sizes that it must have are
        written down: they are part of the proposal.
        """
        base = self.base
        stock = base.stock_mm or needed_mm(depth_mm)
        made = Screws.model_validate(
            {"kind": kind, "penetration_mm": stock if kind == "bolt" else depth_mm}
            | {"into": base.timber, "metal": self.metal, "member": base.member, "stock_mm": stock}
            | ({"gauge": int(size)} if kind == "wood-screw" else {"diameter_mm": size})
            | more
        )
        return made.model_copy(update={"sided_mm": base.sided_mm or sided_mm(made, sheared)})

    def has_room_for(self, screws: Screws, sheared: bool = False) -> bool:
        """Whether screws keep their distance from the edges of the base, where its width is known."""
        return self.base.sided_mm is None or sided_mm(screws, sheared) <= self.base.sided_mm


def sided_mm(screws: Screws, sheared: bool) -> float:
    """Least width of the timber under screws that stand in its middle, to 5 mm (NDS 2018 Table 12.5.1C)."""
    return _up_to_5(2.0 * edge_distance(diameter(screws), loaded_edge=sheared))


def _up_to_5(value: float) -> float:
    return -(-round(value, 6) // 5.0) * 5.0


def needed_mm(depth_mm: float) -> float:
    """Least thickness of the timber under a screw of some depth, to 5 mm."""
    return _up_to_5(depth_mm * TIMBER_OVER_DEPTH)


def bases(weight: Weight, boat: BoatFile) -> list[Base]:
    """What new pieces of this weight may be fastened to, the first to be tried first; empty where nothing is known."""
    found = _timber_there(weight)[:1]
    if boat.boat.hull in ("steel", "aluminium"):
        return [*found, Base("welded", "frame", "")]
    beds = [r.on for r in weight.restraint if isinstance(r, Bed) and r.face == "bottom"]
    if any(on in _SUPPORTS or on == "planking" for on in beds) or any(b.member in _SUPPORTS.values() for b in found):
        found.append(Base("bearer", "bearer", _timber_of(weight, boat), BEARER_MM, BEARER_MM))
    return found


def _timber_there(weight: Weight) -> list[Base]:
    """Timber that the owner named on this weight's fastenings, thickest first, then on its bed."""
    found = [
        Base("structure", s.member, s.into, s.stock_mm, s.sided_mm)
        for s in fastenings(weight)
        if s.member in _SOUND and s.into is not None
    ]
    found.sort(key=lambda base: -(base.stock_mm or 0.0))
    return found + [
        Base("structure", _SUPPORTS[bed.on], bed.timber)
        for bed in weight.restraint
        if isinstance(bed, Bed) and bed.on in _SUPPORTS and bed.timber is not None
    ]


def materials_of(weight: Weight, boat: BoatFile, base: Base) -> Materials:
    """Timber and metal most used on this weight, else on the boat; else white oak and what her hull calls for."""
    metals = [s.metal for w in (weight, *boat.weight) for s in fastenings(w) if s.metal not in SOFT_METALS]
    return Materials(_timber_of(weight, boat), _commonest(metals) or _METALS[boat.boat.hull], base)


def _timber_of(weight: Weight, boat: BoatFile) -> str:
    for weights in ([weight], boat.weight):
        pieces = [r.timber for w in weights for r in w.restraint if isinstance(r, Cleat | Batten)]
        found = _commonest(name for name in pieces if _hard(name))
        if found is not None:
            return found
    return "oak-white"


def _commonest(names: Iterable[str | None]) -> str | None:
    return next((name for name, _ in Counter(name for name in names if name is not None).most_common(1)), None)


def _hard(name: str | None) -> bool:
    """True for a solid timber hard enough for new pieces."""
    try:
        row = timber(name or "")
    except UnknownRow:
        return False
    return row.kind != "panel" and row.g_ovendry >= HARD_ENOUGH


def size(weight: Weight) -> tuple[float, float, float]:
    """Fore-and-aft, athwartships, height in m; as the check takes it where it is not given."""
    a, b, c = box_size(weight, Assumptions())
    return float(a), float(b), float(c)


def with_pieces(weight: Weight, pieces: dict[str, AnyRestraint]) -> Weight:
    """The weight with some of its restraints put in place of those of the same id, and others added."""
    have = restraint_ids(weight)
    kept = [pieces.get(name, was) for name, was in zip(have, weight.restraint, strict=True)]
    added = [piece for name, piece in pieces.items() if name not in have]
    return weight.model_copy(update={"restraint": [*kept, *added]})


def without(weight: Weight, gone: Iterable[str]) -> Weight:
    """The weight without some of its restraints; the others keep the ids they had."""
    kept = {name: r for name, r in by_id(weight).items() if name not in set(gone)}
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
