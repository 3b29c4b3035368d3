"""Boats of figures that are legal and extreme: each command answers, with numbers and without a fault.

The figures are drawn from the models' own bounds. ``EXTREME_BOATS=5000 pytest tests/properties/test_extreme_boats.py``
tries more of them.
"""

from __future__ import annotations

import json
import os
import time
import types
import typing
from pathlib import Path
from typing import Any

import annotated_types
import numpy as np
import pytest
from pydantic import BaseModel, ValidationError

from secure_load.boat.models import BoatFile, BoatParticulars, FloatData, Weight
from secure_load.boat.render import render_boat
from secure_load.catalogue.lookup import densities, lines, metals, pads, timbers
from secure_load.cli.main import main

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
LEFT_OUT = {"scenario", "photos", "finding", "id", "name"}
"""Words, and scenarios: those are drawn apart."""
RARE = {"strength_N": 0.05, "stiffness_N_per_mm": 0.2, "float_only": 0.05}
"""Chances of keys beside which others would not matter; of all others 0.4."""
LONGEST_S = 20.0
COMMANDS = (
    ["check", "--scenario", "thrown-past-flat"],
    ["float"],
    ["place"],
    ["cast"],
    ["lift"],
    ["inspect"],
    ["sheet"],
)


class Drawn:
    """Draws values of a type out of its bounds; some at the bounds, some between."""

    def __init__(self, seed: int) -> None:
        self.rng = np.random.default_rng(seed)
        self.likely = self.chance(0.5)

    def chance(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def pick(self, options: list[Any]) -> Any:
        return options[int(self.rng.integers(len(options)))]

    def number(self, bounds: list[Any], whole: bool, name: str) -> float | int:
        low, high = -1e3, 1e3
        for each in bounds:
            low = max(low, getattr(each, "ge", low))
            high = min(high, getattr(each, "le", high)) if getattr(each, "le", None) is not None else high
        if self.likely and not self.chance(0.1):
            # a boat whose pieces meet, so that there is something to work out
            usual = (5.0, 80.0) if name.endswith("_mm") else (-0.3, 2.0)
            low, high = np.clip(usual, low, high)
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
            count = least + int(self.rng.integers(6 if name == "restraint" else 3))
            return [self.value(inner[0], name) for _ in range(min([count, *most]))]
        if origin is tuple:
            return [self.value(each, name) for each in inner]
        if isinstance(annotation, type) and issubclass(annotation, BaseModel):
            return self.model(annotation)
        if annotation is bool:
            return self.chance(0.5)
        if annotation in (float, int):
            return self.number(bounds, annotation is int, name)
        return self.pick(NAMES.get(name, ["x"]))

    def model(self, model: type[BaseModel]) -> dict[str, Any]:
        """A table of a model; what may be left out often is. Tried again until the model takes it."""
        for _ in range(30):
            table = {
                field.alias or key: self.value(field.annotation, key, list(field.metadata))
                for key, field in model.model_fields.items()
                if key not in LEFT_OUT and (field.is_required() or self.chance(RARE.get(key, 0.4))) and key != "type"
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


@pytest.mark.long
@pytest.mark.parametrize("tens", range(max(COUNT // 10, 1)))
def test_every_legal_boat_gets_an_answer(tens: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = [found for seed in range(10 * tens, 10 * tens + 10) if (found := boat(seed)) is not None]
    assert made
    for number, each in enumerate(made):
        file = tmp_path / f"boat{number}.toml"
        file.write_text(render_boat(each), encoding="utf-8")
        for command, *options in COMMANDS:
            began = time.process_time()
            code = main([command, str(file), *options, "--json"])
            took = time.process_time() - began
            out, err = capsys.readouterr()
            told = f"{command} of\n{render_boat(each)}\n{err}"
            answer = json.loads(out, parse_constant=lambda _, told=told: pytest.fail(told))
            assert (code == 2) == ("error" in answer), told
            assert "a fault in this program" not in err, told
            assert "could not work it out" not in out + err, told
            assert took < LONGEST_S, f"{took:.0f} s for {told}"
        code = main(["record", str(file), "--out", str(tmp_path / f"records{number}")])
        err = capsys.readouterr().err
        assert code in (0, 2)
        assert "a fault in this program" not in err, f"record of\n{render_boat(each)}\n{err}"
