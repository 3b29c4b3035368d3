"""ISO 898-1:2013, Mechanical properties of fasteners made of carbon steel and alloy steel, Tables 4 to 7:
nominal stress area.

Five areas of the coarse series, seen in copies, each met to the last printed digit.
"""

from __future__ import annotations

import pytest

from secure_load.strength import bolts
from secure_load.strength.units import MILLIMETRE
from tests.published._table import Row, compare, load

TABLE = "iso_898"


def recompute(row: Row) -> dict[str, float]:
    area = bolts.stress_area(row.inputs["d"] * MILLIMETRE, row.inputs["P"] * MILLIMETRE)
    return {"value": area / MILLIMETRE**2}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_iso_898(row: Row) -> None:
    compare(row, recompute(row))
