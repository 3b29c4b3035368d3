"""What is wrong with the figures of a boat, in sentences for the person who wrote them.

The models complain in a programmer's words. Here each complaint is brought back to the key it is about and
said plainly: what is there, what is allowed, and the nearest thing that was probably meant.
"""

from __future__ import annotations

import difflib
import typing
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, cast

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from .base import visible
from .models import BoatFile

Path = tuple[str | int, ...]

_MISSING = "is missing"
_UNITS = {
    "_kg": "kg",
    "_mm": "mm",
    "_m": "m",
    "_m2": "m2",
    "_N": "N",
    "_N_per_mm": "N/mm",
    "_deg": "degrees",
    "_g": "g",
    "_deg_s": "degrees per second",
    "_deg_s2": "degrees per second, per second",
}
_WRONG_KIND = {
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "boat_whole": "a whole number",
    "string_type": "text in quotes",
    "bool_type": "true or false",
    "model_type": "a table of keys",
    "model_attributes_type": "a table of keys",
    "dict_type": "a table of keys",
    "boat_list": "a list",
    "list_type": "a list",
    "tuple_type": "a list",
}


@dataclass(frozen=True)
class Problem:
    """One thing wrong: the keys that lead to it, and a sentence that follows on from the key's name."""

    path: Path
    sentence: str
    rank: int = 1
    """0 where nothing else can be trusted until it is put right."""


def show(value: Any) -> str:
    """A value as its writer would know it, safe to print and never long."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{visible(value)}'"
    if isinstance(value, Mapping):
        return "a table of keys"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(cast('Sequence[Any]', value))}"
    if isinstance(value, int) and value.bit_length() > 64:
        return "a whole number far too large"
    if isinstance(value, (int, float)):
        return repr(value)
    return visible(str(value))


def near(word: str, choices: Iterable[str]) -> str:
    """A tail for a sentence: the choice that was probably meant, or nothing."""
    found = difflib.get_close_matches(word.lower(), list(choices), 1, 0.6)
    return f"; did you mean '{found[0]}'?" if found else ""


def explain(error: ValidationError, data: Any) -> list[Problem]:
    """Every separate thing that ``error`` says of ``data`` (what was given to ``BoatFile``), in its order."""
    complaints: dict[Path, list[dict[str, Any]]] = {}
    for each in cast("list[dict[str, Any]]", error.errors(include_url=False)):
        path = _true_path(each, data)
        complaints.setdefault(path, []).append(each)
    problems: list[Problem] = []
    above = {p[:n] for p in complaints for n in range(len(p))}
    for path, here in complaints.items():
        # A key that may be two kinds of thing complains for each; the deeper complaint is the one that fits.
        kinds = [e for e in here if e["type"] in _WRONG_KIND]
        if len(kinds) == len(here) and path in above:
            continue
        telling = [e for e in here if e["type"] not in _WRONG_KIND] or here
        problems.append(_problem(path, telling, data))
    return _without_misspelt(problems, complaints)


def _without_misspelt(problems: list[Problem], complaints: dict[Path, list[dict[str, Any]]]) -> list[Problem]:
    """Leave out "missing" where a misspelt key beside it is plainly the one that is missed."""
    strange: dict[Path, list[str]] = {}
    for path, found in complaints.items():
        if found[0]["type"] == "extra_forbidden":
            strange.setdefault(path[:-1], []).append(str(path[-1]).lower())

    def misspelt(path: Path) -> bool:
        return bool(difflib.get_close_matches(str(path[-1]), strange.get(path[:-1], []), 1, 0.6))

    return [p for p in problems if p.sentence != _MISSING or not misspelt(p.path)]


def _true_path(each: dict[str, Any], data: Any) -> Path:
    """The keys as they stand in the file, without the marks that tell which model was tried."""
    context: dict[str, Any] = each.get("ctx") or {}
    if "path" in context:
        return tuple(context["path"])
    path: list[str | int] = []
    here = data
    loc: tuple[str | int, ...] = each["loc"]
    for number, step in enumerate(loc):
        last = number == len(loc) - 1
        after_restraint = number >= 2 and loc[number - 2] == "restraint" and isinstance(loc[number - 1], int)
        if after_restraint and isinstance(here, Mapping):
            continue
        if isinstance(step, int):
            path.append(step)
            items = cast("Sequence[Any]", here) if isinstance(here, (list, tuple)) else ()
            here = items[step] if step < len(items) else None
        elif isinstance(here, Mapping):
            table = cast("Mapping[str, Any]", here)
            if step in table:
                path.append(step)
                here = table[step]
            elif last and each["type"] == "missing":
                path.append(step)
    return tuple(path)


def _value_at(path: Path, data: Any) -> Any:
    here = data
    for step in path:
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None
    return here


def _problem(path: Path, found: list[dict[str, Any]], data: Any) -> Problem:
    first = found[0]
    kind: str = first["type"]
    context: dict[str, Any] = first.get("ctx") or {}
    value = _value_at(path, data)
    unit = _unit(path)
    if path == ("schema",):
        return Problem(path, f"is {show(value)}, but only files of schema 1 and 2 can be read", 0)
    if kind in _WRONG_KIND:
        return _wrong_kind(path, [e["type"] for e in found], value)
    if kind == "missing":
        if path and isinstance(path[-1], int):
            return _wrong_count(path[:-1], data)
        return Problem(path, _MISSING)
    if kind == "extra_forbidden":
        return Problem(path, f"unknown key{near(str(path[-1]), keys_at(path[:-1], data))}")
    if kind in ("literal_error", "union_tag_invalid", "union_tag_not_found"):
        return _not_a_choice(path, kind, value, data)
    if kind == "finite_number":
        return Problem(path, f"is {show(value)}, but must be an ordinary number")
    bounds = {
        "greater_than": ("more than", "gt"),
        "greater_than_equal": ("at least", "ge"),
        "less_than": ("less than", "lt"),
        "less_than_equal": ("at most", "le"),
    }
    if kind in bounds:
        words, name = bounds[kind]
        return Problem(path, f"is {show(value)}, but must be {words} {float(context[name]):,.12g}{unit}")
    if kind in ("too_short", "too_long"):
        if context["field_type"] == "Tuple":
            return _wrong_count(path, data)
        words, limit = ("at least", "min_length") if kind == "too_short" else ("at most", "max_length")
        return Problem(
            path,
            f"has {len(value)} item{'' if len(value) == 1 else 's'}, but must have {words} {context[limit]:,}",
        )
    if kind == "string_too_short":
        return Problem(path, "must not be blank")
    if kind == "string_too_long":
        return Problem(path, f"is {len(value)} characters long, but may have at most {context['max_length']}")
    if kind == "value_error":
        return Problem(path, str(context["error"]))
    if kind.startswith("boat_"):
        return Problem(path, str(first["msg"]))
    return Problem(path, f"cannot be {show(value)}")


def _wrong_kind(path: Path, kinds: list[str], value: Any) -> Problem:
    wanted = " or ".join(dict.fromkeys(_WRONG_KIND[k] for k in kinds))
    if path and path[-1] == "heel_deg" and wanted == "a table of keys":
        wanted = "a number of degrees or { from = 0, to = 110, step = 1 }"
    if wanted == "a list" and isinstance(value, (int, float)) and path[-1:] and path[-1] not in ("points_m",):
        wanted = "a list, in square brackets"
    rank = 1
    hint = ""
    if isinstance(value, str) and "number" in wanted and _is_number(value):
        hint = "; take the quotes off"
    if path in (("weight",), ("scenario",), ("float", "section")) or path[-1:] in (("restraint",), ("finding",)):
        name = ".".join(str(p) for p in path if isinstance(p, str))
        wanted, rank = f"a list of tables, each headed [[{name}]]", 0
    elif len(path) == 1:
        rank = 0
    return Problem(path, f"is {show(value)}, but must be {wanted}{hint}", rank)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _unit(path: Path) -> str:
    """Unit of the nearest key that says one, with a space before it; a range of heels is in degrees."""
    names = [p for p in path if isinstance(p, str)]
    for name in reversed(names[-2:]):
        ends = [e for e in _UNITS if name.endswith(e)]
        if ends:
            return " " + _UNITS[max(ends, key=len)]
    return ""


def _not_a_choice(path: Path, kind: str, value: Any, data: Any) -> Problem:
    if kind != "literal_error":
        allowed = _restraint_types()
        if isinstance(value, Mapping) and "type" not in value:
            return Problem((*path, "type"), f"is missing; it must be one of {', '.join(allowed)}")
        path = (*path, "type")
        value = _value_at(path, data)
    else:
        allowed = _choices(path, data)
    hint = near(value, allowed) if isinstance(value, str) else ""
    only = f"'{allowed[0]}'" if len(allowed) == 1 else f"one of {', '.join(allowed)}"
    return Problem(path, f"is {show(value)}, but must be {only}{hint}")


def _wrong_count(path: Path, data: Any) -> Problem:
    wanted = _numbers_wanted(path, data)
    value = _value_at(path, data)
    held = len(cast("Sequence[Any]", value)) if isinstance(value, (list, tuple)) else 0
    return Problem(path, f"holds {held} numbers, but must hold {wanted}")


# What the models themselves say of a key ------------------------------------------------------------------


def _models_in(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [m for each in typing.get_args(annotation) for m in _models_in(each)]


def _model_at(path: Path, data: Any) -> type[BaseModel] | None:
    model: type[BaseModel] | None = BoatFile
    for number, step in enumerate(path):
        if isinstance(step, int):
            continue
        field = _field(model, step) if model else None
        if field is None:
            return None
        found = _models_in(field.annotation)
        model = found[0] if len(found) == 1 else None
        if len(found) > 1:
            table = _value_at(path[: number + 2], data)
            keys = cast("Mapping[str, Any]", table if isinstance(table, Mapping) else {})
            alike = [m for m in found if m.model_fields["type"].default == keys.get("type")]
            # of those of one type, that whose face it is
            model = next((m for m in alike if keys.get("face") in _literals(_face(m))), alike[0] if alike else None)
    return model


def _face(model: type[BaseModel]) -> Any:
    field = _field(model, "face")
    return field.annotation if field else None


def _field(model: type[BaseModel], key: str) -> FieldInfo | None:
    for name, field in model.model_fields.items():
        if (field.alias or name) == key:
            return field
    return None


def _field_at(path: Path, data: Any) -> FieldInfo | None:
    names = [n for n, step in enumerate(path) if isinstance(step, str)]
    if not names:
        return None
    model = _model_at(path[: names[-1]], data)
    return _field(model, str(path[names[-1]])) if model else None


def keys_at(path: Path, data: Any) -> list[str]:
    """Keys that the table at ``path`` may have."""
    model = _model_at(path, data)
    return [f.alias or name for name, f in model.model_fields.items()] if model else []


def _restraint_types() -> list[str]:
    model = _model_at(("weight", 0), {})
    assert model is not None
    found = _models_in(model.model_fields["restraint"].annotation)
    return list(dict.fromkeys(str(m.model_fields["type"].default) for m in found))


def _choices(path: Path, data: Any) -> list[str]:
    field = _field_at(path, data)
    return _literals(field.annotation) if field else []


def _literals(annotation: Any) -> list[str]:
    if typing.get_origin(annotation) is Literal:
        return [str(a) for a in typing.get_args(annotation)]
    return [w for each in typing.get_args(annotation) for w in _literals(each)]


def _numbers_wanted(path: Path, data: Any) -> int:
    """How many numbers a point or a size has; 0 where the key is no such thing."""
    field = _field_at(path, data)
    tuples = _tuples_in(field.annotation) if field else []
    return len(typing.get_args(tuples[0])) if tuples else 0


def _tuples_in(annotation: Any) -> list[Any]:
    if typing.get_origin(annotation) is tuple:
        return [annotation]
    return [t for each in typing.get_args(annotation) for t in _tuples_in(each)]
