"""Reading a boat file, and saying in one sentence what is wrong with it and on which line.

The reader of the standard library is used because it is ten times as fast as the one that keeps comments,
which is wanted only when saving. Line numbers are looked up only once something is found to be wrong.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

from pydantic import ValidationError

from .base import visible
from .explain import Problem, explain, keys_at, near
from .models import BoatFile
from .scan import locate
from .schema import SCHEMA

__all__ = [
    "LARGEST_FILE",
    "BoatDocument",
    "BoatFileError",
    "Signature",
    "boat_as_written",
    "locate",
    "parse_boat",
    "read_boat",
    "read_document",
    "signature_of",
]

LARGEST_FILE = 5_000_000
"""Bytes. A boat of a thousand weights takes about a tenth of this."""
_KEY = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
_LONG_KEY = re.compile(rf"(?:^|[\[{{,])[ \t]*+{_KEY}(?:[ \t]*+\.[ \t]*+{_KEY}){{16}}", re.MULTILINE)
"""A key of more than 16 parts. No boat file has one, and the reader takes memory by the square of its length."""
_LONG_NUMBER = re.compile(r"0[xob][0-9A-Fa-f_]{3000}")
"""Longer than any text of a boat file may be, and than Python turns back into decimals to show it."""


class BoatFileError(Exception):
    """A boat file cannot be read or written; the message is one sentence for the person at the keyboard.

    ``path`` is the file, ``line`` the line counted from 1 (None where no line is meant), ``key`` the key
    with its table, such as ``screws.gauge`` (None where no key is meant), ``more`` how many other things
    are wrong, and ``sentence`` the message without file, line and key.
    """

    def __init__(
        self,
        path: str | os.PathLike[str],
        sentence: str,
        *,
        line: int | None = None,
        key: str | None = None,
        where: Sequence[str] = (),
        more: int = 0,
    ) -> None:
        self.path = Path(path)
        self.line = line
        self.key = key
        self.more = more
        self.sentence = sentence
        parts = [file_name(path)]
        if line is not None:
            parts.append(f"line {line}")
        parts.extend(where)
        tail = f" (and {more} more)" if more else ""
        self.message = f"{', '.join(parts)}: {sentence}{tail}"
        super().__init__(self.message)


@dataclass(frozen=True)
class Signature:
    """What a file on disk looked like, to know later whether somebody else has changed it."""

    mtime_ns: int
    size: int
    sha256: str


@dataclass(frozen=True)
class BoatDocument:
    """A boat file as it was read: where it is, its text, what it says, and what it looked like on disk.

    ``text`` is exactly what the file holds, with its own line ends and byte-order mark.
    ``comments_kept`` is False after a save that had to write the file afresh (see ``save_boat``).
    """

    path: Path
    text: str
    boat: BoatFile
    signature: Signature
    comments_kept: bool = True

    def changed_on_disk(self) -> bool:
        """True where the file now holds something else, or is gone."""
        try:
            found = self.path.stat()
            if (found.st_mtime_ns, found.st_size) == (self.signature.mtime_ns, self.signature.size):
                return False
            # A copy or a touch changes the time and not a word of the text.
            data, _ = read_bytes(self.path)
        except (OSError, BoatFileError):
            return True
        return hashlib.sha256(data).hexdigest() != self.signature.sha256

    def line_of(self, keys: Sequence[str | int]) -> int:
        """Line on which a key stands in the text as read."""
        return locate(self.text, keys)


def file_name(path: str | os.PathLike[str]) -> str:
    """The file's own name, fit for a message."""
    name = os.fspath(path)
    return visible(Path(name).name or name, 120)


def signature_of(data: bytes, found: os.stat_result) -> Signature:
    """Signature of a file that holds ``data``."""
    return Signature(found.st_mtime_ns, len(data), hashlib.sha256(data).hexdigest())


def read_bytes(path: str | os.PathLike[str]) -> tuple[bytes, os.stat_result]:
    """All of a file and its particulars; a ``BoatFileError`` says why it cannot be had."""
    try:
        found = Path(path).stat()
        if stat.S_ISDIR(found.st_mode):
            raise BoatFileError(path, "is a folder, not a boat file")
        if not stat.S_ISREG(found.st_mode):
            raise BoatFileError(path, "is a device or a pipe, not a boat file")
        if found.st_size > LARGEST_FILE:
            raise _too_large(path)
        with Path(path).open("rb") as stream:
            data = stream.read(LARGEST_FILE + 1)
            found = os.fstat(stream.fileno())
    except OSError as error:
        raise BoatFileError(path, why_not(error)) from None
    except ValueError:  # a NUL in the name
        raise BoatFileError(path, "a file cannot have this name") from None
    if len(data) > LARGEST_FILE:
        raise _too_large(path)
    return data, found


def _too_large(path: str | os.PathLike[str]) -> BoatFileError:
    return BoatFileError(path, f"is larger than {LARGEST_FILE // 1_000_000} MB, which no boat file is")


def why_not(error: OSError) -> str:
    """The operating system's refusal, in plain words."""
    if isinstance(error, FileNotFoundError):
        return "there is no such file or folder"
    if isinstance(error, PermissionError):
        return "you have no permission for this file or its folder"
    if isinstance(error, IsADirectoryError):
        return "is a folder, not a file"
    if isinstance(error, NotADirectoryError):
        return "part of its path is a file, not a folder"
    words = (error.strerror or "the system refused it").lower()
    return f"the system refused: {visible(words, 120)}"


def read_boat(path: str | os.PathLike[str]) -> BoatFile:
    """Read and check a boat file. Raises ``BoatFileError``."""
    return read_document(path).boat


def read_document(path: str | os.PathLike[str]) -> BoatDocument:
    """Read a boat file, keeping what saving it with its comments needs. Raises ``BoatFileError``."""
    data, found = read_bytes(path)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise BoatFileError(path, f"is not text in UTF-8 (byte {error.start + 1} cannot be read)", line=line) from None
    if "\0" in text:
        place = data.index(b"\0")
        line = data.count(b"\n", 0, place) + 1
        raise BoatFileError(path, f"is not a text file (byte {place + 1} is zero)", line=line)
    return BoatDocument(Path(path), text, parse_boat(text, path), signature_of(data, found))


def parse_boat(text: str, path: str | os.PathLike[str] = "boat file") -> BoatFile:
    """Check the text of a boat file; ``path`` is only what messages call it. Raises ``BoatFileError``."""
    long_key = _LONG_KEY.search(text)
    if long_key:
        line = text.count("\n", 0, long_key.end()) + 1
        raise BoatFileError(path, "a key of more than 16 parts stands here, and no boat file has one", line=line)
    long_number = _LONG_NUMBER.search(text)
    if long_number:
        line = text.count("\n", 0, long_number.start()) + 1
        raise BoatFileError(path, "has a number too long to be read", line=line)
    try:
        data = tomllib.loads(text.removeprefix("\ufeff"))
        strange = _python_names(data)
    except tomllib.TOMLDecodeError as error:
        raise _bad_toml(path, text, str(error)) from None
    except RecursionError:
        raise BoatFileError(path, "has lists within lists too deep to be read") from None
    except ValueError:  # a whole number of thousands of digits
        raise BoatFileError(path, "has a number too long to be read") from None
    if strange:
        raise first_of(strange, path, text, data)
    try:
        return BoatFile.model_validate(data)
    except ValidationError as error:
        problems = explain(error, data)
    raise first_of(problems, path, text, data)


def boat_as_written(text: str) -> BoatFile:
    """What a text that was read before says, not brought up to the present schema."""
    data = tomllib.loads(text.removeprefix("\ufeff"))
    written = data.get("schema", SCHEMA)
    return BoatFile.model_validate({**data, "schema": SCHEMA}).model_copy(update={"schema_": written})


def _python_names(data: dict[str, Any]) -> list[Problem]:
    """Keys such as ``from_``: the models know them, the file does not."""
    found: list[Problem] = []

    def look(here: Any, path: tuple[str | int, ...]) -> None:
        if isinstance(here, dict):
            for key, value in cast("dict[str, Any]", here).items():
                if key in ("schema_", "float_", "from_"):
                    hint = near(key, keys_at(path, data))
                    found.append(Problem((*path, key), f"unknown key{hint}"))
                look(value, (*path, key))
        elif isinstance(here, list) and here and not isinstance(here[0], (int, float, str)):
            for number, value in enumerate(cast("list[Any]", here)):
                look(value, (*path, number))

    look(data, ())
    return found


def first_of(
    problems: list[Problem],
    path: str | os.PathLike[str],
    text: str | None,
    data: dict[str, Any],
    before: str = "",
) -> BoatFileError:
    """The gravest problem, or the first of several alike; the others are counted.

    Without ``text`` no line is named; ``before`` goes in front of the sentence.
    """
    lines = [locate(text, p.path) if text is not None else 0 for p in problems]
    worst = min(range(len(problems)), key=lambda n: (problems[n].rank, lines[n], n))
    problem = problems[worst]
    where, key = _place(problem.path, data)
    if key is not None:
        where.append(f"key '{key}'")
    return BoatFileError(
        path,
        before + problem.sentence,
        line=lines[worst] or None,
        key=key,
        where=where,
        more=len(problems) - 1,
    )


def _place(path: tuple[str | int, ...], data: dict[str, Any]) -> tuple[list[str], str | None]:
    """The tables that lead to a key in words, and the key itself."""
    where: list[str] = []
    here: Any = data
    rest = list(path)
    while len(rest) >= 2 and isinstance(rest[1], int) and rest[0] in ("weight", "scenario", "restraint", "finding"):
        what, number = str(rest[0]), rest[1]
        here = _step(_step(here, what), number)
        name = cast("Mapping[str, Any]", here).get("id") if isinstance(here, Mapping) else None
        where.append(f"{what} '{visible(name)}'" if isinstance(name, str) and name else f"{what} {number + 1}")
        rest = rest[2:]
    if not where and len(rest) > 1 and rest[0] in ("boat", "float"):
        where.append(str(rest[0]))
        rest = rest[1:]
        if len(rest) > 1 and rest[0] == "section" and isinstance(rest[1], int):
            where.append(f"section {rest[1] + 1}")
            rest = rest[2:]
    key = ""
    for step in rest:
        if isinstance(step, int):
            key += f"[{step + 1}]"
        else:
            key += ("." if key else "") + visible(step)
    return where, key or None


def _step(here: Any, step: str | int) -> Any:
    try:
        return here[step]
    except (KeyError, IndexError, TypeError):
        return None


_PLAIN_TOML = (
    ("Cannot overwrite a value", "a key or table is given twice"),
    ("Cannot declare", "a table is given twice"),
    ("Cannot mutate immutable", "a table or list that is already complete is added to"),
    ("Duplicate inline table key", "a key is given twice"),
    ("Expected '=' after a key", "a key must be followed by '=' and its value"),
    ("Invalid value", "the value cannot be read; text must stand in quotes"),
    ("Invalid initial character for a key", "a key or a [table] is expected here"),
    ("Unclosed array", "a list is not closed with ']', or a comma is missing in it"),
    ("Unclosed inline table", "a table is not closed with '}', or a comma is missing in it"),
    ("Expected newline or end of document", "something more stands behind the value"),
    ("Unterminated string", "the quotes are not closed"),
    ("Expected ']'", "a table heading is not closed with ']'"),
    ("Unescaped '\\'", "a backslash must be written twice"),
    ("Invalid hex value", "a backslash must be written twice"),
    ("Illegal character '\\n'", "the quotes are not closed on this line"),
    ("Illegal character", "a control character stands here"),
    ("Found invalid character", "a control character stands here"),
    ("Escaped character is not", "a backslash must be written twice"),
    ('Expected "\'"', "the quotes are not closed"),
    ("Expected \"'''\"", "the quotes are not closed"),
    ("Invalid statement", "a key or a [table] is expected here"),
    ("Invalid date", "the value cannot be read; text must stand in quotes"),
    ("Cannot redefine namespace", "a table is given twice"),
)


def _bad_toml(path: str | os.PathLike[str], text: str, words: str) -> BoatFileError:
    found = re.search(r" \(at line (\d+), column (\d+)\)$", words)
    line = int(found.group(1)) if found else max(1, len(text.splitlines()))
    sentence = next((plain for start, plain in _PLAIN_TOML if words.startswith(start)), None)
    if sentence is None:
        sentence = visible(words[: found.start()] if found else words, 120)
        sentence = sentence[:1].lower() + sentence[1:]
    if found:
        sentence += f" (column {found.group(2)})"
    return BoatFileError(path, sentence, line=line)
