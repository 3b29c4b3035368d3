"""The Textual application: its themes, the screens it begins with, leaving it, and being ended from outside.

The first screen is painted before anything heavy is loaded: what needs the models or the engine is imported where it
is used, when the opening screen's thread has loaded it.
"""

from __future__ import annotations

import asyncio
import gc
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

from textual import on
from textual.app import SystemCommand
from textual.filter import LineFilter
from textual.screen import Screen
from textual.widget import AwaitMount

from secure_load.cli.config import config
from secure_load.screen.app.ascii_fallback import plain_filter
from secure_load.screen.app.palette import main_commands
from secure_load.screen.app.themes import THEMES, theme_for
from secure_load.screen.opening.screen import NotOpened, Opened, opening, sheets
from secure_load.screen.opening.typeahead import EarlyKeys

if TYPE_CHECKING:
    from secure_load.screen.main.screen import MainScreen
    from secure_load.screen.session.autosave import AutosavedWork
    from secure_load.screen.session.session import Session
    from secure_load.screen.start.screen import StartScreen


class CannotOpen(Exception):
    """The boat file cannot be read; the message is one sentence."""


class SecureLoadApp(EarlyKeys):
    """Begins with a boat, or with the start screen where none is given or the one given cannot be read."""

    TITLE = "Secure Load"

    def __init__(self, path: Path | None = None, *, leave_if_unreadable: bool = False) -> None:
        # Without colour Textual would paint greys; with the terminal's own colours it leaves them out altogether.
        super().__init__(css_path=sheets(path), ansi_color=True if "NO_COLOR" in os.environ else None)
        self.path = path
        self.main: MainScreen | None = None
        self.unreadable = ""
        """Why the boat could not be read, where the program was left for that."""
        self._leave_if_unreadable = leave_if_unreadable
        self._loaded = "secure_load.screen.main.screen" in sys.modules
        self._at_work: asyncio.AbstractEventLoop | None = None
        self.left = False
        """True once the owner has left of his own will, and was asked about what was not saved."""
        for each in THEMES:
            self.register_theme(each)
        self.theme = theme_for(config().theme == "dark", self.console.color_system).name
        self._plain = plain_filter(getattr(sys.__stderr__, "encoding", None))  # Textual writes to standard error

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Textual's own, and plain characters for a terminal that has no others."""
        return [*super().get_line_filters(), *([self._plain] if self._plain is not None else [])]

    def get_default_screen(self) -> Screen[None]:
        """Paint something at once, where there is much to be loaded first."""
        return super().get_default_screen() if self._loaded else opening(self.path)

    def on_mount(self) -> None:
        """Open the boat, or offer to; where there is much to be loaded the opening screen sees to it."""
        self._at_work = asyncio.get_running_loop()
        if not self._loaded:
            return
        self.keys_held = False
        if self.path is None:
            self._show_start()
            return
        from secure_load.boat.file import BoatFileError
        from secure_load.screen.session.session import Session

        try:
            session = Session.open(self.path)
        except BoatFileError as problem:
            self._show_start(problem.message)
        else:
            self._begin(session)

    def on_unmount(self) -> None:
        """Where there is nothing unsaved, nothing is left behind."""
        if self.main is not None and not self.main.session.dirty:
            self.main.keeper.close()

    @on(Opened)
    async def _opened(self, event: Opened) -> None:
        await self._in_one_picture(lambda: self._begin(event.session))
        assert self.main is not None
        self.main.call_after_refresh(self._hand_on, self.main)

    @on(NotOpened)
    async def _not_opened(self, event: NotOpened) -> None:
        if event.problem and self._leave_if_unreadable:
            self.unreadable = event.problem
            self.exit(return_code=2)
            return
        if event.problem:
            self.forget_keys()  # what was typed was meant for a boat
        await self._in_one_picture(lambda: self._show_start(event.problem))
        self.call_after_refresh(self._hand_on, self.screen)

    async def _in_one_picture(self, show: Callable[[], AwaitMount]) -> None:
        """Keep the frame on screen until what comes in its place is whole."""
        if not gc.isenabled():
            gc.freeze()  # what is loaded stays: it need not be looked through while somebody types
            gc.enable()
        with self.batch_update():
            await show()
        for screen in self.screen_stack[1:]:
            screen.refresh(layout=True)  # what was to be laid out meanwhile was put off, and nobody else calls it in

    def _show_start(self, problem: str = "") -> AwaitMount:
        from secure_load.screen.start.screen import StartScreen

        return self.push_screen(StartScreen(f"{problem}." if problem else ""))

    def _begin(self, session: Session, at: str = "", take_up: AutosavedWork | None = None) -> AwaitMount:
        from secure_load.screen.main.screen import MainScreen

        self.main = MainScreen(session, at or config().start, take_up)
        return self.push_screen(self.main)

    def on_start_screen_open(self, event: StartScreen.Open) -> None:
        """A file was chosen on the start screen."""
        from secure_load.boat.file import BoatFileError
        from secure_load.screen.session.session import Session
        from secure_load.screen.start.screen import StartScreen

        try:
            session = Session.open(event.path)
        except BoatFileError as problem:
            if isinstance(self.screen, StartScreen):
                self.screen.tell(f"{problem.message}.")
            return
        self._begin(session.as_example() if event.example else session)

    def on_start_screen_new(self, event: StartScreen.New) -> None:
        """A boat was named on the start screen."""
        from secure_load.boat.file import BoatFileError
        from secure_load.screen.session.session import Session

        try:
            self._begin(Session.new(event.name))
        except BoatFileError as problem:
            self.notify(problem.message, severity="warning", markup=False)

    def on_start_screen_begin(self, event: StartScreen.Begin) -> None:
        """A boat was begun with a few requests."""
        self._begin(event.session, at="table")

    def on_start_screen_take_up(self, event: StartScreen.TakeUp) -> None:
        """Unsaved work was chosen on the start screen."""
        from secure_load.boat.file import BoatFileError
        from secure_load.screen.session.autosave import recover

        try:
            self._begin(recover(event.kept), take_up=event.kept)
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
        for own in super().get_system_commands(screen):
            if own.title not in ("Theme", "Quit"):  # the verdicts' colours are ours alone
                yield own
        yield SystemCommand("Light or dark", "Change the colours of the screen", self.action_other_theme)
        yield SystemCommand("Quit", "Asks first if something is not saved", self.action_quit)
        m = self.main
        if m is None or screen is not m:
            return
        yield from main_commands(m)

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
        from secure_load.screen.app.rescue import rescue

        try:
            return self.main.keeper.keep(self.main.snapshot()) or rescue(self.main.session)
        except OSError:
            return rescue(self.main.session)


def run_app(path: Path | None) -> int:
    """Open the screen on a boat, or on the start screen. Returns 0, or 1 where the program broke off.

    Raises CannotOpen for a boat that cannot be read.
    """
    app = SecureLoadApp(path, leave_if_unreadable=True)

    def ended(number: int, frame: FrameType | None) -> None:
        app.end_at_once()

    for name in ("SIGHUP", "SIGTERM"):  # a closed terminal; there is no SIGHUP on Windows
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), ended)
    try:
        app.run()
    finally:
        gc.enable()
        kept = app.rescued()
        if kept is not None:
            offered = "; it is offered when she is opened again" if kept.suffix == ".kept" else ""
            sys.stderr.write(f"The program broke off. What was not saved is in {kept}{offered}.\n")
    if app.unreadable:
        raise CannotOpen(app.unreadable)
    return app.return_code or 0
