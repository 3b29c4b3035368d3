"""How long a change takes at the boat: one row each, in ``labour.toml``. Estimates, to put one before another."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True)
class Labour:
    """One job: what it is, how many minutes it takes, who says so."""

    id: str
    name: str
    minutes: float
    source: str


@cache
def labours() -> dict[str, Labour]:
    """All jobs by id."""
    text = resources.files("secure_load.catalogue").joinpath("labour.toml").read_text(encoding="utf-8")
    return {row["id"]: Labour(**row) for row in tomllib.loads(text)["labour"]}


def labour(name: str) -> Labour:
    """One job. Raises KeyError where there is none of that name: a slip in the program."""
    return labours()[name]
