"""A. N. Gent: On the relation between indentation hardness and Young's modulus, Rubber Chemistry and
Technology 31 (1958) 896.

One figure from memory (Shore A 60), met to its last digit.
"""

from __future__ import annotations

import pytest

from secure_load.strength import pads
from tests.published._table import Row, compare, load

TABLE = "gent"


def recompute(row: Row) -> dict[str, float]:
    return {"value": pads.gent_modulus(row.inputs["shoreA"]) / 1e6}


@pytest.mark.parametrize("row", load(TABLE), ids=str)
def test_gent(row: Row) -> None:
    compare(row, recompute(row))
