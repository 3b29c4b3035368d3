"""Unsaved work is kept within a second, work that was lost is offered, and files changed by others are told of."""

from __future__ import annotations

import contextlib
from pathlib import Path

from textual import on, work
from textual.message import Message
from textual.timer import Timer

from secure_load.boat.file import BoatDocument, BoatFileError
from secure_load.screen.dialogs.ask import Ask
from secure_load.screen.main.base import Base
from secure_load.screen.session.autosave import (
    AutosavedWork,
    Autosaver,
    Snapshot,
    discard,
    fallback_folder,
    recover,
    set_aside,
    state_folder,
    unfinished_work,
)
from secure_load.screen.session.session import Session

KEEP_AFTER = 0.3
"""Seconds from a change until it is kept; changes within them are kept with it."""


class AutosaveActions(Base):
    """What the main screen does so that nothing is lost."""

    keeper: Autosaver
    open_elsewhere = False
    """True where another program has the same file open."""
    _keeping: Timer | None = None
    _number = 0
    _told: object = None

    class Done(Message):
        """The keeping of a snapshot is done, or could not be."""

        def __init__(self, session: Session, problem: str, document: BoatDocument | None, changed: bool) -> None:
            super().__init__()
            self.session = session
            self.problem = problem
            self.document = document
            self.changed = changed

    def load(self, path: Path) -> None:
        """Read a file in place of the boat on screen."""
        raise NotImplementedError

    def begin_keeping(self) -> None:
        """A boat was opened: keep what is done to her, and say what there is to be said of her file."""
        session = self.session
        self.open_elsewhere = self.keeper.open(session.path)
        # what is still being kept of the boat before her is not hers
        self._number += 1
        self.keeper.clear(self._number)
        if self.open_elsewhere:
            self.say(
                f"{session.path.name if session.path else 'She'} is open in another window as well. "
                "Whoever saves second is asked before anything is overwritten.",
                wrong=True,
            )
        if self.keeper.folder == fallback_folder():
            self.say(
                f"Unsaved work is kept in {self.keeper.folder}, which is emptied when the computer is started again: "
                f"{state_folder()} cannot be written to. Save often.",
                wrong=True,
            )
        found = unfinished_work(path=session.path) if session.path is not None else []
        if found and not session.dirty:
            self._offer(found[0])
        self.keep_soon()

    def _offer(self, kept: AutosavedWork) -> None:
        def answered(answer: str | None) -> None:
            if answer == "take":
                self.take_up(kept)
            elif answer == "throw":
                with contextlib.suppress(OSError):
                    set_aside(Path(kept.place))

        self.app.push_screen(
            Ask(
                f"There is work on her that was not saved: {kept.words}.",
                [("take", "Recover"), ("leave", "Later"), ("throw", "Discard")],
            ),
            answered,
        )

    def take_up(self, kept: AutosavedWork) -> None:
        """Go on where the kept work ended."""
        try:
            session = recover(kept)
        except BoatFileError as problem:
            self.say(problem.message, wrong=True)
            return
        self.use(session)
        self.adopt(kept)

    def adopt(self, kept: AutosavedWork) -> None:
        """The kept work is on screen: keep it as this sitting's own, and only then let the old go."""
        self._keep_now()
        discard(kept)
        self.say("Recovered. Not yet saved: Ctrl+S.")

    def saving(self) -> None:
        """All is about to be saved: until it is, what is kept is the same, to the letter.

        Killed between the saving and the clearing away, the program would otherwise leave work behind that is older
        than her file, and offer it as if it were newer.
        """
        if self.session.dirty:
            with contextlib.suppress(OSError):
                self.keeper.keep(self.snapshot())

    def saved(self) -> None:
        """All is in her file; it may be another than before."""
        path = self.session.path
        if path is not None and self.keeper.path != path.resolve():
            self.open_elsewhere = self.keeper.open(path)
        self._number += 1
        self.keeper.clear(self._number)

    def set_aside(self) -> None:
        """The owner discards what is not saved."""
        self.keeper.set_aside(self.snapshot())

    # AutosaveActions -------------------------------------------------------------------------------------------------

    def keep_soon(self) -> None:
        """Something may have changed: keep it within the second."""
        if self._keeping is None:
            self._keeping = self.set_timer(KEEP_AFTER, self._due)

    def _due(self) -> None:
        self._keeping = None
        session = self.session
        if session.dirty:
            self._keep(session, self.snapshot())
        else:
            self._number += 1
            self.keeper.clear(self._number)

    def snapshot(self) -> Snapshot:
        """The boat as she is now."""
        self._number += 1
        session = self.session
        return Snapshot(session.boat, session.document, session.path, self._number)

    # Without a description every call would have its arguments put in words, the whole boat among them (3 ms).
    @work(thread=True, group="keep", exit_on_error=False, description="keep")
    def _keep(self, session: Session, snapshot: Snapshot) -> None:
        problem = ""
        try:
            self.keeper.keep(snapshot)
        except OSError as error:
            problem = error.strerror or "the system refused"
        document = snapshot.document
        changed = document is not None and document.changed_on_disk()
        self.post_message(self.Done(session, problem, document, changed))

    def _keep_now(self) -> None:
        try:
            self.keeper.keep(self.snapshot())
        except OSError as error:
            self.say(f"Unsaved work cannot be kept: {error.strerror}. Save often.", wrong=True)

    @on(Done)
    def _was_kept(self, event: Done) -> None:
        if event.problem and self._told != "folder":
            self._told = "folder"
            self.say(f"Unsaved work cannot be kept in {self.keeper.folder}: {event.problem}. Save often.", wrong=True)
        if event.changed and event.session is self.session and event.document is self.session.document:
            self._tell_changed()

    # Files changed by others ---------------------------------------------------------------------------------

    def came_back(self, focused: bool) -> None:
        """The terminal has the owner's eye again: see whether the file is still what was read."""
        if focused and self.session.document is not None:
            self._look_at_file(self.session, self.session.document)

    @work(thread=True, exclusive=True, group="look", exit_on_error=False, description="look")
    def _look_at_file(self, session: Session, document: BoatDocument) -> None:
        if document.changed_on_disk():
            self.post_message(self.Done(session, "", document, True))

    def _tell_changed(self) -> None:
        """Say so once for each change, where the owner is not in the midst of answering something else."""
        path = self.session.path
        if path is None or self.app.screen is not self:
            return
        try:
            found = path.stat()
            now: object = (path, found.st_mtime_ns, found.st_size)
        except OSError:
            now = (path, "gone")
        if now == self._told:
            return
        self._told = now

        def answered(answer: str | None) -> None:
            if answer == "read":
                self.load(path)

        loses = " Reading it again loses what is not saved here." if self.session.dirty else ""
        gone = isinstance(now, tuple) and now[-1] == "gone"
        what = "was removed or renamed" if gone else "was changed by another program"
        answers = [("keep", "Keep what is here"), *([] if gone else [("read", "Read it again")])]
        self.app.push_screen(Ask(f"{path.name} {what} since it was read.{'' if gone else loses}", answers), answered)
