"""What is painted first: the frame of the screen that is to come, the boat's name, and what is being done.

All that takes time to load (the models, the engine, the form) is loaded after it is painted, in a thread. Nothing
that this module imports may need any of it; tests/unit/test_first_paint.py holds it to that.
"""

from __future__ import annotations

from importlib import import_module as load
from pathlib import Path, PurePath
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Container, Vertical
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static

from secure_load.cli.io import safe
from secure_load.screen.app.footer import ALL, key_line
from secure_load.screen.app.footer import fitting as fitting_keys
from secure_load.screen.app.frame import Frame
from secure_load.screen.app.keys import LAST, MAIN_KEYS, TABLE_KEYS
from secure_load.screen.app.themes import coloured
from secure_load.screen.opening.peek import name_at_a_glance
from secure_load.screen.start.frame import WHAT, StartFrame
from secure_load.screen.table.lines import WIDE, heading, room_for_names, row_pieces

if TYPE_CHECKING:
    from secure_load.boat.file import BoatDocument
    from secure_load.screen.session.session import Session
    from secure_load.screen.verdict.words import Line

_LAST_KEYS = [("ctrl+s", "Save"), ("question_mark", "Help")]
MOST_LINES = 60
"""No terminal shows more weights than that above the form."""


class Opened(Message):
    """All is loaded; here is the boat."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session


class NotOpened(Message):
    """All is loaded, but there is no boat: none was asked for, or she cannot be read."""

    def __init__(self, problem: str = "") -> None:
        super().__init__()
        self.problem = problem


class OpeningScreen(Frame):
    """The main screen's frame while a boat is read."""

    class Read(Message):
        """Her file is read and sound; the engine is not loaded yet."""

        def __init__(self, document: BoatDocument) -> None:
            super().__init__()
            self.document = document

    def __init__(self, path: Path) -> None:
        super().__init__(classes="at-table")
        self.path = path
        self.boat = safe(name_at_a_glance(path) or path.name)

    def compose(self) -> ComposeResult:
        self.take_size()
        width = self.app.size.width
        yield Static(self._top("reading ..."), id="top", markup=False)
        wide = width >= WIDE
        names = room_for_names([], width - 1, wide)
        yield Static(coloured([("quiet", heading(names, width, wide))]), id="table", markup=False)
        with Container(id="lower"):
            with Vertical(id="left"):
                yield Static(id="summary", markup=False)
                yield Static(id="form", markup=False)
            yield _pane("drawing", "Section")
        keys = [
            (b.key.split(",")[0], b.description)
            for b in (*TABLE_KEYS, *MAIN_KEYS[1:])
            if b.show and b.action not in LAST
        ]
        yield Static(key_line(fitting_keys(keys, width, [*_LAST_KEYS, ALL])), id="keys", markup=False)

    def on_mount(self) -> None:
        """First the frame, then the work."""
        self.call_after_refresh(self._read)

    def _top(self, doing: str) -> Content:
        name, file = self.boat[:60], safe(self.path.name)[:60]
        wide = self.app.size.width >= WIDE
        return coloured([("strong", name), ("quiet", f"   {file}  {doing}" if wide else f"  {doing}")])

    @work(thread=True)
    def _read(self) -> None:
        from secure_load.boat.file import BoatFileError, read_document

        try:
            document = read_document(self.path)
        except BoatFileError as problem:
            load("secure_load.screen.start.screen")
            self.post_message(NotOpened(problem.message))
            return
        self.post_message(self.Read(document))
        load("secure_load.screen.main.screen")
        from secure_load.screen.session.session import Session

        self.post_message(Opened(Session(document.boat, document, document.path)))

    @on(Read)
    def _list(self, event: Read) -> None:
        """The weights, as the list will show them until there are verdicts."""
        weights = event.document.boat.weight[:MOST_LINES]
        width = self.app.size.width
        wide = width >= WIDE
        names = room_for_names([w.title for w in event.document.boat.weight], width - 1, wide)
        lines: list[Line] = [[("quiet", heading(names, width, wide))]]
        for n, weight in enumerate(weights, start=1):
            title = safe(weight.title)[:200]
            lines.append(row_pieces(n, ("quiet", "checking"), "-", weight.mass, title, names, chosen=n == 1))
        self.query_one("#table", Static).update(coloured(*lines, *([[]] if wide else [])))
        self.boat = safe(event.document.boat.boat.name)
        count = len(event.document.boat.weight)
        self.query_one("#top", Static).update(self._top(f"checking, {count} to go" if count else ""), layout=False)


class OpeningStart(StartFrame):
    """The start screen's frame while its list is got ready."""

    def compose(self) -> ComposeResult:
        with Vertical(id="start"):
            yield Static("Secure Load", id="start-title", markup=False)
            yield Static(WHAT, id="start-what", markup=False)
            yield Static("One moment ...", markup=False)
        yield Static(id="keys", markup=False)

    def on_mount(self) -> None:
        """First the frame, then the work."""
        self.call_after_refresh(self._load)

    @work(thread=True)
    def _load(self) -> None:
        load("secure_load.screen.start.screen")
        self.post_message(NotOpened())
        load("secure_load.screen.main.screen")  # while the owner reads the list


def opening(path: Path | None) -> Screen[None]:
    """What is to be painted first."""
    return OpeningStart() if path is None else OpeningScreen(path)


def sheets(path: Path | None) -> list[str | PurePath]:
    """Its style sheets, from this package's folder: those of the screen an application begins with are not its own."""
    folder = Path(__file__).parents[1]
    return (
        [folder / "start/start.tcss"] if path is None else [folder / "app/frame.tcss", folder / "opening/opening.tcss"]
    )


def _pane(name: str, title: str, words: Content | str = "") -> Static:
    pane = Static(words, id=name, classes="pane", markup=False)
    pane.border_title = Content(title)
    return pane
