"""The one error of this room: a name that is in no row."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_LONGEST_SHOWN = 60


class UnknownRow(LookupError):
    """A name or size that is not in a table; the message is one sentence for the owner."""

    def __init__(self, what: str, asked: str, near: Iterable[str], listing: str) -> None:
        self.what = what
        self.asked = asked
        self.near = tuple(near)
        self.listing = listing
        hint = f"; near it: {', '.join(self.near)}" if self.near else ""
        super().__init__(f"no {what} '{shown(asked)}' in the catalogue{hint}; 'secure-load list {listing}' shows all.")


def shown(text: str) -> str:
    """Text from a file made fit for a message: no control characters, not too long."""
    safe = "".join(c if c.isprintable() else "?" for c in text)
    return safe if len(safe) <= _LONGEST_SHOWN else safe[: _LONGEST_SHOWN - 3] + "..."


def near_matches(key: str, names: dict[str, str], most: int = 4) -> list[str]:
    """Ids whose name or alias resembles ``key``.

    Args:
        key: what was asked, normalised.
        names: normalised name or alias -> id.
        most: how many at most.

    Names that hold all the words asked for, begin with them or contain them come first: to somebody who
    wrote "polyester-8" or "mahog" they are nearer than difflib thinks.
    """
    key = key[:_LONGEST_SHOWN]
    found: list[str] = []
    if len(key) >= 3:
        parts = set(key.split("-"))
        found += [n for n in names if parts <= set(n.split("-"))]
        found += [n for n in names if n.startswith(key)] + [n for n in names if key in n]
    found += difflib.get_close_matches(key, names, n=most * 2, cutoff=0.6)
    return list(dict.fromkeys(names[n] for n in found))[:most]
