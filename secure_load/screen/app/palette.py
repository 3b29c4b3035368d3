"""Everything the main screen does, by name, for the command palette: made from its keys."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING

from textual.app import SystemCommand

from secure_load.screen.app.footer import key_words
from secure_load.screen.app.keys import MAIN_KEYS, TABLE_KEYS

if TYPE_CHECKING:
    from secure_load.screen.main.screen import MainScreen


def main_commands(main: MainScreen) -> Iterable[SystemCommand]:
    """Name, key and action of each."""
    yield SystemCommand("Save as", "To another file", main.action_save_as)
    seen = {"screen.row(1)"}
    for binding in (*TABLE_KEYS, *MAIN_KEYS):
        action = binding.action if binding.action.startswith("screen.") else f"screen.{binding.action}"
        if action not in seen and not action.startswith(("screen.row", "screen.heel", "screen.open", "screen.upright")):
            seen.add(action)
            tip = f"{key_words(binding.key)}: {binding.tooltip}"
            yield SystemCommand(binding.description, tip, partial(main.run_action, action))
    yield SystemCommand("Open another boat", "Ctrl+O", main.action_open)
