"""One thread that works out what the screen wants: the newest request replaces all older ones.

A thread and not a process: measured on the demo boats the answer comes as soon, letters are echoed sooner, and nothing
has to be started, sent or replaced. The engine's steps are short, so the screen's thread is let in between them.
"""

from __future__ import annotations

import logging
import sys
import threading
from collections.abc import Callable, Sequence

from secure_load.boat.models import BoatFile, Scenario
from secure_load.screen.session.drawing_cache import RetainingContext
from secure_load.screen.session.tasks import Result, Task, results
from secure_load.solver.cancellation import Cancelled, cancel_when

SWITCH_INTERVAL_S = 0.001
"""How long the interpreter lets one thread run while another waits; 5 ms unless set. A key is echoed sooner by it."""

OnResult = Callable[[Task, Result], None]
"""Called in the worker's thread with each result."""


class CheckWorker:
    """Works out tasks in their order, in a thread of its own, until it is closed."""

    def __init__(self, on_result: OnResult) -> None:
        self._on_result = on_result
        self._changed = threading.Condition()
        self._pending: list[Task] = []
        self._current: Task | None = None
        self._cancel_current = threading.Event()
        self._boat: BoatFile | None = None
        self._scenarios: list[Scenario] = []
        self._run: RetainingContext | None = None
        self._closed = False
        self._thread: threading.Thread | None = None

    def request(self, tasks: Sequence[Task], boat: BoatFile, scenarios: list[Scenario]) -> None:
        """Work these out in their order, in place of all that was requested before.

        What is being worked out goes on where it is the first of them, and is cancelled where it is not.
        """
        with self._changed:
            self._pending = list(tasks)
            self._boat, self._scenarios = boat, scenarios
            if self._current is not None and not self._cancel_current.is_set():
                if self._pending and self._pending[0] == self._current:
                    del self._pending[0]
                else:
                    self._cancel_current.set()
            if self._thread is None and self._pending:
                sys.setswitchinterval(SWITCH_INTERVAL_S)
                self._thread = threading.Thread(target=self._work, name="check", daemon=True)
                self._thread.start()
            self._changed.notify()

    def cancel(self) -> None:
        """Nothing that was requested is wanted any more."""
        with self._changed:
            self._pending = []
            self._cancel_current.set()

    def close(self) -> None:
        """End the thread; it does not wait for it."""
        with self._changed:
            self._closed = True
            self.cancel()
            self._changed.notify()

    def _work(self) -> None:
        while (taken := self._take()) is not None:
            task, run, cancel = taken
            try:
                with cancel_when(cancel.is_set):
                    for result in results(task, run):
                        if cancel.is_set():
                            break
                        self._on_result(task, result)
            except Cancelled:
                continue
            except Exception:  # a fault in telling the result must not end the thread: other weights wait for it
                logging.getLogger(__name__).exception("the result for %s could not be shown", task.weight.id)

    def _take(self) -> tuple[Task, RetainingContext, threading.Event] | None:
        """The next task, with what it is worked out in and how it is cancelled; None when closed."""
        with self._changed:
            self._current = None
            self._changed.wait_for(lambda: self._pending or self._closed)
            if self._closed:
                return None
            self._current = self._pending.pop(0)
            self._cancel_current = threading.Event()
            return self._current, self._current_run(), self._cancel_current

    def _current_run(self) -> RetainingContext:
        """The run as before, with its workings, as long as the boat's particulars and the scenarios are the same."""
        assert self._boat is not None
        run = self._run
        if run is None or run.boat.boat != self._boat.boat or run.scenarios != self._scenarios:
            run = self._run = RetainingContext(self._boat, self._scenarios)
        run.boat = self._boat
        return run
