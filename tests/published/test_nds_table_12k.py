"""American Wood Council: ANSI/AWC NDS-2018, National Design Specification for Wood Construction, Table 12K,
lag screws in single shear with ASTM A653 grade 33 steel side plates.

Thirty cells read on a scan through character recognition (digits repaired), printed to 10 lbf; each met
within the 5 lbf of that rounding. They settle which diameter decides the reduction term: see
`secure_load.strength.nds_lateral`.
"""

from __future__ import annotations

import math

import pytest

from secure_load.strength import nds
from secure_load.strength.units import INCH, POUND_FORCE, PSI
from tests.published._table import Row, compare, load

TABLE = "nds_table_12k"


def lateral(row: Row) -> nds.Lateral:
    given = row.inputs
    return nds.lateral(
        given["D_in"] * INCH,
        given["t_s_in"] * INCH,
        given["p_in"] * INCH,
        given["F_es_psi"] * PSI,
        given["F_em_psi"] * PSI,
        given["F_yb_psi"] * PSI,
        math.radians(given["theta_deg"]),
        given["Dr_in"] * INCH,
    )


def recompute(row: Row) -> dict[str, float]:
    return {"value": lateral(row).Z / POUND_FORCE}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_nds_table_12k(row: Row) -> None:
    compare(row, recompute(row))


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_bearing_strengths_of_the_table_follow_from_specific_gravity(row: Row) -> None:
    given = row.inputs
    theta = math.radians(given["theta_deg"])
    strength = nds.dowel_bearing(given["G"], given["D_in"] * INCH, theta, rounded=True)
    assert strength / PSI == pytest.approx(given["F_em_psi"], abs=1e-6)


def test_nominal_diameter_deciding_the_reduction_term_would_miss_the_table() -> None:
    missed = 0
    for row in load(TABLE):
        joint, theta = lateral(row), math.radians(row.inputs["theta_deg"])
        assert joint.mode == "IIIs"
        D, root = row.inputs["D_in"] * INCH, row.inputs["Dr_in"] * INCH
        by_nominal = joint.Z * nds.reduction_terms(D, theta, root)[2] / nds.reduction_terms(D, theta)[2]
        missed += abs(by_nominal / POUND_FORCE - row.expected["value"]) > row.tolerance
    assert missed == 21
