"""ASM handbooks, densities of lead with antimony (from memory); Waters, Putz-Anderson and Garg, Applications Manual
for the Revised NIOSH Lifting Equation, DHHS (NIOSH) 94-110, 1994."""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.afloat.casting import lead_antimony_density
from secure_load.afloat.lifting import recommended_weight
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
