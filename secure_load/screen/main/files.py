"""Saving, opening, starting afresh and leaving, with nothing lost on the way."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from secure_load.boat.file import BoatFileError, why_not
from secure_load.boat.save import AlreadyThere, ChangedOnDisk
from secure_load.screen.dialogs.ask import Ask, AskLines
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.parsing import plain
from secure_load.screen.main.sheet_actions import SheetActions
from secure_load.screen.session.session import Session
from secure_load.screen.verdict.words import safe

Then = Callable[[], object]


class FileWork(SheetActions):
    """Actions of the main screen on files."""

    def action_save(self) -> None:
        """Save to her file."""
        self.save()

    def action_save_as(self) -> None:
        """Save to another file."""
        self._ask_where(lambda: None)

    def save(self, then: Then = lambda: None) -> None:
        """Save, ask what must be asked, and go on with ``then`` once it is done."""
        form = self.query_one(FormPane)
        pending = form.pending()

        def go_on() -> None:
            if self.session.path is None:
                self._ask_where(then)
            else:
                self._save_to(None, then)

        if not pending and self.drafts:
            root = next(iter(self.drafts))
            where = " ".join(str(k + 1 if isinstance(k, int) else k) for k in root)
            self.app.push_screen(
                Ask(
                    f"Something on the sheet of '{where}' is not complete; it would not be in the file.",
                    [("back", "Go back"), ("without", "Save without it")],
                ),
                lambda answer: go_on() if answer == "without" else None,
            )
            return
        if not pending:
            go_on()
            return

        def answered(answer: str | None) -> None:
            if answer == "without":
                form.drop_pending()
                go_on()
            else:
                pending[0].input.focus()

        row = pending[0]
        typed, stands = safe(row.input.value, 60) or "nothing", plain(row.stored) or "nothing"
        self.app.push_screen(
            Ask(
                f"{row.field.label}: '{typed}' {row.error}. It is not saved; the boat keeps {stands}.",
                [("back", "Go back"), ("without", "Save without it")],
            ),
            answered,
        )

    def _ask_where(self, then: Then) -> None:
        def entered(values: list[str] | None) -> None:
            if values:
                self._save_to(_toml(values[0]), then)

        start = "".join(c if c.isalnum() else "-" for c in self.session.boat.boat.name.lower()).strip("-")
        self.app.push_screen(
            AskLines(
                "Save as",
                [("File", str(self.session.path or f"{start or 'boat'}.toml"), "dunlin.toml")],
                lambda values: _no_file(values[0]),
            ),
            entered,
        )

    def _save_to(self, path: Path | None, then: Then, *, force: bool = False) -> None:
        self.saving()
        try:
            self.session.save(path, force=force)
        except ChangedOnDisk as problem:
            self._changed_on_disk(problem, path, then)
        except AlreadyThere as problem:
            self._already_there(problem, path, then)
        except BoatFileError as problem:
            self.say(problem.message, wrong=True)
        else:
            self.show_all()
            self.saved()
            document = self.session.document
            if document is not None and not document.comments_kept:
                self.say("Saved, but rewritten: your own comments are in the .bak file beside it.", wrong=True)
            else:
                self.say(f"Saved in {document.path.name if document else 'her file'}.")
            then()

    def _changed_on_disk(self, problem: BoatFileError, path: Path | None, then: Then) -> None:
        def answered(answer: str | None) -> None:
            if answer == "overwrite":
                self._save_to(path, then, force=True)
            elif answer == "reload" and self.session.path is not None:
                self.load(self.session.path)

        self.app.push_screen(
            Ask(
                f"{problem.message}.\nReading it again loses what is on screen; overwriting loses what is in the file "
                "(a copy of it stays beside it as .bak).",
                [("cancel", "Cancel"), ("reload", "Read it again"), ("overwrite", "Overwrite")],
            ),
            answered,
        )

    def _already_there(self, problem: BoatFileError, path: Path | None, then: Then) -> None:
        def answered(answer: str | None) -> None:
            if answer == "overwrite":
                self._save_to(path, then, force=True)
            elif answer == "other":
                self._ask_where(then)

        self.app.push_screen(
            Ask(f"{problem.message}.", [("cancel", "Cancel"), ("other", "Another name"), ("overwrite", "Overwrite")]),
            answered,
        )

    def when_settled(self, then: Then) -> None:
        """Go on at once if all is saved; otherwise ask first."""
        if not self.session.dirty and not self.query_one(FormPane).pending() and not self.drafts:
            then()
            return

        def answered(answer: str | None) -> None:
            if answer == "save":
                self.save(then)
            elif answer == "discard":
                self.set_aside()
                then()

        self.app.push_screen(
            Ask(
                f"{self.session.boat.boat.name} has changes that are not saved.",
                [("save", "Save"), ("discard", "Discard"), ("stay", "Go back")],
            ),
            answered,
        )

    def action_open(self) -> None:
        """Open another boat."""

        def chosen(path: Path | None) -> None:
            if path is not None:
                self.load(path)

        from secure_load.screen.dialogs.files import PickFile  # a few hundredths of a second, when it is wanted

        folder = self.session.path.parent if self.session.path else None
        self.when_settled(lambda: self.app.push_screen(PickFile(folder), chosen))

    def action_new(self) -> None:
        """Start another boat."""

        def named(values: list[str] | None) -> None:
            if values:
                try:
                    self.use(Session.new(values[0].strip()))
                except BoatFileError as problem:
                    self.say(problem.message, wrong=True)

        ask = AskLines(
            "A new boat", [("Her name", "", "Dunlin")], lambda v: None if v[0].strip() else "She needs a name."
        )
        self.when_settled(lambda: self.app.push_screen(ask, named))

    def load(self, path: Path) -> None:
        """Read a file in place of the boat on screen, or say why not."""
        try:
            session = Session.open(path)
        except BoatFileError as problem:
            self.say(problem.message, wrong=True)
            return
        self.use(session)


def _toml(text: str) -> Path:
    """The file meant by what was typed. Raises ValueError, in a sentence, where that can be none."""
    try:
        path = Path(text.strip()).expanduser()
    except RuntimeError:
        raise ValueError(f"There is no home folder '{safe(text.strip().split('/')[0], 60)}'.") from None
    if not text.strip() or path.name in ("", "..") or path.is_dir():
        raise ValueError("A file needs a name.")
    return path if path.suffix else path.with_suffix(".toml")


def _no_file(text: str) -> str | None:
    try:
        _toml(text)
    except OSError as problem:
        return f"It cannot be kept there: {why_not(problem)}."
    except ValueError as problem:
        return str(problem) if str(problem).endswith(".") else "A file cannot have this name."
    return None
