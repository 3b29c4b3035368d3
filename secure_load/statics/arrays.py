"""Names for the arrays the engine works on; shapes are said where they are used."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.floating[Any]]
"""Figures in SI."""
Index: TypeAlias = NDArray[np.int64]
"""Places in another array."""
Mask: TypeAlias = NDArray[np.bool_]
"""True or false for each place of another array."""
