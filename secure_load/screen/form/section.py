"""One restraint in the form: a line that opens to its fields. They are made only when it is opened."""

from __future__ import annotations

from pydantic import BaseModel
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Static

from secure_load.boat.findings import open_findings
from secure_load.boat.models import AnyRestraint
from secure_load.check.results import RestraintVerdict
from secure_load.check.utilisation import colour_of
from secure_load.screen.app.themes import coloured
from secure_load.screen.form.fields import RESTRAINTS, form_of, restraint_words
from secure_load.screen.form.row import FieldRow, lines_of
from secure_load.screen.session.session import Keys
from secure_load.screen.verdict.words import STYLE, Line, percent, safe


class SectionHead(Static, can_focus=True):
    """The line itself."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("space", "turn", "Open"),
        Binding("x,delete", "screen.delete_restraint", "Remove"),
        Binding("a", "screen.add_restraint", "Add", show=False),
        Binding("f", "screen.found", show=False),
    ]

    class Turned(Message):
        """This restraint is to be opened, or closed again."""

        def __init__(self, section: RestraintSection) -> None:
            super().__init__()
            self.section = section

    def action_turn(self) -> None:
        """Open or close."""
        section = self.parent
        if isinstance(section, RestraintSection):
            self.post_message(self.Turned(section))

    def on_click(self, event: events.Click) -> None:
        """The mouse opens it too."""
        event.stop()
        self.focus()
        self.action_turn()


class FoundLine(Static, can_focus=True):
    """The last line of an open restraint: what was found of it when she was looked over."""

    BINDINGS = [Binding("space", "screen.found", "What was found")]  # noqa: RUF012 (Textual's own way)

    async def on_click(self, event: events.Click) -> None:
        """The mouse opens it too."""
        event.stop()
        self.focus()
        await self.run_action("screen.found")


def found_words(restraint: AnyRestraint) -> str:
    """How much was found of a restraint, and how much of it is still open."""
    number, still = len(restraint.finding), len(open_findings(restraint))
    if not number:
        return "Findings: none (Ctrl+F adds one)"
    return f"Findings: {number}, {still or 'none'} not repaired (Ctrl+F)"


def bar(use: float) -> str:
    """A use as a bar of five cells, full at the working strength."""
    eighths = min(round(40.0 * use), 40)
    full = "█" * (eighths // 8) + ("▏▎▍▌▋▊▉"[eighths % 8 - 1] if eighths % 8 else "")
    return f"{full:<5}" + ("▶" if use > 1.0 else " ")


class RestraintSection(Vertical):
    """A restraint's line and, while open, its fields."""

    def __init__(self, index: int) -> None:
        super().__init__(classes="section")
        self.index = index
        self.head = SectionHead(markup=False)
        self._composed = False
        self._built = ""
        self._line: Line = []
        self.rows: list[FieldRow] = []
        self.found: FoundLine | None = None

    def compose(self) -> ComposeResult:
        # It may be opened before it is composed; its fields come below its line all the same.
        self._composed = True
        yield self.head
        yield from lines_of(self.rows)
        if self.found is not None:
            yield self.found

    @property
    def is_open(self) -> bool:
        """True while the fields are shown."""
        return bool(self.rows)

    def show(
        self,
        restraint: AnyRestraint,
        taken: BaseModel | None,
        name: str,
        found: RestraintVerdict | None,
        base: Keys,
        *,
        opened: bool,
        afresh: bool,
        put: frozenset[str],
    ) -> None:
        """Show one restraint; ``taken``, ``afresh`` and ``put`` are as for its rows."""
        mark: Line = [("quiet", "     -        ")]
        if found is not None and found.parts:
            colour = colour_of(found.utilisation)
            style = "quiet" if colour == "green" else STYLE[colour]
            mark = [(style, f"{percent(found.utilisation):>7} {bar(found.utilisation)} ")]
        line: Line = [
            ("quiet", "- " if opened else "+ "),
            ("", f"{restraint_words(restraint):<22} "),
            *mark,
            ("", safe(found.part, 60) if found is not None and found.parts else safe(name, 40)),
            ("assumed", "  proposed, not built" if restraint.proposed else ""),
        ]
        if line != self._line:
            self._line = line
            self.head.update(coloured(line), layout=False)
        wanted = form_of(restraint) if opened else ""
        if wanted != self._built:
            if self._composed:
                self.remove_children([c for c in self.children if c is not self.head])
            self.rows = [FieldRow(f) for f in RESTRAINTS[wanted]] if wanted else []
            self.found = FoundLine(markup=False) if wanted else None
            if self._composed:
                self.mount_all([*lines_of(self.rows), *([self.found] if self.found else [])])
            self._built = wanted
        if self.found is not None:
            self.found.update(found_words(restraint), layout=False)
        for row in self.rows:
            row.show(restraint, taken, base, afresh=afresh, put=put)
