"""Choosing from a list for a field of the form."""

from __future__ import annotations

from secure_load.catalogue.listing import figures
from secure_load.catalogue.rows import Row
from secure_load.screen.dialogs.pick import Item, PickOne
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.parsing import rows
from secure_load.screen.form.row import FieldRow
from secure_load.screen.main.base import Base


class CataloguePicker(Base):
    """The main screen's lists."""

    def pick_for(self, row: FieldRow) -> None:
        """Open the list of a field and write down what is chosen."""
        if not row.has_list:
            return

        def picked(choice: str | None) -> None:
            if choice is None:
                row.input.focus()
            else:
                self.query_one(FormPane).pick(row, choice)

        self.app.push_screen(PickOne(row.field.label, items_for(row), row.input.value), picked)


def items_for(row: FieldRow) -> list[Item]:
    """What a field may be."""
    field = row.field
    if field.kind == "yesno":
        return [Item("yes", "yes"), Item("no", "no")]
    if field.choices:
        return [Item(choice, choice.replace("-", " ")) for choice in field.choices]
    return [Item(r.id, r.name, _figures(r), _about(r)) for r in rows(field.table).values()]


def _figures(row: Row) -> str:
    mark = f" ({row.mark})" if row.mark else ""
    return "  ".join(f"{head} {text}" for head, text in list(figures(row).items())[:1]) + mark


def _about(row: Row) -> str:
    note = f" {row.note}" if row.note else ""
    how = f" [{row.mark}]" if row.mark else ""
    return (
        f"{row.name}: " + ", ".join(f"{h} {t}" for h, t in figures(row).items()) + f".{note} Source: {row.source}{how}"
    )
