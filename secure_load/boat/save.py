"""Saving a boat file so that neither a crash nor a full disk nor another program's edit loses a word of it.

The new text goes to a temporary file in the same folder, is flushed to the disk, and takes the old file's
place in one step. The version before is kept beside it as ``NAME.toml.bak``. What the owner wrote himself,
comments, order and layout, stays as it was; see ``merge``.
"""

from __future__ import annotations

import contextlib
import glob
import hashlib
import os
import secrets
import shutil
import stat
import time
from collections.abc import Generator
from pathlib import Path

from pydantic import ValidationError

from .explain import explain
from .file import (
    LARGEST_FILE,
    BoatDocument,
    BoatFileError,
    Signature,
    boat_as_written,
    file_name,
    first_of,
    parse_boat,
    read_bytes,
    read_document,
    signature_of,
    why_not,
)
from .models import BoatFile
from .render import plain_table, render_boat
from .starter import new_boat_text

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None

__all__ = [
    "AlreadyThere",
    "ChangedOnDisk",
    "backup_of",
    "create_new",
    "create_with_text",
    "new_boat_text",
    "new_text",
    "save_boat",
]


class ChangedOnDisk(BoatFileError):
    """The file is no longer what was read: somebody else has changed or removed it. Nothing was written."""


class AlreadyThere(BoatFileError):
    """A new file was asked for, and there is one of that name. Nothing was written."""


def backup_of(path: str | os.PathLike[str]) -> Path:
    """Where the version before the last save is kept."""
    target = _target(path)
    return target.with_name(target.name + ".bak")


def save_boat(
    document_or_path: BoatDocument | str | os.PathLike[str],
    boat: BoatFile,
    *,
    force: bool = False,
    backup: bool = True,
) -> BoatDocument:
    """Save ``boat`` and return the document as it now is on disk, from which to save the next time.

    Given a document (from ``read_document`` or an earlier save), only what differs from it is rewritten.
    Given a path, a new file is written. ``ChangedOnDisk`` is raised where the file is not what the document
    was read from, ``AlreadyThere`` where a path given for a new file is taken; ``force`` overwrites all the
    same. Any failure is a ``BoatFileError`` and leaves the file as it was. A link is followed: the file it
    points to is replaced. Where the boat already says just this, nothing is written.

    The returned ``comments_kept`` is False where the layout of the old text defeated the careful way and
    the file was written afresh; the owner's comments are then in the backup only.
    """
    known = document_or_path if isinstance(document_or_path, BoatDocument) else None
    path = Path(document_or_path.path if isinstance(document_or_path, BoatDocument) else document_or_path)
    boat = _checked(path, boat)
    target = _target(path)
    basis = known
    if known is None and force and target.exists():
        with contextlib.suppress(BoatFileError):  # whatever cannot be read is simply replaced
            basis = read_document(path)
    text, kept = new_text(basis, boat) if basis else (render_boat(boat), True)
    if len(text.encode("utf-8")) > LARGEST_FILE:
        raise BoatFileError(path, f"would be larger than {LARGEST_FILE // 1_000_000} MB, and was not saved")
    if known is not None and text == known.text and not known.changed_on_disk():
        return BoatDocument(path, text, boat, known.signature, kept)
    expected = known.signature if known else None
    signature = _replace(path, target, text.encode("utf-8"), expected, force, backup)
    return BoatDocument(path, text, boat, signature, kept)


def new_text(document: BoatDocument, boat: BoatFile) -> tuple[str, bool]:
    """Text that says ``boat``, as near to the document's as can be, and whether its comments were kept.

    The text is read back before it is trusted.
    """
    from . import merge  # brings in tomlkit, which nobody needs who only reads

    # Not document.boat: whoever holds the document may have changed that one in place.
    old = boat_as_written(document.text)
    if boat == old:
        return document.text, True
    mark = "\ufeff" if document.text.startswith("\ufeff") else ""
    text = document.text.removeprefix("\ufeff")
    dos = "\r\n" in text and text.count("\r\n") == text.count("\n")
    if dos:
        text = text.replace("\r\n", "\n")
    kept = True
    try:
        merged = merge.merge_text(text, old, boat)
        if parse_boat(merged, document.path) != boat:
            raise merge.CannotMerge
    except Exception:
        # Layouts without number can be written in TOML. Whatever goes wrong in keeping one, the boat must
        # still be saved: her figures matter more than her file's looks, and the old text is in the backup.
        merged, kept = render_boat(boat), False
    return mark + (merged.replace("\n", "\r\n") if dos else merged), kept


def create_new(path: str | os.PathLike[str], name: str | None = None) -> BoatDocument:
    """Start a boat file that teaches its own use; ``AlreadyThere`` where there is one of that name.

    Without a ``name`` the boat is called after the file.
    """
    title = name if name is not None else Path(path).stem.replace("-", " ").replace("_", " ").strip().capitalize()
    try:
        text = new_boat_text(title)
    except ValueError as error:
        raise BoatFileError(path, str(error)) from None
    return create_with_text(path, text, parse_boat(text, path))


def create_with_text(path: str | os.PathLike[str], text: str, boat: BoatFile) -> BoatDocument:
    """Write a new boat file whose text reads as ``boat``; ``AlreadyThere`` where there is one of that name."""
    signature = _replace(Path(path), _target(path), text.encode("utf-8"), None, False, False)
    return BoatDocument(Path(path), text, boat, signature)


def _checked(path: Path, boat: BoatFile) -> BoatFile:
    """The boat checked once more: lists inside a model can be changed without its knowing."""
    data = plain_table(boat)
    try:
        again = BoatFile.model_validate(data)
    except ValidationError as error:
        raise first_of(explain(error, data), path, None, data, "cannot be saved: ") from None
    if again != boat:
        raise BoatFileError(path, "cannot be saved, because the boat does not read back as the same boat")
    return again


def _target(path: str | os.PathLike[str]) -> Path:
    """The file itself, where ``path`` is a link to it."""
    try:
        return Path(os.path.realpath(path))
    except (OSError, ValueError):
        raise BoatFileError(path, "a file cannot have this name") from None


def _replace(path: Path, target: Path, data: bytes, expected: Signature | None, force: bool, backup: bool) -> Signature:
    """Put ``data`` in the place of ``target``, or change nothing at all."""
    try:
        mode = _may_write(path, target)
        with _temporary(target) as fresh:
            # Created with the old file's rights, so that a private file is at no moment anybody's to read.
            flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
            with os.fdopen(os.open(fresh, flags, 0o666 if mode is None else mode), "wb") as stream:
                stream.write(data)
                stream.flush()
                if mode is not None:
                    _same_rights(fresh, target, mode)
                os.fsync(stream.fileno())
            with _alone(target.parent):
                # The last moment before the step that cannot be taken back.
                if not force:
                    _still_the_same(path, target, expected)
                if mode is None and not force:
                    _put_new(path, fresh, target)
                else:
                    if mode is not None and backup:
                        _keep_backup(target)
                    fresh.replace(target)
            _flush_folder(target.parent)
        return signature_of(data, target.stat())
    except OSError as error:
        raise BoatFileError(path, f"was not saved: {why_not(error)}") from None
    except ValueError:
        raise BoatFileError(path, "a file cannot have this name") from None


def _may_write(path: Path, target: Path) -> int | None:
    """Rights of the file that is to be replaced; None where there is none yet."""
    try:
        found = target.stat()
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(found.st_mode):
        raise BoatFileError(path, "is a folder or a device, and cannot be saved to")
    # A replacement would get round the mark that says hands off, so it is asked for.
    if not found.st_mode & 0o222 or not os.access(target, os.W_OK):
        raise BoatFileError(path, "is marked read-only, and was not saved")
    return stat.S_IMODE(found.st_mode)


_LEFT_AFTER_S = 3600.0
"""Age of a temporary file from which no save is still writing it."""


@contextlib.contextmanager
def _temporary(target: Path) -> Generator[Path]:
    """A free name beside ``target``; whatever stands under it at the end is removed, and what a killed save left."""
    with contextlib.suppress(OSError):
        for left in target.parent.glob(f".{glob.escape(target.name[:40])}.{'[0-9a-f]' * 12}.tmp"):
            if time.time() - left.stat().st_mtime > _LEFT_AFTER_S:
                left.unlink()
    name = target.with_name(f".{target.name[:40]}.{secrets.token_hex(6)}.tmp")
    try:
        yield name
    finally:
        with contextlib.suppress(OSError):
            name.unlink(missing_ok=True)


def _same_rights(fresh: Path, target: Path, mode: int) -> None:
    fresh.chmod(mode)
    chown = getattr(os, "chown", None)
    if chown is not None:
        old, new = target.stat(), fresh.stat()
        if (old.st_uid, old.st_gid) != (new.st_uid, new.st_gid):
            with contextlib.suppress(OSError):
                chown(fresh, old.st_uid, old.st_gid)
                fresh.chmod(mode)  # a change of owner may strip rights


@contextlib.contextmanager
def _alone(folder: Path) -> Generator[None]:
    """Keep another save of this program in ``folder`` from falling between the look and the replacing.

    The system lets go of the lock when the program ends, however it ends, and no file is left behind. Where there
    is no such lock, or somebody keeps it for long, the save goes on without: the gap is a few milliseconds.
    """
    if fcntl is None:
        yield
        return
    handle = -1
    try:
        with contextlib.suppress(OSError):
            handle = os.open(folder, os.O_RDONLY)
            for _ in range(100):
                try:
                    fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                    break
                except BlockingIOError:
                    time.sleep(0.02)
        yield
    finally:
        if handle >= 0:
            os.close(handle)


def _still_the_same(path: Path, target: Path, expected: Signature | None) -> None:
    there = target.exists()
    if expected is None:
        if there or target.is_symlink():
            raise AlreadyThere(path, "there is already a file of this name, and it was left as it is")
        return
    if not there:
        raise ChangedOnDisk(path, "was removed or renamed since it was read, and was not saved")
    data, _ = read_bytes(target)
    if hashlib.sha256(data).hexdigest() != expected.sha256:
        raise ChangedOnDisk(path, "was changed by another program since it was read, and was not saved")


def _put_new(path: Path, fresh: Path, target: Path) -> None:
    """Give ``fresh`` its name only if the name is still free, in one step."""
    taken = AlreadyThere(path, "there is already a file of this name, and it was left as it is")
    try:
        os.link(fresh, target)
        return
    except FileExistsError:
        raise taken from None
    except (OSError, AttributeError, NotImplementedError):
        pass  # a file system without links
    try:
        stream = target.open("xb")
    except FileExistsError:
        raise taken from None
    try:
        with stream:
            stream.write(fresh.read_bytes())
            stream.flush()
            os.fsync(stream.fileno())
    except BaseException:
        target.unlink(missing_ok=True)
        raise


def _keep_backup(target: Path) -> None:
    backup = target.with_name(target.name + ".bak")
    if backup.is_dir():
        raise BoatFileError(target, f"was not saved: {file_name(backup)} is a folder, and stands in the way")
    with _temporary(backup) as copy:
        try:
            os.link(target, copy)
        except (OSError, AttributeError, NotImplementedError):
            shutil.copy2(target, copy)
            with copy.open("rb+") as stream:
                os.fsync(stream.fileno())
        copy.replace(backup)


def _flush_folder(folder: Path) -> None:
    """Make the new name itself lasting, on the platforms that can; elsewhere the system sees to it."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
