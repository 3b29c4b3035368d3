"""What is painted at one go: places that are near one another, and never less than has changed."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from textual.geometry import Region

from secure_load.screen.app.frame import MOST_EMPTY, apart

REGIONS = st.lists(
    st.builds(Region, st.integers(0, 119), st.integers(0, 39), st.integers(1, 40), st.integers(1, 12)), max_size=12
)


def test_a_line_of_the_list_and_the_verdict_below_are_painted_one_after_the_other() -> None:
    line, top, verdict = Region(1, 3, 118, 1), Region(0, 0, 120, 1), Region(61, 25, 58, 12)
    assert sorted(map(len, apart([verdict, line, top]))) == [1, 1, 1]


def test_lines_below_one_another_are_painted_together() -> None:
    assert len(apart([Region(1, y, 50, 1) for y in range(5, 12)])) == 1


@given(REGIONS)
def test_nothing_is_left_out_or_painted_twice_and_no_heap_is_mostly_empty(regions: list[Region]) -> None:
    heaps = apart(regions)
    assert sorted(each for heap in heaps for each in heap) == sorted(regions)
    for heap in heaps:
        assert Region.from_union(heap).area <= MOST_EMPTY * sum(r.area for r in heap)
