"""Hulls whose sums are closed forms: a box, a box that lolls, a round log, the mathematical hull of W. C. S. Wigley
(1934), half an ellipsoid. Expected values are of the closed forms, and of an independent integration of sections
for the levers of Wigley's hull; none is our own output.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from secure_load.afloat.hull.attitude import fixed_load
from secure_load.afloat.hull.hull import Hull
from secure_load.afloat.hull.hydrostatics import Hydrostatics, hydrostatics_at
from secure_load.afloat.hull.levers import LoadAt, resting_heel, righting_curve, vanishing_angle
from tests.published._table import Row, compare, load
from tests.reference.books import lever_wall_sided, loll_wall_sided
from tests.reference.hulls import box, half_ellipsoid, log, wigley

TABLE = "afloat_hulls"
SEA = 1025.0


def carries(mass: float, x: float, z: float) -> LoadAt:
    return lambda heel: fixed_load(mass, np.array([x, 0.0, z]), heel)


def levers(hull: Hull, made: Hydrostatics, given: dict[str, Any]) -> list[float]:
    load_at = carries(made.mass, made.x_b, given["KG_m"] + hull.lowest)
    curve = righting_curve(hull, load_at, made.density, heel=np.radians(given["heel_deg"]))
    assert bool(np.all(curve.solved))
    return curve.lever.tolist()


def small_box(given: dict[str, Any]) -> dict[str, Any]:
    hull = box(given["L_m"], given["B_m"], given["D_m"], given["T_m"])
    made = hydrostatics_at(hull, 0.0, 0.0, given["rho"])
    return {
        "V_m3": made.volume,
        "disp_kg": made.mass,
        "KB_m": made.kb,
        "BM_m": made.bm,
        "BML_m": made.bm_along,
        "GM_m": made.kb + made.bm - given["KG_m"],
        "kg_per_cm": made.kg_per_cm,
        "GZ_m": levers(hull, made, given),
    }


def lolling_box(given: dict[str, Any]) -> dict[str, Any]:
    hull = box(given["L_m"], given["B_m"], given["D_m"], given["T_m"])
    made = hydrostatics_at(hull, 0.0, 0.0, SEA)
    gm = made.kb + made.bm - given["KG_m"]
    rest = resting_heel(hull, carries(made.mass, made.x_b, given["KG_m"] + hull.lowest), SEA)
    assert rest == pytest.approx(loll_wall_sided(gm, made.bm), abs=1e-7)
    return {"GM_m": gm, "loll_deg": math.degrees(rest)}


def cylinder(given: dict[str, Any]) -> dict[str, Any]:
    hull = log(given["L_m"], given["R_m"], given["T_m"], points=1000)
    made = hydrostatics_at(hull, 0.0, 0.0, SEA)
    return {
        "V_m3": made.volume,
        "KB_m": made.kb,
        "BM_m": made.bm,
        "KM_m": made.kb + made.bm,
        "GZ_m": levers(hull, made, given),
    }


def wigley_small(given: dict[str, Any]) -> dict[str, Any]:
    size = given["L_m"], given["B_m"], given["T_m"], given["F_m"]
    # Displacement is wanted to a gramme in four tonnes, so the curved sections take many corners.
    made = hydrostatics_at(wigley(*size, stations=81, points=2500), 0.0, 0.0, given["rho"])
    hull = wigley(*size, stations=61, points=300)
    return {
        "V_m3": made.volume,
        "disp_kg": made.mass,
        "Cb": made.volume / (given["L_m"] * given["B_m"] * given["T_m"]),
        "Cwp": made.waterplane / (given["L_m"] * given["B_m"]),
        "Aw_m2": made.waterplane,
        "KB_m": made.kb,
        "BM_m": made.bm,
        "BML_m": made.bm_along,
        "GM_m": made.kb + made.bm - given["KG_m"],
        "kg_per_cm": made.kg_per_cm,
        "MCT1cm_kg_m": made.moment_to_trim_1cm(given["KG_m"], given["L_m"]),
        "GZ_m": levers(hull, hydrostatics_at(hull, 0.0, 0.0, given["rho"]), given),
    }


def wigley_vanishing(given: dict[str, Any]) -> dict[str, Any]:
    hull = wigley(given["L_m"], given["B_m"], given["T_m"], given["F_m"], stations=21, points=20)
    made = hydrostatics_at(hull, 0.0, 0.0, given["rho"])
    load_at = carries(made.mass, made.x_b, given["KG_m"] + hull.lowest)
    beyond = vanishing_angle(hull, load_at, given["rho"], righting_curve(hull, load_at, given["rho"]), 0.0)
    assert beyond is not None
    return {"AVS_deg": math.degrees(beyond)}


def ellipsoid(given: dict[str, Any]) -> dict[str, Any]:
    made = hydrostatics_at(half_ellipsoid(given["a_m"], given["b_m"], given["c_m"], 401, 1200), 0.0, 0.0, SEA)
    return {
        "V_m3": made.volume,
        "KB_m": made.kb,
        "BM_m": made.bm,
        "BML_m": made.bm_along,
        "Aw_m2": made.waterplane,
    }


RECOMPUTE: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "hull_box_small": small_box,
    "hull_box_loll": lolling_box,
    "hull_cylinder": cylinder,
    "hull_wigley_small_kg055": wigley_small,
    "hull_wigley_small_kg035": wigley_small,
    "hull_wigley_small_kg055_avs": wigley_vanishing,
    "hull_wigley_small_kg035_avs": wigley_vanishing,
    "hull_half_ellipsoid": ellipsoid,
}


def recompute(row: Row) -> dict[str, Any]:
    return RECOMPUTE[row.id](row.inputs)


def test_every_row_is_recomputed() -> None:
    assert {row.id for row in load(TABLE)} == set(RECOMPUTE)


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_closed_forms_are_met(row: Row) -> None:
    compare(row, recompute(row))


@pytest.mark.parametrize("draught", [0.3, 0.8, 1.3, 1.8])
def test_a_log_rights_with_the_same_lever_at_every_draught(draught: float) -> None:
    hull = log(5.0, 1.0, draught, points=400)
    made = hydrostatics_at(hull, 0.0, 0.0, SEA)
    heel = np.radians(np.arange(0.0, 181.0, 10.0))
    curve = righting_curve(hull, carries(made.mass, 2.5, 0.7 + hull.lowest), SEA, heel=heel)
    assert curve.lever == pytest.approx(0.3 * np.sin(heel), abs=2e-5)


def test_a_log_with_low_weight_comes_back_from_anywhere() -> None:
    hull = log(5.0, 1.0, 1.0)
    made = hydrostatics_at(hull, 0.0, 0.0, SEA)
    load_at = carries(made.mass, 2.5, 0.7 + hull.lowest)
    assert vanishing_angle(hull, load_at, SEA, righting_curve(hull, load_at, SEA), 0.0) == pytest.approx(math.pi)


@pytest.mark.parametrize("heel_deg", [2.0, 5.0, 10.0, 15.0, 21.5])
def test_wall_sides_are_met_to_rounding(heel_deg: float) -> None:
    """To the bilge, at 21.8 degrees, sin(heel) (GM + BM/2 tan^2(heel)) is exact for the box."""
    hull = box(6.0, 2.0, 1.2, 0.4)
    made = hydrostatics_at(hull, 0.0, 0.0, SEA)
    heel = math.radians(heel_deg)
    curve = righting_curve(hull, carries(made.mass, 3.0, 0.5 - 0.4), SEA, heel=np.array([heel]))
    wall = lever_wall_sided(made.kb + made.bm - 0.5, made.bm, heel)
    assert float(curve.lever[0]) == pytest.approx(wall, rel=1e-9)
