"""The line at the foot of the screen: the keys that do something where the cursor now is.

A line of text, and not a widget for each key: those are all made anew at every step of the cursor, which took 30 ms.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual import events
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from secure_load.screen.app.keys import LAST
from secure_load.screen.app.themes import coloured

if TYPE_CHECKING:
    from secure_load.screen.verdict.words import Line

Key = tuple[str, str]
"""A key and what it does."""

_SIGNS = {"comma": ",", "full_stop": ".", "slash": "/", "question_mark": "?", "left": "\u2190 \u2192"}


def key_words(key: str) -> str:
    """A key as it is printed on the keyboard: "F1", "^S", "Enter"."""
    key = key.split(",")[0] if key != "," else key
    if key in _SIGNS:
        return _SIGNS[key]
    if key.startswith("ctrl+"):
        return f"^{key[5:].upper()}"
    return key.upper() if len(key) > 1 and key[1:].isdigit() else key.capitalize() if len(key) > 1 else key


ALL: Key = ("ctrl+p", "Commands")
"""The way to what there is no room for; the mouse has no other."""


def _width(keys: list[Key]) -> int:
    return sum(len(f" {key_words(key)} {what} ") for key, what in keys)


def fitting(keys: Iterable[Key], width: int, last: Iterable[Key] = (ALL,)) -> list[Key]:
    """As many of the first keys as there is room for, the last column left free, and after them the last ones."""
    found, after = list(keys), list(last)
    while found and _width([*found, *after]) >= width:
        found.pop()
    return [*found, *after]


def key_line(keys: Iterable[Key]) -> Content:
    """Keys as they are painted."""
    line: Line = []
    for key, what in keys:
        line += [("head", f" {key_words(key)}"), ("", f" {what} ")]
    return coloured(line)


class KeyLine(Static):
    """Keys and what they do, as many as there is room for; each can be clicked."""

    def __init__(self) -> None:
        super().__init__(id="keys", markup=False)
        self._shown: list[Key] = []

    def on_mount(self) -> None:
        """Follow the cursor."""
        self.screen.bindings_updated_signal.subscribe(self, self._changed)

    def _changed(self, screen: Screen[object]) -> None:
        if screen is self.screen:
            self.call_later(self.show)

    def on_resize(self) -> None:
        """More keys, or fewer."""
        self.show()

    def show(self) -> None:
        """Show the keys that are of use now."""
        if not self.is_attached:
            return
        found: dict[str, Key] = {}
        cursor = self.screen.focused
        for key, active in self.screen.active_bindings.items():
            typed = cursor is not None and cursor.check_consume_key(key, "?" if key == "question_mark" else None)
            if active.binding.show and active.enabled and not typed:
                found.setdefault(active.binding.action, (active.binding.key, active.binding.description))
        last = [] if self.screen.is_modal else [*(found.pop(a) for a in LAST if a in found), ALL]
        keys = fitting(found.values(), self.size.width, last)
        if keys != self._shown:
            self._shown = keys
            self.update(key_line(keys), layout=False)

    def on_click(self, event: events.Click) -> None:
        """A key that is clicked does what it does."""
        at = 0
        for key, what in self._shown:
            at += len(f" {key_words(key)} {what} ")
            if event.x < at:
                self.app.simulate_key(key)
                return
