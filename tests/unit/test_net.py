"""Loads gathered by direction: every load in a cell, the greatest to stand for it, mirrored evenly."""

from __future__ import annotations

import numpy as np
import pytest

from secure_load.loads.direction_bins import bin_levels

RNG = np.random.default_rng(20261125)
LOADS = RNG.normal(size=(4000, 3)) * RNG.uniform(0.1, 3.0, size=(4000, 1))


def test_the_greatest_of_a_cell_stands_for_it() -> None:
    (net,) = bin_levels(LOADS, [10.0])
    size = np.linalg.norm(LOADS, axis=1)
    for cell in range(len(net.representative)):
        own = np.flatnonzero(net.bin == cell)
        assert len(own)
        assert net.representative[cell] == own[np.argmax(size[own])]
    assert net.relative_magnitude == pytest.approx(size / size[net.representative[net.bin]])
    assert net.relative_magnitude.max() == 1.0


@pytest.mark.parametrize("step", [5.0, 15.0, 20.0])
def test_no_load_points_further_from_the_one_that_stands_for_it_than_across_a_cell(step: float) -> None:
    (net,) = bin_levels(LOADS, [step])
    toward = LOADS / np.linalg.norm(LOADS, axis=1)[:, None]
    apart = np.degrees(np.arccos(np.clip((toward * net.unit[net.bin]).sum(axis=1), -1.0, 1.0)))
    assert apart.max() <= step * np.sqrt(2.0) + 1e-9


def test_mirrored_loads_fall_into_mirrored_cells() -> None:
    there, back = bin_levels(LOADS, [7.0])[0], bin_levels(LOADS * [1.0, -1.0, 1.0], [7.0])[0]
    assert np.array_equal(np.sort(there.representative), np.sort(back.representative))
    assert np.array_equal(there.relative_magnitude, back.relative_magnitude)


def test_weightless_is_a_load_like_any_other() -> None:
    (net,) = bin_levels(np.array([[0.0, 0.0, 0.0], [0.0, 0.0, -1.0]]), [5.0])
    assert np.all(np.isfinite(net.relative_magnitude))


def test_the_edge_is_of_cells_beside_marked_ones() -> None:
    (net,) = bin_levels(LOADS, [5.0])
    up = net.unit[:, 2] > 0.0
    edge = net.boundary(np.stack([up, np.ones_like(up), np.zeros_like(up)]), reach=2.4)
    height = np.degrees(np.arcsin(net.unit[:, 2]))
    assert edge[0, (height < 0.0) & (height > -2.5)].all()
    assert not edge[0, up].any()
    assert not edge[0, np.abs(height) > 2.4 * 5.0].any()
    assert not edge[1:].any()
