"""One condition: how she floats with certain masses in her, as the report says it.

With sections everything comes from the balance of weight and both moments. Without them draught, trim and list
follow from kg per cm, the moment to trim and GM, which is right for small changes, and the levers at greater
heels are GM carried on and marked as a guess.
"""

from __future__ import annotations

import math

import numpy as np

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.formulas import lever_small, roll_period
from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.hull.hydrostatics import hydrostatics_at
from secure_load.afloat.hull.levers import (
    NO_LIST,
    RightingCurve,
    area_under,
    comes_back_from,
    floods_at,
    lever_at,
    lies_at,
    resting_heel,
    righting_curve,
    vanishing_angle,
)
from secure_load.afloat.marks import on_marks
from secure_load.afloat.masses import Loading
from secure_load.afloat.models import Condition, Curve, Flooding, Righting, WindHeel
from secure_load.afloat.particulars import Upright
from secure_load.afloat.vessel_data import Known
from secure_load.afloat.wind import heel_in_gust, heel_in_wind, heeling_moment
from secure_load.boat.hull import FloatData
from secure_load.catalogue.lookup import factor

REPORTED_DEG = (1.0, 15.0, 30.0, 90.0)
"""Heels at which the report gives the lever."""
SURE_DEG = 7.0
"""Heel up to which GM sin(heel) stands for the lever without a word: common practice puts it at 7 to 10."""
KNOCKED_DEG = 60.0
"""Heel under a steady wind beyond which she is said to be knocked down: common practice."""
GUESSED_DEG = 40.0
"""Heel beyond which, without sections, nothing is said."""


def condition(
    known: Known,
    loading: Loading,
    data: FloatData,
    gyradius: float,
    winds: list[float],
    towards: int | None = None,
    upright: int = 1,
) -> Condition:
    """How she floats with ``loading`` in her.

    Args:
        known: what is known of her.
        loading: all masses, herself included.
        data: sail area, lever and openings.
        gyradius: in roll, m.
        winds: m/s.
        towards: the side her levers are asked for, +1 starboard; the side she lists to unless given.
        upright: that side where she has no list.

    Raises CannotFloat where she would sink or no balance is found.
    """
    if known.shape.hull is not None:
        return _by_offsets(known, loading, data, gyradius, winds, towards, upright)
    return _by_particulars(known, loading, data, gyradius, winds, towards, upright)


def _deg(angle: float) -> float:
    return round(math.degrees(angle), 4) + 0.0  # no minus nil


def _side(lists: float | None, if_upright: int) -> int:
    """The side she lists to, +1 starboard."""
    return 1 if lists is not None and lists > 0 else -1 if lists is not None and lists < 0 else if_upright


def _deg_or_none(angle: float | None) -> float | None:
    return None if angle is None else _deg(angle)


def _period(gyradius: float, gm: float) -> float | None:
    return round(roll_period(gyradius, gm, factor("g0")), 3) if gm > 0 else None


def _error(known: Known, mass: float) -> float | None:
    return None if known.gm_moment_error is None else round(known.gm_moment_error / mass, 4)


def _words(known: Known) -> str:
    shape = known.shape
    if shape.hull is not None:
        form = f"offsets: {shape.drawn} sections"
    else:
        form = "particulars: length, breadth, displacement and coefficients"
    return f"{form}; centre of gravity from {known.rests_on}"


def _by_offsets(
    known: Known,
    loading: Loading,
    data: FloatData,
    gyradius: float,
    winds: list[float],
    towards: int | None,
    if_upright: int,
) -> Condition:
    shape = known.shape
    hull = shape.hull
    assert hull is not None
    water = shape.density
    upright = lies_at(hull, loading.at, water, 0.0)
    rest = resting_heel(hull, loading.at, water)
    lies = lies_at(hull, loading.at, water, rest)
    if not (bool(upright.solved[0]) and bool(lies.solved[0])):
        raise CannotFloat(
            "no balance of weight and trim was found: her centre of gravity lies so far forward or aft that she "
            "would stand on end; look at lcg_m and at the places of the weights",
            "float.lcg_m",
        )
    trim = float(upright.tan_trim[0])
    hydro = hydrostatics_at(hull, float(upright.level[0]), trim, water)
    kg = loading.centre[2] + shape.draught
    gm = hydro.kb + hydro.bm - kg - loading.free_surface_loss
    side = towards or _side(rest, if_upright)
    curve = righting_curve(hull, loading.at, water, side)
    if not bool(np.all(curve.solved)):
        known.told.notes.append("At some heels no balance of trim was found; the righting curve is drawn across them.")
        curve = _bridged(curve)
    beyond = vanishing_angle(hull, loading.at, water, curve, side * rest)
    c = math.cos(rest)
    ends = [
        (float(lies.level[0]) + float(lies.tan_trim[0]) * x) / c + shape.draught if abs(c) > 1e-6 else math.nan
        for x in (shape.aft + shape.lwl, shape.aft)
    ]
    area = None if beyond is None else area_under(curve.heel, curve.lever, max(side * rest, 0.0), beyond)
    below = 0.0 if beyond is None else -area_under(curve.heel, curve.lever, beyond, math.pi)
    top = int(np.argmax(curve.lever))
    flooding = _flooding(known, loading, data, curve)
    levers = [lever_at(curve, math.radians(deg)) for deg in REPORTED_DEG]
    weight = loading.mass * factor("g0")
    return Condition(
        displacement_kg=round(loading.mass, 3),
        draught_fore_m=round(ends[0], 5),
        draught_aft_m=round(ends[1], 5),
        trim_deg=_deg(math.atan(float(lies.tan_trim[0]))),
        list_deg=_deg(rest),
        kb_m=round(hydro.kb, 5),
        bm_m=round(hydro.bm, 5),
        kg_m=round(kg, 5),
        gm_m=round(gm, 5),
        kg_per_cm=round(hydro.kg_per_cm, 4),
        moment_to_trim_1cm_kgm=round(hydro.moment_to_trim_1cm(kg, shape.lwl), 4),
        volume_m3=round(hydro.volume, 6),
        righting=[
            Righting(heel_deg=deg, lever_m=round(lever, 5), moment_Nm=round(lever * weight, 2))
            for deg, lever in zip(REPORTED_DEG, levers, strict=True)
        ],
        vanishing_angle_deg=_deg_or_none(beyond),
        roll_period_s=_period(gyradius, gm),
        heel_in_wind=_winds(data, winds, curve.heel, curve.lever * weight, side * rest, known=True),
        basis=known.basis,
        basis_words=_words(known),
        lcg_m=round(loading.centre[0], 5),
        tcg_m=round(loading.centre[1], 5),
        lcb_m=round(float(lies.x_b[0]), 5),
        lcf_m=round(hydro.x_f, 5),
        waterplane_m2=round(hydro.waterplane, 5),
        free_surface_loss_m=round(loading.free_surface_loss, 5),
        gm_error_m=_error(known, loading.mass),
        area_under_curve_m_rad=None if area is None else round(area, 5),
        area_ratio=None if area is None or below < 1e-4 * area else round(area / below, 3),
        greatest_lever_m=round(float(curve.lever[top]), 5),
        greatest_lever_deg=_deg(float(curve.heel[top])),
        downflooding_deg=min((f.heel_deg for f in flooding if f.heel_deg is not None), default=None),
        righting_side="starboard" if side > 0 else "port",
        curve=Curve(
            heel_deg=[round(math.degrees(a), 3) for a in curve.heel.tolist()],
            lever_m=[round(v, 5) for v in curve.lever.tolist()],
            trim_deg=[round(math.degrees(math.atan(t)), 3) for t in curve.tan_trim.tolist()],
        ),
        flooding=flooding,
        on_marks=on_marks(shape, loading, ends[0], ends[1], rest) if c > 0.5 else None,
        comes_back_from_90=comes_back_from(curve, side * rest, 0.5 * math.pi),
        comes_back_from_180=comes_back_from(curve, side * rest, math.pi),
    )


def _bridged(curve: RightingCurve) -> RightingCurve:
    """The curve with the heels left out at which no balance was found."""
    ok = curve.solved
    return RightingCurve(
        curve.side, curve.heel[ok], curve.lever[ok], curve.tan_trim[ok], curve.level[ok], curve.mass, curve.solved[ok]
    )


def _flooding(known: Known, loading: Loading, data: FloatData, curve: RightingCurve) -> list[Flooding]:
    """For each opening the least heel at which it goes under: to either side, or to that of loose weights alone."""
    if not data.opening:
        return []
    hull = known.shape.hull
    assert hull is not None
    curves = [curve]
    if not loading.shifting:
        curves.append(righting_curve(hull, loading.at, known.shape.density, -curve.side))
    found: list[Flooding] = []
    for opening in data.opening:
        at = np.array(opening.at_m)
        heels = [(floods_at(each, at), each.side) for each in curves]
        wet = [(heel, side) for heel, side in heels if heel is not None]
        if not wet:
            found.append(Flooding(name=opening.name, heel_deg=None, side=None))
            continue
        heel, side = min(wet)
        found.append(Flooding(name=opening.name, heel_deg=_deg(heel), side="starboard" if side > 0 else "port"))
    return found


def _winds(
    data: FloatData, winds: list[float], heel: Array, righting: Array, rest: float, known: bool
) -> list[WindHeel]:
    """Heel under each wind; righting moments [H] in N m at heels [H]; ``known`` where the whole curve is."""
    if data.sail_area_m2 is None or data.sail_lever_m is None:
        return []
    found: list[WindHeel] = []
    for wind in winds:
        over = heeling_moment(wind, data.sail_area_m2, data.sail_lever_m, heel)
        angle = heel_in_wind(heel, righting, over, rest)
        gust = None if angle is None else heel_in_gust(heel, righting, over, rest)
        if angle is not None:
            words = f"{wind:g} m/s heels her to {math.degrees(angle):.0f} degrees"
            if math.degrees(angle) > KNOCKED_DEG:
                words += ": knocked down, with the sails in the water or not far from it"
            elif gust is not None:
                words += f", a gust of it about twice as far, to {math.degrees(gust):.0f}"
            elif known:
                words += ", a gust of it knocks her down"
            if not known and math.degrees(angle) > SURE_DEG:
                words += ", by GM alone: her shape, which is not known, counts at this heel"
        elif known:
            words = f"{wind:g} m/s lays her flat with all this sail set"
        else:
            words = f"{wind:g} m/s heels her beyond {GUESSED_DEG:g} degrees, further than can be told without sections"
        found.append(WindHeel(wind_m_s=wind, heel_deg=_deg_or_none(angle), gust_deg=_deg_or_none(gust), words=words))
    return found


def _by_particulars(
    known: Known,
    loading: Loading,
    data: FloatData,
    gyradius: float,
    winds: list[float],
    towards: int | None,
    if_upright: int,
) -> Condition:
    shape = known.shape
    form = shape.upright_at(loading.mass)
    assert isinstance(form, Upright)
    x_g, y_g, z_g = loading.centre
    kg = z_g + shape.draught
    gm = form.kb + form.bm - kg - loading.free_surface_loss
    middle = shape.aft + 0.5 * shape.lwl
    gm_along = form.kb + form.bm_along - kg
    if gm_along <= 0.1 * form.bm_along:
        raise CannotFloat(
            f"her centre of gravity would lie {kg:.2f} m above the keel, higher than any trim can be reckoned; "
            "look at kg_m and at the heights of the weights",
            "float.kg_m",
        )
    tan_trim = (x_g - middle) / gm_along
    if abs(tan_trim) > 0.15:
        raise CannotFloat(
            f"the weights would trim her {abs(math.degrees(math.atan(tan_trim))):.0f} degrees, further than can be "
            "reckoned without sections; look at the first figure of their at_m",
            "weight.at_m",
        )
    half = 0.5 * tan_trim * shape.lwl
    # G to port (y > 0) lists her to port, which is a negative heel.
    lists = -math.atan(y_g / gm) if gm > 0 else None
    if lists is not None and abs(lists) < NO_LIST:
        lists = 0.0
    if lists is not None and abs(math.degrees(lists)) > SURE_DEG:
        known.told.notes.append(
            f"A list of {abs(math.degrees(lists)):.0f} degrees is reckoned with GM alone; her shape, which is not "
            "known, counts at this heel."
        )
    side = towards or _side(lists, if_upright)
    weight = loading.mass * factor("g0")
    offset = -side * y_g  # how far G lies to the side she is heeled to

    def lever(heel: float) -> float:
        return lever_small(gm, heel) - offset * math.cos(heel)

    righting: list[Righting] = []
    for deg in REPORTED_DEG:
        arm = lever(math.radians(deg)) if deg <= GUESSED_DEG else None
        righting.append(
            Righting(
                heel_deg=deg,
                lever_m=None if arm is None else round(arm, 5),
                moment_Nm=None if arm is None else round(arm * weight, 2),
                guess=arm is not None and deg > SURE_DEG,
            )
        )
    heels = np.radians(np.arange(0.0, GUESSED_DEG + 0.01, 0.5))
    moments = np.array([lever(a) * weight for a in heels.tolist()])
    return Condition(
        displacement_kg=round(loading.mass, 3),
        draught_fore_m=round(form.draught + half, 5),
        draught_aft_m=round(form.draught - half, 5),
        trim_deg=_deg(math.atan(tan_trim)),
        list_deg=_deg_or_none(lists),
        kb_m=round(form.kb, 5),
        bm_m=round(form.bm, 5),
        kg_m=round(kg, 5),
        gm_m=round(gm, 5),
        kg_per_cm=round(form.kg_per_cm, 4),
        moment_to_trim_1cm_kgm=round(form.moment_to_trim_1cm(kg, shape.lwl), 4),
        volume_m3=round(form.volume, 6),
        righting=righting,
        vanishing_angle_deg=None,
        roll_period_s=_period(gyradius, gm),
        heel_in_wind=_winds(data, winds, heels, moments, 0.0 if lists is None else side * lists, known=False),
        basis=known.basis,
        basis_words=_words(known),
        lcg_m=round(x_g, 5),
        tcg_m=round(y_g, 5),
        lcb_m=round(x_g, 5),
        lcf_m=round(middle, 5),
        waterplane_m2=round(form.waterplane, 5),
        free_surface_loss_m=round(loading.free_surface_loss, 5),
        gm_error_m=_error(known, loading.mass),
        area_under_curve_m_rad=None,
        righting_side="starboard" if side > 0 else "port",
        on_marks=on_marks(shape, loading, form.draught + half, form.draught - half, lists),
    )
