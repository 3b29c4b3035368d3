"""Weights that lean on a neighbour whose restraints fail: what holds the neighbour holds them too."""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import Neighbour
from secure_load.catalogue.assumed import assumed
from secure_load.check.response import Response, first_near_maximum
from secure_load.check.utilisation import percent
from secure_load.model.contact import RestraintModel
from secure_load.model.group_model import GroupModel
from secure_load.solver.arrays import Array
from secure_load.solver.equilibrium import solve
from secure_load.solver.newton import WarmStart

PRESSES = 1e-3
"""Share of a group's load above which a contact counts as pressed."""


def leans_on_failing(model: GroupModel, member: int, load: Array, response: Response) -> list[str]:
    """Restraints of other weights that are overloaded while this one leans on them, a sentence each.

    load: (d, 6 b), the loads that ``response`` was worked out for. A weight leans on another where they press on each
    other and its own load points that way; and on all that the other leans on in its turn.
    """
    found: list[str] = []
    touching = [f for f in model.restraints if isinstance(f.restraint, Neighbour)]
    for restraint in model.restraints if touching else []:
        peaks = response.peaks[restraint.index]
        if member in restraint.owners or not peaks:
            continue
        peak = peaks[first_near_maximum(np.array([p.utilisation for p in peaks]))]
        if peak.utilisation <= assumed("red-over").number:
            continue
        near = response.displacement_vector[peak.at]
        if member in _leaning(model, touching, restraint.owner, peak.bound, load[peak.at], near):
            ratio = f"at {percent(peak.utilisation)} use" if np.isfinite(peak.utilisation) else "without strength"
            other = model.members[restraint.owner].weight.title
            found.append(f"leans on {other}, whose {restraint.id} is {ratio}: it is held no better than that")
    return found


def _leaning(
    model: GroupModel, touching: list[RestraintModel], owner: int, bound: str, load: Array, near: Array
) -> set[int]:
    """The members that lean on one of them under a load (6 b,); ``near`` (6 b,): a displacement to start from."""
    springs = model.bounds[bound]
    force = solve(springs, load[None, :], begin=WarmStart.at_one(near, load)).normal[0]
    least = PRESSES * float(np.linalg.norm(load))
    on: list[tuple[int, int]] = []
    for restraint in touching:
        assert restraint.other is not None
        rows = np.flatnonzero(springs.restraint == restraint.index)
        if force[rows].sum() <= least:
            continue
        for one, other in ((restraint.owner, restraint.other), (restraint.other, restraint.owner)):
            push = springs.direction[rows[0], 6 * one : 6 * one + 3]
            if load[6 * one : 6 * one + 3] @ push < 0.0:
                on.append((one, other))
    found = {owner}
    while new := {one for one, other in on if other in found} - found:
        found |= new
    return found - {owner}
