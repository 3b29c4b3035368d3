"""How the lines of the list of weights are laid out: the heading, and what each weight has in common with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from secure_load.screen.app.themes import coloured

if TYPE_CHECKING:
    from secure_load.screen.verdict.words import Piece

_MARK, _WORKED, _MASS = 12, 11, 10
TITLE = "Weights, as stowed"


def room_for_names(titles: Sequence[str], width: int) -> int:
    """Columns for the names: as many as the longest has, but no more than half of what is left of ``width``."""
    left = width - 2 - _MARK - _WORKED - _MASS
    return max(8, min(max(map(len, titles), default=6), left * 55 // 100))


def heading(names: int, width: int) -> Content:
    """What stands in each column, cut to ``width``."""
    words = f"  {'Verdict':<{_MARK}}{'Worked':<{_WORKED}}{'kg':>{_MASS - 2}}  {'Weight':<{names}}  Goes first"
    return coloured([("head", words[:width])])


def line(mark: Piece, worked: str, mass: float, title: str, names: int, goes_first: str, *, chosen: bool) -> Content:
    """One weight; mass in kg, ``title`` fit for the screen and cut here to ``names`` columns."""
    style, word = mark
    before = coloured(
        [
            ("strong", "> " if chosen else "  "),
            (style, word.ljust(_MARK)),
            ("strong", worked.ljust(_WORKED)),
            ("", f"{mass:>{_MASS - 2}.1f}  "),
        ]
    )
    name = Content(title).truncate(names, ellipsis=True, pad=True)
    return before + name + Content("  ") + coloured([("quiet", goes_first)])
