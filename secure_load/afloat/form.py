"""The hull as arrays: closed sections of straight pieces, at stations from aft to forward.

She is taken as watertight up to her deck, and the deck as whole: a cockpit, a coachroof or an open hatch is
not in the sections unless the owner drew it there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from secure_load.afloat.arrays import Array


@dataclass(frozen=True, eq=False)
class Hull:
    """Closed sections, port and starboard, all padded to one number of points."""

    x: Array
    """[S] stations, m, ascending."""
    y: Array
    """[S, N] corners of the sections to port, m; the last corner joins the first."""
    z: Array
    """[S, N] corners above the designed waterline, m; anticlockwise seen from forward looking aft."""
    weights: Array
    """[S] what each station counts for in a sum along the hull, m."""

    @cached_property
    def lowest(self) -> float:
        """Height of the keel's lowest point above the designed waterline, m (negative)."""
        return float(np.min(self.z))

    @cached_property
    def highest(self) -> float:
        """Height of the highest point of the deck above the designed waterline, m."""
        return float(np.max(self.z))

    @cached_property
    def length(self) -> float:
        """From first to last station, m."""
        return float(self.x[-1] - self.x[0])

    @cached_property
    def breadth(self) -> float:
        """Greatest breadth, m."""
        return 2.0 * float(np.max(self.y))

    @cached_property
    def section_areas(self) -> Array:
        """[S] whole areas of the sections, m2."""
        dz = np.roll(self.z, -1, axis=1) - self.z
        return np.sum(0.5 * (self.y + np.roll(self.y, -1, axis=1)) * dz, axis=1)

    @cached_property
    def whole_volume(self) -> float:
        """Volume up to the deck, m3."""
        return float(self.weights @ self.section_areas)

    def half_breadth_at(self, x: float, z: float) -> float:
        """Half-breadth at a place, m, straight between stations; 0 outside her."""
        at_stations = [_reach(self.y[s], self.z[s], z) for s in range(len(self.x))]
        return float(np.interp(x, self.x, at_stations, left=0.0, right=0.0))


def _reach(y: Array, z: Array, height: float) -> float:
    """Outermost y of a closed section at a height; 0 where it has nothing there."""
    z2, y2 = np.roll(z, -1), np.roll(y, -1)
    touched = (np.minimum(z, z2) <= height) & (np.maximum(z, z2) >= height)
    if not np.any(touched):
        return 0.0
    rise = np.where(z2 == z, 1.0, z2 - z)
    along = np.clip((height - z) / rise, 0.0, 1.0)
    at = np.where(z2 == z, np.maximum(y, y2), y + along * (y2 - y))
    return float(np.max(at[touched]))
