"""IMO/ILO/UNECE Code of Practice for Packing of Cargo Transport Units (CTU Code), 2014, annex 7, appendices
2, 4 and 5.

The worked example of battens is met at its printed 24 kN (the tool has 24.35; the constant 28 is from
memory). Dynamic friction and the inclination test are worked from the rule and guard only.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from secure_load.strength import balances, timber
from tests.published._table import Row, compare, load

TABLE = "ctu_code"


def recompute(row: Row) -> dict[str, Any]:
    given = row.inputs
    if row.clause == "ctu_battens":
        force = timber.ctu_battens(given["n"], given["w_cm"] / 100, given["h_cm"] / 100, given["L"])
        return {"F": force / 1000.0}
    if row.clause == "inclination_angle":
        return {"phi": [math.degrees(balances.inclination_angle(c, mu)) for c, mu in given["pairs"]]}
    assert balances.ctu_dynamic_friction(given["den"]) == pytest.approx(given["num"], rel=1e-12)
    return {"ratio": balances.ctu_dynamic_friction(given["den"]) / given["den"]}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_ctu_code(row: Row) -> None:
    compare(row, recompute(row))
