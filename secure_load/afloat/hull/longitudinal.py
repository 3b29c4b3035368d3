"""Summing along the hull: weights by which the figures of the stations are multiplied and added.

``station_weights`` is not the Simpson's rule of the textbooks: between two stations it takes a mean of the two
parabolas that run through them and a neighbour, so that no station weighs twice its neighbour for no reason,
which matters where sections come out of the water half way along. Like Simpson's it is exact for a cubic on
stations equally spaced; it takes stations at any spacing. A hull that ends in a point and one that ends in a transom
need nothing special: the last station is either a section of no area or the transom itself. Overhangs do:
``broken_weights`` sums them apart from the waterline, as a draughtsman does.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.arrays import Array


def _ascending(x: Array, least: int) -> Array:
    x = np.asarray(x, dtype=float)
    if x.ndim != 1 or len(x) < least:
        raise CannotFloat(f"at least {least} stations are needed to sum along the hull, {x.size} were given")
    if not np.all(np.isfinite(x)) or np.any(np.diff(x) <= 0):
        raise CannotFloat("stations must go from aft to forward, each once")
    return x


def trapezium_weights(x: Array) -> Array:
    """Weights of the trapezium rule at stations ``x`` [S], m, ascending. [S], m."""
    x = _ascending(x, 2)
    steps = np.diff(x)
    weights = np.zeros_like(x)
    weights[:-1] += 0.5 * steps
    weights[1:] += 0.5 * steps
    return weights


def _first_interval(h0: float, h1: float) -> Array:
    """Weights of three points, h0 and h1 apart, for the parabola's integral over the first interval."""
    both = h0 + h1
    return h0 * np.array([(2 * h0 + 3 * h1) / (6 * both), (h0 + 3 * h1) / (6 * h1), -(h0**2) / (6 * h1 * both)])


def station_weights(x: Array) -> Array:
    """Weights of the two-parabolas rule at stations ``x`` [S], m, ascending, any spacing. [S], m.

    The parabola whose third station is further off gets the greater share of the mean, in the proportion of the
    distances: a third station close by would swing the curve about. All weights come out positive; where stations
    are so uneven that one would not, the intervals about it fall back to the trapezium, because a negative weight
    would let the sum fall as a section sinks deeper.

    >>> [round(float(w) * 24) for w in station_weights(np.arange(7.0))]
    [9, 28, 23, 24, 23, 28, 9]
    """
    x = _ascending(x, 2)
    if len(x) == 2:
        return trapezium_weights(x)
    steps = np.diff(x)
    parts = [_interval(steps, i) for i in range(len(steps))]
    plain = trapezium_weights(x)
    while True:
        weights = np.sum(parts, axis=0)
        low = np.flatnonzero(weights < 0.1 * plain)
        if not len(low):
            return weights
        # The interval that takes most from the poorest station; one trapezium more each time, so it comes to an end.
        station = int(low[0])
        worst = min(range(len(parts)), key=lambda i: float(parts[i][station]))
        parts[worst] = np.zeros_like(x)
        parts[worst][worst : worst + 2] = 0.5 * steps[worst]


def broken_weights(x: Array, breaks: Sequence[int]) -> Array:
    """Weights of the two-parabolas rule taken piece by piece between the stations ``breaks``. [S], m.

    A curve of areas that comes down to nothing at the end of the waterline, and stays there under the overhang,
    has a corner that no parabola follows: across it the sum would lose as much as the trapezium does.

    >>> [round(float(w) * 24) for w in broken_weights(np.arange(7.0), [1])]
    [12, 21, 28, 23, 23, 28, 9]
    """
    x = _ascending(x, 2)
    weights = np.zeros_like(x)
    ends = sorted({0, len(x) - 1, *breaks})
    for first, last in pairwise(ends):
        weights[first : last + 1] += station_weights(x[first : last + 1])
    return weights


def _interval(steps: Array, i: int) -> Array:
    """Weights of all stations for the integral over interval ``i``."""
    weights = np.zeros(len(steps) + 1)
    ahead = steps[i + 1] if i + 1 < len(steps) else 0.0
    behind = steps[i - 1] if i > 0 else 0.0
    if ahead > 0:
        weights[i : i + 3] += ahead / (ahead + behind) * _first_interval(steps[i], ahead)
    if behind > 0:
        weights[i - 1 : i + 2] += behind / (ahead + behind) * _first_interval(steps[i], behind)[::-1]
    return weights
