"""Weights that lean on a neighbour whose restraints fail: what holds the neighbour holds them too."""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import Neighbour
from secure_load.catalogue.assumed import assumed
from secure_load.check.response import Worked, first_of_greatest
from secure_load.model.contact import Fitting
from secure_load.model.model_builder import Stowed
from secure_load.solver.arrays import Array
from secure_load.solver.equilibrium import solve

PRESSES = 1e-3
"""Share of a group's load above which a contact counts as pressed."""


def leans_on_failing(stowed: Stowed, member: int, load: Array, worked: Worked) -> list[str]:
    """Restraints of other weights that are overloaded while this one leans on them, a sentence each.

    load: (d, 6 b), the loads that ``worked`` was worked out for. A weight leans on another where they press on each
    other and its own load points that way; and on all that the other leans on in its turn.
    """
    found: list[str] = []
    touching = [f for f in stowed.fittings if isinstance(f.restraint, Neighbour)]
    for fitting in stowed.fittings if touching else []:
        peaks = worked.peaks[fitting.index]
        if fitting.owner == member or not peaks:
            continue
        peak = peaks[first_of_greatest(np.array([p.utilisation for p in peaks]))]
        if peak.utilisation <= assumed("red-over").number:
            continue
        if member in _leaning(stowed, touching, fitting.owner, peak.bound, load[peak.at]):
            ratio = f"worked to {peak.utilisation:.0%}" if np.isfinite(peak.utilisation) else "without strength"
            other = stowed.members[fitting.owner].weight.title
            found.append(f"leans on {other}, whose {fitting.id} is {ratio}: it is held no better than that")
    return found


def _leaning(stowed: Stowed, touching: list[Fitting], owner: int, bound: str, load: Array) -> set[int]:
    """The members that lean on one of them under a load (6 b,)."""
    links = stowed.bounds[bound]
    force = solve(links, load[None, :]).normal[0]
    least = PRESSES * float(np.linalg.norm(load))
    on: list[tuple[int, int]] = []
    for fitting in touching:
        assert fitting.other is not None
        rows = np.flatnonzero(links.restraint == fitting.index)
        if force[rows].sum() <= least:
            continue
        for one, other in ((fitting.owner, fitting.other), (fitting.other, fitting.owner)):
            push = links.g[rows[0], 6 * one : 6 * one + 3]
            if load[6 * one : 6 * one + 3] @ push < 0.0:
                on.append((one, other))
    found = {owner}
    while new := {one for one, other in on if other in found} - found:
        found |= new
    return found - {owner}
