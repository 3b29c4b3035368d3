"""Where things stand in the text of a boat file: the lines of its keys, and its statements one by one.

The reader in the standard library gives values and no places. This walk over the text gives places and no
values. It is made for text that has already been read as TOML without complaint; on any other text it stops
where it no longer understands, and what it has found so far still stands.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

Path = tuple[str | int, ...]
"""Keys from the top of the file down; whole numbers count the items of a list, from 0."""

_GAP = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_STRING = re.compile(
    r'"""(?:[^"\\]|\\[\s\S]|"(?!""))*"""(?:"{0,2})'
    r"|'''[\s\S]*?'''(?:'{0,2})"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
)
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BARE_VALUE = re.compile(r"[^,\[\]{}\n#]+")


@dataclass(frozen=True, slots=True)
class Statement:
    """One table header or one key with its value."""

    kind: Literal["table", "item", "key"]
    """``[header]``, ``[[header]]`` (one more item of a list of tables) or ``key = value``."""
    path: Path
    start: int
    """Where it begins in the text."""
    end: int
    """Where it ends, before any comment behind it."""


class _Lost(Exception):
    """The text is not what the walk expects."""


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.places: dict[Path, int] = {}
        self.statements: list[Statement] = []
        self._items: dict[Path, int] = {}

    def run(self) -> None:
        table: Path = ()
        if self.text.startswith("\ufeff"):
            self.at = 1
        try:
            while True:
                self._skip(_GAP)
                if self.at >= len(self.text):
                    return
                start = self.at
                if self.text.startswith("[", start):
                    table = self._header(start)
                else:
                    path = self._pair(table)
                    self.statements.append(Statement("key", path, start, self.at))
        except (_Lost, RecursionError):
            return

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        if found:
            self.at = found.end()

    def _take(self, mark: str) -> None:
        if not self.text.startswith(mark, self.at):
            raise _Lost
        self.at += len(mark)

    def _note(self, path: Path, start: int) -> None:
        self.places.setdefault(path, start)

    def _header(self, start: int) -> Path:
        double = self.text.startswith("[[", start)
        self._take("[[" if double else "[")
        keys = self._keys()
        self._take("]]" if double else "]")
        path: Path = ()
        for key in keys[:-1]:
            path = self._enter((*path, key))
            self._note(path, start)
        path = (*path, keys[-1])
        self._note(path, start)
        if double:
            self._items[path] = self._items.get(path, -1) + 1
        path = self._enter(path)
        # The header is a better place for a table than a header of one of its own parts.
        self.places[path] = start
        self.statements.append(Statement("item" if double else "table", path, start, self.at))
        return path

    def _enter(self, path: Path) -> Path:
        return (*path, self._items[path]) if path in self._items else path

    def _keys(self) -> list[str]:
        keys: list[str] = []
        while True:
            self._skip(_SPACE)
            bare = _BARE_KEY.match(self.text, self.at)
            if bare:
                keys.append(bare.group())
                self.at = bare.end()
            else:
                keys.append(self._quoted_key())
            self._skip(_SPACE)
            if not self.text.startswith(".", self.at):
                return keys
            self.at += 1

    def _quoted_key(self) -> str:
        found = _STRING.match(self.text, self.at)
        if not found:
            raise _Lost
        self.at = found.end()
        try:
            return str(tomllib.loads(f"k = {found.group()}")["k"])
        except ValueError:
            raise _Lost from None

    def _pair(self, table: Path) -> Path:
        start = self.at
        path = table
        for key in self._keys():
            path = (*path, key)
            self._note(path, start)
        self._take("=")
        self._skip(_SPACE)
        self._value(path)
        return path

    def _value(self, path: Path) -> None:
        mark = self.text[self.at : self.at + 1]
        if mark == "[":
            self._list(path)
        elif mark == "{":
            self._inline(path)
        else:
            found = (_STRING if mark and mark in "\"'" else _BARE_VALUE).match(self.text, self.at)
            if not found:
                raise _Lost
            self.at += len(found.group().rstrip())

    def _list(self, path: Path) -> None:
        self._take("[")
        place = 0
        while True:
            self._skip(_GAP)
            if self.text.startswith("]", self.at):
                self.at += 1
                return
            self._note((*path, place), self.at)
            self._value((*path, place))
            place += 1
            self._skip(_GAP)
            if not self.text.startswith("]", self.at):
                self._take(",")

    def _inline(self, path: Path) -> None:
        self._take("{")
        while True:
            self._skip(_GAP)
            if self.text.startswith("}", self.at):
                self.at += 1
                return
            self._pair(path)
            self._skip(_GAP)
            if not self.text.startswith("}", self.at):
                self._take(",")


@lru_cache(maxsize=4)
def _walked(text: str) -> _Walk:
    walk = _Walk(text)
    walk.run()
    return walk


@lru_cache(maxsize=4)
def _line_starts(text: str) -> list[int]:
    return [0, *(each.end() for each in re.finditer("\n", text))]


def statements(text: str) -> list[Statement]:
    """Headers and keys of the text, from top to bottom (not those inside inline tables)."""
    return _walked(text).statements


def locate(text: str, path: Sequence[str | int]) -> int:
    """Line, counted from 1, on which a key stands, or else the nearest table or list it would stand in.

    ``path`` goes from the top down, such as ``("weight", 0, "restraint", 1, "screws", "gauge")``.
    """
    places = _walked(text).places
    keys = tuple(path)
    for length in range(len(keys), 0, -1):
        start = places.get(keys[:length])
        if start is not None:
            return bisect_right(_line_starts(text), start)
    return 1
