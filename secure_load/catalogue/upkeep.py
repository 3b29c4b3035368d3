"""What is looked at and how often, and what is bought beyond the bare count: the rows of ``upkeep.toml``."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any


@dataclass(frozen=True)
class Figure:
    """One figure of upkeep, with who says so."""

    id: str
    name: str
    value: float
    unit: str
    source: str


@dataclass(frozen=True)
class Check:
    """One thing to look at: in words, for what, and who says so."""

    id: str
    to: tuple[str, ...]
    """What it is looked at on: a kind of restraint, part, metal or weight."""
    name: str
    source: str

    @property
    def subject(self) -> str:
        """What it is on, in words: "timber" of chocks and battens, "screws" of screws."""
        return (self.id if len(self.to) > 1 else "".join(self.to)).replace("_", " ").replace("-line", "")


@cache
def _read() -> dict[str, Any]:
    text = resources.files("secure_load.catalogue").joinpath("upkeep.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def figures() -> dict[str, Figure]:
    """All figures by id."""
    return {row["id"]: Figure(**row) for row in _read()["figure"]}


def figure(name: str) -> Figure:
    """One figure. Raises KeyError where there is none of that name: a slip in the program."""
    return figures()[name]


@cache
def checks() -> tuple[Check, ...]:
    """All checks, in the order of the file."""
    return tuple(Check(row["id"], tuple(row["to"]), row["name"], row["source"]) for row in _read()["check"])


def checks_for(tags: set[str]) -> list[Check]:
    """The checks that are for any of ``tags``, in the order of the file."""
    return [check for check in checks() if tags.intersection(check.to)]
