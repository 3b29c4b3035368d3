"""Three sets of characters to draw with, and which of them a terminal can show."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, cast

from secure_load.cli.config import config

GlyphSet = Literal["braille", "quadrant", "ascii"]


@dataclass(frozen=True)
class Glyphs:
    """So many dots to a cell."""

    name: GlyphSet
    across: int
    down: int


BRAILLE = Glyphs("braille", 2, 4)
QUADRANT = Glyphs("quadrant", 2, 2)
ASCII = Glyphs("ascii", 1, 1)
BY_NAME: dict[GlyphSet, Glyphs] = {"braille": BRAILLE, "quadrant": QUADRANT, "ascii": ASCII}


def ascii_asked_for(environ: Mapping[str, str] | None = None) -> bool:
    """True where the locale is C or POSIX by name: nothing but ASCII is promised to be shown.

    Python itself writes UTF-8 there all the same, and puts LC_CTYPE=C.UTF-8 into its own environment where only LANG
    says C; so the encoding it names says nothing.
    """
    environ = os.environ if environ is None else environ
    every, kind, language = (environ.get(name, "") for name in ("LC_ALL", "LC_CTYPE", "LANG"))
    by_python = not every and language in ("C", "POSIX") and kind in ("C.UTF-8", "C.utf8", "UTF-8")
    return by_python or (every or kind or language) in ("C", "POSIX")


def usual_glyphs(encoding: str | None, environ: Mapping[str, str] | None = None) -> GlyphSet:
    """The finest set that a terminal shows, as far as that can be told from outside.

    A locale that promises ASCII alone gets that. A text console (TERM linux, vt100, dumb) has a font of a few hundred
    characters: ASCII. The old console window of Windows has block characters and no braille; its newer one says
    WT_SESSION. Else braille, where the encoding has it.
    """
    chosen = config().glyphs if environ is None else None
    if chosen is not None:
        return cast("GlyphSet", chosen)
    environ = os.environ if environ is None else environ
    if ascii_asked_for(environ) or environ.get("TERM", "") in ("linux", "dumb", "vt100", "vt220"):
        return "ascii"
    try:
        "\u2588\u259a\u28ff".encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return "ascii"
    old_console = environ.get("OS") == "Windows_NT" and not any(
        name in environ for name in ("WT_SESSION", "TERM_PROGRAM", "ConEmuANSI", "TERM")
    )
    return "quadrant" if old_console else "braille"
