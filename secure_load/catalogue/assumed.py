"""What is taken for a detail the owner has not given: one row each, in ``assumed.toml``."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True)
class Assumed:
    """One assumption: what it stands for, its value and why that value."""

    id: str
    name: str
    value: float | int | str
    source: str
    unit: str = ""

    @property
    def number(self) -> float:
        """The value where it is a number. Raises TypeError where it is a name."""
        if isinstance(self.value, str):
            raise TypeError(f"assumption '{self.id}' is a name, not a number")
        return float(self.value)

    @property
    def text(self) -> str:
        """The value in words, with its unit."""
        value = self.value if isinstance(self.value, str) else f"{self.value:g}"
        return f"{value} {self.unit}".strip() if self.unit not in ("", "-") else value


@cache
def assumptions() -> dict[str, Assumed]:
    """All assumptions by id."""
    text = resources.files("secure_load.catalogue").joinpath("assumed.toml").read_text(encoding="utf-8")
    return {row["id"]: Assumed(**row) for row in tomllib.loads(text)["assumed"]}


def assumed(name: str) -> Assumed:
    """One assumption. Raises KeyError where there is none of that name: a slip in the program."""
    return assumptions()[name]
