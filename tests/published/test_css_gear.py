"""International Maritime Organization: CSS Code, Annex 13, 4.4: gear in series counts by its weakest part.

The shares of the worked example in ``css_annex_13.toml`` (seen in print) are put through the parts of a lashing as the
verdict builds them: maximum securing load half of a shackle's breaking strength, over a safety factor of 1.5.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.catalogue.lookup import shackles
from secure_load.model.failure.failure_mode import FailureMode
from secure_load.strength import lines
from secure_load.strength.gear import bare_line, line_gear, shackle_gear
from tests.reference.boxes import stowed_box

LASHING: dict[str, Any] = {
    "type": "lashing",
    "from_m": [2.0, 0.15, 0.05],
    "to_m": [2.0, 0.15, -0.35],
    "line": "wire-7x19-6",
    "anchors": {"kind": "frame"},
}


def strength(part: FailureMode) -> float:
    return float(1.0 / part.working(np.ones((1, 1)), np.zeros(1))[1][0])


@pytest.mark.parametrize("name", sorted(shackles()))
def test_half_of_a_shackle_over_one_and_a_half(name: str) -> None:
    row = shackles()[name]
    assert shackle_gear(name).working == pytest.approx(row.breaking_N * 0.50 / 1.5, rel=1e-12)
    # the makers' limit of a shackle (a fifth or a sixth of its breaking strength) is below what the Code allows it
    assert row.wll_t * 9806.65 < shackle_gear(name).working


@pytest.mark.parametrize("name", sorted(shackles()))
def test_a_lashing_is_as_strong_as_the_chain_of_its_gear(name: str) -> None:
    parts = stowed_box(LASHING | {"shackle": name}).failure_modes[0]
    weakest = min(strength(part) for part in parts)
    wire = bare_line("wire-7x19-6")
    chain = [(wire.breaking, 0.30, 0.9), (shackles()[name].breaking_N, 0.50)]
    msl = min(lines.maximum_securing_load(*link) for link in chain)
    assert weakest == pytest.approx(lines.calculated_strength(msl, 1.5), rel=1e-9)


def test_a_line_with_its_ending_is_never_stronger_than_the_bare_one() -> None:
    for name, ending in (("polyester-3-strand-8", "bowline"), ("wire-7x19-6", "wire-grips"), ("chain-6", "shackled")):
        bare, made = bare_line(name), line_gear(name, ending)
        assert made.working <= bare.working
        assert made.breaking <= bare.breaking
