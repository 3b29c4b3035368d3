"""Plain characters in the place of line drawing, for terminals that have no others.

Applied to every line at the last moment before it is written, so that no pane needs to know of it. One character
stands for one, so nothing moves.
"""

from __future__ import annotations

import unicodedata

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from secure_load.screen.drawing.glyphs import ascii_asked_for, usual_glyphs

_LINES = {
    "─━╌╍┄┅┈┉═╴╶╸╺╼╾▁▔▂▃⎯": "-",
    "│┃╎╏┆┇┊┋║╵╷╹╻╽╿▏▎▍▌▐▕▊▋▉": "|",
    "┌┐└┘├┤┬┴┼╭╮╯╰┏┓┗┛┣┫┳┻╋╔╗╚╝╠╣╦╩╬": "+",
    "█▇▆▅▄▀▓▒▙▟▛▜": "#",
    "░▖▗▘▝▞▚": ":",
    "…": ".", "·•●○◦": "*", "–—−": "-", "×": "x", "▶▸►›→": ">", "◀◂◄‹←": "<", "▼▾": "v", "▲▴": "^",
    "‘’": "'", "“”": '"', "°": "d", "✓✔": "x",
}  # fmt: skip
TABLE = {ord(c): plain for group, plain in _LINES.items() for c in group}


def plain_text(text: str, ascii_only: bool) -> str:
    """The same text in plain characters; with ``ascii_only`` letters lose their accents, and the rest is "?"."""
    found = text.translate(TABLE)
    if not ascii_only or found.isascii():
        return found
    return "".join(_letter(c) for c in found)


def _letter(character: str) -> str:
    if character.isascii():
        return character
    base = unicodedata.normalize("NFKD", character)[0]
    if unicodedata.east_asian_width(character) in "WF":
        return "??"
    return "" if unicodedata.combining(character) else base if base.isascii() else "?"


class PlainCharacters(LineFilter):
    """Turns every line that is written into plain characters."""

    def __init__(self, ascii_only: bool) -> None:
        super().__init__()
        self.ascii_only = ascii_only

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same segments in plain characters."""
        return [
            segment if segment.control else Segment(plain_text(segment.text, self.ascii_only), segment.style)
            for segment in segments
        ]


def plain_filter(encoding: str | None) -> PlainCharacters | None:
    """What the terminal needs; None where it shows line drawing."""
    if usual_glyphs(encoding) != "ascii":
        return None
    if ascii_asked_for():
        return PlainCharacters(ascii_only=True)
    try:
        "é".encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return PlainCharacters(ascii_only=True)
    return PlainCharacters(ascii_only=False)
