"""American Wood Council: ANSI/AWC NDS-2015 and NDS-2018, National Design Specification for Wood Construction,
Table 12.2A, lag screw reference withdrawal design values W, p. 77.

Fifteen cells, read on a scan of the page; each met to the printed pound per inch.
"""

from __future__ import annotations

import pytest

from secure_load.strength import nds
from secure_load.strength.units import INCH, POUND_FORCE_PER_INCH
from tests.published._table import Row, compare, load

TABLE = "nds_table_12_2a"


def recompute(row: Row) -> dict[str, float]:
    W = nds.lag_withdrawal_per_m(row.inputs["G"], row.inputs["D_in"] * INCH)
    return {"value": W / POUND_FORCE_PER_INCH}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_nds_table_12_2a(row: Row) -> None:
    compare(row, recompute(row))
