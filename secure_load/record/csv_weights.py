"""The weights as a table for a spreadsheet, with units in the headings; and read back from one.

A table is read whole or not at all. A row whose id is known changes that weight, another row adds a weight;
what has no row, or no column, stays as it is, and so does what an empty cell stands for.
"""

from __future__ import annotations

import csv
import io
import math
import re
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from secure_load.boat.base import visible
from secure_load.boat.explain import explain, near
from secure_load.boat.models import BoatFile, Weight
from secure_load.boat.render import plain_table

LARGEST = 5_000_000
"""Characters; a table of all the weights a boat file may hold takes about a third."""
_LENGTHS = {"m": 1.0, "cm": 0.01, "mm": 0.001}
_MASSES = {"kg": 1.0, "g": 0.001}
_FORMULA = re.compile(r"'*[=+\-@\t]")
"""Text that a spreadsheet would take for a sum to work out."""


@dataclass(frozen=True)
class _Column:
    name: str
    units: dict[str, float]
    """Empty for text and counts."""
    path: tuple[str | int, ...]
    kind: str = "number"


_COLUMNS = (
    _Column("id", {}, ("id",), "text"),
    _Column("name", {}, ("name",), "text"),
    _Column("kind", {}, ("kind",), "text"),
    _Column("mass", _MASSES, ("mass_kg",)),
    _Column("ingots", {}, ("ingots", "count"), "whole"),
    _Column("each", _MASSES, ("ingots", "each_kg")),
    _Column("forward", _LENGTHS, ("at_m", 0)),
    _Column("to port", _LENGTHS, ("at_m", 1)),
    _Column("up", _LENGTHS, ("at_m", 2)),
    _Column("length", _LENGTHS, ("size_m", 0)),
    _Column("breadth", _LENGTHS, ("size_m", 1)),
    _Column("height", _LENGTHS, ("size_m", 2)),
    _Column("weighed", {}, ("measured",), "yes"),
)
_BY_NAME = {c.name: c for c in _COLUMNS}


class BadTable(Exception):
    """A table of weights cannot be taken in; the message is one sentence that names row and column."""


@dataclass(frozen=True)
class Taken:
    """A boat with a table's weights in her."""

    boat: BoatFile
    added: list[str] = field(default_factory=list[str])
    """Ids of the weights that are new."""
    changed: list[str] = field(default_factory=list[str])
    """Ids of the weights that were there and are different now."""
    alike: int = 0
    """How many rows changed nothing."""


def weights_csv(boat: BoatFile) -> str:
    """All weights as a table: a heading with units, then a row each; lines ended with CR LF, as RFC 4180 asks.

    A weight made up of ingots has their count and the mass of one; its whole mass stands beside them.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([f"{c.name} [{next(iter(c.units))}]" if c.units else c.name for c in _COLUMNS])
    for weight in boat.weight:
        writer.writerow([_cell(weight, column) for column in _COLUMNS])
    return out.getvalue()


def _cell(weight: Weight, column: _Column) -> str:
    if column.name == "mass":
        return repr(weight.mass)
    here: Any = weight
    for step in column.path:
        if here is None:
            return ""
        here = here[step] if isinstance(step, int) else getattr(here, step)
    if here is None:
        return ""
    if column.kind == "yes":
        return "yes" if here else "no"
    if column.kind == "text":
        return shielded(str(here))
    return repr(here)


def shielded(text: str) -> str:
    """Text as a cell that no spreadsheet takes for a sum; ``take_in`` takes the mark off again.

    >>> shielded("=1+1"), shielded("pigs")
    ("'=1+1", 'pigs')
    """
    return f"'{text}" if _FORMULA.match(text) else text


def take_in(boat: BoatFile, text: str) -> Taken:
    """The boat with the weights of a table merged into her; the boat given is left as she is.

    Raises:
        BadTable: row and column of the first thing that is wrong, and what is allowed.
    """
    if len(text) > LARGEST:
        raise BadTable(f"is longer than {LARGEST // 1_000_000} million characters, which no table of weights is")
    rows = _rows(text)
    heads, rows = rows[0], rows[1:]
    comma = _divider(text) == ","
    columns = _columns(heads[1])
    known = {w.id: n for n, w in enumerate(boat.weight)}
    tables = [plain_table(w) for w in boat.weight]
    seen: dict[str, int] = {}
    done = Taken(boat)
    places: dict[int, int] = {}
    for row, cells in rows:
        if len(cells) > len(heads[1]):
            raise BadTable(f"row {row}: has {len(cells)} cells, but there are {len(heads[1])} columns")
        values = [
            (column, _value(cell if column.name == "name" else cell.strip(), column, unit, row, comma))
            for cell, (column, unit) in zip(cells, columns, strict=False)
            if cell.strip()
        ]
        name = next((value for column, value in values if column.name == "id"), None)
        if name is None:
            raise BadTable(f"row {row}, column 'id': is empty; every weight needs its short name")
        if name in seen:
            raise BadTable(f"row {row}, column 'id': '{visible(name)}' stands in row {seen[name]} already")
        seen[name] = row
        if name in known:
            place = known[name]
        else:
            place = len(tables)
            tables.append({"id": name})
            done.added.append(name)
        places[place] = row
        _put(tables[place], values, row)
    merged = _checked(boat, tables, places)
    for place, weight in enumerate(merged.weight[: len(boat.weight)]):
        if weight != boat.weight[place]:
            done.changed.append(weight.id)
    return Taken(merged, done.added, done.changed, len(rows) - len(done.added) - len(done.changed))


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """(number of the row's first line, its cells); empty rows left out."""
    source = io.StringIO(text.removeprefix("\ufeff"), newline="")
    reader = csv.reader(source, delimiter=_divider(text), strict=True)
    rows: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for cells in reader:
            if any(c.strip() for c in cells):
                rows.append((line, cells))
            line = reader.line_num + 1
    except csv.Error as problem:
        words = "quotes are not closed, or something stands behind them" if "'\"'" in str(problem) else str(problem)
        raise BadTable(f"row {line}: {visible(words, 120)}") from None
    if not rows:
        raise BadTable("is empty: the first row must name the columns")
    return rows


def _divider(text: str) -> str:
    head = text.removeprefix("\ufeff").lstrip("\r\n").split("\n", 1)[0]
    return max(",;\t", key=head.count)


def _columns(heads: list[str]) -> list[tuple[_Column, float]]:
    found: list[tuple[_Column, float]] = []
    for head in heads:
        name, _, unit = head.strip().lower().partition("[")
        name, unit = " ".join(name.split()), unit.strip().rstrip("]").strip()
        column = _BY_NAME.get(name)
        shown = visible(head.strip())
        if column is None:
            allowed = ", ".join(_BY_NAME)
            raise BadTable(f"row 1: unknown column '{shown}'{near(name, _BY_NAME) or f'; there are {allowed}'}")
        if column in [c for c, _ in found]:
            raise BadTable(f"row 1: the column '{name}' is there twice")
        if column.units and unit not in column.units:
            said = f"is in '{visible(unit)}'" if unit else "names no unit"
            allowed = " or ".join(f"'{name} [{u}]'" for u in column.units)
            raise BadTable(f"row 1: the column '{name}' {said}, but must be {allowed}")
        if not column.units and unit:
            raise BadTable(f"row 1: the column '{name}' has no unit, but '{visible(unit)}' is given")
        found.append((column, column.units.get(unit, 1.0)))
    if not any(c.name == "id" for c, _ in found):
        raise BadTable("row 1: there is no column 'id', by which the weights are known")
    return found


def _value(cell: str, column: _Column, unit: float, row: int, comma: bool) -> Any:
    where = f"row {row}, column '{column.name}'"
    if column.kind == "text":
        return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell
    if column.kind == "yes":
        answer = {"yes": True, "true": True, "no": False, "false": False}.get(cell.lower())
        if answer is None:
            raise BadTable(f"{where}: is '{visible(cell)}', but must be yes or no")
        return answer
    figure = cell if comma else cell.replace(",", ".")
    try:
        value = float(figure)
    except ValueError:
        hint = "; write the decimals behind a point" if "," in cell else ""
        raise BadTable(f"{where}: is '{visible(cell)}', but must be a number{hint}") from None
    if "_" in figure or not math.isfinite(value):
        raise BadTable(f"{where}: is '{visible(cell)}', but must be an ordinary number")
    if column.kind == "whole":
        if not value.is_integer():
            raise BadTable(f"{where}: is '{visible(cell)}', but must be a whole number")
        return int(value)
    # a figure in millimetres is not to come out as 0.10500000000000001 m
    return value if unit == 1.0 else float(f"{value * unit:.12g}")


def _put(table: dict[str, Any], values: list[tuple[_Column, Any]], row: int) -> None:
    """Write one row's values into one weight's table."""
    given = {column.name: value for column, value in values}
    whole = given.pop("mass", None)
    if "ingots" in given or "each" in given:
        table.pop("mass_kg", None)
    elif whole is not None and not _is_their_mass(table.get("ingots"), whole):
        table.pop("ingots", None)
        table["mass_kg"] = whole
    for column, value in values:
        if column.name not in given:
            continue
        if len(column.path) == 1:
            table[str(column.path[0])] = value
            continue
        key, step = str(column.path[0]), column.path[1]
        if isinstance(step, int):
            point = table.setdefault(key, [None, None, None])
            point[step] = value
        else:
            table.setdefault(key, {})[step] = value
    for key, names in (("at_m", ("forward", "to port", "up")), ("size_m", ("length", "breadth", "height"))):
        gaps = [name for name, value in zip(names, table.get(key, [0, 0, 0]), strict=True) if value is None]
        if gaps:
            raise BadTable(f"row {row}, column '{gaps[0]}': is empty, but all of {', '.join(names)} are needed")
    if table.get("ingots") is not None:
        _ingots_agree(table["ingots"], whole, row)


def _is_their_mass(ingots: dict[str, Any] | None, whole: float) -> bool:
    return ingots is not None and math.isclose(whole, ingots["count"] * ingots["each_kg"], rel_tol=1e-6)


def _ingots_agree(ingots: dict[str, Any], whole: float | None, row: int) -> None:
    for key, name in (("count", "ingots"), ("each_kg", "each")):
        if key not in ingots:
            raise BadTable(f"row {row}, column '{name}': is empty, but ingots need their count and the mass of each")
    together = ingots["count"] * ingots["each_kg"]
    if whole is not None and not math.isclose(whole, together, rel_tol=1e-6):
        raise BadTable(
            f"row {row}, column 'mass': is {whole:g} kg, but {ingots['count']} ingots of {ingots['each_kg']:g} kg "
            f"are {together:g} kg; leave it empty, or leave 'ingots' and 'each' empty"
        )


def _checked(boat: BoatFile, tables: list[dict[str, Any]], places: dict[int, int]) -> BoatFile:
    """The boat with these weights, checked as a boat file is."""
    data = plain_table(boat) | {"weight": tables}
    try:
        return BoatFile.model_validate(data)
    except ValidationError as error:
        problem = explain(error, data)[0]
    place = problem.path[1] if len(problem.path) > 1 and isinstance(problem.path[1], int) else None
    row = f"row {places[place]}" if place is not None and place in places else "the table"
    inner = problem.path[2:]
    column = next((c.name for c in _COLUMNS if inner and c.path[: len(inner)] == inner), None)
    if column is None and inner:
        column = str(inner[0])
    named = f", column '{column}'" if column else ""
    raise BadTable(f"{row}{named}: {problem.sentence}")
