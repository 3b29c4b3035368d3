"""EN 1995-1-1 section 7.1: how far a fastener gives, per newton.

Source: EN 1995-1-1:2004+A1:2008 (Eurocode 5), Table 7.1. Mean values, for sharing load between parts; never a
strength.
"""

from __future__ import annotations

import math

from secure_load.strength import _guard
from secure_load.strength.units import MILLIMETRE, KilogramPerCubicMetre, Metre, NewtonPerMetre


def mean_density(first: KilogramPerCubicMetre, second: KilogramPerCubicMetre) -> KilogramPerCubicMetre:
    """Density to use where two timbers meet: sqrt(rho_1 rho_2); EN 1995-1-1 7.1(2), eq. 7.1. kg/m3.

    >>> mean_density(400.0, 900.0)
    600.0
    """
    first = _guard.within("density of the first timber", first, 50.0, 1500.0, "kg/m3")
    return math.sqrt(first * _guard.within("density of the second timber", second, 50.0, 1500.0, "kg/m3"))


def screw_slip_modulus(rho_m: KilogramPerCubicMetre, d: Metre, steel_side: bool = False) -> NewtonPerMetre:
    """Slip modulus per shear plane of a screw, bolt, dowel or nail in a prebored hole, at service load.

    K_ser = rho_m^1.5 d / 23  [N/mm, kg/m3, mm]; EN 1995-1-1 Table 7.1; twice that where one side is steel or
    concrete, 7.1(3). rho_m: mean density, 50 .. 1500 kg/m3. d: diameter, m. N/m. A bolt's clearance is to be
    added.

    >>> round(screw_slip_modulus(420.0, 0.006) / 1000)  # N/mm
    2245
    """
    rho = _guard.within("mean density of the timber", rho_m, 50.0, 1500.0, "kg/m3")
    d_mm = _guard.positive("fastener diameter", d, "m") / MILLIMETRE
    return (2.0 if steel_side else 1.0) * rho**1.5 * d_mm / 23.0 / MILLIMETRE


def driven_nail_slip_modulus(rho_m: KilogramPerCubicMetre, d: Metre, steel_side: bool = False) -> NewtonPerMetre:
    """Slip modulus per shear plane of a nail driven without preboring, at service load.

    K_ser = rho_m^1.5 d^0.8 / 30  [N/mm, kg/m3, mm]; EN 1995-1-1 Table 7.1; doubled for a steel side, 7.1(3).
    Arguments and result as `screw_slip_modulus`.

    >>> round(driven_nail_slip_modulus(420.0, 0.004) / 1000)
    870
    """
    rho = _guard.within("mean density of the timber", rho_m, 50.0, 1500.0, "kg/m3")
    d_mm = _guard.positive("nail diameter", d, "m") / MILLIMETRE
    return (2.0 if steel_side else 1.0) * rho**1.5 * d_mm**0.8 / 30.0 / MILLIMETRE


def ultimate_slip_modulus(K_ser: NewtonPerMetre) -> NewtonPerMetre:
    """Slip modulus near failure: K_u = 2/3 K_ser; EN 1995-1-1 2.2.2(2), eq. 2.1. N/m.

    >>> ultimate_slip_modulus(3.0e6)
    2000000.0
    """
    return 2.0 * _guard.not_negative("slip modulus K_ser", K_ser, "N/m") / 3.0
