"""The frame of the main screen: how its panes stand at every size of the terminal.

The screen that is painted while a boat is being read has the same frame, so that nothing moves when the panes come.
"""

from __future__ import annotations

from textual.screen import Screen

from secure_load.screen.table.lines import WIDE

_ACROSS = [(0, "-narrow"), (WIDE, "-wide")]
_DOWN = [(0, "-short"), (36, "-tall")]


class Frame(Screen[None]):
    """``#top``, ``#table``, ``#summary``, ``#form``, ``#drawing`` and ``#keys``; the sheet is ``frame.tcss``."""

    HORIZONTAL_BREAKPOINTS = _ACROSS
    VERTICAL_BREAKPOINTS = _DOWN

    def take_size(self) -> None:
        """Stand as the terminal's size asks from the first picture on, and not from the second."""
        for marks, room in ((_ACROSS, self.app.size.width), (_DOWN, self.app.size.height)):
            here = [name for least, name in marks if room >= least][-1]
            for _, name in marks:
                self.set_class(name == here, name)
