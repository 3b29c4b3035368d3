"""EN 1995-1-1:2004+A1:2008, Eurocode 5: Design of timber structures, 7.1 (slip modulus) and 8.2.2 (single shear, the
second opinion that the yield modes are held against).

No printed worked number was at hand: the rows are hand arithmetic on the formulas and guard against slips only.
"""

from __future__ import annotations

import pytest

from secure_load.strength import slip
from secure_load.strength.units import MILLIMETRE
from tests.published._table import Row, compare, load
from tests.reference import eurocode5

TABLE = "en_1995"


def recompute(row: Row) -> dict[str, float]:
    given = row.inputs
    if "slip" in given:
        density = given["rho_m"][0]
        modulus = slip.screw_slip_modulus(density, given["d_mm"] * MILLIMETRE, steel_side=given["steel"])
        return {"value": modulus * MILLIMETRE}
    d = given["d_ef_mm"] * MILLIMETRE
    f_h = eurocode5.embedding_prebored(d, given["rho_k"])
    M_y = eurocode5.yield_moment(d, given["f_u_MPa"] * 1e6)
    modes = eurocode5.johansen_single_shear(given["t1_mm"] * MILLIMETRE, given["t2_mm"] * MILLIMETRE, d, f_h, f_h, M_y)
    return {"value": min(modes.values()), **modes}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_en_1995(row: Row) -> None:
    compare(row, recompute(row))
