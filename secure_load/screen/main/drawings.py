"""Strips that did not come with a verdict, and roses, are worked out beside the screen after the verdicts, and only
while they are in sight."""

from __future__ import annotations

import contextlib

from textual import on
from textual.message import Message
from textual.timer import Timer

from secure_load.boat.models import Scenario
from secure_load.loads.scenarios import choose
from secure_load.screen.app.messages import Checked
from secure_load.screen.drawing_pane.pane import RollPane
from secure_load.screen.main.base import Base
from secure_load.screen.session.drawing_cache import Drawing, Pictures
from secure_load.screen.session.session import CheckRequest
from secure_load.screen.session.tasks import Result, Task
from secure_load.screen.session.worker import CheckWorker
from secure_load.screen.textual_workarounds.key_queue import IDLE_DELAY


class Drawings(Base):
    """What the main screen does for the pane of drawings."""

    pictures: Pictures
    worker: CheckWorker
    _drawing: Timer | None = None
    _to_show = False

    class Drawn(Message):
        """A picture is there."""

        def __init__(self, made: Drawing) -> None:
            super().__init__()
            self.made = made

    def scenarios_now(self) -> list[Scenario]:
        """The scenarios now chosen. Raises LookupError for one that is gone."""
        return choose(self.session.boat, self.session.scenarios)

    def post_result(self, task: Task, result: Result) -> None:
        """Hand what was worked out to the screen's own thread; called in the worker's."""
        if isinstance(result, Drawing):
            self.post_message(self.Drawn(result))
        else:
            assert isinstance(task, CheckRequest)
            self.post_message(Checked(task, result))

    @on(RollPane.Turned)
    def _turned(self) -> None:
        self.draw_soon()

    def draw_soon(self) -> None:
        """Something may have to be drawn afresh."""
        if self._drawing is not None:
            self._drawing.stop()
        self._drawing = self.set_timer(IDLE_DELAY, self._draw)

    def _draw(self) -> None:
        pane = self.query_one(RollPane)
        if self.session.requests() or not pane.region.area:
            return
        wanted = self.pictures.missing(self.session, rose=pane.sight == "rose")
        if wanted:
            with contextlib.suppress(LookupError):
                self.worker.request(wanted, self.session.boat, self.scenarios_now())

    def stop_drawing(self) -> None:
        """A new question comes first."""
        if self._drawing is not None:
            self._drawing.stop()

    @on(Drawn)
    def _drawn(self, event: Drawn) -> None:
        self.pictures.accept(event.made)
        if not self._to_show:
            self._to_show = True
            self.call_after_refresh(self._show_drawings)  # the verdict's words, which came before it, are painted first

    def _show_drawings(self) -> None:
        self._to_show = False
        if self.is_mounted:
            self.query_one(RollPane).show(self.session, self.pictures)
