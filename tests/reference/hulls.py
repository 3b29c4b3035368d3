"""Hulls for the tests: shapes with closed forms, and one plausible small boat drawn for the purpose."""

from __future__ import annotations

import numpy as np

from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.hull.hull import Hull, hull_from_sections


def box(length: float, breadth: float, depth: float, draught: float, stations: int = 7) -> Hull:
    """A box, floating at ``draught`` when its waterline is at height 0."""
    half = np.array([[0.0, -draught], [breadth / 2, -draught], [breadth / 2, depth - draught], [0.0, depth - draught]])
    return hull_from_sections(np.linspace(0.0, length, stations).tolist(), [half] * stations)


def log(length: float, radius: float, draught: float, points: int = 400, stations: int = 5) -> Hull:
    """A round log; the polygon is drawn between the inscribed and the circumscribed one, of the circle's area."""
    angle = np.linspace(-np.pi / 2, np.pi / 2, points + 1)
    step = np.pi / points
    r = radius * np.sqrt(step / np.sin(step))
    half = np.column_stack([r * np.cos(angle), r * np.sin(angle) + radius - draught])
    return hull_from_sections(np.linspace(0.0, length, stations).tolist(), [half] * stations)


def wigley(
    length: float, breadth: float, draught: float, freeboard: float, stations: int = 41, points: int = 40
) -> Hull:
    """y = B/2 (1-(2x/L)^2) (1-(z/T)^2) below water, upright sides above, a flat deck."""
    z = np.linspace(-draught, 0.0, points)
    halves: list[Array] = []
    xs = np.linspace(0.0, length, stations)
    for x in xs.tolist():
        shape = 0.5 * breadth * (1 - (2 * x / length - 1) ** 2) * (1 - (z / draught) ** 2)
        halves.append(np.vstack([np.column_stack([shape, z]), [[shape[-1], freeboard], [0.0, freeboard]]]))
    return hull_from_sections(xs.tolist(), halves)


def half_ellipsoid(a: float, b: float, c: float, stations: int, points: int) -> Hull:
    """The lower half of an ellipsoid, upright sides above; stations closer towards the ends."""
    xs = -a * np.cos(np.linspace(0.0, np.pi, stations))
    angle = np.linspace(-np.pi / 2, 0.0, points)
    # Corners moved out so that each polygon has the area of its ellipse.
    step = 0.5 * np.pi / (points - 1)
    out = np.sqrt(step / np.sin(step))
    halves: list[Array] = []
    for x in xs.tolist():
        share = np.sqrt(max(1 - (x / a) ** 2, 0.0))
        y, z = b * share * out * np.cos(angle), c * share * out * np.sin(angle)
        z[-1] = 0.0
        # A freeboard, so that the waterline is not the deck.
        halves.append(np.vstack([np.column_stack([y, z]), [[y[-1], c], [0.0, c]]]))
    return hull_from_sections((xs + a).tolist(), halves)


def cutter_sections(stations: int = 21) -> list[tuple[float, list[list[float]]]]:
    """A small long-keeled cutter, 6.4 m on the waterline: (x, half-section), invented for the tests."""
    found: list[tuple[float, list[list[float]]]] = []
    for x in np.linspace(-0.5, 6.8, stations).tolist():
        along = (x - 2.9) / 3.9
        full = max(1 - abs(along) ** 2.4, 0.0)
        sheer = 0.62 + 0.10 * along**2 + 0.12 * max(along, 0.0)
        beam = 1.12 * full**0.6 if x > 0 else max(1.12 * full**0.6, 0.45)
        rabbet = -0.42 * full**0.8 + 0.15 * abs(along) ** 6
        keel = -0.98 + 0.10 * (x - 1.0) if 0.4 < x < 5.4 else rabbet
        keel = min(keel, rabbet)
        half = [[0.0, keel], [0.06 * full, keel], [0.07 * full + 1e-4, min(rabbet, keel + 1.0)]]
        for part in (0.2, 0.4, 0.6, 0.8, 1.0):
            z = rabbet + (sheer - rabbet) * part
            half.append([max(beam * np.sin(0.5 * np.pi * part**0.62), 1e-4), z])
        half.append([0.0, sheer + 0.05 * beam])
        found.append((round(x, 4), [[round(float(y), 5), round(float(z), 5)] for y, z in half]))
    return found


def cutter(stations: int = 21) -> Hull:
    """The same as a hull."""
    drawn = cutter_sections(stations)
    return hull_from_sections([x for x, _ in drawn], [np.array(points) for _, points in drawn])
