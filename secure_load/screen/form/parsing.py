"""Between what is typed and what the models hold, and what stands in for a figure that was left open."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, cast

from pydantic import BaseModel

from secure_load.boat.models import BoatFile, Weight
from secure_load.catalogue import lookup
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.rows import Row
from secure_load.catalogue.units import BadAmount, read_amount
from secure_load.model.assumptions import Assumptions, box_size, with_defaults
from secure_load.screen.form.fields import Field
from secure_load.screen.session.session import Keys

_SEVERAL = re.compile(r"^\s*(\d+)\s*(?:x|×|\*|of|@)\s*(.+?)\s*$", re.IGNORECASE)
_YES = {"yes": True, "y": True, "no": False, "n": False}
AMOUNTS = ("number", "whole", "friction", "percent")


def number(text: str, unit: str = "") -> float | str:
    """The figure that was typed, in ``unit``; the text itself where it is no figure."""
    try:
        return read_amount(text, unit)
    except BadAmount:
        return text.strip()


def read(field: Field, text: str) -> Any:
    """What was typed as the models want it; None for nothing. What cannot be read is given to them as it is."""
    if not text.strip():
        return None
    if field.kind == "number":
        return text.strip() if _is_rise(field, text) else number(text, field.unit)
    if field.kind == "whole":
        value = number(text)
        return int(value) if isinstance(value, float) and value.is_integer() else value
    if field.kind == "friction":
        return number(text)
    if field.kind == "numbers":
        return numbers(text)
    if field.kind == "words":
        return [word.lower() for word in re.split(r"[,;\s]+", text) if word]
    if field.kind == "percent":
        share = number(text.replace("%", ""))
        return round(share / 100.0, 9) if isinstance(share, float) else share
    if field.kind == "yesno":
        return _YES.get(text.strip().lower(), text.strip())
    if field.kind == "choice":
        return text.strip().lower().replace(" ", "-")
    return text.strip()


def _is_rise(field: Field, text: str) -> bool:
    """True for a slope written as "40 in 300", which the models read."""
    return field.unit == "degrees" and " in " in text


def numbers(text: str) -> list[float | str]:
    """Several figures with a space, a semicolon, or a comma and a space between them: "1, 2.5" or "1 2.5"."""
    return [number(each.rstrip(",")) for each in re.split(r"[;\s]+", text) if each.rstrip(",")]


def trouble(field: Field, text: str) -> str | None:
    """What is wrong with what was typed before the models are asked; None where nothing is."""
    written = text.strip()
    if not written or _is_rise(field, written):
        return None
    if field.kind == "numbers":
        words = [each.rstrip(",") for each in re.split(r"[;\s]+", text) if each.rstrip(",")]
        if any("," in each for each in words):
            return "leave a space between two figures, and write parts with a point: 1.5 2"
    elif field.kind == "mass":
        several = _SEVERAL.match(written)
        words = [several[2] if several else written]
    elif field.kind in AMOUNTS and not (field.kind == "friction" and written[0].isalpha()):
        words = [written.replace("%", "") if field.kind == "percent" else written]
    else:
        return None
    for each in words:
        try:
            amount = read_amount(each, field.unit if field.kind in ("number", "mass") else "")
        except BadAmount as problem:
            return str(problem)
        if field.kind == "percent" and not 0.0 <= amount <= 100.0:
            return "must be between 0 and 100"
    return None


def read_as(field: Field, text: str) -> str:
    """How a figure is read that was typed in another unit than the field's: "5.67 kg"; empty where it is in its own."""
    if field.kind not in ("number", "mass") or not re.search(r"[a-zA-Z'\"/]", text) or _SEVERAL.match(text):
        return ""
    value = number(text, field.unit)
    plain_text = text.strip().removesuffix(field.unit).strip()
    return "" if isinstance(value, str) or number(plain_text) == value else f"{value:.6g} {field.unit}"


def read_mass(text: str) -> dict[str, Any]:
    """Mass or ingots: "48", "48 kg", "4 x 12 kg"."""
    found = _SEVERAL.match(text)
    if found:
        return {"mass_kg": None, "ingots": {"count": int(found[1]), "each_kg": number(found[2], "kg")}}
    return {"mass_kg": number(text, "kg") if text.strip() else None, "ingots": None}


def value_at(part: Any, keys: Keys) -> Any:
    """The figure at ``keys`` inside a model; None where any part of the way is missing."""
    for key in keys:
        if part is None:
            return None
        if isinstance(part, Mapping):
            part = part.get(key)
        elif isinstance(key, int):
            part = part[key] if key < len(part) else None
        else:
            part = getattr(part, key, getattr(part, f"{key}_", None))
    return part


def plain(value: Any) -> str:
    """A figure as it is written in the form."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, list):
        return ", ".join(plain(each) for each in cast("list[Any]", value))
    return str(value)


def text_of(field: Field, part: BaseModel | Mapping[str, Any]) -> str:
    """What the form shows of a field of ``part``."""
    if field.kind == "mass" and isinstance(part, Weight):
        if part.ingots is not None:
            return f"{part.ingots.count} x {plain(part.ingots.each_kg)} kg"
        return plain(part.mass_kg)
    value = value_at(part, field.keys)
    if field.kind == "percent" and value is not None:
        return plain(100.0 * value)
    return plain(value)


# The catalogue -------------------------------------------------------------------------------------------------


def rows(table: str) -> Mapping[str, Row]:
    """One table of the catalogue, by the field's name for it."""
    return getattr(lookup, table)()


_ONE = {"timbers": "timber", "metals": "metal", "lines": "line", "pads": "pad", "frictions": "friction",
        "cable_ties": "cable_tie", "terminations": "termination", "bolts": "bolt", "shackles": "shackle",
        "densities": "density"}  # fmt: skip


def has_rows(table: str) -> bool:
    """True where there is a list of that name to choose a row from."""
    return table in _ONE


def row_of(table: str, name: str) -> Row | None:
    """A row by its name or one of its other names."""
    try:
        return getattr(lookup, _ONE[table])(name)
    except lookup.UnknownRow:
        return None


def unknown(field: Field, value: Any) -> str | None:
    """What is wrong with the name of a row, or with a yes or no; None where there is nothing."""
    if field.kind == "yesno" and isinstance(value, str) and value:
        return f"is '{value}', but must be yes or no"
    if not field.table or not isinstance(value, str):
        return None
    try:
        getattr(lookup, _ONE[field.table])(value)
    except lookup.UnknownRow as problem:
        near = f"; near it: {', '.join(problem.near)}" if problem.near else ""
        return f"no {problem.what} of that name{near}. Enter opens the list"
    return None


# What stands in for a figure left open -------------------------------------------------------------------------


def stand_ins(weight: Weight, boat: BoatFile) -> list[BaseModel | None]:
    """Each restraint of a weight as the check takes it, with its gaps closed; None where that cannot be said."""
    try:
        return [done for _, done in with_defaults(weight, boat, Assumptions())]
    except (LookupError, ValueError):
        return [None] * len(weight.restraint)


def size_taken(weight: Weight) -> tuple[float, ...]:
    """The size the check takes, m."""
    return tuple(round(float(v), 3) for v in box_size(weight, Assumptions()))


_CENTRED = {"at_m": "the middle", "size_m": "the whole face"}


def assumed_words(field: Field, part: Any, taken: Any) -> str:
    """What is taken in place of a figure that was left open; empty where nothing is."""
    if value_at(part, field.whole_keys) is not None:
        return ""
    value = assumed_value(field, taken)
    if value is not None:
        return plain(value)
    key = str(field.whole_keys[-1])
    if key in _CENTRED and field.whole_keys == (key,) and not isinstance(part, Weight):
        return _CENTRED[key]
    if key == "penetration_mm" and value_at(taken, (*field.whole_keys[:-1], "kind")) not in (None, "bolt"):
        return f"{assumed('screw-penetration-diameters').text}"
    return ""


def assumed_value(field: Field, taken: Any) -> Any:
    """The figure itself that is taken, where there is one."""
    value = value_at(taken, field.keys)
    return round(value, 4) if isinstance(value, float) else value
