"""The frame of the main screen: how its panes stand at every size of the terminal.

The screen that is painted while a boat is being read has the same frame, so that nothing moves when the panes come.
"""

from __future__ import annotations

from textual import events
from textual.screen import Screen


class Frame(Screen[None]):
    """Lines ``#top`` and ``#now``, panes ``#weights``, ``#form``, ``#drawing`` and ``#verdict``, and ``#keys``;
    the sheet is ``frame.tcss``."""

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012 (Textual's own way)
    VERTICAL_BREAKPOINTS = [(0, "-short"), (36, "-tall")]  # noqa: RUF012 (Textual's own way)

    def on_resize(self, event: events.Resize) -> None:
        """Where there is very much room, the drawing and the verdict stand side by side."""
        self.set_class(event.size.width >= 170 and event.size.height >= 36, "-vast")
