"""Boats of figures that are legal and extreme: each command answers, with numbers and without a fault.

The figures are drawn from the models' own bounds. ``EXTREME_BOATS=5000 pytest tests/properties/test_extreme_boats.py``
tries more of them.
"""

from __future__ import annotations

import json
import os
import types
import typing
from typing import Any

import annotated_types
import numpy as np
import pytest
from pydantic import BaseModel, ValidationError

from secure_load.afloat.report import CannotFloat, float_report
from secure_load.boat.models import BoatFile, BoatParticulars, FloatData, Weight
from secure_load.catalogue.lookup import densities, lines, metals, pads, timbers
from secure_load.check.check import check_boat

COUNT = int(os.environ.get("EXTREME_BOATS", "100"))
NAMES = {
    "timber": list(timbers()),
    "into": list(timbers()),
    "metal": list(metals()),
    "line": list(lines()),
    "material": list(pads()),
    "fluid": list(densities()),
    "water": list(densities()),
}
LEFT_OUT = {"scenario", "photos", "finding", "strength_N", "stiffness_N_per_mm", "id", "name"}
"""Words, and figures beside which all others would not matter."""


class Drawn:
    """Draws values of a type out of its bounds; some at the bounds, some between."""

    def __init__(self, seed: int) -> None:
        self.rng = np.random.default_rng(seed)

    def chance(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def pick(self, options: list[Any]) -> Any:
        return options[int(self.rng.integers(len(options)))]

    def number(self, bounds: list[Any], whole: bool) -> float | int:
        low, high = -1e3, 1e3
        for each in bounds:
            low = max(low, getattr(each, "ge", low))
            high = min(high, getattr(each, "le", high)) if getattr(each, "le", None) is not None else high
        ends = [low, high, low + (high - low) * 1e-6, (low + high) / 2.0, *(v for v in (0.0, 1.0) if low <= v <= high)]
        value = self.pick(ends) if self.chance(0.7) else float(self.rng.uniform(low, min(high, low + 2.0)))
        return round(value) if whole else float(value)

    def value(self, annotation: Any, name: str, bounds: list[Any] | None = None) -> Any:
        bounds = [] if bounds is None else bounds
        origin, inner = typing.get_origin(annotation), typing.get_args(annotation)
        if origin is typing.Annotated:
            parts: list[Any] = []
            for extra in inner[1:]:
                parts += list(getattr(extra, "metadata", [extra]))
            return self.value(inner[0], name, [*parts, *bounds])
        if origin in (typing.Union, types.UnionType):
            return self.value(self.pick([a for a in inner if a is not type(None)]), name, bounds)
        if origin is typing.Literal:
            return self.pick(list(inner))
        if origin is list:
            most = [b.max_length for b in bounds if isinstance(b, annotated_types.MaxLen)]
            least = max([b.min_length for b in bounds if isinstance(b, annotated_types.MinLen)], default=0)
            count = least + int(self.rng.integers(3))
            return [self.value(inner[0], name) for _ in range(min([count, *most]))]
        if origin is tuple:
            return [self.value(each, name) for each in inner]
        if isinstance(annotation, type) and issubclass(annotation, BaseModel):
            return self.model(annotation)
        if annotation is bool:
            return self.chance(0.5)
        if annotation in (float, int):
            return self.number(bounds, annotation is int)
        return self.pick(NAMES.get(name, ["x"]))

    def model(self, model: type[BaseModel]) -> dict[str, Any]:
        """A table of a model; what may be left out often is. Tried again until the model takes it."""
        for _ in range(30):
            table = {
                field.alias or key: self.value(field.annotation, key, list(field.metadata))
                for key, field in model.model_fields.items()
                if key not in LEFT_OUT and (field.is_required() or self.chance(0.4)) and key != "type"
            }
            if "type" in model.model_fields:
                table["type"] = typing.get_args(model.model_fields["type"].annotation)[0]
            if "id" in model.model_fields and model.model_fields["id"].is_required():
                table["id"] = f"w{self.rng.integers(10**6)}"
            if model is BoatParticulars:
                table["name"] = "Dunlin"
            try:
                model.model_validate(table)
            except ValidationError:
                continue
            return table
        raise ValidationError.from_exception_data(model.__name__, [])


def boat(seed: int) -> BoatFile | None:
    """A boat of one weight or two, and how she floats; None where 30 tries found none that the models take."""
    drawn = Drawn(seed)
    try:
        table: dict[str, Any] = {"boat": drawn.model(BoatParticulars)}
        table["weight"] = [drawn.model(Weight) for _ in range(1 + drawn.chance(0.3))]
        if drawn.chance(0.5):
            table["float"] = drawn.model(FloatData)
        return BoatFile.model_validate(table)
    except ValidationError:
        return None


@pytest.mark.parametrize("tens", range(max(COUNT // 10, 1)))
def test_every_legal_boat_gets_an_answer(tens: int) -> None:
    made = [found for seed in range(10 * tens, 10 * tens + 10) if (found := boat(seed)) is not None]
    assert len(made) >= 3
    for each in made:
        verdict = check_boat(each, ["knocked-flat"])
        json.loads(verdict.model_dump_json(), parse_constant=pytest.fail)
        for weight in verdict.weights:
            assert "the program could not work it out" not in (weight.unchecked or ""), each.model_dump_json()
            assert not any("the program could not work it out" in w for w in weight.warnings), each.model_dump_json()
        try:
            report = float_report(each)
        except CannotFloat:
            continue
        json.loads(report.model_dump_json(), parse_constant=pytest.fail)
