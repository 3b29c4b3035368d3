"""Each bound of what is not well known - stiffness, friction, tension - changes an answer, and the worst is kept."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.check.sampler import worst_over_bounds
from secure_load.model.group_model import HIGH_FRICTION, NOMINAL, STIFFNESS_SPREAD
from tests.reference.boxes import stowed_box

PORT = np.array([[0.0, 1000.0, 0.0, 0.0, 0.0, 0.0]])
"""1000 N to port through the centre of gravity."""
CLEAT: dict[str, Any] = {
    "id": "cleat", "type": "cleat", "face": "port", "timber": "oak-white", "length_mm": 400.0, "height_mm": 100.0,
    "depth_mm": 60.0,
    "screws": {"kind": "coach-screw", "diameter_mm": 8.0, "penetration_mm": 50.0, "count": 4, "into": "oak-white",
               "metal": "galvanised-steel", "member": "floor"},
}  # fmt: skip
LASHING: dict[str, Any] = {
    "id": "line", "type": "lashing", "from_m": [2.0, -0.15, 0.0], "to_m": [2.0, -1.15, 0.0],
    "line": "polyester-3-strand-12",
}  # fmt: skip


def test_the_stiffer_of_two_that_share_a_load_is_taken_as_stiffer_still() -> None:
    """Two lines side by side share 1000 N as k1 : k2; with k1 twice and k2 half of it, as 4 k1 : k2."""
    stiff, soft = LASHING | {"id": "stiff", "line": "polyester-3-strand-16"}, LASHING | {"id": "soft"}
    model = stowed_box({"type": "bed", "friction": 0.0, "stiffness_N_per_mm": 5000.0}, stiff, soft)
    springs, index = model.springs, {r.id: r.index for r in model.restraints}
    k_1, k_2 = (float(springs.stiffness[springs.restraint == index[name]].sum()) for name in ("stiff", "soft"))
    assert k_1 > 1.3 * k_2
    peak = worst_over_bounds(model, PORT).peaks[index["stiff"]][0]
    assert peak.bound == STIFFNESS_SPREAD
    assert peak.demand == pytest.approx(1000.0 * 4.0 * k_1 / (4.0 * k_1 + k_2), rel=1e-3)


def test_friction_that_drags_on_a_piece_is_taken_at_its_most() -> None:
    """A cleat that is pressed and rubbed: its screws bear the rubbing too, so more friction is worse for them."""
    down = [
        LASHING | {"id": name, "from_m": [x, 0.0, 0.0], "to_m": [x + 0.01 * (x - 2.0), 0.0, -1.0]}
        for name, x in (("fore", 2.2), ("aft", 1.8))
    ]
    measured = [piece | {"stiffness_N_per_mm": k} for piece, k in zip(down, (50.0, 50.0), strict=True)]
    rough = CLEAT | {"friction": "timber-timber", "stiffness_N_per_mm": 5000.0}
    bed = {"type": "bed", "friction": 0.0, "stiffness_N_per_mm": 5000.0}
    model = stowed_box(bed, rough, *measured)
    index = next(r.index for r in model.restraints if r.id == "cleat")
    found = worst_over_bounds(model, PORT + np.array([[0.0, 0.0, 1000.0, 0.0, 0.0, 0.0]]))
    (screws,) = (i for i, mode in enumerate(model.failure_modes[index]) if mode.name == "screws")
    assert HIGH_FRICTION in model.bounds
    assert found.peaks[index][screws].bound == HIGH_FRICTION


def test_what_a_line_loses_of_its_tension_is_not_counted() -> None:
    strap = {
        "id": "strap", "type": "strap", "from_m": [2.0, 0.4, -0.05], "to_m": [2.0, -0.4, -0.05],
        "line": "polyester-webbing-25", "tension_N": 300.0,
    }  # fmt: skip
    kept, lost = (stowed_box({"type": "bed", "friction": 0.2}, strap | {"tension_loss": loss}) for loss in (0.0, 0.5))
    of_strap = kept.springs.restraint == 1
    set_up = kept.springs.preload[of_strap]
    assert lost.bounds[NOMINAL].preload[of_strap] == pytest.approx(0.5 * set_up, rel=1e-3)
    assert lost.bounds[HIGH_FRICTION].preload[of_strap] == pytest.approx(set_up, rel=1e-3)


def test_slack_is_as_long_whatever_the_stiffness() -> None:
    springs = stowed_box({"type": "bed", "friction": 0.0}, CLEAT | {"slack_mm": 4.0}).springs
    slack = springs.preload < 0.0
    scaled = springs.with_stiffness_scaled(np.full(len(springs.stiffness), 2.0))
    assert slack.any()
    np.testing.assert_allclose(-springs.preload[slack] / springs.stiffness[slack], 0.004)
    np.testing.assert_allclose(-scaled.preload[slack] / scaled.stiffness[slack], 0.004)
