"""EN 12195-1:2010, Load restraining on road vehicles, Part 1: Calculation of securing forces; with H. Kaps,
Securing cargo for the road - the facts (GDV, 2013), and an IRU comparison of 2010 between EN 12195-1:2003,
its revision and the IMO/ILO/UNECE guide.

Two figures of GDV seen in print are met. Masses held per top-over lashing are two-figure results from memory
of a quick guide. Of the IRU comparison only the lashing counts were printed: the ratios are worked out and
must allow those counts.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from secure_load.strength import balances
from tests.published._table import Row, compare, load

TABLE = "en_12195"
G = 9.81


def hold(given: dict[str, Any]) -> dict[str, Any]:
    held = balances.topover_hold(given["mu"], given["FT_daN"] * 10, math.radians(given["alpha"]), given["sides"])
    return {"hold_daN": held / 10, "ratio_direct_to_tiedown": given["LC_daN"] * 10 / held}


def k_factor(given: dict[str, Any]) -> dict[str, Any]:
    few, many = (
        balances.topover_lashings(0.5, 0.3, 1000.0, 4000.0, math.pi / 2, 1.0, sides=sides)
        for sides in (given["num"], given["den"])
    )
    return {"ratio": many / few}


def counts(given: dict[str, Any]) -> dict[str, Any]:
    def needed(basis: str) -> float:
        by = given[basis]
        return balances.topover_lashings(given["c"], by["mu"], 1000.0, 4000.0, math.pi / 2, by["fs"], sides=by["k"])

    en2003, pren = needed("en2003") / needed("imo"), needed("pren2009") / needed("imo")
    # The printed counts are 1, 4 and 2 lashings per section: find what the unknown mass may be.
    low, high = 1.0 / pren, 4.0 / en2003
    middle = (low + high) / 2
    assert [math.ceil(middle * ratio) for ratio in (1.0, en2003, pren)] == [1, 4, 2]
    return {"ratio_en2003_to_imo": en2003, "ratio_pren_to_imo": pren, "x_low": low, "x_high": high}


def masses(given: dict[str, Any]) -> dict[str, Any]:
    held = [
        balances.topover_mass(
            c, given["mu"], given["FT"] * 1000, math.radians(given["alpha"]), f_s, c_z=given["c_z"], g=G
        )
        for c, f_s in given["rows"]
    ]
    return {"mass": [mass / 1000 if math.isfinite(mass) else "none" for mass in held]}


BY_CLAUSE = {"topover_hold": hold, "ratio": k_factor, "topover_ratio": counts, "topover_mass": masses}


def recompute(row: Row) -> dict[str, Any]:
    return BY_CLAUSE[row.clause](row.inputs)


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_en_12195(row: Row) -> None:
    compare(row, recompute(row))
