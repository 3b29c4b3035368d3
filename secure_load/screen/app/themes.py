"""Two themes, dark and light, each once more for terminals of sixteen colours.

The colours of the verdicts keep a contrast of 4.5 to 1 (WCAG AA) on every ground they are shown on;
tests/unit/test_screen_themes.py holds them to it. Of sixteen colours the shades are the terminal's own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.theme import Theme
from textual.widget import Widget

if TYPE_CHECKING:  # the words bring the whole engine with them, and the first sight of the boat is painted without
    from secure_load.screen.verdict.words import Line

DARK = Theme(
    name="secure-load-dark",
    primary="#7ab8e6",
    secondary="#9fb4c4",
    warning="#f0c34e",
    error="#ff9a94",
    success="#7fd19a",
    accent="#7ab8e6",
    foreground="#e8edf1",
    background="#0f151b",
    surface="#151d25",
    panel="#1f2b36",
    dark=True,
    variables={
        "holds": "#7fd19a",
        "doubtful": "#f0c34e",
        "fails": "#ff9a94",
        "quiet": "#a9b8c4",
        "edge": "#6f8494",
        "row": "#2b3d4d",
        "block-cursor-background": "#2b3d4d",
        "block-cursor-foreground": "#e8edf1",
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": "#1f2b36",
        "block-cursor-blurred-foreground": "#e8edf1",
        "footer-key-foreground": "#7ab8e6",
        "input-selection-background": "#3d6a8c",
        "scrollbar": "#3d5568",
        "scrollbar-background": "#1a242e",
        "scrollbar-corner-color": "#1a242e",
    },
)

LIGHT = Theme(
    name="secure-load-light",
    primary="#1c5a86",
    secondary="#46586a",
    warning="#7a5200",
    error="#a8141d",
    success="#17632f",
    accent="#1c5a86",
    foreground="#1b2126",
    background="#f8f6f1",
    surface="#fdfcf9",
    panel="#e9e4d9",
    dark=False,
    variables={
        "holds": "#17632f",
        "doubtful": "#6f4a00",
        "fails": "#a8141d",
        "quiet": "#4a5560",
        "edge": "#74818c",
        "row": "#d5dfe6",
        "block-cursor-background": "#d5dfe6",
        "block-cursor-foreground": "#1b2126",
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": "#e9e4d9",
        "block-cursor-blurred-foreground": "#1b2126",
        "footer-key-foreground": "#1c5a86",
        "input-selection-background": "#a9cbe4",
        "scrollbar": "#9aa9b4",
        "scrollbar-background": "#eeeae1",
        "scrollbar-corner-color": "#eeeae1",
    },
)

# Terminals of sixteen colours show the one that is nearest: soft hues all come out white or grey. These are colours
# such a terminal has, as its own palette is usually given.
_16 = "-16"
DARK_16 = Theme(
    name=DARK.name + _16,
    primary="#55ffff",
    secondary="#aaaaaa",
    warning="#ffff55",
    error="#ff5555",
    success="#55ff55",
    accent="#55ffff",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    dark=True,
    variables={
        "holds": "#55ff55",
        "doubtful": "#ffff55",
        "fails": "#ff5555",
        "quiet": "#aaaaaa",
        "edge": "#aaaaaa",
        "row": "#000080",
        "block-cursor-background": "#000080",
        "block-cursor-foreground": "#ffffff",
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": "#000000",
        "block-cursor-blurred-foreground": "#ffffff",
        "footer-key-foreground": "#55ffff",
        "input-selection-background": "#000080",
        "scrollbar": "#aaaaaa",
        "scrollbar-background": "#000000",
        "scrollbar-corner-color": "#000000",
    },
)
LIGHT_16 = Theme(
    name=LIGHT.name + _16,
    primary="#0000aa",
    secondary="#000000",
    warning="#aa00aa",
    error="#aa0000",
    success="#008000",
    accent="#0000aa",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#ffffff",
    dark=False,
    variables={
        "holds": "#008000",
        "doubtful": "#aa00aa",
        "fails": "#aa0000",
        "quiet": "#000000",
        "edge": "#000000",
        "row": "#ffffff",
        "block-cursor-background": "#ffffff",
        "block-cursor-foreground": "#000000",
        "block-cursor-text-style": "bold reverse",
        "block-cursor-blurred-background": "#ffffff",
        "block-cursor-blurred-foreground": "#000000",
        "footer-key-foreground": "#0000aa",
        "input-selection-background": "#aaaaaa",
        "scrollbar": "#555555",
        "scrollbar-background": "#ffffff",
        "scrollbar-corner-color": "#ffffff",
    },
)
THEMES = (DARK, LIGHT, DARK_16, LIGHT_16)


def theme_for(dark: bool, colours: str | None) -> Theme:
    """The theme for a terminal; ``colours`` is rich's name for what it shows, "standard" for sixteen."""
    few = colours == "standard"
    return (DARK_16 if few else DARK) if dark else (LIGHT_16 if few else LIGHT)


GROUNDS = ("background", "surface", "panel", "row")
"""What text is shown on."""
INKS = ("holds", "doubtful", "fails", "quiet", "foreground", "accent", "primary")
"""What it is shown in."""

_STYLES = {
    "holds": "bold $holds",
    "doubtful": "bold $doubtful",
    "fails": "bold $fails",
    "head": "bold $accent",
    "strong": "bold",
    "quiet": "$quiet",
    "error": "$fails",
    "assumed": "italic $foreground",
    "cursor": "bold reverse",
}


def entitle(pane: Widget, words: str) -> None:
    """Give a pane its title, as text and only where it is another: a title set anew paints the whole pane."""
    if str(pane.border_title) != words:
        pane.border_title = Content(words)


def coloured(*lines: Line) -> Content:
    """Lines of words as content; the text is never read as markup."""
    pieces: list[tuple[str, str]] = []
    for n, line in enumerate(lines):
        if n:
            pieces.append(("\n", ""))
        pieces.extend((text, _STYLES.get(style, "")) for style, text in line if text)
    return Content.assemble(*pieces)
