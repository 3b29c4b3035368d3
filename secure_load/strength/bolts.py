"""Metal bolts, screws and washers: the steel's part of a joint.

Sources: ISO 898-1:2013 9.1.6.1 (stress area, with ISO 68-1 thread geometry); EN 1993-1-8:2005 Table 3.4
(tension, shear and both at once).
"""

from __future__ import annotations

import math

from secure_load.strength import _guard, timber
from secure_load.strength.units import Metre, Newton, Pascal


def stress_area(d: Metre, pitch: Metre) -> float:
    """Tensile stress area of a metric thread: pi/4 (d - 0.9382 P)^2; ISO 898-1 9.1.6.1. d, pitch in m; m2.

    >>> round(stress_area(0.008, 0.00125) * 1e6, 1)
    36.6
    """
    d = _guard.positive("bolt diameter", d, "m")
    pitch = _guard.positive("thread pitch", pitch, "m")
    if pitch >= d / 2:
        raise ValueError(f"thread pitch must be less than half the diameter {d:g} m, got {pitch:g}")
    return math.pi / 4 * (d - 0.9382 * pitch) ** 2


def round_area(diameter: Metre) -> float:
    """Area of a circle, pi d^2/4: a screw's root or a plain shank. m, m2.

    >>> round(round_area(0.00386) * 1e6, 2)
    11.7
    """
    return math.pi / 4 * _guard.positive("diameter", diameter, "m") ** 2


def tension_strength(area: float, f_u: Pascal, gamma: float, k_2: float = 0.9) -> Newton:
    """Design strength in tension: k_2 f_u A_s / gamma_M2; EN 1993-1-8 Table 3.4.

    area m2, f_u tensile strength Pa, k_2 0.9 (0.63 countersunk), gamma >= 1. For a working load the caller
    puts the load factor into gamma as well. N.

    >>> round(tension_strength(36.6e-6, 700e6, 1.25))
    18446
    """
    area = _guard.positive("stress area", area, "m2")
    f_u = _guard.positive("tensile strength", f_u, "Pa")
    return _guard.within("factor k_2", k_2, 0.0, 1.0) * f_u * area / _safety(gamma)


def shear_strength(area: float, f_u: Pascal, gamma: float, alpha_v: float = 0.6) -> Newton:
    """Design strength in one shear plane: alpha_v f_u A / gamma_M2; EN 1993-1-8 Table 3.4.

    alpha_v 0.6 (0.5 for stainless and 10.9 steel with thread in the plane). Arguments as `tension_strength`.
    N.

    >>> round(shear_strength(36.6e-6, 700e6, 1.25, alpha_v=0.5))
    10248
    """
    area = _guard.positive("area in shear", area, "m2")
    f_u = _guard.positive("tensile strength", f_u, "Pa")
    return _guard.within("factor alpha_v", alpha_v, 0.0, 1.0) * f_u * area / _safety(gamma)


def washer_bearing(stress: Pascal, outer: Metre, hole: Metre) -> Newton:
    """Load that a round washer lays on timber across the grain: F_c_perp C_b pi/4 (d_o^2 - d_h^2).

    NDS 2018 3.10.2, and 3.10.4 with the washer's diameter as bearing length. stress: working stress across
    the grain, Pa; diameters m. N.

    >>> round(washer_bearing(3.0e6, 0.030, 0.011))
    2418
    """
    stress = _guard.not_negative("working stress across the grain", stress, "Pa")
    outer = _guard.positive("washer diameter", outer, "m")
    hole = _guard.not_negative("washer hole", hole, "m")
    if hole >= outer:
        raise ValueError(f"washer hole must be smaller than the washer, {outer:g} m, got {hole:g}")
    return stress * timber.bearing_area_factor(outer) * math.pi / 4 * (outer**2 - hole**2)


def _safety(gamma: float) -> float:
    if _guard.positive("partial factor gamma", gamma) < 1.0:
        raise ValueError(f"partial factor gamma must be 1 or more, got {gamma:g}")
    return gamma
