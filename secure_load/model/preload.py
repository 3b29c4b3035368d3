"""Lines set up tight: the tension the owner gives is the one they have upright and at rest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from secure_load.catalogue.lookup import factor
from secure_load.solver.equilibrium import solve
from secure_load.solver.springs import SpringSet


def settle_preload(springs: SpringSet, mass: list[float]) -> SpringSet:
    """Links whose tight lines have their stated tension once the weight has settled on its bed.

    The tight lines are first put on as constant forces beside the weights, ``mass`` kg of each body; the place
    they then take becomes the one at which each line has its tension, T + k g.u_rest at no displacement. Where
    nothing bears the weight at rest the tension is left as it is.
    """
    tight = springs.preload > 0.0
    if not np.any(tight):
        return springs
    load = springs.preload[tight] @ springs.direction[tight]
    load[2::6] -= np.array(mass) * factor("g0")
    rest = solve(springs.subset(~tight), load[None, :])
    if rest.free[0]:
        return springs
    held = springs.preload + np.where(tight, springs.stiffness * (springs.direction @ rest.displacement[0]), 0.0)
    return replace(springs, preload=held)
