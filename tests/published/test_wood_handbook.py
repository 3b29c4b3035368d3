"""USDA Forest Products Laboratory: Wood Handbook, Wood as an Engineering Material, FPL-GTR-282 (2021) and
FPL-GTR-190 (2010): chapter 4 (specific gravity), Tables 5-3a and 5-3b (strength in metric and inch-pound
units), chapter 8 (withdrawal).

Six pairs of printed strengths, read in both printings, agree within the rounding of the metric one (that
checks the units, not a formula); three pairs of specific gravities within 0.02; two metric withdrawal
constants to their last digit.
"""

from __future__ import annotations

import pytest

from secure_load.strength import wood_handbook
from secure_load.strength.units import MILLIMETRE, PSI
from tests.published._table import Row, compare, load

TABLE = "wood_handbook"

ULTIMATE = {
    "wh_metric_wood_screw": (15700, wood_handbook.ultimate_wood_screw_withdrawal),
    "wh_metric_lag": (8100, wood_handbook.ultimate_lag_withdrawal),
}


def recompute(row: Row) -> dict[str, float]:
    if row.id in ULTIMATE:
        constant, withdrawal = ULTIMATE[row.id]
        assert row.inputs["inch_pound_constant"] == constant
        # G, D and L of one unit each leave the metric constant itself.
        return {"value": withdrawal(1.0, MILLIMETRE, MILLIMETRE)}
    if "G_b" in row.inputs:
        # chapter 4: G_M = G_b / (1 - 0.265 a G_b), a = (30 - M) / 30; how the catalogue fills its gaps
        return {"value": row.inputs["G_b"] / (1.0 - 0.265 * 0.6 * row.inputs["G_b"])}
    return {"value": row.inputs["psi"] * PSI / 1e6}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_wood_handbook(row: Row) -> None:
    compare(row, recompute(row))
