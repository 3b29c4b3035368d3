"""Names of units and exact conversions, for formulas that their code prints in other units than SI.

Every public function of this room takes and gives SI (m, N, Pa, kg, kg/m3, rad); a formula written for
inches and pounds converts inside, next to its printed coefficients, so that they can be read against the
page.

The inch and the pound are exact by the International Yard and Pound Agreement (1959); the standard
acceleration of free fall is exact by the 3rd General Conference on Weights and Measures (1901).
"""

from __future__ import annotations

from typing import TypeAlias

Metre: TypeAlias = float
Newton: TypeAlias = float
Pascal: TypeAlias = float
Kilogram: TypeAlias = float
KilogramPerCubicMetre: TypeAlias = float
Radian: TypeAlias = float
NewtonPerMetre: TypeAlias = float
Joule: TypeAlias = float

INCH = 0.0254  # m
POUND = 0.45359237  # kg
STANDARD_GRAVITY = 9.80665  # m/s2
POUND_FORCE = POUND * STANDARD_GRAVITY  # N
PSI = POUND_FORCE / INCH**2  # Pa
POUND_FORCE_PER_INCH = POUND_FORCE / INCH  # N/m
MILLIMETRE = 1e-3  # m
MEGAPASCAL = 1e6  # Pa
