"""One helper, as the screen sees it: started, written to, listened to, ended.

Nothing in here makes a key wait: what is long, or what would wait for a helper that is not awake yet, is written by a
thread. Helpers are kept between one screen and the next, and all end with the program.
"""

from __future__ import annotations

import atexit
import contextlib
import pickle
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from secure_load.screen.reckoning.notes import Ask, Awake, Drop, News, next_note, packed

if TYPE_CHECKING:
    from secure_load.boat.models import BoatFile, BoatParticulars, Scenario, Weight
    from secure_load.screen.reckoning.work import What

SMALL = 16_384
"""Bytes that fit into a pipe that is being read, on every system, so that writing them does not wait."""
_PROGRAM = "import sys; sys.path[:] = sys.argv[1:]; from secure_load.screen.reckoning.child import main; main({})"


class CannotStart(Exception):
    """There is no helper to be had."""


class Gone:
    """What is heard last of a helper that has ended."""


Listener = Callable[["Helper", object], None]
"""Called with every note of a helper, in a thread of its own, and at the end with ``Gone``."""


def _nobody(helper: Helper, note: object) -> None:
    pass


class Helper:
    """A process that works things out, ``alone`` or with a mate of its own. Raises CannotStart."""

    def __init__(self, alone: bool = False) -> None:
        if not sys.executable or getattr(sys, "frozen", False):
            raise CannotStart("there is no interpreter to start it with")
        # where this program's own modules come from, and not whatever lies in the folder it is started in
        path = [str(Path(each).absolute()) for each in sys.path]
        hidden = subprocess.CREATE_NO_WINDOW if sys.platform == "win32" else 0
        try:
            self._process = subprocess.Popen(
                [sys.executable, "-c", _PROGRAM.format(alone), *path],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                creationflags=hidden,
            )
        except (OSError, ValueError, RuntimeError) as problem:
            raise CannotStart(str(problem)) from problem
        self.listener: Listener = _nobody
        self.begun = time.monotonic()
        self.awake = False
        self.gone = False
        self._number = 0
        self._lock = threading.Lock()
        self._outbox: queue.SimpleQueue[bytes] = queue.SimpleQueue()
        self._waiting = 0
        self._particulars: BoatParticulars | None = None
        self._scenarios: list[Scenario] | None = None
        self._weights: list[Weight] = []
        try:
            for work in (self._listen, self._write_on):
                threading.Thread(target=work, daemon=True).start()
        except RuntimeError as problem:
            self._process.kill()
            raise CannotStart(str(problem)) from problem

    @property
    def pid(self) -> int:
        """Of the process."""
        return self._process.pid

    # Writing -------------------------------------------------------------------------------------------------

    def ask(self, what: What, weight: str, boat: BoatFile, scenarios: list[Scenario]) -> int:
        """Ask for something, of the boat only what the helper does not know is sent. The number of the question."""
        self._number += 1
        self._send(packed(Ask(self._number, what, weight, self._news(boat, scenarios))))
        return self._number

    def drop(self, number: int) -> None:
        """Nothing that was asked up to this number is wanted any more."""
        self._send(packed(Drop(number)))

    def _news(self, boat: BoatFile, scenarios: list[Scenario]) -> News | None:
        # parts of a boat are never changed in place
        known = {id(w) for w in self._weights}
        weights = [w for w in boat.weight if id(w) not in known]
        particulars = None if boat.boat is self._particulars else boat.boat
        changed = None if scenarios == self._scenarios else scenarios
        same_order = [w.id for w in boat.weight] == [w.id for w in self._weights]
        self._weights, self._particulars, self._scenarios = list(boat.weight), boat.boat, list(scenarios)
        if not weights and particulars is None and changed is None and same_order:
            return None
        return News(particulars, changed, [w.id for w in boat.weight], weights)

    def _send(self, note: bytes) -> None:
        with self._lock:
            if self.awake and not self._waiting and len(note) <= SMALL:
                self._write(note)
            else:
                self._waiting += 1
                self._outbox.put(note)

    def _write_on(self) -> None:
        while True:
            note = self._outbox.get()
            if self.gone:
                return
            self._write(note)
            with self._lock:
                self._waiting -= 1

    def _write(self, note: bytes) -> None:
        # that it is gone is heard by the thread that listens
        stream = self._process.stdin
        assert stream is not None
        with contextlib.suppress(OSError, ValueError):
            stream.write(note)
            stream.flush()

    # Listening -----------------------------------------------------------------------------------------------

    def _listen(self) -> None:
        stream = self._process.stdout
        assert stream is not None
        with contextlib.suppress(Exception):  # whatever is wrong with it, it is of no more use
            while (note := next_note(stream)) is not None:
                words = pickle.loads(note[1])
                if isinstance(words, Awake):
                    self.awake = True
                self.listener(self, words)
        self.gone = True
        self._process.kill()
        self._process.wait()
        self._outbox.put(b"")
        for each in (stream, self._process.stdin):
            # what was not written any more is of no use; left open it would be complained of later
            with contextlib.suppress(OSError, ValueError):
                if each is not None:
                    each.close()
        _all.discard(self)
        self.listener(self, Gone())

    def end(self) -> None:
        """End it at once, without a last word."""
        self.listener = _nobody
        self.gone = True
        with contextlib.suppress(OSError):
            self._process.kill()


_all: set[Helper] = set()
_idle: list[Helper] = []
_pile = threading.Lock()


def begin() -> None:
    """Have a helper get ready, where none is; nothing is said where it cannot be had."""
    with contextlib.suppress(CannotStart):
        give_back(take())


def take() -> Helper:
    """A helper that nobody else has. Raises CannotStart."""
    with _pile:
        while _idle:
            found = _idle.pop()
            if not found.gone:
                return found
        if not _all:
            atexit.register(end_all)
        made = Helper()
        _all.add(made)
        return made


def give_back(helper: Helper) -> None:
    """It is not needed any more; somebody else may have it."""
    helper.listener = _nobody
    with _pile:
        if not helper.gone:
            _idle.append(helper)


def end_all() -> None:
    """End every helper at once."""
    with _pile:
        for each in list(_all):
            each.end()
        _idle.clear()
