"""Placing the ballast: so many ingots of each sort into so many places, for trim, for no list, and low.

With all ingots aboard her mass is known, so the trim wanted asks for one centre of gravity: the sum of
mass times (x + z tan(trim)) over everything in her is fixed, and so is the sum of mass times y. Both are linear
in how many ingots go where, which makes it a small integer programme. The goals come one after the other: first
the marks and the list (to what can be read on a mark), then a low centre or easy reach or few places; each
order of goals gives one proposal, and what each costs is then reckoned on the true hull.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from secure_load.afloat.ballast.ingot_program import Goal, Stowing, Unstowable, solve
from secure_load.afloat.ballast.loading_order import loading_order
from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.hydrostatics import Hydrostatics
from secure_load.afloat.hull.levers import lies_at, resting_heel
from secure_load.afloat.masses import Loading, Lump, loaded
from secure_load.afloat.models import Data
from secure_load.afloat.vessel_data import Known, gather
from secure_load.boat.floating import Placing, StowagePlace
from secure_load.boat.models import BoatFile
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor

KPA = 1e3


class Stow(Data):
    """So many of one sort in one place."""

    place: str
    ingot: str
    count: int
    kg: float


class Proposal(Data):
    """One way of placing the ballast, and what it costs."""

    name: str
    """What was put first."""
    stow: list[Stow]
    trim_deg: float
    """Bow down positive."""
    trim_off_mm: float
    """Difference of the two draughts from the wish; positive is too deep forward."""
    list_deg: float | None
    """Starboard down positive; null where GM is nil or negative and her shape unknown."""
    kg_m: float
    """Her centre of gravity above the keel's lowest point."""
    gm_m: float
    higher_mm: float
    """How much higher her centre of gravity is than in the lowest proposal."""
    places_used: int
    hard_reach_kg: float
    """Mass times reach over all places: what it costs in bending and crawling."""
    words: str
    """The same in a sentence."""
    loading: list[str]
    """The order of bringing them aboard, a step each: low first, port and starboard by turns, half of each place
    first."""


class PlacingReport(Data):
    """The best few ways, the lowest first."""

    proposals: list[Proposal]
    notes: list[str]
    """What stands in the way of the marks wanted, and what was assumed."""


TRIM_NOISE_MM = 5.0
"""Common practice: draughts are read no closer."""


@dataclass(frozen=True)
class _Wish:
    """What the placing must bring about, in moments about the origin."""

    base: Lump
    """She with everything but the ingots."""
    mass: float
    """With them, kg."""
    tan_trim: float
    along: float
    """Wanted sum of m (x + z tan trim) over the ingots, kg m."""
    across: float
    """Wanted sum of m y over the ingots, kg m."""
    trim_tolerance: float
    """kg m."""
    list_tolerance: float
    """kg m."""


def place_ballast(boat: BoatFile) -> PlacingReport:
    """The best few ways of placing the ballast of ``[float.placing]``.

    Raises:
        CannotFloat: there is no such table, the ingots do not go into the places (and what stands against it),
            or too little is known of her.
        UnknownRow: a fluid or water that is not in the catalogue.
    """
    wanted = boat.float_.placing if boat.float_ is not None else None
    if wanted is None:
        raise CannotFloat("the file has no [float.placing]: ingots in hand and places for them", "float.placing")
    known = gather(boat)
    wish = _wish(known, wanted)
    masses = np.array([i.each_kg for i in wanted.ingot])
    stowing = Stowing(
        mass=masses,
        count=np.array([float(i.count) for i in wanted.ingot]),
        along=np.array([p.at_m[0] + p.at_m[2] * wish.tan_trim for p in wanted.place]),
        across=np.array([p.at_m[1] for p in wanted.place]),
        height=np.array([p.at_m[2] for p in wanted.place]),
        reach=np.array([float(p.reach) for p in wanted.place]),
        room_count=np.array([math.inf if p.room_count is None else float(p.room_count) for p in wanted.place]),
        room_mass=np.array([math.inf if p.room_kg is None else p.room_kg for p in wanted.place]),
        bearing=np.array([_bears(p) for p in wanted.place]),
        along_wanted=wish.along,
        across_wanted=wish.across,
        along_tolerance=wish.trim_tolerance,
        across_tolerance=wish.list_tolerance,
    )
    try:
        found = solve(stowing)
    except Unstowable as error:
        raise CannotFloat(str(error), "float.placing") from None
    return _report(known, wanted, wish, found)


def _bears(place: StowagePlace) -> float:
    if place.bearing_kPa is None or place.size_m is None:
        return math.inf
    return place.bearing_kPa * KPA * place.size_m[0] * place.size_m[1] / factor("g0")


def _wish(known: Known, wanted: Placing) -> _Wish:
    ids = {lump.id for lump in known.lumps}
    for each in wanted.in_place_of:
        if each not in ids:
            raise CannotFloat(
                f"in_place_of names '{each}', and there is no such weight in this file", "float.placing.in_place_of"
            )
    staying = [lump for lump in known.lumps if lump.id not in wanted.in_place_of]
    without = loaded(known.own, staying)
    mass = without.mass + sum(i.each_kg * i.count for i in wanted.ingot)
    shape = known.shape
    tan_trim = math.tan(math.radians(wanted.trim_deg))
    if wanted.fore_m is not None and wanted.aft_m is not None:
        tan_trim = (wanted.fore_m - wanted.aft_m) / shape.lwl
    form = shape.upright_at(mass, tan_trim)
    if isinstance(form, Hydrostatics):
        centre = form.x_b + form.z_b * tan_trim
    else:
        centre = shape.aft + 0.5 * shape.lwl + tan_trim * (form.kb + form.bm_along - shape.draught)
    base = Lump("rest", without.mass, without.centre)
    # Tolerances need her stiffness, and that a height for the ingots: the middle of the places will do for them.
    middle = sum(p.at_m[2] for p in wanted.place) / len(wanted.place)
    kg = (without.mass * without.centre[2] + (mass - without.mass) * middle) / mass + shape.draught
    per_cm = mass * (form.kb + form.bm_along - kg) / (100.0 * shape.lwl)
    gm = form.kb + form.bm - kg
    return _Wish(
        base=base,
        mass=mass,
        tan_trim=tan_trim,
        along=mass * centre - base.mass * (base.at[0] + base.at[2] * tan_trim),
        across=-base.mass * base.at[1],
        trim_tolerance=max(per_cm, 0.0) * assumed("placing-trim").number / 10.0,
        list_tolerance=mass * max(gm, 0.02 * shape.bwl) * math.radians(assumed("placing-list").number),
    )


def _report(known: Known, wanted: Placing, wish: _Wish, found: list[tuple[Goal, np.ndarray]]) -> PlacingReport:
    drafts = [_draft(known, wanted, wish, goal, counts) for goal, counts in found]
    lowest = min(d.kg_m for d in drafts)
    proposals = [
        d.model_copy(update={"higher_mm": (up := round(1000.0 * (d.kg_m - lowest), 1)), "words": _say(d, up)})
        for d in drafts
    ]
    trim_tolerance, list_tolerance = assumed("placing-trim").number, assumed("placing-list").number
    notes = [
        f"Trim is met to {trim_tolerance:g} mm between the two draughts, list to {list_tolerance:g} degrees, where "
        "the places and the size of the ingots allow."
    ]
    nearest = min(proposals, key=lambda p: abs(p.trim_off_mm))
    if abs(nearest.trim_off_mm) > 1.2 * trim_tolerance:
        end, free = ("forward", "aft") if nearest.trim_off_mm > 0 else ("aft", "forward")
        notes.append(
            f"The trim wanted cannot be had: she stays {abs(nearest.trim_off_mm):.0f} mm deeper {end} than wanted; "
            f"there is not room enough further {free}."
        )
    lists = [abs(p.list_deg) for p in proposals if p.list_deg is not None]
    if lists and min(lists) > 2.0 * list_tolerance:
        listing = next(p.list_deg for p in proposals if p.list_deg is not None and abs(p.list_deg) == min(lists))
        low, high = ("starboard", "port") if listing > 0 else ("port", "starboard")
        notes.append(
            f"She cannot be brought upright: {min(lists):.1f} degrees to {low} stay; there is not room enough "
            f"further to {high}."
        )
    unlimited = [p.id for p in wanted.place if p.room_count is None and p.room_kg is None and p.bearing_kPa is None]
    if unlimited:
        notes.append(f"No room is stated for {', '.join(unlimited[:5])}: any number of ingots was allowed there.")
    return PlacingReport(proposals=proposals, notes=notes + known.told.assumptions)


def _draft(known: Known, wanted: Placing, wish: _Wish, goal: Goal, counts: np.ndarray) -> Proposal:
    """A proposal with what it costs on the true hull, but for the comparison with the others."""
    stow: list[Stow] = []
    lumps: list[Lump] = []
    for s, sort in enumerate(wanted.ingot):
        for p, place in enumerate(wanted.place):
            count = int(counts[s, p])
            if count:
                kg = count * sort.each_kg
                stow.append(Stow(place=place.id, ingot=sort.id, count=count, kg=round(kg, 3)))
                lumps.append(Lump(place.id, kg, place.at_m))
    staying = [lump for lump in known.lumps if lump.id not in wanted.in_place_of]
    loading = loaded(known.own, [*staying, *lumps])
    trim, lists, gm = _lies(known, loading)
    reach = {p.id: p.reach for p in wanted.place}
    return Proposal(
        name=goal.name,
        stow=stow,
        trim_deg=round(math.degrees(math.atan(trim)), 4) + 0.0,
        trim_off_mm=round(1000.0 * (trim - wish.tan_trim) * known.shape.lwl, 1) + 0.0,
        list_deg=None if lists is None else round(math.degrees(lists), 3) + 0.0,
        kg_m=round(loading.centre[2] + known.shape.draught, 6),
        gm_m=round(gm, 4),
        higher_mm=0.0,
        places_used=len({s.place for s in stow}),
        hard_reach_kg=round(sum(s.kg * reach[s.place] for s in stow), 1),
        words="",
        loading=loading_order(wanted.place, [int(n) for n in counts.sum(axis=0)]),
    )


def _lies(known: Known, loading: Loading) -> tuple[float, float | None, float]:
    """Tangent of trim, list (rad) and GM."""
    shape = known.shape
    if shape.hull is not None:
        rest = resting_heel(shape.hull, loading.at, shape.density)
        lies = lies_at(shape.hull, loading.at, shape.density, rest)
        trim: float = float(lies.tan_trim[0])
        form = shape.upright_at(loading.mass, trim)
        gm = form.kb + form.bm - loading.centre[2] - shape.draught - loading.free_surface_loss
        return trim, rest, gm
    form = shape.upright_at(loading.mass)
    kg = loading.centre[2] + shape.draught
    gm = form.kb + form.bm - kg - loading.free_surface_loss
    trim = (loading.centre[0] - shape.aft - 0.5 * shape.lwl) / (form.kb + form.bm_along - kg)
    return trim, (-math.atan(loading.centre[1] / gm) if gm > 0 else None), gm


def _say(draft: Proposal, higher: float) -> str:
    lists = "list unknown" if draft.list_deg is None else f"list {abs(draft.list_deg):.1f} degrees"
    off = abs(draft.trim_off_mm)
    # steps under this are noise: nobody reads a draught closer
    trim = f"trim within {TRIM_NOISE_MM:g} mm" if off <= TRIM_NOISE_MM else f"trim {off:.0f} mm off the one wanted"
    low = "lowest centre of gravity" if higher == 0 else f"{higher:g} mm higher than the lowest"
    places = "1 place" if draft.places_used == 1 else f"{draft.places_used} places"
    return f"{draft.name}: {places}, {trim}, {lists}, {low}"
