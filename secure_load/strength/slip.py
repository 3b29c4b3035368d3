"""EN 1995-1-1 section 7.1: how far a fastener gives, per newton.

Source: EN 1995-1-1:2004+A1:2008 (Eurocode 5), Table 7.1. Mean values, for sharing load between parts; never a
strength.
"""

from __future__ import annotations

from secure_load.strength import _guard
from secure_load.strength.units import MILLIMETRE, KilogramPerCubicMetre, Metre, NewtonPerMetre


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
