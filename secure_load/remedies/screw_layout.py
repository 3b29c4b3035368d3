"""How much room screws want in a piece of timber, and how much a set of them gives. Distances of NDS-2018."""

from __future__ import annotations

from secure_load.boat.models import Screws
from secure_load.catalogue.lookup import wood_screws
from secure_load.strength.fastenings import Fastening
from secure_load.strength.nds_placing import edge_distance, end_distance, lag_withdrawal_distances, spacing_in_row

MM = 1e-3
MOST_SCREWS = 12
"""To one piece. Common practice: with more, a larger piece is wanted."""
WASHER_DIAMETERS = 3.0
LONGEST_MM = {"wood-screw": 100.0, "coach-screw": 200.0, "bolt": 300.0}
"""Longest fastenings in common use, through the piece and into the timber under it. Common practice."""


def row_of_screws(length_mm: float, diameter_mm: float) -> int:
    """How many screws stand in one row along a piece, evenly spread, at the distances of NDS-2018 12.5.1."""
    d = diameter_mm * MM
    each = max(spacing_in_row(d, row_along_grain=True), 2.0 * end_distance(d, "across", softwood=True))
    return int(length_mm * MM / each + 1e-9)


def thickest_screw(piece_mm: float) -> float:
    """Diameter, mm, of the thickest screw that keeps its distance from the loaded edge in mid-piece."""
    return 0.5 * piece_mm / edge_distance(1.0, loaded_edge=True)


def at_an_end(width_mm: float, diameter_mm: float) -> int:
    """How many screws stand abreast at one end of a batten, evenly spread, at the distances of NDS-2018 12.5.1."""
    d = diameter_mm * MM
    lag = lag_withdrawal_distances(d)
    between = max(spacing_in_row(d, row_along_grain=False), lag["spacing"])
    edge = max(edge_distance(d, loaded_edge=False), lag["edge"])
    return int(width_mm * MM / max(between, 2.0 * edge) + 1e-9)


def diameter(screws: Screws) -> float:
    """Shank in mm; nil where it is not known."""
    if screws.diameter_mm is not None:
        return screws.diameter_mm
    return next((r.d_mm for r in wood_screws().values() if r.gauge == screws.gauge), 0.0)


def known(screws: Screws | None) -> bool:
    return (
        screws is not None and None not in (screws.into, screws.metal, screws.penetration_mm) and diameter(screws) > 0
    )


def utilisation_per_newton(each: Fastening, count: int, height: float, depth: float) -> float:
    """Utilisation per newton of a cleat pushed at mid-height."""
    return 1.0 / (count * each.shear) + height / (depth * count * max(each.pull, 1e-9))
