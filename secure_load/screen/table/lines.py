"""How the rows of the table are laid out. Light: the first picture shows them before the boat is read."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.cells import set_cell_size

if TYPE_CHECKING:
    from secure_load.screen.verdict.words import Line, Piece

COLUMNS = 61
"""Heels, a column each 6 degrees."""
SCALE = "|P180          P90            0            S90          S180|"
_NUMBER, _VERDICT, _USE, _MASS = 4, 11, 7, 8
_FIXED = _NUMBER + _VERDICT + _USE + _MASS + 2
HEADS = ("#", "verdict", "use", "kg", "weight")
WIDE = 110
"""Columns of the terminal from which the strip of every weight is in its row."""


def head_at(x: int) -> str:
    """The heading above a column of characters."""
    ends = (_NUMBER, _NUMBER + _VERDICT, _NUMBER + _VERDICT + _USE, _FIXED - 1)
    return HEADS[sum(x >= end for end in ends)]


def room_for_names(titles: Sequence[str], width: int, strip: bool) -> int:
    """Columns for the names: what the strip leaves, or as many as the longest has, up to half of what is left."""
    left = width - _FIXED - 1
    return max(8, left - COLUMNS) if strip else max(8, min(max(map(len, titles), default=6), left * 55 // 100))


def strip_start(names: int) -> int:
    """Where the strip, or what goes first, begins."""
    return _FIXED + names + 1


def heading(names: int, width: int, strip: bool) -> str:
    """The headings, cut to ``width``."""
    words = f" {'#':>2} {'verdict':<{_VERDICT}}{'use':>{_USE - 1}} {'kg':>{_MASS}}  {'weight':<{names}} "
    return set_cell_size(words + (SCALE if strip else "goes first"), width)


def row_pieces(number: int, mark: Piece, use: str, mass: float, title: str, names: int, *, chosen: bool) -> Line:
    """One weight up to its strip; mass in kg, ``title`` fit for the screen."""
    style, word = mark
    strong = "strong" if chosen else ""
    return [
        (strong, f"{'▌' if chosen else ' '}{number:>2} "),
        (style, f"{word:<{_VERDICT}}"),
        (strong, f"{use:>{_USE - 1}} "),
        (strong, f"{mass:>{_MASS}.1f}  "),
        (strong, set_cell_size(title, names) + " "),
    ]
