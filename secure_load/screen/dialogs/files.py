"""Choosing a boat file: by walking through the folders, or by typing where it is."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import DirectoryTree, Input, Static

from secure_load.boat.file import why_not
from secure_load.screen.app.footer import KeyLine


class BoatTree(DirectoryTree):
    """Folders and boat files, nothing else; no pictures, which not every terminal has."""

    ICON_NODE = "+ "
    ICON_NODE_EXPANDED = "- "
    ICON_FILE = "  "

    def filter_paths(self, paths: Iterable[Path]) -> Iterable[Path]:
        """Leave out what is hidden and what is no boat file."""
        return [p for p in paths if not p.name.startswith(".") and (p.suffix == ".toml" or p.is_dir())]


class PickFile(ModalScreen[Path | None]):
    """Folders and boat files below a line to type in."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("escape", "dismiss(None)", "Back"),
        Binding("ctrl+u,backspace", "up", "Folder above"),
    ]

    def __init__(self, folder: Path | None = None) -> None:
        super().__init__()
        self.folder = (folder or Path.cwd()).absolute()

    def compose(self) -> ComposeResult:
        with Vertical(classes="box tall"):
            yield Static("Open a boat file", classes="question", markup=False)
            yield Input(placeholder="type where it is, or go down into the list", compact=True)
            yield BoatTree(self.folder)
            yield Static("", classes="wrong", markup=False)
            yield Static("Enter opens. Backspace in the list: the folder above.", classes="quiet")
            yield KeyLine()

    def on_key(self, event) -> None:  # type: ignore[no-untyped-def]
        """Down from the line into the list."""
        if event.key == "down" and isinstance(self.focused, Input):
            event.stop()
            self.query_one(BoatTree).focus()

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        text = event.value.strip()
        if not text:
            self.query_one(BoatTree).focus()
            return
        wrong = "There is no such file."
        try:
            path = Path(text).expanduser()
            if path.is_dir():
                self._go(path.absolute())
                return
            if path.exists():
                self.dismiss(path)
                return
        except OSError as problem:
            wrong = f"It cannot be opened: {why_not(problem)}."
        except (RuntimeError, ValueError):  # no such home folder; no name that a file can have
            pass
        self.query_one(".wrong", Static).update(wrong)

    @on(DirectoryTree.FileSelected)
    def _chosen(self, event: DirectoryTree.FileSelected) -> None:
        self.dismiss(event.path)

    def action_up(self) -> None:
        """The folder above."""
        self._go(self.folder.parent)

    def _go(self, folder: Path) -> None:
        self.folder = folder
        tree = self.query_one(BoatTree)
        tree.path = folder
        tree.focus()
