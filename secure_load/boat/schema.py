"""The version of the file format, and boat files of schema 1 brought up to schema 2, with the meaning they had.

In schema 1 every face was taken to lie along the boat's axes. What schema 2 would ask about is therefore written down
as schema 1 took it: planking at a side stood upright, a weight on planking lay level, and chain was one block.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

SCHEMA = 2
SCHEMA_FILE = "boat-file.schema.json"
"""Name of the published JSON Schema, beside this module."""
_LEVEL = {"fore_and_aft": 0.0, "athwartships": 0.0, "turned": 0.0}


def upgraded(data: Mapping[str, Any]) -> Mapping[str, Any]:
    """The tables of a boat file as schema 2 says them; those of any other schema as they are."""
    schema = data.get("schema")
    if type(schema) is not int or schema != 1:
        return data
    weights = data.get("weight")
    made: dict[str, Any] = {**data, "schema": 2}
    if isinstance(weights, list):
        made["weight"] = [_weight(each) for each in cast("list[Any]", weights)]
    return made


def _weight(weight: Any) -> Any:
    if not isinstance(weight, Mapping):
        return weight
    table = dict(cast("Mapping[str, Any]", weight))
    if table.get("kind") == "chain":
        table.setdefault("shape", "box")
    restraints = table.get("restraint")
    if not isinstance(restraints, list):
        return table
    planks = [r for r in cast("list[Any]", restraints) if _is_planking(r)]
    if any(r.get("face", "bottom") in ("bottom", "top") for r in planks):
        table.setdefault("slope_deg", dict(_LEVEL))
    table["restraint"] = [
        {"slope_deg": 90.0, **r} if _is_planking(r) and r.get("face", "bottom") not in ("bottom", "top") else r
        for r in cast("list[Any]", restraints)
    ]
    return table


def _is_planking(restraint: Any) -> bool:
    if not isinstance(restraint, Mapping):
        return False
    table = cast("Mapping[str, Any]", restraint)
    return table.get("type") == "bed" and table.get("on") == "planking" and table.get("edge") is None
