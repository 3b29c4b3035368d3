"""Friction once a weight slides: less than what keeps it at rest.

Friction coefficients are static. A weight that first moves through slack comes sliding to what stops it, and one that
friction alone holds needs only a knock to begin: for both, the least friction is that of sliding, three quarters of
the static (CTU Code Appendix 2, row ctu-dynamic-friction).
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from secure_load.catalogue.lookup import factor
from secure_load.model.contact import RestraintModel
from secure_load.solver.arrays import Index
from secure_load.solver.springs import Spring, SpringSet


def moved_first(restraints: Collection[RestraintModel]) -> set[int]:
    """The bodies that may move through slack before something holds them."""
    return {leg.body for f in restraints for link in f.springs if link.gap > 0.0 for leg in link.attachments}


def with_bodies_sliding(restraint: RestraintModel, bodies: Collection[int]) -> RestraintModel:
    """A fitting whose contacts with some bodies have the friction of sliding."""
    return replace(restraint, springs=[_sliding(link, bodies) for link in restraint.springs])


def _sliding(link: Spring, bodies: Collection[int]) -> Spring:
    if link.friction == 0.0 or not any(leg.body in bodies for leg in link.attachments):
        return link
    return replace(link, friction=factor("ctu-dynamic-friction") * link.friction)


def all_sliding(springs: SpringSet, but: Index) -> SpringSet:
    """Links with the friction of sliding, except on the normal rows ``but``, which have it already."""
    share = [1.0 if row in but else factor("ctu-dynamic-friction") for row in springs.normal.tolist()]
    return replace(springs, friction_limit=springs.friction_limit * share)
