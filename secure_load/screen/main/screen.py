"""The main screen: the table of weights, the chosen one's verdict, its form and its drawing."""

from __future__ import annotations

import sys
from pathlib import Path

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Container, Vertical
from textual.timer import Timer
from textual.widgets import Static

from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.help import cautions_text, field_text, keys_text
from secure_load.screen.app.keys import MAIN_KEYS
from secure_load.screen.app.messages import Checked, Edited, NotTaken, OpenForm, WeightChosen
from secure_load.screen.app.themes import coloured
from secure_load.screen.dialogs.ask import Read
from secure_load.screen.drawing.glyphs import usual_glyphs
from secure_load.screen.drawing_pane.pane import DrawingPane, Sight
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.row import FieldRow
from secure_load.screen.main.autosave_actions import AutosaveActions
from secure_load.screen.main.catalogue_picker import CataloguePicker
from secure_load.screen.main.drawings import Drawings
from secure_load.screen.main.files import FileWork
from secure_load.screen.main.scenario_actions import ScenarioActions
from secure_load.screen.main.verdict_actions import VerdictActions
from secure_load.screen.main.weight_actions import WeightActions
from secure_load.screen.session.autosave import AutosavedWork, Autosaver
from secure_load.screen.session.drawing_cache import Pictures
from secure_load.screen.session.session import Session
from secure_load.screen.session.worker import CheckWorker
from secure_load.screen.table.lines import WIDE
from secure_load.screen.table.table import WeightTable
from secure_load.screen.verdict.summary import heel_lines, summary_lines, top_line
from secure_load.screen.verdict.words import Line

ANSWER_SOON = 0.2
"""Seconds in which most answers come: only after them the verdict and the drawing say that they are being worked out.
To say so before would be to paint both twice for every key, and often just when the answer is there."""


class MainScreen(FileWork, WeightActions, ScenarioActions, CataloguePicker, VerdictActions, AutosaveActions, Drawings):
    """Holds the session, hands it down to the panes, and sees to the checking."""

    CSS_PATH = [  # noqa: RUF012 (Textual's own way)
        "../app/frame.tcss",
        "../app/nocolour.tcss",
        "../form/form.tcss",
        "../drawing_pane/drawing_pane.tcss",
        "../dialogs/dialogs.tcss",
    ]
    BINDINGS = [*MAIN_KEYS]  # noqa: RUF012 (Textual's own way)

    def __init__(self, session: Session, at: str = "table", take_up: AutosavedWork | None = None) -> None:
        """``at`` is the pane to begin in; ``take_up`` is the kept work that ``session`` goes on with."""
        super().__init__(id="main", classes=f"at-{at}")
        self.session = session
        self._at = at
        self._take_up = take_up
        self.keeper = Autosaver()
        self.pictures = Pictures()
        self.fixes = {}
        self.drafts = {}
        self.worker = CheckWorker(self.post_result)
        self._later: Timer | None = None
        self._lines: dict[str, tuple[Line, ...]] = {}
        self.stopped = False
        """True where the owner stopped the check: it begins again with the next change, or when he says so."""

    def compose(self) -> ComposeResult:
        self.take_size()
        yield Static(id="top", markup=False)
        yield WeightTable()
        with Container(id="lower"):
            with Vertical(id="left"):
                yield Static(id="summary", markup=False)
                yield FormPane()
            yield DrawingPane(usual_glyphs(getattr(sys.__stderr__, "encoding", None)))
        yield KeyLine()

    def on_mount(self) -> None:
        """Show what is there and begin the check."""
        self.action_pane(self._at)
        self._show_panes(
            afresh=True
        )  # so that she is in the first picture already; what is drawn to size comes after it
        self.call_after_refresh(self.show_all)
        self.call_after_refresh(self.begin_keeping)
        if self._take_up is not None:
            self.call_after_refresh(self.adopt, self._take_up)
        self.watch(self.app, "app_focus", self.came_back, init=False)
        self._begin()
        self.refresh_bindings()

    def on_unmount(self) -> None:
        """Nothing is wanted any more."""
        self.worker.close()

    # Showing -------------------------------------------------------------------------------------------------

    def show_all(self, *, afresh: bool = False) -> None:
        """Hand the session down to every pane."""
        if self.is_mounted:
            self._show_panes(afresh=afresh)

    def _show_panes(self, *, afresh: bool) -> None:
        self._show_answer(afresh=afresh)
        self.query_one(DrawingPane).show(self.session, self.pictures, self.table.heel)

    def show_drawings(self) -> None:
        """The strips and the drawings."""
        self._show_table()
        self._show_summary()
        self.query_one(DrawingPane).show(self.session, self.pictures, self.table.heel)

    def _show_answer(self, *, afresh: bool = False) -> None:
        """What a verdict changes; the drawings follow a moment later, with the strip out of the same working."""
        self._show_typed(afresh=afresh)
        self._show_summary()

    def _show_typed(self, *, afresh: bool = False) -> None:
        """What changes with every key: the table, which says that it is being checked, the form, the line above."""
        if self._later is not None:
            self._later.stop()
            self._later = None
        self._show_table()
        self.query_one(FormPane).show(self.session, afresh=afresh)
        self._write("#top", top_line(self.session, self.open_elsewhere, self.stopped, self.wide))

    @property
    def table(self) -> WeightTable:
        """The table of weights."""
        return self.query_one(WeightTable)

    @property
    def wide(self) -> bool:
        """True where all panes stand side by side."""
        return self.app.size.width >= WIDE

    def _show_table(self) -> None:
        self.table.show(self.session, self.pictures.strips(self.session), self.scenario_names(), self.wide)

    def _show_summary(self) -> None:
        session, weight = self.session, self.session.weight
        wide = self.wide
        width = 55 if wide else self.app.size.width - 2
        state = session.states()[weight.id] if weight is not None else None
        lines = summary_lines(weight, (session.index or 0) + 1, state, self.fixes_of_chosen(), width, wide)
        if not wide and weight is not None:
            strip = self.pictures.strips(session).get(weight.id)
            lines += heel_lines(strip, self.table.heel, self.scenario_names(), width)
        self._write("#summary", *lines)

    def _write(self, place: str, *lines: Line) -> None:
        if self._lines.get(place) != lines:
            again = len(self._lines.get(place, ())) == len(lines)
            self._lines[place] = lines
            self.query_one(place, Static).update(coloured(*lines), layout=not again)

    def on_resize(self) -> None:
        """The lines of the table are cut to its width."""
        self.call_after_refresh(self.show_all)

    def action_pane(self, name: str) -> None:
        """Go to a pane; on a small screen form and drawing take the lower half."""
        self.bring(name)
        if name == "table":
            self.table.focus()
        elif name == "drawing":
            self.query_one(DrawingPane).focus()
        else:
            self.call_after_refresh(self.query_one(FormPane).focus_first)

    def bring(self, name: str) -> None:
        """Bring a pane in sight; beside the others where there is room."""
        for each in ("table", "form", "drawing"):
            self.set_class(each == name, f"at-{each}")
        self.draw_soon()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """The pane that has the cursor is the one in sight."""
        for kind in (WeightTable, FormPane, DrawingPane):
            pane = self.query_one(kind)
            if pane in event.widget.ancestors_with_self and not self.has_class(f"at-{pane.id}"):
                self.bring(str(pane.id))

    @on(WeightTable.HeelChosen)
    def _heeled(self) -> None:
        self._show_summary()
        self.query_one(DrawingPane).show(self.session, self.pictures, self.table.heel)

    def action_heel(self, columns: int) -> None:
        """The heel cursor so many columns on."""
        self.table.action_heel(columns)

    def action_upright(self) -> None:
        """The heel cursor back to upright."""
        self.table.action_upright()

    def action_film(self) -> None:
        """Play the roll, or stop it."""
        self.table.action_film()

    def action_row(self, rows: int) -> None:
        """To another weight."""
        self.table.action_row(rows)

    def action_sight(self, sight: Sight) -> None:
        """Another drawing."""
        self.bring("drawing" if self.has_class("-narrow") else "table")
        self.query_one(DrawingPane).action_sight(sight)

    def action_zoom(self) -> None:
        """The weight alone, or all of her."""
        self.query_one(DrawingPane).action_zoom()

    @on(WeightChosen)
    def _chosen(self, event: WeightChosen) -> None:
        self.choose(event.weight)

    def choose(self, weight: str) -> None:
        """Go to a weight by its id."""
        if self.session.chosen != weight:
            self.session.close_undo_group()
            self.session.chosen = weight
        self.show_all()
        self.draw_soon()

    @on(OpenForm)
    def _form(self) -> None:
        self.action_pane("form")

    @on(NotTaken)
    def _not_taken(self, event: NotTaken) -> None:
        self.say(event.words, wrong=True)

    @on(FieldRow.PickAsked)
    def _pick(self, event: FieldRow.PickAsked) -> None:
        self.pick_for(event.row)

    def say(self, words: str, *, wrong: bool = False) -> None:
        """A short word in the corner."""
        self.notify(words, severity="warning" if wrong else "information", markup=False, timeout=6)

    # Checking ------------------------------------------------------------------------------------------------

    @on(Edited)
    def changed(self) -> None:
        """Something was taken in: have what it touches checked again, and show it meanwhile."""
        self._begin()
        self._show_typed()
        self._later = self.set_timer(ANSWER_SOON, self._still_working)
        self.keep_soon()

    def _still_working(self) -> None:
        self.show_all()
        self.refresh_bindings()  # there is something to stop

    def changed_afresh(self) -> None:
        """The same where the figures come from elsewhere than the keyboard: the form is written anew."""
        self._begin()
        self.show_all(afresh=True)
        self.refresh_bindings()
        self.keep_soon()

    def action_stop(self) -> None:
        """Stop the check that is running; or begin again what was stopped."""
        if self.stopped:
            self._begin()
        elif self.session.requests():
            self.stopped = True
            self.worker.cancel()
            self.stop_drawing()
            self.say("Stopped. Ctrl+G goes on with it.")
        self.show_all()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is something to stop only while a check is running."""
        if action == "stop":
            return bool(self.session.requests())
        return True

    def _begin(self) -> None:
        """Ask for all that is not known yet, the chosen weight's verdict first; nothing here waits for an answer."""
        self.stopped = False
        self.stop_drawing()
        try:
            scenarios = self.scenarios_now()
        except LookupError as problem:
            self.say(f"{problem}; all scenarios are run instead", wrong=True)
            self.session.scenarios = None
            scenarios = self.scenarios_now()
        questions = self.session.requests()
        self.worker.request(questions, self.session.boat, scenarios)
        if not questions:
            self.call_later(self.show_all)
            self.draw_soon()

    @on(Checked)
    def _checked(self, event: Checked) -> None:
        left = self.session.requests
        if self.session.accept(event.question, event.answer) or not left():
            self._show_answer()
        if not left():
            self.draw_soon()
            self.refresh_bindings()

    # Reading -------------------------------------------------------------------------------------------------

    def action_cautions(self) -> None:
        """The cautions in full."""
        self.app.push_screen(Read("Cautions", cautions_text()))

    def action_keys(self) -> None:
        """What the field means that has the cursor, and how to measure it; what each key does."""
        row = self.focused.parent if self.focused is not None else None
        if isinstance(row, FieldRow):
            self.app.push_screen(Read(row.field.label, f"{field_text(row.field)}\n\n{keys_text()}"))
        else:
            self.app.push_screen(Read("Help", keys_text()))

    def use(self, session: Session) -> None:
        """Put another boat in the place of this one."""
        self.session = session
        self.query_one(FormPane).opened = None
        self.drafts.clear()
        self.show_all(afresh=True)
        self.action_pane("table")
        self.begin_keeping()
        self._begin()
        self.refresh_bindings()

    @property
    def file(self) -> Path | None:
        """Where the boat is kept."""
        return self.session.path
