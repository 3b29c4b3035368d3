"""The parts of a restraint in series, and how hard each is worked by the forces in its links.

A part turns the forces in its restraint's links, (n, rows), into a demand and a utilisation, (n,) each. The
strengths behind it come from the strength room; this module only says how the load reaches them: a cleat's
thrust shears its screws and, standing off the landing, draws them; a batten's lift is shared by its two ends.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from secure_load.boat.models import Anchors, Batten, Bed, Bolt, Bond, CableTie, Cleat, Lashing, Screws, Strap
from secure_load.catalogue.strengths import Service
from secure_load.statics.arrays import Array
from secure_load.statics.contact import Fitting
from secure_load.strength.fastenings import Fastening, fastening
from secure_load.strength.gear import line_gear, tie_gear
from secure_load.strength.nds import interaction_wood_screw
from secure_load.strength.timber import bearing_strength, section_modulus
from secure_load.strength.working import working_stresses

Working = Callable[[Array, Array], tuple[Array, Array]]
"""(forces in the restraint's links (n, rows), friction's drag on it (n,)) -> demand (n,) in N, utilisation (n,)."""
MM = 1e-3
GIVEN = "given by the owner, used as it is"


@dataclass(frozen=True)
class Part:
    """One part of a restraint."""

    name: str
    working: Working
    basis: str
    why: list[str] = field(default_factory=list[str])
    assumed: bool = False


def by_total(strength: float) -> Working:
    """A part that carries the sum of all links; strength in N, nil or more."""

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        total = np.abs(forces.sum(axis=1))
        return total, total / strength if strength > 0.0 else np.where(total > 0.0, np.inf, 0.0)

    return working


def by_share(shares: Array, strength: float) -> Working:
    """A part that carries a share of each link, and all the drag of friction; shares (rows,), strength in N."""

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        part = np.abs(forces @ shares) + drag
        return part, part / strength if strength > 0.0 else np.where(part > 0.0, np.inf, 0.0)

    return working


def by_screws(shear_shares: Array, pull_shares: Array, shear: float, pull: float) -> Working:
    """Screws that are sheared and drawn at once; NDS 12.4.1. Shares (rows,) of each link; strengths in N.

    Friction's drag may point along the screws or across them: it is counted in full both ways.
    """

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        across = np.hypot(forces @ shear_shares, drag)
        along = np.maximum(forces @ pull_shares, 0.0) + drag
        return np.hypot(across, along), interaction_wood_screw(shear, pull, across, along)

    return working


def by_resultant(strength: float) -> Working:
    """A both-way part whose links come in threes, one point after another: the worst point's resultant."""

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        worst = np.linalg.norm(forces.reshape(len(forces), -1, 3), axis=2).max(axis=1)
        return worst, worst / strength

    return working


def by_bolts(shear: float, pull: float) -> Working:
    """Bolts whose links come in threes (along, across, across); shear and pull of one bolt in N.

    V / F_v + T / (1.4 F_t), and never below T / F_t or V / F_v; EN 1993-1-8 Table 3.4.
    """

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        each = forces.reshape(len(forces), -1, 3)
        # the link's force is positive where it presses the weight away from the face: the bolt pulls below nil
        along = np.maximum(-each[:, :, 0], 0.0)
        across = np.hypot(each[:, :, 1], each[:, :, 2])
        ratio = np.maximum(across / shear + along / (1.4 * pull), np.maximum(along / pull, across / shear))
        at = ratio.argmax(axis=1)
        row = np.arange(len(forces))
        return np.hypot(along, across)[row, at], ratio[row, at]

    return working


def screws_of(fitting: Fitting, service: Service) -> tuple[Fastening, int] | None:
    """One fastening of a cleat or batten and how many there are; None where the strength is given."""
    restraint = fitting.restraint
    if not isinstance(restraint, Cleat | Batten):
        return None
    assert restraint.screws is not None
    if isinstance(restraint, Cleat):
        assert restraint.height_mm is not None
        thickness = restraint.height_mm * MM
    else:
        assert restraint.depth_mm is not None
        thickness = restraint.depth_mm * MM
    return fastening(restraint.screws, service, restraint.timber, thickness), restraint.screws.count


def parts_of(fitting: Fitting, service: Service, assumed: bool) -> list[Part]:
    """All parts of a restraint without gaps, the weakest not yet known.

    ``assumed``: its strength rests on something nobody wrote down.
    """
    restraint = fitting.restraint
    if restraint.strength_N is not None:
        why = [f"{restraint.strength_N:.0f} N {GIVEN}"]
        both_ways = isinstance(restraint, Bolt | Bond)
        working = by_resultant(restraint.strength_N) if both_ways else by_total(restraint.strength_N)
        return [Part("given", working, "given", why)]
    match restraint:
        case Cleat():
            return _cleat(fitting, restraint, service, assumed)
        case Batten():
            return _batten(fitting, restraint, service, assumed)
        case Lashing() | Strap():
            return _line(fitting, restraint, service, assumed)
        case CableTie():
            return _tie(restraint)
        case Bolt():
            return _bolt(restraint, service, assumed)
        case Bed():
            return _bed(fitting, restraint, service)
        case _:
            return []


def _cleat(fitting: Fitting, cleat: Cleat, service: Service, assumed: bool) -> list[Part]:
    assert cleat.timber is not None
    assert cleat.length_mm is not None
    assert cleat.height_mm is not None
    assert cleat.depth_mm is not None
    found = screws_of(fitting, service)
    assert found is not None
    each, count = found
    timber = working_stresses(cleat.timber, service)
    length, height, depth = cleat.length_mm * MM, cleat.height_mm * MM, cleat.depth_mm * MM
    # screws stand in the middle of the cleat: it pries about the far edge of its foot
    lever = 0.5 * depth
    ones = np.ones(len(fitting.links))
    spacing = length / count
    # between screws a cleat is a continuous beam, w s2 / 10; a lone screw leaves two cantilevers, w (L/2)2 / 2
    moment_per_newton = spacing / 10.0 / count if count > 1 else length / 8.0
    bending = timber.bending * section_modulus(height, depth) / moment_per_newton
    return [
        Part(
            "screws",
            by_screws(ones, fitting.height / lever, count * each.shear, count * each.pull),
            each.basis,
            [
                *each.why,
                f"{count} of them: {count * each.shear:.0f} N sheared, {count * each.pull:.0f} N drawn; the thrust "
                f"stands off its foot and pries on a lever of {lever / MM:.0f} mm; together by NDS 12.4.1",
            ],
            assumed,
        ),
        Part(
            "timber crushed where the weight bears on it",
            by_total(timber.crushing * fitting.area),
            timber.basis,
            [f"{timber.crushing / 1e6:.2f} MPa across the grain x {fitting.area * 1e4:.0f} cm2"],
            assumed,
        ),
        Part(
            "timber bent between its screws",
            by_total(bending),
            timber.basis,
            [f"{timber.bending / 1e6:.1f} MPa in bending, screws {spacing / MM:.0f} mm apart"],
            assumed,
        ),
    ]


def _batten(fitting: Fitting, batten: Batten, service: Service, assumed: bool) -> list[Part]:
    assert batten.timber is not None
    assert batten.span_mm is not None
    assert batten.width_mm is not None
    assert batten.depth_mm is not None
    found = screws_of(fitting, service)
    assert found is not None
    each, count = found
    timber = working_stresses(batten.timber, service)
    span, width, depth = batten.span_mm * MM, batten.width_mm * MM, batten.depth_mm * MM
    bearing = float(np.ptp(fitting.along))
    at_end = count // 2
    ends = [np.clip(0.5 + side * fitting.along / span, 0.0, 1.0) for side in (1.0, -1.0)]
    # the weight is taken to press evenly over the breadth it has under the batten: M = W (2 span - b) / 8
    bending = timber.bending * section_modulus(width, depth) / (max(2.0 * span - bearing, span) / 8.0)
    shear = timber.shear * width * depth / 1.5
    pull = at_end * each.pull
    screw_why = [
        *each.why,
        f"{at_end} at each end: {pull:.0f} N drawn",
    ]
    parts = [
        Part(f"{each.pull_part} at the {where}", by_share(share, pull), each.basis, screw_why, assumed)
        for where, share in zip(_END_NAMES[batten.along], ends, strict=True)
    ]
    parts.append(
        Part(
            "timber bent across the weight",
            by_total(bending),
            timber.basis,
            [f"{timber.bending / 1e6:.1f} MPa in bending over a span of {span / MM:.0f} mm = {bending:.0f} N"],
            assumed,
        )
    )
    parts.extend(
        Part(
            f"timber sheared at the {where}",
            by_share(share, shear),
            timber.basis,
            [f"{timber.shear / 1e6:.2f} MPa in shear x {width / MM:.0f} x {depth / MM:.0f} mm / 1.5 = {shear:.0f} N"],
            assumed,
        )
        for where, share in zip(_END_NAMES[batten.along], ends, strict=True)
    )
    parts.append(
        Part(
            "timber crushed where the weight bears on it",
            by_total(timber.crushing * fitting.area),
            timber.basis,
            [f"{timber.crushing / 1e6:.2f} MPa across the grain x {fitting.area * 1e4:.0f} cm2"],
            assumed,
        )
    )
    return parts


_END_NAMES = {"athwartships": ("port end", "starboard end"), "fore-and-aft": ("fore end", "after end")}


def _line(fitting: Fitting, line: Lashing | Strap, service: Service, assumed: bool) -> list[Part]:
    assert line.line is not None
    gear = line_gear(line.line, line.termination)
    working = gear.working * line.turns
    why = [*gear.why, f"{line.turns} parts: {working:.0f} N"] if line.turns > 1 else gear.why
    parts = [Part("line", by_total(working), gear.basis, why, assumed)]
    if line.anchors is not None:
        parts.extend(_anchor(line.anchors, service, assumed))
    return parts


def _anchor(anchors: Anchors, service: Service, assumed: bool) -> list[Part]:
    """One eye: every end of a line carries the whole pull, and the eyes are alike."""
    if anchors.strength_N is not None:
        return [Part("eye", by_total(anchors.strength_N), "given", [f"{anchors.strength_N:.0f} N {GIVEN}"])]
    if anchors.kind == "frame":
        return []
    assert anchors.screws is not None
    each = fastening(_through(anchors), service)
    count = anchors.screws.count
    # which way the surface lies under the eye is not known: the weaker of sheared and drawn is taken
    strength = count * min(each.shear, each.pull)
    what = "bolt of the eye" if anchors.kind == "through-bolt" or anchors.screws.kind == "bolt" else "screws of the eye"
    return [
        Part(
            what,
            by_total(strength),
            each.basis,
            [*each.why, f"{count} to an eye, the weaker of sheared and drawn: {strength:.0f} N"],
            assumed,
        )
    ]


def _through(anchors: Anchors) -> Screws:
    """The fastenings of an eye; a through-bolt is a bolt whatever its screws were called."""
    assert anchors.screws is not None
    if anchors.kind == "through-bolt" and anchors.screws.kind != "bolt" and anchors.screws.diameter_mm is not None:
        return anchors.screws.model_copy(update={"kind": "bolt"})
    return anchors.screws


def _tie(tie: CableTie) -> list[Part]:
    assert tie.tie is not None
    gear = tie_gear(tie.tie)
    working = gear.working * tie.count
    why = [*gear.why, f"{tie.count} of them: {working:.0f} N"]
    return [Part("ties", by_total(working), gear.basis, why, assumed=True)]


def _bolt(bolt: Bolt, service: Service, assumed: bool) -> list[Part]:
    each = fastening(bolt_screws(bolt), service)
    what = "bolts" if each.pull_part == "bolt metal" else f"bolts or {each.pull_part}"
    return [Part(what, by_bolts(each.shear, each.pull), each.basis, each.why, assumed)]


def bolt_screws(bolt: Bolt) -> Screws:
    """The bolts of a weight as a set of fastenings."""
    assert bolt.size is not None
    return Screws(
        kind="bolt",
        diameter_mm=float(bolt.size.lstrip("Mm")),
        count=bolt.count,
        penetration_mm=bolt.thickness_mm,
        into=bolt.into,
        metal=bolt.metal,
        washer_mm=bolt.washer_mm,
    )


def _bed(fitting: Fitting, bed: Bed, service: Service) -> list[Part]:
    """A bed of known timber may be crushed; nothing else of it is a strength here."""
    if bed.timber is None:
        return []
    timber = working_stresses(bed.timber, service)
    strength = bearing_strength(timber.crushing, 1.0, fitting.area)
    why = [f"{timber.crushing / 1e6:.2f} MPa across the grain x {fitting.area * 1e4:.0f} cm2 = {strength:.0f} N"]
    return [Part("timber crushed under the weight", by_total(strength), timber.basis, why)]
