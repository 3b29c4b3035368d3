"""A restraint in words from which a second person could rebuild it.

Only what the owner wrote is described; what he left out is said to be left out, and what was assumed in its
place stands in the verdict's own list. Every row of the catalogue that is named is kept for the list of sources.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from secure_load.boat.models import (
    Anchors,
    AnyRestraint,
    Batten,
    Bed,
    BoatParticulars,
    Bolt,
    Bond,
    Bundle,
    CableTie,
    Cleat,
    Lashing,
    Neighbour,
    Pad,
    Planking,
    Screws,
    SharedBatten,
    SharedCleat,
    Strap,
    Weight,
    restraint_ids,
)
from secure_load.catalogue import lookup
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.rows import Row
from secure_load.model.motion_words import listed
from secure_load.model.rules.loose_ingots import stack_words
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import count, mass, position

_SIDE = {
    "bottom": "its bottom",
    "top": "its top",
    "port": "its port side",
    "starboard": "its starboard side",
    "fore": "its fore side",
    "aft": "its after side",
}
_ANCHOR = {
    "eye": "an eye",
    "pad-eye": "a pad eye",
    "through-bolt": "a bolt right through",
    "frame": "a turn round a frame or floor",
}
_SCREW = {"wood-screw": "wood screw", "coach-screw": "coach screw", "bolt": "bolt"}


@dataclass
class Sources:
    """Rows of the catalogue that were named, in the order they were."""

    rows: dict[tuple[str, str], Row] = field(default_factory=dict[tuple[str, str], Row])

    def name(self, what: str, asked: str, find: Callable[[str], Row]) -> str:
        """A row's name; the row is kept among the sources.

        A name that only leads to a row stands before it, for the figures are not quite those of what is aboard.
        """
        try:
            row = find(asked)
        except UnknownRow:
            return f"{plain(asked)} (not in the catalogue)"
        said = self.keep(what, row)
        return said if asked.casefold() == row.id.casefold() else f"{plain(asked)} taken as {said}"

    def keep(self, what: str, row: Row) -> str:
        """A row's name; the row is kept."""
        self.rows.setdefault((what, row.id), row)
        return row.name


def particulars(boat: BoatParticulars, sources: Sources) -> list[tuple[str, str]]:
    """What is known of the boat herself: labels and words."""
    said = [("Boat", plain(boat.name) + (f", {plain(boat.rig)}" if boat.rig else ""))]
    size = [
        f"{value:{form}} {words}"
        for value, form, words in (
            (boat.lwl_m, ".2f", "m on the waterline"),
            (boat.bwl_m, ".2f", "m broad on the waterline"),
            (boat.displacement_kg, ".0f", "kg without these weights"),
        )
        if value is not None
    ]
    if size:
        said.append(("", "; ".join(size)))
    if boat.planking is not None:
        said.append(("Planking", _planking(boat.planking, sources)))
    if boat.hull != "wood":
        said.append(("Hull", boat.hull))
    if boat.trailered:
        said.append(("Carried", "on a trailer by road"))
    said.append(("Bilge", f"{boat.bilge}: what the fastenings below the sole live in"))
    return said


def _planking(planking: Planking, sources: Sources) -> str:
    said = [sources.name("timber", planking.timber, lookup.timber) if planking.timber else "timber not given"]
    if planking.thickness_mm is not None:
        said.append(f"{planking.thickness_mm:g} mm thick")
    if planking.frame_spacing_mm is not None:
        said.append(f"frames {planking.frame_spacing_mm:g} mm apart")
    return ", ".join(said)


def mass_words(weight: Weight) -> str:
    """A weight's mass, of what it is made up, and whether it was weighed."""
    pieces = ""
    if weight.ingots is not None:
        pieces = f", {count(weight.ingots.count, 'ingot')} of {mass(weight.ingots.each_kg)} kg"
    weighed = "weighed" if weight.measured else "not weighed: as entered"
    return f"{mass(weight.mass)} kg{pieces} ({weighed})"


def bundle_words(bundle: Bundle, sources: Sources) -> str:
    """How the ingots lie and what goes round them."""
    said = [stack_words(bundle)]
    for tie in bundle.ties:
        made = "a tie not given"
        if tie.tie is not None:
            made = sources.name("cable tie", tie.tie, lookup.cable_tie)
        elif tie.line is not None:
            made = sources.name("line", tie.line, lookup.line)
        way = {"level": "round the sides"}.get(tie.around, f"over the top, {tie.around}")
        tight = f", set up to {tie.tension_N:g} N" if tie.tension_N else ""
        given = f", working strength {tie.strength_N:g} N given by the owner" if tie.strength_N is not None else ""
        unbuilt = ", proposed, not fitted yet" if tie.proposed else ""
        said.append(f"{tie.count} x {made} {way}{tight}{given}{unbuilt}")
    if not bundle.ties:
        said.append("nothing goes round them")
    said.extend(_friction(bundle.friction, sources, ""))
    return "; ".join(said)


def restraint_words(restraint: AnyRestraint, weight: Weight, sources: Sources) -> str:
    """One restraint in sentences."""
    match restraint:
        case Bed():
            said = _bed(restraint, sources)
        case Cleat():
            said = _cleat(restraint, sources)
        case Batten():
            said = _batten(restraint, sources)
        case Lashing() | Strap():
            said = _line(restraint, sources)
        case CableTie():
            said = _tie(restraint, sources)
        case Bolt():
            said = _bolt(restraint, sources)
        case Bond():
            said = _bond(restraint)
        case Neighbour():
            said = [f"Leans with {_SIDE[restraint.face]} against the weight '{plain(restraint.weight)}'"]
            said.extend(_friction(restraint.friction, sources, "no friction counted"))
    sentences = ["; ".join(said)]
    if isinstance(restraint, SharedBatten | SharedCleat):
        others = [plain(name) for name in restraint.over if name != weight.id]
        sentences.append(f"One piece with {listed(others)}: its strength counts once for all")
    if restraint.proposed:
        sentences.insert(0, "Proposed, not built")
    if restraint.strength_N is not None:
        sentences.append(f"Working strength {restraint.strength_N:g} N, given by the owner and used as it is")
    if restraint.slack_mm:
        sentences.append(f"{restraint.slack_mm:g} mm of slack before it takes up")
    if restraint.stiffness_N_per_mm is not None:
        sentences.append(f"Stiffness {restraint.stiffness_N_per_mm:g} N/mm, given by the owner")
    return ". ".join(sentences) + "."


MOST_DIFFERENT = 2
"""Clauses in which a restraint may differ from another of its kind, to be told as that other with these clauses."""


def all_restraint_words(weight: Weight, sources: Sources) -> list[str]:
    """Every restraint of a weight in sentences; of one nearly like an earlier one only what differs."""
    said: list[str] = []
    whole: list[tuple[str, str, list[str]]] = []
    for name, restraint in zip(restraint_ids(weight), weight.restraint, strict=True):
        words = restraint_words(restraint, weight, sources)
        clauses = words.split("; ")
        different = None
        for kind, like, others in whole:
            if kind == restraint.type and len(others) == len(clauses) > MOST_DIFFERENT + 1:
                found = [own for own, other in zip(clauses, others, strict=True) if own != other]
                if len(found) <= MOST_DIFFERENT:
                    what = "; ".join(found) or "alike"
                    different = f"As {plain(like)}: {what[0].lower()}{what[1:]}".rstrip(".") + "."
                    break
        if different is None:
            whole.append((restraint.type, name, clauses))
        said.append(different or words)
    return said


def _bed(bed: Bed, sources: Sources) -> list[str]:
    where = "Bed under its bottom" if bed.face == "bottom" else f"Bed against {_SIDE[bed.face]}"
    if bed.edge is not None:
        where = f"Under its lower {bed.edge.removeprefix('bottom-').replace('aft', 'after')} edge"
    said = [where]
    if bed.slope_deg:
        said.append(f"a surface that rises {bed.slope_deg:.3g} degrees away from it")
    if bed.edge is not None and bed.size_m is None:
        pass
    elif bed.size_m is not None:
        said.append(f"bearing {_mm(bed.size_m[0])} x {_mm(bed.size_m[1])} mm")
    else:
        said.append("over the whole face")
    if bed.at_m is not None:
        said.append(f"centred {position(bed.at_m)}")
    if bed.on is not None:
        said.append(f"carried by the {bed.on}")
    if bed.timber is not None:
        said.append(f"timber: {sources.name('timber', bed.timber, lookup.timber)}")
    said.extend(_pad(bed.pad, sources))
    said.extend(_friction(bed.friction, sources, "friction not given"))
    return said


def _pad(pad: Pad | None, sources: Sources) -> list[str]:
    if pad is None:
        return []
    return [f"on a pad of {sources.name('pad', pad.material, lookup.pad)}, {pad.thickness_mm:g} mm thick"]


def _friction(pair: float | str | None, sources: Sources, otherwise: str) -> list[str]:
    if pair is None:
        return [otherwise]
    if not isinstance(pair, str):
        return [f"friction {pair:g}, as given"]
    try:
        row = lookup.friction(pair)
    except UnknownRow:
        return [f"friction of '{plain(pair)}' (not in the catalogue)"]
    return [f"friction of {sources.keep('friction pair', row)}: {row.low:g} to {row.high:g}"]


def _timber(timber: str | None, sources: Sources) -> str:
    return f"of {sources.name('timber', timber, lookup.timber)}" if timber else "timber not given"


def _cleat(cleat: Cleat, sources: Sources) -> list[str]:
    foot = f"its foot {position(cleat.at_m)}" if cleat.at_m else "its foot at the middle of the weight's bottom edge"
    return [
        f"Cleat against {_SIDE[cleat.face]}, {_timber(cleat.timber, sources)}",
        _size(cleat.length_mm, "long", cleat.height_mm, "high", cleat.depth_mm, "thick in the direction of the thrust"),
        *([f"its face cut to {cleat.slope_deg:.3g} degrees from level"] if cleat.slope_deg else []),
        foot,
        *_screws(cleat.screws, sources),
        *([] if cleat.friction is None else _friction(cleat.friction, sources, "")),
    ]


def _batten(batten: Batten, sources: Sources) -> list[str]:
    where = f"its middle {position(batten.at_m)}" if batten.at_m else "across the middle of the top"
    return [
        f"Batten over the top, {batten.along}, {_timber(batten.timber, sources)}",
        _size(batten.span_mm, "between its fastened ends", batten.width_mm, "wide", batten.depth_mm, "thick"),
        where,
        *_screws(batten.screws, sources, "shared between its two ends"),
        *([] if batten.friction is None else _friction(batten.friction, sources, "")),
    ]


def _size(*pairs: float | str | None) -> str:
    return ", ".join(
        f"{value:g} mm {words}" if value is not None else f"(not given) {words}"
        for value, words in zip(pairs[::2], pairs[1::2], strict=True)
    )


def _screws(screws: Screws | None, sources: Sources, shared: str = "") -> list[str]:
    if screws is None:
        return ["fastenings not given"]
    what = _SCREW[screws.kind] + ("" if screws.count == 1 else "s")
    said = [f"fastened with {screws.count} {what} {_screw_size(screws, sources)}"]
    if screws.metal is not None:
        said.append(f"of {sources.name('metal', screws.metal, lookup.metal)}")
    else:
        said.append("metal not given")
    if shared:
        said.append(shared)
    if screws.kind == "bolt":
        depth = f"through {screws.penetration_mm:g} mm" if screws.penetration_mm is not None else "through"
    else:
        depth = f"thread {screws.penetration_mm:g} mm deep" if screws.penetration_mm is not None else "depth not given"
    into = sources.name("timber", screws.into, lookup.timber) if screws.into else "a timber not given"
    said.append(f"{depth} {'' if screws.kind == 'bolt' else 'into '}{into}")
    if screws.end_grain:
        said.append("driven into end grain")
    if screws.washer_mm is not None:
        said.append(f"washers {screws.washer_mm:g} mm across")
    return [", ".join(said)]


def _screw_size(screws: Screws, sources: Sources) -> str:
    try:
        if screws.gauge is not None:
            sources.keep("fastening", lookup.wood_screw(screws.gauge))
            return f"No {screws.gauge}"
        if screws.diameter_mm is not None:
            find = {
                "wood-screw": lookup.metric_screw,
                "coach-screw": lookup.coach_screw,
                "bolt": lookup.bolt_of_diameter,
            }
            sources.keep("fastening", find[screws.kind](screws.diameter_mm))
            return f"of {screws.diameter_mm:g} mm"
    except UnknownRow:
        return f"of {screws.diameter_mm:g} mm" if screws.diameter_mm is not None else f"No {screws.gauge}"
    return "of a size not given"


def _line(line: Lashing | Strap, sources: Sources) -> list[str]:
    parts = f"{line.turns} parts of " if line.turns > 1 else ""
    made = sources.name("line", line.line, lookup.line) if line.line else "a line not given"
    if isinstance(line, Lashing):
        said = [
            f"Lashing: {parts}{made}",
            f"from the weight, {position(line.from_m)}, to the boat, {position(line.to_m)}",
        ]
    else:
        said = [
            f"Strap over the top: {parts}{made}",
            f"made fast to the boat at one end {position(line.from_m)}, at the other {position(line.to_m)}",
        ]
    if line.termination is not None:
        said.append(f"ends: {sources.name('knot or end', line.termination, lookup.termination)}")
    else:
        said.append("knot or end not given")
    if line.shackle is not None:
        said.append(f"with {sources.name('shackle', line.shackle, lookup.shackle)} in it")
    loss = f", of which {100 * line.tension_loss:g} % may be lost" if line.tension_loss and line.tension_N else ""
    said.append(f"set up to {line.tension_N:g} N{loss}" if line.tension_N else "no tension counted on")
    said.extend(_anchors(line.anchors, sources, each="at each end " if isinstance(line, Strap) else ""))
    return said


def _anchors(anchors: Anchors | None, sources: Sources, each: str) -> list[str]:
    if anchors is None:
        return ["what it is made fast to is not given"]
    said = f"made fast {each}to {_ANCHOR[anchors.kind]}"
    if anchors.strength_N is not None:
        said += f" of {anchors.strength_N:g} N working strength, given by the owner"
    if anchors.kind == "frame" and anchors.screws is None:
        return [said]
    return [said, *(_screws(anchors.screws, sources) if anchors.screws or anchors.strength_N is None else [])]


def _tie(tie: CableTie, sources: Sources) -> list[str]:
    made = sources.name("cable tie", tie.tie, lookup.cable_tie) if tie.tie else "class not given"
    ends = [
        f"{'one' if side == 'port' else 'other'} end "
        + (position(at) if at is not None else f"beside the bottom edge to {side}")
        for at, side in ((tie.from_m, "port"), (tie.to_m, "starboard"))
    ]
    return [f"{tie.count} cable {'tie' if tie.count == 1 else 'ties'} over the top: {made}", *ends]


def _bolt(bolt: Bolt, sources: Sources) -> list[str]:
    size = sources.name("bolt", bolt.size, lookup.bolt) if bolt.size else "of a size not given"
    metal = f"of {sources.name('metal', bolt.metal, lookup.metal)}" if bolt.metal else "metal not given"
    into = sources.name("timber", bolt.into, lookup.timber) if bolt.into else "a timber not given"
    thick = f"{bolt.thickness_mm:g} mm of " if bolt.thickness_mm is not None else ""
    return [
        f"{bolt.count} x {size}, {metal}, right through the weight and out of {_SIDE[bolt.face]}",
        f"through {thick}{into}",
        f"washers {bolt.washer_mm:g} mm across" if bolt.washer_mm is not None else "washers not given",
        f"in a row about {position(bolt.at_m)}" if bolt.at_m else "in a row along the middle of the face",
    ]


def _bond(bond: Bond) -> list[str]:
    said = [f"Bedded on {_SIDE[bond.face]} in {plain(bond.adhesive) if bond.adhesive else 'an adhesive not given'}"]
    if bond.size_m is not None:
        said.append(f"patch {_mm(bond.size_m[0])} x {_mm(bond.size_m[1])} mm")
    if bond.at_m is not None:
        said.append(f"centred {position(bond.at_m)}")
    return said


def _mm(metres: float) -> str:
    return f"{1000 * metres:.0f}"


def size_words(weight: Weight) -> str:
    """The box a weight takes up, its shape, and how it lies."""
    if weight.size_m is None:
        said = ["not given"]
    else:
        a, b, c = (_mm(s) for s in weight.size_m)
        said = [f"{a} mm fore and aft, {b} mm athwartships, {c} mm high"]
    if weight.shape is not None and weight.shape != "box":
        top = f", its top {_mm(weight.top_size_m[0])} x {_mm(weight.top_size_m[1])} mm" if weight.top_size_m else ""
        said.append(f"{_SHAPE[weight.shape]}{top}")
    if weight.cg_m is not None:
        said.append(
            f"its centre of gravity {', '.join(_mm(v) for v in weight.cg_m)} mm from its middle (forward, port, up)"
        )
    lies = weight.slope_deg
    for degrees, ends in (
        ((lies.fore_and_aft, ("fore end", "after end")), (lies.athwartships, ("port side", "starboard side")))
        if lies
        else ()
    ):
        if degrees:
            said.append(f"its {ends[0 if degrees > 0.0 else 1]} {abs(degrees):.3g} degrees the higher")
    if lies and lies.turned:
        said.append(f"turned {abs(lies.turned):.3g} degrees to {'port' if lies.turned > 0.0 else 'starboard'}")
    return "; ".join(said)


_SHAPE = {
    "ingot": "a tapered ingot",
    "cylinder-upright": "a cylinder standing upright",
    "cylinder-lying": "a cylinder lying along its length",
    "loose": "a loose heap",
}


def factor_words() -> str:
    """Where the codes' factors are to be read, and how many of them were not seen in print."""
    figures = list(lookup.factors().values())
    unchecked = sum(row.mark == "not checked in print" for row in figures)
    return (
        f"factors of the codes (load duration, wet service, safety): 'secure-load list factors' gives each with "
        f"its source; {unchecked} of those {len(figures)} are not checked in print and marked so there"
    )
