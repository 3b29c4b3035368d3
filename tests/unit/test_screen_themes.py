"""Contrast of the screen's colours, by WCAG 2.2: at least 4.5 to 1 for text (success criterion 1.4.3, AA)."""

from __future__ import annotations

import pytest
from textual.theme import Theme

from secure_load.screen.themes import DARK, GROUNDS, INKS, LIGHT


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2 definition."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    r, g, b = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a: str, b: str) -> float:
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def colour(theme: Theme, name: str) -> str:
    found = theme.variables.get(name) or getattr(theme, name)
    assert isinstance(found, str)
    return found


def test_the_measure_itself() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda t: t.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("ink", INKS)
def test_text_can_be_read_on_every_ground(theme: Theme, ground: str, ink: str) -> None:
    assert contrast(colour(theme, ink), colour(theme, ground)) >= 4.5
