"""The parts of what is made of timber: cleats, battens and sole boards, beds.

A cleat's thrust shears its screws and, standing off its foot, draws them; the strip itself bends between them, is
sheared along its grain beside them, and may split along their line. A batten's lift is shared by its two ends; its
screws are drawn, not sheared, so that they do not split it. A cleat's screws stand in one row along its middle, those
of a batten's end side by side across its width, where a shipwright puts them to keep it from twisting; both evenly
spread.
Crushing across the grain is no letting go.
"""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import Batten, Bed, Cleat
from secure_load.catalogue.strengths import Service
from secure_load.model.assumptions import Under
from secure_load.model.contact import RestraintModel
from secure_load.model.failure.failure_mode import (
    MM,
    FailureMode,
    by_bending,
    by_end_screws,
    by_screws,
    by_share,
    total_mode,
)
from secure_load.model.members import evenly_spread
from secure_load.solver.arrays import Array
from secure_load.strength.fastenings import Fastening, fastening
from secure_load.strength.nds_placing import geometry_factor
from secure_load.strength.timber import bearing_strength, section_modulus, shear_at_connection
from secure_load.strength.working import SPLITTING_BASIS, WorkingStresses, splitting_strength, working_stresses

_END_NAMES = {"athwartships": ("port end", "starboard end"), "fore-and-aft": ("fore end", "after end")}


def screws_of(fitting: RestraintModel, service: Service) -> tuple[Fastening, int] | None:
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


def cleat_parts(fitting: RestraintModel, cleat: Cleat, service: Service, assumed: bool) -> list[FailureMode]:
    """Screws, crushing, bending, shear along the grain and splitting of a cleat without gaps."""
    assert cleat.timber is not None
    assert cleat.length_mm is not None
    assert cleat.height_mm is not None
    assert cleat.depth_mm is not None
    found = screws_of(fitting, service)
    assert found is not None
    each, count = found
    share = row_share(cleat, each, count)
    shear, breaking_shear = share * each.shear, share * each.breaking_shear
    timber = working_stresses(cleat.timber, service)
    length, height, depth = cleat.length_mm * MM, cleat.height_mm * MM, cleat.depth_mm * MM
    # screws stand in the middle of the cleat: it pries about the far edge of its foot
    lever = 0.5 * depth
    prying = fitting.height / lever
    places = evenly_spread(count, length)
    screws = FailureMode(
        "screws",
        by_screws(fitting.along, prying, places, shear, each.pull),
        by_screws(fitting.along, prying, places, breaking_shear, each.breaking_pull),
        each.basis,
        [
            *each.why,
            *(
                [f"too near the ends of the piece or one another: x {share:.2f} sheared (NDS 12.5.1.2)"]
                if share < 1.0
                else []
            ),
            f"{count} of them: {count * shear:.0f} N sheared, {count * each.pull:.0f} N drawn; the thrust "
            f"stands off its foot and pries on a lever of {lever / MM:.0f} mm; together by NDS 12.4.1, at the "
            "end screw that has the most of a thrust not in the middle",
            *each.breaking_why,
        ],
        assumed,
    )
    return [screws, _crushed(timber, fitting.area, assumed), *_strip(timber, length, height, depth, count, assumed)]


def row_share(cleat: Cleat, each: Fastening, count: int) -> float:
    """What is left of its screws' lateral value by where they stand along a cleat, evenly spread; at most 1."""
    assert cleat.length_mm is not None
    spacing = cleat.length_mm * MM / count
    share = geometry_factor(0.5 * spacing, spacing if count > 1 else None, each.diameter)
    return share if share < 1.0 - 1e-9 else 1.0


def _strip(
    timber: WorkingStresses, length: float, height: float, depth: float, count: int, assumed: bool
) -> list[FailureMode]:
    """Bending between screws, shear and splitting beside them, of a strip pressed evenly across its grain."""
    strengths = timber.strengths
    spacing = length / count
    # between screws a cleat is a continuous beam, w s2 / 10; a lone screw leaves two cantilevers, w (L/2)2 / 2
    moment_per_newton = spacing / 10.0 / count if count > 1 else length / 8.0
    modulus = section_modulus(height, depth) / moment_per_newton
    # the thrust comes to each screw from both sides alike: half of its share is the shear on either side
    sides = 2.0 * count
    # the screws push the cleat towards the weight, so the edge against the weight is the loaded one
    loaded = 0.5 * depth
    along = sides * shear_at_connection(1.0, height, depth, loaded)
    split = splitting_strength(height, depth, loaded, strengths.service)
    return [
        total_mode(
            "timber bent between its screws",
            timber.bending * modulus,
            strengths.mor * modulus,
            timber.basis,
            [
                f"{timber.bending / 1e6:.1f} MPa in bending, screws {spacing / MM:.0f} mm apart",
                f"breaks at {strengths.mor / 1e6:.1f} MPa ({timber.breaking_words})",
            ],
            assumed,
        ),
        total_mode(
            "timber sheared along its grain at the screws",
            timber.shear * along,
            strengths.shear_par * along,
            timber.basis,
            [
                f"{timber.shear / 1e6:.2f} MPa along the grain, {loaded / MM:.0f} of {depth / MM:.0f} mm between "
                f"screws and weight, {count} screws: {timber.shear * along:.0f} N (NDS 2018 3.4.3.3, "
                "not checked in print)",
                f"breaks at {strengths.shear_par / 1e6:.2f} MPa ({timber.breaking_words})",
            ],
            assumed,
        ),
        total_mode(
            "timber split along the screws",
            split.working * sides,
            split.breaking * sides,
            f"{SPLITTING_BASIS}; {strengths.timber.name}",
            [split.why, f"either side of {count} screws: {split.working * sides:.0f} N"],
            assumed,
        ),
    ]


def _ends(fitting: RestraintModel, batten: Batten) -> list[tuple[str, Array]]:
    """Name of each end of a batten, and the share of each link (rows,) that comes on it."""
    assert batten.span_mm is not None
    along = fitting.along / (batten.span_mm * MM)
    shares = (np.clip(0.5 + side * along, 0.0, 1.0) for side in (1.0, -1.0))
    return list(zip(_END_NAMES[batten.along], shares, strict=True))


def batten_parts(fitting: RestraintModel, batten: Batten, service: Service, assumed: bool) -> list[FailureMode]:
    """Both ends' screws, bending, both ends' shear and crushing of a batten or sole board without gaps."""
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
    # pressed evenly over the breadth the weight has under the batten: M = W (2 span - b) / 8
    spread_moment = max(2.0 * span - bearing, span) / 8.0
    modulus = section_modulus(width, depth)
    area = width * depth / 1.5
    pull = at_end * each.pull
    places = evenly_spread(at_end, width)
    beside = (
        f"side by side {width / at_end / MM:.0f} mm apart, where a lift off its middle line draws the outer most"
        if at_end > 1
        else "on its middle line, where a lift off that line pries it over the batten's far edge"
    )
    screw_why = [*each.why, f"{at_end} at each end: {pull:.0f} N drawn; {beside}", *each.breaking_why]
    sheared_why = [
        f"{timber.shear / 1e6:.2f} MPa in shear x {width / MM:.0f} x {depth / MM:.0f} mm / 1.5 = "
        f"{timber.shear * area:.0f} N",
        f"breaks at {timber.strengths.shear_par / 1e6:.2f} MPa ({timber.breaking_words})",
    ]
    named = _ends(fitting, batten)
    return [
        *(
            FailureMode(
                f"{each.pull_part} at the {where}",
                by_end_screws(share, fitting.across, places, width, each.pull),
                by_end_screws(share, fitting.across, places, width, each.breaking_pull),
                each.basis,
                screw_why,
                assumed,
            )
            for where, share in named
        ),
        FailureMode(
            "timber bent across the weight",
            by_bending(fitting.along, span, spread_moment, timber.bending * modulus),
            by_bending(fitting.along, span, spread_moment, timber.strengths.mor * modulus),
            timber.basis,
            [
                f"{timber.bending / 1e6:.1f} MPa in bending over a span of {span / MM:.0f} mm = "
                f"{timber.bending * modulus / spread_moment:.0f} N spread evenly; less where an edge of the weight "
                "bears alone",
                f"breaks at {timber.strengths.mor / 1e6:.1f} MPa ({timber.breaking_words})",
            ],
            assumed,
        ),
        *(
            FailureMode(
                f"timber sheared at the {where}",
                by_share(share, timber.shear * area),
                by_share(share, timber.strengths.shear_par * area),
                timber.basis,
                sheared_why,
                assumed,
            )
            for where, share in named
        ),
        _crushed(timber, fitting.area, assumed),
    ]


def _crushed(timber: WorkingStresses, area: float, assumed: bool) -> FailureMode:
    return total_mode(
        "timber crushed where the weight bears on it",
        timber.crushing * area,
        timber.strengths.comp_perp * area,
        timber.basis,
        [
            f"{timber.crushing / 1e6:.2f} MPa across the grain x {area * 1e4:.0f} cm2",
            f"crushed for good at {timber.strengths.comp_perp / 1e6:.2f} MPa, but it goes on bearing "
            f"({timber.breaking_words})",
        ],
        assumed,
        lets_go=False,
    )


def held_down_parts(fitting: RestraintModel, under: Under, service: Service) -> list[FailureMode]:
    """The fastenings of the landing or sole that a piece is screwed to.

    Which way they are pulled is not known: the weaker of sheared and drawn is taken. Those of a batten's landings
    are half at each end.
    """
    each = fastening(under.screws, service)
    working, breaking = min(each.shear, each.pull), min(each.breaking_shear, each.breaking_pull)
    batten = fitting.restraint if under.what == "landing" and isinstance(fitting.restraint, Batten) else None
    count = under.screws.count // 2 if batten is not None else under.screws.count * under.share
    name = f"fastenings of the {under.what}"
    why = [*each.why, f"{count:.3g} of them, the weaker of sheared and drawn: {count * working:.0f} N"]
    if batten is None:
        return [total_mode(name, count * working, count * breaking, each.basis, why)]
    return [
        FailureMode(
            f"{name} at the {where}",
            by_share(share, count * working),
            by_share(share, count * breaking),
            each.basis,
            why,
        )
        for where, share in _ends(fitting, batten)
    ]


def bed_parts(fitting: RestraintModel, bed: Bed, service: Service, assumed: bool) -> list[FailureMode]:
    """A bed of timber may be crushed; nothing else of it is a strength here."""
    if bed.timber is None:
        return []
    timber = working_stresses(bed.timber, service)
    strength = bearing_strength(timber.crushing, 1.0, fitting.area)
    why = [
        f"{timber.crushing / 1e6:.2f} MPa across the grain x {fitting.area * 1e4:.0f} cm2 = {strength:.0f} N",
        f"crushed for good at {timber.strengths.comp_perp / 1e6:.2f} MPa, but it goes on bearing "
        f"({timber.breaking_words})",
    ]
    breaking = bearing_strength(timber.strengths.comp_perp, 1.0, fitting.area)
    return [
        total_mode("timber crushed under the weight", strength, breaking, timber.basis, why, assumed, lets_go=False)
    ]
