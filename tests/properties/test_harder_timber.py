"""A harder timber in place of a softer, every strength and density at least as great, never makes a stow worse."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from secure_load.boat.models import BoatFile
from secure_load.catalogue.lookup import timbers
from secure_load.check.check import check_boat
from secure_load.check.results import RANK, WeightVerdict
from secure_load.strength.working import working_stresses
from tests.reference import stows

WORSE_BY = 1.005
"""The solver's own rounding of a utilisation."""


def figures(name: str) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Every strength and density of a timber, wet and dry."""
    found: list[float] = []
    for service in ("wet", "dry"):
        stresses = working_stresses(name, service)
        own = stresses.strengths
        found += [stresses.bending, stresses.shear, stresses.crushing, own.mor, own.moe, own.shear_par, own.comp_perp]
        found += [own.g_ovendry, own.g12, own.rho_mean]
    return np.array(found)


@cache
def pairs() -> tuple[tuple[str, str], ...]:
    """(softer, harder) timbers."""
    solid = {name: figures(name) for name, row in timbers().items() if row.kind != "panel"}
    return tuple((a, b) for a in solid for b in solid if a != b and (solid[b] >= solid[a]).all())


def made_of(weight: dict[str, Any], timber: str, points_only: bool) -> dict[str, Any]:
    """The weight with all its timber, or only what holds its screws' points, of one kind."""

    def changed(value: Any) -> Any:
        if isinstance(value, dict):
            keys = ("into",) if points_only else ("into", "timber")
            return {k: timber if k in keys and v is not None else changed(v) for k, v in value.items()}
        return [changed(v) for v in value] if isinstance(value, list) else value

    return changed(weight)


def verdict(weight: dict[str, Any]) -> WeightVerdict:
    boat = BoatFile.model_validate({"boat": {"name": "Whimbrel"}, "weight": [weight]})
    return check_boat(boat, ["rolled-over"]).weights[0]


def no_worse(softer: WeightVerdict, harder: WeightVerdict) -> None:
    assert RANK[harder.verdict] <= RANK[softer.verdict], (harder.reasons, softer.reasons)
    if softer.utilisation is not None:
        assert harder.utilisation is not None, harder.reasons
        assert harder.utilisation <= softer.utilisation * WORSE_BY + 1e-6


@pytest.mark.long
@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), which=st.integers(0, 10_000), points_only=st.booleans())
def test_harder_timber_is_never_worse(seed: int, which: int, points_only: bool) -> None:
    softer, harder = pairs()[which % len(pairs())]
    drawn = stows.draw(np.random.default_rng(seed), "cleat", friction=(0.1, 0.5))
    weight = drawn.model_dump(exclude_none=True)
    no_worse(verdict(made_of(weight, softer, points_only)), verdict(made_of(weight, harder, points_only)))


def test_screws_into_oak_hold_a_tool_box_that_pine_holds() -> None:
    """Oak is stiffer: it drew to one cleat what pine shared out between cleats and batten, and went red by it."""
    screws = {"gauge": 8, "count": 2, "penetration_mm": 24, "metal": "brass"}

    def boxed(into: str) -> dict[str, Any]:
        cleat = {"type": "cleat", "timber": "pine-eastern-white", "length_mm": 180, "height_mm": 25, "depth_mm": 25}
        sides = [cleat | {"face": face, "screws": screws | {"into": into}} for face in stows.SIDES]
        holds: list[dict[str, Any]] = [{"type": "bed"}, *sides, {"type": "batten"}]
        return {"id": "box", "mass_kg": 9.0, "at_m": [1.5, 0.3, 0.0], "size_m": [0.4, 0.24, 0.2], "restraint": holds}

    no_worse(verdict(boxed("pine-eastern-white")), verdict(boxed("oak-white")))
