"""33 CFR 183.420 (boats: batteries); ISO 10133:2012, Small craft - Electrical systems - Extra-low-voltage
d.c. installations, 5.2; 49 CFR 393.102 and 393.106 (road loads); 14 CFR 25.561 (aircraft); US Department of
Defense MIL-STD-209K, Lifting and tiedown provisions, 5.2.3 and appendix C.

The multiples of weight are compared as printed (copy, not a formula). Five loads of the appendix to
MIL-STD-209K are met to the pound; part of its layout was inferred from them. Forces worked from the rules
guard only.
"""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.strength import rules
from secure_load.strength.units import POUND_FORCE, STANDARD_GRAVITY
from tests.published._table import Row, compare, load

TABLE = "rules"
KILO = 1000.0  # kg, to read a multiple of weight off a force
WEIGHT = KILO * STANDARD_GRAVITY


def mil_appendix_c(given: dict[str, Any]) -> dict[str, Any]:
    load_N = given["load_lb"] * POUND_FORCE
    limit = [share / POUND_FORCE for share in rules.four_point_share(load_N, tuple(given["S"]), tuple(given["L"]))]
    ultimate = rules.mil_tie_down(KILO).ultimate_factor
    assert ultimate == given["ultimate_factor"]
    return {
        "limit_4_lb": limit[3],
        "limit_1_to_3_lb": limit[:3],
        "ultimate_lb": [ultimate * share for share in limit],
    }


def mil_table_1(given: dict[str, Any]) -> dict[str, Any]:
    tie = rules.mil_tie_down(KILO)
    return {
        "longitudinal": tie.longitudinal / WEIGHT,
        "vertical": tie.vertical / WEIGHT,
        "lateral": tie.lateral / WEIGHT,
        "ultimate": tie.ultimate_factor,
        "hold_s": tie.hold_seconds,
    }


def battery_at_9_81(given: dict[str, Any]) -> dict[str, Any]:
    pull = rules.cfr33_battery_pull(given["mass_kg"], g=9.81)
    return {"pull_N": pull.force, "governed_by": pull.governed_by}


def road_multiples(given: dict[str, Any]) -> dict[str, Any]:
    breaking, working = rules.cfr49_breaking_forces(KILO), rules.cfr49_working_forces(KILO)
    return {
        "breaking_fwd": breaking.forward / WEIGHT,
        "breaking_rear": breaking.aft / WEIGHT,
        "breaking_lat": breaking.side / WEIGHT,
        "wll_fwd": working.forward / WEIGHT,
        "wll_rear": working.aft / WEIGHT,
        "wll_lat": working.side / WEIGHT,
        "uplift": working.up / WEIGHT,
    }


def half_weight(given: dict[str, Any]) -> dict[str, Any]:
    least = rules.cfr49_minimum_working_load(KILO, g=given["den"])
    assert least / KILO == pytest.approx(given["num"], rel=1e-12)
    return {"ratio": least / (KILO * given["den"])}


def cabin_multiples(given: dict[str, Any]) -> dict[str, Any]:
    plain, worn = rules.cfr14_item_of_mass(KILO), rules.cfr14_item_of_mass(KILO, frequent_removal=True)
    return {
        "up": plain.up / WEIGHT,
        "forward": plain.forward / WEIGHT,
        "sideward": plain.side / WEIGHT,
        "down": plain.down / WEIGHT,
        "rearward": plain.aft / WEIGHT,
        "frequent_removal": worn.forward / plain.forward,
    }


def iso_battery(given: dict[str, Any]) -> dict[str, Any]:
    pull = rules.iso10133_battery_pull(given["m_kg"])
    return {"F_N": pull.force, "max_move_mm": pull.max_movement * 1000}


def light_battery(given: dict[str, Any]) -> dict[str, Any]:
    pull = rules.cfr33_battery_pull(given["m_kg"])
    return {
        "F_N": pull.force,
        "max_move_mm": pull.max_movement * 1000,
        "a_equiv_g": pull.force / (given["m_kg"] * STANDARD_GRAVITY),
    }


def heavy_battery(given: dict[str, Any]) -> dict[str, Any]:
    light = light_battery(given)
    return {"F_N": light["F_N"], "a_equiv_g": light["a_equiv_g"]}


def road(given: dict[str, Any]) -> dict[str, Any]:
    forces = rules.cfr49_breaking_forces(given["m_kg"])
    # The rule's downward force of the securing is the upward load it resists.
    return {"F_fwd_N": forces.forward, "F_aft_N": forces.aft, "F_side_N": forces.side, "F_down_N": forces.up}


BY_ID = {
    "mil209k.appC.vertical": mil_appendix_c,
    "mil209k.factors": mil_table_1,
    "cfr33.183.420.light": battery_at_9_81,
    "cfr49.393.102": road_multiples,
    "cfr49.393.106.half": half_weight,
    "cfr14.25.561": cabin_multiples,
    "iso10133_pull": iso_battery,
    "cfr183_pull_light": light_battery,
    "cfr183_pull_heavy": heavy_battery,
    "cfr393_road": road,
}


def recompute(row: Row) -> dict[str, Any]:
    return BY_ID[row.id](row.inputs)


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_rules(row: Row) -> None:
    compare(row, recompute(row))
