"""API Specification 9A, Specification for Wire Rope, Table C.1 (6x7 fibre core, grade 1770); and a maker's
breaking strength of 1x19 wire of AISI 316, 1/16 in.

Three breaking forces met within 0.1 kN; the 1x19 figure is undershot by 8 % (its K and R are from memory,
tolerance 60 lbf).
"""

from __future__ import annotations

import pytest

from secure_load.strength import lines
from secure_load.strength.units import MILLIMETRE, POUND_FORCE
from tests.published._table import Row, compare, load

TABLE = "wire_rope"


def recompute(row: Row) -> dict[str, float]:
    given = row.inputs
    force = lines.wire_breaking(given["d_mm"] * MILLIMETRE, given["K"], given["R"] * 1e6)
    return {"value": force / (POUND_FORCE if row.id.startswith("wire_1x19") else 1000.0)}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_wire_rope(row: Row) -> None:
    compare(row, recompute(row))


def test_stainless_1x19_errs_on_the_safe_side() -> None:
    row = next(row for row in load(TABLE) if row.id.startswith("wire_1x19"))
    assert recompute(row)["value"] < row.expected["value"]
