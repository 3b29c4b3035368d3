"""The short formulas of every book on stability, one function each.

Angles in radians, lengths in metres, masses in kilograms unless a line says that only their ratio counts.
They serve the first two levels of knowledge.
"""

from __future__ import annotations

import math

from secure_load.strength._guard import positive


def lever_small(gm: float, heel: float) -> float:
    """Righting lever at a small heel: GM sin(heel). m; from the second term on it is the shape that counts.

    >>> round(lever_small(0.6, math.radians(10)), 4)
    0.1042
    """
    return gm * math.sin(heel)


def morrish_depth(draught: float, volume: float, waterplane: float) -> float:
    """Depth of the centre of buoyancy below the water: (T/2 + V/A_w) / 3. m. Morrish's formula, as books give it.

    Exact for a box and for a wedge; within some 3 % of the draught for the bodies of small boats.

    >>> round(morrish_depth(0.4, 4.8, 12.0), 4)
    0.2
    """
    return (positive("draught", draught, "m") / 2.0 + volume / positive("waterplane", waterplane, "m2")) / 3.0


def roll_period(gyradius: float, gm: float, g: float) -> float:
    """Period of a whole roll, out and back, at small angles: 2 pi k / sqrt(g GM). s.

    >>> round(roll_period(4.0, 0.6, 9.81), 2)
    10.36
    """
    return 2.0 * math.pi * positive("radius of gyration", gyradius, "m") / math.sqrt(g * positive("GM", gm, "m"))


def gm_from_roll(gyradius: float, period: float, g: float) -> float:
    """GM from a roll period: (2 pi k / T)^2 / g. m.

    >>> round(gm_from_roll(4.0, 10.36, 9.81), 3)
    0.6
    """
    return (2.0 * math.pi * gyradius / positive("period", period, "s")) ** 2 / g


def gyradius_from_roll(gm: float, period: float, g: float) -> float:
    """Radius of gyration from a roll period and a GM known otherwise: T sqrt(g GM) / (2 pi). m.

    >>> round(gyradius_from_roll(0.6, 10.36, 9.81), 2)
    4.0
    """
    return positive("period", period, "s") * math.sqrt(g * positive("GM", gm, "m")) / (2.0 * math.pi)
