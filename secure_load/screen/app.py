"""The Textual application: its themes, the screens it begins with, leaving it, and being ended from outside."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import threading
from collections.abc import Iterable
from pathlib import Path
from types import FrameType

from textual import on
from textual.app import App, SystemCommand
from textual.screen import Screen

from secure_load.boat.file import BoatFileError
from secure_load.screen.main.screen import MainScreen
from secure_load.screen.plain import plain_filter
from secure_load.screen.rescue import rescue
from secure_load.screen.safekeeping.keeper import Kept, taken_up
from secure_load.screen.session import Session
from secure_load.screen.start.screen import StartScreen
from secure_load.screen.themes import THEMES, theme_for


class SecureLoadApp(App[None]):
    """Begins with a boat, or with the start screen where none is given or the one given cannot be read."""

    TITLE = "Secure Load"
    CSS_PATH = [  # noqa: RUF012 (Textual's own way)
        "main/main.tcss",
        "weights/weights.tcss",
        "form/form.tcss",
        "verdict/verdict.tcss",
        "roll/roll.tcss",
        "mend/mend.tcss",
        "why/why.tcss",
        "dialogs/dialogs.tcss",
        "sheet/sheet.tcss",
        "start/start.tcss",
    ]

    def __init__(self, path: Path | None = None) -> None:
        # Without colour Textual would paint greys; with the terminal's own colours it leaves them out altogether.
        super().__init__(ansi_color=True if "NO_COLOR" in os.environ else None)
        self.path = path
        self.main: MainScreen | None = None
        self._at_work: asyncio.AbstractEventLoop | None = None
        self.left = False
        """True once the owner has left of his own will, and was asked about what was not saved."""
        for each in THEMES:
            self.register_theme(each)
        self.theme = theme_for(True, self.console.color_system).name
        plain = plain_filter(getattr(sys.__stderr__, "encoding", None))  # Textual writes to standard error
        if plain is not None:
            self._filters.append(plain)

    def on_mount(self) -> None:
        """Open the boat, or offer to."""
        self._at_work = asyncio.get_running_loop()
        if self.path is None:
            self.push_screen(StartScreen())
        else:
            self._open(self.path)

    def on_unmount(self) -> None:
        """Where there is nothing unsaved, nothing is left behind."""
        if self.main is not None and not self.main.session.dirty:
            self.main.keeper.close()

    def _open(self, path: Path, example: bool = False) -> None:
        try:
            session = Session.open(path)
        except BoatFileError as problem:
            if isinstance(self.screen, StartScreen):
                self.screen.tell(f"{problem.message}.")
            else:
                self.push_screen(StartScreen(f"{problem.message}."))
            return
        self._begin(session.as_example() if example else session)

    def _begin(self, session: Session, at: str = "weights", take_up: Kept | None = None) -> None:
        self.main = MainScreen(session, at, take_up)
        self.push_screen(self.main)

    @on(StartScreen.Open)
    def _opened(self, event: StartScreen.Open) -> None:
        self._open(event.path, event.example)

    @on(StartScreen.New)
    def _new(self, event: StartScreen.New) -> None:
        try:
            self._begin(Session.new(event.name))
        except BoatFileError as problem:
            self.notify(problem.message, severity="warning", markup=False)

    @on(StartScreen.Begin)
    def _begun(self, event: StartScreen.Begin) -> None:
        self._begin(event.session, at="verdict")

    @on(StartScreen.TakeUp)
    def _take_up(self, event: StartScreen.TakeUp) -> None:
        try:
            self._begin(taken_up(event.kept), take_up=event.kept)
        except BoatFileError as problem:
            self.notify(problem.message, severity="warning", markup=False)

    async def action_quit(self) -> None:
        """Leave, once what is not saved has been asked about."""
        if self.main is None:
            self._leave()
        elif self.screen is self.main:
            self.main.when_settled(self._leave)
        else:
            self.notify("Answer this first, or go back with Escape.", markup=False)

    def _leave(self) -> None:
        self.left = True
        if self.main is not None:
            self.main.keeper.close()
        self.exit()

    def action_other_theme(self) -> None:
        """Dark for light and light for dark."""
        self.theme = theme_for(not self.current_theme.dark, self.console.color_system).name

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Everything by name, for the command palette."""
        yield SystemCommand("Light or dark", "Change the colours of the screen", self.action_other_theme)
        yield SystemCommand("Leave", "Asks first if something is not saved", self.action_quit)
        if not isinstance(screen, MainScreen):
            return
        m = screen
        yield SystemCommand("Save", "Ctrl+S: to her own file", m.action_save)
        yield SystemCommand("Save as", "To another file", m.action_save_as)
        yield SystemCommand("Open", "Ctrl+O: another boat", m.action_open)
        yield SystemCommand("New boat", "Ctrl+N: begin with nothing in her", m.action_new)
        yield SystemCommand("Add a weight", "a in the list", m.action_add_weight)
        yield SystemCommand("The same again", "d in the list: a copy, further forward", m.action_duplicate)
        yield SystemCommand("The same on the other side", "o in the list: a mirrored copy", m.action_other_side)
        yield SystemCommand("Mirror", "m in the list: port to starboard", m.action_mirror)
        yield SystemCommand("Take the weight out", "x in the list", m.action_delete_weight)
        yield SystemCommand("Sort the weights", "s in the list: as stowed, or gravest first", m.action_sort)
        yield SystemCommand("The boat herself", "b in the list: her planking, her bilge", m.action_boat)
        yield SystemCommand("Add a restraint", "F7", m.action_add_restraint)
        yield SystemCommand("What was found", "Ctrl+F: of the restraint, when she was looked over", m.action_found)
        yield SystemCommand("Scenarios", "Ctrl+T: what she is put through, and your own", m.action_scenarios)
        drawing = "F5: the heel strip, the section, the plan, the rose"
        yield SystemCommand("Drawing", drawing, lambda: m.action_pane("drawing"))
        yield SystemCommand("Afloat", "F10: how she floats, before and after", m.action_afloat)
        yield SystemCommand("Records", "F11: what changed, what to look over, what to cut and buy", m.action_records)
        yield SystemCommand("The list", "F2: every weight with its verdict", lambda: m.action_pane("weights"))
        yield SystemCommand("The form", "F3: the chosen weight and what holds it", lambda: m.action_pane("form"))
        yield SystemCommand("The verdict", "F4: what holds, what goes first", lambda: m.action_pane("verdict"))
        yield SystemCommand("Mend it", "F9: what would bring the weight to green", m.action_mend)
        yield SystemCommand("Why", "w in the list or the verdict: the chain of figures", m.action_why)
        yield SystemCommand("Undo", "Ctrl+Z", m.action_undo)
        yield SystemCommand("Redo", "Ctrl+Y", m.action_redo)
        yield SystemCommand("Cautions", "F12", m.action_cautions)
        yield SystemCommand("Help", "F1: keys, and how to measure", m.action_keys)

    def end_at_once(self) -> None:
        """Ended from outside: what is not saved is put in safety first, then the screen is left, or the program."""
        self.rescued()
        self.left = True
        if self._at_work is not None:
            self._at_work.call_soon_threadsafe(lambda: self.exit(return_code=1))
        # A terminal that is gone can keep the screen from ever being left.
        hard = threading.Timer(3.0, os._exit, [1])
        hard.daemon = True
        hard.start()

    def rescued(self) -> Path | None:
        """Unsaved work put in safety where the owner did not leave of his own will; the file it is in.

        It is kept where it is offered again, or beside her file where that cannot be had.
        """
        if self.left or self.main is None or not self.main.session.dirty:
            return None
        try:
            return self.main.keeper.keep(self.main.snapshot()) or rescue(self.main.session)
        except OSError:
            return rescue(self.main.session)


def run_app(path: Path | None) -> int:
    """Open the screen on a boat, or on the start screen. Returns 0, or 1 where the program broke off."""
    app = SecureLoadApp(path)

    def ended(number: int, frame: FrameType | None) -> None:
        app.end_at_once()

    for name in ("SIGHUP", "SIGTERM"):  # a closed terminal; there is no SIGHUP on Windows
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), ended)
    try:
        app.run()
    finally:
        kept = app.rescued()
        if kept is not None:
            offered = "; it is offered when she is opened again" if kept.suffix == ".kept" else ""
            sys.stderr.write(f"The program broke off. What was not saved is in {kept}{offered}.\n")
    return app.return_code or 0
