"""Limits, branches and hand-worked cases of the strength formulas that no printed number reaches."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from secure_load.strength import nds, pads, slip, timber
from secure_load.strength.units import INCH, POUND_FORCE, PSI


def test_reduction_terms_at_the_borders_of_the_table() -> None:
    assert nds.reduction_terms(0.17 * INCH, 0.0) == pytest.approx((2.2, 2.2, 2.2))
    assert nds.reduction_terms(0.20 * INCH, math.pi / 2) == pytest.approx((2.5, 2.5, 2.5))  # no K_theta below 1/4
    assert nds.reduction_terms(0.25 * INCH, 0.0) == pytest.approx((4.0, 3.6, 3.2))
    # footnote 1: nominal of 1/4 in or more with a thinner root takes K_D and K_theta
    assert nds.reduction_terms(0.25 * INCH, math.pi / 2, 0.173 * INCH) == pytest.approx((2.7875,) * 3)


def test_every_yield_mode_can_govern() -> None:
    strong, soft = 8000 * PSI, 3000 * PSI
    stiff_pin, soft_pin = 500e3 * PSI, 40e3 * PSI

    def mode(side: float, main: float, Fes: float, Fem: float, Fyb: float) -> str:
        return nds.lateral(0.25 * INCH, side * INCH, main * INCH, Fes, Fem, Fyb).mode

    assert mode(3.0, 0.1, strong, soft, stiff_pin) == "Im"
    assert mode(0.1, 3.0, soft, strong, stiff_pin) == "Is"
    assert mode(0.5, 0.5, strong, strong, stiff_pin) == "II"
    assert mode(3.0, 1.5, strong, soft, 150e3 * PSI) == "IIIm"
    assert mode(1.5, 3.0, soft, strong, 150e3 * PSI) == "IIIs"
    assert mode(3.0, 3.0, strong, strong, soft_pin) == "IV"


def test_swapping_the_members_swaps_the_modes() -> None:
    one = nds.lateral(0.006, 0.02, 0.05, 2e7, 4e7, 5e8).modes
    other = nds.lateral(0.006, 0.05, 0.02, 4e7, 2e7, 5e8).modes
    for here, there in (("Im", "Is"), ("Is", "Im"), ("II", "II"), ("IIIm", "IIIs"), ("IIIs", "IIIm"), ("IV", "IV")):
        assert one[here] == pytest.approx(other[there], rel=1e-12)


def test_pull_through_branches_meet() -> None:
    head = 0.010
    at_limit = nds.head_pull_through(0.5, head, 2.5 * head)
    assert at_limit == pytest.approx(1725 * math.pi * (head / INCH) ** 2 * 0.25 * POUND_FORCE, rel=1e-12)
    assert nds.head_pull_through(0.5, head, 1.0) == pytest.approx(at_limit, rel=1e-12)


def test_screw_in_end_grain_holds_no_pull() -> None:
    Wp = nds.adjusted(1000.0, 1.6, 1.0, C_eg=nds.end_grain_factor("wood_screw", "withdrawal"))
    assert Wp == 0.0
    assert np.isinf(nds.interaction_wood_screw(500.0, Wp, 0.0, 1.0))
    assert np.isinf(nds.interaction_wood_screw(500.0, Wp, 100.0, 1e-300))
    assert float(nds.interaction_wood_screw(500.0, Wp, 250.0, -10.0)) == 0.5  # pushed in: shear alone


def test_interaction_is_vectorised_and_quiet() -> None:
    shear = np.linspace(-100.0, 100.0, 6).reshape(2, 3)
    used = nds.interaction_wood_screw(100.0, np.array([50.0, 100.0, 200.0]), shear, 10.0)
    assert used.shape == (2, 3)
    with np.errstate(all="raise"):
        assert float(nds.interaction_wood_screw(0.0, 0.0, 0.0, 0.0)) == 0.0


def test_a_little_pull_never_relieves_a_screw_in_shear() -> None:
    # The printed formula alone gives 0.917 here, less than for the shear by itself.
    assert float(nds.interaction_wood_screw(100.0, 1000.0, 100.0, 50.0)) == 1.0


def test_placing_rules() -> None:
    # 12.3.5.3: half the tip is left out however deep it goes
    assert nds.main_bearing_length(0.060, 0.010) == pytest.approx(0.055)
    assert nds.end_distance(0.010, "along_toward_end", softwood=False) == pytest.approx(0.050)
    assert nds.end_distance(0.005, "along_toward_end", softwood=False, prebored=False) == pytest.approx(0.075)
    assert nds.edge_distance(0.005, loaded_edge=False) == pytest.approx(0.0125)
    assert nds.spacing_in_row(0.005, row_along_grain=False, prebored=False) == pytest.approx(0.050)


def test_slip_doubles_on_steel() -> None:
    modulus = slip.screw_slip_modulus
    assert modulus(500.0, 0.005, True) == pytest.approx(2 * modulus(500.0, 0.005))


@pytest.mark.parametrize("case", ["centre", "uniform", "cantilever_end", "cantilever_uniform", "fixed_centre"])
def test_beam_strength_inverts_stress(case: timber.BeamCase) -> None:
    shear = timber.shear_strength(1e6, 0.05, 0.03, case)
    assert timber.shear_stress(shear, 0.05, 0.03, case) == pytest.approx(1e6)


@pytest.mark.parametrize(
    ("case", "moment", "unit_moment"),
    [
        ("centre", lambda x: min(x, 1 - x) / 2, lambda x: min(x, 1 - x) / 2),
        ("uniform", lambda x: x * (1 - x) / 2, lambda x: min(x, 1 - x) / 2),
        ("cantilever_end", lambda x: x, lambda x: x),
        ("cantilever_uniform", lambda x: x**2 / 2, lambda x: x),
        ("fixed_centre", lambda x: min(x, 1 - x) / 2 - 1 / 8, lambda x: min(x, 1 - x) / 2),
    ],
)
def test_beams_agree_with_their_moment_diagrams(
    case: timber.BeamCase, moment: Callable[[float], float], unit_moment: Callable[[float], float]
) -> None:
    """Moment and deflection by summing M(x) m(x) / E I along the beam, force and span 1; shear is left to the
    last."""
    steps = [(i + 0.5) / 20000 for i in range(20000)]
    bent = sum(moment(x) * unit_moment(x) for x in steps) / 20000
    E, b, h = 10e9, 0.05, 0.001  # at 1000 depths shear adds next to nothing
    assert timber.deflection(1.0, E, 1.0, b, h, case) == pytest.approx(bent / (E * b * h**3 / 12), rel=2e-4)
    largest = max(abs(moment(i / 1000)) for i in range(1001))
    assert timber.bending_stress(1.0, 1.0, b, h, case) == pytest.approx(largest / (b * h**2 / 6), rel=1e-9)


def test_shear_adds_to_a_short_beams_deflection() -> None:
    E, L, b, h = 16e9, 0.2, 0.05, 0.05
    # V = 1/2 either side, unit load likewise: 2 x (1/2 x 1/2 x L/2) / (G A 5/6) with G = E/16 = 1 GPa
    shear = L / 4 / (1e9 * b * h * 5 / 6)
    bending = L**3 / 48 / (E * b * h**3 / 12)
    assert timber.deflection(1.0, E, L, b, h) == pytest.approx(bending + shear, rel=1e-12)


def test_bearing_factor_stops_at_six_inches_and_at_ends() -> None:
    assert timber.bearing_area_factor(6 * INCH) == 1.0
    assert timber.bearing_strength(3e6, 0.05, 0.05) > timber.bearing_strength(3e6, 0.05, 0.05, near_end=True)


def test_thin_pad_is_capped_by_its_bulk() -> None:
    assert pads.compression_modulus(4e6, 0.6, 50.0, 1.0e9) < 1.0e9
    assert pads.compression_modulus(4e6, 0.6, 0.0) == 4e6
