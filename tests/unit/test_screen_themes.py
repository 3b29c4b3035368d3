"""Contrast of the screen's colours, by WCAG 2.2: at least 4.5 to 1 for text (success criterion 1.4.3, AA)."""

from __future__ import annotations

import pytest
from rich.color import Color, ColorSystem
from textual.theme import Theme

from secure_load.screen.app.themes import DARK_16, GROUNDS, INKS, LIGHT_16, THEMES, theme_for


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


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("ink", INKS)
def test_text_can_be_read_on_every_ground(theme: Theme, ground: str, ink: str) -> None:
    assert contrast(colour(theme, ink), colour(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_what_has_the_cursor_stands_out(theme: Theme) -> None:
    """3 to 1 between states and against what is beside them (WCAG 2.2, 1.4.11), and the text in it can be read."""
    field, around = colour(theme, "primary"), colour(theme, "panel")
    assert contrast(field, around) >= 3.0
    assert contrast(colour(theme, "background"), field) >= 4.5
    assert contrast(field, colour(theme, "surface")) >= 3.0  # the frame of the drawing that has it
    assert contrast(colour(theme, "edge"), colour(theme, "surface")) >= 3.0  # and of one that has not
    assert contrast(colour(theme, "foreground"), colour(theme, "row")) >= 4.5  # the mark and the words of a row


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_trim_is_no_verdict(theme: Theme) -> None:
    verdicts = {colour(theme, name) for name in ("holds", "doubtful", "fails")}
    assert not verdicts & {colour(theme, name) for name in ("accent", "primary", "edge", "quiet", "foreground")}


@pytest.mark.parametrize("theme", [DARK_16, LIGHT_16], ids=lambda t: t.name)
def test_of_sixteen_colours_the_verdicts_have_three(theme: Theme) -> None:
    """What rich makes of them for such a terminal: three colours, none of them the text's own or a grey."""
    shown = {
        name: Color.parse(colour(theme, name)).downgrade(ColorSystem.STANDARD).number
        for name in ("holds", "doubtful", "fails", "foreground")
    }
    assert len(set(shown.values())) == 4
    assert not {shown[n] for n in ("holds", "doubtful", "fails")} & {0, 7, 8, 15}


def test_a_terminal_gets_the_theme_of_its_colours() -> None:
    assert [
        theme_for(dark, colours).name for dark in (True, False) for colours in ("truecolor", "256", "standard")
    ] == [
        *["secure-load-dark"] * 2,
        "secure-load-dark-16",
        *["secure-load-light"] * 2,
        "secure-load-light-16",
    ]
