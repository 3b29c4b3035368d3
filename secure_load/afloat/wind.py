"""How far a wind lays her over: the wind's heeling lever against her righting lever.

    heeling moment = 1/2 rho_air C v^2 A h cos^p(heel)

A sail area, h the height of its centre over that of lateral resistance, C and p from the catalogue (common
practice, with their marks). A steady wind and a steady heel: a gust that strikes her upright lays her over
about twice as far, and nothing is said of waves.
"""

from __future__ import annotations

import math

import numpy as np

from secure_load.afloat.arrays import Array
from secure_load.catalogue.lookup import density, factor


def heeling_moment(wind: float, area: float, lever: float, heel: Array) -> Array:
    """Heeling moment of a wind abeam at heels [H], N m; wind in m/s, area m2, lever m."""
    push = 0.5 * density("air").kg_m3 * factor("wind-force-coefficient") * wind**2 * area
    power = factor("wind-heel-cosine-power")
    return push * lever * np.maximum(np.cos(heel), 0.0) ** power


def heel_in_wind(heel: Array, righting: Array, heeling: Array, rest: float = 0.0) -> float | None:
    """The first heel past where she rests at which the righting moment catches up with the wind. rad.

    heel [H] ascending, rad; righting and heeling moments [H] in one unit, to the same side. None where it never
    does: the wind lays her flat.
    """
    from_rest = heel >= rest - 1e-9
    angle, spare = heel[from_rest], (righting - heeling)[from_rest]
    caught = np.flatnonzero(spare >= 0)
    if not len(caught):
        return None
    first = int(caught[0])
    if first == 0:
        return max(float(angle[0]), 0.0)
    a, b = float(spare[first - 1]), float(spare[first])
    found = float(angle[first - 1]) - a * float(angle[first] - angle[first - 1]) / (b - a)
    return found if found < 0.5 * math.pi - 1e-6 else None
