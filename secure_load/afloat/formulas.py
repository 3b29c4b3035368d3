"""The short formulas of every book on stability, one function each.

Angles in radians, lengths in metres, masses in kilograms unless a line says that only their ratio counts.
They serve the first two levels of knowledge, and as yardsticks for the sums over sections.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from secure_load.strength._guard import finite, positive


def metacentric_height_inclined(mass: float, distance: float, displacement: float, heel: float) -> float:
    """GM from one shift of an inclining test: w d / (W tan heel). m.

    mass w moved ``distance`` across, in the unit of ``displacement`` (only their ratio counts).

    >>> round(metacentric_height_inclined(20.0, 1.2, 2000.0, math.radians(1.0)), 3)
    0.687
    """
    heel = finite("heel", heel)
    if not 0 < abs(heel) < 0.5 * math.pi:
        raise ValueError(f"heel must be more than 0 and less than a right angle, got {math.degrees(heel):g} degrees")
    return mass * distance / (positive("displacement", displacement) * math.tan(heel))


def combined_centre(masses: Sequence[float], heights: Sequence[float]) -> float:
    """Common centre of several masses along one direction: sum(w k) / sum(w). Unit of ``heights``.

    >>> combined_centre([3.0, 1.0], [0.0, 1.0])
    0.25
    """
    if len(masses) != len(heights) or not masses:
        raise ValueError("as many heights as masses are needed, and at least one")
    return sum(w * k for w, k in zip(masses, heights, strict=True)) / positive("total mass", sum(masses))


def centre_shift(mass: float, distance: float, displacement: float) -> float:
    """How far her centre of gravity moves when a mass in her is moved: w d / W. m.

    >>> centre_shift(100.0, 1.0, 2000.0)
    0.05
    """
    return mass * distance / positive("displacement", displacement)


def lever_small(gm: float, heel: float) -> float:
    """Righting lever at a small heel: GM sin(heel). m; from the second term on it is the shape that counts.

    >>> round(lever_small(0.6, math.radians(10)), 4)
    0.1042
    """
    return gm * math.sin(heel)


def lever_wall_sided(gm: float, bm: float, heel: float) -> float:
    """Righting lever of a hull whose sides stand upright where the water moves over them:
    sin(heel) (GM + BM/2 tan^2(heel)). m. Holds until the deck edge goes under or the bilge comes out.

    >>> round(lever_wall_sided(0.5, 3.5, math.radians(25)), 4)
    0.3721
    """
    return math.sin(heel) * (gm + 0.5 * bm * math.tan(heel) ** 2)


def loll_wall_sided(gm: float, bm: float) -> float:
    """Angle at which a wall-sided hull of negative GM lies: tan = sqrt(-2 GM / BM). rad; 0 where GM >= 0.

    >>> round(math.degrees(loll_wall_sided(-0.05, 0.15)), 2)
    39.23
    """
    return math.atan(math.sqrt(-2.0 * gm / positive("BM", bm, "m"))) if gm < 0 else 0.0


def box_bm(breadth: float, draught: float) -> float:
    """BM of a box: B^2 / (12 T). m.

    >>> round(box_bm(2.0, 0.4), 4)
    0.8333
    """
    return positive("breadth", breadth, "m") ** 2 / (12.0 * positive("draught", draught, "m"))


def morrish_depth(draught: float, volume: float, waterplane: float) -> float:
    """Depth of the centre of buoyancy below the water: (T/2 + V/A_w) / 3. m. Morrish's formula, as books give it.

    Exact for a box and for a wedge; within some 3 % of the draught for the bodies of small boats.

    >>> round(morrish_depth(0.4, 4.8, 12.0), 4)
    0.2
    """
    return (positive("draught", draught, "m") / 2.0 + volume / positive("waterplane", waterplane, "m2")) / 3.0


def trim_change(mass: float, distance: float, moment_to_trim_1cm: float) -> float:
    """Change of trim, both ends together, from a mass moved fore and aft: w x / MCT. m.

    moment_to_trim_1cm in kg m (any unit of mass that agrees with ``mass``).

    >>> round(trim_change(100.0, 1.0, 35.78), 4)
    0.0279
    """
    return mass * distance / positive("moment to trim 1 cm", moment_to_trim_1cm) / 100.0


def kg_per_cm(waterplane: float, density: float) -> float:
    """Mass that sinks her one centimetre: density A_w / 100. kg.

    >>> kg_per_cm(10.0, 1025.0)
    102.5
    """
    return positive("waterplane", waterplane, "m2") * positive("density", density, "kg/m3") / 100.0


def fresh_water_sinkage(displacement: float, kg_cm_salt: float) -> float:
    """How much deeper she floats in fresh water than in the sea: W / (40 w) cm with w in kg per cm. m.

    The 40 is 1 / (1025/1000 - 1), so it is for water of 1025 kg/m3.

    >>> round(fresh_water_sinkage(2150.0, 89.0) * 1000, 1)
    6.0
    """
    return displacement / (40.0 * positive("kg per cm", kg_cm_salt)) / 100.0


def free_surface_loss(length: float, breadth: float, fluid: float, displacement: float) -> float:
    """Loss of GM to the free surface of a rectangular tank: rho l b^3 / (12 W). m.

    length and breadth of the surface in m, density ``fluid`` in kg/m3, displacement in kg.

    >>> round(free_surface_loss(0.8, 0.6, 1000.0, 2000.0), 4)
    0.0072
    """
    return fluid * length * breadth**3 / (12.0 * positive("displacement", displacement, "kg"))


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
