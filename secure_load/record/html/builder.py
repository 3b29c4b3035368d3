"""Putting a page together from elements, so that no text from a file can ever act as markup.

Every text goes through ``text``; what is already markup is ``Markup``, and only this module and the drawings make it.
"""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence

from secure_load.record.text.text_layout import plain

VOID = frozenset({"meta", "br", "hr", "img", "col"})


class Markup(str):
    """Text that is markup and is to stand in a page as it is."""

    __slots__ = ()


def text(words: str) -> Markup:
    """Text for a page: markup in it is shown and not obeyed, and what cannot be printed is spelled out."""
    return Markup(html.escape(plain(words), quote=True))


def el(name: str, /, *inside: str, **about: str) -> Markup:
    """One element. A name of an attribute may end in ``_`` (``class_``); its value is always text.

    >>> el("p", "a < b", class_="note")
    '<p class="note">a &lt; b</p>'
    """
    pairs = "".join(f' {key.rstrip("_")}="{text(value)}"' for key, value in about.items() if value)
    if name in VOID:
        return Markup(f"<{name}{pairs}>")
    return Markup(f"<{name}{pairs}>{joined(inside)}</{name}>")


def joined(parts: Iterable[str]) -> Markup:
    """Elements and texts one after another."""
    return Markup("".join(p if isinstance(p, Markup) else text(p) for p in parts))


def name_of(words: str) -> Markup:
    """A name out of a file: letters that run from right to left in it turn nothing around it."""
    return el("bdi", words)


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], class_: str = "", figures: Iterable[int] = ()) -> Markup:
    """A table with a row of headings; the columns in ``figures`` hold figures and are set to the right."""
    right = set(figures)

    def cells(kind: str, row: Sequence[str]) -> Markup:
        return joined(el(kind, each, class_="figure" if n in right else "") for n, each in enumerate(row))

    body = [el("tr", cells("td", row)) for row in rows]
    head = el("thead", el("tr", cells("th", heads)))
    return el("table", head, el("tbody", *body), class_=class_)


def pairs(rows: Iterable[tuple[str, str]], class_: str = "pairs") -> Markup:
    """Labels and their words."""
    return el("table", el("tbody", *(el("tr", el("th", a, scope="row"), el("td", b)) for a, b in rows)), class_=class_)


def listed(items: Iterable[str], kind: str = "ul") -> Markup:
    """A list; nothing at all where there are no items."""
    points = [el("li", each) for each in items]
    return el(kind, *points) if points else Markup("")
