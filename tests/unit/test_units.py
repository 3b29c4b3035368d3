"""Amounts in the units people write them in."""

from __future__ import annotations

import pytest

from secure_load.catalogue.units import BadAmount, read_amount


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("0.5 t", "kg", 500.0),
        ("1,5", "m", 1.5),
        ("0,125 m", "m", 0.125),
        ("12 lb 8 oz", "kg", 12.5 * 0.45359237),
        ("3 st 4 lb", "kg", 46 * 0.45359237),
        ("5' 3 1/2\"", "m", 63.5 * 0.0254),
        ("5 ft 3", "m", 63 * 0.0254),
        ('3/4"', "mm", 19.05),
        ("1 1/2 in", "mm", 38.1),
        ("12 kn", "m/s", 12 * 1852 / 3600),
        ("20 kg", "N", 196.1),
        ("-35 cm", "m", -0.35),
        ("30 degrees", "degrees", 30.0),
    ],
)
def test_an_amount_is_read(text: str, unit: str, value: float) -> None:
    assert read_amount(text, unit) == pytest.approx(value, rel=1e-8)


@pytest.mark.parametrize(
    ("text", "unit", "said"),
    [
        ("1,200", "kg", "write 1200, or 1.2"),
        ("1,250,000 kg", "kg", "write 1250000"),
        ("0.5 q", "kg", "must be in"),
        ("4 kg", "mm", "must be in mm, cm, m, in or ft"),
        ("1 2", "m", "one number"),
        ("1.234,5", "kg", "one number"),
        ("1/0", "m", "must be a number"),
        ("2 kg", "", "a number without a unit"),
        ("--3", "m", "must be a number"),
    ],
)
def test_what_is_no_amount_is_told(text: str, unit: str, said: str) -> None:
    with pytest.raises(BadAmount, match=said):
        read_amount(text, unit)
