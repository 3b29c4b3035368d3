"""Laying words out on a page, of 78 columns unless told otherwise: headings, labelled lines, bullets, rules.

Nothing of the boat or the catalogue is imported here, so that a list of the catalogue comes quickly.
"""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Sequence

from secure_load.boat.base import visible

WIDTH = 78
LABEL = 15


def plain(text: str) -> str:
    """Text from a file for showing: what cannot be printed is spelled out, so that nothing acts or hides.

    >>> plain("a\\x1b[31mb")
    'a\\\\x1b[31mb'
    """
    spaced = "".join(" " if unicodedata.category(c) == "Zs" else c for c in text)
    return visible(spaced, len(spaced))


def wrapped(text: str, indent: int = 0, hang: int | None = None, page: int = WIDTH) -> list[str]:
    """A paragraph, with ``indent`` on its first line and ``hang`` (or the same) on the others."""
    after = indent if hang is None else hang
    lines = textwrap.wrap(
        text,
        page,
        initial_indent=" " * indent,
        subsequent_indent=" " * after,
        break_on_hyphens=False,
    )
    return [line.rstrip() for line in lines]


def labelled(label: str, text: str, indent: int = 0, width: int = LABEL, page: int = WIDTH) -> list[str]:
    """A label and its words, which keep to their own column."""
    column = indent + width
    head = f"{' ' * indent}{label}"
    if len(head) >= column:
        return [*wrapped(head.strip(), indent, page=page), *wrapped(text, column, page=page)]
    lines = wrapped(text, column, page=page)
    return [head.ljust(column) + lines[0].lstrip(), *lines[1:]] if lines else [head]


def bullet(text: str, indent: int = 0, page: int = WIDTH) -> list[str]:
    """One item of a list."""
    return wrapped(f"- {text}", indent, indent + 2, page)


def labelled_list(
    label: str, items: Sequence[str], indent: int = 0, width: int = LABEL, page: int = WIDTH
) -> list[str]:
    """A label and the items of a list in their own column; a single item stands without a mark."""
    if len(items) == 1:
        return labelled(label, items[0], indent, width, page)
    lines = [line for item in items for line in bullet(item, indent + width, page)]
    head = f"{' ' * indent}{label}".ljust(indent + width)
    return [head + lines[0].lstrip(), *lines[1:]] if lines else []


def heading(left: str, right: str = "") -> list[str]:
    """A heading over a rule, with a word at the right where there is room for it."""
    room = WIDTH - len(right) - (2 if right else 0)
    lines = textwrap.wrap(left, room, break_on_hyphens=False) or [""]
    lines[0] = lines[0].ljust(WIDTH - len(right)) + right if right else lines[0]
    return ["", *[line.rstrip() for line in lines], "-" * WIDTH]
