"""The helper itself: ``main`` runs in a process of its own, and ends with the pipe it reads from.

One thread reads and the first one works, so that a question that is not wanted any more is given up in the midst of
the working: the reader turns the first thread aside (``Dropped``), which the engine's many short steps let through
within a few milliseconds. Nothing is printed, and an interrupt from the keyboard is the screen's to answer.
"""

from __future__ import annotations

import _thread
import gc
import os
import pickle
import queue
import signal
import sys
import threading
import time
from types import FrameType
from typing import IO, TYPE_CHECKING

from secure_load.screen.reckoning.notes import DROP, Ask, Awake, Done, Found, News, next_note, packed

if TYPE_CHECKING:
    from secure_load.boat.models import Weight
    from secure_load.screen.reckoning.mate import Mate, SharedRun

SWITCH_S = 0.001
"""How soon the reading thread is let in while the first one works."""
REST_S = 0.5
"""Seconds without a question after which there is time to begin a mate."""


class Dropped(BaseException):
    """The question in hand is not wanted any more. No Exception: nothing may take it for a fault of the weight."""


class Turning:
    """Turns the first thread aside from a question that is not wanted any more."""

    def __init__(self) -> None:
        self.working: int | None = None
        """The question in hand."""
        self.dropped = 0
        """No question up to this number is wanted."""

    def drop(self, number: int) -> None:
        """Called by the reading thread."""
        self.dropped = max(self.dropped, number)
        _thread.interrupt_main()

    def answer(self, signum: int, frame: FrameType | None) -> None:
        """Called in the first thread, also for an interrupt from the keyboard, which is nothing to it."""
        if self.working is not None and self.working <= self.dropped:
            self.working = None  # once is enough
            raise Dropped


class Reckoner:
    """What the helper knows of the boat, and its answers."""

    def __init__(self, mate: Mate | None = None) -> None:
        self._weights: dict[str, Weight] = {}
        self._run: SharedRun | None = None
        self._mate = mate

    def learn(self, news: News) -> None:
        """Take in what has changed; the same run goes on as long as she and the scenarios are the same."""
        from secure_load.boat.models import BoatFile
        from secure_load.screen.reckoning.mate import SharedRun

        self._weights.update({w.id: w for w in news.weights})
        self._weights = {each: self._weights[each] for each in news.order}
        run = self._run
        particulars = news.particulars or (run.boat.boat if run else None)
        scenarios = news.scenarios if news.scenarios is not None else (run.scenarios if run else None)
        if particulars is None or scenarios is None:
            raise ValueError("the first note must hold the whole boat")
        # each part of her was checked on the other side
        boat = BoatFile.model_construct(boat=particulars, weight=list(self._weights.values()), scenario=[])
        if run is None or news.particulars is not None or news.scenarios is not None:
            self._run = SharedRun(boat, scenarios, mate=self._mate)
        else:
            run.boat = boat

    def work(self, ask: Ask, sink: IO[bytes], turning: Turning) -> None:
        """Answer one question, or give it up."""
        assert self._run is not None
        if ask.what == "verdict" and ask.number > turning.dropped:
            self._run.share(self._weights[ask.weight])  # before it may be turned aside: a note is written whole
        try:
            turning.working = ask.number
            if ask.number > turning.dropped:
                self._work(ask, sink, turning)
            turning.working = None
        except Dropped:
            if self._mate is not None:
                self._mate.drop()
        turning.working = None
        _put(sink, Done(ask.number))

    def _work(self, ask: Ask, sink: IO[bytes], turning: Turning) -> None:
        from secure_load.screen.reckoning.work import answers

        assert self._run is not None
        begun = time.perf_counter()
        for what, result in answers(ask.what, self._weights[ask.weight], self._run):
            note = packed(Found(ask.number, what, result, time.perf_counter() - begun))
            turning.working = None  # a note is written whole, or not at all
            sink.write(note)
            sink.flush()
            turning.working = ask.number
            if ask.number <= turning.dropped:
                return
            begun = time.perf_counter()


def _put(sink: IO[bytes], note: object) -> None:
    sink.write(packed(note))
    sink.flush()


def _read(source: IO[bytes], inbox: queue.SimpleQueue[bytes], turning: Turning) -> None:
    """Read until the screen is gone, and then end at once, whatever is in hand."""
    while True:
        note = next_note(source)
        if note is None:
            os._exit(0)
        kind, body = note
        if kind == DROP:
            turning.drop(pickle.loads(body).number)
        else:
            inbox.put(body)


def _own_pipes() -> tuple[IO[bytes], IO[bytes]]:
    """The pipes from and to the screen, out of reach of whatever prints or asks."""
    source, sink = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_RDWR)
    os.dup2(nowhere, 0)
    os.dup2(nowhere, 1)
    os.close(nowhere)
    return source, sink


def _next_ask(inbox: queue.SimpleQueue[bytes], mate: Mate | None) -> Ask:
    """The next question; where there is none for a while, a mate is begun meanwhile."""
    if mate is not None and mate.missing:
        try:
            return pickle.loads(inbox.get(timeout=REST_S))
        except queue.Empty:
            mate.begin()
    return pickle.loads(inbox.get())


def main(alone: bool = False) -> None:
    """Serve until the pipe ends."""
    turning = Turning()
    signal.signal(signal.SIGINT, turning.answer)
    sys.setswitchinterval(SWITCH_S)
    source, sink = _own_pipes()
    inbox: queue.SimpleQueue[bytes] = queue.SimpleQueue()
    threading.Thread(target=_read, args=(source, inbox, turning), daemon=True).start()
    # the engine is loaded before it is asked for
    from secure_load.screen.reckoning.mate import Mate

    gc.collect()
    gc.freeze()  # what is loaded stays: it need not be looked through while somebody waits
    mate = None if alone else Mate()
    reckoner = Reckoner(mate)
    try:
        _put(sink, Awake())
        while True:
            ask = _next_ask(inbox, mate)
            if ask.news is not None:
                reckoner.learn(ask.news)
            reckoner.work(ask, sink, turning)
    except OSError:
        os._exit(0)  # nobody listens any more
