"""American Wood Council: ANSI/AWC NDS-2018, National Design Specification for Wood Construction, 3.10.4
(bearing area factor), 12.4.1 (lag and wood screws under combined load) and Tables 12.5.1A to 12.5.1E with the
Commentary's for thin screws (edges, ends and spacing).

The printed figures were seen in a second-hand copy, but for the bearing area factor; the combined loads are
worked from the formula and stand as a guard only.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from secure_load.strength import nds, timber
from secure_load.strength.units import INCH
from tests.published._table import Row, compare, load

TABLE = "nds_clauses"


THICK, THIN = 0.010, 0.005
"""m: diameters on either side of the quarter inch at which the tables begin."""


def end(D: float, softwood: bool) -> dict[str, Any]:
    actions = {"toward": "along_toward_end", "away": "along_away_from_end", "across": "across"}
    return {key: nds.end_distance(D, action, softwood) / D for key, action in actions.items()}


def in_row(D: float) -> dict[str, Any]:
    return {key: nds.spacing_in_row(D, row_along_grain=key == "along") / D for key in ("along", "across")}


def placing(given: dict[str, Any]) -> dict[str, Any]:
    """Distances over the diameter."""
    match given["placing"]:
        case "end":
            return end(THICK, given["softwood"])
        case "in row":
            return in_row(THICK)
        case "edge":
            return {
                key: nds.edge_distance(THICK, loaded_edge=key == "loaded") / THICK for key in ("unloaded", "loaded")
            }
        case "lag":
            return {key: distance / THICK for key, distance in nds.lag_withdrawal_distances(THICK).items()}
        case _:
            ends = end(THIN, softwood=True)
            del ends["across"]
            return {"edge": nds.edge_distance(THIN, loaded_edge=False) / THIN, **ends, **in_row(THIN)}


def recompute(row: Row) -> dict[str, Any]:
    given = row.inputs
    if "placing" in given:
        return placing(given)
    if row.id == "nds_Cb2":
        return {"value": timber.bearing_area_factor(given["l_b_in"] * INCH)}
    # The formula has one unit of force throughout, so pounds may go in and come out.
    alpha = math.radians(given["alpha_deg"])
    used = nds.interaction_wood_screw(given["Z_lbf"], given["Wp_lbf"], math.cos(alpha), math.sin(alpha))
    return {"value": float(1.0 / used)}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_nds_clauses(row: Row) -> None:
    compare(row, recompute(row))
