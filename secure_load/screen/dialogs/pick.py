"""A list to choose from, narrowed down by typing; and the scenarios to be run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from secure_load.boat.models import Scenario
from secure_load.record.text.words import list_words
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.themes import coloured
from secure_load.screen.form.motion import motion_sentence
from secure_load.screen.verdict.words import Line, safe


@dataclass(frozen=True)
class Item:
    """One thing to choose."""

    id: str
    words: str
    aside: str = ""
    about: str = ""
    """A longer text, shown below the list while the item is under the cursor."""

    def fits(self, wanted: str) -> bool:
        """True where every word typed is somewhere in it."""
        here = f"{self.id} {self.words} {self.aside}".lower()
        return all(word in here for word in wanted.lower().split())


class PickOne(ModalScreen[str | None]):
    """One of a list; the answer is its id."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("escape", "dismiss(None)", "Back"),
        Binding("down", "move(1)", show=False, priority=True),
        Binding("up", "move(-1)", show=False, priority=True),
        Binding("pagedown", "move(10)", show=False, priority=True),
        Binding("pageup", "move(-10)", show=False, priority=True),
    ]

    def __init__(self, title: str, items: Sequence[Item], current: str = "") -> None:
        super().__init__()
        self.heading = title
        self.items = items
        self.current = current
        self._shown: list[Item] = []

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static(self.heading, classes="question", markup=False)
            yield Input(placeholder="type to narrow the list down", compact=True)
            yield OptionList(compact=True, markup=False)
            yield Static("", classes="about", markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Begin with all of them, on the one that stands there now."""
        self._narrow("")
        at = next((n for n, item in enumerate(self._shown) if item.id == self.current), 0)
        listing = self.query_one(OptionList)
        listing.highlighted = at if self._shown else None
        self.call_after_refresh(listing.scroll_to_highlight, top=True)

    def _narrow(self, wanted: str) -> None:
        self._shown = [item for item in self.items if item.fits(wanted)]
        width = min(max((len(i.words) for i in self.items), default=0), 46)
        listing = self.query_one(OptionList)
        lines: list[Line] = [
            [("", f"{safe(i.words, 60):<{width}}  "), ("quiet", safe(i.aside, 100))] for i in self._shown
        ]
        listing.set_options(Option(coloured(line)) for line in lines)
        listing.highlighted = 0 if self._shown else None
        if not self._shown:
            self.query_one(".about", Static).update("Nothing of that name.")

    def action_move(self, by: int) -> None:
        """Move along the list while the cursor stays in the line above it."""
        listing = self.query_one(OptionList)
        if self._shown:
            listing.highlighted = max(0, min(len(self._shown) - 1, (listing.highlighted or 0) + by))

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        self._narrow(event.value)

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        if event.option_index < len(self._shown):
            self.query_one(".about", Static).update(safe(self._shown[event.option_index].about, 1000))

    @on(Input.Submitted)
    def _entered(self) -> None:
        at = self.query_one(OptionList).highlighted
        if at is not None and at < len(self._shown):
            self.dismiss(self._shown[at].id)

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._shown[event.option_index].id)


def scenario_words(s: Scenario) -> str:
    """The figures of a scenario in a sentence."""

    def several(values: Sequence[float]) -> str:
        return list_words(values, " or ")

    heel = f"heeled {s.heel_deg.from_:g} to {s.heel_deg.to:g} degrees{' to either side' if s.both_sides else ''}"
    said = [heel, f"vertical load factor {several(s.load_factor)}"]
    for key in ("surge_g", "sway_g", "heave_g"):
        values = getattr(s, key)
        if any(values):
            said.append(f"{several(values)} g: {motion_sentence(key, values)}")
    if any(s.pitch_deg):
        said.append(f"bow down {several(s.pitch_deg)} degrees")
    return ", ".join(said).capitalize() + "."


@dataclass(frozen=True)
class Picked:
    """The scenarios ticked; what is to be done then; and the scenario it is to be done with."""

    ticked: list[str]
    then: Literal["run", "change", "out"] = "run"
    at: str = ""


class PickScenarios(ModalScreen[Picked | None]):
    """Which scenarios are run, all where every one is ticked; and the way to the owner's own."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("enter", "done", "Run", priority=True),
        Binding("escape", "dismiss(None)", "Back"),
        Binding("space", "tick", "Tick", priority=True),
        Binding("o", "only", "Only this"),
        Binding("a", "all", "All"),
        Binding("n", "none", "None", show=False),
        Binding("c", "change", "Edit"),
        Binding("x,delete", "take_out", "Delete"),
    ]

    def __init__(
        self, scenarios: Sequence[Scenario], chosen: Sequence[str] | None, own: Sequence[str] = (), at: str = ""
    ) -> None:
        """``own`` are the ids of the owner's own; ``at`` is the one to begin on."""
        super().__init__()
        self.scenarios = scenarios
        self.own = own
        self.at = at
        self.ticked = {s.id for s in scenarios if chosen is None or s.id in chosen}

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static("Scenarios", classes="question", markup=False)
            yield OptionList(*[Option(self._line(s)) for s in self.scenarios], compact=True, markup=False)
            yield Static("", classes="about", markup=False)
            yield KeyLine()

    def on_mount(self) -> None:
        """Begin at the top, or where it is said."""
        self._list().highlighted = next((n for n, s in enumerate(self.scenarios) if s.id == self.at), 0)

    def _list(self) -> OptionList:
        return self.query_one(OptionList)

    def _line(self, scenario: Scenario) -> Content:
        # A letter, and not only a colour as in Textual's own list of ticks.
        tick = ("strong", "[x] ") if scenario.id in self.ticked else ("quiet", "[ ] ")
        own = ("quiet", "   your own") if scenario.id in self.own else ("", "")
        return coloured([tick, ("", safe(scenario.title, 200)), own])

    def _show(self) -> None:
        for n, scenario in enumerate(self.scenarios):
            self._list().replace_option_prompt_at_index(n, self._line(scenario))

    @property
    def _here(self) -> Scenario | None:
        at = self._list().highlighted
        return None if at is None else self.scenarios[at]

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        s = self.scenarios[event.option_index]
        lines: list[Line] = [
            [("", safe(s.why or scenario_words(s), 2000))],
            [("quiet", f"Source: {safe(s.source or 'your own', 1000)}")],
        ]
        self.query_one(".about", Static).update(coloured(*lines))

    @on(OptionList.OptionSelected)
    def action_tick(self) -> None:
        """Tick the one under the cursor, or take the tick off."""
        if self._here is not None:
            self.ticked ^= {self._here.id}
            self._show()

    def action_all(self) -> None:
        """Tick all."""
        self.ticked = {s.id for s in self.scenarios}
        self._show()

    def action_none(self) -> None:
        """Tick none."""
        self.ticked = set()
        self._show()

    def action_only(self) -> None:
        """Tick the one under the cursor alone."""
        if self._here is not None:
            self.ticked = {self._here.id}
            self._show()

    def action_done(self) -> None:
        """Run those ticked."""
        self._answer("run")

    def action_change(self) -> None:
        """Change one of the owner's own, or begin one with the figures of another."""
        self._answer("change")

    def action_take_out(self) -> None:
        """Take one of the owner's own out of the boat file."""
        if self._here is not None and self._here.id in self.own:
            self._answer("out")
        else:
            self.query_one(".about", Static).update("Only your own can be deleted; untick it instead.")

    def _answer(self, then: Literal["run", "change", "out"]) -> None:
        if not self.ticked and then == "run":
            self.query_one(".about", Static).update("Tick at least one.")
        elif self._here is not None:
            ticked = [s.id for s in self.scenarios if s.id in self.ticked]
            self.dismiss(Picked(ticked, then, self._here.id))


__all__ = ["Item", "PickOne", "PickScenarios", "Picked"]
