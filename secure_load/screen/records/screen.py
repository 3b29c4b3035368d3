"""The record: any two compared, the boat as she is among them; the checklist; the fitting-out sheet; save a new one.

The words are those the commands print; nothing is worked out here but the check that a record rests on, and that
off the thread that draws.
"""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static, TabbedContent, TabPane

from secure_load.afloat.models import FloatReport
from secure_load.boat.models import BoatFile
from secure_load.catalogue.errors import UnknownRow
from secure_load.check.check import check_boat
from secure_load.check.results import BoatVerdict
from secure_load.cli.config import config
from secure_load.model.group_model import CannotCheck
from secure_load.record.afloat import float_report_if_known
from secure_load.record.differences import compare
from secure_load.record.fitting_out import fitting_out
from secure_load.record.inspecting import checklist
from secure_load.record.model import StowageRecord, stowage_record
from secure_load.record.snapshot import snapshot
from secure_load.record.store import CannotRead, CannotWrite, default_folder, read_record, record_numbers, write_record
from secure_load.record.text.checklist_text import checklist_text
from secure_load.record.text.difference_words import differences_text
from secure_load.record.text.fitting_out_text import sheet_text
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.keys import key

PANES = ("since", "inspect", "sheet")


class RecordsScreen(Screen[None]):
    """Records of the boat in ``path``; the boat as she is edited now."""

    CSS_PATH = "records.tcss"
    BINDINGS: ClassVar = [
        key("n", "save", "New record", "Write a record of her as she is now"),
        key("left", "older", "Older or newer record", priority=True),
        key("right", "newer", "Newer record", show=False, priority=True),
        key("comma", "other(-1)", "Compared with an older one"),
        key("full_stop", "other(1)", "with a newer one"),
        key("1", "show('since')", "Changes", show=False),
        key("2", "show('inspect')", "Inspect", show=False),
        key("3", "show('sheet')", "Cut and buy", show=False),
        key("escape", "back", "Back"),
    ]

    def __init__(self, boat: BoatFile, path: Path | None, known: BoatVerdict | None = None) -> None:
        """``known``: the verdict on her as she is, where it was worked out already."""
        super().__init__()
        self.boat, self.path, self.known = boat, path, known
        self.verdict: BoatVerdict | None = None
        self.afloat: FloatReport | None = None
        self.numbers: list[int] = []
        self.at = -1
        """Place in ``numbers`` of the record that is compared."""
        self.other: int | None = None
        """Place in ``numbers`` of what it is compared with; None is the boat as she is now."""

    def compose(self) -> ComposeResult:
        yield Static(Content(f"Records of {self.boat.boat.name}"), id="top")
        with TabbedContent(*("1 Changes", "2 Inspect", "3 Cut and buy"), id="records"):
            for name in PANES:
                with TabPane(name, id=name), VerticalScroll():
                    yield Static(Content("checking ..."), id=f"text-{name}")
        yield KeyLine()

    def on_mount(self) -> None:
        for name, label in zip(PANES, ("1 Changes", "2 Inspect", "3 Cut and buy"), strict=True):
            self.query_one(TabbedContent).get_tab(name).label = Content(label)
        self.tell("inspect", checklist_text(checklist(self.boat, _today())))
        self.tell("sheet", sheet_text(fitting_out(self.boat)))
        self.look()
        self.work_out()

    @property
    def folder(self) -> Path | None:
        """Where her records are kept; none for a boat that was never saved."""
        return None if self.path is None else Path(default_folder(self.path))

    def tell(self, pane: str, words: str) -> None:
        """Put words into a pane, as text and nothing else."""
        self.query_one(f"#text-{pane}", Static).update(Content(words.rstrip()))

    def look(self) -> None:
        """Which records there are."""
        self.numbers = record_numbers(self.folder, self.boat.boat.name) if self.folder is not None else []
        self.at, self.other = len(self.numbers) - 1, None

    @work(thread=True, exclusive=True)
    def work_out(self) -> None:
        """The check that she is compared by, off the thread that draws."""
        try:
            verdict = self.known or check_boat(self.boat)
        except (CannotCheck, LookupError) as problem:
            self.app.call_from_thread(self.tell, "since", f"She cannot be compared as she is: {problem}.")
            return
        try:
            afloat = float_report_if_known(self.boat, verdict)
        except UnknownRow:  # the screen for how she floats says which row it is
            afloat = None
        self.app.call_from_thread(self.worked_out, verdict, afloat)

    def worked_out(self, verdict: BoatVerdict, afloat: FloatReport | None) -> None:
        """The check is done, and how she floats is known or cannot be told."""
        self.verdict, self.afloat = verdict, afloat
        self.say_changes()

    def as_she_is(self) -> StowageRecord:
        """The record she would have now."""
        assert self.verdict is not None
        name = self.path.name if self.path is not None else None
        return stowage_record(snapshot(self.boat, self.verdict, _today(), name))

    def say_changes(self) -> None:
        """What is different from the chosen record."""
        if self.verdict is None:
            return
        if self.path is None or self.folder is None:
            self.tell("since", "She was never saved: save the boat first, then her records are kept beside her file.")
            return
        if not self.numbers:
            self.tell("since", "There is no record of her yet: n writes the first.")
            return
        number = self.numbers[self.at]
        try:
            before = read_record(self.folder, self.boat.boat.name, number)
            if self.other is None:
                after, called = self.as_she_is(), "as she is now"
            else:
                later = self.numbers[self.other]
                after, called = read_record(self.folder, self.boat.boat.name, later), f"record {later}"
        except CannotRead as problem:
            self.tell("since", str(problem))
            return
        self.tell("since", differences_text(compare(before, after, (f"record {number}", called))))

    def action_back(self) -> None:
        self.dismiss(None)

    def action_show(self, pane: str) -> None:
        self.query_one(TabbedContent).active = pane

    def action_older(self) -> None:
        if self.at > 0:
            self.at -= 1
            self.say_changes()

    def action_newer(self) -> None:
        if self.at < len(self.numbers) - 1:
            self.at += 1
            self.say_changes()

    def action_other(self, step: int) -> None:
        """What the record is compared with: one older or newer, beyond the newest her as she is now."""
        count = len(self.numbers)
        if count:
            at = min(max((count if self.other is None else self.other) + step, 0), count)
            self.other = None if at == count else at
            self.say_changes()

    def action_save(self) -> None:
        """Write a new record, numbered, beside the boat file."""
        if self.verdict is None or self.path is None or self.folder is None:
            self.notify("Save the boat first, and wait for her verdict.", markup=False)
            return
        if self.numbers:
            latest = self.numbers[-1]
            try:
                if compare(read_record(self.folder, self.boat.boat.name, latest), self.as_she_is(), ("", "")).none:
                    self.notify(f"Record {latest} says the same: there is nothing new to write.", markup=False)
                    return
            except CannotRead:
                pass  # a record that cannot be read is no reason to write none
        try:
            written = write_record(
                self.boat,
                self.verdict,
                self.folder,
                datetime.datetime.now().astimezone(),
                self.path.name,
                config().by,
                afloat=self.afloat,
            )
        except CannotWrite as problem:
            self.notify(str(problem), severity="error", markup=False)
            return
        self.notify(f"Saved {written.name}, and the same as .html to print.", markup=False)
        self.look()
        self.say_changes()


def _today() -> datetime.date:
    return datetime.datetime.now().astimezone().date()
