"""Friction once a weight slides: less than what keeps it at rest.

Friction coefficients are static. A weight that first moves through slack comes sliding to what stops it, and one that
friction alone holds needs only a knock to begin: for both, the least friction is that of sliding, three quarters of
the static (CTU Code Appendix 2, row ctu-dynamic-friction).
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from secure_load.catalogue.lookup import factor
from secure_load.model.contact import Fitting
from secure_load.solver.arrays import Index
from secure_load.solver.springs import Link, Links


def moved_first(fittings: Collection[Fitting]) -> set[int]:
    """The bodies that may move through slack before something holds them."""
    return {leg.body for f in fittings for link in f.links if link.gap > 0.0 for leg in link.legs}


def with_bodies_sliding(fitting: Fitting, bodies: Collection[int]) -> Fitting:
    """A fitting whose contacts with some bodies have the friction of sliding."""
    return replace(fitting, links=[_sliding(link, bodies) for link in fitting.links])


def _sliding(link: Link, bodies: Collection[int]) -> Link:
    if link.friction == 0.0 or not any(leg.body in bodies for leg in link.legs):
        return link
    return replace(link, friction=factor("ctu-dynamic-friction") * link.friction)


def all_sliding(links: Links, but: Index) -> Links:
    """Links with the friction of sliding, except on the normal rows ``but``, which have it already."""
    share = [1.0 if row in but else factor("ctu-dynamic-friction") for row in links.normal.tolist()]
    return replace(links, limit=links.limit * share)
