"""The keys of the main screen and of its list.

In a place of their own because the frame that is painted before the boat is read names them at its foot already,
and nothing that takes time to load may be needed for that.
"""

from __future__ import annotations

from textual.binding import Binding

MAIN_KEYS = [
    Binding("ctrl+g", "stop", "Stop the check", priority=True),
    Binding("f1", "keys", "Help"),
    Binding("f2", "pane('weights')", "List"),
    Binding("f3", "pane('form')", "Form"),
    Binding("f4", "pane('verdict')", "Verdict"),
    Binding("f5", "pane('drawing')", "Drawing"),
    Binding("f7", "add_restraint", show=False),
    Binding("f9", "mend", "Mend"),
    Binding("f10,ctrl+l", "afloat", "Afloat"),
    Binding("f11,ctrl+r", "records", "Records"),
    Binding("ctrl+s", "save", "Save", priority=True),
    Binding("ctrl+z", "undo", "Undo", priority=True),
    Binding("ctrl+t", "scenarios", "Scenarios", priority=True),
    Binding("f12", "cautions", "Cautions"),
    Binding("ctrl+y", "redo", "Redo", priority=True, show=False),
    Binding("ctrl+o", "open", "Open", priority=True, show=False),
    Binding("ctrl+n", "new", "New boat", priority=True, show=False),
]

LIST_KEYS = [
    Binding("a", "screen.add_weight", "Add"),
    Binding("enter", "select", "Form", show=False),
    Binding("v", "screen.pane('verdict')", "Verdict", show=False),
    Binding("w", "screen.why", "Why"),
    Binding("g", "screen.pane('drawing')", "Drawing", show=False),
    Binding("r", "screen.mend", "Mend", show=False),
    Binding("d", "screen.duplicate", "Again"),
    Binding("o", "screen.other_side", "Other side too", show=False),
    Binding("m", "screen.mirror", "Mirror", show=False),
    Binding("x,delete", "screen.delete_weight", "Out"),
    Binding("s", "screen.sort", "Sort"),
    Binding("b", "screen.boat", "The boat", show=False),
]
