"""Which of a row of screws meet her floors, how near the floors' edges, and what holds the floors down to the keel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.boat.models import Batten, BoatFile, BoatParticulars, Cleat, Screws
from secure_load.boat.structure import Structure
from secure_load.catalogue.lookup import structural_member
from secure_load.model.members import evenly_spread, fastening_diameter
from secure_load.solver.arrays import Array
from secure_load.strength.nds_placing import edge_distance

MM = 1e-3


@dataclass(frozen=True)
class FloorsMet:
    """What a row of screws lands in."""

    count: int
    """Screws that meet a floor."""
    floors: int
    """Floors that are met by any."""
    edge_mm: float
    """From the screw nearest to an edge of its floor to that edge."""
    stations: list[float]
    """Of the floors nearest to the row, m."""


def structure_of(boat: BoatFile | BoatParticulars) -> Structure | None:
    """Her structure, where it was said."""
    return boat.structure if isinstance(boat, BoatFile) else None


def floors_met(boat: BoatFile | BoatParticulars, places: Array) -> FloorsMet | None:
    """What screws at places (n,) along her, m, land in; None where nobody said where her floors stand."""
    structure = structure_of(boat)
    floors = structure.floors if structure is not None else None
    if floors is None or not isinstance(boat, BoatFile):
        return None
    stations = np.array(floors.stations(boat.boat.lwl_m))
    if not len(stations):
        return None
    half = 0.5 * (floors.sided_mm or structural_member("floor").sided_mm)
    off = np.abs(places[:, None] - stations) / MM
    nearest, far = off.argmin(axis=1), off.min(axis=1)
    met = far <= half + 1e-6
    near = sorted({round(float(stations[n]), 3) for n in nearest})
    edge = float((half - far[met]).min()) if met.any() else 0.0
    return FloorsMet(int(met.sum()), len(set(nearest[met].tolist())), edge, near)


def filled_from_structure(screws: Screws, boat: BoatFile | BoatParticulars) -> Screws:
    """Fastenings with the timber, siding and depth of the part of the boat they go into, where she says them."""
    structure = structure_of(boat)
    if structure is None:
        return screws
    found: dict[str, object] = {}
    if screws.member == "floor" and structure.floors is not None:
        found = {"into": structure.floors.timber, "sided_mm": structure.floors.sided_mm}
        found["stock_mm"] = structure.floors.moulded_mm
    elif screws.member == "keel" and structure.keel is not None:
        found = {"into": structure.keel.timber, "sided_mm": structure.keel.width_mm}
    elif screws.member == "bearer" and structure.bearers is not None:
        bearers = structure.bearers
        found = {"into": bearers.timber, "sided_mm": bearers.sided_mm, "stock_mm": bearers.moulded_mm}
    update = {key: value for key, value in found.items() if value is not None and getattr(screws, key) is None}
    return screws.model_copy(update=update) if update else screws


def places_along(piece: Cleat | Batten, middle: float, length: float) -> Array:
    """Places (n,) along her, m, of the screws of a piece without gaps, evenly spread.

    middle, length: of the weight it holds, m.
    """
    assert piece.screws is not None
    x = middle if piece.at_m is None else piece.at_m[0]
    count = piece.screws.count
    if isinstance(piece, Cleat):
        assert piece.length_mm is not None
        assert piece.depth_mm is not None
        if piece.face in ("port", "starboard"):
            return x + MM * evenly_spread(count, piece.length_mm)
        sign = 1.0 if piece.face == "fore" else -1.0
        end = x if piece.at_m is not None else x + 0.5 * sign * length
        return np.full(count, end + 0.5 * sign * MM * piece.depth_mm)
    assert piece.span_mm is not None
    assert piece.width_mm is not None
    at_end = max(count // 2, 1)
    if piece.along == "fore-and-aft":
        return x + 0.5 * MM * piece.span_mm * np.repeat([-1.0, 1.0], at_end)
    return x + np.tile(MM * evenly_spread(at_end, piece.width_mm), 2)


def in_floors(
    piece: Cleat | Batten, places: Array, boat: BoatFile | BoatParticulars
) -> tuple[Cleat | Batten, list[str], list[str]]:
    """A piece with only those of its screws that meet a floor, and the doubts and faults about them."""
    screws = piece.screws
    met = floors_met(boat, places) if screws is not None and screws.member == "floor" else None
    if screws is None or met is None:
        return piece, [], []
    where = " and ".join(f"{station:.2f}" for station in met.stations[:3])
    what = "none" if met.count == 0 else f"only {met.count}"
    missed = f"{what} of its {screws.count} screws, evenly spread, meets a floor (floors at {where} m)"
    if met.count == 0:
        return piece, [], [missed]
    doubts: list[str] = []
    least = edge_distance(fastening_diameter(screws) or 0.0, loaded_edge=isinstance(piece, Cleat)) / MM
    if met.edge_mm < least * (1.0 - 1e-9):
        doubts.append(
            f"a screw stands {met.edge_mm:.0f} mm from the edge of its floor; {least:.0f} mm is the least "
            "(NDS 2018 Table 12.5.1C), or it may split"
        )
    if met.count >= screws.count:
        return piece, doubts, []
    doubts.append(f"{missed}; the others count for nothing")
    return piece.model_copy(update={"screws": screws.model_copy(update={"count": met.count})}), doubts, []
