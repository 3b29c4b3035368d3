"""Two themes, dark and light. The colours of the verdicts keep a contrast of 4.5 to 1 (WCAG AA) on every ground
they are shown on; tests/unit/test_screen_themes.py holds them to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.theme import Theme
from textual.widget import Widget

if TYPE_CHECKING:  # the words bring the whole engine with them, and the first sight of the boat is painted without
    from secure_load.screen.words import Line

DARK = Theme(
    name="secure-load-dark",
    primary="#7ab8e6",
    secondary="#9fb4c4",
    warning="#f0c34e",
    error="#ff9a94",
    success="#7fd19a",
    accent="#e8c07d",
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
        "row": "#2b3d4d",
        "block-cursor-background": "#2b3d4d",
        "block-cursor-foreground": "#e8edf1",
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": "#1f2b36",
        "block-cursor-blurred-foreground": "#e8edf1",
        "footer-key-foreground": "#e8c07d",
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
    accent="#7a4f00",
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
        "row": "#d5dfe6",
        "block-cursor-background": "#d5dfe6",
        "block-cursor-foreground": "#1b2126",
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": "#e9e4d9",
        "block-cursor-blurred-foreground": "#1b2126",
        "footer-key-foreground": "#7a4f00",
        "input-selection-background": "#a9cbe4",
        "scrollbar": "#9aa9b4",
        "scrollbar-background": "#eeeae1",
        "scrollbar-corner-color": "#eeeae1",
    },
)

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
    "assumed": "italic $doubtful",
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
