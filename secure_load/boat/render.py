"""A boat written out as plain, neat TOML: for a new file, and for the parts of an old one that are new."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, cast

from .models import BoatFile, HeelRange, Part, Restraint
from .schema import SCHEMA_FILE

SCHEMA_LINE = f"#:schema {SCHEMA_FILE}\n"
"""Names the published JSON Schema to editors that complete and check TOML by one."""
HEADER = f"""\
{SCHEMA_LINE}# Weights stowed in the boat, and what holds each one.
# Lengths in metres unless the key ends in _mm; masses in kg; angles in degrees; forces in newtons.
# Positions are [forward of the after end of the waterline, to port, above the waterline].

"""

_WIDEST = 100
_IN_TABLES = ("weight", "scenario", "restraint", "finding", "section")


@dataclass
class Block:
    """A table of the file: its heading, its ``key = value`` lines, and the tables that belong under it."""

    heading: str
    lines: list[str]
    under: list[Block] = field(default_factory=list["Block"])

    def text(self) -> str:
        """The whole of it, each table with an empty line before it."""
        return "\n" + self.own_text() + "".join(b.text() for b in self.under)

    def own_text(self) -> str:
        """Heading and lines only."""
        return "\n".join([self.heading, *self.lines]) + "\n"


def toml_string(text: str) -> str:
    """Text as a TOML string on one line."""
    out: list[str] = []
    for c in text:
        if c in '"\\':
            out.append("\\" + c)
        elif ord(c) < 32 or ord(c) == 127:
            out.append(f"\\u{ord(c):04X}")
        else:
            out.append(c)
    return f'"{"".join(out)}"'


def figure(key: str, value: float) -> int | float:
    """A number as a person would write it: ``300`` mm, but ``48.0`` kg and ``3.0`` m."""
    if float(value).is_integer() and abs(value) < 1e15 and not key.endswith(("_m", "_kg", "_m2")):
        return int(value)
    return value


def plain_value(key: str, value: Any) -> Any:
    """A model's value as the file holds it: tables as dicts, points as lists, numbers as written."""
    if isinstance(value, HeelRange):
        if value.from_ == value.to and value.step == 1:
            return figure(key, value.to)
        return {"from": figure("", value.from_), "to": figure("", value.to), "step": figure("", value.step)}
    if isinstance(value, Part):
        return plain_table(value)
    if isinstance(value, (list, tuple)):
        return [plain_value(key, v) for v in cast("Sequence[Any]", value)]
    if isinstance(value, float):
        return figure(key, value)
    return value


def left_out(part: Part, name: str) -> bool:
    """True for a field that need not be written, being None or what it would be without a word."""
    value = getattr(part, name)
    info = type(part).model_fields[name]
    if name == "type" and isinstance(part, Restraint):
        return False
    if value is None:
        return True
    return not info.is_required() and value == info.get_default(call_default_factory=True)


def plain_table(part: Part) -> dict[str, Any]:
    """The keys of one table that are worth writing, in the order of the model."""
    table: dict[str, Any] = {}
    for name, info in type(part).model_fields.items():
        if not left_out(part, name):
            key = info.alias or name
            table[key] = plain_value(key, getattr(part, name))
    return table


def inline(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return toml_string(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, list):
        return f"[{', '.join(inline(v) for v in cast('list[Any]', value))}]"
    if isinstance(value, dict):
        pairs = ", ".join(f"{k} = {inline(v)}" for k, v in cast("dict[str, Any]", value).items())
        return f"{{ {pairs} }}" if pairs else "{}"
    return repr(value)


def assignment(key: str, value: Any) -> str:
    """``key = value``; a long list goes over several lines."""
    line = f"{key} = {inline(value)}"
    if len(line) <= _WIDEST or not isinstance(value, list):
        return line
    rows: list[str] = []
    row = ""
    for each in cast("list[Any]", value):
        word = inline(each) + ","
        if row and len(row) + len(word) > _WIDEST - 6:
            rows.append(row)
            row = ""
        row = f"{row} {word}" if row else word
    rows.append(row)
    return f"{key} = [\n" + "".join(f"    {r}\n" for r in rows) + "]"


def block_of(heading: str, part: Part) -> Block:
    """One table with the tables under it; ``heading`` comes with its brackets."""
    block = Block(heading, [])
    path = heading.strip("[]")
    for key, value in plain_table(part).items():
        if key in _IN_TABLES and isinstance(value, list):
            items = cast("list[Part]", getattr(part, key))
            block.under.extend(block_of(f"[[{path}.{key}]]", each) for each in items)
        else:
            block.lines.append(assignment(key, value))
    return block


def render_boat(boat: BoatFile, header: str = HEADER) -> str:
    """The whole file, afresh."""
    blocks = [block_of("[boat]", boat.boat)]
    blocks.extend(block_of("[[weight]]", w) for w in boat.weight)
    blocks.extend(block_of("[[restraint]]", r) for r in boat.restraint)
    blocks.extend(block_of("[[scenario]]", s) for s in boat.scenario)
    if boat.structure is not None:
        blocks.append(block_of("[structure]", boat.structure))
    if boat.float_ is not None:
        blocks.append(block_of("[float]", boat.float_))
    return f"{header}schema = {boat.schema_}\n" + "".join(b.text() for b in blocks)
