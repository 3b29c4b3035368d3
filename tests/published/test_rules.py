"""33 CFR 183.420 (boats: batteries); ISO 10133:2012, Small craft - Electrical systems - Extra-low-voltage
d.c. installations, 5.2; 49 CFR 393.102 and 393.106 (road loads); 14 CFR 25.561 (aircraft); US Department of
Defense MIL-STD-209K, Lifting and tiedown provisions, 5.2.3.

The catalogue's copies of these rules are held against the printed figures, and against pulls worked from them.
"""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.catalogue.lookup import factor
from tests.published._table import Row, compare, load

TABLE = "rules"
FACTORS = {
    "mil209k.factors": {
        "longitudinal": "mil209-longitudinal",
        "vertical": "mil209-vertical",
        "lateral": "mil209-lateral",
        "ultimate": "mil209-ultimate",
        "hold_s": "mil209-hold",
    },
    "cfr49.393.102": {
        "breaking_fwd": "cfr393-breaking-forward",
        "breaking_rear": "cfr393-breaking-aft",
        "breaking_lat": "cfr393-breaking-sideways",
        "wll_fwd": "cfr393-working-forward",
        "wll_rear": "cfr393-working-aft",
        "wll_lat": "cfr393-working-sideways",
        "uplift": "cfr393-uplift",
    },
    "cfr49.393.106.half": {"ratio": "cfr393-half-weight"},
    "cfr14.25.561": {
        "up": "cfr25-up",
        "forward": "cfr25-forward",
        "sideward": "cfr25-sideways",
        "down": "cfr25-down",
        "rearward": "cfr25-aft",
        "frequent_removal": "cfr25-frequent-removal",
    },
}


def battery(mass: float, g: float) -> tuple[float, str]:
    """33 CFR 183.420(a): 90 lbf or twice its weight, the lesser; N, and which."""
    twice, flat = factor("cfr183-multiple") * mass * g, factor("cfr183-pull")
    return min(twice, flat), "2W" if twice <= flat else "90 lbf"


def worked(row: Row) -> dict[str, Any]:
    given, g = row.inputs, factor("g0")
    if row.id == "cfr33.183.420.light":
        pull, by = battery(given["mass_kg"], 9.81)
        return {"pull_N": pull, "governed_by": by}
    mass = given["m_kg"]
    if row.id == "iso10133_pull":
        return {"F_N": factor("iso10133-multiple") * mass * g, "max_move_mm": 1000 * factor("iso10133-movement")}
    if row.id == "cfr393_road":
        forward, aft, side = (factor(f"cfr393-breaking-{way}") * mass * g for way in ("forward", "aft", "sideways"))
        return {"F_fwd_N": forward, "F_aft_N": aft, "F_side_N": side, "F_down_N": factor("cfr393-uplift") * mass * g}
    pull, _ = battery(mass, g)
    found = {"F_N": pull, "a_equiv_g": pull / (mass * g), "max_move_mm": 1000 * factor("cfr183-movement")}
    return {key: found[key] for key in row.expected}


def recompute(row: Row) -> dict[str, Any]:
    if row.id in FACTORS:
        return {key: factor(name) for key, name in FACTORS[row.id].items()}
    return worked(row)


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_rules(row: Row) -> None:
    compare(row, recompute(row))
