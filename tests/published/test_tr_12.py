"""American Wood Council: Technical Report 12, General Dowel Equations for Calculating Lateral Connection Values.

No worked number of the report was at hand. What is held here is its relation to the NDS, Z = P / R_d with P the 5 %
offset yield: each cell of the NDS Tables 12K and 12L that the other tests compare, times the reduction term printed
in NDS Table 12.3.1B, is the yield load; 12L to the rounding of its cells, and both without the load duration factor.
"""

from __future__ import annotations

import pytest

from secure_load.strength import nds
from secure_load.strength.breaking import offset_yield
from secure_load.strength.units import INCH, POUND_FORCE, PSI
from tests.published._table import Row, load


@pytest.mark.parametrize("row", load("nds_table_12l"), ids=str)
def test_the_yield_of_wood_screws_is_the_printed_value_times_its_reduction_term(row: Row) -> None:
    given = row.inputs
    Fe = nds.dowel_bearing_small(given["G"], rounded=True)
    D, root = given["D_in"] * INCH, given["Dr_in"] * INCH
    z = nds.lateral(D, given["t_s_in"] * INCH, given["p_in"] * INCH, Fe, Fe, given["F_yb_psi"] * PSI, 0.0, root)
    yielding, mode = offset_yield(z, D, 0.0, root)
    # NDS Table 12.3.1B: 2.2 to 0.17 in, 10 D + 0.5 beyond, with D the root of the thread
    term = 2.2 if given["Dr_in"] <= 0.17 else 10 * given["Dr_in"] + 0.5
    assert mode == z.mode
    assert yielding / POUND_FORCE == pytest.approx(row.expected["value"] * term, abs=row.tolerance * term)


def test_each_mode_is_put_back_by_its_own_reduction_term() -> None:
    """Thick fastenings have three terms, 4, 3.6 and 3.2 along the grain: the modes may change places."""
    D = 0.5 * INCH
    terms = {"Im": 4.0, "Is": 4.0, "II": 3.6, "IIIm": 3.2, "IIIs": 3.2, "IV": 3.2}
    met: set[str] = set()
    for side in (0.3, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0):
        for main in (0.3, 1.0, 2.0, 5.0):
            z = nds.lateral(D, side * INCH, main * INCH, 5600 * PSI, 5600 * PSI, 45e3 * PSI)
            yielding, mode = offset_yield(z, D, 0.0)
            assert yielding == pytest.approx(min(v * terms[m] for m, v in z.modes.items()), rel=1e-12)
            met.add(mode)
    assert {"Im", "Is", "IIIm", "IIIs", "IV"} <= met, met
