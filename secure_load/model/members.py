"""What part of the boat fastenings go into: whether they come through it, and whether they stand clear of its edge.

Questions are asked only where an answer could tell: a short screw in a floor asks for no thickness of the floor.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from secure_load.boat.models import BoatParticulars, Screws
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import structural_member, timber, wood_screws
from secure_load.catalogue.rows import StructuralMember
from secure_load.solver.arrays import Array
from secure_load.strength.nds_placing import edge_distance

MM = 1e-3
Thrust = Literal["athwartships", "fore-and-aft", "none"]
"""Which way fastenings are sheared; none where they are only drawn."""
WHAT = "what it is screwed into (floor, keel, frame, bearer, sole, bulkhead, landing or planking)"


@dataclass
class Found:
    """What is to be said of one set of fastenings, the restraint not named."""

    questions: list[str] = field(default_factory=list[str])
    """What the owner is asked to say, as the words that follow "say"."""
    doubts: list[str] = field(default_factory=list[str])
    faults: list[str] = field(default_factory=list[str])


def look_at(screws: Screws, thrust: Thrust, boat: BoatParticulars, on_sole: bool) -> Found:
    """What a set of fastenings gives away by the part of the boat it goes into.

    on_sole: the weight lies on the sole, so that what holds it is likely to be screwed to the sole as well.
    Raises UnknownRow for a timber that is not in the catalogue.
    """
    found = Found()
    if screws.member is None:
        found.questions.append(WHAT)
        if not on_sole and _like_planking(screws, boat):
            _look_at_planking(screws, boat, found)
        return found
    row = structural_member(screws.member)
    if screws.member == "planking":
        found.doubts.append("it is fastened into planking: fasten it into floors, keel or frames")
        _look_at_planking(screws, boat, found)
        return found
    _look_at_stock(screws, row, boat, found)
    _look_at_edge(screws, row, thrust, found)
    return found


def _like_planking(screws: Screws, boat: BoatParticulars) -> bool:
    """Whether screws that nobody said the place of go into the timber of her planking."""
    planking = boat.planking
    if planking is None or planking.timber is None or screws.into is None:
        return False
    try:
        return timber(planking.timber).id == timber(screws.into).id
    except UnknownRow:
        return False


def _look_at_planking(screws: Screws, boat: BoatParticulars, found: Found) -> None:
    stock = screws.stock_mm or (boat.planking.thickness_mm if boat.planking is not None else None)
    if screws.kind == "bolt" or screws.penetration_mm is None:
        return
    if stock is None:
        found.questions.append("how thick her planking is")
        return
    most = assumed("planking-screw-share").number * stock
    if screws.penetration_mm <= most:
        return
    fault = f"{screws.penetration_mm:g} mm of screw in {stock:g} mm of planking comes out through the bottom"
    if screws.penetration_mm < stock:
        fault += f" or all but: {most:.3g} mm is the most"
    if screws.member is None:
        fault += "; if what holds it is a floor or frame of the same timber as the planking, say so"
    found.faults.append(fault)


def stock_of(screws: Screws, boat: BoatParticulars) -> float | None:
    """Thickness in mm of what holds the points; None where nobody said."""
    if screws.stock_mm is None and screws.member == "sole" and boat.sole is not None:
        return boat.sole.thickness_mm
    return screws.stock_mm


def _look_at_stock(screws: Screws, row: StructuralMember, boat: BoatParticulars, found: Found) -> None:
    depth, stock = screws.penetration_mm, stock_of(screws, boat)
    if screws.kind == "bolt" or depth is None:
        return
    if stock is None and depth > row.stock_mm:
        found.questions.append(f"how thick {row.name} is there, for {depth:g} mm of screw")
    elif stock is not None and depth > stock:
        found.faults.append(f"{depth:g} mm of screw comes out of {row.name} of {stock:g} mm")


def _look_at_edge(screws: Screws, row: StructuralMember, thrust: Thrust, found: Found) -> None:
    """Edge distance in the part that holds the point, screws taken to stand in the middle of its width."""
    diameter = fastening_diameter(screws)
    if diameter is None:
        return
    least = edge_distance(diameter, loaded_edge=thrust not in ("none", row.grain)) / MM
    sided = screws.sided_mm
    if sided is None and 2.0 * least > row.sided_mm:
        found.questions.append(f"how wide (sided) {row.name} is there: {2.0 * least:.0f} mm is the least")
    elif sided is not None and 0.5 * sided < least * (1.0 - 1e-9):
        found.doubts.append(
            f"in the middle of {row.name} sided {sided:g} mm it stands {0.5 * sided:.0f} mm from the edge; "
            f"{least:.0f} mm is the least (NDS 2018 Table 12.5.1C), or it may split"
        )


def fastening_diameter(screws: Screws) -> float | None:
    """Shank in m; None where it is not known."""
    if screws.diameter_mm is not None:
        return screws.diameter_mm * MM
    return next((r.d_mm * MM for r in wood_screws().values() if r.gauge == screws.gauge), None)


def evenly_spread(count: int, length: float) -> Array:
    """Places (count,) of screws from the middle of a length, half a space in from its ends, in its unit."""
    return length * ((np.arange(count) + 0.5) / count - 0.5)
