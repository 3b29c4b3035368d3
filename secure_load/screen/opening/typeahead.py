"""Keys pressed while the boat is still being read: none is lost, and none answers a question that nobody saw."""

from __future__ import annotations

from typing import Any

from textual import events
from textual.screen import Screen

from secure_load.screen.textual_workarounds.key_queue import SequentialKeyApp, typed

_OPENING_AND_MAIN = 2
"""Screens on the pile where nothing is asked."""


class EarlyKeys(SequentialKeyApp):
    """An application that keeps what is typed before its main screen is there, and hands it on afterwards."""

    def __init__(self, *args: Any, **words: Any) -> None:
        super().__init__(*args, **words)
        self.keys_held = True

    async def on_event(self, event: events.Event) -> None:
        """Keep what is typed while the boat is being read, all but the key that leaves."""
        if self.keys_held and typed(event):
            if len(self.screen_stack) > _OPENING_AND_MAIN:
                self._forget_early()  # it is the question on screen that is answered, not by what came before it
            elif isinstance(event, events.Key) and event.key == "ctrl+q":
                await self.take(event)
                return
        await super().on_event(event)

    async def _hand_on(self, to: Screen[None]) -> None:
        """Hand on what was typed early; where something was asked meanwhile, it was not meant for that."""
        if self.screen is not to:
            self._forget_early()
        self.keys_held = False
        await self.take_next()

    def _forget_early(self) -> None:
        self.keys_held = False
        self.forget_keys()
