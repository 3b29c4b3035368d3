"""Reads the tables of printed numbers beside this file and holds computed values against them."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

STATUSES = ("seen in print", "from memory", "derived")
CHECKS = ("formula", "conversion", "copy")
HERE = Path(__file__).parent


@dataclass(frozen=True)
class Row:
    """One row of a table: inputs as printed, expected values as printed, where they come from."""

    id: str
    source: str
    clause: str
    status: str
    check: str
    provenance: str
    inputs: dict[str, Any]
    expected: dict[str, Any]
    printed: tuple[str, ...]
    tolerance: float
    relative: float

    def __str__(self) -> str:
        return self.id


def load(table: str) -> list[Row]:
    """Every row of ``<table>.toml``; refuses a row with an unknown status or check."""
    with (HERE / f"{table}.toml").open("rb") as handle:
        raw = tomllib.load(handle)["row"]
    rows: list[Row] = []
    for entry in raw:
        assert entry["status"] in STATUSES, entry["id"]
        assert entry["check"] in CHECKS, entry["id"]
        assert ("tolerance" in entry) != ("relative" in entry), entry["id"]
        printed = entry.get("printed", [] if entry["status"] == "derived" else list(entry["expected"]))
        rows.append(
            Row(
                id=entry["id"],
                source=entry["source"],
                clause=entry["clause"],
                status=entry["status"],
                check=entry["check"],
                provenance=entry["provenance"],
                inputs=entry["inputs"],
                expected=entry["expected"],
                printed=tuple(printed),
                tolerance=entry.get("tolerance", 0.0),
                relative=entry.get("relative", 0.0),
            )
        )
    return rows


def compare(row: Row, computed: dict[str, Any]) -> int:
    """Assert that every expected value of the row is met; give back how many *printed numbers* were
    compared."""
    assert set(computed) == set(row.expected), f"{row.id}: computed {sorted(computed)}, table {sorted(row.expected)}"
    numbers = 0
    for key, wanted in row.expected.items():
        wanted_values = wanted if isinstance(wanted, list) else [wanted]
        got_values = computed[key] if isinstance(wanted, list) else [computed[key]]
        assert len(got_values) == len(wanted_values), f"{row.id}: {key}"
        for got, want in zip(got_values, wanted_values, strict=True):
            if isinstance(want, str | bool):
                assert got == want, f"{row.id}: {key} is {got!r}, {row.source} has {want!r}"
                continue
            allowed = row.tolerance + row.relative * abs(want)
            assert math.isfinite(got), f"{row.id}: {key} is {got!r}"
            assert abs(got - want) <= allowed * (1 + 1e-9), (
                f"{row.id}: {key} computed {got:.6g}, {row.source} prints {want:g} (allowed {allowed:g})"
            )
            numbers += key in row.printed
    return numbers
