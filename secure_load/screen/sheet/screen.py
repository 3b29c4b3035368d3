"""One thing of the owner's own filled in line by line, by the same fields as the form, and taken in as it is typed.

What the models do not take stays in its field with their complaint beside it; all the rest is taken in. A thing
that is new is not in the boat until all it must have is there.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from pydantic import BaseModel
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from secure_load.boat.explain import Problem
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.help import field_text
from secure_load.screen.dialogs.ask import Read
from secure_load.screen.dialogs.pick import PickOne
from secure_load.screen.form.fields import Field
from secure_load.screen.form.parsing import text_of, trouble, value_at
from secure_load.screen.form.row import FieldRow
from secure_load.screen.main.catalogue_picker import items_for
from secure_load.screen.session.session import Keys, Session


class Sheet(ModalScreen[None]):
    """The fields of one table of the boat file, at ``base``."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("escape", "close", "Done"),
        Binding("tab,down", "step(1)", show=False, priority=True),
        Binding("shift+tab,up", "step(-1)", show=False, priority=True),
        Binding("enter", "enter", "Next", priority=True),
        Binding("f1", "help", "Help"),
        Binding("ctrl+z", "undo", "Undo", priority=True),
        Binding("ctrl+y", "redo", "Redo", priority=True),
    ]

    def __init__(
        self,
        title: str,
        fields: Sequence[Field],
        session: Session,
        base: Keys,
        changed: Callable[[], None],
        draft: BaseModel | None = None,
    ) -> None:
        """``changed`` is called after each change; ``draft`` is shown of what is not in the boat yet."""
        super().__init__()
        self.heading = title
        self.session = session
        self.base = base
        self.changed = changed
        self.draft = draft
        self.rows = [FieldRow(f) for f in fields]

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static(self.heading, classes="question", markup=False)
            with VerticalScroll(can_focus=False):
                yield from self.rows
            yield Static(id="sheet-help", markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Show what is there, and begin at the first line that is empty and must not be."""
        self.show(afresh=True)
        empty = next((r for r in self.rows if self.draft is not None and not r.input.value), self.rows[0])
        empty.input.focus()

    @property
    def part(self) -> BaseModel | None:
        """The thing as it is in the boat; None where it is not there yet, or no longer."""
        return value_at(self.session.boat, self.base)

    def show(self, *, afresh: bool = False) -> None:
        """Show every field as the boat has it."""
        part = self.part or self.draft
        if part is not None:
            for row in self.rows:
                row.show(part, None, self.base, afresh=afresh)

    # Typing --------------------------------------------------------------------------------------------------

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        row = event.input.parent
        if isinstance(row, FieldRow):
            row.seen = event.value
            self.take(row)

    def take(self, row: FieldRow) -> None:
        """Take in all that is in order, ``row`` having been typed in; say of the rest what is wrong."""
        wrong = {each: said for each in self.rows if (said := trouble(each.field, each.input.value))}
        wrong |= self._complaints(self._try(row, wrong), row)
        if wrong and self.part is not None:
            self._try(row, wrong)
        for each in self.rows:
            if each in wrong:
                each.fail(wrong[each])
            else:
                each.clear()
        if self.part is not None:  # what is typed of a thing that is not in the boat yet is nowhere but here
            self.show()
        self.changed()

    def _try(self, row: FieldRow, wrong: dict[FieldRow, str]) -> list[Problem]:
        tag = ("sheet", *self.base, *row.keys)
        changes = self._changes(wrong, value_at(self.session.base_of(tag), self.base))
        problems = self.session.apply_changes(changes, row.field.label.lower(), tag=tag) if changes else []
        if problems or not changes:
            self.session.withdraw(tag)
        return problems

    def _changes(self, wrong: dict[FieldRow, str], part: BaseModel | None) -> dict[Keys, Any]:
        """What is typed otherwise than ``part`` has it; a table within the table goes in whole."""
        found = dict[Keys, Any]()
        for row in self.rows:
            if row in wrong or (part is not None and row.input.value == text_of(row.field, part)):
                continue
            first, *rest = row.field.keys
            keys = (*self.base, first)
            if rest:
                inner = found.get(keys) or {
                    str(each.field.keys[1]): each.read()
                    for each in self.rows
                    if each.field.keys[0] == first and each not in wrong
                }
                found[keys] = {k: v for k, v in inner.items() if v is not None}
            else:
                found[keys] = row.read()
        return found

    def _complaints(self, problems: list[Problem], typed: FieldRow) -> dict[FieldRow, str]:
        found: dict[FieldRow, str] = {}
        for problem in problems:
            at = next((r for r in self.rows if problem.path[: len(r.keys)] == r.keys), None)
            if at is None:
                at = next((r for r in self.rows if r.keys[: len(problem.path)] == problem.path and r is typed), typed)
            found[at] = problem.sentence
        return found

    # Keys ----------------------------------------------------------------------------------------------------

    def action_step(self, by: int) -> None:
        """To the next field, or the one before."""
        if by > 0:
            self.focus_next()
        else:
            self.focus_previous()

    def action_enter(self) -> None:
        """The field's list, or the next field."""
        row = self.focused.parent if self.focused is not None else None
        if isinstance(row, FieldRow) and row.has_list:
            self._pick(FieldRow.PickAsked(row))
        else:
            self.focus_next()

    @on(FieldRow.PickAsked)
    def _pick(self, event: FieldRow.PickAsked) -> None:
        event.stop()
        row = event.row

        def picked(choice: str | None) -> None:
            if choice is not None:
                row.input.value = choice

        self.app.push_screen(PickOne(row.field.label, items_for(row), row.input.value), picked)

    def action_help(self) -> None:
        """What the field means, and how it is come by."""
        row = self.focused.parent if self.focused is not None else None
        if isinstance(row, FieldRow):
            self.app.push_screen(Read(row.field.label, field_text(row.field)))

    def action_undo(self) -> None:
        """Take back the last step."""
        self._went(self.session.undo())

    def action_redo(self) -> None:
        """Do again what was taken back."""
        self._went(self.session.redo())

    def _went(self, what: str | None) -> None:
        if what is None:
            return
        self.changed()
        if self.part is None and self.draft is None:
            self.dismiss()
        else:
            self.show(afresh=True)

    def action_close(self) -> None:
        """Back; what was not taken in is told."""
        left = next((r for r in self.rows if r.error), None)
        if left is not None:
            words = f"{left.field.label} was not taken in: {left.error}"
            self.notify(words, severity="warning", markup=False, timeout=6)
        self.session.close_undo_group()
        self.dismiss()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Say what the field means that has the cursor."""
        row = event.widget.parent
        words = f"{row.field.meaning} {row.field.measure}" if isinstance(row, FieldRow) else ""
        self.query_one("#sheet-help", Static).update(words, layout=False)

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        """What comes next is a step of its own."""
        self.session.close_undo_group()
        row = event.widget.parent
        if isinstance(row, FieldRow) and row.untidy and self.part is not None:
            self.call_later(self.show)
