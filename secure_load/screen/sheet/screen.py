"""A table of the boat file as a sheet of fields, lists of tables as rows, blocks of figures to type or paste.

Whatever the file can say is entered here; the lines come from the models. What is complete goes into the boat at
once, what is refused or incomplete stays on the sheet, in red, with what is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, cast

from pydantic import BaseModel
from pydantic_core import PydanticUndefined
from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Input, OptionList, Static, TextArea
from textual.widgets.option_list import Option

from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.help import field_text
from secure_load.screen.app.keys import key
from secure_load.screen.app.themes import coloured
from secure_load.screen.dialogs.ask import Read
from secure_load.screen.dialogs.pick import PickOne
from secure_load.screen.form.fields import Field
from secure_load.screen.form.parsing import number, plain, read, trouble, unknown, value_at
from secure_load.screen.form.row import FieldRow, lines_of
from secure_load.screen.main.catalogue_picker import items_for
from secure_load.screen.session.session import Keys
from secure_load.screen.sheet.draft import Draft
from secure_load.screen.sheet.model_fields import Branch, lines_from
from secure_load.screen.verdict.words import safe

Changed = Callable[[], None]


def words_of(value: Any) -> str:
    """A table, a list or a figure in a few words."""
    if isinstance(value, Mapping):
        table = cast("Mapping[str, Any]", value)
        return ", ".join(f"{k.replace('_', ' ')} {words_of(v)}" for k, v in table.items())
    if isinstance(value, list | tuple):
        items = cast("list[Any]", list(value))
        return (
            f"{len(items)} entries"
            if len(items) > 4 or any(isinstance(i, Mapping | list) for i in items)
            else plain(items)
        )
    return plain(value)


class BranchLine(Static, can_focus=True):
    """The line that leads to a table inside the table."""

    def __init__(self, branch: Branch) -> None:
        super().__init__(markup=False)
        self.branch = branch

    def show(self, value: Any) -> None:
        """Say what is there."""
        words = safe(words_of(value), 200) if value else "none"
        self.update(
            coloured([("", f"{self.branch.label:<24}"), ("" if value else "quiet", words), ("quiet", "  \u25b8")])
        )

    async def on_click(self) -> None:
        """The mouse opens it."""
        self.focus()
        await self.run_action("screen.enter")


class Part(ModalScreen[None]):
    """What the screens over one part of a draft have in common."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        key("escape", "close", "Done"),
        key("ctrl+z", "undo", "Undo", priority=True),
        key("ctrl+y", "redo", "Redo", priority=True, show=False),
    ]

    def __init__(self, title: str, draft: Draft, keys: Keys, changed: Changed) -> None:
        """``keys`` leads to the part inside the draft; ``changed`` is called after each change."""
        super().__init__()
        self.heading, self.draft, self.keys, self.changed = title, draft, keys, changed

    def show(self) -> None:
        """Show the part as it now is."""
        raise NotImplementedError

    def put(self, data: dict[str, Any], what: str, tag: object = None) -> None:
        """Take a change into the draft, and what is in order into the boat."""
        self.draft.put(data, what, tag)
        self.changed()
        self.tell()

    def set_part(self, value: Any, what: str) -> None:
        """Put another value in the place of the whole part."""
        data = self.draft.copy_of()
        self.draft.set(data, self.keys, value)
        self.draft.session.close_undo_group()
        self.put(data, what)
        self.draft.session.close_undo_group()

    def tell(self) -> None:
        """Say what keeps some of it out of the boat."""
        self.query_one("#sheet-said", Static).update(safe(self.draft.complaint(), 300))

    def action_undo(self) -> None:
        """Drop what is incomplete; where nothing is, undo the last step."""
        if self.draft.problems or self.draft.session.undo() is not None:
            self._went()

    def action_redo(self) -> None:
        """Redo what was undone."""
        if self.draft.session.redo() is not None:
            self._went()

    def _went(self) -> None:
        self.draft.reload()
        self.changed()
        if not self.draft.data and isinstance(self.draft.root[-1], int):
            self.dismiss()  # it is no longer there
            return
        self.show()
        self.tell()

    def action_close(self) -> None:
        """Back to where it was opened from."""
        self.draft.session.close_undo_group()
        self.dismiss()

    def open(self, branch: Branch, keys: Keys) -> None:
        """Go into a table, a list of tables or a block of figures."""
        title = f"{self.heading}: {branch.label.lower()}"
        if branch.model is None:
            screen: Part = Block(title, self.draft, keys, self.changed)
        elif branch.many:
            screen = Rows(title, self.draft, keys, branch.model, self.changed)
        else:
            screen = Sheet(title, self.draft, keys, branch.model, self.changed)
        self.app.push_screen(screen, lambda _: self._back())

    def _back(self) -> None:
        self.show()
        self.tell()


class Sheet(Part):
    """The fields of one table."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        key("tab,down", "step(1)", "Next", show=False, priority=True),
        key("shift+tab,up", "step(-1)", "Before", show=False, priority=True),
        key("enter", "enter", "Open or next", priority=True),
        key("f1", "help", "Help"),
        key("f8", "remove", "Remove all of it"),
    ]

    def __init__(
        self,
        title: str,
        draft: Draft,
        keys: Keys,
        model: type[BaseModel],
        changed: Changed,
        leave_out: frozenset[str] = frozenset(),
    ) -> None:
        super().__init__(title, draft, keys, changed)
        lines = lines_from(model, leave_out)
        self.rows = [FieldRow(each) for each in lines if isinstance(each, Field)]
        self.branches = [BranchLine(each) for each in lines if isinstance(each, Branch)]
        infos = model.model_fields.items()
        self.defaults = {i.alias or n: i.default for n, i in infos if i.default not in (None, PydanticUndefined, [])}
        """What is taken where the file says nothing."""
        self._base = draft.copy_of()
        self.draft.session.close_undo_group()

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall full"):
            yield Static(self.heading, classes="question", markup=False)
            with VerticalScroll(can_focus=False):
                yield from lines_of(self.rows)
                yield from self.branches
            yield Static(id="sheet-said", classes="wrong", markup=False)
            yield Static(id="sheet-help", markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Show what is there."""
        self.show(afresh=True)
        self.tell()
        part = self.draft.get(self.keys) or {}
        needed = next((r for r in self.rows if value_at(part, r.field.keys) is None and r.field.is_required), None)
        first = needed or next(iter(self.rows), None)
        (first.input if first is not None else self.branches[0]).focus()

    def show(self, *, afresh: bool = False) -> None:
        """Show every line as the draft has it."""
        part = self.draft.get(self.keys) or {}
        for row in self.rows:
            row.show(part, self.defaults, (*self.draft.root, *self.keys), afresh=afresh)
        for line in self.branches:
            line.show(self.draft.get((*self.keys, line.branch.key)))

    # Typing --------------------------------------------------------------------------------------------------

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        row = event.input.parent
        if isinstance(row, FieldRow):
            row.seen = event.value
            self.take(row)

    def take(self, row: FieldRow) -> None:
        """Take in what was typed in a row, if it is in order; otherwise what stood there before stands."""
        data = self.draft.copy_of()
        # what was typed on the way to a figure leaves no trace
        before = _at(self._base, (*self.keys, *row.field.whole_keys))
        self.draft.set(data, (*self.keys, *row.field.whole_keys), before)
        value = row.read()
        wrong = trouble(row.field, row.input.value) or unknown(row.field, value)
        if not wrong and row.field.part is not None:
            beside = [r for r in self.rows if r.field.whole_keys == row.field.whole_keys]
            value = [r.read() for r in beside]
            if any(v is None for v in value):
                wrong = None if all(v is None for v in value) else "give all of them, or none"
                value = None if wrong is None else value
            if wrong is None:
                for each in beside:
                    each.clear()
        if not wrong:
            self.draft.set(data, (*self.keys, *row.field.whole_keys), value)
        row.clear()
        self.put(data, row.field.label.lower(), ("sheet", *self.draft.root, *self.keys, *row.field.whole_keys))
        if wrong:
            row.fail(wrong)
        self._complain(row)
        for line in self.branches:
            line.show(self.draft.get((*self.keys, line.branch.key)))

    def _complain(self, typed: FieldRow) -> None:
        """Beside each field what is wrong with it."""
        said: dict[FieldRow, str] = {}
        here = (*self.draft.root, *self.keys)
        for problem in self.draft.problems:
            row = next((r for r in self.rows if problem.path[: len(r.keys)] == r.keys), None)
            row = row or next((r for r in self.rows if r.base + r.field.whole_keys == problem.path), None)
            if row is None and (problem.path == here or typed.keys[: len(problem.path)] == problem.path):
                row = typed
            if row is not None:
                said[row] = problem.sentence
        for row in self.rows:
            if row in said:
                row.fail(said[row])
            elif row is not typed and not trouble(row.field, row.input.value):
                row.clear()

    # Keys ----------------------------------------------------------------------------------------------------

    def action_step(self, by: int) -> None:
        """To the next line, or the one before."""
        if by > 0:
            self.focus_next()
        else:
            self.focus_previous()

    def action_enter(self) -> None:
        """Open a table or a field's list; else on to the next line."""
        row = self.focused.parent if self.focused is not None else None
        if isinstance(self.focused, BranchLine):
            branch = self.focused.branch
            self.open(branch, (*self.keys, branch.key))
        elif isinstance(row, FieldRow) and row.has_list:
            self._pick(FieldRow.PickAsked(row))
        else:
            self.focus_next()

    @on(FieldRow.PickAsked)
    def _pick(self, event: FieldRow.PickAsked) -> None:
        row = event.row

        def picked(choice: str | None) -> None:
            row.input.focus()
            if choice is not None:
                with row.input.prevent(Input.Changed):
                    row.input.value = row.seen = choice
                self.take(row)
                self.call_after_refresh(self.action_step, 1)

        self.app.push_screen(PickOne(row.field.label, items_for(row), row.input.value), picked)

    def action_help(self) -> None:
        """What the field means, and how it is measured."""
        row = self.focused.parent if self.focused is not None else None
        if isinstance(row, FieldRow):
            self.app.push_screen(Read(row.field.label, field_text(row.field)))

    def action_remove(self) -> None:
        """Take the whole table out."""
        if self.keys:
            self.set_part(None, f"removing {self.heading}")
            self.dismiss()

    def _went(self) -> None:
        super()._went()
        self._base = self.draft.copy_of()
        if self.is_current:
            self.show(afresh=True)

    def action_close(self) -> None:
        """Back; what is refused is told."""
        left = next((r for r in self.rows if r.error), None)
        if left is not None:
            self.notify(f"{left.field.label} was not taken in: {left.error}", severity="warning", markup=False)
        super().action_close()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Say what the line means that has the cursor."""
        self._base = self.draft.copy_of()
        row, words = event.widget.parent, ""
        if isinstance(row, FieldRow):
            words = f"{row.field.meaning} {row.field.measure}"
        elif isinstance(event.widget, BranchLine):
            words = f"{event.widget.branch.meaning} Enter opens it."
        self.query_one("#sheet-help", Static).update(words)

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        """What comes next is a step of its own."""
        self.draft.session.close_undo_group()
        row = event.widget.parent
        if isinstance(row, FieldRow) and row.untidy:
            self.call_later(self.show)


def _at(data: Any, keys: Keys) -> Any:
    for each in keys:
        if isinstance(each, int):
            data = data[each] if isinstance(data, list) and each < len(cast("list[Any]", data)) else None
        else:
            data = cast("dict[str, Any]", data).get(each) if isinstance(data, dict) else None
    return data


class Rows(Part):
    """A list of like tables, a row each."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        key("enter", "change", "Edit"),
        key("a", "add", "Add"),
        key("c", "duplicate", "Duplicate"),
        key("x,delete", "remove", "Remove"),
        key("t", "table", "Type or paste as a table"),
    ]

    def __init__(
        self,
        title: str,
        draft: Draft,
        keys: Keys,
        model: type[BaseModel],
        changed: Changed,
        begin: Callable[[], dict[str, Any]] = dict,
        words: Callable[[Any], str] = words_of,
    ) -> None:
        """``begin`` makes what a new row begins with; ``words`` tells a row in a line."""
        super().__init__(title, draft, keys, changed)
        self.model, self.begin, self.words = model, begin, words

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall full"):
            yield Static(self.heading, classes="question", markup=False)
            yield OptionList(compact=True, markup=False)
            yield Static(id="sheet-said", classes="wrong", markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Show the rows."""
        self.show()
        self.tell()

    @property
    def items(self) -> list[Any]:
        """The rows, as plain tables."""
        return list(self.draft.get(self.keys) or [])

    def show(self) -> None:
        """Show the rows as they now are."""
        listing, items = self.query_one(OptionList), self.items
        at = listing.highlighted or 0
        listing.set_options(
            Option(coloured([("quiet", f"{n:>3}  "), ("", safe(self.words(i), 300))])) for n, i in enumerate(items, 1)
        )
        if not items:
            listing.add_option(Option(coloured([("quiet", "None yet: a adds one, t types or pastes a table.")])))
        listing.highlighted = min(at, max(len(items) - 1, 0))
        listing.focus()

    @property
    def _here(self) -> int | None:
        at = self.query_one(OptionList).highlighted
        return at if at is not None and at < len(self.items) else None

    def _open(self, place: int) -> None:
        sheet = Sheet(f"{self.heading} {place + 1}", self.draft, (*self.keys, place), self.model, self.changed)
        self.app.push_screen(sheet, lambda _: self._row_done(place))

    def _row_done(self, place: int) -> None:
        if place < len(self.items) and self.items[place] in ({}, self.begin()):
            self.set_part([i for n, i in enumerate(self.items) if n != place] or None, "an empty row")
        self._back()
        self.query_one(OptionList).highlighted = min(place, max(len(self.items) - 1, 0))

    def action_add(self) -> None:
        """One more row."""
        begun = self.begin()
        if begun:
            self.set_part([*self.items, begun], f"adding to {self.heading}")
        self._open(len(self.items) - 1 if begun else len(self.items))

    def action_duplicate(self) -> None:
        """The row under the cursor again, with an id of its own."""
        if self._here is None:
            return
        items, like = self.items, dict(self.items[self._here])
        taken = {i.get("id") for i in items}
        if "id" in like:
            like["id"] = next(f"{like['id']}-{n}" for n in range(2, len(items) + 3) if f"{like['id']}-{n}" not in taken)
        self.set_part([*items[: self._here + 1], like, *items[self._here + 1 :]], f"duplicating in {self.heading}")
        self._back()

    def action_remove(self) -> None:
        """Remove the row under the cursor."""
        if self._here is not None:
            rest = [i for n, i in enumerate(self.items) if n != self._here]
            self.set_part(rest or None, f"removing from {self.heading}")
            self._back()

    @on(OptionList.OptionSelected)
    def action_change(self) -> None:
        """Open the row under the cursor; where there is none, add one."""
        if self._here is None:
            self.action_add()
        else:
            self._open(self._here)

    def action_table(self) -> None:
        """All rows as text, to be typed or pasted."""
        columns = [f.keys[0] for f in lines_from(self.model) if isinstance(f, Field) and f.part is None]
        columns = [str(c) for c in dict.fromkeys(columns)]
        block = Block(self.heading, self.draft, self.keys, self.changed, columns, self.model)
        self.app.push_screen(block, lambda _: self._back())


class Block(Part):
    """Rows of figures to be typed or pasted, from a spreadsheet too: a row a line, columns by tabs or spaces."""

    def __init__(
        self,
        title: str,
        draft: Draft,
        keys: Keys,
        changed: Changed,
        columns: list[str] | None = None,
        model: type[BaseModel] | None = None,
    ) -> None:
        """With ``columns`` every row is a table of these keys, else a list of numbers."""
        super().__init__(title, draft, keys, changed)
        self.columns = columns
        self.fields = {str(f.keys[0]): f for f in lines_from(model) if isinstance(f, Field)} if model else {}

    def compose(self) -> ComposeResult:
        head = "  ".join(self.columns) if self.columns else "one row a line, figures apart by spaces or tabs"
        with Vertical(classes="box tall full"):
            yield Static(self.heading, classes="question", markup=False)
            yield Static(head, classes="quiet", markup=False)
            yield TextArea(self.text())
            yield Static(id="sheet-said", classes="wrong", markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Begin typing."""
        self.query_one(TextArea).focus()
        self.tell()

    def text(self) -> str:
        """The rows as text."""
        rows = self.draft.get(self.keys) or []
        cells = [[r.get(c) for c in self.columns] if self.columns else list(r) for r in rows]
        return "\n".join("\t".join("-" if c is None else plain(c) for c in row) for row in cells)

    def show(self) -> None:
        """Show the rows as they now are."""
        area = self.query_one(TextArea)
        with area.prevent(TextArea.Changed):
            area.text = self.text()

    @on(TextArea.Changed)
    def _typed(self) -> None:
        rows: list[Any] = []
        for n, line in enumerate(self.query_one(TextArea).text.splitlines(), start=1):
            if not line.strip():
                continue
            cells = [c.strip() for c in (line.split("\t") if "\t" in line else line.replace(";", " ").split())]
            row = self._row(cells)
            if isinstance(row, str):
                self.query_one("#sheet-said", Static).update(safe(f"row {n}: {row}", 300))
                return
            rows.append(row)
        data = self.draft.copy_of()
        self.draft.set(data, self.keys, rows or None)
        self.put(data, self.heading, ("block", *self.draft.root, *self.keys))

    def _row(self, cells: list[str]) -> dict[str, Any] | list[Any] | str:
        if self.columns is None:
            figures = [number(c.rstrip(",")) for c in cells]
            return next((f"'{f}' must be a number" for f in figures if isinstance(f, str)), figures)
        if len(cells) > len(self.columns):
            return f"has {len(cells)} columns, but there are {len(self.columns)}: {', '.join(self.columns)}"
        row: dict[str, Any] = {}
        for column, cell in zip(self.columns, cells, strict=False):
            field = self.fields[column]
            if cell in ("", "-"):
                continue
            wrong = trouble(field, cell)
            if wrong:
                return f"{column} {wrong}"
            row[column] = read(field, cell)
        return row
