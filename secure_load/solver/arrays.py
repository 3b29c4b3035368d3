"""Names for the arrays the engine works on, whose shapes are said where they are used; and what is asked of rows."""

from __future__ import annotations

from functools import reduce
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.floating[Any]]
"""Figures in SI."""
Index: TypeAlias = NDArray[np.int64]
"""Places in another array."""
Mask: TypeAlias = NDArray[np.bool_]
"""True or false for each place of another array."""


def row_norm(vectors: Array) -> Array:
    """Lengths (n,) of some vectors (n, d)."""
    return np.asarray(np.sqrt(np.einsum("nd,nd->n", vectors, vectors)))


def row_max(table: Array) -> Array:
    """The greatest of each row of a table (n, columns), (n,), nil at least; column by column, for they are few."""
    return np.asarray(reduce(np.maximum, table.T, np.zeros(len(table))))


SPANNED = 1e-12
"""Share of the greatest eigenvalue of the vectors' Gram matrix below which a direction is rounding."""


def spanned(vectors: Array) -> Array:
    """Orthonormal axes (d, r) of the space that vectors (n, d) span: the eigenvectors of their Gram matrix."""
    size, axes = np.linalg.eigh(vectors.T @ vectors)
    return np.asarray(axes[:, size >= SPANNED * size[-1]])
