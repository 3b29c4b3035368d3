"""Before and after: how she floats without the listed weights and with them, and what changed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from secure_load.afloat.conditions import condition
from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.loose import broken_loose
from secure_load.afloat.masses import Loading, Lump, loaded
from secure_load.afloat.measured import rolled
from secure_load.afloat.models import Change, Condition, FloatReport, Loose, State
from secure_load.afloat.screening import screened
from secure_load.afloat.sense import TOO_LITTLE, flare_decides, unusual
from secure_load.afloat.states import loading_in_state
from secure_load.afloat.vessel_data import Known, gather
from secure_load.boat.hull import FloatData
from secure_load.boat.models import BoatFile
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor_row

FAIR_STATIONS = 9
RIG_DEG = 30.0
"""Heel at which the work of the rig is taken: common practice."""
SIDES = {"port": -1, "starboard": 1, None: None}
LIMITS = (
    "Calculated from the file; they show compliance with no standard of stability.",
    "Hull and deck are assumed watertight, in still water, with nothing shifting but the "
    "liquids of tanks whose size is given.",
)


def float_report(boat: BoatFile, loose: Sequence[str] = ()) -> FloatReport:
    """How she floats, before (without the listed weights) and after (with them).

    Args:
        boat: the boat file.
        loose: ids of weights that are shown gone to the low side as well, to either hand.

    Raises:
        CannotFloat: too little is known, or she would sink, or an id is in no weight; one sentence.
        UnknownRow: a fluid or water that is not in the catalogue.
    """
    data = boat.float_ or FloatData()
    known = gather(boat)
    winds = _winds(data, known)
    gyradius = _gyradius(boat, known)
    after = condition(known, loading_of(known), data, gyradius, winds)
    before = after
    if known.lumps:
        # Upright before, her levers are given to the side she lists to after: the two compare.
        upright = 1 if after.righting_side == "starboard" else -1
        before = condition(known, loaded(known.own, ()), data, gyradius, winds, upright=upright)
    before, after = (
        lies.model_copy(
            update={
                "pitch_gyradius_m": _pitch_gyradius(known, lumps),
                "screening": screened(lies, data, known.shape.bwl, known.shape.lwl),
            }
        )
        for lies, lumps in ((before, ()), (after, known.lumps))
    )
    _say_limits(known, data)
    known.told.notes.extend(unusual(known, before))
    _say_fills(known, after)
    return FloatReport(
        boat=known.name,
        water=f"{known.shape.water}, {known.shape.density:g} kg/m3",
        basis=known.basis,
        before=before,
        after=after,
        change=_change(known, before, after),
        measured=known.told.measured,
        assumptions=list(dict.fromkeys(known.told.assumptions)),
        notes=list(dict.fromkeys(known.told.notes)),
        states=[
            State(
                name=s.name,
                lies=condition(known, loading_in_state(boat, known, s), data, gyradius, winds, SIDES.get(s.heeled_to)),
            )
            for s in data.state
        ],
        loose=loose_report(boat, loose) if loose else None,
    )


def loose_report(boat: BoatFile, ids: Sequence[str]) -> Loose:
    """How she lies with weights gone to port and to starboard, and as stowed; raises as `condition_when_loose`."""
    ids = list(dict.fromkeys(ids))
    known = gather(boat)
    stowed = loading_of(known)
    return Loose(
        weights=ids,
        port=_towards(boat, known, broken_loose(boat, known, ids, -1), -1),
        starboard=_towards(boat, known, broken_loose(boat, known, ids, 1), 1),
        stowed_port=_towards(boat, known, stowed, -1),
        stowed_starboard=_towards(boat, known, stowed, 1),
    )


def condition_when_loose(boat: BoatFile, ids: Sequence[str], side: int = 1) -> Condition:
    """How she lies when weights have broken loose and gone to the low side.

    Args:
        boat: the boat file.
        ids: the weights that broke loose.
        side: +1 starboard is the low side, -1 port.

    Raises:
        CannotFloat: as `float_report`, or an id that is in no weight.
        UnknownRow: a fluid or water that is not in the catalogue.
    """
    known = gather(boat)
    return _towards(boat, known, broken_loose(boat, known, ids, side), side)


def _towards(boat: BoatFile, known: Known, loading: Loading, side: int) -> Condition:
    """How she floats with ``loading`` in her, her levers to one side."""
    data = boat.float_ or FloatData()
    return condition(known, loading, data, _gyradius(boat, known), _winds(data, known), side)


def loading_of(known: Known) -> Loading:
    """She with all the listed weights in her."""
    return loaded(known.own, known.lumps)


def _gyradius(boat: BoatFile, known: Known) -> float:
    """Radius of gyration in roll, m: measured where a roll test and an inclining test say so, else assumed."""
    data = boat.float_ or FloatData()
    breadth = known.shape.bwl
    if data.roll_test is not None:
        if data.roll_test.gyradius_over_breadth is not None:
            return data.roll_test.gyradius_over_breadth * breadth
        if known.rests_on not in ("an assumption", "the roll-period test"):
            full = loading_of(known) if data.roll_test.weights_aboard else loaded(known.own, ())
            form = known.shape.upright_at(full.mass)
            gm = form.kb + form.bm - full.centre[2] - known.shape.draught - full.free_surface_loss
            if gm > 0:
                return rolled(data.roll_test, breadth, gm).gyradius
    share = assumed("gyradius-over-breadth")
    known.told.assumptions.append(
        f"Her radius of gyration is taken as {share.value:g} of her breadth (neutral): the roll period is only as "
        "good as that."
    )
    return share.number * breadth


def _pitch_gyradius(known: Known, lumps: Sequence[Lump]) -> float:
    """Radius of gyration in pitch with some of the weights in her, m: sum of m (k^2 + dx^2 + dz^2) over the mass.

    Each weight counts as a point, herself with a share of her length.
    """
    own = known.own
    whole = loaded(own, lumps)
    share = assumed("gyradius-over-length").number
    moment = own.mass * (share * known.shape.lwl) ** 2 + sum(
        lump.mass * ((lump.at[0] - whole.centre[0]) ** 2 + (lump.at[2] - whole.centre[2]) ** 2)
        for lump in (own, *lumps)
    )
    return round(math.sqrt(moment / whole.mass), 4)


def _winds(data: FloatData, known: Known) -> list[float]:
    if data.sail_area_m2 is None or data.sail_lever_m is None:
        if data.wind_m_s is not None:
            lacking = " and ".join(k for k in ("sail_area_m2", "sail_lever_m") if getattr(data, k) is None)
            known.told.notes.append(f"Her heel in the wind is not given: [float] lacks {lacking}.")
        return []
    row = factor_row("wind-force-coefficient")
    known.told.assumptions.append(
        f"The wind pushes with {row.value:g} times its dynamic pressure on the sail area ({row.source})."
    )
    if data.wind_m_s is not None:
        return list(data.wind_m_s)
    wind = assumed("wind")
    known.told.assumptions.append(f"No wind is stated: {wind.text} is taken ({wind.source}).")
    return [wind.number]


def _say_limits(known: Known, data: FloatData) -> None:
    notes = known.told.notes
    notes.extend(LIMITS)
    if known.shape.hull is None:
        notes.append(
            "Levers at 15 and 30 degrees are GM carried on, mostly too great at 30; at 90 degrees, and for the "
            "vanishing angle, sections are needed."
        )
        if data.opening:
            notes.append("Without sections nobody can tell when the openings go under.")
    elif known.shape.drawn < FAIR_STATIONS:
        notes.append(f"She is drawn with {known.shape.drawn} sections only; {FAIR_STATIONS} to 21 are usual.")
    if known.shape.hull is not None and not data.opening:
        notes.append("No opening is stated, so nothing is said of the heel at which water gets in.")
    if any(liquid.slack for lump in known.lumps if (liquid := lump.liquid) is not None):
        notes.append("The liquid of slack tanks runs across in the sums; what it does to her trim is left out.")


def _say_fills(known: Known, after: Condition) -> None:
    """An opening that goes under while she would still come back: the curve beyond it is of a boat that is dry."""
    wet = [(f.heel_deg, f.name, f.side) for f in after.flooding if f.heel_deg is not None]
    beyond = after.vanishing_angle_deg
    if not wet or beyond is None:
        return
    heel, name, side = min(wet)
    if heel < beyond:
        known.told.notes.append(
            f"Water comes in at the {name} from {heel:.0f} degrees to {side}, before the vanishing angle of "
            f"{beyond:.0f}: held down there she fills, and neither that angle nor the curve beyond holds."
        )


def _change(known: Known, before: Condition, after: Condition) -> Change:
    stiff = None
    if before.gm_m > 0:
        stiff = round(100.0 * (after.displacement_kg * after.gm_m / (before.displacement_kg * before.gm_m) - 1.0), 2)
    lists = None
    if before.list_deg is not None and after.list_deg is not None:
        lists = round(after.list_deg - before.list_deg, 4)
    fore = after.draught_fore_m - before.draught_fore_m
    aft = after.draught_aft_m - before.draught_aft_m
    early, late = (next(r.moment_Nm for r in c.righting if r.heel_deg == RIG_DEG) for c in (before, after))
    rig = round(100.0 * (late / early - 1.0), 2) if early is not None and late is not None and early > 0 else None
    words = _stiffer(stiff, after)
    if stiff is not None and flare_decides(known, before, after):
        words = TOO_LITTLE
    elif rig is not None and rig >= 0.5:
        words += (
            f" At {RIG_DEG:.0f} degrees of heel it is {rig:.0f} % more: shrouds and chainplates work "
            f"{rig:.0f} % harder."
        )
    return Change(
        displacement_kg=round(after.displacement_kg - before.displacement_kg, 3),
        sinkage_m=round(0.5 * (fore + aft), 5),
        draught_fore_m=round(fore, 5),
        draught_aft_m=round(aft, 5),
        trim_deg=round(after.trim_deg - before.trim_deg, 4),
        list_deg=lists,
        kg_m=round(after.kg_m - before.kg_m, 5),
        gm_m=round(after.gm_m - before.gm_m, 5),
        moment_30_percent=rig,
        stiffness_percent=stiff,
        words=words,
    )


def _stiffer(stiff: float | None, after: Condition) -> str:
    if after.gm_m <= 0:
        return "With the listed weights she does not stand upright by herself: GM is nil or negative."
    if stiff is None:
        return "Without the listed weights she does not stand upright by herself; with them she does."
    if abs(stiff) < 0.5:
        return "She is as stiff as before: less than 0.5 % difference."
    return (
        f"She is {'stiffer' if stiff > 0 else 'more tender'}: {abs(stiff):.0f} % "
        + ("more" if stiff > 0 else "less")
        + " righting moment for each degree of heel."
    )


__all__ = ["CannotFloat", "condition_when_loose", "float_report", "loading_of", "loose_report"]
