"""American Wood Council: ANSI/AWC NDS-2018, National Design Specification for Wood Construction, 3.10.4
(bearing area factor) and 12.4.1 (lag and wood screws under combined load).

One printed figure from memory; the combined loads are worked from the formula and stand as a guard only.
"""

from __future__ import annotations

import math

import pytest

from secure_load.strength import nds, timber
from secure_load.strength.units import INCH
from tests.published._table import Row, compare, load

TABLE = "nds_clauses"


def recompute(row: Row) -> dict[str, float]:
    given = row.inputs
    if row.id == "nds_Cb2":
        return {"value": timber.bearing_area_factor(given["l_b_in"] * INCH)}
    # The formula has one unit of force throughout, so pounds may go in and come out.
    alpha = math.radians(given["alpha_deg"])
    return {"value": nds.interaction_strength(given["Z_lbf"], given["Wp_lbf"], alpha)}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_nds_clauses(row: Row) -> None:
    compare(row, recompute(row))


@pytest.mark.parametrize("row", [row for row in load(TABLE) if "alpha_deg" in row.inputs], ids=str)
def test_utilisation_is_the_load_over_the_strength_at_its_angle(row: Row) -> None:
    given, load_size = row.inputs, 57.0
    alpha = math.radians(given["alpha_deg"])
    used = nds.interaction_wood_screw(
        given["Z_lbf"], given["Wp_lbf"], load_size * math.cos(alpha), load_size * math.sin(alpha)
    )
    assert float(used) == pytest.approx(load_size / row.expected["value"], rel=1e-4)
