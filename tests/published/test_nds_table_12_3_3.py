"""American Wood Council: ANSI/AWC NDS-2018, National Design Specification for Wood Construction, Table
12.3.3, dowel bearing strengths.

Eleven cells, four of them seen in a second-hand copy, the others from memory; met exactly when rounded to
50 psi as the table is.
"""

from __future__ import annotations

import pytest

from secure_load.strength import nds
from secure_load.strength.units import INCH, PSI
from tests.published._table import Row, compare, load

TABLE = "nds_table_12_3_3"


def strength(row: Row, rounded: bool) -> float:
    G = row.inputs["G"]
    if row.id.startswith("nds_Fe_small"):
        return nds.dowel_bearing_small(G, rounded) / PSI
    if row.id.startswith("nds_Fe_par"):
        return nds.dowel_bearing_parallel(G, rounded) / PSI
    return nds.dowel_bearing_perpendicular(G, row.inputs["D_in"] * INCH, rounded) / PSI


def recompute(row: Row) -> dict[str, float]:
    return {"value": strength(row, rounded=False)}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_nds_table_12_3_3(row: Row) -> None:
    compare(row, recompute(row))
    assert strength(row, rounded=True) == pytest.approx(row.expected["value"], abs=1e-6)
