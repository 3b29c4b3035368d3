"""What was found of one restraint when she was looked over: the list, to add to and to change."""

from __future__ import annotations

import datetime
from collections.abc import Callable

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from secure_load.boat.findings import finding_words
from secure_load.boat.models import Finding
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.themes import coloured
from secure_load.screen.form.parsing import value_at
from secure_load.screen.form.scenario_fields import FINDING
from secure_load.screen.session.session import Keys, Session
from secure_load.screen.sheet.screen import Sheet
from secure_load.screen.verdict.words import safe

_ABOUT = (
    "What was seen when she was looked over, and what it leaves of the strength. What is put right takes nothing off "
    "any more, but stays on the list."
)


class Findings(ModalScreen[None]):
    """The findings of one restraint, a line each."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("a", "add", "Write one down"),
        Binding("enter", "change", "Change"),
        Binding("x,delete", "take_out", "Take out"),
        Binding("ctrl+z", "undo", "Undo", priority=True),
        Binding("ctrl+y", "redo", "Redo", priority=True),
        Binding("escape", "dismiss(None)", "Done"),
    ]

    def __init__(self, title: str, session: Session, restraint: Keys, changed: Callable[[], None]) -> None:
        """``restraint`` is the way to the restraint through the boat file; ``changed`` is called after each change."""
        super().__init__()
        self.heading = title
        self.session = session
        self.base: Keys = (*restraint, "finding")
        self.changed = changed

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static(f"{self.heading}: what was found", classes="question", markup=False)
            yield Static(_ABOUT, classes="quiet", markup=False)
            yield Static()
            yield OptionList(compact=True, markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Show them."""
        self.show()

    def findings(self) -> list[Finding]:
        """Them all, as the boat has them."""
        return value_at(self.session.boat, self.base) or []

    def show(self) -> None:
        """Show them as they now are."""
        listing = self.query_one(OptionList)
        at, found = listing.highlighted or 0, self.findings()
        words = [safe(finding_words(f), 400) for f in found]
        listing.set_options(Option(coloured([("", line)])) for line in words)
        if not found:
            listing.add_option(Option(coloured([("quiet", "Nothing found yet: a writes something down.")])))
        listing.highlighted = min(at, max(0, len(found) - 1))
        listing.focus()

    def _open(self, number: int, draft: Finding | None) -> None:
        base: Keys = (*self.base, number)
        sheet = Sheet(f"{self.heading}: what was found", FINDING, self.session, base, self.changed, draft)
        self.app.push_screen(sheet, lambda _: self.show())

    def action_add(self) -> None:
        """One more, of today."""
        self.session.close_undo_group()
        self._open(len(self.findings()), Finding.model_construct(date=datetime.date.today(), note=""))

    def action_change(self) -> None:
        """Open the one under the cursor."""
        at = self.query_one(OptionList).highlighted
        if at is not None and at < len(self.findings()):
            self._open(at, None)
        else:
            self.action_add()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.action_change()

    def action_take_out(self) -> None:
        """Take the one under the cursor off the list."""
        at = self.query_one(OptionList).highlighted
        if at is not None and at < len(self.findings()):
            self.session.close_undo_group()
            self.session.apply_changes({(*self.base, at): None}, "taking out what was found")
            self._went()

    def action_undo(self) -> None:
        """Take back the last step."""
        if self.session.undo() is not None:
            self._went()

    def action_redo(self) -> None:
        """Do again what was taken back."""
        if self.session.redo() is not None:
            self._went()

    def _went(self) -> None:
        self.changed()
        self.show()
