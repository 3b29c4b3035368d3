"""Plain statics of a block on a floor that heels (Coulomb friction): any text on engineering mechanics.

No code covers heel beyond its tables; these rows are sines and cosines worked by hand and guard only.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from secure_load.strength import rules
from tests.published._table import Row, compare, load

TABLE = "statics_identities"


def recompute(row: Row) -> dict[str, Any]:
    if row.clause == "self_holding":
        return {"heel": [math.degrees(rules.self_holding_angle(mu)) for mu in row.inputs["mu"]]}
    parts = [rules.knock_down(math.radians(heel)) for heel in row.inputs["heel"]]
    return {
        "normal": [on for on, _, _ in parts],
        "pull_off": [off for _, off, _ in parts],
        "along": [along for _, _, along in parts],
    }


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_statics_identities(row: Row) -> None:
    compare(row, recompute(row))
