"""How she floats, before and after: figures, curve, what it rests on, weights loose, and the sheets for her ballast.

A screen of its own that is given a boat and shows her; it changes nothing. What takes long is worked out beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static, TabbedContent, TabPane, Tabs
from textual.worker import get_current_worker

from secure_load.afloat.ballast.ballast import casting_of, lifting_of
from secure_load.afloat.ballast.placing import place_ballast
from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.models import FloatReport, Loose
from secure_load.afloat.report import float_report, loose_report
from secure_load.boat.models import BoatFile, Weight
from secure_load.catalogue.errors import UnknownRow
from secure_load.check.check import check_boat
from secure_load.check.results import BoatVerdict
from secure_load.model.group_model import CannotCheck
from secure_load.record.afloat import LOOSE_HEADS, red_weights
from secure_load.record.drawings.curve import Of, loose_curve_picture, righting_curve_picture
from secure_load.record.text.afloat_rows import GUESSED, change_rows, guessed, list_words, loose_rows, state_tables
from secure_load.record.text.afloat_words import answer, answer_sheets, basis_sheets, level_words, loose_sheets
from secure_load.record.text.words import mass
from secure_load.screen.afloat import sheets
from secure_load.screen.afloat.curve import CurvePane, CurveView
from secure_load.screen.afloat.lines import CELL, sheet_lines, table_lines
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.themes import coloured
from secure_load.screen.verdict.words import Line, safe
from secure_load.solver.cancellation import Cancelled

PANES = ("figures", "curve", "rests", "loose", "placing", "casting", "lifting")
TITLES = ("Figures", "Curve", "Basis", "Loose", "Ballast plan", "Casting", "Lifting")
WHERE = {"red": ("loose",), "other_curve": ("figures", "curve", "loose")}
"""Tabs on which a key is offered."""
WORKING: Line = [("quiet", "Working.")]
PICK: Line = [
    (
        "quiet",
        "Space picks a weight that has broken loose, R all that the check finds red: how she lies then is here.",
    )
]
CHECKING: Line = [("quiet", "Checking which weights are red; this takes some seconds.")]
NONE_RED: Line = [("quiet", "The check finds no weight red. Space picks one all the same.")]


def problem_lines(problem: Exception) -> list[Line]:
    """Why something cannot be told, as a sentence for the owner."""
    if isinstance(problem, CannotFloat | CannotCheck | UnknownRow):
        words = safe(str(problem), 1000)
        return [[("doubtful", f"{words[:1].upper()}{words[1:].rstrip('.')}.")]]
    return [[("fails", safe(f"This could not be worked out ({type(problem).__name__}: {problem}).", 1000))]]


class LooseList(OptionList):
    """The weights, each with a box to tick: a letter in it, because a colour alone says nothing to many."""

    BINDINGS = [Binding("space", "select", "Tick")]  # noqa: RUF012 (Textual's own way)

    class Changed(Message):
        """A weight was ticked, or is no longer."""

    def __init__(self, weights: Sequence[Weight]) -> None:
        super().__init__(id="loose-list", markup=False)
        self.weights = list(weights)
        self._ticks = [False] * len(self.weights)
        self.add_options([self._words(n) for n in range(len(self.weights))])
        self.highlighted = 0 if self.weights else None

    def _words(self, place: int) -> Content:
        weight = self.weights[place]
        box = ("fails", "[x] ") if self._ticks[place] else ("quiet", "[ ] ")
        return coloured([box, ("", f"{safe(weight.title, 60)}, {mass(weight.mass)} kg")])

    def ticked(self) -> list[str]:
        """Ids of the weights that are loose."""
        return [w.id for w, tick in zip(self.weights, self._ticks, strict=True) if tick]

    def tick(self, ids: Sequence[str]) -> None:
        """Tick these and no others."""
        for place, weight in enumerate(self.weights):
            self._ticks[place] = weight.id in ids
            self.replace_option_prompt_at_index(place, self._words(place))
        self.post_message(self.Changed())

    @on(OptionList.OptionSelected)
    def _toggled(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        place = event.option_index
        self._ticks[place] = not self._ticks[place]
        self.replace_option_prompt_at_index(place, self._words(place))
        self.post_message(self.Changed())


class AfloatScreen(Screen[bool]):
    """Tabs over one boat. Keys: 1 to 7 or left and right for the tabs, m for lever or moment, Escape to go back."""

    CSS_PATH = "afloat.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012 (Textual's own way)
    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("escape", "back", "Back"),
        Binding("left", "turn(-1)", show=False),
        Binding("right", "turn(1)", show=False),
        Binding("e", "edit", "Enter figures"),
        Binding("m", "other_curve", "Lever or moment"),
        Binding("r", "red", "Tick failing"),
        Binding("down", "down(1)", show=False),
        Binding("up", "down(-1)", show=False),
        Binding("pagedown,space", "down(12)", show=False),
        Binding("pageup", "down(-12)", show=False),
        Binding("q", "back", show=False),
        *[Binding(str(n), f"pane('{name}')", show=False) for n, name in enumerate(PANES, start=1)],
    ]

    class Worked(Message):
        """Something was worked out for a pane: its lines, and the report or how she lies where it is one of these."""

        def __init__(
            self, pane: str, lines: list[Line], report: FloatReport | None = None, loose: Loose | None = None
        ) -> None:
            super().__init__()
            self.pane = pane
            self.lines = lines
            self.report = report
            self.loose = loose

    class Red(Message):
        """The check is done: which weights are red, or why it cannot be told."""

        def __init__(self, ids: list[str], problem: Exception | None = None) -> None:
            super().__init__()
            self.ids = ids
            self.problem = problem

    def __init__(self, boat: BoatFile, known: BoatVerdict | None = None) -> None:
        """``known``: the verdict on her as she is, where it was worked out already."""
        super().__init__()
        self.boat, self.known = boat, known
        self.report: FloatReport | None = None
        self.loose: Loose | None = None
        """How she lies with what is ticked gone across."""
        self.of: Of = "moment"
        self.worked_out = False
        """True once the figures, or why there are none, are shown."""
        self._placing = False

    def compose(self) -> ComposeResult:
        yield Static(id="afloat-head", markup=False)
        with TabbedContent(id="afloat-tabs"):
            for number, (name, title) in enumerate(zip(PANES, TITLES, strict=True), start=1):
                with TabPane(f"{number} {title}", id=name):
                    yield from self._inside(name)
        yield KeyLine()

    def _inside(self, name: str) -> ComposeResult:
        if name == "curve":
            yield CurvePane()
            return
        if name == "loose":
            yield LooseList(self.boat.weight)
        words = VerticalScroll(Static(id=f"{name}-words", markup=False), can_focus=name == "loose")
        beside = {"figures": "beside", "loose": "beside-loose"}.get(name)
        yield words if beside is None else Horizontal(words, CurvePane(id=beside))

    def on_mount(self) -> None:
        """Begin with the figures; the sheets are made when they are looked at."""
        self.query_one(Tabs).focus()
        self._put("afloat-head", [[("strong", safe(self.boat.boat.name, 60)), ("quiet", "  afloat")]])
        for name in ("figures", "rests"):
            self._put(f"{name}-words", [WORKING])
        self._put("loose-words", [PICK])
        self._draw_loose()
        if not self.boat.weight:
            self.query_one(LooseList).display = False
            self._put("loose-words", [[("quiet", "No weight is listed.")]])
        self._float()

    @work(thread=True, exclusive=True, group="float", exit_on_error=False)
    def _float(self) -> None:
        report: FloatReport | None = None
        try:
            report = float_report(self.boat)
            lines = _figures(report)
        except Exception as problem:
            # Whatever it is, the owner is told in the pane, and the rest of the screen stays of use.
            lines = problem_lines(problem)
        self._post(self.Worked("figures", lines, report))

    @work(thread=True, exclusive=True, group="loose", exit_on_error=False)
    def _loosen(self, report: FloatReport, ids: Sequence[str]) -> None:
        loose: Loose | None = None
        try:
            loose = loose_report(self.boat, ids)
            lines = _loose(report, loose)
        except Exception as problem:
            lines = problem_lines(problem)
        self._post(self.Worked("loose", lines, loose=loose))

    @work(thread=True, exclusive=True, group="red", exit_on_error=False)
    def _check(self) -> None:
        worker = get_current_worker()
        try:
            verdict = self.known or check_boat(self.boat, cancelled=lambda: worker.is_cancelled)
            found = self.Red(red_weights(verdict))
        except Cancelled:
            return
        except Exception as problem:
            found = self.Red([], problem)
        self._post(found)

    @work(thread=True, exclusive=True, group="placing", exit_on_error=False)
    def _place(self) -> None:
        try:
            lines = sheet_lines(sheets.placing_sheets(self.boat, place_ballast(self.boat)))
        except Exception as problem:
            lines = problem_lines(problem)
        self._post(self.Worked("placing", lines))

    def _post(self, message: Message) -> None:
        if not get_current_worker().is_cancelled:
            self.post_message(message)

    @on(Worked)
    def _worked(self, event: Worked) -> None:
        self._put(f"{event.pane}-words", event.lines)
        if event.pane == "loose":
            self.loose = event.loose
            self._draw_loose()
        if event.pane != "figures":
            return
        self.report, self.worked_out = event.report, True
        if event.report is None:
            self._put("rests-words", event.lines)
            self.query_one("#beside").display = False
            return
        self._put("rests-words", sheet_lines([*answer_sheets(event.report), *basis_sheets(event.report)]))
        head: Line = [
            ("strong", safe(event.report.boat, 60)),
            ("quiet", "  afloat  "),
            ("", answer(event.report)),
        ]
        self._put("afloat-head", [head])
        self._draw()
        self._picked()

    def _draw(self) -> None:
        report = self.report
        if report is None:
            return
        for pane in (*self.query("#curve CurvePane").results(CurvePane), self.query_one("#beside", CurvePane)):
            pane.show(lambda tall: righting_curve_picture(report, self.of, tall))
        self._draw_loose()

    def _draw_loose(self) -> None:
        """The curve with what is ticked gone to the worse side; nothing where none is, or her shape is not known."""
        report, pane = self.report, self.query_one("#beside-loose", CurvePane)
        loose = self.loose
        shown = report is not None and loose is not None and loose.port.curve is not None
        pane.set_class(shown, "-told")
        pane.query_one(CurveView).display = shown
        if report is not None and loose is not None and shown:
            pane.show(lambda tall: loose_curve_picture(report, loose, self.of, tall))

    def _put(self, name: str, lines: Sequence[Line]) -> None:
        self.query_one(f"#{name}", Static).update(coloured(*lines))

    @on(TabbedContent.TabActivated)
    def _turned(self, event: TabbedContent.TabActivated) -> None:
        name = event.pane.id or ""
        if name == "loose" and self.boat.weight:
            self.query_one(LooseList).focus()
        else:
            # in the list the keys for the other tabs would still tick weights
            self.query_one(Tabs).focus()
        self.refresh_bindings()
        if name == "placing":
            self._ask_placing()
        elif name == "casting":
            self._sheet(name, lambda: sheets.casting_sheets(casting_of(self.boat)))
        elif name == "lifting":
            self._sheet(name, lambda: sheets.lifting_sheets(lifting_of(self.boat)))

    def _ask_placing(self) -> None:
        if self._placing:
            return
        self._placing = True
        if self.boat.float_ is None or self.boat.float_.placing is None:
            self._put("placing-words", [[("quiet", sheets.NO_PLACING)]])
            return
        self._put("placing-words", [[("quiet", "Trying where the ingots go; this takes some seconds.")]])
        self._place()

    def _sheet(self, name: str, make: Callable[[], list[sheets.Sheet]]) -> None:
        try:
            lines = sheet_lines(make())
        except (CannotFloat, UnknownRow) as problem:
            lines = problem_lines(problem)
        self._put(f"{name}-words", lines)

    @on(LooseList.Changed)
    def _picked(self) -> None:
        ids = self.query_one(LooseList).ticked()
        if not ids or self.report is None:
            self.workers.cancel_group(self, "loose")
            self.loose = None
            self._draw_loose()
            if self.boat.weight:
                self._put("loose-words", [PICK])
            return
        self._loosen(self.report, ids)

    @on(Red)
    def _reddened(self, event: Red) -> None:
        if event.problem is not None:
            self._put("loose-words", problem_lines(event.problem))
        elif not event.ids:
            self._put("loose-words", [NONE_RED])
        else:
            self.query_one(LooseList).tick(event.ids)

    def action_red(self) -> None:
        """Tick the weights that the check finds red, on their own tab."""
        if not self.boat.weight:
            return
        self.action_pane("loose")
        self._put("loose-words", [CHECKING])
        self._check()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A key is offered where it does something: weights are ticked on one tab, curves stand on three."""
        if action in WHERE and self.is_mounted:
            return bool(self.boat.weight or action != "red") and self.query_one(TabbedContent).active in WHERE[action]
        return super().check_action(action, parameters)

    def action_edit(self) -> None:
        """Enter what is known of how she floats."""
        self.dismiss(True)

    def action_back(self) -> None:
        """Leave the screen."""
        self.dismiss(False)

    def action_pane(self, name: str) -> None:
        """Show a tab."""
        self.query_one(TabbedContent).active = name

    def action_turn(self, by: int) -> None:
        """The next tab, or the one before."""
        now = PANES.index(self.query_one(TabbedContent).active)
        self.action_pane(PANES[(now + by) % len(PANES)])

    def action_down(self, lines: int) -> None:
        """Scroll what is shown."""
        for scroll in (
            self.query_one(TabbedContent).get_pane(self.query_one(TabbedContent).active).query(VerticalScroll)
        ):
            scroll.scroll_relative(y=lines, animate=False)

    def action_other_curve(self) -> None:
        """Lever for moment, and back."""
        self.of = "lever" if self.of == "moment" else "moment"
        self._draw()


def _figures(report: FloatReport) -> list[Line]:
    rows = change_rows(report)
    lines = table_lines(rows, ("without", "with weights", "change"))
    if guessed(rows):
        lines.append([("doubtful", GUESSED)])
    if list_words(report):
        lines.append([("quiet", list_words(report))])
    lines += [[], [("strong", answer(report))]]
    for heads, beside in state_tables(report):
        lines += [[], *table_lines(beside, [head[: CELL - 1] for head in heads]), []]
    lines.append([("quiet", f"Rests on {level_words(report)}. Sums, not a survey: 3 says what they leave out.")])
    return lines


def _loose(report: FloatReport, loose: Loose) -> list[Line]:
    rows = loose_rows(loose)
    lines = table_lines(rows, LOOSE_HEADS)
    if guessed(rows):
        lines.append([("doubtful", GUESSED)])
    return [*lines, [], *sheet_lines(loose_sheets(report, loose))]
