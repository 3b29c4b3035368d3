"""Filling in what the owner has not given.

Every gap is closed with the cautious value of a row in the catalogue's ``assumed`` table, and written down.
An assumption that carries the strength of a restraint is marked as such: a weight that leans on it is never
green. The models that come out have no gaps left that ``contact``, ``lines`` or ``parts`` would fall into.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

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
    Neighbour,
    Screws,
    Strap,
    TopCleat,
    Weight,
    restraint_id,
)
from secure_load.boat.schema import leans_with_the_hull
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import line
from secure_load.model.body import OUTWARD, rotation
from secure_load.model.members import WHAT, Thrust, look_at
from secure_load.model.motion_words import gathered, listed
from secure_load.model.planking import Boat, particulars_of, planking_slope
from secure_load.model.rules.floors import filled_from_structure, floors_met, in_floors, places_along, structure_of


@dataclass(frozen=True)
class Under:
    """What holds down that which a restraint is screwed to."""

    what: Literal["landing", "sole", "floors"]
    screws: Screws
    """Without gaps."""
    share: float
    """Of all of them, that this restraint may count on."""


@dataclass
class Assumptions:
    """What was assumed about one weight, in order."""

    lines: list[str] = field(default_factory=list[str])
    strength: set[str] = field(default_factory=set[str])
    """Ids of restraints whose strength rests on an assumption."""
    doubts: list[str] = field(default_factory=list[str])
    """What keeps the weight from green, a sentence each: a question left open, or something no shipwright signs."""
    faults: list[str] = field(default_factory=list[str])
    """What makes the weight red whatever its figures are, a sentence each."""
    questions: dict[str, list[str]] = field(default_factory=dict[str, "list[str]"])
    """By restraint, what the owner has yet to say, as the words that follow "say"; they become doubts."""
    under: dict[str, Under] = field(default_factory=dict[str, "Under"])
    """By restraint that is screwed to a landing or to the sole, what holds these."""

    def add(self, where: str, row: str, text: str | None = None) -> None:
        """Write down that a row of the table was used."""
        entry = assumed(row)
        sentence = f"{where}: {text or f'{entry.name} taken as {entry.text}'}"
        if sentence not in self.lines:
            self.lines.append(sentence)

    def ask(self, where: str, what: str) -> None:
        """Ask the owner for what a restraint hangs on."""
        asked = self.questions.setdefault(where, [])
        if what not in asked:
            asked.append(what)

    def guess(self, where: str, row: str, what: str | None, text: str | None = None) -> None:
        """Write down that the strength of a restraint rests on a row of the table; ask for ``what``, if anything."""
        self.add(where, row, text)
        self.strength.add(where)
        if what is not None:
            self.ask(where, what)


def box_size(weight: Weight, notes: Assumptions) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Size (3,) in m; a cube of a likely density where none is given."""
    if weight.size_m is not None:
        return np.array(weight.size_m)
    row = {"ballast": "density-ballast", "battery": "density-battery"}.get(weight.kind or "", "density-other")
    side = float((weight.mass / assumed(row).number) ** (1.0 / 3.0))
    notes.add("size", row, f"not given; taken as a cube of {side * 1000:.0f} mm ({assumed(row).name})")
    notes.ask("size", "how long, broad and high it is")
    return np.full(3, side)


@dataclass
class _Filling:
    """What the gaps of one weight's restraints are closed with."""

    boat: BoatParticulars
    notes: Assumptions
    size: np.ndarray[tuple[int], np.dtype[np.float64]]
    """Of the weight (3,), m."""
    on_sole: bool
    """Whether it lies on the sole."""
    weight: Weight
    lines: Boat
    """The boat with her lines, where she has any."""


def with_defaults(weight: Weight, boat: Boat, notes: Assumptions) -> list[tuple[str, AnyRestraint]]:
    """(id, restraint without gaps) for each restraint of a weight."""
    on_sole = any(isinstance(r, Bed) and r.face == "bottom" and r.on == "sole" for r in weight.restraint)
    gaps = _Filling(particulars_of(boat), notes, box_size(weight, notes), on_sole, weight, boat)
    result: list[tuple[str, AnyRestraint]] = []
    for index, restraint in enumerate(weight.restraint):
        name = restraint_id(weight, index)
        if isinstance(restraint, Bed):
            done: AnyRestraint = _bed(restraint, name, gaps)
        elif isinstance(restraint, Cleat):
            done = _cleat(restraint, name, gaps)
        elif isinstance(restraint, Batten):
            done = _batten(restraint, name, gaps)
        elif isinstance(restraint, Lashing | Strap):
            done = _line(restraint, name, gaps)
        elif isinstance(restraint, CableTie):
            done = _tie(restraint, name, weight, gaps)
        elif isinstance(restraint, Bolt):
            done = _bolt(restraint, name, gaps)
        else:
            done = restraint
        if isinstance(done, Cleat | Batten):
            done, doubts, faults = in_floors(done, places_along(done, weight.at_m[0], float(gaps.size[0])), boat)
            notes.doubts += [f"{name}: {each}" for each in doubts]
            notes.faults += [f"{name}: {each}" for each in faults]
        if weight.shape == "loose" and isinstance(done, Bed | Cleat | Batten | Neighbour):
            done = done.model_copy(update={"friction": 0.0})
        result.append((name, done))
    _share_out_sole(gaps)
    if _hangs_on_floors(weight, result):
        _look_at_floor_bolts(result, gaps)
    notes.doubts += [f"{name}: say {listed(asked)}" for name, asked in notes.questions.items()]
    notes.doubts[:], notes.faults[:] = gathered(notes.doubts), gathered(notes.faults)
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


def _bed(bed: Bed, name: str, gaps: _Filling) -> Bed:
    update: dict[str, object] = {}
    if bed.on is None:
        gaps.notes.ask(name, "what carries it (floors, keel, frames, sole, bulkhead or planking)")
    elif bed.on == "wedge":
        gaps.notes.doubts.append(f"{name}: a wedge works loose: fasten it, and enter it as a cleat with its slope_deg")
    if bed.slope_deg is None and (bed.edge is not None or leans_with_the_hull(bed.on, bed.face)):
        update["slope_deg"] = _slope_of(bed, name, gaps)
    if bed.friction is None:
        row = "friction-wet" if gaps.boat.bilge == "wet" else "friction-dry"
        gaps.notes.add(name, row)
        update["friction"] = assumed(row).value
    if bed.timber is None and gaps.boat.hull not in ("steel", "aluminium"):
        planking = gaps.boat.planking
        if bed.on == "planking" and planking is not None and planking.timber is not None:
            update["timber"] = planking.timber
        else:
            gaps.notes.add(name, "timber")
            gaps.notes.strength.add(name)
            update["timber"] = str(assumed("timber").value)
    return bed.model_copy(update=update)


def _slope_of(bed: Bed, name: str, gaps: _Filling) -> float:
    """Degrees by which what an edge or side of the weight rests on rises away from it, where that is not said."""
    axis, sign = OUTWARD[bed.face if bed.edge is None else bed.edge.removeprefix("bottom-")]  # type: ignore[index]
    size = gaps.size / 2.0
    edge = np.array(gaps.weight.at_m) + sign * rotation(gaps.weight.slope_deg)[:, axis] * size[axis]
    found = None
    if bed.on in ("planking", "frames"):
        x, y = edge[:2].tolist() if bed.at_m is None else bed.at_m[:2]
        found = planking_slope(gaps.lines, x, y, fore_and_aft=axis == 0)
        if found is not None:
            rises = found[0] * sign * (1.0 if axis == 0 else float(np.sign(y)))
            gaps.notes.lines.append(f"{name}: the planking rises {rises:.0f} degrees there, {found[1]}")
            return rises
    what = "the planking" if bed.on == "planking" else "what it rests on"
    gaps.notes.ask(name, f"how steep {what} is there (slope_deg; 90 is upright)")
    if bed.edge is None and bed.on in ("frames", "floors"):
        return 90.0
    gaps.notes.add(name, "planking-slope-least")
    return assumed("planking-slope-least").number


def _hangs_on_floors(weight: Weight, pieces: list[tuple[str, AnyRestraint]]) -> bool:
    """Whether a weight is so heavy that the floors it is held down to are asked about."""
    down = any(isinstance(p, Batten) and p.screws is not None and p.screws.member == "floor" for _, p in pieces)
    return down and weight.kind == "ballast" and weight.mass > assumed("heavy-ballast").number


def _look_at_floor_bolts(pieces: list[tuple[str, AnyRestraint]], gaps: _Filling) -> None:
    """What holds the floors down to the keel, for what is held down to the floors: upside down it all hangs on that."""
    structure = structure_of(gaps.lines)
    bolts = None if structure is None or structure.floors is None else structure.floors.bolts
    if bolts is None:
        gaps.notes.ask("the floors", "what holds each of them down to the keel (bolts of [structure] floors)")
        return
    own = replace(gaps, notes=Assumptions(), on_sole=False)
    whole = _screws(bolts, "floor bolts", None, "none", own)
    _carry_over(own.notes, "the floors", gaps.notes)
    battens = [(n, p) for n, p in pieces if isinstance(p, Batten) and p.screws and p.screws.member == "floor"]
    for name, batten in battens:
        met = floors_met(gaps.lines, places_along(batten, gaps.weight.at_m[0], float(gaps.size[0])))
        floors = met.floors if met is not None and met.floors else 1
        # how the pull is shared by battens on the same floors is not known: they are taken to have equal shares
        gaps.notes.under[name] = Under("floors", whole, floors / len(battens))


def _timber(piece: Cleat | Batten, name: str, gaps: _Filling) -> str:
    if piece.timber is None and piece.strength_N is None:
        gaps.notes.guess(name, "timber", "its timber")
    return piece.timber or str(assumed("timber").value)


def _cleat(cleat: Cleat, name: str, gaps: _Filling) -> Cleat:
    across = cleat.face in ("port", "starboard")
    update: dict[str, object] = {"timber": _timber(cleat, name, gaps)}
    if cleat.length_mm is None:
        length = float(gaps.size[0 if across else 1]) * 1000 * assumed("cleat-length-share").number
        update["length_mm"] = length
        gaps.notes.guess(name, "cleat-length-share", "its length", f"length taken as {length:.0f} mm")
    if cleat.height_mm is None:
        update["height_mm"] = assumed("cleat-height").number
        gaps.notes.guess(name, "cleat-height", "its height")
    if cleat.depth_mm is None:
        update["depth_mm"] = assumed("cleat-depth").number
        if cleat.strength_N is None:
            gaps.notes.guess(name, "cleat-depth", "its thickness")
    update["screws"] = _screws(cleat.screws, name, cleat.strength_N, "athwartships" if across else "fore-and-aft", gaps)
    return cleat.model_copy(update=update)


def _batten(batten: Batten, name: str, gaps: _Filling) -> Batten:
    if isinstance(batten, TopCleat):
        gaps.notes.doubts.append(f'{name}: a cleat over the top is taken as a batten across it; write type = "batten"')
        given = {"span_mm": batten.span_mm or batten.length_mm, "width_mm": batten.width_mm or batten.height_mm}
        batten = batten.model_copy(update=given)
    across = float(gaps.size[1] if batten.along == "athwartships" else gaps.size[0])
    update: dict[str, object] = {"timber": _timber(batten, name, gaps)}
    if batten.span_mm is None:
        update["span_mm"] = across * 1000 + assumed("batten-overhang").number
        gaps.notes.guess(name, "batten-overhang", "its span", f"span taken as {update['span_mm']:.0f} mm")
    if batten.width_mm is None:
        update["width_mm"] = assumed("batten-width").number
        gaps.notes.guess(name, "batten-width", "its width")
    if batten.depth_mm is None:
        update["depth_mm"] = assumed("batten-depth").number
        if batten.strength_N is None:
            gaps.notes.guess(name, "batten-depth", "its thickness")
    update["screws"] = _screws(batten.screws, name, batten.strength_N, "none", gaps)
    if batten.screws is not None and batten.screws.member == "landing":
        if batten.landing is None:
            gaps.notes.ask(name, "how the landings of its ends are fastened (landing)")
        else:
            landing = replace(gaps, notes=Assumptions())
            gaps.notes.under[name] = Under("landing", _screws(batten.landing, "landing", None, "none", landing), 1.0)
            _carry_over(landing.notes, f"{name}, its landings", gaps.notes)
    return batten.model_copy(update=update)


def _carry_over(own: Assumptions, called: str, notes: Assumptions) -> None:
    """What was found of the fastenings of a landing, under the name of what stands on it."""
    notes.lines += [f"{called}: {line.partition(': ')[2]}" for line in own.lines]
    notes.doubts += [f"{called}: {doubt.partition(': ')[2]}" for doubt in own.doubts]
    notes.faults += [f"{called}: {fault.partition(': ')[2]}" for fault in own.faults]
    for asked in own.questions.values():
        for what in asked:
            notes.ask(called, what)


def _screws(given: Screws | None, name: str, strength: float | None, thrust: Thrust, gaps: _Filling) -> Screws:
    """Fastenings without gaps; what is missing is written down and asked for.

    strength: of their restraint, N, where it was given outright. What they are is then not asked for; what they go
    into is, for screws that come through the bottom do so however strong they are.
    """
    # what is not known of fastenings whose strength is given is nobody's concern
    notes = gaps.notes if strength is None else Assumptions()
    known = filled_from_structure(given or Screws(count=int(assumed("screw-count").number)), gaps.lines)
    update: dict[str, object] = {}
    if given is None:
        notes.guess(
            name,
            "screw-count",
            "its fastenings: kind, size, number, metal, how deep they go and into what",
            f"fastenings not given; {known.count} taken",
        )

    def guess(row: str, what: str, text: str | None = None) -> None:
        notes.guess(name, row, None if given is None else what, text)

    if known.kind == "wood-screw" and known.gauge is None and known.diameter_mm is None:
        update["gauge"] = int(assumed("screw-gauge").number)
        guess("screw-gauge", "the gauge of its screws")
    if known.kind != "wood-screw" and known.diameter_mm is None:
        row = "coach-screw-diameter" if known.kind == "coach-screw" else "bolt-diameter"
        update["diameter_mm"] = assumed(row).number
        guess(row, "the diameter of its fastenings")
    if known.into is None:
        update["into"] = str(assumed("timber").value)
        text = f"timber under the screws not given; taken as {update['into']}"
        guess("timber", "the timber under its screws", text)
    if known.metal is None:
        update["metal"] = str(assumed("screw-metal").value)
        guess("screw-metal", "the metal of its screws")
    if known.penetration_mm is None and known.kind == "bolt":
        guess("bolted-thickness", "how thick the timber is that its bolts go through")
    elif known.penetration_mm is None:
        guess("screw-penetration-diameters", "how deep its screws go")
    if known.kind == "bolt" and known.washer_mm is None:
        guess("washer-diameters", "its washers")
    screws = known.model_copy(update=update)
    if given is not None:
        _look_at_member(screws, name, thrust, gaps)
    return screws


def _look_at_member(screws: Screws, name: str, thrust: Thrust, gaps: _Filling) -> None:
    """What part of the boat holds some fastenings, and what follows from it."""
    found = look_at(screws, thrust, gaps.boat, gaps.on_sole)
    for what in found.questions:
        gaps.notes.ask(name, what)
    gaps.notes.doubts += [f"{name}: {each}" for each in found.doubts]
    gaps.notes.faults += [f"{name}: {each}" for each in found.faults]
    if screws.member == "landing" and thrust != "none":
        gaps.notes.doubts.append(f"{name}: a landing holds what its own fastenings hold, and these are not checked")
    if screws.member == "sole":
        sole = gaps.boat.sole
        if sole is None or sole.screws is None:
            gaps.notes.ask(name, "how the boards of her sole are screwed down, under [boat]; loose boards hold nothing")
        else:
            gaps.notes.under[name] = Under("sole", sole.screws, 1.0)


def _share_out_sole(gaps: _Filling) -> None:
    """Close the gaps of the sole's fastenings and give each piece that is screwed to it an equal share of them."""
    sole = gaps.boat.sole
    if sole is None or sole.screws is None:
        return
    pieces = [name for name, under in gaps.notes.under.items() if under.what == "sole"]
    if not pieces:
        return
    own = replace(gaps, notes=Assumptions(), on_sole=False)
    whole = _screws(sole.screws, "sole", None, "none", own)
    _carry_over(own.notes, "the sole", gaps.notes)
    for name in pieces:
        gaps.notes.under[name] = Under("sole", whole, 1.0 / len(pieces))


def _anchors(given: Anchors | None, name: str, strength: float | None, gaps: _Filling) -> Anchors:
    """What a line is made fast to, without gaps. strength: of the whole line, N, where it was given outright."""
    known = given or Anchors()
    strength = known.strength_N if strength is None else strength
    if given is None and strength is None:
        gaps.notes.guess(
            name,
            "screw-count",
            "what it is made fast to",
            "what it is made fast to is not given; a small screwed eye is taken",
        )
    if known.kind == "frame" or (strength is not None and known.screws is None):
        return known
    fastened = known.screws
    if known.kind == "through-bolt" and (fastened is None or fastened.kind != "bolt"):
        # a through-bolt is a bolt whatever its screws were called, one to an eye unless more were written
        was = fastened or Screws()
        fastened = was.model_copy(update={"kind": "bolt", "gauge": None})
    return known.model_copy(update={"screws": _screws(fastened, name, strength, "none", gaps)})


def _line(restraint: Lashing | Strap, name: str, gaps: _Filling) -> Lashing | Strap:
    notes = gaps.notes if restraint.strength_N is None else Assumptions()
    update: dict[str, object] = {}
    if restraint.line is None:
        update["line"] = str(assumed("line").value)
        notes.guess(name, "line", "what line it is")
    if restraint.termination is None and line(str(update.get("line", restraint.line))).kind == "rope":
        update["termination"] = str(assumed("termination").value)
        notes.guess(name, "termination", "the knot or splice at its ends")
    if restraint.strength_N is None or restraint.anchors is not None:
        update["anchors"] = _anchors(restraint.anchors, name, restraint.strength_N, gaps)
    return restraint.model_copy(update=update)


def _tie(tie: CableTie, name: str, weight: Weight, gaps: _Filling) -> CableTie:
    update: dict[str, object] = {}
    if tie.tie is None:
        update["tie"] = str(assumed("cable-tie").value)
        gaps.notes.guess(name, "cable-tie", "the class of tie")
    for key, side in (("from_m", 0.5), ("to_m", -0.5)):
        if getattr(tie, key) is None:
            foot = rotation(weight.slope_deg) @ (gaps.size * np.array([0.0, side, -0.5]))
            update[key] = tuple((np.array(weight.at_m) + foot).tolist())
    return tie.model_copy(update=update)


def _bolt(bolt: Bolt, name: str, gaps: _Filling) -> Bolt:
    notes = gaps.notes if bolt.strength_N is None else Assumptions()
    update: dict[str, object] = {}
    for key, row, what in (
        ("size", "bolt-size", "the thread of its bolts"),
        ("metal", "bolt-metal", "the metal of its bolts"),
        ("into", "timber", "the timber they go through"),
    ):
        if getattr(bolt, key) is None:
            update[key] = str(assumed(row).value)
            notes.guess(name, row, what)
    for key, row, what in (
        ("thickness_mm", "bolted-thickness", "how thick that timber is"),
        ("washer_mm", "washer-diameters", "its washers"),
    ):
        if getattr(bolt, key) is None:
            notes.guess(name, row, what)
    if bolt.member is None:
        notes.ask(name, WHAT)
    elif bolt.member == "planking":
        gaps.notes.doubts.append(f"{name}: it is fastened into planking: fasten it into floors, keel or frames")
    return bolt.model_copy(update=update)
