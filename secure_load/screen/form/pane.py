"""The form: the chosen weight's own figures, then a line for each thing that holds it, open or shut.

Fields are made when first shown (1.7 ms each), and the same ones serve every weight. What is typed goes into the
session at once if the models take it, and otherwise stays where it is with their complaint beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input, Static

from secure_load.boat.explain import Problem
from secure_load.boat.models import Weight, restraint_ids
from secure_load.boat.render import plain_table
from secure_load.screen.app.keys import key
from secure_load.screen.app.messages import Edited, NotTaken
from secure_load.screen.form.fields import IN_FORM, RESTRAINTS, WEIGHT, form_of, restraint_words
from secure_load.screen.form.parsing import (
    assumed_value,
    assumed_words,
    plain,
    read_mass,
    size_taken,
    stand_ins,
    trouble,
    unknown,
    value_at,
)
from secure_load.screen.form.row import FieldLine, FieldRow, lines_of
from secure_load.screen.form.section import FoundLine, RestraintSection, SectionHead
from secure_load.screen.session.session import Keys, Session
from secure_load.screen.session.templates import follows_name, still_as_put, weight_id

_NO_WEIGHT = "No weight is chosen. F2 goes to the list; a adds one."
_HOLDS = "Held by"


class AddLine(Static, can_focus=True):
    """The line at the end of the restraints that adds one."""

    BINDINGS = [Binding("space,a", "screen.add_restraint", "Add restraint")]  # noqa: RUF012 (Textual's own way)

    async def on_click(self) -> None:
        """The mouse adds too."""
        await self.run_action("screen.add_restraint")


class MoreLine(Static, can_focus=True):
    """The line that leads to what else the file can say of a weight."""

    BINDINGS = [key("space", "screen.more", "More")]  # noqa: RUF012 (Textual's own way)

    async def on_click(self) -> None:
        """The mouse opens it too."""
        await self.run_action("screen.more")


def more_words(weight: Weight) -> str:
    """What else is said of a weight, by the names of its tables."""
    said = ", ".join(k.replace("_", " ") for k in plain_table(weight) if k not in IN_FORM)
    return f"+ {said or 'more: slope, shape, tank, crew or stores, photos'}"


class FormPane(Vertical):
    """The chosen weight, to be filled in."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        # With priority, or what is typed fast after them would still go to the field before.
        Binding("tab,down", "step(1)", show=False, priority=True),
        Binding("shift+tab,up", "step(-1)", show=False, priority=True),
        Binding("enter", "enter", show=False, priority=True),
        Binding("escape", "screen.pane('table')", "List", show=False),
        Binding("f6", "as_assumed", "Accept assumed"),
        Binding("f7", "screen.add_restraint", "Add restraint"),
        Binding("f8", "screen.delete_restraint", "Remove"),
        Binding("ctrl+f", "screen.found", "Findings", priority=True),
    ]

    def __init__(self) -> None:
        super().__init__(id="form")
        self.session: Session | None = None
        self.opened: int | None = None
        self._of: object = None
        self._weight_rows: list[FieldRow] = []
        self._sections: list[RestraintSection] = []

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="form-scroll", can_focus=False):
            yield Static(_NO_WEIGHT, id="form-none", markup=False)
            yield Vertical(id="weight-rows")
            yield MoreLine(id="form-more", markup=False)
            yield Static(_HOLDS, id="form-holds", markup=False)
            yield Vertical(id="sections")
            yield AddLine("+ add a restraint", id="form-add", markup=False)
        yield Static(id="form-help", markup=False)

    # Showing -------------------------------------------------------------------------------------------------

    def show(self, session: Session, *, afresh: bool = False) -> None:
        """Show the chosen weight as the session has it; ``afresh`` also what is being typed."""
        weight = session.weight
        of = (id(session), session.chosen)
        if of != self._of:
            self._leave()
            afresh = True
            self.opened = None
            self._of = of
        self.session = session
        self.query_one("#form-none").display = weight is None
        for name in ("#weight-rows", "#form-more", "#form-holds", "#sections", "#form-add"):
            self.query_one(name).display = weight is not None
        if weight is not None:
            self._show_weight(session, weight, afresh)

    def _show_weight(self, session: Session, weight: Weight, afresh: bool) -> None:
        have = {row.field.keys for row in self._weight_rows}
        wanted = [f for f in WEIGHT if f.keys not in have and f.has_place_in(weight)]
        if wanted:
            # Those of a bundle come last, and only once there is a weight of several ingots.
            new_rows = [FieldRow(f) for f in wanted]
            self._weight_rows += new_rows
            self.query_one("#weight-rows").mount_all(lines_of(new_rows))
        index = session.index
        assert index is not None
        base: Keys = ("weight", index)
        sized = weight.model_copy(update={"size_m": weight.size_m or size_taken(weight)})
        put = still_as_put(weight)
        for row in self._weight_rows:
            row.show(weight, sized, base, afresh=afresh, put=put)
        for line in self.query("#weight-rows FieldLine").results(FieldLine):
            line.display = any(row.display for row in line.rows)
        self.query_one(MoreLine).update(more_words(weight))
        count = len(weight.restraint)
        if self.opened is not None and self.opened >= count:
            self.opened = None
        while len(self._sections) > count:
            self._sections.pop().remove()
        new = [RestraintSection(n) for n in range(len(self._sections), count)]
        self._sections += new
        self.query_one("#sections").mount_all(new)
        verdict = session.states()[weight.id].verdict
        found = {r.id: r for r in verdict.restraints} if verdict else {}
        ids, taken = restraint_ids(weight), stand_ins(weight, session.boat)
        for n, section in enumerate(self._sections):
            section.show(
                weight.restraint[n],
                taken[n],
                ids[n],
                found.get(ids[n]),
                (*base, "restraint", n),
                opened=n == self.opened,
                afresh=afresh,
                put=still_as_put(weight, weight.restraint[n]),
            )

    @property
    def rows(self) -> list[FieldRow]:
        """Every field now shown."""
        return self._weight_rows + [row for section in self._sections for row in section.rows]

    def pending(self) -> list[FieldRow]:
        """Fields whose text was not taken in."""
        return [row for row in self.rows if row.error]

    def _leave(self) -> None:
        """Another weight is coming: say which words stay behind."""
        for row in self.pending():
            self.call_later(self._left_behind, f"{row.field.label} was not taken: {row.error}")
            row.clear()

    def _left_behind(self, words: str) -> None:
        # A message made while the screen is calling would count as the screen's own, and never reach it.
        self.post_message(NotTaken(words))

    def open_restraint(self, index: int | None, *, head: bool = False) -> None:
        """Open one restraint and put the cursor in its first field; ``head`` leaves it shut, the cursor on its line."""
        self.opened = None if head else index
        if self.session is None:
            return
        self.show(self.session)
        if index is not None and index < len(self._sections):
            section = self._sections[index]

            def go() -> None:
                section.scroll_visible(animate=False, top=True)
                (section.rows[0].input if section.rows else section.head).focus()

            self.call_after_refresh(go)

    def focus_first(self) -> None:
        """Put the cursor where the owner begins."""
        rows = self.rows
        if rows:
            rows[0].input.focus()
        else:
            self.query_one(AddLine).focus()

    @property
    def restraint_in_hand(self) -> int | None:
        """The restraint the cursor is on, else the one that is open."""
        focused = self.screen.focused
        for section in self._sections:
            if focused is not None and section in focused.ancestors_with_self:
                return section.index
        return self.opened

    # Typing --------------------------------------------------------------------------------------------------

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        row = event.input.parent
        if isinstance(row, FieldRow):
            row.seen = event.value
            if not row.field.late:
                self._take(row)

    def _take(self, row: FieldRow) -> None:
        session = self.session
        if session is None or not row.base:
            return
        tag = (session.chosen, row.keys)
        changes = self._changes(row)
        own = row.base + row.field.whole_keys
        beside = [r for r in self.rows if r.base + r.field.whole_keys == own]
        problems: list[Problem] = []
        if not isinstance(changes, str):
            problems = session.apply_changes(changes, row.field.label.lower(), tag=tag)
            for each in beside:
                if each is row or (not problems and not each.stands_refused):
                    each.clear()
            if not problems:
                self.post_message(Edited())
                return
        # What is shown as refused is never reckoned with: what stood there before does again.
        withdrawn = session.withdraw(tag)
        if isinstance(changes, str):
            row.fail(changes)
        for problem in problems:
            at = next((r for r in beside if r.keys == problem.path), row)
            at.fail(problem.sentence)
        if withdrawn:
            self.post_message(Edited())

    def _changes(self, row: FieldRow) -> Mapping[Keys, Any] | str:
        """What a field's text would change, or what is wrong with it before anybody else is asked."""
        field, base = row.field, row.base
        text = row.input.value
        wrong = trouble(field, text)
        if wrong:
            return wrong
        if field.kind == "mass":
            if not text.strip():
                return "is missing"
            mass = read_mass(text)
            if mass["ingots"] is None:
                return {(*base, key): value for key, value in mass.items()}
            # what else is known of them stays
            each = {(*base, "ingots", key): value for key, value in mass["ingots"].items()}
            return {(*base, "mass_kg"): None, **each}
        if field.part is not None:
            whole = base + field.whole_keys
            beside = [r for r in self.rows if r.base + r.field.whole_keys == whole]
            values = [r.stored if r is not row and r.stands_refused else r.read() for r in beside]
            if all(v is None for v in values):
                # a bundle is nothing without its stack
                return {whole[:-1] if whole[-2:] == ("bundle", "stack") else whole: None}
            if any(v is None for v in values):
                return f"give all {_COUNT[len(values)]}, or none"
            return {whole: values}
        value = row.read()
        return unknown(field, value) or {base + field.keys: value}

    def drop_pending(self) -> str | None:
        """Put back what stood in the fields whose text is refused; the label of the first, None where there is none."""
        pending = self.pending()
        for row in pending:
            row.restore()
        return pending[0].field.label if pending else None

    def action_step(self, by: int) -> None:
        """To the next field, or the one before."""
        if by > 0:
            if not isinstance(self.screen.focused, AddLine):
                self.screen.focus_next()
        elif self.screen.focused is not self.rows[0].input:  # beyond it is the list, where letters are commands
            self.screen.focus_previous()

    def pick(self, row: FieldRow, choice: str) -> None:
        """Write down what was picked from a list, and go on to the next field."""
        if self.session is None:
            return
        with row.input.prevent(Input.Changed):
            row.input.value = row.seen = choice
        self._take(row)
        self.session.close_undo_group()
        self.show(self.session)  # other fields may belong to what was picked
        self.screen.set_focus(row.input)
        if not row.error:
            self.action_step(1)

    def action_enter(self) -> None:
        """Open what has the cursor: a field's list, a restraint, the ways to add one; else go on to the next."""
        focused = self.screen.focused
        row = focused.parent if focused is not None else None
        if isinstance(focused, SectionHead):
            focused.action_turn()
        elif isinstance(focused, AddLine):
            self.call_later(self.run_action, "screen.add_restraint")
        elif isinstance(focused, MoreLine):
            self.call_later(self.run_action, "screen.more")
        elif isinstance(focused, FoundLine):
            self.call_later(self.run_action, "screen.found")
        elif isinstance(row, FieldRow) and row.has_list:
            self.post_message(FieldRow.PickAsked(row))
        else:
            self.screen.focus_next()

    def action_as_assumed(self) -> None:
        """Write down the assumed figure as true."""
        focused = self.screen.focused
        row = focused.parent if focused is not None else None
        if isinstance(focused, SectionHead):
            self._all_as_assumed(focused)
        elif isinstance(row, FieldRow) and row.assumed is not None:
            whole = row.base + row.field.whole_keys
            beside = [r for r in self.rows if r.base + r.field.whole_keys == whole and r.assumed is not None]
            for each in beside:
                with each.input.prevent(Input.Changed):
                    each.input.value = plain(each.assumed)
            self._take(row)

    def _all_as_assumed(self, head: SectionHead) -> None:
        """Write down all that is assumed of one restraint as true, and go on to the next."""
        session, section = self.session, head.parent
        index = session.index if session else None
        if session is None or index is None or not isinstance(section, RestraintSection) or session.weight is None:
            return
        weight = session.weight
        taken = stand_ins(weight, session.boat)[section.index]
        restraint = weight.restraint[section.index]
        base: Keys = ("weight", index, "restraint", section.index)
        changes: dict[Keys, Any] = {}
        for field in RESTRAINTS[form_of(restraint)]:
            if assumed_words(field, restraint, taken) and assumed_value(field, taken) is not None:
                whole = value_at(taken, field.whole_keys)
                changes[base + field.whole_keys] = list(whole) if isinstance(whole, tuple) else whole
        session.close_undo_group()
        problems = session.apply_changes(changes, f"{restraint_words(restraint)}, as assumed") if changes else []
        session.close_undo_group()
        if problems:
            self.post_message(NotTaken(problems[0].sentence))
            return
        self.show(session, afresh=True)
        self.post_message(Edited())
        self.screen.focus_next()

    # Coming and going ----------------------------------------------------------------------------------------

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Say what the field means that has the cursor."""
        row = event.widget.parent
        words = ""
        if isinstance(row, FieldRow):
            words = f"{row.field.meaning} {row.field.measure}"
            if row.assumed is not None:
                words += " F6 writes the assumed figure down as true."
            elif row.put:
                words += " Put there for a start: measure it."
        elif isinstance(event.widget, SectionHead):
            words = "Enter opens and closes it, x takes it out. F6: all that is assumed of it is true, write it down."
        self.query_one("#form-help", Static).update(words, layout=False)

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        """A field that is left: what comes next is a step of its own, and its text is tidied."""
        if self.session is None:
            return
        row = event.widget.parent
        if isinstance(row, FieldRow) and row.base[:1] == ("weight",) and row.field.keys == ("name",) and not row.error:
            self._follow_name(row)
        self.session.close_undo_group()
        if isinstance(row, FieldRow):
            if row.field.late:
                self._rename(row)
            elif row.untidy or row.field.needs is not None:
                self.call_later(self.show, self.session)

    def _follow_name(self, row: FieldRow) -> None:
        """The id goes with the name until the owner sets one of his own."""
        session, index = self.session, row.base[1]
        assert session is not None
        assert isinstance(index, int)
        was = session.base_of((session.chosen, row.keys))
        if was is session.boat or index >= len(was.weight) or not follows_name(was.weight[index]):
            return
        weight = session.boat.weight[index]
        new = weight_id(weight.title, [w.id for w in session.boat.weight if w is not weight])
        if new != weight.id and not session.rename(index, new, join=True):
            self._of = (id(session), session.chosen)
            self.post_message(Edited())

    def _rename(self, row: FieldRow) -> None:
        session, weight = self.session, self.session.weight if self.session else None
        index = session.index if session else None
        if session is None or weight is None or index is None or row.input.value == weight.id:
            row.clear()
            return
        problems = session.rename(index, row.input.value)
        if problems:
            row.fail(problems[0].sentence)
            return
        row.clear()
        self._of = (id(session), session.chosen)
        self.post_message(Edited())

    @on(SectionHead.Turned)
    def _turned(self, event: SectionHead.Turned) -> None:
        event.stop()
        if self.session is not None:
            self.opened = None if self.opened == event.section.index else event.section.index
            self.show(self.session)
            if self.opened is not None:
                self.call_after_refresh(event.section.scroll_visible, animate=False, top=True)


_COUNT = {2: "two", 3: "three"}
