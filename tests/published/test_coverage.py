"""How many printed numbers the strength room is really held against: counted by comparing them, not by
reading the tables.

A number counts once. Numbers worked out from a rule ("derived") do not count as published; figures that were
only copied ("copy") are counted apart, so that they cannot make up for formulas that were not
checked.
"""

from __future__ import annotations

import importlib
from collections import Counter

import pytest

from tests.published._table import HERE, compare, load

# Tables of the strength room; every one of them has a module test_<table>.py with a function recompute.
TABLES = (
    "civil_engineering_handbook",
    "css_annex_13",
    "en_1995",
    "iso_898",
    "nds_clauses",
    "nds_table_12_2a",
    "nds_table_12_2b",
    "nds_table_12_3_3",
    "nds_table_12k",
    "nds_table_12l",
    "rules",
    "wood_handbook",
)


@pytest.fixture(scope="module")
def compared() -> Counter[tuple[str, str]]:
    """Printed numbers compared, by (status, check); a row that fails ends the count with its own message."""
    counts: Counter[tuple[str, str]] = Counter()
    for table in TABLES:
        recompute = importlib.import_module(f"tests.published.test_{table}").recompute
        for row in load(table):
            counts[row.status, row.check] += compare(row, recompute(row))
    return counts


def test_every_table_is_present() -> None:
    assert [table for table in TABLES if not (HERE / f"{table}.toml").is_file()] == []


def test_no_row_stands_twice() -> None:
    ids = [row.id for table in TABLES for row in load(table)]
    assert [id for id, count in Counter(ids).items() if count > 1] == []


def test_at_least_a_hundred_published_numbers_are_compared(compared: Counter[tuple[str, str]]) -> None:
    published = sum(count for (status, check), count in compared.items() if check != "copy")
    assert published >= 100, compared


def test_at_least_seventy_of_them_were_seen_in_print(compared: Counter[tuple[str, str]]) -> None:
    seen = compared["seen in print", "formula"] + compared["seen in print", "conversion"]
    assert seen >= 70, compared


def test_worked_out_rows_do_not_count_as_published(compared: Counter[tuple[str, str]]) -> None:
    assert sum(count for (status, _), count in compared.items() if status == "derived") == 0


def test_a_wrong_number_is_noticed() -> None:
    row = load("nds_table_12_2a")[0]
    with pytest.raises(AssertionError, match=r"nds_lag_W_0p73_0p5.*prints 668"):
        compare(row, {"value": 670.0})
