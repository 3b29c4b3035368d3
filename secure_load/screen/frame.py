"""The frame of the main screen: how its panes stand at every size of the terminal.

The screen that is painted while a boat is being read has the same frame, so that nothing moves when the panes come.
"""

from __future__ import annotations

from textual import events
from textual.screen import Screen

_ACROSS = [(0, "-narrow"), (110, "-wide")]
_DOWN = [(0, "-short"), (36, "-tall")]


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

    def _set_vast(self, width: int, height: int) -> None:
        self.set_class(width >= 170 and height >= 36, "-vast")
