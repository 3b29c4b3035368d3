"""What is worked out beside the screen after the verdicts: strips that did not come with one, roses while they are in
sight, and last what would fix the chosen weight."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence

from textual import on
from textual.message import Message
from textual.timer import Timer

from secure_load.boat.models import Scenario
from secure_load.check.results import Remedy
from secure_load.loads.scenarios import choose
from secure_load.screen.app.messages import Checked
from secure_load.screen.drawing_pane.pane import DrawingPane
from secure_load.screen.main.base import Base
from secure_load.screen.session.drawing_cache import Drawing, DrawingRequest, Pictures
from secure_load.screen.session.session import CheckRequest
from secure_load.screen.session.tasks import Fixes, FixRequest, Result, Task
from secure_load.screen.session.worker import CheckWorker
from secure_load.screen.textual_workarounds.key_queue import IDLE_DELAY

FIX_AFTER = 1.5
"""Seconds of rest after which what would fix the chosen weight is looked for."""


class Drawings(Base):
    """What the main screen does for the pane of drawings."""

    pictures: Pictures
    worker: CheckWorker
    stopped: bool
    _drawing: Timer | None = None
    _to_show = False
    fixes: dict[str, list[Remedy]]
    """What would fix a weight, by all that hangs on (``Session.cache_keys``)."""
    _fixing: Timer | None = None

    class Fixed(Message):
        """What would fix a weight is known."""

        def __init__(self, fixes: Fixes) -> None:
            super().__init__()
            self.fixes = fixes

    class Drawn(Message):
        """A picture is there."""

        def __init__(self, made: Drawing) -> None:
            super().__init__()
            self.made = made

    def show_drawings(self) -> None:
        """Hand the drawings to the panes that show them."""
        raise NotImplementedError

    def scenarios_now(self) -> list[Scenario]:
        """The scenarios now chosen. Raises LookupError for one that is gone."""
        return choose(self.session.boat, self.session.scenarios)

    def post_result(self, task: Task, result: Result) -> None:
        """Hand what was worked out to the screen's own thread; called in the worker's."""
        if isinstance(result, Drawing):
            self.post_message(self.Drawn(result))
        elif isinstance(result, Fixes):
            self.post_message(self.Fixed(result))
        else:
            assert isinstance(task, CheckRequest)
            self.post_message(Checked(task, result))

    @on(DrawingPane.Turned)
    def _turned(self) -> None:
        self.draw_soon()

    def draw_soon(self) -> None:
        """Something may have to be drawn afresh."""
        if self._drawing is not None:
            self._drawing.stop()
        self._drawing = self.set_timer(IDLE_DELAY, self._draw)

    def _draw(self) -> None:
        if self.session.requests():
            return
        wanted = self._wanted()
        if wanted:
            self._request(wanted)
        if self._fixing is not None:
            self._fixing.stop()
        self._fixing = self.set_timer(FIX_AFTER, self._fix)

    def _wanted(self) -> list[DrawingRequest]:
        pane = self.query_one(DrawingPane)
        return self.pictures.missing(self.session, rose=pane.sight == "rose" and bool(pane.region.area))

    def _fix(self) -> None:
        """Look for what would fix the chosen weight while nothing else is to be done."""
        session, weight = self.session, self.session.weight
        verdict = session.states()[weight.id].verdict if weight is not None else None
        if weight is None or verdict is None or verdict.verdict == "green" or session.requests() or self.stopped:
            return
        key = session.cache_keys()[weight.id]
        if key not in self.fixes:
            self._request([*self._wanted(), FixRequest(weight, key, verdict)])

    def _request(self, tasks: Sequence[Task]) -> None:
        with contextlib.suppress(LookupError):
            self.worker.request(tasks, self.session.boat, self.scenarios_now())

    def fixes_of_chosen(self) -> list[Remedy] | None:
        """What would fix the chosen weight; None until it is known."""
        weight = self.session.weight
        return None if weight is None else self.fixes.get(self.session.cache_keys()[weight.id])

    def stop_drawing(self) -> None:
        """A new question comes first."""
        for timer in (self._drawing, self._fixing):
            if timer is not None:
                timer.stop()

    @on(Fixed)
    def _fixed(self, event: Fixed) -> None:
        self.fixes[event.fixes.key] = event.fixes.remedies
        self.show_all()

    @on(Drawn)
    def _drawn(self, event: Drawn) -> None:
        self.pictures.accept(event.made)
        if not self._to_show:
            self._to_show = True
            self.call_after_refresh(self._show_drawings)  # the verdict's words, which came before it, are painted first

    def _show_drawings(self) -> None:
        self._to_show = False
        if self.is_mounted:
            self.show_drawings()
