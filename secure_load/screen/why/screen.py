"""Why: the chain of figures for one part, line by line and each with its source; the hardest worked part first."""

from __future__ import annotations

from textwrap import wrap

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from secure_load.check.results import LETTER, PartFigure, RestraintVerdict, WeightVerdict
from secure_load.check.utilisation import colour_of
from secure_load.record.text.why_chain import why_chain
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.themes import coloured
from secure_load.screen.verdict.words import STYLE, Line, percent, safe

Worked = tuple[RestraintVerdict, PartFigure]


def parts_of(verdict: WeightVerdict) -> list[Worked]:
    """Every part that has a strength, the hardest worked first."""
    found = [(r, p) for r in verdict.restraints for p in r.parts]
    return sorted(found, key=lambda each: -each[1].utilisation)


def part_line(worked: Worked) -> Line:
    """One part in the list: letter, figure, what it is."""
    restraint, part = worked
    colour = colour_of(part.utilisation)
    tail = " (assumed)" if part.assumed else ""
    return [
        (STYLE[colour], f"{LETTER[colour]} "),
        ("strong", f"{percent(part.utilisation):>11}  "),
        ("", f"{safe(restraint.id, 30)}: {safe(part.part, 60)}{tail}"),
    ]


_LABEL = 13
"""Room for what each figure is, in cells."""


def chain_lines(verdict: WeightVerdict, worked: Worked | None, names: dict[str, str], width: int = 90) -> list[Line]:
    """The chain of one part in words, so wide; of the load alone where there is no part."""
    governs = worked is None or parts_of(verdict)[0] == worked
    only = verdict
    if worked is not None:
        restraint, part = worked
        only = verdict.model_copy(update={"restraints": [restraint.model_copy(update={"parts": [part]})]})
    lines: list[Line] = []
    before = ""
    for each in why_chain(only, names):
        if not governs and each.step in ("load", "movement", "share"):
            # They are of the moment that is worst for the weight, and this part has another.
            continue
        label = each.step if each.step != before else ""
        before = each.step
        room = max(width - _LABEL, 20)
        for n, words in enumerate(wrap(safe(each.text, 1000), room)):
            lines.append([("head", f"{'' if n else label:<{_LABEL}}"), ("", words)])
        if each.source != "as said in the line":
            said = wrap(f"source: {safe(each.source, 1000)}", room)
            lines += [[("quiet", f"{'':<{_LABEL}}{words}")] for words in said]
    if not governs:
        lines.insert(0, [("quiet", "In the case that is worst for this part, which is not the one that governs.")])
    return lines


class WhyScreen(ModalScreen[None]):
    """Parts above, the chain of the one under the cursor below."""

    CSS_PATH = "why.tcss"
    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("escape,q,w", "dismiss(None)", "Back"),
        Binding("space", "scroll_by(10)", "Page down", priority=True),
        Binding("pagedown", "scroll_by(10)", show=False, priority=True),
        Binding("pageup", "scroll_by(-10)", show=False, priority=True),
    ]

    def __init__(self, verdict: WeightVerdict, names: dict[str, str]) -> None:
        super().__init__()
        self.verdict = verdict
        self.names = names
        self.parts = parts_of(verdict)
        self._shown: Worked | None = None

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static(Content(f"Why: {safe(self.verdict.name, 60)}"), classes="question", markup=False)
            yield OptionList(*[Option(coloured(part_line(w))) for w in self.parts], id="why-parts", markup=False)
            with VerticalScroll(id="why-chain", can_focus=False):
                yield Static(id="why-text", markup=False)
            yield Static("Up and down: another part.", classes="quiet", markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Begin with the part that governs."""
        listing = self.query_one(OptionList)
        listing.display = bool(self.parts)
        if self.parts:
            listing.focus()
            listing.highlighted = 0
        else:
            self._show(None)

    def _show(self, worked: Worked | None) -> None:
        lines = [[("", f"- {safe(r, 1000)}")] for r in self.verdict.reasons] if worked is None else []
        self._shown = worked
        lines += chain_lines(self.verdict, worked, self.names, self.query_one("#why-chain").size.width - 4)
        self.query_one("#why-text", Static).update(coloured(*lines))
        self.query_one("#why-chain").scroll_home(animate=False)

    def on_resize(self) -> None:
        """The lines are as wide as there is room."""
        self.call_after_refresh(lambda: self._show(self._shown))

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        self._show(self.parts[event.option_index])

    def action_scroll_by(self, lines: int) -> None:
        """Up or down in the chain while the cursor stays on its part."""
        self.query_one("#why-chain").scroll_relative(y=lines, animate=False)
