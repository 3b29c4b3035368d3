"""What follows from the shape of her upright: volume, centre, waterplane, metacentres, kg per cm, moment to trim.

Heights are from the designed waterline in the arrays, as in the boat file; ``kb`` and its kin are above the
keel's lowest point, as on the report.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from secure_load.afloat.errors import too_heavy
from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.hull.clip import cut, turn, waterline
from secure_load.afloat.hull.hull import Hull

_UPRIGHT = np.zeros(1)


@dataclass(frozen=True)
class Hydrostatics:
    """Upright, at one waterline that may be trimmed."""

    level: float
    """Height of the water at x = 0 above the designed waterline, m."""
    tan_trim: float
    """Tangent of the trim, by the bow positive."""
    density: float
    """kg/m3."""
    volume: float
    """m3."""
    x_b: float
    """Centre of buoyancy, forward of the after end of the waterline, m."""
    z_b: float
    """Its height above the designed waterline, m."""
    waterplane: float
    """Area of the waterplane, m2."""
    x_f: float
    """Its centre, forward, m."""
    inertia_across: float
    """Second moment of the waterplane about its fore-and-aft middle line, m4."""
    inertia_along: float
    """Second moment about the athwartships line through its centre, m4."""
    lowest: float
    """Height of the keel's lowest point above the designed waterline, m."""

    @property
    def mass(self) -> float:
        """kg displaced."""
        return self.volume * self.density

    @property
    def kb(self) -> float:
        """Centre of buoyancy above the keel's lowest point, m."""
        return self.z_b - self.lowest

    @property
    def bm(self) -> float:
        """Metacentre above the centre of buoyancy, m: BM = I / V."""
        return self.inertia_across / self.volume

    @property
    def bm_along(self) -> float:
        """Fore-and-aft metacentre above the centre of buoyancy, m."""
        return self.inertia_along / self.volume

    @property
    def kg_per_cm(self) -> float:
        """Mass that sinks her one centimetre, kg: density times waterplane / 100."""
        return self.density * self.waterplane / 100.0

    def moment_to_trim_1cm(self, kg: float, length: float) -> float:
        """Moment that changes her trim by one centimetre over ``length``, kg m: mass GM_L / (100 L).

        kg: height of the centre of gravity above the keel's lowest point, m.
        """
        return self.mass * (self.kb + self.bm_along - kg) / (100.0 * length)


def hydrostatics_at(hull: Hull, level: float, tan_trim: float, density: float) -> Hydrostatics:
    """Sums under a waterline at ``level`` (m above the designed one at x = 0), upright, trimmed.

    The waterplane is measured level: for the few degrees of trim she may have its cosine is 1.
    """
    turned = turn(hull, _UPRIGHT)
    t = (level + tan_trim * hull.x)[None, :]
    wet = cut(turned, t)
    breadth, _, second = waterline(turned, t)
    w = hull.weights

    def along(figures: Array) -> float:
        return float(figures[0] @ w)

    volume = along(wet.area)
    plane = along(breadth)
    if volume <= 0 or plane <= 0:
        return Hydrostatics(
            level, tan_trim, density, max(volume, 0.0), math.nan, math.nan, 0.0, math.nan, 0.0, 0.0, hull.lowest
        )
    x_f = along(breadth * hull.x) / plane
    return Hydrostatics(
        level=level,
        tan_trim=tan_trim,
        density=density,
        volume=volume,
        x_b=along(wet.area * hull.x) / volume,
        z_b=along(wet.moment_v) / volume,
        waterplane=plane,
        x_f=x_f,
        inertia_across=along(second),
        inertia_along=along(breadth * (hull.x - x_f) ** 2),
        lowest=hull.lowest,
    )


def hydrostatics_of(hull: Hull, mass: float, tan_trim: float, density: float) -> Hydrostatics:
    """Upright at a displacement (kg) and a trim: the level is found by Newton's method, halving where it strays.

    Raises CannotFloat where she is heavier than all the water she can displace.
    """
    if not 0 < mass < hull.whole_volume * density * (1 - 1e-9):
        raise too_heavy(mass, hull.whole_volume * density)
    ends = tan_trim * np.array([hull.x[0], hull.x[-1]])
    low, high = hull.lowest - float(np.max(ends)), hull.highest - float(np.min(ends))
    level = min(max(0.0, low), high)
    for _ in range(100):
        here = hydrostatics_at(hull, level, tan_trim, density)
        over = here.mass - mass
        if abs(over) < 1e-11 * mass:
            return here
        low, high = (low, level) if over > 0 else (level, high)
        step = over / (density * here.waterplane) if here.waterplane > 0 else math.inf
        level = level - step if low < level - step < high else 0.5 * (low + high)
    return hydrostatics_at(hull, level, tan_trim, density)
