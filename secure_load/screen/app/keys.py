"""The keys of the main screen and of its table.

In a place of their own because the frame that is painted before the boat is read names them at its foot already,
and nothing that takes time to load may be needed for that.
"""

from __future__ import annotations

from textual.binding import Binding


def key(keys: str, action: str, name: str, tip: str = "", *, show: bool = True, priority: bool = False) -> Binding:
    """A binding whose id is made from its action; the tip is shown by the mouse and in the palette."""
    ident = action.removeprefix("screen.").replace("'", "").replace("(", ".").rstrip(")")
    sign = {"left": "\u2190 \u2192", "question_mark": "?"}.get(keys.split(",")[0])
    return Binding(keys, action, name, show=show, priority=priority, id=ident, tooltip=tip or name, key_display=sign)


MAIN_KEYS = [
    key("ctrl+g", "stop", "Stop the check", "Stop the check that is running, or go on with it", priority=True),
    key("f10,ctrl+l", "afloat", "Afloat", "How she floats, without and with the weights; her ballast"),
    key("f11,ctrl+r", "records", "Records", "What changed, what to inspect, what to cut and buy"),
    key("ctrl+t", "scenarios", "Scenarios", "What she is put through, and your own", priority=True),
    key("f2", "pane('table')", "List", "Every weight with its verdict"),
    key("f3", "pane('form')", "Form", "The chosen weight and what holds it"),
    key("f4", "verdict", "Verdict", "The verdict in full"),
    key("f5", "pane('drawing')", "Drawing", "Section, plan and load it holds"),
    key("f7", "add_restraint", "Add restraint", show=False),
    key("f9", "fix", "Fix", "What would bring the weight to green", show=False),
    key("ctrl+z", "undo", "Undo", "Undo the last step, or drop what is refused", priority=True),
    key("f12", "cautions", "Cautions", "What the program does not know"),
    key("ctrl+y", "redo", "Redo", "Redo what was undone", priority=True, show=False),
    key("ctrl+o", "open", "Open", "Another boat", priority=True, show=False),
    key("ctrl+n", "new", "New boat", "Begin with nothing in her", priority=True, show=False),
    key("ctrl+s", "save", "Save", "Save to her file", priority=True),
    key("question_mark,f1", "keys", "Help", "Every key; in a field, what it means and how to measure it"),
]
LAST = ("stop", "save", "keys")
"""Actions whose keys stay in sight, at the end of the line."""

TABLE_KEYS = [
    key("enter", "open", "Edit", "The chosen weight in the form"),
    key("a", "screen.add_weight", "Add weight"),
    key("f,r", "screen.fix", "Fix", "What would bring the weight to green"),
    key("w", "screen.why", "Why", "The chain of figures behind the verdict"),
    key("v", "screen.verdict", "Verdict", "The verdict in full"),
    key("d", "screen.pane('drawing')", "Drawing", "The section at this heel"),
    key("h", "screen.add_restraint", "Add what holds it", "A restraint for the chosen weight"),
    key("left", "heel(-1)", "Heel", "The heel cursor; 0 is upright, space plays the roll"),
    key("u", "screen.undo", "Undo"),
    key("c", "screen.duplicate", "Duplicate", "A copy of the weight, further forward"),
    key("x,delete", "screen.delete_weight", "Remove", "Remove the weight; Ctrl+Z brings it back"),
    key("n", "screen.next_failing", "Next failing", "The next weight that is not green"),
    key("slash", "screen.find", "Find", "Find a weight by its name"),
    key("s", "screen.sort", "Sort", "In file order, or worst first; click a heading for more"),
    key("o", "screen.other_side", "Other side too", "A mirrored copy of the weight", show=False),
    key("m", "screen.mirror", "Mirror", "Port to starboard in the weight itself", show=False),
    key("b", "screen.boat", "Boat particulars", "Her planking, her bilge, her sole", show=False),
    key("p", "screen.sight('plan')", "Plan", "The plan in place of the section", show=False),
    key("k", "screen.sight('rose')", "Load it holds", "The load it holds, in g, by direction", show=False),
    key("z", "screen.zoom", "Zoom", "The whole boat or the weight alone", show=False),
    key("right", "heel(1)", "Heel", show=False),
    key("ctrl+left", "heel(-5)", "Heel by 30 to port", show=False),
    key("ctrl+right", "heel(5)", "Heel by 30 to starboard", show=False),
    key("0", "upright", "Upright", show=False),
    key("space", "film", "Play the roll", show=False),
    key("down", "row(1)", "Next weight", show=False),
    key("up", "row(-1)", "Weight before", show=False),
    key("pagedown", "row(10)", "Ten on", show=False),
    key("pageup", "row(-10)", "Ten back", show=False),
    key("home", "row(-100000)", "First weight", show=False),
    key("end", "row(100000)", "Last weight", show=False),
]
