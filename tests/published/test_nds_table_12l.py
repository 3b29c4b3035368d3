"""American Wood Council: ANSI/AWC NDS-2018, National Design Specification for Wood Construction, Table 12L,
wood screws in single shear, both members of the same specific gravity.

Twenty-six cells, one of them seen in a second-hand copy; each met within one pound-force, with
dowel bearing strength rounded to 50 psi as in the printed table, penetration 10 D and root diameters of
Appendix L.
"""

from __future__ import annotations

import pytest

from secure_load.strength import nds
from secure_load.strength.units import INCH, POUND_FORCE, PSI
from tests.published._table import Row, compare, load

TABLE = "nds_table_12l"


def recompute(row: Row) -> dict[str, float]:
    given = row.inputs
    Fe = nds.dowel_bearing_small(given["G"], rounded=True)
    assert Fe / PSI == pytest.approx(given["F_e_psi"], abs=1e-6)
    joint = nds.lateral(
        given["D_in"] * INCH,
        given["t_s_in"] * INCH,
        given["p_in"] * INCH,
        Fe,
        Fe,
        given["F_yb_psi"] * PSI,
        0.0,
        given["Dr_in"] * INCH,
    )
    return {"value": joint.Z / POUND_FORCE}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_nds_table_12l(row: Row) -> None:
    compare(row, recompute(row))
