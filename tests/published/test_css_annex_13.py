"""International Maritime Organization: Code of Safe Practice for Cargo Stowage and Securing (CSS Code), Annex
13, Methods to assess the efficiency of securing arrangements for semi-standardized and non-standardized
cargo, as amended by MSC.1/Circ.1623; worked example 1 of its Appendix 1.

The example is met to its printed figure (forces to 0.5 kN, sliding to 1 kN: the print cuts off). The two
f-value columns are from memory and met to 0.005; 0.89 for the speed and length factor was seen, its formula
is from memory.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from secure_load.strength import balances, lines
from tests.published._table import Row, compare, load

TABLE = "css_annex_13"
G = 9.81  # m/s2, as the Code works
KN = 1000.0
TONNE = 1000.0


def gear(given: dict[str, Any]) -> dict[str, Any]:
    parts = [lines.Gear(part["breaking"] * KN, part["fraction"]) for part in given["chain"]]
    chain = lines.chain_securing_load(parts)
    return {
        "msl_each": [lines.maximum_securing_load(*part) / KN for part in parts],
        "msl_chain": chain / KN,
        "cs": lines.calculated_strength(chain, given["safety_factor"]) / KN,
    }


def forces(given: dict[str, Any]) -> dict[str, Any]:
    mass, k = given["m"] * TONNE, given["k"]
    return {
        "Fx": balances.css_force(mass, k * given["ax"], given["wind_x"] * KN, given["sea_x"] * KN) / KN,
        "Fy": balances.css_force(mass, k * given["ay"], given["wind_y"] * KN, given["sea_y"] * KN) / KN,
        "Fz": balances.css_force(mass, k * given["az"]) / KN,
    }


def sliding(given: dict[str, Any]) -> dict[str, Any]:
    lashings = [
        balances.Lashing(
            part["CS"] * KN,
            round(balances.css_f_value(given["mu"], math.radians(part["alpha"])), given["f_rounding"]),
            part["n"],
        )
        for part in given["lashings"]
    ]
    resistance = balances.css_sliding_resistance(given["mu"], given["m"] * TONNE, lashings, g=G) / KN
    return {"resistance": resistance, "ok": given["demand"] <= resistance}


def tipping(given: dict[str, Any]) -> dict[str, Any]:
    resistance = (
        balances.css_tipping_resistance(given["b"], given["m"] * TONNE, share=given["lashing_moment_factor"], g=G) / KN
    )
    return {"resistance": resistance, "ok": given["F"] * given["a"] <= resistance}


def f_values(given: dict[str, Any]) -> dict[str, Any]:
    return {"f": [balances.css_f_value(given["mu"], math.radians(alpha)) for alpha in given["alpha"]]}


def speed_length(given: dict[str, Any]) -> dict[str, Any]:
    return {"k": balances.css_speed_length_factor(given["L"], given["v_knots"])}


def tipping_share(given: dict[str, Any]) -> dict[str, Any]:
    by_tipping = lines.calculated_strength(1.0, given["num"])
    return {"ratio": lines.calculated_strength(1.0, given["den"]) / by_tipping}


def timber(given: dict[str, Any]) -> dict[str, Any]:
    msl = lines.timber_securing_load(given["area_cm2"] * 1e-4)
    return {"msl": msl / KN, "stress_MPa": msl / (given["area_cm2"] * 1e-4) / 1e6}


BY_CLAUSE = {
    "msl_cs": gear,
    "css_speed_length_factor": speed_length,
    "css_forces": forces,
    "css_transverse_sliding": sliding,
    "css_tipping": tipping,
    "f_value": f_values,
    "ratio": tipping_share,
    "timber_msl": timber,
}


def recompute(row: Row) -> dict[str, Any]:
    return BY_CLAUSE[row.clause](row.inputs)


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_css_annex_13(row: Row) -> None:
    compare(row, recompute(row))
