"""What the screen and its helper write to one another: pickled notes, each with its length before it.

Nothing here may be heavy: the helper reads notes before it has loaded the engine.
"""

from __future__ import annotations

import pickle
import struct
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING, Any

if TYPE_CHECKING:
    from secure_load.boat.models import BoatParticulars, Scenario, Weight
    from secure_load.screen.reckoning.work import What

_HEAD = struct.Struct(">cQ")
ANY, DROP = b"n", b"d"
"""Kinds of note: the helper must know one that takes a question back before it has loaded what the others are of."""


@dataclass(frozen=True)
class News:
    """What has changed of the boat since the note before; None and no weights where nothing has."""

    particulars: BoatParticulars | None
    scenarios: list[Scenario] | None
    order: list[str]
    """Ids of all her weights, in their order."""
    weights: list[Weight]
    """Those that are new or were changed."""


@dataclass(frozen=True)
class Ask:
    """Work this out. Numbers only ever grow."""

    number: int
    what: What
    weight: str
    news: News | None


@dataclass(frozen=True)
class Drop:
    """What was asked up to this number is not wanted any more."""

    number: int


@dataclass(frozen=True)
class Awake:
    """The engine is loaded."""


@dataclass(frozen=True)
class Found:
    """Something was worked out for a question."""

    number: int
    what: What
    result: Any
    seconds: float
    """Taken by it."""


@dataclass(frozen=True)
class Done:
    """There is no more to come for a question; it was given up where it was not wanted any more."""

    number: int


def packed(note: object) -> bytes:
    """A note with its kind and its length."""
    body = pickle.dumps(note, pickle.HIGHEST_PROTOCOL)
    return _HEAD.pack(DROP if isinstance(note, Drop) else ANY, len(body)) + body


def next_note(stream: IO[bytes]) -> tuple[bytes, bytes] | None:
    """The kind of the next note, and the note, still pickled; None at the end, and where a note ends in its midst."""
    head = _exactly(stream, _HEAD.size)
    if head is None:
        return None
    kind, size = _HEAD.unpack(head)
    body = _exactly(stream, size)
    return None if body is None else (kind, body)


def _exactly(stream: IO[bytes], size: int) -> bytes | None:
    parts: list[bytes] = []
    while size > 0:
        part = stream.read(size)
        if not part:
            return None
        parts.append(part)
        size -= len(part)
    return b"".join(parts)
