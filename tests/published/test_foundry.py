"""Handbook figures of lead and hydraulics, from memory: heats, Torricelli's tap, Brinell's dents."""

from __future__ import annotations

import math

import pytest

from secure_load.afloat.ballast.foundry import antimony_from_hardness, melt_heat, tap_flow
from secure_load.catalogue.lookup import lead_alloys


def test_a_kilogram_of_lead_takes_some_73_kilojoules_to_387_degrees() -> None:
    """Handbooks: 0.1345 kJ/kgK over 307 K, 23.0 kJ/kg to melt, 0.145 kJ/kgK over 60 K: 73."""
    assert melt_heat(387.0, 327.0) == pytest.approx(73e3, rel=0.01)


def test_a_tap_of_20_mm_under_150_mm_pours_ten_kilograms_in_three_seconds() -> None:
    """0.6 x 314 mm2 x 1.715 m/s x 10660 kg/m3 = 3.4 kg/s."""
    assert tap_flow(20.0, 150.0) == pytest.approx(0.6 * 314.16e-6 * math.sqrt(2 * 9.80665 * 0.15) * 10660, rel=1e-3)
    assert 10.0 / tap_flow(20.0, 150.0) == pytest.approx(3.0, abs=0.15)
    assert tap_flow(20.0, 37.5) == pytest.approx(0.5 * tap_flow(20.0, 150.0))


def test_hardness_gives_the_antimony_it_was_tabled_for() -> None:
    for row in lead_alloys().values():
        assert antimony_from_hardness(row.brinell) == pytest.approx(row.antimony_percent, abs=1e-9)
    assert antimony_from_hardness(3.0) == 0.0
    assert antimony_from_hardness(7.5) == pytest.approx(1.5)
