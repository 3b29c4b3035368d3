"""A civil engineering formulas handbook, Table 6.2 (specific gravity of timbers and its square, for p = 2850
G^2 D).

Four printed squares, read on a stored copy, met to the last printed digit. They check the exponent and the
species' G, not the coefficient.
"""

from __future__ import annotations

import pytest

from secure_load.strength import nds
from secure_load.strength.units import INCH, POUND_FORCE_PER_INCH
from tests.published._table import Row, compare, load

TABLE = "civil_engineering_handbook"


def recompute(row: Row) -> dict[str, float]:
    W = nds.wood_screw_withdrawal_per_m(row.inputs["G"], INCH) / POUND_FORCE_PER_INCH
    return {"value": W / 2850.0}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_civil_engineering_handbook(row: Row) -> None:
    compare(row, recompute(row))
