"""NDS 2018 chapters 11 and 12 under one name: ``from secure_load.strength import nds``.

Split by the way the joint fails: `nds_withdrawal` (pulled out, pulled through, pulled and sheared at once,
adjustment), `nds_lateral` (sheared across), `nds_placing` (penetration, edges, ends, spacing).
"""

from __future__ import annotations

from secure_load.strength.nds_lateral import (
    Lateral,
    dowel_bearing,
    dowel_bearing_parallel,
    dowel_bearing_perpendicular,
    dowel_bearing_small,
    hankinson,
    lateral,
    reduction_terms,
)
from secure_load.strength.nds_placing import (
    GrainAction,
    edge_distance,
    end_distance,
    lag_withdrawal_distances,
    main_bearing_length,
    minimum_penetration,
    spacing_in_row,
)
from secure_load.strength.nds_withdrawal import (
    FastenerKind,
    adjusted,
    end_grain_factor,
    head_pull_through,
    interaction_wood_screw,
    lag_withdrawal_per_m,
    withdrawal,
    wood_screw_withdrawal_per_m,
)

__all__ = [
    "FastenerKind",
    "GrainAction",
    "Lateral",
    "adjusted",
    "dowel_bearing",
    "dowel_bearing_parallel",
    "dowel_bearing_perpendicular",
    "dowel_bearing_small",
    "edge_distance",
    "end_distance",
    "end_grain_factor",
    "hankinson",
    "head_pull_through",
    "interaction_wood_screw",
    "lag_withdrawal_distances",
    "lag_withdrawal_per_m",
    "lateral",
    "main_bearing_length",
    "minimum_penetration",
    "reduction_terms",
    "spacing_in_row",
    "withdrawal",
    "wood_screw_withdrawal_per_m",
]
