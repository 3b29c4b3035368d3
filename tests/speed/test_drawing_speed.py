"""A picture of 80 x 30 cells in less than 5 ms, so that the roll can be played."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat
from secure_load.record.drawings.picture import plan_picture, section_picture
from secure_load.screen.drawing.raster import rasterise

DEMO = Path(__file__).resolve().parents[2] / "demo_boats" / "brindlewick.toml"


@pytest.mark.speed
@pytest.mark.parametrize("glyphs", ["braille", "quadrant", "ascii"])
def test_a_picture_is_drawn_in_5_ms(glyphs: str) -> None:
    boat = read_boat(DEMO)
    for picture in (section_picture(boat, boat.weight[0].id, 40.0), plan_picture(boat, boat.weight[0].id)):
        took: list[float] = []
        for _ in range(15):
            start = time.perf_counter()
            rasterise(picture, 80, 30, glyphs)  # type: ignore[arg-type]
            took.append(time.perf_counter() - start)
        assert sorted(took)[len(took) // 2] < 0.005
