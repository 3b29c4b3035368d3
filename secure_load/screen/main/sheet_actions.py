"""Sheets over the main screen, and what is left on them that is not complete."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel

from secure_load.screen.main.base import Base
from secure_load.screen.session.session import Keys

if TYPE_CHECKING:
    from secure_load.screen.sheet.draft import Draft


class SheetActions(Base):
    """Opening the sheet of a table of the boat file."""

    drafts: dict[Keys, dict[str, Any]]
    """What was left incomplete, by the way to it through the boat file."""

    def open_sheet(
        self,
        title: str,
        root: Keys,
        model: type[BaseModel],
        then: Callable[[], object] = lambda: None,
        leave_out: frozenset[str] = frozenset(),
    ) -> None:
        """Open the sheet of a table; ``then`` is done when it is closed."""
        from secure_load.screen.sheet.draft import Draft
        from secure_load.screen.sheet.screen import Sheet

        draft = Draft(self.session, root, self.drafts.pop(root, None))

        def closed(_: None) -> None:
            self.sheet_closed(title, draft)
            then()

        self.app.push_screen(Sheet(title, draft, (), model, self.changed, leave_out), closed)

    def sheet_closed(self, title: str, draft: Draft) -> None:
        """What is not complete is kept, and told."""
        if draft.problems:
            self.drafts[draft.root] = draft.data
            self.say(f"{title}: {draft.complaint()}. It stays on its sheet, and is not saved.", wrong=True)
        self.changed_afresh()
