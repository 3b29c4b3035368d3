"""Keys pressed while the boat is still being read: none is lost, and none answers a question that nobody saw."""

from __future__ import annotations

from typing import Any, cast

from textual import events
from textual.screen import Screen

from secure_load.screen.in_turn import KeysInTurn

_PACE = 0.02
"""Seconds between keys that were pressed before the boat was on screen, when they are handed on: a fast typist's."""

_OPENING_AND_MAIN = 2
"""Screens on the pile where nothing is asked."""


class EarlyKeys(KeysInTurn):
    """An application that keeps what is typed before its main screen is there, and hands it on afterwards."""

    def __init__(self, *args: Any, **words: Any) -> None:
        super().__init__(*args, **words)
        self._early: list[events.Key | events.Paste] | None = []
        """What was typed before there was anything to type to; None once it is handed on."""
        self._handing_on = False

    async def on_event(self, event: events.Event) -> None:
        """Keep what is typed while the boat is being read, all but the key that leaves."""
        if self._early is not None and not self._handing_on and len(self.screen_stack) > _OPENING_AND_MAIN:
            self._early = None  # a question is on screen: it is that which is answered, and not by what came before it
        early = isinstance(event, events.Key | events.Paste) and not event.is_forwarded
        if early and self._early is not None and getattr(event, "key", "") != "ctrl+q":
            self._early.append(cast("events.Key | events.Paste", event))
        else:
            await super().on_event(event)

    def _hand_on(self, main: Screen[None]) -> None:
        """Begin to hand on what was typed early; where something was asked meanwhile, it was not meant for that."""
        if self.screen is not main:
            self._early = None
        self._handing_on = True
        self._next_key()

    def _next_key(self) -> None:
        """A key at a time, each when what the one before it did is on screen; what is typed now waits its turn."""
        if self._early:
            self.call_later(self._typed, self._early.pop(0))
        else:
            self._early = None

    async def _typed(self, event: events.Event) -> None:
        await super().on_event(event)
        self.screen.call_after_refresh(self.set_timer, _PACE, self._next_key)
