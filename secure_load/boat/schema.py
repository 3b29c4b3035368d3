"""The version of the file format, and boat files of schema 1 brought up to schema 2, with the meaning they had.

In schema 1 every face was taken to lie along the boat's axes. What schema 2 would ask about is therefore written down
as schema 1 took it: what stood beside a weight was upright, a weight on planking lay level, and chain was one block.
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
    made: list[Any] = []
    for each in cast("list[Any]", restraints):
        bed = _bed(each)
        on, face = (None, None) if bed is None else (bed.get("on"), bed.get("face", "bottom"))
        if on == "planking" and face in ("bottom", "top"):
            table.setdefault("slope_deg", dict(_LEVEL))
        made.append({"slope_deg": 90.0, **each} if leans_with_the_hull(on, face) else each)
    table["restraint"] = made
    return table


def leans_with_the_hull(support: object, face: object) -> bool:
    """Whether what stands against a face of a weight is as steep as the planking is there: planking itself, and beside
    a weight frames and floors, which follow it."""
    beside = face in ("port", "starboard")
    if support == "planking":
        return beside or face in ("fore", "aft")
    return support in ("frames", "floors") and beside


def _bed(restraint: Any) -> Mapping[str, Any] | None:
    if not isinstance(restraint, Mapping):
        return None
    table = cast("Mapping[str, Any]", restraint)
    return table if table.get("type") == "bed" and table.get("edge") is None else None
