"""Names for the arrays of this room; shapes are said where they are used."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.floating[Any]]
"""Figures in SI."""
Mask: TypeAlias = NDArray[np.bool_]
"""True or false for each place of another array."""
Pick: TypeAlias = "NDArray[np.bool_] | NDArray[np.intp]"
"""Places in another array, by number or by mask."""
