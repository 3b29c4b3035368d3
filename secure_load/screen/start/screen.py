"""What is shown when no boat is open: open one, start one, or look at an example."""

from __future__ import annotations

from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from secure_load.boat.demo import demo_boats
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.dialogs.ask import AskLines
from secure_load.screen.session.autosave import AutosavedWork, unfinished_work
from secure_load.screen.session.session import Session
from secure_load.screen.start.frame import WHAT, StartFrame
from secure_load.screen.start.guide import Guide
from secure_load.screen.verdict.words import safe


class StartScreen(StartFrame):
    """A short list of ways to begin."""

    CSS_PATH = ["start.tcss", "../app/nocolour.tcss", "../dialogs/dialogs.tcss"]  # noqa: RUF012 (Textual's own way)
    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("o", "open", "Open a boat"),
        Binding("s", "guided", "Start with a few questions"),
        Binding("n", "new", "An empty boat"),
        Binding("q", "app.quit", "Quit"),
    ]

    class Open(Message):
        """This file is to be opened."""

        def __init__(self, path: Path, example: bool = False) -> None:
            super().__init__()
            self.path = path
            self.example = example

    class New(Message):
        """A boat of this name is to be started."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    class Begin(Message):
        """A boat was begun with a few questions."""

        def __init__(self, session: Session) -> None:
            super().__init__()
            self.session = session

    class TakeUp(Message):
        """Work that was not saved is to be taken up."""

        def __init__(self, kept: AutosavedWork) -> None:
            super().__init__()
            self.kept = kept

    def __init__(self, problem: str = "") -> None:
        super().__init__()
        self.problem = problem
        self.demos = demo_boats()
        self.kept = unfinished_work()

    def compose(self) -> ComposeResult:
        with Vertical(id="start"):
            yield Static("Secure Load", id="start-title", markup=False)
            yield Static(WHAT, id="start-what", markup=False)
            yield Static(safe(self.problem, 500), id="start-problem", markup=False)
            yield OptionList(
                *[
                    Option(
                        Content(f"Recover {'discarded' if kept.discarded else 'unsaved'} work: {safe(kept.words, 80)}"),
                        id=f"kept-{n}",
                    )
                    for n, kept in enumerate(self.kept)
                ],
                Option("Start with a few questions       s", id="guided"),
                Option("Open a boat file                 o", id="open"),
                Option("Start with an empty boat         n", id="new"),
                *[
                    Option(
                        Content(f"Look at an example: {safe(p.stem.replace('-', ' ').replace('_', ' ').title(), 60)}"),
                        id=f"demo-{n}",
                    )
                    for n, p in enumerate(self.demos)
                ],
                Option("Quit                             q", id="quit"),
                compact=True,
                markup=False,
            )
        yield KeyLine()

    def on_mount(self) -> None:
        """No empty line where there is nothing wrong."""
        self.query_one("#start-problem").display = bool(self.problem)
        self.query_one(OptionList).highlighted = 0

    def tell(self, problem: str) -> None:
        """Say what went wrong with opening a file."""
        self.problem = problem
        for place in self.query("#start-problem").results(Static):  # none yet where it comes before the first sight
            place.update(safe(problem, 500))
            place.display = bool(problem)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        choice = event.option_id or ""
        if choice.startswith("demo-"):
            self.post_message(self.Open(self.demos[int(choice[5:])], example=True))
        elif choice.startswith("kept-"):
            self.post_message(self.TakeUp(self.kept[int(choice[5:])]))
        elif choice == "guided":
            self.action_guided()
        elif choice == "open":
            self.action_open()
        elif choice == "new":
            self.action_new()
        else:
            self.app.exit()

    def action_open(self) -> None:
        """Ask which file."""

        def opened(path: Path | None) -> None:
            if path is not None:
                self.post_message(self.Open(path))

        from secure_load.screen.dialogs.files import PickFile  # a few hundredths of a second, when it is wanted

        self.app.push_screen(PickFile(), opened)

    def action_guided(self) -> None:
        """Ask after the boat and her first weight, page by page."""
        Guide(self.app, lambda session: self.post_message(self.Begin(session))).ask()

    def action_new(self) -> None:
        """Ask what she is called."""

        def named(values: list[str] | None) -> None:
            if values:
                self.post_message(self.New(values[0].strip()))

        self.app.push_screen(
            AskLines(
                "A new boat",
                [("Her name", "", "Dunlin")],
                lambda values: None if values[0].strip() else "She needs a name.",
            ),
            named,
        )
