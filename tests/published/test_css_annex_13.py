"""International Maritime Organization: Code of Safe Practice for Cargo Stowage and Securing (CSS Code), Annex
13, Methods to assess the efficiency of securing arrangements for semi-standardized and non-standardized
cargo, as amended by MSC.1/Circ.1623; gear of worked example 1 of its Appendix 1.
"""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.catalogue.lookup import factor
from secure_load.strength import lines
from tests.published._table import Row, compare, load

TABLE = "css_annex_13"
KN = 1000.0


def gear(given: dict[str, Any]) -> dict[str, Any]:
    each = [lines.maximum_securing_load(part["breaking"] * KN, part["fraction"]) for part in given["chain"]]
    return {
        "msl_each": [msl / KN for msl in each],
        "msl_chain": min(each) / KN,
        "cs": lines.calculated_strength(min(each), given["safety_factor"]) / KN,
    }


def timber(given: dict[str, Any]) -> dict[str, Any]:
    stress = factor("css-timber-bearing")
    return {"msl": stress * given["area_cm2"] * 1e-4 / KN, "stress_MPa": stress / 1e6}


def recompute(row: Row) -> dict[str, Any]:
    return {"msl_cs": gear, "timber_msl": timber}[row.clause](row.inputs)


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_css_annex_13(row: Row) -> None:
    compare(row, recompute(row))
