"""Filling in what the owner has not given.

Every gap is closed with the cautious value of a row in the catalogue's ``assumed`` table, and written down.
An assumption that carries the strength of a restraint is marked as such: a weight that leans on it is never
green. The models that come out have no gaps left that ``contact``, ``lines`` or ``parts`` would fall into.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from secure_load.boat.models import (
    Anchors,
    AnyRestraint,
    Batten,
    Bed,
    BoatParticulars,
    Bolt,
    CableTie,
    Cleat,
    Lashing,
    Screws,
    Strap,
    TopCleat,
    Weight,
    restraint_id,
)
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import line


@dataclass
class Notes:
    """What was assumed about one weight, in order."""

    lines: list[str] = field(default_factory=list[str])
    strength: set[str] = field(default_factory=set[str])
    """Ids of restraints whose strength rests on an assumption."""
    doubts: list[str] = field(default_factory=list[str])
    """What keeps the weight from green, a sentence each: a question left open, or something no shipwright signs."""
    faults: list[str] = field(default_factory=list[str])
    """What makes the weight red whatever its figures are, a sentence each."""

    def add(self, where: str, row: str, text: str | None = None) -> None:
        """Write down that a row of the table was used."""
        entry = assumed(row)
        sentence = f"{where}: {text or f'{entry.name} taken as {entry.text}'}"
        if sentence not in self.lines:
            self.lines.append(sentence)


def size_of(weight: Weight, notes: Notes) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Size (3,) in m; a cube of a likely density where none is given."""
    if weight.size_m is not None:
        return np.array(weight.size_m)
    row = {"ballast": "density-ballast", "battery": "density-battery"}.get(weight.kind, "density-other")
    side = float((weight.mass / assumed(row).number) ** (1.0 / 3.0))
    notes.add("size", row, f"not given; taken as a cube of {side * 1000:.0f} mm ({assumed(row).name})")
    return np.full(3, side)


def filled(weight: Weight, boat: BoatParticulars, notes: Notes) -> list[tuple[str, AnyRestraint]]:
    """(id, restraint without gaps) for each restraint of a weight."""
    size = size_of(weight, notes)
    result: list[tuple[str, AnyRestraint]] = []
    for index, restraint in enumerate(weight.restraint):
        name = restraint_id(weight, index)
        if isinstance(restraint, Bed):
            done: AnyRestraint = _bed(restraint, name, boat, notes)
        elif isinstance(restraint, Cleat):
            done = _cleat(restraint, name, size, boat, notes)
        elif isinstance(restraint, Batten):
            done = _batten(restraint, name, size, boat, notes)
        elif isinstance(restraint, Lashing | Strap):
            done = _line(restraint, name, boat, notes)
        elif isinstance(restraint, CableTie):
            done = _tie(restraint, name, weight, size, notes)
        elif isinstance(restraint, Bolt):
            done = _bolt(restraint, name, boat, notes)
        else:
            done = restraint
        result.append((name, done))
    pending = proposals(weight)
    if pending:
        notes.doubts.append(f"proposed, not built: {listed(pending)}")
    return result


def proposals(weight: Weight) -> list[str]:
    """Ids of the pieces of a weight that are proposals, not yet built."""
    pieces = [restraint_id(weight, index) for index, r in enumerate(weight.restraint) if r.proposed]
    if weight.bundle is not None and any(tie.proposed for tie in weight.bundle.ties):
        pieces.append("ties round the stack")
    return pieces


def listed(names: list[str]) -> str:
    """Names in a sentence: "a, b and c"."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _strength(name: str, given: float | None, notes: Notes) -> None:
    """Mark a restraint as resting on an assumption, unless its strength was given outright."""
    if given is None:
        notes.strength.add(name)


def _timber(name: str, timber: str | None, given: float | None, boat: BoatParticulars, notes: Notes) -> str:
    if timber is not None:
        return timber
    if given is None:
        notes.add(name, "timber")
        _strength(name, given, notes)
    return str(assumed("timber").value)


def _bed(bed: Bed, name: str, boat: BoatParticulars, notes: Notes) -> Bed:
    if bed.friction is not None:
        return bed
    row = "friction-wet" if boat.bilge == "wet" else "friction-dry"
    notes.add(name, row)
    return bed.model_copy(update={"friction": assumed(row).value})


def _cleat(
    cleat: Cleat, name: str, size: np.ndarray[tuple[int], np.dtype[np.float64]], boat: BoatParticulars, notes: Notes
) -> Cleat:
    side = float(size[0] if cleat.face in ("port", "starboard") else size[1])
    update: dict[str, object] = {"timber": _timber(name, cleat.timber, cleat.strength_N, boat, notes)}
    if cleat.length_mm is None:
        update["length_mm"] = side * 1000 * assumed("cleat-length-share").number
        notes.add(name, "cleat-length-share", f"length taken as {update['length_mm']:.0f} mm")
    for key, row in (("height_mm", "cleat-height"), ("depth_mm", "cleat-depth")):
        if getattr(cleat, key) is None:
            update[key] = assumed(row).number
            notes.add(name, row)
            _strength(name, cleat.strength_N, notes)
    height = update.get("height_mm", cleat.height_mm)
    update["screws"] = screws(cleat.screws, name, cleat.strength_N, boat, notes)
    assert isinstance(height, float)
    return cleat.model_copy(update=update)


def _batten(
    batten: Batten, name: str, size: np.ndarray[tuple[int], np.dtype[np.float64]], boat: BoatParticulars, notes: Notes
) -> Batten:
    if isinstance(batten, TopCleat):
        notes.doubts.append(f'{name}: a cleat over the top is taken as a batten across it; write type = "batten"')
        given = {"span_mm": batten.span_mm or batten.length_mm, "width_mm": batten.width_mm or batten.height_mm}
        batten = batten.model_copy(update=given)
    across = float(size[1] if batten.along == "athwartships" else size[0])
    update: dict[str, object] = {"timber": _timber(name, batten.timber, batten.strength_N, boat, notes)}
    if batten.span_mm is None:
        update["span_mm"] = across * 1000 + assumed("batten-overhang").number
        notes.add(name, "batten-overhang", f"span taken as {update['span_mm']:.0f} mm")
        _strength(name, batten.strength_N, notes)
    for key, row in (("width_mm", "batten-width"), ("depth_mm", "batten-depth")):
        if getattr(batten, key) is None:
            update[key] = assumed(row).number
            notes.add(name, row)
            _strength(name, batten.strength_N, notes)
    update["screws"] = screws(batten.screws, name, batten.strength_N, boat, notes)
    return batten.model_copy(update=update)


def screws(given: Screws | None, name: str, strength: float | None, boat: BoatParticulars, notes: Notes) -> Screws:
    """Fastenings without gaps; what is missing is written down."""
    known = given or Screws(count=int(assumed("screw-count").number))
    if strength is not None:
        # the strength was given outright: the fastenings' details are not needed
        quiet = Notes()
        return _screws(known, given is None, name, boat, quiet)
    return _screws(known, given is None, name, boat, notes)


def _screws(known: Screws, unsaid: bool, name: str, boat: BoatParticulars, notes: Notes) -> Screws:
    if unsaid:
        notes.add(name, "screw-count", f"fastenings not given; {known.count} taken")
        notes.strength.add(name)
    update: dict[str, object] = {}
    if known.kind == "wood-screw" and known.gauge is None and known.diameter_mm is None:
        update["gauge"] = int(assumed("screw-gauge").number)
        notes.add(name, "screw-gauge")
        notes.strength.add(name)
    if known.kind != "wood-screw" and known.diameter_mm is None:
        row = "coach-screw-diameter" if known.kind == "coach-screw" else "bolt-diameter"
        update["diameter_mm"] = assumed(row).number
        notes.add(name, row)
        notes.strength.add(name)
    if known.into is None:
        timber = boat.planking.timber if boat.planking and boat.planking.timber else None
        update["into"] = timber or str(assumed("timber").value)
        text = f"timber under the screws not given; taken as {update['into']}"
        notes.add(name, "timber", text)
        notes.strength.add(name)
    if known.metal is None:
        update["metal"] = str(assumed("screw-metal").value)
        notes.add(name, "screw-metal")
        notes.strength.add(name)
    if known.penetration_mm is None:
        notes.add(name, "bolted-thickness" if known.kind == "bolt" else "screw-penetration-diameters")
        notes.strength.add(name)
    if known.kind == "bolt" and known.washer_mm is None:
        notes.add(name, "washer-diameters")
        notes.strength.add(name)
    return known.model_copy(update=update)


def anchors(given: Anchors | None, name: str, boat: BoatParticulars, notes: Notes) -> Anchors:
    """What a line is made fast to, without gaps."""
    known = given or Anchors()
    if known.strength_N is not None:
        return known
    if given is None:
        notes.add(name, "screw-count", "what it is made fast to is not given; a small screwed eye is taken")
        notes.strength.add(name)
    if known.kind == "frame":
        return known
    fastened = known.screws
    if known.kind == "through-bolt" and (fastened is None or fastened.kind != "bolt"):
        # a through-bolt is a bolt whatever its screws were called, one to an eye unless more were written
        was = fastened or Screws()
        fastened = was.model_copy(update={"kind": "bolt", "gauge": None})
    return known.model_copy(update={"screws": screws(fastened, name, None, boat, notes)})


def _line(restraint: Lashing | Strap, name: str, boat: BoatParticulars, notes: Notes) -> Lashing | Strap:
    update: dict[str, object] = {}
    if restraint.line is None:
        update["line"] = str(assumed("line").value)
        if restraint.strength_N is None:
            notes.add(name, "line")
            notes.strength.add(name)
    if restraint.termination is None and restraint.strength_N is None:
        kind = line(str(update.get("line", restraint.line))).kind
        if kind == "rope":
            update["termination"] = str(assumed("termination").value)
            notes.add(name, "termination")
            notes.strength.add(name)
    if restraint.strength_N is None:
        update["anchors"] = anchors(restraint.anchors, name, boat, notes)
    return restraint.model_copy(update=update)


def _tie(
    tie: CableTie, name: str, weight: Weight, size: np.ndarray[tuple[int], np.dtype[np.float64]], notes: Notes
) -> CableTie:
    update: dict[str, object] = {}
    if tie.tie is None:
        update["tie"] = str(assumed("cable-tie").value)
        notes.add(name, "cable-tie")
        notes.strength.add(name)
    x, y, z = weight.at_m
    foot = z - 0.5 * float(size[2])
    if tie.from_m is None:
        update["from_m"] = (x, y + 0.5 * float(size[1]), foot)
    if tie.to_m is None:
        update["to_m"] = (x, y - 0.5 * float(size[1]), foot)
    return tie.model_copy(update=update)


def _bolt(bolt: Bolt, name: str, boat: BoatParticulars, notes: Notes) -> Bolt:
    update: dict[str, object] = {}
    for key, row in (("size", "bolt-size"), ("metal", "bolt-metal"), ("into", "timber")):
        if getattr(bolt, key) is None:
            update[key] = str(assumed(row).value)
            if bolt.strength_N is None:
                notes.add(name, row)
                notes.strength.add(name)
    for key, row in (("thickness_mm", "bolted-thickness"), ("washer_mm", "washer-diameters")):
        if getattr(bolt, key) is None and bolt.strength_N is None:
            notes.add(name, row)
            notes.strength.add(name)
    return bolt.model_copy(update=update)
