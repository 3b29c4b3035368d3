"""What one set of screws or bolts may be asked to bear, from the boat file's words and the catalogue's rows.

Wood and coach screws by NDS-2018: lateral value by the six yield modes (12.3), withdrawal (12.2), pull-through of a
wood screw's head (12.2.5), load duration (2.3.2) and wet service (11.3.3); the screw's own metal in tension by
EN 1993-1-8 Table 3.4. A hexagonal head or a washer bears across the grain (NDS 3.10). Bolts right through: the same
lateral equations, washer bearing and tension. The timber under a fastening is taken to be sheared across its grain,
the weaker way. A timber denser than the tables of the NDS is counted as the densest of them.

Timber that wets and dries holds a screw worse than the wet service factor of the NDS says: less is counted.

Beside it, what it breaks at, without the factors that make a figure allowable and without load duration (they are
values of short tests): drawn by the Wood Handbook's average, sheared at the 5 % offset yield of AWC TR-12, metal by
its tensile strength, heads by the NDS figure times a divisor that is assumed. Wet service and end grain are kept.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from secure_load.boat.models import Screws
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import (
    bolt_of_diameter,
    coach_screw,
    factor,
    lead_alloys,
    metal,
    metric_screw,
    wood_screw,
)
from secure_load.catalogue.rows import CoachScrew, WoodScrew
from secure_load.catalogue.strengths import Service, TimberStrengths, timber_strengths
from secure_load.strength import bolts, wood_handbook
from secure_load.strength.breaking import offset_yield
from secure_load.strength.nds_lateral import dowel_bearing, lateral
from secure_load.strength.nds_placing import main_bearing_length, minimum_penetration
from secure_load.strength.nds_withdrawal import (
    adjusted,
    end_grain_factor,
    head_pull_through,
    lag_withdrawal_per_m,
    withdrawal,
    wood_screw_withdrawal_per_m,
)
from secure_load.strength.units import Metre, Newton
from secure_load.strength.working import working_stresses

MM = 1e-3
_BREAKS = {
    "screws": "average of tests, Wood Handbook ch. 8",
    "screw metal": "tensile strength x root area",
    "screw heads": "NDS 12.2.5 x an assumed divisor, no load duration",
    "washers": "average crushing across the grain at the proportional limit, Wood Handbook ch. 5",
    "coach screw heads": "average crushing across the grain at the proportional limit, Wood Handbook ch. 5",
    "bolt metal": "tensile strength x stress area",
}
"""Basis of each breaking value."""
ACROSS = math.pi / 2


@dataclass(frozen=True)
class Fastening:
    """Working strength of ONE screw or bolt, and how it came about."""

    shear: Newton
    """Lateral, Z'."""
    pull: Newton
    """Along its axis, the least of withdrawal, head and metal; W'p where the timber governs."""
    pull_part: str
    """What goes first in a straight pull: "screws", "screw heads", "coach screw heads", "screw metal", "washers" or
    "bolt metal"."""
    diameter: Metre
    name: str
    basis: str
    breaking_shear: Newton
    """Sheared, what it breaks or yields at."""
    breaking_pull: Newton
    """Pulled, the least of what timber, head and metal break at."""
    breaking_part: str
    """What breaks first in a straight pull."""
    coarse: bool
    """True for coach screws."""
    why: list[str] = field(default_factory=list[str])
    breaking_why: list[str] = field(default_factory=list[str])
    warnings: list[str] = field(default_factory=list[str])


def steel_divisor() -> float:
    """Divisor that turns an EN 1993 strength into a working one: gamma M2 x load factor."""
    return assumed("steel-partial-factor").number * assumed("steel-load-factor").number


def fastening(
    screws: Screws,
    service: Service,
    side_timber: str | None = None,
    side_thickness: Metre = 0.0,
    weight_thickness: Metre = 0.0,
) -> Fastening:
    """Strength of one fastening of a set without gaps.

    side_timber and side_thickness (m): the wooden piece it holds down; None for a metal eye, which bears the
    screw at the surface. weight_thickness (m): of the weight that a bolt passes through, which is taken to be of lead.
    Raises UnknownRow for a name that is not in the catalogue.
    """
    # one set is asked for several times on the way to a verdict: for stiffness, parts and warnings
    return _fastening(tuple(screws), service, side_timber, side_thickness, weight_thickness)


@lru_cache(maxsize=1024)
def _fastening(
    given: tuple[tuple[str, Any], ...],
    service: Service,
    side_timber: str | None,
    side_thickness: Metre,
    weight_thickness: Metre,
) -> Fastening:
    screws = Screws.model_construct(None, **dict(given))
    if screws.kind == "bolt":
        return _bolt(screws, service, side_timber, side_thickness, weight_thickness)
    return _screw(screws, service, side_timber, side_thickness)


def _counted_gravity(strengths: TimberStrengths) -> float:
    """Specific gravity, no greater than the densest timber that the NDS has values for."""
    return min(strengths.g_ovendry, factor("nds-gravity-greatest"))


def _outside(strengths: TimberStrengths) -> list[str]:
    """Words where a timber's specific gravity lies outside the tables of the NDS."""
    least, greatest, g = factor("nds-gravity-least"), factor("nds-gravity-greatest"), strengths.g_ovendry
    if least <= g <= greatest:
        return []
    counted = f"counted as {greatest:g}" if g > greatest else "its formulas are carried on below it"
    return [
        f"{strengths.timber.name} has a specific gravity of {g:.2f}; NDS 2018 prints its values from {least:g} to "
        f"{greatest:g}: {counted}"
    ]


def _row(screws: Screws) -> WoodScrew | CoachScrew:
    if screws.kind == "coach-screw":
        assert screws.diameter_mm is not None
        return coach_screw(screws.diameter_mm)
    if screws.gauge is not None:
        return wood_screw(screws.gauge)
    assert screws.diameter_mm is not None
    return metric_screw(screws.diameter_mm)


def _screw(screws: Screws, service: Service, side_timber: str | None, side_thickness: Metre) -> Fastening:
    assert screws.into is not None
    assert screws.metal is not None
    row = _row(screws)
    made_of = metal(screws.metal)
    under = timber_strengths(screws.into, service)
    coach = isinstance(row, CoachScrew)
    kind = "lag_screw" if coach else "wood_screw"
    d, root = row.d_mm * MM, row.root_mm * MM
    least = minimum_penetration(kind, d)
    if screws.penetration_mm is None:
        depth = assumed("screw-penetration-diameters").number * d
    else:
        depth = screws.penetration_mm * MM
    c_d = factor("load-duration-ten-minutes")
    c_m = factor("nds-wet-service") if service == "wet" else 1.0
    c_m_drawn = factor("screw-wet-and-dry") if service == "wet" else 1.0
    lateral_end = end_grain_factor(kind, "lateral") if screws.end_grain else 1.0
    pull_end = end_grain_factor(kind, "withdrawal") if screws.end_grain else 1.0
    warnings: list[str] = []

    tip = assumed("coach-screw-tip-diameters" if coach else "screw-tip-diameters").number * d
    tip = min(tip, depth)
    bearing = depth - tip if coach else main_bearing_length(depth, tip)
    bearing = max(bearing, 0.05 * depth)
    gravity = _counted_gravity(under)
    f_main = dowel_bearing(gravity, d, ACROSS)
    over = None
    if side_timber is not None and side_thickness > 0.0:
        over = timber_strengths(side_timber, service)
        f_side = dowel_bearing(_counted_gravity(over), d, ACROSS)
        side = side_thickness
    else:
        # a metal eye: taken as thick as the screw and as hard as its own metal in bearing
        f_side, side = made_of.fu, d
    z = lateral(d, side, bearing, f_side, f_main, made_of.bending_yield(row), ACROSS, root)
    shear = adjusted(z.Z, c_d, c_m, C_eg=lateral_end)
    counted = depth - tip if coach else depth
    if counted < least - 1e-9:
        warnings.append(
            f"screws go {depth / MM:.0f} mm into the timber; the code counts none under "
            f"{(least + depth - counted) / MM:.0f} mm, and what is counted of them here, in proportion, is no code's "
            f"figure (NDS 2018 {'12.1.4.6, 4 diameters and the tip' if coach else '12.1.5.6, 6 diameters'})"
        )
        shear *= counted / least
    yielding, yield_mode = offset_yield(z, d, ACROSS, root)
    breaking_shear = yielding * c_m * lateral_end * min(counted / least, 1.0)

    if isinstance(row, CoachScrew):
        # of the thread only what lies in the timber that holds the point counts, and not its tip
        thread = max(min(_lag_thread(row, depth + side_thickness), depth) - tip, 0.0)
        per_m = lag_withdrawal_per_m(gravity, d)
        rule, ultimate, ultimate_rule = "NDS 12.2.1", wood_handbook.ultimate_lag_withdrawal, "8-14"
    else:
        thread = min(depth, row.thread_fraction * (depth + side_thickness))
        per_m = wood_screw_withdrawal_per_m(gravity, d)
        rule, ultimate, ultimate_rule = "NDS 12.2.2", wood_handbook.ultimate_wood_screw_withdrawal, "8-10"
    kept = c_m_drawn
    if under.timber.kind == "panel":
        kept *= factor("panel-withdrawal-share")
        warnings.append(
            f"screws into plywood: no rule for a screw drawn from a panel is known here; "
            f"{100 * factor('panel-withdrawal-share'):.0f} % of the value of solid timber is counted"
        )
    drawn = adjusted(withdrawal(per_m, thread), c_d, kept, C_eg=pull_end)
    pulls: dict[str, Newton] = {"screws": drawn}
    metal_area = bolts.round_area(root)
    k_2 = factor("en1993-k2" if coach else "en1993-k2-countersunk")
    pulls["screw metal"] = bolts.tension_strength(metal_area, made_of.fu, steel_divisor(), k_2)
    # the Handbook's formula wants specific gravity at 12 %, not the ovendry one of the NDS
    drawn_out = ultimate(under.g12, d, thread) * kept * pull_end if thread > 0.0 else 0.0
    # a countersunk head breaks off before the root does
    breaks: dict[str, Newton] = {
        "screws": drawn_out,
        "screw metal": made_of.fu * metal_area * k_2 / factor("en1993-k2"),
    }
    if over is not None and (coach or screws.washer_mm):
        # 12.2.5 is for round heads: a washer or a hexagonal head bears across the grain, as under a bolt
        outer = screws.washer_mm * MM if screws.washer_mm else row.head
        heads = "washers" if screws.washer_mm else "coach screw heads"
        pulls[heads] = bolts.washer_bearing(working_stresses(over.timber.id, service).crushing, outer, d)
        breaks[heads] = bolts.washer_bearing(over.comp_perp, outer, d)
    elif over is not None:
        net = max(side_thickness - 0.5 * row.head, 0.0)
        through = head_pull_through(_counted_gravity(over), row.head, net)
        pulls["screw heads"] = adjusted(through, c_d, c_m)
        breaks["screw heads"] = through * factor("pull-through-divisor") * c_m
    part = min(pulls, key=pulls.__getitem__)
    breaks_at = min(breaks, key=breaks.__getitem__)
    if screws.end_grain:
        warnings.append(
            "coach screws in end grain: three quarters counted in withdrawal, two thirds sheared (NDS 12.5.2)"
            if coach
            else "screws in end grain: a wood screw counts for nothing in withdrawal (NDS 12.2.2.2)"
        )
    timber_row = under.timber
    mark = f", {timber_row.mark}" if timber_row.mark else ""
    why = [
        f"{row.name}, {made_of.name}, {depth / MM:.0f} mm into {timber_row.name} (G {under.g_ovendry:.2f}{mark})",
        f"sheared: {z.Z:.0f} N (mode {z.mode}, NDS 12.3.1) x {c_d:g} for a short load x {c_m:g} for "
        f"{service} service = {shear:.0f} N each",
        f"drawn: {per_m / 1000:.1f} N per mm ({rule}) x {thread / MM:.0f} mm of thread x {c_d:g} x {kept:g} = "
        f"{drawn:.0f} N each",
    ]
    thinnest = factor("nds-lag-screw-thinnest" if coach else "nds-wood-screw-thinnest")
    if d < thinnest - 1e-9:
        why.append(
            f"{d / MM:g} mm is thinner than the {thinnest / MM:.1f} mm where the values of NDS 2018 begin: its "
            "formulas are carried on below it"
        )
    why += _outside(under) + (_outside(over) if over is not None and over.timber.id != under.timber.id else [])
    if part != "screws":
        why.append(f"but the {part} give at {pulls[part]:.0f} N each")
    return Fastening(
        shear=shear,
        pull=pulls[part],
        pull_part=part,
        diameter=d,
        name=row.name,
        basis="NDS-2018 allowable, ten minutes",
        breaking_shear=breaking_shear,
        breaking_pull=breaks[breaks_at],
        breaking_part=breaks_at,
        coarse=coach,
        why=why,
        breaking_why=[
            f"breaks, sheared: {breaking_shear:.0f} N each (5 % offset yield, mode {yield_mode}, AWC TR-12: "
            f"NDS without its reduction term and load duration; x {c_m:g} for {service} service)",
            f"breaks, pulled: the {breaks_at} at {breaks[breaks_at]:.0f} N each ({_BREAKS[breaks_at]}); drawn at "
            f"{drawn_out:.0f} N (average, Wood Handbook {ultimate_rule}, x {kept:g})",
        ],
        warnings=warnings,
    )


def _lag_thread(row: CoachScrew, length: Metre) -> Metre:
    """Threaded part of a coach screw, tip and all: NDS-2018 Table L2 footnote 2, or DIN 571 for a metric one.

    length: at least what lies in both pieces; a longer screw would have more thread, and how much longer is not known.
    """
    if row.thread_fraction is not None:
        return row.thread_fraction * length
    return min(factor("lag-thread-share") * length + factor("lag-thread-added"), factor("lag-thread-greatest"))


def _bolt(
    screws: Screws, service: Service, side_timber: str | None, side_thickness: Metre, weight_thickness: Metre
) -> Fastening:
    assert screws.into is not None
    assert screws.metal is not None
    assert screws.diameter_mm is not None
    row = bolt_of_diameter(screws.diameter_mm)
    made_of = metal(screws.metal)
    under = timber_strengths(screws.into, service)
    d = row.d_mm * MM
    depth = (screws.penetration_mm or assumed("bolted-thickness").number) * MM
    c_d = factor("load-duration-ten-minutes")
    c_m = factor("nds-wet-service") if service == "wet" else 1.0
    f_main = dowel_bearing(_counted_gravity(under), d, ACROSS)
    if side_timber is not None and side_thickness > 0.0:
        f_side = dowel_bearing(_counted_gravity(timber_strengths(side_timber, service)), d, ACROSS)
        side = side_thickness
    elif weight_thickness > 0.0:
        # what the weight is of is not said; lead is the softest, and gives at about its tensile strength as cast
        f_side, side = lead_alloys()["lead-sb-0"].uts_cast_MPa * 1e6, weight_thickness
    else:
        f_side, side = made_of.fu, d
    bending_yield = 0.5 * (made_of.fu + made_of.fy)
    z = lateral(d, side, depth, f_side, f_main, bending_yield, ACROSS)
    yielding, yield_mode = offset_yield(z, d, ACROSS)
    breaking_shear = min(yielding * c_m, bolts.shear_strength(row.stress_area, made_of.fu, 1.0, alpha_v=0.5))
    shear = min(
        adjusted(z.Z, c_d, c_m),
        bolts.shear_strength(row.stress_area, made_of.fu, steel_divisor(), alpha_v=0.5),
    )
    outer = screws.washer_mm * MM if screws.washer_mm else assumed("washer-diameters").number * d
    crush = bolts.washer_bearing(working_stresses(screws.into, service).crushing, outer, d)
    pulls = {
        "washers": crush,
        "bolt metal": bolts.tension_strength(row.stress_area, made_of.fu, steel_divisor()),
    }
    part = min(pulls, key=pulls.__getitem__)
    breaks = {
        "washers": bolts.washer_bearing(under.comp_perp, outer, d),
        "bolt metal": made_of.fu * row.stress_area,
    }
    breaks_at = min(breaks, key=breaks.__getitem__)
    return Fastening(
        shear=shear,
        pull=pulls[part],
        pull_part=part,
        diameter=d,
        name=f"{row.name}",
        basis="NDS-2018 allowable, ten minutes; EN 1993-1-8 for the metal",
        breaking_shear=breaking_shear,
        breaking_pull=breaks[breaks_at],
        breaking_part=breaks_at,
        coarse=True,
        why=[
            f"{row.name}, {made_of.name}, through {depth / MM:.0f} mm of {under.timber.name}",
            f"sheared: {shear:.0f} N each (NDS 12.3.1 mode {z.mode}, EN 1993-1-8 Table 3.4"
            + ("; the weight bears as lead)" if weight_thickness > 0.0 else ")"),
            f"pulled: washer of {outer / MM:.0f} mm {crush:.0f} N, metal {pulls['bolt metal']:.0f} N each",
            *_outside(under),
        ],
        breaking_why=[
            f"breaks, sheared: {breaking_shear:.0f} N each (5 % offset yield, mode {yield_mode}, AWC TR-12, x {c_m:g} "
            f"for {service} service, or EN 1993-1-8 Table 3.4 without partial factor)",
            f"breaks, pulled: the {breaks_at} at {breaks[breaks_at]:.0f} N each ({_BREAKS[breaks_at]})",
        ],
    )
