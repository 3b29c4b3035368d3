"""American Wood Council: ANSI/AWC NDS-2018, National Design Specification for Wood Construction, Table 12.2B,
wood screw reference withdrawal design values W.

Twenty cells, two of them seen in a second-hand copy, the others from memory; each met within one pound per
inch. Several look cut off, not rounded, which is why the tolerance is 1 and not one half.
"""

from __future__ import annotations

import pytest

from secure_load.strength import nds
from secure_load.strength.units import INCH, POUND_FORCE_PER_INCH
from tests.published._table import Row, compare, load

TABLE = "nds_table_12_2b"


def recompute(row: Row) -> dict[str, float]:
    W = nds.wood_screw_withdrawal_per_m(row.inputs["G"], row.inputs["D_in"] * INCH)
    return {"value": W / POUND_FORCE_PER_INCH}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_nds_table_12_2b(row: Row) -> None:
    compare(row, recompute(row))
