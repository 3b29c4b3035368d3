"""ASM handbooks, densities of lead with antimony (from memory); Waters, Putz-Anderson and Garg, Applications Manual
for the Revised NIOSH Lifting Equation, DHHS (NIOSH) 94-110, 1994."""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.afloat.ballast.casting import lead_antimony_density
from secure_load.afloat.ballast.lifting import frequency_multiplier, grip_multiplier, recommended_weight
from secure_load.catalogue.lookup import lead_alloys
from tests.published._table import Row, compare, load

TABLE = "lead_and_lifting"


def recompute(row: Row) -> dict[str, Any]:
    given = row.inputs
    if "sb_percent" in given:
        return {"kg_m3": lead_antimony_density(given["sb_percent"])}
    limit = recommended_weight(given["H_cm"], given["V_cm"], given["D_cm"], given["A_deg"], given["FM"], given["CM"])
    return {"RWL_kg": limit}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_printed_numbers_are_met(row: Row) -> None:
    compare(row, recompute(row))


def test_the_catalogue_says_the_same_as_the_rule_of_mixtures() -> None:
    rows = list(lead_alloys().values())
    assert len(rows) >= 8
    for row in rows:
        assert lead_antimony_density(row.antimony_percent) == pytest.approx(row.kg_m3, abs=1.0), row.id


@pytest.mark.parametrize(
    ("hands_in", "height_in", "grip", "printed_lb"), [(10, 22, "fair", 34.9), (20, 59, "fair", 15.2)]
)
def test_example_4_of_the_manual(hands_in: float, height_in: float, grip: Any, printed_lb: float) -> None:
    """Package inspection, p. 7-18: D 37 in, no twist, 3 lifts a minute. The manual counts in pounds: 3 % apart."""
    height = 2.54 * height_in
    grip_factor = grip_multiplier(grip, height)
    limit = recommended_weight(2.54 * hands_in, height, 2.54 * 37, 0.0, frequency_multiplier(3.0, 1.0), grip_factor)
    assert limit / 0.45359237 == pytest.approx(printed_lb, rel=0.03)


TABLE_5 = {
    1.0: (1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37),
    2.0: (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0.0, 0.0),
    8.0: (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.0, 0.0, 0.0, 0.0),
}


@pytest.mark.parametrize("hours", TABLE_5)
def test_table_5_of_the_manual(hours: float) -> None:
    often = (0.2, 0.5, *range(1, 13))
    assert tuple(frequency_multiplier(f, hours) for f in often) == TABLE_5[hours]
