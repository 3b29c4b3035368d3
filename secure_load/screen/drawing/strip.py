"""The heel strip: a row for each weight, a column for each step of heel, G, A or R in each cell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual import events
from textual.binding import Binding
from textual.message import Message
from textual.reactive import reactive
from textual.strip import Strip
from textual.timer import Timer
from textual.widget import Widget

from secure_load.check.results import LETTER, Colour
from secure_load.record.drawings.heel_strip import StripRow, cell_words
from secure_load.record.text.text_layout import plain
from secure_load.screen.app.messages import WeightChosen
from secure_load.screen.drawing.view import cut, terminal_glyphs

LEAST_LABEL = 6
"""Cells left for the name of a weight before the columns are made wider."""
MOST_LABEL = 24
FRAME = 0.15
"""Seconds from step to step of the film: a whole roll at 5 degrees takes eleven."""
WIDER = (1, 2, 3, 4, 5, 6, 9, 12, 15, 18, 30, 36, 45, 60, 90, 180)
NOT_RUN = {True: ".", False: "·"}


class HeelStrip(Widget, can_focus=True):
    """The whole knockdown at a glance, with a cursor that runs along it.

    ``show(rows, chosen, colours)`` gives it the rows (``record.drawings.heel_strip``) and the chosen weight; ``heel``
    is where the cursor stands, in degrees, starboard positive, and may be set from outside. Columns are as narrow as
    the rows are, or as wide as the room asks for; a wider one shows the worst of what it takes in.

    Keys: left and right, home and end, 0 for upright, up and down for the weights, space for the film.
    Messages: ``HeelChosen(heel)`` when the owner or the film moves the cursor, ``WeightChosen(weight)`` when the
    owner moves to another row. Setting ``heel`` from outside posts nothing.
    """

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("left", "step(-1)", "To port", show=False),
        Binding("right", "step(1)", "To starboard", show=False),
        Binding("home", "go(-180)", "Over to port", show=False),
        Binding("end", "go(180)", "Over to starboard", show=False),
        Binding("0", "go(0)", "Upright"),
        Binding("up", "row(-1)", "Weight above", show=False),
        Binding("down", "row(1)", "Weight below", show=False),
        Binding("space", "film", "Play the roll"),
    ]
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "strip--green",
        "strip--amber",
        "strip--red",
        "strip--none",
        "strip--cursor",
        "strip--chosen",
        "strip--scale",
        "strip--label",
    }
    DEFAULT_CSS = """
    HeelStrip {
        height: auto;
        min-height: 3;
        width: 1fr;
        & .strip--green { color: $success; }
        & .strip--amber { color: $warning; text-style: bold; }
        & .strip--red { color: $error; text-style: bold; }
        & .strip--none { color: $secondary; }
        & .strip--cursor { text-style: reverse; }
        & .strip--chosen { color: $foreground; text-style: bold; }
        & .strip--scale { color: $secondary; }
        & .strip--label { color: $foreground; }
    }
    """

    heel: reactive[float] = reactive(0.0)
    chosen: reactive[str | None] = reactive(None)
    ascii_only: reactive[bool | None] = reactive(None)
    """True for plain characters, None for whatever the terminal shows."""

    class HeelChosen(Message):
        """The cursor was moved to a heel, in degrees, starboard positive."""

        def __init__(self, heel: float) -> None:
            super().__init__()
            self.heel = heel

    def __init__(self, *, name: str | None = None, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(name=name, id=id, classes=classes)
        self.names: dict[str, str] = {}
        """The scenarios' names by id, for the line of words."""
        self._given: list[StripRow] = []
        self._colours: dict[str, Colour] = {}
        self._wide: list[StripRow] = []
        self._wide_for = -1
        self._known: dict[tuple[int, float], tuple[StripRow, StripRow]] = {}
        """Every row given, and the same in columns so wide."""
        self._film: Timer | None = None

    # What is shown -------------------------------------------------------------------------------------------

    def show(
        self, rows: Sequence[StripRow], chosen: str | None = None, colours: Mapping[str, Colour] | None = None
    ) -> None:
        """Show these rows, all of one step, which of them is the chosen weight, and each weight's verdict by its id.

        The verdict's letter stands before the name: a cell is coloured by its figure alone, and a weight may be
        doubtful all the same.
        """
        as_many = len(rows) == len(self._given)
        self._given = list(rows)
        self._colours = dict(colours or {})
        self._wide_for = -1
        if chosen is not None:
            self.chosen = chosen
        # Its height hangs on how many rows there are, and laying out costs every pane of the screen its place anew.
        self.refresh(layout=not as_many)

    def rows(self) -> list[StripRow]:
        """The rows as they are shown, in columns as wide as the room asks for."""
        width = self.size.width
        if self._wide_for != width:
            self._wide = self._widened(width)
            self._wide_for = width
        return self._wide

    def _widened(self, width: int) -> list[StripRow]:
        if not self._given:
            return []
        own = self._given[0].step_deg
        steps = [own * k for k in WIDER if abs(180.0 / (own * k) - round(180.0 / (own * k))) < 1e-9]
        step = next((s for s in steps if 360.0 / s + 1 + LEAST_LABEL <= width), steps[-1])
        known, self._known = self._known, {}
        for row in self._given:
            # the row is held on to with what was made of it, so that no other can have its place in memory
            made = known.get((id(row), step))
            self._known[id(row), step] = made or (row, row if step == row.step_deg else row.coarser(step))
        return [self._known[id(row), step][1] for row in self._given]

    @property
    def step(self) -> float:
        """Degrees from column to column as shown."""
        rows = self.rows()
        return rows[0].step_deg if rows else 5.0

    @property
    def _columns(self) -> int:
        return round(360.0 / self.step) + 1

    @property
    def _label(self) -> int:
        return max(min(self.size.width - self._columns, MOST_LABEL), 0)

    def _column(self, heel: float) -> int:
        return min(max(round((heel + 180.0) / self.step), 0), self._columns - 1)

    def _plain(self) -> bool:
        return terminal_glyphs() == "ascii" if self.ascii_only is None else self.ascii_only

    def _place(self) -> int:
        """Place of the chosen weight's row."""
        return next((n for n, row in enumerate(self._given) if row.weight == self.chosen), 0)

    def _first(self) -> int:
        """The uppermost row in sight: the chosen one is always in it."""
        room = max(self.size.height - 2, 1)
        return min(max(self._place() - room // 2, 0), max(len(self._given) - room, 0))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """A line for the scale, one for each weight, one for the words."""
        return len(self._given) + 2

    # Drawing -------------------------------------------------------------------------------------------------

    def _ink(self, name: str) -> RichStyle:
        return self.get_component_rich_style(f"strip--{name}")

    def render_line(self, y: int) -> Strip:
        """The scale, then the weights, then the cell under the cursor in words."""
        width, rows = self.size.width, self.rows()
        if not rows:
            words = "No heel was run yet." if y == 0 else ""
            return Strip([Segment(cut(words, width), self.rich_style)])
        last = max(self.size.height - 1, 1)
        if y == 0:
            return self._scale(width)
        if y == last:
            return self._words(width)
        place = self._first() + y - 1
        return self._cells(rows[place], width) if place < len(rows) else Strip.blank(width, self.rich_style)

    def _scale(self, width: int) -> Strip:
        line = [" "] * width
        label, columns = self._label, self._columns
        for heel, text in ((-180.0, "P180"), (-90.0, "P90"), (0.0, "0"), (90.0, "S90"), (180.0, "S180")):
            middle = label + self._column(heel)
            start = min(max(middle - len(text) // 2, label), label + columns - len(text))
            if start < 0 or any(c != " " for c in line[max(start - 1, 0) : start + len(text) + 1]):
                continue
            line[start : start + len(text)] = text
        under = label + self._column(self.heel)
        text = "".join(line)[:width]
        return Strip(
            [
                Segment(text[:under], self._ink("scale")),
                Segment(text[under : under + 1], self._ink("scale") + RichStyle(reverse=True)),
                Segment(text[under + 1 :], self._ink("scale")),
            ]
        ).adjust_cell_length(width, self.rich_style)

    def _cells(self, row: StripRow, width: int) -> Strip:
        is_chosen, at, simple = row.weight == self.chosen, self._column(self.heel), self._plain()
        title = plain(row.title)
        if simple:
            title = title.encode("ascii", "replace").decode("ascii")
        if row.weight in self._colours:
            title = f"{LETTER[self._colours[row.weight]]} {title}"
        name = cut(f"{'>' if is_chosen else ' '}{title}", self._label - 1) + " " if self._label > 1 else ""
        segments = [Segment(name, self._ink("chosen" if is_chosen else "label"))]
        for column, cell in enumerate(row.cells):
            text = NOT_RUN[simple] if cell is None else LETTER[cell.colour]
            style = self._ink("none" if cell is None else cell.colour)
            segments.append(Segment(text, style + RichStyle(reverse=True) if column == at else style))
        return Strip(segments).simplify().adjust_cell_length(width, self.rich_style)

    def _words(self, width: int) -> Strip:
        row = self.rows()[self._place()]
        words = cell_words(row, self.heel, self.names)
        if self._plain():
            words = words.encode("ascii", "replace").decode("ascii")
        cell = row.at(self.heel)
        return Strip([Segment(cut(words, width), self._ink("none" if cell is None else cell.colour))])

    # Moving --------------------------------------------------------------------------------------------------

    def move_to(self, heel: float) -> None:
        """Put the cursor at a heel and tell the others."""
        self.heel = min(max(heel, -180.0), 180.0)
        self.post_message(self.HeelChosen(self.heel))

    def action_step(self, columns: int) -> None:
        """So many columns on."""
        self.stop_film()
        self.move_to((self._column(self.heel) + columns) * self.step - 180.0)

    def action_go(self, heel: float) -> None:
        """To a heel."""
        self.stop_film()
        self.move_to(float(heel))

    def action_row(self, rows: int) -> None:
        """To another weight."""
        if self._given:
            place = min(max(self._place() + rows, 0), len(self._given) - 1)
            self._choose(self._given[place].weight)

    def _choose(self, weight: str) -> None:
        if weight != self.chosen:
            self.chosen = weight
            self.post_message(WeightChosen(weight))

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """To the column under the mouse, and the weight in it."""
        at = event.get_content_offset(self)
        if at is None or not self._given:
            return
        self.stop_film()
        if 1 <= at.y < max(self.size.height - 1, 1):
            place = self._first() + at.y - 1
            if place < len(self._given):
                self._choose(self._given[place].weight)
        self._to_column(at.x)

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Drawn along with the button down."""
        at = event.get_content_offset(self)
        if event.button == 1 and at is not None and self._given:
            self._to_column(at.x)

    def _to_column(self, x: int) -> None:
        column = x - self._label
        if 0 <= column < self._columns and column != self._column(self.heel):
            self.move_to(column * self.step - 180.0)

    # The film ------------------------------------------------------------------------------------------------

    @property
    def playing(self) -> bool:
        """True while the film runs."""
        return self._film is not None

    def action_film(self) -> None:
        """Roll her over to starboard and round, step by step, until stopped."""
        if self._film is not None:
            self.stop_film()
        elif self._given:
            self._film = self.set_interval(FRAME, self._frame)

    def stop_film(self) -> None:
        """Stop where it is."""
        if self._film is not None:
            self._film.stop()
            self._film = None

    def _frame(self) -> None:
        column = self._column(self.heel) + 1
        # over to starboard at 180 degrees she lies as over to port: the first column would be the same moment again
        self.move_to((column if column < self._columns else 1) * self.step - 180.0)
