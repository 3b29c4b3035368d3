"""The frame of the main screen: how its panes stand at every size of the terminal.

The screen that is painted while a boat is being read has the same frame, so that nothing moves when the panes come.
"""

from __future__ import annotations

from collections.abc import Iterable

from textual import events
from textual.geometry import Region
from textual.screen import Screen

_ACROSS = [(0, "-narrow"), (110, "-wide")]
_DOWN = [(0, "-short"), (36, "-tall")]
MOST_EMPTY = 1.5
"""Regions are painted at one go where their common frame is no larger than so many times they are together."""


class Frame(Screen[None]):
    """Lines ``#top`` and ``#now``, panes ``#weights``, ``#form``, ``#drawing`` and ``#verdict``, and ``#keys``;
    the sheet is ``frame.tcss``."""

    HORIZONTAL_BREAKPOINTS = _ACROSS
    VERTICAL_BREAKPOINTS = _DOWN

    def take_size(self) -> None:
        """Stand as the terminal's size asks from the first picture on, and not from the second."""
        width, height = self.app.size
        for marks, room in ((_ACROSS, width), (_DOWN, height)):
            here = [name for least, name in marks if room >= least][-1]
            for _, name in marks:
                self.set_class(name == here, name)
        self._set_vast(width, height)

    def on_resize(self, event: events.Resize) -> None:
        """Where there is very much room, the drawing and the verdict stand side by side."""
        self._set_vast(event.size.width, event.size.height)

    def _compositor_refresh(self) -> None:
        """Paint what has changed place by place.

        Textual goes through every widget inside the one frame around all that has changed, which is the whole screen
        where a line of the list and the verdict below it changed (12 ms for both, 5 ms one after the other).
        """
        dirty = getattr(self._compositor, "_dirty_regions", None)
        if not isinstance(dirty, set) or self.size.region in dirty or len(places := apart(dirty)) < 2:
            super()._compositor_refresh()
            return
        for place in places:
            dirty.clear()
            dirty.update(place)
            super()._compositor_refresh()

    def _set_vast(self, width: int, height: int) -> None:
        self.set_class(width >= 170 and height >= 36, "-vast")


def apart(regions: Iterable[Region]) -> list[list[Region]]:
    """Regions sorted into heaps, those together whose common frame is not much larger than they are themselves."""
    heaps: list[tuple[Region, int, list[Region]]] = []
    for region in sorted(regions, key=lambda r: (r.y, r.x)):
        frame, area, heap = region, region.area, [region]
        for each in list(heaps):
            both = frame.union(each[0])
            if both.area <= MOST_EMPTY * (area + each[1]):
                heaps.remove(each)
                frame, area, heap = both, area + each[1], [*each[2], *heap]
        heaps.append((frame, area, heap))
    return [heap for _, _, heap in heaps]
