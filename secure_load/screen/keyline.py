"""The line at the foot of the screen: the keys that do something where the cursor now is.

A line of text, and not a widget for each key: those are all made anew at every step of the cursor, which took 30 ms.
"""

from __future__ import annotations

from textual import events
from textual.screen import Screen
from textual.widgets import Static

from secure_load.screen.themes import coloured
from secure_load.screen.words import Line

_SIGNS = {"comma": ",", "full_stop": "."}


def key_words(key: str) -> str:
    """A key as it is printed on the keyboard: "F1", "^S", "Enter"."""
    if key in _SIGNS:
        return _SIGNS[key]
    if key.startswith("ctrl+"):
        return f"^{key[5:].upper()}"
    return key.upper() if len(key) > 1 and key[1:].isdigit() else key.capitalize() if len(key) > 1 else key


_ALL = ("ctrl+p", "All")
"""The way to what there is no room for; the mouse has no other."""


def _width(keys: list[tuple[str, str]]) -> int:
    return sum(len(f" {key_words(key)} {what} ") for key, what in keys)


def _fitting(keys: list[tuple[str, str]], room: int, rest: tuple[str, str] | None) -> list[tuple[str, str]]:
    """As many of the first keys as there is room for, and after them the way to all the rest."""
    if _width(keys) <= room:
        return keys
    after = [] if rest is None else [rest]
    while keys and _width([*keys, *after]) > room:
        keys = keys[:-1]
    return [*keys, *after]


class KeyLine(Static):
    """Keys and what they do, as many as there is room for; each can be clicked."""

    def __init__(self) -> None:
        super().__init__(id="keys", markup=False)
        self._shown: list[tuple[str, str]] = []

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
        found: dict[str, tuple[str, str]] = {}
        for active in self.screen.active_bindings.values():
            if active.binding.show and active.enabled:
                found.setdefault(active.binding.action, (active.binding.key, active.binding.description))
        fitting = _fitting(list(found.values()), self.size.width - 1, None if self.screen.is_modal else _ALL)
        if fitting != self._shown:
            self._shown = fitting
            line: Line = []
            for key, what in fitting:
                line += [("head", f" {key_words(key)}"), ("", f" {what} ")]
            self.update(coloured(line), layout=False)

    def on_click(self, event: events.Click) -> None:
        """A key that is clicked does what it does."""
        at = 0
        for key, what in self._shown:
            at += len(f" {key_words(key)} {what} ")
            if event.x < at:
                self.app.simulate_key(key)
                return
