"""The verdict on the chosen weight: what it is, why, what goes first, the chain of figures, what was assumed."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.timer import Timer
from textual.widgets import Static

from secure_load.screen.app.themes import coloured, entitle
from secure_load.screen.session.session import Session
from secure_load.screen.textual_workarounds.key_queue import IDLE_DELAY
from secure_load.screen.verdict.words import Line, safe, verdict_lines

CAUTION = "Indicative only, no survey: F12 shows the cautions."


class VerdictPane(Vertical):
    """Text that scrolls, with the caution always below it."""

    def __init__(self) -> None:
        super().__init__(id="verdict")
        self._of: str | None = None
        self._shown: list[Line] = []
        self._fitting: Timer | None = None

    def compose(self) -> ComposeResult:
        with VerdictText(id="verdict-scroll"):
            yield Static(id="verdict-text", markup=False)
        yield Static(CAUTION, id="verdict-caution", markup=False)

    def show(self, session: Session, names: dict[str, str]) -> None:
        """Show the chosen weight's verdict."""
        weight = session.weight
        text = self.query_one("#verdict-text", Static)
        if weight is None:
            entitle(self, "Verdict")
            self._shown = []
            text.update("Nothing is stowed in her yet.")
            return
        lines: list[Line] = verdict_lines(session.states()[weight.id], names)
        if lines != self._shown:
            text.update(coloured(*lines), layout=False)
            self._fit(text)
            self._shown = lines
        entitle(self, f"Verdict: {safe(weight.title, 40)}")
        if self._of != weight.id:
            self.query_one(VerdictText).scroll_home(animate=False)
        self._of = weight.id

    def _fit(self, text: Static) -> None:
        """See that the words have the height they need.

        Every pane is laid out with it (10 ms), which waits until nothing is typed where all that is in sight can be
        shown as it is.
        """
        size, window = text.content_size, self.query_one(VerdictText)
        text.clear_cached_dimensions()
        height = text.get_content_height(size, size, size.width)
        if self._fitting is not None:
            self._fitting.stop()
            self._fitting = None
        room = window.size.height
        if size.height < min(height, room) or window.scroll_offset.y > max(height - room, 0):
            text.refresh(layout=True)  # some would not be in sight
        elif size.height != max(height, room):
            self._fitting = self.set_timer(IDLE_DELAY, lambda: text.refresh(layout=True))


class VerdictText(VerticalScroll, can_focus=True):
    """The scrolling part."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("w", "screen.why", "Why"),
        Binding("m,r", "screen.mend", "Mend", show=False),
        Binding("f", "screen.pane('form')", "Form", show=False),
        Binding("escape", "screen.pane('weights')", "Weights", show=False),
    ]
