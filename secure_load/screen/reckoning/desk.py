"""What is wanted, who works it out, and who is told: the newest question comes first, and nothing asked is lost.

One helper has one task in hand. A newer question takes the place of all that is not begun; what is in hand and not the
first of the new ones is given up at once. Where there is no helper to be had, or two have ended in the midst of
their work, a thread of this process does the same, as far as the interpreter lets two threads work.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Sequence

from secure_load.boat.models import BoatFile, Scenario
from secure_load.screen.pictures import KeepingRun
from secure_load.screen.reckoning import helper as helpers
from secure_load.screen.reckoning.helper import CannotStart, Gone, Helper
from secure_load.screen.reckoning.notes import Done, Found
from secure_load.screen.reckoning.work import Result, Task, results, same, what_of

PATIENCE = 0.5
"""Seconds in which a helper must give up what is not wanted any more; one that does not is ended, and another begun."""
LONG_ASLEEP = 10.0
"""Seconds in which a helper must be awake."""
MOST_FALLS = 2
"""Helpers that may end in the midst of their work, one after another, before there is no more trust in them."""

Tell = Callable[[Task, Result], None]
"""Called with what was worked out, in a thread of its own."""


class Desk:
    """Has things worked out for one screen."""

    def __init__(self, tell: Tell) -> None:
        self._tell = tell
        self._lock = threading.RLock()
        self._boat: BoatFile | None = None
        self._scenarios: list[Scenario] = []
        self._waiting: list[Task] = []
        self._helper: Helper | None = None
        self._asked: dict[int, Task] = {}
        """Questions by number that the helper has not done with."""
        self._hand: int | None = None
        """The one of them that is wanted."""
        self._given_up: dict[int, float] = {}
        """Those that are not, and since when."""
        self._watch: threading.Timer | None = None
        self._falls = 0
        self._round = 0
        self.by_thread = False
        """True where there is no helper."""

    @property
    def helper(self) -> Helper | None:
        """Who works, if it is not a thread."""
        return self._helper

    # Asking --------------------------------------------------------------------------------------------------

    def ask(self, tasks: Sequence[Task], boat: BoatFile, scenarios: list[Scenario]) -> None:
        """Have these worked out, in their order, in place of all that was asked before."""
        with self._lock:
            self._waiting = list(tasks)
            self._boat, self._scenarios = boat, scenarios
            if self.by_thread:
                self._go_by_thread()
                return
            if self._hand is not None:
                if self._waiting and same(self._asked[self._hand], self._waiting[0]):
                    del self._waiting[0]
                    return
                self._give_up()
            self._next()

    def stop(self) -> None:
        """Nothing is wanted any more."""
        with self._lock:
            self._waiting = []
            self._round += 1
            self._give_up()

    def close(self) -> None:
        """The screen is left."""
        with self._lock:
            helper, self._helper = self._helper, None
            self._waiting, self._hand = [], None
            self._round += 1
            if self._watch is not None:
                self._watch.cancel()
            if helper is not None and self._asked:
                helper.end()
            elif helper is not None:
                helpers.give_back(helper)

    def _next(self) -> None:
        if not self._waiting or self._boat is None:
            return
        if self._helper is None and not self._begin():
            self._go_by_thread()
            return
        assert self._helper is not None
        task = self._waiting.pop(0)
        self._hand = self._helper.ask(what_of(task), task.weight.id, self._boat, self._scenarios)
        self._asked[self._hand] = task

    def _give_up(self) -> None:
        if self._hand is not None and self._helper is not None:
            self._helper.drop(self._hand)
            self._given_up[self._hand] = time.monotonic()
            self._look_soon()
        self._hand = None

    # Helpers -------------------------------------------------------------------------------------------------

    def _begin(self) -> bool:
        try:
            self._helper = helpers.take()
        except CannotStart:
            self.by_thread = True
            return False
        self._helper.listener = self._heard
        self._look_soon()
        return True

    def _look_soon(self) -> None:
        """See in a while that the helper wakes up, and gives up what it is to give up."""
        if self._watch is None and self._helper is not None and not (self._helper.awake and not self._given_up):
            self._watch = threading.Timer(PATIENCE, self._look)
            self._watch.daemon = True
            self._watch.start()

    def _look(self) -> None:
        with self._lock:
            self._watch, helper, now = None, self._helper, time.monotonic()
            if helper is None:
                return
            stuck = helper.awake and any(now - since >= PATIENCE for since in self._given_up.values())
            asleep = not helper.awake and now - helper.begun > LONG_ASLEEP
            if stuck or asleep:
                helper.end()
                self.by_thread = asleep
                self._anew()
            self._look_soon()

    def _anew(self) -> None:
        """Go on without the helper there was, with nothing lost."""
        if self._hand is not None:
            self._waiting.insert(0, self._asked[self._hand])
        self._helper, self._hand, self._asked, self._given_up = None, None, {}, {}
        if self.by_thread:
            self._go_by_thread()
        else:
            self._next()

    def _heard(self, helper: Helper, note: object) -> None:
        """Of the helper, in its own thread."""
        with self._lock:
            if helper is not self._helper:
                return
            if isinstance(note, Found):
                task = self._asked.get(note.number)
                if task is not None:
                    self._tell(task, (note.what, note.result))
            elif isinstance(note, Done):
                self._asked.pop(note.number, None)
                self._given_up.pop(note.number, None)
                self._falls = 0
                if note.number == self._hand:
                    self._hand = None
                    self._next()
            elif isinstance(note, Gone):
                self._falls += 1
                self.by_thread = self._falls >= MOST_FALLS
                self._anew()

    # A thread ------------------------------------------------------------------------------------------------

    def _go_by_thread(self) -> None:
        self._round += 1
        if self._waiting and self._boat is not None:
            run = KeepingRun(self._boat, self._scenarios)
            threading.Thread(target=self._thread, args=(self._round, self._waiting, run), daemon=True).start()

    def _thread(self, number: int, tasks: list[Task], run: KeepingRun) -> None:
        for task in tasks:
            if number != self._round:
                return
            for result in results(task, run):
                self._tell(task, result)
