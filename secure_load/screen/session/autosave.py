"""Where unsaved work is kept while a boat is open, and how it is found again.

For every open boat there are two files in the platform's own folder for such things: ``NAME.open``, which says which
file is open and carries a mark of the system's that ends with the program, and ``NAME.kept``, the unsaved work, which
is there only as long as there is any. A ``.kept`` whose ``.open`` nobody holds any more is work that was lost;
``NAME.discarded`` is work that the owner discarded within the last day.
"""

from __future__ import annotations

import contextlib
import datetime
import errno
import json
import os
import secrets
import tempfile
import threading
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO

from platformdirs import user_state_dir
from pydantic import TypeAdapter

from secure_load.boat.base import visible
from secure_load.boat.file import BoatDocument, BoatFileError, Signature, parse_boat
from secure_load.boat.models import BoatFile
from secure_load.boat.render import render_boat
from secure_load.boat.save import new_text
from secure_load.screen.session.lock import held, hold, write_whole
from secure_load.screen.session.session import Session

_FRESH = 60.0
"""Seconds."""
DISCARDED_STAYS_S = 86_400.0
"""Work that was discarded can be recovered from the start screen for a day."""


def state_folder() -> Path:
    """``~/.local/state/secure-load`` on Linux (or ``XDG_STATE_HOME``), and its like on macOS and Windows."""
    return Path(user_state_dir("secure-load", appauthor=False)) / "unsaved"


def fallback_folder() -> Path:
    """Where unsaved work is kept while the state folder cannot be written to."""
    owner = getattr(os, "getuid", lambda: "")()
    return Path(tempfile.gettempdir()) / f"secure-load-{owner}" / "unsaved"


def _make(folder: Path) -> Path:
    """The folder, made where it is not there, and one's own. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    if hasattr(os, "getuid") and folder.stat().st_uid != os.getuid():
        raise PermissionError(errno.EACCES, "it belongs to somebody else", str(folder))
    with tempfile.TemporaryFile(dir=folder):
        return folder


@dataclass(frozen=True)
class Snapshot:
    """A boat as she is on screen, and the file she came from; neither changes any more."""

    boat: BoatFile
    document: BoatDocument | None
    path: Path | None
    number: int = 0
    """Later ones have greater numbers."""


@dataclass(frozen=True)
class AutosavedWork:
    """Unsaved work as it was kept."""

    name: str
    """The boat's."""
    path: str | None
    """The file it was to be saved to."""
    when: str
    """Local time, ISO 8601."""
    text: str
    """A boat file, the owner's comments in it."""
    was: str | None = None
    """The text of the file when it was opened."""
    was_mtime_ns: int = 0
    was_size: int = 0
    was_sha256: str = ""
    place: str = ""
    """Where this is kept."""

    @property
    def discarded(self) -> bool:
        """True where the owner discarded it."""
        return self.place.endswith(".discarded")

    @property
    def words(self) -> str:
        """Which boat, which file, when."""
        where = f" ({visible(Path(self.path).name)})" if self.path else ""
        try:
            when = datetime.datetime.fromisoformat(self.when).strftime("%d %b, %H:%M")
        except ValueError:
            when = "some time ago"
        return f"{visible(self.name)}{where}, {when}"


class Autosaver:
    """Keeps the work on one open boat."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or state_folder()
        self.path: Path | None = None
        self._name = ""
        self._mark: IO[bytes] | None = None
        self._lock = threading.Lock()
        self._gone = -1
        """Snapshots up to this number are not wanted any more: they are kept already, or saved."""

    def open(self, path: Path | None) -> bool:
        """Begin to keep what is done to the boat in ``path``; True where another program has that file open too."""
        self.close()
        self.path = None if path is None else _real(path)
        self._name = secrets.token_hex(8)
        try:
            self.folder = _make(self.folder)
        except OSError:
            with contextlib.suppress(OSError):  # where that fails too, ``keep`` says so
                self.folder = _make(fallback_folder())
        try:
            also = self.path is not None and any(
                where == str(self.path) and held(mark) for mark, where in _marks(self.folder)
            )
            self._mark = hold(self.folder / f"{self._name}.open")
            if self._mark is not None:
                self._mark.write(os.fsencode(self.path or ""))
                self._mark.flush()
        except OSError:
            return False
        return also

    @property
    def place(self) -> Path:
        """Where unsaved work is kept."""
        return self.folder / f"{self._name}.kept"

    def keep(self, snapshot: Snapshot) -> Path | None:
        """Keep unsaved work; the file it is in. None where it is not wanted any more. Raises OSError."""
        if snapshot.document is not None:
            text = new_text(snapshot.document, snapshot.boat)[0]
        else:
            text = render_boat(snapshot.boat)
        document = snapshot.document
        kept = AutosavedWork(
            name=snapshot.boat.boat.name,
            path=None if snapshot.path is None else str(_real(snapshot.path)),
            when=datetime.datetime.now().isoformat(timespec="seconds"),
            text=text,
            was=document.text if document else None,
            was_mtime_ns=document.signature.mtime_ns if document else 0,
            was_size=document.signature.size if document else 0,
            was_sha256=document.signature.sha256 if document else "",
        )
        with self._lock:
            if snapshot.number <= self._gone or not self._name:
                return None
            # and nothing older after it
            self._gone = snapshot.number
            write_whole(self.place, json.dumps(asdict(kept)).encode("utf-8"))
        return self.place

    def clear(self, number: int) -> None:
        """All is saved: nothing up to this snapshot needs keeping."""
        with self._lock:
            self._gone = max(self._gone, number)
            if self._name:
                with contextlib.suppress(OSError):
                    self.place.unlink(missing_ok=True)

    def set_aside(self, snapshot: Snapshot) -> None:
        """Unsaved work is discarded: it stays for a day all the same."""
        with contextlib.suppress(OSError):
            self.keep(snapshot)
            set_aside(self.place)

    def close(self) -> None:
        """The boat is no longer open, and there is nothing in her that is to be kept."""
        with self._lock:
            if not self._name:
                return
            if self._mark is not None:
                self._mark.close()
            for each in (self.place, self.folder / f"{self._name}.open"):
                with contextlib.suppress(OSError):
                    each.unlink(missing_ok=True)
            self._name, self._mark = "", None


_WORK = TypeAdapter(AutosavedWork)


def unfinished_work(folder: Path | None = None, path: Path | None = None) -> list[AutosavedWork]:
    """Work of programs that are gone, the latest first, and what was discarded in the last day.

    Where ``path`` is given, that on one boat file only, and none that was discarded.
    What her file says already is none, and is thrown away.
    """
    if folder is None:
        both = [*unfinished_work(state_folder(), path), *unfinished_work(fallback_folder(), path)]
        return sorted(both, key=lambda each: each.when, reverse=True)
    found: list[AutosavedWork] = []
    for place in folder.glob("*.discarded") if folder.is_dir() else ():
        with contextlib.suppress(OSError):
            if time.time() - place.stat().st_mtime > DISCARDED_STAYS_S:
                place.unlink()
    kinds = ("*.kept", "*.discarded") if path is None else ("*.kept",)
    for place in [each for kind in kinds for each in folder.glob(kind)] if folder.is_dir() else ():
        mark = place.with_suffix(".open")
        if mark.exists() and held(mark):
            continue
        with contextlib.suppress(OSError, ValueError, TypeError, RecursionError):
            data = json.loads(place.read_text(encoding="utf-8"))
            kept = _WORK.validate_python({**data, "place": str(place)})
            if _saved(kept):
                discard(kept)
            elif path is None or kept.path == str(_real(path)):
                found.append(kept)
    for fresh in folder.glob(".*.kept.tmp") if folder.is_dir() else ():
        # half written when its program was killed
        with contextlib.suppress(OSError):
            if time.time() - fresh.stat().st_mtime > _FRESH:
                fresh.unlink()
    for mark, _ in _marks(folder):
        # of a program that ended with nothing unsaved; a fresh one may be about to get its mark
        with contextlib.suppress(OSError):
            old = time.time() - mark.stat().st_mtime > _FRESH
            if old and not mark.with_suffix(".kept").exists() and not held(mark):
                mark.unlink()
    return sorted(found, key=lambda each: each.when, reverse=True)


def _saved(kept: AutosavedWork) -> bool:
    """True where her file says the same: the program was ended between the saving and the clearing away."""
    with contextlib.suppress(OSError, ValueError):
        return kept.path is not None and Path(kept.path).read_bytes() == kept.text.encode("utf-8")
    return False


def set_aside(place: Path) -> None:
    """Discard kept work: it is no longer offered with its boat. Raises OSError."""
    if place.exists():
        os.utime(place)
        place.replace(place.with_suffix(".discarded"))
    place.with_suffix(".open").unlink(missing_ok=True)


def discard(kept: AutosavedWork) -> None:
    """Take kept work out for good."""
    for each in (Path(kept.place), Path(kept.place).with_suffix(".open")):
        with contextlib.suppress(OSError):
            each.unlink(missing_ok=True)


def recover(kept: AutosavedWork) -> Session:
    """A session that goes on where the kept work ended; undo goes back to the file. Raises BoatFileError."""
    path = Path(kept.path) if kept.path else None
    boat = parse_boat(kept.text, path or "kept work")
    if kept.was is None or path is None:
        return Session(boat, None, path)
    signature = Signature(kept.was_mtime_ns, kept.was_size, kept.was_sha256)
    try:
        document = BoatDocument(path, kept.was, parse_boat(kept.was, path), signature)
    except BoatFileError:
        return Session(boat, None, path)
    session = Session(document.boat, document, path)
    session.apply(boat, "taking up what was not saved", chosen=boat.weight[0].id if boat.weight else None)
    return session


def _marks(folder: Path) -> list[tuple[Path, str]]:
    """Every ``.open`` file and the boat file it speaks of."""
    found: list[tuple[Path, str]] = []
    for mark in folder.glob("*.open") if folder.is_dir() else ():
        with contextlib.suppress(OSError, ValueError):
            found.append((mark, os.fsdecode(mark.read_bytes())))
    return found


def _real(path: Path) -> Path:
    with contextlib.suppress(OSError, ValueError):
        return path.resolve()
    return path.absolute()
