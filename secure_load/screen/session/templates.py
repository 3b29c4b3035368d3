"""Starting points: a new weight, a restraint for a face, the same again, the same on the other side.

Only what follows from the weight's size is filled in, and only where the file must hold it (the ends of a line).
Timber, screws and the like stay open, so that they show as assumed and keep the verdict from being better than
what the owner has looked at - unless a like restraint on the same weight already tells them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from secure_load.boat.explain import explain
from secure_load.boat.models import (
    AnyRestraint,
    Batten,
    Bed,
    BoatFile,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Face,
    Ingots,
    Kind,
    Lashing,
    Neighbour,
    SideFace,
    Strap,
    Weight,
)
from secure_load.model.assumptions import Assumptions, box_size

_ASIDE = 0.05
"""How far outside the weight's side a line is first taken to be made fast, m."""
_KINDS: dict[str, Kind] = {
    "pig": "ballast", "ingot": "ballast", "lead": "ballast", "ballast": "ballast", "batter": "battery",
    "accumulator": "battery", "chain": "chain", "anchor": "anchor", "tank": "tank", "water": "tank", "fuel": "tank",
    "gas": "gas", "tool": "tools", "engine": "engine", "motor": "engine", "stores": "stores", "tins": "stores",
}  # fmt: skip
NEAR = 0.05
"""Gap between two weights up to which one is offered to lean on the other, m."""
_FACES_OF_AXIS: tuple[tuple[Face, Face], ...] = (("fore", "aft"), ("port", "starboard"), ("top", "bottom"))
_FACE_WORDS: dict[Face, str] = {
    "fore": "forward end", "aft": "after end", "port": "port side", "starboard": "starboard side",
    "top": "over it", "bottom": "under it",
}  # fmt: skip
_OTHER_SIDE = {"port": "starboard", "starboard": "port"}


@dataclass(frozen=True)
class Choice:
    """One way of holding a weight, as it is offered."""

    id: str
    words: str
    about: str = ""


CHOICES: tuple[Choice, ...] = (
    Choice(
        "usual",
        "the usual stowage",
        "A bed under it, a cleat on each side and a batten over the top, as far as they are not there yet. Timbers, "
        "sizes and fastenings are taken on the cautious side and shown as assumed until you say so.",
    ),
    Choice("bed", "under: bed"),
    Choice("cleat-port", "port side: cleat"),
    Choice("cleat-starboard", "starboard side: cleat"),
    Choice("cleat-fore", "forward end: cleat"),
    Choice("cleat-aft", "after end: cleat"),
    Choice("cleats", "all round: four cleats"),
    Choice("batten", "over the top: batten"),
    Choice("strap", "over the top: strap"),
    Choice("cable_tie", "over the top: cable ties"),
    Choice("lashing-port", "to port: lashing"),
    Choice("lashing-starboard", "to starboard: lashing"),
    Choice("lashing-fore", "forward: lashing"),
    Choice("lashing-aft", "aft: lashing"),
    Choice("bolt", "through the bottom: bolts"),
    Choice("bond", "under: bedded in adhesive"),
    Choice("bed-port", "port side: bears against a bulkhead or side"),
    Choice("bed-starboard", "starboard side: bears against a bulkhead or side"),
    Choice("bed-fore", "forward end: bears against a bulkhead"),
    Choice("bed-aft", "after end: bears against a bulkhead"),
)


def choices_for(weight: Weight, boat: BoatFile) -> list[Choice]:
    """All ways of holding a weight in this boat: also leaning on the weights that stand next to it."""
    return [*CHOICES, *_neighbours(weight, boat)]


def _neighbours(weight: Weight, boat: BoatFile) -> list[Choice]:
    """The other weights that a face of this one touches or nearly touches, the nearest first."""
    leaning = {(r.face, r.weight) for r in weight.restraint if isinstance(r, Neighbour)}
    found: list[tuple[float, Choice]] = []
    half = [0.5 * v for v in _size(weight)]
    for other in boat.weight:
        if other.id == weight.id:
            continue
        reach = [0.5 * v for v in _size(other)]
        apart = [b - a for a, b in zip(weight.at_m, other.at_m, strict=True)]
        gaps = [abs(d) - h - r for d, h, r in zip(apart, half, reach, strict=True)]
        axis = max(range(3), key=lambda n: gaps[n])
        face = _FACES_OF_AXIS[axis][0 if apart[axis] > 0 else 1]
        # beside one another they stand only where they overlap in the other two ways
        if gaps[axis] > NEAR or any(g > -0.001 for n, g in enumerate(gaps) if n != axis):
            continue
        if (face, other.id) not in leaning:
            words = f"{_FACE_WORDS[face]}: leans on {other.title}"
            found.append((abs(gaps[axis]), Choice(f"neighbour-{face}-{other.id}", words)))
    return [choice for _, choice in sorted(found, key=lambda each: each[0])]


def weight_id(name: str, taken: Sequence[str]) -> str:
    """A short name made from what people call the thing, unlike all that are taken."""
    base = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "weight"
    return _free(base, taken)


def _free(base: str, taken: Sequence[str]) -> str:
    number, candidate = 1, base
    while candidate in taken:
        number += 1
        candidate = f"{base}-{number}"
    return candidate


def follows_name(weight: Weight) -> bool:
    """True where the id is the one made from the name, and was not set by the owner."""
    return weight.name is not None and re.sub(r"-\d+$", "", weight.id) == re.sub(
        r"-\d+$", "", weight_id(weight.name, [])
    )


def kind_of(name: str) -> Kind | None:
    """What a thing probably is, from what people call it; None where that does not tell."""
    found: list[Kind] = [kind for word, kind in _KINDS.items() if word in name.lower()]
    return found[0] if found else None


def new_weight(boat: BoatFile, name: str, mass: float | Ingots) -> Weight:
    """A weight with nothing to hold it, amidships on the waterline until its place is given."""
    x = round((boat.boat.lwl_m or 0.0) / 2.0, 2)
    return Weight(
        id=weight_id(name, [w.id for w in boat.weight]),
        name=name,
        kind=kind_of(name),
        mass_kg=None if isinstance(mass, Ingots) else mass,
        ingots=mass if isinstance(mass, Ingots) else None,
        at_m=(x, 0.0, 0.0),
    )


def new_weight_check(name: str, mass: dict[str, Any]) -> None:
    """Raises ValueError, in a sentence, for a name or mass that no weight can have (``mass``: see read_mass)."""
    data = {"id": "new", "name": name, "at_m": (0.0, 0.0, 0.0), **mass}
    boat = {"boat": {"name": "new"}, "weight": [{k: v for k, v in data.items() if v is not None}]}
    if mass.get("mass_kg") is None and mass.get("ingots") is None:
        raise ValueError("Its mass is missing.")
    try:
        BoatFile.model_validate(boat)
    except ValidationError as error:
        problem = explain(error, boat)[0]
        what = "Its name" if problem.path[-1] == "name" else "Its mass"
        raise ValueError(f"{what} {problem.sentence}.") from None


def restraints_for(weight: Weight, choice: str) -> list[AnyRestraint]:
    """What one of ``CHOICES`` adds to a weight, with starting values from its size. Raises KeyError for another."""
    if choice == "usual":
        return _usual(weight)
    if choice.startswith("neighbour-"):
        _, name, other = choice.split("-", 2)
        return [Neighbour(face=face, weight=other) for face in _FACE_WORDS if face == name]
    if choice == "cleats":
        faces: tuple[SideFace, ...] = ("port", "starboard", "fore", "aft")
        there = {r.face for r in weight.restraint if isinstance(r, Cleat)}
        return [_like(weight, Cleat(face=f)) for f in faces if f not in there] or [_like(weight, Cleat(face="port"))]
    kind, _, face = choice.partition("-")
    made = _MAKE[kind](weight, face or "bottom")
    return [_like(weight, made)]


def _usual(weight: Weight) -> list[AnyRestraint]:
    """A bed, a cleat on every side and a batten over the top, as far as they are not there yet.

    Timbers, sizes and fastenings stay open: the form shows what is taken for them, as assumed.
    """
    have = weight.restraint
    made: list[AnyRestraint] = []
    if not any(r.face == "bottom" for r in have if isinstance(r, Bed | Bolt | Bond | Neighbour)):
        made.append(Bed(face="bottom"))
    stopped = {r.face for r in have if isinstance(r, Bed | Cleat | Neighbour)}
    sides: tuple[SideFace, ...] = ("port", "starboard", "fore", "aft")
    made += [Cleat(face=side) for side in sides if side not in stopped]
    if not any(isinstance(r, Batten | Strap) for r in have):
        made.append(Batten())
    return [_like(weight, each) for each in made]


def _ends(weight: Weight) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Where a line over the top is first taken to be made fast: outside either bottom edge."""
    (x, y, z), (_, width, height) = weight.at_m, _size(weight)
    out = width / 2 + _ASIDE
    return _point(x, y + out, z - height / 2), _point(x, y - out, z - height / 2)


def _lashing(weight: Weight, face: str) -> Lashing:
    """From the middle of the upper edge on that side, down and out at 45 degrees to the level of the bottom."""
    (x, y, z), (length, width, height) = weight.at_m, _size(weight)
    ahead, aside = {"port": (0, 1), "starboard": (0, -1), "fore": (1, 0), "aft": (-1, 0)}[face]
    edge = (x + ahead * length / 2, y + aside * width / 2)
    reach = height + _ASIDE
    return Lashing(
        from_m=_point(*edge, z + height / 2),
        to_m=_point(edge[0] + ahead * reach, edge[1] + aside * reach, z - height / 2),
    )


def _bolt(weight: Weight, face: str) -> Bolt:
    return Bolt(face="bottom")


def _strap(weight: Weight, face: str) -> Strap:
    port, starboard = _ends(weight)
    return Strap(from_m=port, to_m=starboard)


def _bed(weight: Weight, face: str) -> Bed:
    faces: dict[str, Face] = {f: f for f in ("bottom", "port", "starboard", "fore", "aft")}  # type: ignore[misc]
    return Bed(face=faces[face])


def _cleat(weight: Weight, face: str) -> Cleat:
    faces: dict[str, SideFace] = {"port": "port", "starboard": "starboard", "fore": "fore", "aft": "aft"}
    return Cleat(face=faces[face])


_MAKE: dict[str, Any] = {
    "bed": _bed,
    "cleat": _cleat,
    "batten": lambda weight, face: Batten(),
    "strap": _strap,
    "cable_tie": lambda weight, face: CableTie(),
    "lashing": _lashing,
    "bolt": _bolt,
    "bond": lambda weight, face: Bond(),
}


def _like(weight: Weight, made: AnyRestraint) -> AnyRestraint:
    """Take over what a like restraint on the same weight says of timber, screws and line; not where it stands."""
    own = {"id", "type", "face", "from_m", "to_m", "at_m", "size_m", "length_mm", "span_mm", "along", "strength_N"}
    own |= {"stiffness_N_per_mm", "on"}
    if isinstance(made, Bed) and made.face != "bottom":
        return made
    twin = next((r for r in reversed(weight.restraint) if type(r) is type(made)), None)
    if twin is None:
        return made
    return made.model_copy(update={k: getattr(twin, k) for k in type(made).model_fields if k not in own})


def _size(weight: Weight) -> tuple[float, float, float]:
    a, b, c = box_size(weight, Assumptions())
    return float(a), float(b), float(c)


def _point(x: float, y: float, z: float) -> tuple[float, float, float]:
    return round(x, 3), round(y, 3), round(z, 3)


def still_as_put(weight: Weight, restraint: AnyRestraint | None = None) -> frozenset[str]:
    """Keys whose place is still the one this module put there from the weight's size, and nobody measured.

    Without ``restraint``: of the weight itself.
    """
    if restraint is None:
        # a weight on the waterline and the middle line to the millimetre was hardly measured
        return frozenset({"at_m"} if weight.at_m[1:] == (0.0, 0.0) else ())
    if isinstance(restraint, Strap):
        likely: list[Strap | Lashing] = [_strap(weight, "")]
    elif isinstance(restraint, Lashing):
        likely = [_lashing(weight, face) for face in ("port", "starboard", "fore", "aft")]
    else:
        return frozenset()
    return frozenset(
        key for key in ("from_m", "to_m") for each in likely if getattr(each, key) == getattr(restraint, key)
    )


# The same again ------------------------------------------------------------------------------------------------


def duplicate(weight: Weight, taken: Sequence[str]) -> Weight:
    """The same weight again, its own length further forward with all that holds it."""
    shift = _size(weight)[0]
    return _moved(weight, lambda p: _point(p[0] + shift, p[1], p[2])).model_copy(
        update={"id": _free(re.sub(r"-\d+$", "", weight.id), taken), "name": _again(weight.name)}
    )


def mirrored(weight: Weight) -> Weight:
    """The weight on the other side of the boat, port turned to starboard in all that holds it."""
    turned = _moved(weight, lambda p: (p[0], -p[1] + 0.0, p[2]))
    restraints: list[AnyRestraint] = []
    for restraint in turned.restraint:
        update: dict[str, Any] = {}
        face = getattr(restraint, "face", None)
        if face in _OTHER_SIDE:
            update["face"] = _OTHER_SIDE[face]
        if restraint.id:
            update["id"] = _swap(restraint.id)
        restraints.append(restraint.model_copy(update=update))
    return turned.model_copy(update={"restraint": restraints})


def other_side(weight: Weight, taken: Sequence[str]) -> Weight:
    """The same again on the other side of the boat, with names to match."""
    twin = mirrored(weight)
    swapped = _swap(weight.id)
    new_id = _free(swapped if swapped != weight.id else re.sub(r"-\d+$", "", weight.id), taken)
    name = weight.name and _swap(weight.name)
    return twin.model_copy(update={"id": new_id, "name": name if name != weight.name else _again(weight.name)})


def _again(name: str | None) -> str | None:
    if name is None:
        return None
    found = re.search(r"^(.*) \((\d+)\)$", name)
    return f"{found[1]} ({int(found[2]) + 1})" if found else f"{name[:190]} (2)"


def _swap(text: str) -> str:
    """Port for starboard and starboard for port, where they stand as words of their own."""

    def turn(found: re.Match[str]) -> str:
        word = _OTHER_SIDE[found[0].lower()]
        return word.capitalize() if found[0][0].isupper() else word

    return re.sub(r"\b(port|starboard)\b", turn, text, flags=re.IGNORECASE)


def _moved(weight: Weight, move: Any) -> Weight:
    """A weight with every place that belongs to it moved alike."""
    restraints = [
        r.model_copy(update={k: move(v) for k in ("at_m", "from_m", "to_m") if (v := getattr(r, k, None)) is not None})
        for r in weight.restraint
    ]
    return weight.model_copy(update={"at_m": move(weight.at_m), "restraint": restraints})
