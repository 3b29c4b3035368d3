"""Loads gathered by their direction.

Where nothing is tight or slack at rest, what a weight's restraints bear grows in proportion to its load: loads that
point the same way are answered by the greatest of them. Many histories of heel run through the same directions, so
that a net of a few hundred covers them all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from secure_load.solver.arrays import Array, Index, Mask, row_norm


@dataclass(frozen=True)
class DirectionBins:
    """Which cell each of n loads points into, and the greatest load in each of c cells."""

    bin: Index
    """(n,)"""
    representative: Index
    """(c,) places among the loads."""
    relative_magnitude: Array
    """(n,) of the greatest load of its cell, 0 to 1."""
    step: float
    """Radians across a cell, or less."""
    unit: Array
    """(c, d) unit vectors of the greatest loads."""

    def boundary(self, marked: Mask, reach: float) -> Mask:
        """Which bins (cases, c) that are not marked have one that is within so many steps."""
        unit = self.unit.astype(np.float32)
        near = np.zeros_like(marked)
        for found, here in zip(near, marked, strict=True):
            if here.any() and not here.all():
                found[~here] = (unit[~here] @ unit[here].T).max(axis=1) > np.cos(reach * self.step)
        return near


def bin_levels(load: Array, steps_deg: Sequence[float]) -> list[DirectionBins]:
    """Nets of some loads (n, d), forces and what moments come with them, with cells of so many degrees on the faces of
    a cube of as many dimensions."""
    size = row_norm(load)
    toward = load / np.maximum(size, 1e-300)[:, None]
    n, axes = np.arange(len(load)), range(load.shape[1])
    along = np.abs(toward).argmax(axis=1)
    height = toward[n, along]
    others = np.array([[other for other in axes if other != axis] for axis in axes], dtype=np.int64)[along]
    across = np.arctan(toward[n[:, None], others] / np.maximum(np.abs(height), 1e-300)[:, None])
    face = 2 * along + (height < 0.0)
    rising = np.argsort(size, kind="stable")
    return [_bins(face, across, size, toward, rising, np.radians(step)) for step in steps_deg]


def _bins(face: Index, across: Array, size: Array, toward: Array, rising: Index, step: float) -> DirectionBins:
    # cells lie evenly to both sides, so that what is mirrored falls into mirrored cells
    half = int(np.ceil(0.25 * np.pi / step)) + 1
    wide = 2 * half + 1
    key = face
    for place in (np.rint(across / step).astype(np.int64) + half).T:
        key = key * wide + place
    taken, bin = np.unique(key, return_inverse=True)
    representative = np.zeros(len(taken), dtype=np.int64)
    # the last to be put down stays
    representative[bin[rising]] = rising
    relative_magnitude = size / np.maximum(size[representative], 1e-300)[bin]
    return DirectionBins(bin, representative, relative_magnitude, step, toward[representative])
