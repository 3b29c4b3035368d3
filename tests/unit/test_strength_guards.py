"""Bad figures are refused with the name of the quantity, what came in and what is allowed."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
import pytest

from secure_load.strength import (
    bolts,
    lines,
    nds,
    pads,
    slip,
    timber,
)

REFUSED: list[tuple[Callable[[], Any], str]] = [
    (partial(nds.lag_withdrawal_per_m, 560.0, 0.008), r"specific gravity.*between 0.05 and 1.4, got 560"),
    (partial(nds.lag_withdrawal_per_m, 0.5, 0.0), r"lag screw diameter must be more than 0 m, got 0"),
    (partial(nds.wood_screw_withdrawal_per_m, 0.5, -0.005), r"wood screw diameter"),
    (partial(nds.wood_screw_withdrawal_per_m, math.nan, 0.005), r"specific gravity.*finite"),
    (partial(nds.head_pull_through, 0.5, 0.0, 0.02), r"head diameter"),
    (partial(nds.head_pull_through, 0.5, 0.01, -0.02), r"thickness under the head must be 0 m or more"),
    (partial(nds.withdrawal, 4e4, -0.01), r"thread in the main member"),
    (partial(nds.end_grain_factor, "rivet", "lateral"), r"fastener kind must be one of lag_screw"),
    (partial(nds.adjusted, 1000.0, 2.0, 1.0), r"load duration factor C_D must lie between 0.9 and 1.6, got 2"),
    (partial(nds.adjusted, 1000.0, 1.6, 1.2), r"wet service factor C_M"),
    (partial(nds.interaction_wood_screw, [1.0, -1.0], 1.0, 1.0, 1.0), r"adjusted lateral value Z'"),
    (partial(nds.interaction_wood_screw, 1.0, math.nan, 1.0, 1.0), r"adjusted withdrawal value W'p"),
    (partial(nds.interaction_wood_screw, 1.0, 1.0, math.nan, 1.0), r"shear on the fastener must be finite"),
    (partial(nds.dowel_bearing_perpendicular, 0.5, 0.0), r"fastener diameter"),
    (partial(nds.hankinson, 1e6, 1e6, -0.1), r"angle to the grain"),
    (partial(nds.reduction_terms, 0.008, 0.0, 0.009), r"root diameter must not exceed"),
    (partial(nds.lateral, 0.005, 0.0, 0.05, 3e7, 3e7, 6e8), r"bearing length in the side member"),
    (partial(nds.lateral, 0.005, 0.02, 0.05, 3e7, 3e7, 0.0), r"bending yield strength"),
    (partial(nds.main_bearing_length, 0.01, 0.02), r"tip length must not exceed the penetration"),
    (partial(nds.end_distance, 0.005, "up", True), r"action must be one of"),
    (partial(slip.screw_slip_modulus, 0.42, 0.006), r"mean density.*between 50 and 1500 kg/m3, got 0.42"),
    (partial(timber.working_stress, 57e6, 0.7, 2.1), r"coefficient of variation"),
    (partial(timber.working_stress, 57e6, 0.16, 0.5), r"adjustment factor must be 1 or more"),
    (partial(timber.bending_stress, 1.0, 0.3, 0.06, 0.025, "hanging"), r"beam case must be one of centre"),
    (partial(timber.bearing_area_factor, 0.0), r"bearing length along the grain"),
    (partial(timber.plank_energy, -1.0, 0.02, 0.1, 0.2), r"work to maximum load"),
    (partial(pads.shape_factor, 0.1, 0.05, 0.0), r"pad thickness"),
    (partial(pads.sudden_load, np.ones(1), np.array([-0.01]), np.array(1e5)), r"gap must be 0 m or more"),
    (partial(lines.maximum_securing_load, 1e4, 1.5), r"MSL share of breaking strength"),
    (partial(lines.calculated_strength, 1e4, 0.5), r"safety factor must be 1 or more"),
    (partial(lines.cable_tie_strength, 222.0, 25.0), r"advice factor of a cable tie"),
    (partial(bolts.stress_area, 0.008, 0.005), r"thread pitch must be less than half"),
    (partial(bolts.washer_bearing, 3e6, 0.010, 0.011), r"washer hole must be smaller"),
    (partial(bolts.shear_strength, 3e-5, 7e8, 0.9), r"partial factor gamma must be 1 or more"),
]


@pytest.mark.parametrize(("call", "message"), REFUSED)
def test_refused_by_name(call: Callable[[], Any], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        call()
