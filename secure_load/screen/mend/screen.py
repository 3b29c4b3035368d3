"""What would mend a weight: found beside the screen, least work first, each with the verdict it is promised.

The search can be stopped at any moment. Nothing is changed until one of the proposals is chosen.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from secure_load.remedies import Remedy
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.themes import coloured
from secure_load.screen.session.session import WeightStatus
from secure_load.screen.verdict.words import STYLE, Line, mark, percent, safe, short
from secure_load.solver.cancellation import Cancelled

Search = Callable[[Callable[[], bool]], list[Remedy]]
"""Finds the remedies; it asks again and again whether it is to stop."""

_LOOK = 0.2
"""Seconds between two looks at how far the search is."""


def proposal(number: int, remedy: Remedy) -> list[Line]:
    """One proposal: what it takes and what it would be once built, then what to do."""
    words: Line = [("", safe(remedy.change, 2000))]
    if remedy.kind == "none":
        return [words]
    first: Line = [("head", f"{number}  "), ("strong", f"{safe(remedy.work, 40):<19}")]
    if remedy.kind == "measure":
        return [[*first, ("quiet", "for you to do")], words]
    worked = f"use {percent(remedy.utilisation)}"
    colour: Line = [("", "once built  "), (STYLE[remedy.verdict], f"{mark(remedy.verdict):<11}"), ("", worked)]
    return [[*first, *colour], words]


class MendScreen(ModalScreen[Remedy | None]):
    """Proposals to choose from; the answer is the one that is to be done."""

    CSS_PATH = "mend.tcss"
    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("escape,f9", "back", "Back"),
        *[Binding(str(n), f"take({n})", show=False) for n in range(1, 10)],
    ]

    class Found(Message):
        """The search has come to its end."""

        def __init__(self, remedies: list[Remedy]) -> None:
            super().__init__()
            self.remedies = remedies

    def __init__(self, title: str, now: WeightStatus, search: Search) -> None:
        super().__init__()
        self.heading = title
        self.now = now
        self.search = search
        self.remedies: list[Remedy] = []
        self.looked = 0
        """Questions the search has asked so far: a measure of how far it is."""
        self.done = False
        self._stop = False
        self._begun = time.monotonic()

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static(Content(f"Fix: {safe(self.heading, 60)}"), classes="question", markup=False)
            yield Static(coloured([("", "now:  "), *short(self.now)]), id="mend-now", markup=False)
            yield OptionList(id="mend-list", markup=False)
            yield Static("", id="mend-far", classes="quiet", markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Begin to look."""
        self.query_one(OptionList).focus()
        self._tell()
        self.set_interval(_LOOK, self._tell)
        self._look()

    def _tell(self) -> None:
        if not self.done:
            seconds = time.monotonic() - self._begun
            words = f"Looking: {self.looked} stowages tried in {seconds:.0f} s. Escape stops it and goes back."
            self.query_one("#mend-far", Static).update(words)

    @work(thread=True, exclusive=True, group="mend", exit_on_error=False)
    def _look(self) -> None:
        worker = get_current_worker()

        def asked() -> bool:
            self.looked += 1
            return self._stop or worker.is_cancelled

        try:
            found = self.search(asked)
        except Cancelled:
            return
        self.post_message(self.Found(found))

    @on(Found)
    def _found(self, event: Found) -> None:
        self.done = True
        self.remedies = event.remedies
        listing = self.query_one(OptionList)
        listing.set_options(Option(coloured(*proposal(n, r), [])) for n, r in enumerate(self.remedies, start=1))
        listing.highlighted = 0 if self.remedies else None
        words = "Nothing to fix: it holds."
        if self.remedies:
            words = "Enter enters it as proposed, not built; Ctrl+Z undoes it. Times are estimates."
        self.query_one("#mend-far", Static).update(words)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.action_take(event.option_index + 1)

    def action_take(self, number: int) -> None:
        """Choose one by its number."""
        if not 1 <= number <= len(self.remedies):
            return
        remedy = self.remedies[number - 1]
        if remedy.weight is None:
            words = "That is for you to do at the boat: nothing is changed here."
            if remedy.kind == "none":
                words = "Nothing here can be done for it from the catalogue."
            self.query_one("#mend-far", Static).update(words)
            return
        self.dismiss(remedy)

    def action_back(self) -> None:
        """Stop looking and go back."""
        self._stop = True
        self.dismiss(None)
