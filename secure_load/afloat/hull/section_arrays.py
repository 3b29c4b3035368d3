"""The hull as arrays: closed sections of straight pieces, at stations from aft to forward.

She is taken as watertight up to her deck, and the deck as whole: a cockpit, a coachroof or an open hatch is
not in the sections unless the owner drew it there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from secure_load.afloat.hull.arrays import Array


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

    def half_breadths_at(self, x: float, z: Array) -> Array:
        """Half-breadths [Z] at heights ``z`` [Z], m, straight between stations; 0 outside her."""
        if not self.x[0] <= x <= self.x[-1]:
            return np.zeros_like(z)
        aft = self.station_abaft(x)
        share = (x - float(self.x[aft])) / float(self.x[aft + 1] - self.x[aft])
        ends = [_half_breadths(self.y[s], self.z[s], z) for s in (aft, aft + 1)]
        return (1.0 - share) * ends[0] + share * ends[1]

    def station_abaft(self, x: float) -> int:
        """The station at or abaft a place in her, one that has another forward of it."""
        return int(np.clip(np.searchsorted(self.x, x, side="right") - 1, 0, len(self.x) - 2))


def _half_breadths(y: Array, z: Array, height: Array) -> Array:
    """Outermost y [Z] of a closed section [N] at heights [Z]; 0 where it has nothing there."""
    z2, y2 = np.roll(z, -1), np.roll(y, -1)
    at = height[:, None]
    touched = (np.minimum(z, z2) <= at) & (np.maximum(z, z2) >= at)
    level = z2 == z
    along = np.clip((at - z) / np.where(level, 1.0, z2 - z), 0.0, 1.0)
    reach = np.where(level, np.maximum(y, y2), y + along * (y2 - y))
    return np.max(np.where(touched, reach, 0.0), axis=1)
