"""Which way a direction points and which way a weight sets off, in words."""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.model.motion_words import describe_motion, direction_words


@pytest.mark.parametrize(
    ("vector", "words"),
    [
        ((0, 0, 0), ""),
        ((2, 0, 0), "forward"),
        ((-1, 0, 0), "aft"),
        ((0, 1, 0), "to port"),
        ((0, -1, 0), "to starboard"),
        ((0, 0, 1), "up"),
        ((0, 0, -3), "down"),
        ((0, -1, 1), "to starboard and up"),
        ((1, 1, 0), "to port and forward"),
        ((-1, 0, -1), "aft and down"),
        ((1, -1, 1), "to starboard, forward and up"),
        ((0.34, -1, 0), "to starboard"),  # too little forward to be worth a word
        ((0.2, -1, -0.2), "to starboard"),
    ],
)
def test_direction(vector: tuple[float, float, float], words: str) -> None:
    assert direction_words(np.array(vector, dtype=float)) == words


def test_direction_does_not_hang_on_the_size() -> None:
    small = direction_words(np.array([1e-9, -2e-9, 0.0]))
    assert small == direction_words(np.array([1e6, -2e6, 0.0])) == "to starboard and forward"


@pytest.mark.parametrize(
    ("u", "words"),
    [
        ((0, -1, 0, 0, 0, 0), "slides to starboard"),
        ((1, 0, 0, 0, 0, 0), "slides forward"),
        ((0, 0, 1, 0, 0, 0), "lifts straight off its bed"),
        ((0, 0, -1, 0, 0, 0), "drops: nothing bears it"),
        ((0, -1, 1, 0, 0, 0), "lifts and goes to starboard"),
        ((1, -1, 1, 0, 0, 0), "lifts and goes to starboard, forward"),
        ((0, 0, 0, 1, 0, 0), "tips over to starboard"),  # rotation about +x takes the port side up
        ((0, 0, 0, -1, 0, 0), "tips over to port"),
        ((0, 0, 0, 0, 1, 0), "tips forward"),  # rotation about +y takes the bow down
        ((0, 0, 0, 0, -1, 0), "tips aft"),
        ((0, 0, 0, 0, 0, 1), "slews round where it stands"),
        ((0, 1, 0, -0.8, 0, 0), "slides to port, tipping"),
    ],
)
def test_movement(u: tuple[float, ...], words: str) -> None:
    assert describe_motion(np.array(u, dtype=float)) == words
