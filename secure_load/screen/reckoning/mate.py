"""The helper's own mate: how many g a weight holds is worked out by it, while the helper works out all else.

It is a second process, begun when the first has had nothing to do for a while, so that neither the first picture nor
the first verdicts wait for it. Where there is none, where it falls behind or where it falls over, the helper does it
all itself.
"""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass, field

from secure_load.boat.models import Weight
from secure_load.screen.pictures import KeepingRun
from secure_load.screen.reckoning.helper import CannotStart, Gone, Helper
from secure_load.screen.reckoning.notes import Done, Found
from secure_load.verdict.models import HoldsG
from secure_load.verdict.pool import processors

LOOK_S = 0.005
"""Between looks whether what is waited for is wanted at all: the waiting itself cannot be turned aside."""
BEHIND_S = 2.0
"""Seconds after which a mate is trusted no more that has not done with what it was asked."""


@dataclass
class Asked:
    """A question to the mate."""

    since: float = field(default_factory=time.monotonic)
    answered: threading.Event = field(default_factory=threading.Event)
    """Set when no answer, or no better one, is to come."""
    answer: HoldsG | None = None

    def wait(self) -> HoldsG | None:
        """The answer; None where there is none to be had."""
        while not self.answered.wait(LOOK_S):
            pass
        return self.answer


class Mate:
    """Whoever works beside the helper, if anybody does."""

    def __init__(self) -> None:
        self.helper: Helper | None = None
        self.wanted = processors() > 1
        """False where none can be had, or the last one was no good."""
        self._lock = threading.Lock()
        self._asked: dict[int, Asked] = {}
        """Questions by number that it has not done with."""

    @property
    def missing(self) -> bool:
        """True where one is to be begun."""
        return self.wanted and self.helper is None

    def begin(self) -> None:
        """Have one get ready, once."""
        if self.missing:
            try:
                self.helper = Helper(alone=True)
            except CannotStart:
                self.wanted = False
            else:
                self.helper.listener = self._heard

    def ask(self, weight: Weight, run: KeepingRun) -> Asked | None:
        """Have it work out how many g a weight holds; None where it cannot."""
        with self._lock:
            helper = self.helper
            if helper is None or not helper.awake:
                return None
            if any(time.monotonic() - each.since > BEHIND_S for each in self._asked.values()):
                self._end(helper)
                return None
            asked = Asked()
            # it is heard with the lock held, so that no answer comes before its question is known
            self._asked[helper.ask("holds", weight.id, run.boat, run.scenarios)] = asked
        return asked

    def drop(self) -> None:
        """Nothing that was asked is wanted any more."""
        with self._lock:
            if self.helper is not None and self._asked:
                self.helper.drop(max(self._asked))

    def _heard(self, helper: Helper, note: object) -> None:
        """Of the mate, in a thread of its own."""
        with self._lock:
            if isinstance(note, Found) and note.number in self._asked:
                self._asked[note.number].answer = note.result
                self._asked[note.number].answered.set()
            elif isinstance(note, Done) and note.number in self._asked:
                self._asked.pop(note.number).answered.set()
            elif isinstance(note, Gone):
                self._end(helper)

    def _end(self, helper: Helper) -> None:
        helper.end()
        self.wanted, self.helper = False, None
        for each in self._asked.values():
            each.answered.set()
        self._asked = {}


@dataclass
class SharedRun(KeepingRun):
    """A run whose weights' hold is worked out by a mate."""

    mate: Mate | None = None
    _begun: tuple[Weight, Asked] | None = None

    def share(self, weight: Weight) -> None:
        """Have the mate begin on a weight, if it touches no other."""
        self._begun = None
        if self.mate is not None and len(self.group_of(weight)) == 1:
            asked = self.mate.ask(weight, self)
            self._begun = None if asked is None else (weight, asked)

    def held_elsewhere(self, weight: Weight) -> HoldsG | None:
        """What the mate finds, where it was begun."""
        return self._begun[1].wait() if self._begun is not None and self._begun[0] is weight else None
