"""Keys taken one after another, however fast they come.

Textual hands every key at once to whatever has the cursor, and finds out what a key is bound to only after it has gone
up through all that lies around it: of "backspace, 3" typed fast the 3 came first and was rubbed out again, and of
"12, tab, 34" the 34 went where the 12 was. Here whatever comes after a key that is no letter waits until that has
been dealt with.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeGuard

from textual import events, on
from textual.app import App
from textual.message import Message
from textual.screen import Screen
from textual.widget import Widget

IDLE_DELAY = 0.25
"""Seconds after the last figure typed in which nothing is done that can wait: laying out anew, drawing (10-20 ms)."""
MAX_WAIT = 2.0
"""Seconds after which the next key is taken although what follows the one before never came back."""
LOOK_S = 0.02
"""Between looks for that."""
_MOVE_OR_ERASE = frozenset(
    {"left", "right", "up", "down", "home", "end", "pageup", "pagedown", "backspace", "delete"},
)
"""Keys that open nothing and ask nothing: what comes after them need not wait for the picture."""


@dataclass(frozen=True, eq=False)
class _PendingKey:
    """What is being dealt with before the next key: a key that is no letter, or the letters before it."""

    cursor: Widget | Screen[Any]
    """What it was given to."""
    since: float

    @property
    def lost(self) -> bool:
        """What had the cursor is gone, or takes too long."""
        return not self.cursor.is_running or time.monotonic() - self.since > MAX_WAIT


class KeySettled(Message):
    """Goes after a key, up through all that lies around what had the cursor: it comes when that has been dealt with."""

    def __init__(self, hand: _PendingKey, then: Callable[[], object] | None = None) -> None:
        super().__init__()
        self.hand = hand
        self.then = then
        """What is still to be waited for; None: nothing."""


def typed(event: events.Event) -> TypeGuard[events.Key | events.Paste]:
    """True of what comes from the keyboard, and was not handed on by the application already."""
    return isinstance(event, events.Key | events.Paste) and not event.is_forwarded


class SequentialKeyApp(App[None]):
    """An application that takes its keys in turn."""

    def __init__(self, *args: Any, **words: Any) -> None:
        super().__init__(*args, **words)
        self.keys_held = False
        """True while keys are only kept, and none is taken."""
        self._waiting: deque[events.Key | events.Paste] = deque()
        self._in_hand: _PendingKey | None = None
        self._lettered: Widget | Screen[Any] | None = None
        """What letters were given to since it was last waited for that they are taken in."""
        self._watched = False

    @property
    def keys_wait(self) -> bool:
        """True while a key has not been taken, or the last one not been dealt with."""
        return bool(self._waiting) or self._busy

    @property
    def _busy(self) -> bool:
        return self._in_hand is not None and not self._in_hand.lost

    async def on_event(self, event: events.Event) -> None:
        """A key from the keyboard waits its turn; all else goes on as ever."""
        if not typed(event):
            await super().on_event(event)
            return
        self._waiting.append(event)
        if self._busy:
            self._watch()
        else:
            await self.take_next()

    async def take(self, event: events.Event) -> None:
        """Take a key at once, whatever waits."""
        await super().on_event(event)

    def forget_keys(self) -> None:
        """Take none of the keys that wait."""
        self._waiting.clear()

    async def take_next(self) -> None:
        """Take the keys that wait, up to the first that others have to wait for."""
        self._in_hand = None
        while self._waiting and self._in_hand is None and self.screen_stack and not self.keys_held:
            key, cursor = self._waiting[0], self.focused or self.screen
            if isinstance(key, events.Paste) or cursor.check_consume_key(key.key, key.character):
                self._lettered = cursor
                await self.take(self._waiting.popleft())
            elif self._lettered is not None:
                hand, self._lettered = self._wait_for(self._lettered), None
                # what comes of a letter goes the same way a step behind it
                self._follow(hand, lambda hand=hand: self._follow(hand))
            else:
                hand = self._wait_for(cursor)
                await self.take(self._waiting.popleft())
                # the cursor may move, or a question come, only with the next picture
                moves = key.key in _MOVE_OR_ERASE
                self._follow(hand, None if moves else lambda hand=hand: self._after_paint(hand))
        if self._waiting and not self.keys_held:
            self._watch()

    def _wait_for(self, cursor: Widget | Screen[Any]) -> _PendingKey:
        self._in_hand = _PendingKey(cursor, time.monotonic())
        return self._in_hand

    def _follow(self, hand: _PendingKey, then: Callable[[], object] | None = None) -> None:
        if not hand.cursor.post_message(KeySettled(hand, then)):
            self._in_hand = None

    def _after_paint(self, hand: _PendingKey) -> None:
        """Wait for the picture, and until what has the cursor then has come to know that it has."""
        if self.screen_stack:
            self.screen.call_after_refresh(self.call_later, self._seen, hand)

    def _seen(self, hand: _PendingKey) -> None:
        if self.screen_stack:
            (self.focused or self.screen).post_message(KeySettled(hand))

    @on(KeySettled)
    async def _dealt_with(self, event: KeySettled) -> None:
        event.stop()
        if event.hand is not self._in_hand:
            return
        if event.then is not None:
            event.then()
        else:
            await self.take_next()

    def _watch(self) -> None:
        if not self._watched:
            self._watched = True
            self.set_timer(LOOK_S, self._look_after)

    async def _look_after(self) -> None:
        self._watched = False
        if not self._busy:
            await self.take_next()
        elif self._waiting:
            self._watch()
