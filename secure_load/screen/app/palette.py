"""Everything the main screen does, by name, for the command palette."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.app import SystemCommand

if TYPE_CHECKING:
    from secure_load.screen.main.screen import MainScreen


def main_commands(m: MainScreen) -> Iterable[SystemCommand]:
    """Name, key and action of each."""
    yield SystemCommand("Save", "Ctrl+S: to her own file", m.action_save)
    yield SystemCommand("Save as", "To another file", m.action_save_as)
    yield SystemCommand("Open", "Ctrl+O: another boat", m.action_open)
    yield SystemCommand("New boat", "Ctrl+N: begin with nothing in her", m.action_new)
    yield SystemCommand("Add a weight", "a in the list", m.action_add_weight)
    yield SystemCommand("The same again", "d in the list: a copy, further forward", m.action_duplicate)
    yield SystemCommand("The same on the other side", "o in the list: a mirrored copy", m.action_other_side)
    yield SystemCommand("Mirror", "m in the list: port to starboard", m.action_mirror)
    yield SystemCommand("Take the weight out", "x in the list", m.action_delete_weight)
    yield SystemCommand("Sort the weights", "s in the list: as stowed, or gravest first", m.action_sort)
    yield SystemCommand("The boat herself", "b in the list: her planking, her bilge", m.action_boat)
    yield SystemCommand("Add a restraint", "F7", m.action_add_restraint)
    yield SystemCommand("What was found", "Ctrl+F: of the restraint, when she was looked over", m.action_found)
    yield SystemCommand("Scenarios", "Ctrl+T: what she is put through, and your own", m.action_scenarios)
    drawing = "F5: the heel strip, the section, the plan, the rose"
    yield SystemCommand("Drawing", drawing, lambda: m.action_pane("drawing"))
    yield SystemCommand("Afloat", "F10: how she floats, before and after", m.action_afloat)
    yield SystemCommand("Records", "F11: what changed, what to look over, what to cut and buy", m.action_records)
    yield SystemCommand("The list", "F2: every weight with its verdict", lambda: m.action_pane("weights"))
    yield SystemCommand("The form", "F3: the chosen weight and what holds it", lambda: m.action_pane("form"))
    yield SystemCommand("The verdict", "F4: what holds, what goes first", lambda: m.action_pane("verdict"))
    yield SystemCommand("Mend it", "F9: what would bring the weight to green", m.action_mend)
    yield SystemCommand("Why", "w in the list or the verdict: the chain of figures", m.action_why)
    yield SystemCommand("Undo", "Ctrl+Z", m.action_undo)
    yield SystemCommand("Redo", "Ctrl+Y", m.action_redo)
    yield SystemCommand("Cautions", "F12", m.action_cautions)
    yield SystemCommand("Help", "F1: keys, and how to measure", m.action_keys)
