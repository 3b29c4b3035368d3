"""EN 1995-1-1:2004+A1:2008, Eurocode 5: Design of timber structures, 7.1 (slip modulus), 8.2.2 (single shear) and
8.7.2 (screws pulled out).

No printed worked number was at hand: the ten rows are hand arithmetic on the formulas and guard against
slips only.
"""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.strength import en1995, slip
from secure_load.strength.units import MILLIMETRE
from tests.published._table import Row, compare, load

TABLE = "en_1995"


def slip_modulus(given: dict[str, Any]) -> float:
    """N/m."""
    if given["slip"] == "ultimate":
        return slip.ultimate_slip_modulus(given["K_ser"] / MILLIMETRE)
    modulus = slip.screw_slip_modulus if given["slip"] == "screw" else slip.driven_nail_slip_modulus
    return modulus(slip.mean_density(*given["rho_m"]), given["d_mm"] * MILLIMETRE, steel_side=given["steel"])


def recompute(row: Row) -> dict[str, float]:
    given = row.inputs
    if "slip" in given:
        return {"value": slip_modulus(given) * MILLIMETRE}
    if "l_ef_mm" in given:
        force = en1995.screw_withdrawal(given["d_mm"] * MILLIMETRE, given["l_ef_mm"] * MILLIMETRE, given["rho_k"])
        return {"value": force}
    d = given["d_ef_mm"] * MILLIMETRE
    f_h = en1995.embedding_prebored(d, given["rho_k"])
    M_y = en1995.yield_moment(d, given["f_u_MPa"] * 1e6)
    modes = en1995.johansen_single_shear(given["t1_mm"] * MILLIMETRE, given["t2_mm"] * MILLIMETRE, d, f_h, f_h, M_y)
    return {"value": min(modes.values()), **modes}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_en_1995(row: Row) -> None:
    compare(row, recompute(row))
