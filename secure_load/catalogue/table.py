"""Reading one table: TOML beside this module -> frozen rows, found by id or alias.

A table is read when it is first asked for and kept for good; rows are frozen, so every caller may share them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from types import MappingProxyType
from typing import Any, Generic, TypeVar

from secure_load.catalogue.errors import UnknownRow, near_matches
from secure_load.catalogue.rows import Row

R = TypeVar("R", bound=Row)


def key_of(name: str) -> str:
    """The form names are compared in: lower case, hyphens for blanks and underscores."""
    return "-".join(name.strip().lower().replace("_", "-").replace("-", " ").split())


@dataclass(frozen=True)
class Table(Generic[R]):
    """The rows of one table and the names they go by."""

    what: str
    """One row, in words ("timber")."""
    listing: str
    """Word that ``secure-load list`` takes for it."""
    rows: Mapping[str, R]
    """id -> row, in the order of the file."""
    names: dict[str, str]
    """Normalised id or alias -> id."""

    def find(self, name: str) -> R:
        """The row of that id or alias; case, blanks and underscores do not matter.

        Raises:
            UnknownRow: there is none; the message names near matches.
        """
        key = key_of(name)
        found = self.names.get(key)
        if found is None:
            raise UnknownRow(self.what, name, near_matches(key, self.names), self.listing)
        return self.rows[found]


def build(what: str, listing: str, rows: list[R]) -> Table[R]:
    """A table of these rows.

    Raises:
        ValueError: two rows share an id or an alias.
    """
    names: dict[str, str] = {}
    for row in rows:
        for name in (row.id, *row.aliases):
            key = key_of(name)
            if key in names:
                raise ValueError(f"{what} '{name}' names both '{names[key]}' and '{row.id}'")
            names[key] = row.id
    return Table(what, listing, MappingProxyType({row.id: row for row in rows}), names)


def read_rows(file: str, model: type[R]) -> list[R]:
    """All rows of ``file``, a TOML file of this package holding one array of tables.

    Rows that share source, provenance and confidence name a ``[from.<key>]`` table that states them once: the
    page is then cited in one place, and the file is read in half the time.

    Raises:
        KeyError: a row names a ``from`` that is not there.
        pydantic.ValidationError: a row is not what the model says. Both mean a damaged installation.
    """
    text = resources.files("secure_load.catalogue").joinpath(file).read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    cited: dict[str, dict[str, Any]] = raw.pop("from", {})
    (array,) = raw.values()
    rows: list[dict[str, Any]] = array
    return [model.model_validate(cited[row.pop("from")] | row if "from" in row else row) for row in rows]
