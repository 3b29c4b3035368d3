"""The table of weights: a row each, with the verdict, its use and, where there is room, the strip of all heels.

A widget of lines and not a DataTable: the heel cursor crosses every row, so every step of it would rewrite every cell.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.reactive import reactive
from textual.strip import Strip
from textual.timer import Timer
from textual.widget import Widget

from secure_load.check.results import RANK, Colour
from secure_load.record.drawings.heel_strip import StripCell, StripRow, cell_words
from secure_load.screen.app.keys import TABLE_KEYS
from secure_load.screen.app.messages import OpenForm, WeightChosen
from secure_load.screen.session.drawing_cache import STRIP_STEP
from secure_load.screen.session.session import Session, WeightStatus
from secure_load.screen.table.lines import COLUMNS, head_at, heading, room_for_names, row_pieces, strip_start
from secure_load.screen.verdict.words import STYLE, Line, goes_first, safe, state_mark, use_words

FRAME = 0.15
"""Seconds from step to step of the film: a whole roll takes nine."""
Order = Literal["#", "verdict", "use", "kg", "weight"]
MARKS: dict[Colour, str] = {"green": "·", "amber": "a", "red": "R"}
NO_WEIGHT = "No weight is listed yet: press a to add one."


def column_of(heel: float) -> int:
    """The column of the strip that a heel is in."""
    return min(max(round((heel + 180.0) / STRIP_STEP), 0), COLUMNS - 1)


def strip_pieces(row: StripRow | None, heel: float) -> Line:
    """The strip of one weight, the cursor in it; blank where nothing was run."""
    at = column_of(heel)
    cells: Sequence[StripCell | None] = row.cells if row is not None else [None] * COLUMNS
    pieces: Line = []
    for n, cell in enumerate(cells):
        mark = " " if cell is None else MARKS[cell.colour]
        if n == at:
            pieces.append(("strong", "┃") if mark in "· " else ("cursor", mark))
        else:
            pieces.append(("" if cell is None else "quiet" if cell.colour == "green" else STYLE[cell.colour], mark))
    return pieces


@dataclass(frozen=True)
class _Row:
    """What one row shows; the same figures are not painted twice."""

    weight: str
    line: tuple[tuple[str, str], ...]
    strip: StripRow | None


class WeightTable(Widget, can_focus=True):
    """Up and down choose a weight, left and right a heel; single letters are commands, as nothing is typed here.

    Messages: ``WeightChosen``, ``HeelChosen``, ``OpenForm``. Setting ``heel`` from outside posts nothing.
    """

    BINDINGS = [*TABLE_KEYS]  # noqa: RUF012 (Textual's own way)
    INKS = ("holds", "doubtful", "fails", "strong", "quiet", "assumed", "head", "cursor", "row")
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"table--{ink}" for ink in INKS}
    DEFAULT_CSS = """
    WeightTable {
        height: auto;
        width: 1fr;
        background: $surface;
        & .table--holds { color: $holds; }
        & .table--doubtful { color: $doubtful; text-style: bold; }
        & .table--fails { color: $fails; text-style: bold; }
        & .table--strong { color: $foreground; text-style: bold; }
        & .table--quiet { color: $quiet; }
        & .table--assumed { color: $foreground; text-style: italic; }
        & .table--head { color: $quiet; }
        & .table--row { background: $row; }
        & .table--cursor { color: $foreground; text-style: bold reverse; }
    }
    """

    heel: reactive[float] = reactive(0.0)

    class HeelChosen(Message):
        """The cursor was moved to a heel, in degrees, starboard side down positive."""

        def __init__(self, heel: float) -> None:
            super().__init__()
            self.heel = heel

    def __init__(self) -> None:
        super().__init__(id="table")
        self.order: Order = "#"
        self.wide = False
        """True where every row has its strip."""
        self.names: dict[str, str] = {}
        """The scenarios' names by id."""
        self._rows: list[_Row] = []
        self._chosen: str | None = None
        self._room = 8
        self._film: Timer | None = None

    # What is shown -------------------------------------------------------------------------------------------

    def show(self, session: Session, strips: Mapping[str, StripRow], names: dict[str, str], wide: bool) -> None:
        """Show every weight of the session as it now stands."""
        states, weights = session.states(), list(session.boat.weight)
        number = {w.id: n for n, w in enumerate(weights, start=1)}
        if self.order == "verdict":
            weights.sort(key=lambda w: _worst(states[w.id]), reverse=True)
        elif self.order == "use":
            weights.sort(key=lambda w: _worst(states[w.id])[1], reverse=True)
        elif self.order == "kg":
            weights.sort(key=lambda w: -w.mass)
        elif self.order == "weight":
            weights.sort(key=lambda w: w.title.casefold())
        width = (self.size.width or self.app.size.width) - 1
        room = room_for_names([w.title for w in weights], width, wide)
        rows: list[_Row] = []
        for weight in weights:
            state, chosen = states[weight.id], weight.id == session.chosen
            line = row_pieces(
                number[weight.id],
                state_mark(state),
                use_words(state),
                weight.mass,
                safe(weight.title, 200),
                room,
                chosen=chosen,
            )
            if not wide:
                line.append(("quiet", goes_first(state)))
            rows.append(_Row(weight.id, tuple(line), strips.get(weight.id) if wide else None))
        again = (len(rows), wide, room) == (len(self._rows), self.wide, self._room) and self.is_mounted
        changed = [n for n, row in enumerate(rows) if not again or row != self._rows[n]]
        before, self._rows, self._chosen = self._first(), rows, session.chosen
        self.wide, self._room, self.names = wide, room, names
        if not again:
            self.refresh(layout=True)
        elif before != self._first():
            self.refresh()
        elif changed:
            self.refresh(*[self._line_region(n) for n in changed], self._line_region(None))

    def _line_region(self, place: int | None) -> Region:
        y = self.size.height - 1 if place is None else 1 + place - self._first()
        return Region(0, max(min(y, self.size.height - 1), 0), self.size.width, 1)

    @property
    def shown(self) -> list[str]:
        """Ids of the weights in the order they are shown in."""
        return [row.weight for row in self._rows]

    @property
    def _place(self) -> int:
        return next((n for n, row in enumerate(self._rows) if row.weight == self._chosen), 0)

    def _room_for_rows(self) -> int:
        return max(self.size.height - (2 if self.wide else 1), 1)

    def _first(self) -> int:
        """The uppermost row in sight: the chosen one is always in it."""
        room = self._room_for_rows()
        return min(max(self._place - room // 2, 0), max(len(self._rows) - room, 0))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """The headings, a line for each weight, and where there are strips one for the cell under the cursor."""
        return max(len(self._rows), 1) + (2 if self.wide else 1)

    def watch_heel(self) -> None:
        """Every row has the cursor in it."""
        self.refresh()

    # Drawing -------------------------------------------------------------------------------------------------

    def _ink(self, name: str) -> RichStyle:
        return self.get_component_rich_style(f"table--{name}") if name else self.rich_style

    def _line(self, pieces: Sequence[tuple[str, str]]) -> Strip:
        segments = [Segment(text, self._ink(style)) for style, text in pieces if text]
        return Strip(segments).adjust_cell_length(self.size.width, self.rich_style)

    def render_line(self, y: int) -> Strip:
        """The headings, the weights, and the cell under the cursor in words."""
        if y == 0:
            words = heading(self._room, self.size.width, self.wide)
            return self._line([("head", words if self._rows else NO_WEIGHT)])
        if not self._rows:
            return Strip.blank(self.size.width, self.rich_style)
        if self.wide and y == self.size.height - 1:
            words, style = self.cell_words()
            before = min(strip_start(self._room), max(self.size.width - len(words), 0))
            return self._line([("", " " * before), (style, words)])
        place = self._first() + y - 1
        if place >= len(self._rows):
            return Strip.blank(self.size.width, self.rich_style)
        row = self._rows[place]
        strip = self._line([*row.line, *(strip_pieces(row.strip, self.heel) if self.wide else [])])
        return strip.apply_style(self._ink("row")) if row.weight == self._chosen and self.has_focus else strip

    def cell_words(self) -> tuple[str, str]:
        """The chosen weight at the heel of the cursor in words, and how they are styled."""
        row = self._rows[self._place].strip if self._rows else None
        if row is None:
            return "", ""
        cell = row.at(self.heel)
        return cell_words(row, self.heel, self.names), "quiet" if cell is None else STYLE[cell.colour]

    # Moving --------------------------------------------------------------------------------------------------

    def move_to(self, heel: float) -> None:
        """Put the cursor at a heel and tell the others."""
        self.heel = min(max(heel, -180.0), 180.0)
        self.post_message(self.HeelChosen(self.heel))

    def action_heel(self, columns: int) -> None:
        """So many columns on."""
        self.stop_film()
        self.move_to((column_of(self.heel) + columns) * STRIP_STEP - 180.0)

    def action_upright(self) -> None:
        """Back to upright."""
        self.stop_film()
        self.move_to(0.0)

    def action_row(self, rows: int) -> None:
        """To another weight."""
        if self._rows:
            self._choose(min(max(self._place + rows, 0), len(self._rows) - 1))

    def _choose(self, place: int) -> None:
        self._chosen = self._rows[place].weight
        self.post_message(WeightChosen(self._chosen))

    def action_open(self) -> None:
        """Work on the chosen weight."""
        if self._rows:
            self.post_message(OpenForm())

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """To the weight under the mouse, or its heel; a heading sorts by its column."""
        at = event.get_content_offset(self)
        if at is None or not self._rows:
            return
        self.stop_film()
        strip = at.x - strip_start(self._room)
        on_strip = self.wide and 0 <= strip < COLUMNS
        if at.y == 0 and not on_strip:
            self.app.call_later(self.screen.run_action, f"screen.sort('{head_at(at.x)}')")
        place = self._first() + at.y - 1
        if 1 <= at.y <= self._room_for_rows() and place < len(self._rows):
            self._choose(place)
        if on_strip:
            self.move_to(strip * STRIP_STEP - 180.0)

    def on_mouse_scroll_down(self) -> None:
        """The wheel goes through the weights."""
        self.action_row(1)

    def on_mouse_scroll_up(self) -> None:
        """The wheel goes through the weights."""
        self.action_row(-1)

    # The film ------------------------------------------------------------------------------------------------

    def action_film(self) -> None:
        """Play the roll from one side over to the other, or stop it."""
        if self._film is not None:
            self.stop_film()
            return
        if self.heel >= 180.0:
            self.move_to(-180.0)
        self._film = self.set_interval(FRAME, self._next)

    def stop_film(self) -> None:
        """Stop the film where it is."""
        if self._film is not None:
            self._film.stop()
            self._film = None

    def _next(self) -> None:
        if self.heel >= 180.0:
            self.stop_film()
        else:
            self.move_to((column_of(self.heel) + 1) * STRIP_STEP - 180.0)


def _worst(state: WeightStatus) -> tuple[float, float]:
    if state.verdict is None:
        return -1.0, 0.0
    use = state.verdict.utilisation
    return float(RANK[state.verdict.verdict]), 1e9 if use is None else use
