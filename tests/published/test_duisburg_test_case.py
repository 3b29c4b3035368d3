"""A hull that others drew and others measured: the Duisburg Test Case of el Moctar, Shigunov and Zorn (2012).

Its offsets were taken off the surface that the OpenFOAM examples carry. They are held against the printed dimensions
(from memory), against the mass and centre in that package's own case files, and, upright and heeled, against the
surface itself, summed triangle by triangle without a station.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest

from secure_load.afloat.hull.attitude import fixed_load
from secure_load.afloat.hull.hull import Hull, hull_from_sections
from secure_load.afloat.hull.hydrostatics import hydrostatics_at
from secure_load.afloat.hull.levers import RightingCurve, righting_curve
from tests.published._table import HERE, Row, compare, load

TABLE = "duisburg_test_case"
DRAUGHT = 0.244
FRESH = 998.8


@cache
def model() -> Hull:
    with (HERE / f"{TABLE}_offsets.toml").open("rb") as file:
        sections = tomllib.load(file)["section"]
    return hull_from_sections([s["x_m"] for s in sections], [np.array(s["points_m"]) for s in sections])


def curve(given: dict[str, Any]) -> RightingCurve:
    upright = hydrostatics_at(model(), 0.0, 0.0, FRESH)
    centre = np.array([upright.x_b, 0.0, given["KG_m"] - DRAUGHT])
    found = righting_curve(
        model(), lambda heel: fixed_load(upright.mass, centre, heel), FRESH, heel=np.radians(given["heel_deg"])
    )
    assert bool(np.all(found.solved))
    return found


def volume(given: dict[str, Any]) -> dict[str, Any]:
    scale = given["scale"]
    made = hydrostatics_at(model(), given["T_m"] / scale - DRAUGHT, 0.0, FRESH)
    full = made.volume * scale**3
    if "Lpp_m" not in given:
        return {"V_m3": full}
    return {"V_m3": full, "Cb": full / (given["Lpp_m"] * given["B_m"] * given["T_m"])}


def case_files(given: dict[str, Any]) -> dict[str, Any]:
    made = hydrostatics_at(model(), 0.0, 0.0, given["rho"])
    return {"mass_kg": made.mass, "LCB_m": made.x_b}


def surface(given: dict[str, Any]) -> dict[str, Any]:
    made = hydrostatics_at(model(), 0.0, 0.0, FRESH)
    return {"V_m3": made.volume, "LCB_m": made.x_b, "KB_m": made.kb, "GZ_m": curve(given).lever.tolist()}


def trim(given: dict[str, Any]) -> dict[str, Any]:
    return {"trim_deg": np.degrees(np.arctan(curve(given).tan_trim)).tolist()}


RECOMPUTE: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "dtc_volume_and_block": volume,
    "dtc_model_volume": volume,
    "dtc_case_files": case_files,
    "dtc_surface": surface,
    "dtc_surface_trim": trim,
}


def recompute(row: Row) -> dict[str, Any]:
    return RECOMPUTE[row.id](row.inputs)


def test_every_row_is_recomputed() -> None:
    assert {row.id for row in load(TABLE)} == set(RECOMPUTE)


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_the_hull_is_what_others_say(row: Row) -> None:
    compare(row, recompute(row))


def test_every_other_station_will_nearly_do() -> None:
    """Half the stations, the ends kept: the volume moves by less than a part in a thousand, but it does move."""
    with (HERE / f"{TABLE}_offsets.toml").open("rb") as file:
        sections = tomllib.load(file)["section"]
    kept = [s for n, s in enumerate(sections) if n % 2 == 1 or n in (0, len(sections) - 1)]
    coarse = hull_from_sections([s["x_m"] for s in kept], [np.array(s["points_m"]) for s in kept])
    fine = hydrostatics_at(model(), 0.0, 0.0, FRESH).volume
    off = hydrostatics_at(coarse, 0.0, 0.0, FRESH).volume / fine - 1.0
    assert 1e-6 < abs(off) < 1e-3
