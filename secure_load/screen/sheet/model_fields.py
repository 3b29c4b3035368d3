"""The lines of a sheet, made from a table's model: its keys, their units, choices and limits are said there already."""

from __future__ import annotations

import re
import types
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from secure_load.screen.form.fields import Field, Kind
from secure_load.screen.form.parsing import has_rows

_UNITS = {
    "_deg_s2": "deg/s2", "_deg_s": "deg/s", "_m_s": "m/s", "_m_deg": "m deg", "_m2": "m2", "_kPa": "kPa", "_kW": "kW",
    "_kg": "kg", "_mm": "mm", "_deg": "degrees", "_N": "N", "_C": "C", "_percent": "%", "_m": "m", "_g": "g",
}  # fmt: skip
_CAPTIONS = {"at_m": ("fwd", "port", "up m"), "size_m": ("long", "wide", "high m"), "stack": ("long", "wide", "high"),
             "marked_m": ("stem", "stern", "port", "stbd m")}  # fmt: skip
LABELS = {
    "lwl_m": "Waterline length", "bwl_m": "Beam on waterline", "roll_axis_z_m": "Roll axis above WL", "rig": "Rig",
    "hull": "Hull of", "trailered": "Goes on a trailer", "id": "Id", "kg_m": "KG, G above keel", "gm_m": "GM",
    "lcg_m": "G forward of aft WL end", "fore_m": "Forward", "aft_m": "Aft", "fore_x_m": "Forward mark at",
    "aft_x_m": "Aft mark at", "water": "Floats in", "wind_m_s": "Winds", "from": "Heel from", "to": "Heel to",
    "step": "Heel in steps of", "load_factor": "Vertical load factor", "surge_g": "Boat speeds up forward",
    "sway_g": "Boat speeds up to port", "heave_g": "Boat speeds up upward", "pitch_deg": "Bow down",
    "both_sides": "Both sides", "roll_rate_deg_s": "Roll rate", "roll_acceleration_deg_s2": "Roll acceleration",
    "one_at_a_time": "One direction at a time", "load_duration": "Lasting at most", "pull_at_most_N": "Force limit",
    "only_if_trailered": "Only on a trailer", "kinds": "Only for", "factor": "Strength remaining", "fixed": "Repaired",
    "note": "What was seen", "placing": "Ballast plan", "lift": "Lifting", "opening": "Openings", "state": "States",
    "section": "Sections", "points_m": "Half-breadths", "ingot": "Ingots in hand", "place": "Places",
    "frame_spacing_mm": "Frame spacing", "screening": "Screening index", "screws": "Held by",
    "float_only": "Crew or stores", "inspect_every_months": "Inspect every", "x_m": "Station",
}  # fmt: skip
_TABLES = {"friction": "frictions", "screws": "", "densities": "densities"}
_LONG = ("name", "note", "why", "source", "rig")


@dataclass(frozen=True)
class Branch:
    """A table, or a list of them, inside a table; or a block of figures, where ``model`` is None."""

    key: str
    label: str
    meaning: str
    model: type[BaseModel] | None
    many: bool


@cache
def lines_from(model: type[BaseModel], leave_out: frozenset[str] = frozenset()) -> tuple[Field | Branch, ...]:
    """A field or a branch for every key of a model that is not left out, in its order."""
    found: list[Field | Branch] = []
    for name, info in model.model_fields.items():
        key = info.alias or name
        if key not in leave_out:
            meaning = " ".join((info.description or "").replace("``", "'").split())
            found += _lines(model, key, _bare(info.annotation), meaning)
    return tuple(found)


def _bare(annotation: Any) -> Any:
    """A type without what says more about it, and without None."""
    while get_origin(annotation) is Annotated:
        annotation = get_args(annotation)[0]
    if get_origin(annotation) in (Union, types.UnionType):
        kinds = [a for a in get_args(annotation) if a is not type(None)]
        return _bare(kinds[0]) if len(kinds) == 1 else tuple(_bare(k) for k in kinds)
    return annotation


def _lines(model: type[BaseModel], key: str, kind: Any, meaning: str) -> list[Field | Branch]:
    label, unit = _name(key)
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        if key == "heel_deg":  # a range of heels reads as three lines of the scenario
            return [_nested(key, each) for each in lines_from(kind) if isinstance(each, Field)]
        return [Branch(key, label, meaning, kind, many=False)]
    origin, inner = get_origin(kind), [_bare(a) for a in get_args(kind)]
    if origin is list:
        if isinstance(inner[0], type) and issubclass(inner[0], BaseModel):
            return [Branch(key, label, meaning, inner[0], many=True)]
        if get_origin(inner[0]) in (list, tuple):
            return [Branch(key, label, meaning, None, many=True)]
        return [Field((key,), label, "numbers" if inner[0] is float else "words", unit, model=model)]
    if origin is tuple:
        captions = _CAPTIONS.get(key, ("long", f"wide {unit}", f"high {unit}"))[: len(inner)]
        kind_of: Kind = "whole" if inner[0] is int else "number"
        return [
            Field((key, n), f"{label}, {c}", kind_of, unit, model=model, line=label[:16], caption=c)
            for n, c in enumerate(captions)
        ]
    return [_field(model, key, kind, label, unit, meaning)]


def _nested(key: str, field: Field) -> Field:
    return Field((key, *field.keys), field.label, field.kind, field.unit or "degrees", model=field.model)


def _field(model: type[BaseModel], key: str, kind: Any, label: str, unit: str, meaning: str) -> Field:
    listed = re.search(r"secure-load list (\w+)", meaning)
    table = _TABLES.get(listed[1], listed[1]) if listed else ""
    table = table if has_rows(table) else ""
    if isinstance(kind, tuple):  # a number or a name; a number or several
        several = any(get_origin(k) is list for k in kind)
        return Field((key,), label, "numbers" if several else "friction", unit, table=table, model=model)
    if get_origin(kind) is Literal:
        return Field((key,), label, "choice", choices=tuple(str(a) for a in get_args(kind)), model=model)
    if key == "factor":
        return Field((key,), label, "percent", "% of what it was", model=model)
    names: dict[Any, Kind] = {bool: "yesno", int: "whole", float: "number"}
    plain: Kind = names.get(kind, "row" if table else "text" if key in _LONG else "day" if kind is not str else "word")
    return Field((key,), label, plain, unit, table=table, model=model)


def _name(key: str) -> tuple[str, str]:
    """Label and unit of a key."""
    suffix = next((s for s in _UNITS if key.endswith(s) and len(key) > len(s)), "")
    unit = {"inspect_every_months": "months", "seconds": "s", "hours": "h", "fill": "0 to 1"}.get(
        key, _UNITS.get(suffix, "")
    )
    words = key.removesuffix(suffix).replace("_", " ")
    return LABELS.get(key, words[:1].upper() + words[1:]), unit


def part_model(model: type[BaseModel], keys: tuple[str | int, ...]) -> type[BaseModel] | None:
    """The model of a table inside a table; None for a block of figures."""
    for key in keys:
        if isinstance(key, int):
            continue
        branch = next(b for b in lines_from(model) if isinstance(b, Branch) and b.key == key)
        if branch.model is None:
            return None
        model = branch.model
    return model


__all__ = ["Branch", "lines_from", "part_model"]
