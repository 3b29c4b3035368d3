"""How far a wind heels her: the wind's heeling lever against her righting lever.

    heeling moment = 1/2 rho_air C v^2 A h cos^p(heel)

A sail area, h the height of its centre over that of lateral resistance, C and p from the catalogue, with their
sources. A steady wind gives a steady heel. A gust of the same strength that strikes her at rest does work on her until
she has done as much against it, about twice as far over. Nothing is said of waves.
"""

from __future__ import annotations

import math

import numpy as np

from secure_load.afloat.hull.arrays import Array
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


def heel_in_gust(heel: Array, righting: Array, heeling: Array, rest: float = 0.0) -> float | None:
    """Heel to which a gust throws her that strikes her at ``rest`` and lasts, rad: there both have done equal work.

    Arguments as `heel_in_wind`. None where that is nowhere on the curve short of a right angle: it knocks her down.
    Resistance of the water to her rolling is left out, which is cautious.
    """
    start = max(rest, 0.0)
    angle = np.concatenate([[start], heel[heel > start]])
    surplus = np.interp(angle, heel, heeling - righting)
    work = np.concatenate([[0.0], np.cumsum(0.5 * (surplus[1:] + surplus[:-1]) * np.diff(angle))])
    spent = np.flatnonzero((work[1:] <= 0) & (surplus[1:] < 0))
    if not len(spent):
        return None
    at = int(spent[0]) + 1
    a, b = float(work[at - 1]), float(work[at])
    found = float(angle[at - 1]) + (0.0 if a <= b else a / (a - b)) * float(angle[at] - angle[at - 1])
    return found if found < 0.5 * math.pi - 1e-6 else None
