"""Strips that did not come with a verdict, and roses, are worked out beside the screen after the verdicts, and only
while they are in sight."""

from __future__ import annotations

from textual import on, work
from textual.message import Message
from textual.timer import Timer
from textual.worker import get_current_worker

from secure_load.screen.main.base import Base
from secure_load.screen.pictures import KeepingRun, Made, Pictures, Wanted, make
from secure_load.screen.roll.pane import RollPane
from secure_load.statics.scenarios import choose
from secure_load.verdict.check import Run

_REST = 0.25
"""Seconds of quiet after the last verdict: while somebody types, the next verdict comes first."""


class Drawings(Base):
    """What the main screen does for the pane of drawings."""

    pictures: Pictures
    _drawing: Timer | None = None

    class Drawn(Message):
        """A picture is there."""

        def __init__(self, made: Made) -> None:
            super().__init__()
            self.made = made

    def run_now(self) -> KeepingRun:
        """The boat and the scenarios now chosen. Raises LookupError for one that is gone."""
        return KeepingRun(self.session.boat, choose(self.session.boat, self.session.scenarios))

    @on(RollPane.Turned)
    def _turned(self) -> None:
        self.draw_soon()

    def draw_soon(self) -> None:
        """Something may have to be drawn afresh."""
        if self._drawing is not None:
            self._drawing.stop()
        self._drawing = self.set_timer(_REST, self._draw)

    def _draw(self) -> None:
        pane = self.query_one(RollPane)
        if self.session.questions() or not pane.region.area:
            return
        wanted = self.pictures.wanted(self.session, rose=pane.sight == "rose")
        if wanted:
            try:
                self._make(wanted, self.run_now())
            except LookupError:
                return

    @work(thread=True, exclusive=True, group="drawings", exit_on_error=False, description="drawings")
    def _make(self, wanted: list[Wanted], run: Run) -> None:
        worker = get_current_worker()
        for each in wanted:
            if worker.is_cancelled:
                return
            self.post_message(self.Drawn(make(each, run)))

    def stop_drawing(self) -> None:
        """A new question comes first."""
        if self._drawing is not None:
            self._drawing.stop()
        self.workers.cancel_group(self, "drawings")

    @on(Drawn)
    def _drawn(self, event: Drawn) -> None:
        self.pictures.take(event.made)
        self.query_one(RollPane).show(self.session, self.pictures)
