"""One line of the form: what it is called, what is typed, and beside it what is wrong, assumed or meant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from pydantic import BaseModel
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.geometry import Size
from textual.message import Message
from textual.reactive import Reactive
from textual.widget import Widget
from textual.widgets import Input, Static

from secure_load.boat.models import Scenario
from secure_load.screen.app.themes import coloured
from secure_load.screen.form.fields import Field
from secure_load.screen.form.motion import motion_sentence
from secure_load.screen.form.parsing import (
    assumed_value,
    assumed_words,
    plain,
    read,
    read_as,
    row_of,
    text_of,
    unknown,
    value_at,
)
from secure_load.screen.session.session import Keys
from secure_load.screen.textual_workarounds.key_queue import IDLE_DELAY
from secure_load.screen.verdict.words import safe


class Pick(Static):
    """The mark that opens a field's list with the mouse."""

    def on_click(self, event: events.Click) -> None:
        event.stop()
        row = self.parent
        if isinstance(row, FieldRow):
            row.input.focus()
            row.post_message(FieldRow.PickAsked(row))


class Entry(Input):
    """What is typed in. It stays as wide and as high as it is, so that a letter more lays nothing out anew (4 ms)."""

    virtual_size = Reactive(Size(0, 0), layout=False)


class FieldRow(Horizontal):
    """A field of the weight, of one of its restraints or of the boat."""

    class PickAsked(Message):
        """The list of this field is wanted."""

        def __init__(self, row: FieldRow) -> None:
            super().__init__()
            self.row = row

    def __init__(self, field: Field) -> None:
        super().__init__(classes=f"-{field.kind}" + (" -side" if field.line else ""))
        self.field = field
        self.base: Keys = ()
        self._part: BaseModel | Mapping[str, Any] | None = None
        self.error = ""
        self.seen = ""
        """The text that was last put here, or taken in from here."""
        self.assumed: object = None
        self.put = False
        """True where the text is a starting value that nobody measured."""
        self.input = Entry(compact=True, select_on_focus=True)
        self._said = ("", "")
        self.read_from = ""
        """What stands in the field was read from this, in other units."""
        self._note = Static(classes="note", markup=False)

    @property
    def keys(self) -> Keys:
        """Keys of the field through the whole boat file."""
        return self.base + self.field.keys

    @property
    def has_list(self) -> bool:
        """True where there is a list to choose from."""
        return bool(self.field.choices or self.field.table or self.field.kind == "yesno")

    def compose(self) -> ComposeResult:
        if self.field.line:
            yield self.input
            # the mouse opens a list by the word behind its field
            yield (Pick if self.has_list else Static)(self.field.caption, classes="caption", markup=False)
            return
        yield Static(self.field.label, classes="label", markup=False)
        yield self.input
        yield Pick("v" if self.has_list else "", classes="pick", markup=False)
        yield self._note

    def show(
        self,
        part: BaseModel | Mapping[str, Any],
        taken: BaseModel | Mapping[str, Any] | None,
        base: Keys,
        *,
        afresh: bool = False,
        put: frozenset[str] = frozenset(),
    ) -> None:
        """Show the field of ``part``; what is being typed is left alone unless ``afresh``.

        ``taken`` is the part with its gaps closed, ``put`` the keys that hold a starting value.
        """
        self.base, self._part = base, part
        field = self.field
        if field.needs is not None:
            other = field.needs[0]
            beside = plain(value_at(part, (*field.keys[:-1], other) if isinstance(other, str) else other))
            self.display = beside in field.needs[1] or self.input.has_focus  # it is hidden when it is left
        if field.with_part:
            self.display = field.has_place_in(part)
        # Text that is not what was last seen was typed just now, and its message is still on the way.
        still = self.input.value == self.seen and not self.input.has_focus
        if afresh or (still and not self.error):
            self.error = ""
            text = self.seen = safe(text_of(field, part), 2000)
            if afresh or text != self.input.value:
                with self.input.prevent(Input.Changed):
                    self.input.value = text
        words = assumed_words(field, part, taken)
        if words != self.input.placeholder:
            self.input.placeholder = words
        self.assumed = assumed_value(field, taken) if words else None
        self.put = not words and str(field.whole_keys[0]) in put
        self._tell(part, words)

    @property
    def untidy(self) -> bool:
        """True where the text says the same as the boat, but is written otherwise ("48 kg" for 48)."""
        return self._part is not None and not self.error and self.input.value != text_of(self.field, self._part)

    @property
    def stored(self) -> object:
        """What the boat has for it."""
        return None if self._part is None else value_at(self._part, self.field.keys)

    @property
    def stands_refused(self) -> bool:
        """True where something was typed that is refused, and another figure stands in the boat."""
        return bool(self.error and self.input.value.strip()) and self.stored is not None

    def restore(self) -> None:
        """Put the boat's own figure back in place of what was typed."""
        if self._part is not None:
            self.clear()
            with self.input.prevent(Input.Changed):
                self.input.value = self.seen = safe(text_of(self.field, self._part), 2000)

    def fail(self, sentence: str) -> None:
        """Say beside the field what is wrong with what was typed."""
        self.error = sentence
        self._say("error", f"! {safe(sentence, 300)}")

    def clear(self) -> None:
        """What was typed is in order."""
        if self.error:  # else the note stays what it was, and is not painted twice
            self.error = ""
            self._say("quiet", "")

    def _tell(self, part: BaseModel | Mapping[str, Any], assumed: str) -> None:
        if self.error:
            return
        field = self.field
        if amount := read_as(field, self.input.value):
            self.read_from = f"read from {self.input.value.strip()}"
            self._say("quiet", f"= {amount}")
            return
        if self.read_from and self.input.has_focus:
            self.read_from = ""
        value = value_at(part, field.keys)
        strange = unknown(field, value)
        unit = field.unit
        if strange:
            self._say("error", f"! {safe(strange, 300)}")
        elif assumed:
            own_unit = not unit or self.assumed is None
            self._say("assumed", "assumed" if own_unit else f"{unit}, assumed")
        elif self.put:
            self._say("assumed", f"{unit}, assumed")
        elif field.table and isinstance(value, str):
            row = row_of(field.table, value)
            self._say("quiet", row.name if row else "")
        elif not self.input.value and value not in (None, "") and field.kind != "mass":
            self._say("quiet", f"taken as {plain(value)} {unit}")
        elif (
            field.model is Scenario and isinstance(value, list) and (way := motion_sentence(str(field.keys[0]), value))
        ):
            self._say("quiet", f"{unit}: {way}")
        else:
            self._say("quiet", f"{unit}, {self.read_from}" if self.read_from else unit)

    def _say(self, style: str, words: str) -> None:
        if (style, words) != self._said:
            self._said = (style, words)
            line = self.parent.parent if self.field.line and self.parent is not None else None
            if self.field.line:
                self.set_class(style == "error", "-wrong")
                if isinstance(line, FieldLine):
                    line.tell()
                return
            wrong = style == "error"
            self.set_class(wrong, "-wrong")
            if wrong:
                self.add_class("-tall")
            elif self.has_class("-tall"):
                # a line that complains no more keeps its room for a while
                self.set_timer(IDLE_DELAY, self._lower)
            self._note.update(coloured([(style, words)]), layout=wrong)

    def _lower(self) -> None:
        self.set_class(self._said[0] == "error", "-tall")

    @property
    def told(self) -> tuple[str, str]:
        """What there is to say under a line of several fields: a complaint, or how another unit was read."""
        style, words = self._said
        return self._said if style == "error" or words.startswith("=") or self.read_from else ("", "")

    def read(self) -> object:
        """What was typed, as the models want it."""
        return read(self.field, self.input.value)


class FieldLine(Vertical):
    """Several fields side by side under one label, and below them what is wrong with any of them."""

    def __init__(self, rows: list[FieldRow]) -> None:
        super().__init__()
        self.rows = rows
        self._told: list[tuple[str, str]] = []

    def compose(self) -> ComposeResult:
        with Horizontal():
            yield Static(self.rows[0].field.line, classes="label", markup=False)
            yield from self.rows
        yield Static(classes="told", markup=False)

    def on_mount(self) -> None:
        """Nothing is wrong yet."""
        self.query_one(".told").display = False
        self.tell()

    def tell(self) -> None:
        """Show what is wrong; the line is there only where something is."""
        said = [row.told for row in self.rows if row.told[1]]
        if said != self._told and self.is_mounted:
            self._told = said
            told = self.query_one(".told", Static)
            told.update(coloured(*[[each] for each in said]))
            told.display = bool(said)


def lines_of(rows: Sequence[FieldRow]) -> list[Widget]:
    """The rows as they stand in a form: those of one line together."""
    found: list[Widget] = []
    for _, group in groupby(rows, key=lambda r: r.field.line or id(r)):
        side = list(group)
        found += [FieldLine(side)] if side[0].field.line else side
    return found
