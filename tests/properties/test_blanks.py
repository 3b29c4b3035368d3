"""A blank never flatters: a key left out gives no better a colour, or a question that keeps the weight amber.

``BLANKS=200 pytest tests/properties/test_blanks.py`` tries more of them.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from pydantic import BaseModel, ValidationError

from secure_load.boat.demo import demo_boats
from secure_load.boat.file import read_boat
from secure_load.boat.models import BoatFile, Part
from secure_load.boat.render import left_out
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import RANK, WeightVerdict
from secure_load.loads.scenarios import builtin_scenarios
from tests.reference.stows import draw

COUNT = int(os.environ.get("BLANKS", "16"))
DEFECTS = {"proposed", "finding", "slack_mm", "tension_loss", "end_grain"}
"""What the owner writes down of a piece that is not as it should be: a sound piece has none of it."""
NO_FIGURES = {"name", "photos", "id", "type"}
SCENARIOS = ["rail-down", "rolled-over", "left-inverted", "battery-pull"]


def optional_keys(part: BaseModel, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Paths to all keys that are given and need not be, in a part and in its parts."""
    for name, field in type(part).model_fields.items():
        value = getattr(part, name)
        if name in NO_FIGURES | DEFECTS:
            continue
        if isinstance(part, Part) and not field.is_required() and not left_out(part, name) and name != "restraint":
            yield (*path, name)
        if isinstance(value, BaseModel):
            yield from optional_keys(value, (*path, name))
        elif isinstance(value, list):
            for place, each in enumerate(value):
                if isinstance(each, BaseModel):
                    yield from optional_keys(each, (*path, name, place))


def without(part: Any, path: tuple[str | int, ...]) -> Any:
    """A part without one key. Raises ValidationError where it cannot be without."""
    key, *rest = path
    if not rest:
        kept = {(f.alias or n): getattr(part, n) for n, f in type(part).model_fields.items() if n != key}
        return type(part).model_validate({n: v for n, v in kept.items() if v is not None})
    if isinstance(part, list):
        return [without(each, tuple(rest)) if place == key else each for place, each in enumerate(part)]
    return part.model_copy(update={key: without(getattr(part, str(key)), tuple(rest))})


def verdict_on(boat: BoatFile, place: int) -> WeightVerdict:
    return check_weight(boat.weight[place], make_context(boat, SCENARIOS))


def drawn_boat(seed: int) -> BoatFile:
    rng = np.random.default_rng(seed)
    weight = draw(rng, "batten", (0.2, 0.5)).model_copy(update={"kind": "battery"})
    return BoatFile.model_validate({"boat": {"name": "Whimbrel"}, "weight": [weight]})


@pytest.mark.long
@pytest.mark.parametrize("seed", range(COUNT))
def test_leaving_a_key_out_improves_no_colour(seed: int) -> None:
    rng = np.random.default_rng(seed)
    demos = demo_boats()
    boat = drawn_boat(seed) if seed % 2 else read_boat(demos[int(rng.integers(len(demos)))])
    place = int(rng.integers(len(boat.weight)))
    said = verdict_on(boat, place)
    keys = list(optional_keys(boat.weight[place]))
    for path in [keys[i] for i in rng.permutation(len(keys))[:4]]:
        try:
            weight = without(boat.weight[place], path)
        except ValidationError:
            continue  # one of two that must be given
        weights = [weight if n == place else w for n, w in enumerate(boat.weight)]
        blank = verdict_on(boat.model_copy(update={"weight": weights}), place)
        asked = [r for r in blank.reasons if r not in said.reasons]
        assert RANK[blank.verdict] >= RANK[said.verdict] or (blank.verdict == "amber" and asked), (path, blank.reasons)


def test_a_motion_that_is_nought_is_tried_whether_or_not_it_is_written() -> None:
    boat = drawn_boat(1)
    own = [s.model_copy(update={"id": f"own-{s.id}"}) for s in builtin_scenarios() if s.id in SCENARIOS]
    keys = ("surge_g", "sway_g", "heave_g", "pitch_deg")
    bare = [s.model_copy(update={k: [v for v in getattr(s, k) if v != 0.0] or [0.0] for k in keys}) for s in own]
    full = [s.model_copy(update={k: sorted({0.0, *getattr(s, k)}) for k in keys}) for s in own]
    ids = [s.id for s in own]
    one, other = (
        check_weight(boat.weight[0], make_context(boat.model_copy(update={"scenario": each}), ids))
        for each in (bare, full)
    )
    assert (one.verdict, one.utilisation, one.scenarios) == (other.verdict, other.utilisation, other.scenarios)
