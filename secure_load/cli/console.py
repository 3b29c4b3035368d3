"""The console the command line prints to: text as text, in characters it has, as wide as it is.

All text is put in as text and never as markup; where the encoding lacks a character, a plain one stands for it,
before the columns are measured.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import TextIO

from rich.console import Console
from rich.text import Text

from secure_load.record.text.text_layout import plain, wrapped

PIPED_WIDTH = 80
"""Columns where nobody says how many there are."""
TABLE_FROM = 64
"""Columns below which a table would be all wraps, and lines are printed in its place."""
_PLAINER = str.maketrans(
    {"×": "x", "·": "*", "°": " deg", "–": "-", "—": "-", "…": "...", "‘": "'", "’": "'", "“": '"', "”": '"', "²": "2"}
)


class _Console(Console):
    def on_broken_pipe(self) -> None:
        """Leave it to the caller, who knows the exit code; rich would end the program with 1, which means red."""
        raise BrokenPipeError


def console_for(stream: TextIO) -> Console:
    """A console that reads no markup, and is as wide as asked where the stream is no terminal."""
    made = _Console(file=stream, highlight=False, markup=False, emoji=False)
    if not made.is_terminal and not os.environ.get("COLUMNS", "").isdigit():
        made.width = PIPED_WIDTH
    return made


def fit(text: str, encoding: str) -> str:
    """Text for showing in an encoding: plainer characters for those it lacks, and codes for the rest.

    >>> fit("25 × 3 – Ørn", "ascii")
    '25 x 3 - \\\\xd8rn'
    """
    safe = plain(text)
    try:
        safe.encode(encoding)
    except UnicodeEncodeError:
        return safe.translate(_PLAINER).encode(encoding, "backslashreplace").decode(encoding)
    return safe


def shown(console: Console, words: str, style: str = "") -> Text:
    """Words as a rich text: never as markup, and in characters the console has."""
    return Text(fit(words, console.encoding), style=style, overflow="fold")


def print_lines(console: Console, lines: Iterable[str]) -> None:
    """Lines that are laid out already."""
    for line in lines:
        console.print(shown(console, line), soft_wrap=True)


def page_of(console: Console) -> int:
    """Columns to lay words out in."""
    return max(console.width, 20)


def after(text: str, used: int, page: int) -> list[str]:
    """A paragraph whose first line goes on behind something already printed."""
    lines = wrapped(text, used, 2, page)
    return [lines[0].lstrip(), *lines[1:]]
