"""A question with a few answers, a line to be filled in, a text to be read."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Button, Input, Label, Static

from secure_load.screen.app.footer import KeyLine


class Ask(ModalScreen[str | None]):
    """A question; the answer is the id of the button, or None for the way out.

    Only Enter (or the mouse) answers; a letter goes to the answer that begins with it, so that no slip loses work.
    """

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("enter", "press", "This one", priority=True),
        Binding("escape", "dismiss(None)", "Back"),
        Binding("right", "app.focus_next", "Next"),
        Binding("left,up", "app.focus_previous", show=False),
        Binding("down", "app.focus_next", show=False),
    ]

    def __init__(self, question: str, answers: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self.question = question
        self.answers = answers

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Static(self.question, classes="question", markup=False)
            with Horizontal(classes="buttons"):
                for key, words in self.answers:
                    yield Button(Content(words), id=key)
            yield KeyLine()

    def on_key(self, event: events.Key) -> None:
        """The first letter of an answer goes to it."""
        for key, words in self.answers:
            if event.character and words.lower().startswith(event.character.lower()):
                event.stop()
                self.query_one(f"#{key}", Button).focus()
                return

    def action_press(self) -> None:
        """Give the answer that has the cursor."""
        if isinstance(self.focused, Button):
            self.dismiss(self.focused.id)

    @on(Button.Pressed)
    def _pressed(self, event: Button.Pressed) -> None:
        self.dismiss(event.button.id)


class AskLines(ModalScreen[list[str] | None]):
    """One or more lines to be filled in; ``check`` says in one sentence what is wrong with them."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("escape", "dismiss(None)", "Back"),
        # With priority, or what is typed fast after Enter would still go to the line before.
        Binding("enter", "next", "Next", priority=True),
    ]

    def __init__(
        self,
        title: str,
        lines: Sequence[tuple[str, str, str]],
        check: Callable[[list[str]], str | None] = lambda _: None,
        about: str = "",
    ) -> None:
        """``lines`` are (what it is called, what stands there, an example); ``about`` helps with all of them."""
        super().__init__()
        self.heading = title
        self.lines = lines
        self.check = check
        self.about = about

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Static(self.heading, classes="question", markup=False)
            if self.about:
                yield Static(self.about, classes="quiet", markup=False)
                yield Static()
            for name, value, example in self.lines:
                yield Label(name, markup=False)
                yield Input(value, placeholder=example, compact=True)
            yield Static("", classes="wrong", markup=False)
            yield KeyLine()

    def action_next(self) -> None:
        """On to the next line; after the last the answer is given, if there is nothing wrong with it."""
        inputs = list(self.query(Input))
        at = next((n for n, each in enumerate(inputs) if each is self.focused), len(inputs) - 1)
        if at + 1 < len(inputs):
            self.set_focus(inputs[at + 1])
        else:
            # After whatever was typed before and still waits to be put in.
            inputs[at].call_later(self._finish)

    def _finish(self) -> None:
        inputs = list(self.query(Input))
        values = [each.value for each in inputs]
        wrong = self.check(values)
        if wrong:
            self.query_one(".wrong", Static).update(wrong)
            return
        self.dismiss(values)


class Read(ModalScreen[None]):
    """Some text to be read."""

    BINDINGS = [Binding("escape,enter,q,v,f12,f1,f4,question_mark", "dismiss(None)", "Back")]  # noqa: RUF012 (Textual's own way)

    def __init__(self, title: str, text: Content | str, *, full: bool = False) -> None:
        """``full`` takes all the height there is."""
        super().__init__()
        self.heading = title
        self.text = text
        self.full = full

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall full" if self.full else "box tall"):
            yield Static(self.heading, classes="question", markup=False)
            with VerticalScroll():
                yield Static(self.text, markup=False)
            yield KeyLine()
