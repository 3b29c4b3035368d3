"""What the parts of the main screen's work count on; the screen itself does it."""

from __future__ import annotations

from secure_load.screen.app.frame import Frame
from secure_load.screen.session.session import Session


class Base(Frame):
    """The session, and the ways to show it. Actions by subject are in modules of their own beside this one."""

    session: Session

    def show_all(self, *, afresh: bool = False) -> None:
        """Hand the session down to every pane."""
        raise NotImplementedError

    def changed(self) -> None:
        """Something was taken in: show it, and have what it touches checked again."""
        raise NotImplementedError

    def changed_afresh(self) -> None:
        """The boat was changed elsewhere than at the keyboard: show it anew and check what it touches."""
        raise NotImplementedError

    def bring(self, name: str) -> None:
        """Bring a pane in sight."""
        raise NotImplementedError

    def action_pane(self, name: str) -> None:
        """Bring a pane in sight and put the cursor in it."""
        raise NotImplementedError

    def choose(self, weight: str) -> None:
        """Go to a weight by its id."""
        raise NotImplementedError

    def use(self, session: Session) -> None:
        """Put another boat in the place of this one."""
        raise NotImplementedError

    def saving(self) -> None:
        """All is about to be saved."""
        raise NotImplementedError

    def set_aside(self) -> None:
        """The owner discards what is not saved."""
        raise NotImplementedError

    def saved(self) -> None:
        """All is in her file."""
        raise NotImplementedError

    def say(self, words: str, *, wrong: bool = False) -> None:
        """A short word in the corner."""
        raise NotImplementedError
