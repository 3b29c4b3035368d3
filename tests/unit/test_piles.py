"""Piles of ingots drawn at random: what is sampled by direction has the colour of every load solved."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_stages
from secure_load.check.context import make_context
from secure_load.check.response import Response, severity
from secure_load.check.sampler import worst_over_bounds
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_model

LIMITS = [0.8, 1.0]
"""Between the colours."""


def pile(seed: int) -> BoatFile:
    """Two layers of ingots in a row, chocked at the ends and held down by battens, some of which may be left out."""
    rng = np.random.default_rng(seed)
    below = int(rng.integers(1, 4))
    above = int(rng.integers(0, below + 1))
    friction = round(float(rng.uniform(0.1, 0.5)), 3)
    mass = round(float(rng.uniform(8.0, 40.0)), 1)
    weights = [
        ingot(rng, layer, at, count, above, friction, mass)
        for layer, count in ((0, below), (1, above))
        for at in range(count)
    ]
    return BoatFile.model_validate({"schema": 1, "boat": {"name": "Whimbrel", "bilge": "dry"}, "weight": weights})


def ingot(
    rng: np.random.Generator, layer: int, at: int, count: int, above: int, friction: float, mass: float
) -> dict[str, Any]:
    restraint: list[dict[str, Any]] = [
        {"type": "bed", "friction": friction}
        if layer == 0
        else {"type": "neighbour", "weight": f"ingot-0-{at}", "face": "bottom", "friction": friction}
    ]
    sides = ["port", "starboard"]
    if at > 0:
        restraint.append(
            {"type": "neighbour", "weight": f"ingot-{layer}-{at - 1}", "face": "aft", "friction": friction}
        )
    else:
        sides.append("aft")
    if at == count - 1:
        sides.append("fore")
    left = [side for side in sides if rng.random() > 0.04]
    restraint += [{"type": "cleat", "face": side, "timber": "oak-white"} for side in left]
    if (layer == 1 or at >= above) and rng.random() > 0.04:
        restraint.append({"type": "batten", "face": "top", "timber": "oak-white"})
    return {
        "id": f"ingot-{layer}-{at}",
        "mass_kg": mass,
        "at_m": [2.0 + 0.1 * at, 0.0, -0.3 + 0.1 * layer],
        "size_m": [0.1, 0.2, 0.1],
        "measured": True,
        "restraint": restraint,
    }


def colours(model: GroupModel, response: Response) -> list[int]:
    assert response.displacement is not None
    worst = [
        np.maximum(response.worst(model, member), severity(response.displacement[:, member])).max()
        for member in range(len(model.members))
    ]
    return np.digitize(worst, LIMITS).tolist()


@pytest.mark.long
@pytest.mark.parametrize("seed", [*range(3), *(pytest.param(n, marks=pytest.mark.slow) for n in range(3, 60))])
def test_a_pile_sampled_by_direction_has_the_colours_of_every_load_solved(seed: int) -> None:
    boat = pile(seed)
    context = make_context(boat, ["knocked-flat", "dropped-off-a-wave"])
    load_cases = context.load_cases_for(boat.weight[0])
    for group in {tuple(w.id for w in context.group_of(weight)) for weight in boat.weight}:
        model = build_model([w for w in boat.weight if w.id in group], boat.boat)
        load = model.loads_at(load_cases.instants.at(load_cases.unique_rows))
        sampled, every = worst_over_bounds(model, load, load_cases), worst_over_bounds(model, load)
        assert colours(model, sampled) == colours(model, every)
        assert sampled.is_solved is not None
        assert np.count_nonzero(sampled.is_solved) < 0.9 * len(load)


def test_the_first_verdict_on_one_of_a_pile_has_the_colour_of_the_whole() -> None:
    boat = pile(5)
    group = next(w for w in boat.weight if len(make_context(boat).group_of(w)) > 1)
    core, whole = check_stages(group, make_context(boat, ["knocked-flat"]))
    assert not core.is_complete
    assert core.holds_g is None
    assert whole.is_complete
    assert whole.holds_g is not None
    beside = {"holds_g": None, "order_of_failure": [], "warnings": core.warnings, "is_complete": False}
    assert whole.model_copy(update=beside) == core
