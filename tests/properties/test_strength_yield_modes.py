"""The yield modes against two other writings of the same theory.

1. American Wood Council, Technical Report 12, General Dowel Equations for Calculating Lateral Connection
Values (2015), Table 1-1
   (from memory): each mode as the root of a quadratic, from the statics of the bent dowel, without gap.
2. EN 1995-1-1 (8.6), whose modes d, e and f carry factors 1.05, 1.05 and 1.15 and no reduction term.

The printed NDS tables at hand exercise modes IIIs and IV only; this is what the other four rest on.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from secure_load.strength import nds
from tests.reference import eurocode5

diameter = st.floats(0.003, 0.020)
length = st.floats(0.005, 0.150)
bearing = st.floats(5e6, 500e6)
steel = st.floats(100e6, 1200e6)

# Which of the three reduction terms each mode is divided by.
TERM = {"Im": 0, "Is": 0, "II": 1, "IIIm": 2, "IIIs": 2, "IV": 2}


def general_dowel(D: float, ls: float, lm: float, Fes: float, Fem: float, Fyb: float) -> dict[str, float]:
    """Technical Report 12, Table 1-1: P = (-B + sqrt(B^2 - 4 A C)) / 2A, with q = F_e D and M = F_yb D^3 /
    6."""
    qs, qm, M = Fes * D, Fem * D, Fyb * D**3 / 6

    def root(A: float, B: float, C: float) -> float:
        return (-B + math.sqrt(B**2 - 4 * A * C)) / (2 * A)

    return {
        "Im": qm * lm,
        "Is": qs * ls,
        "II": root(1 / (4 * qs) + 1 / (4 * qm), ls / 2 + lm / 2, -qs * ls**2 / 4 - qm * lm**2 / 4),
        "IIIm": root(1 / (2 * qs) + 1 / (4 * qm), lm / 2, -M - qm * lm**2 / 4),
        "IIIs": root(1 / (4 * qs) + 1 / (2 * qm), ls / 2, -qs * ls**2 / 4 - M),
        "IV": root(1 / (2 * qs) + 1 / (2 * qm), 0.0, -M - M),
    }


@given(diameter, length, length, bearing, bearing, steel)
def test_modes_agree_with_the_general_dowel_equations(
    D: float, ls: float, lm: float, Fes: float, Fem: float, Fyb: float
) -> None:
    terms = nds.reduction_terms(D, 0.0)
    modes = nds.lateral(D, ls, lm, Fes, Fem, Fyb).modes
    for mode, expected in general_dowel(D, ls, lm, Fes, Fem, Fyb).items():
        assert modes[mode] * terms[TERM[mode]] == pytest.approx(expected, rel=1e-6), mode


@given(diameter, length, length, bearing, bearing, steel)
def test_modes_agree_with_eurocode_5(D: float, ls: float, lm: float, Fes: float, Fem: float, Fyb: float) -> None:
    terms = nds.reduction_terms(D, 0.0)
    ours = nds.lateral(D, ls, lm, Fes, Fem, Fyb).modes
    theirs = eurocode5.johansen_single_shear(ls, lm, D, Fes, Fem, Fyb * D**3 / 6)
    for mode, letter, factor in (
        ("Is", "a", 1.0),
        ("Im", "b", 1.0),
        ("II", "c", 1.0),
        ("IIIs", "d", 1.05),
        ("IIIm", "e", 1.05),
        ("IV", "f", 1.15),
    ):
        assert ours[mode] * terms[TERM[mode]] == pytest.approx(theirs[letter] / factor, rel=1e-6), mode
