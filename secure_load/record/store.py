"""Writing a record under a number of its own, so that no earlier one is ever lost."""

from __future__ import annotations

import contextlib
import datetime
import os
import re
import secrets
import unicodedata
from pathlib import Path

from secure_load.boat.base import visible
from secure_load.boat.file import why_not
from secure_load.boat.models import BoatFile
from secure_load.record.snapshot import snapshot
from secure_load.record.text import record_text
from secure_load.verdict.models import BoatVerdict

_LONGEST = 60
_LETTERS = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ł": "l", "đ": "d", "ð": "d", "þ": "th"})
_RESERVED = frozenset({"con", "prn", "aux", "nul", *(f"{p}{n}" for p in ("com", "lpt") for n in range(10))})
"""Names that Windows keeps for devices."""


class CannotWrite(Exception):
    """A record could not be written; the message is one sentence. Nothing was overwritten."""


def slug(name: str) -> str:
    """A boat's name as part of a file name: small letters, figures and hyphens, on every system.

    >>> slug("Dunlin"), slug("../../Sea Ørn!"), slug("CON"), slug("漣")
    ('dunlin', 'sea-orn', 'boat-con', 'boat')
    """
    flat = unicodedata.normalize("NFKD", name.casefold().translate(_LETTERS))
    bare = "".join(c for c in flat if not unicodedata.combining(c))
    words = re.sub(r"[^a-z0-9]+", "-", bare).strip("-")[:_LONGEST].strip("-")
    if not words:
        return "boat"
    return f"boat-{words}" if words in _RESERVED else words


def write_record(
    boat: BoatFile,
    verdict: BoatVerdict,
    out_dir: str | os.PathLike[str],
    now: datetime.datetime | datetime.date,
    file: str | None = None,
) -> Path:
    """Write the record into ``out_dir`` (made if it is not there) and return its path.

    Records of a boat are numbered from 0001 on; a number once taken is left alone, also by two programs that
    write at once. ``file`` is the boat file's name, to be named in the record. Raises ``CannotWrite``.
    """
    data = record_text(snapshot(boat, verdict, now, file)).encode("utf-8")
    folder = Path(out_dir)
    stem = f"{slug(boat.boat.name)}-stowage"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        fresh = folder / f".{stem}.{secrets.token_hex(6)}.tmp"
        try:
            _fill(fresh, data)
            taken = _last_number(folder, stem)
            while True:
                taken += 1
                path = folder / f"{stem}-{taken:04d}.txt"
                with contextlib.suppress(FileExistsError):
                    _give_name(fresh, path, data)
                    return path
        finally:
            with contextlib.suppress(OSError):
                fresh.unlink(missing_ok=True)
    except FileExistsError:
        raise CannotWrite(f"{visible(str(folder), 200)}: is a file, not a folder") from None
    except OSError as error:
        raise CannotWrite(f"{visible(str(folder), 200)}: the record was not written: {why_not(error)}") from None
    except ValueError:  # a NUL in the name
        raise CannotWrite(f"{visible(str(folder), 200)}: a folder cannot have this name") from None


def _last_number(folder: Path, stem: str) -> int:
    # some file systems hold "A" and "a" for one name
    form = re.compile(rf"{re.escape(stem)}-(\d{{4,9}})\.txt", re.IGNORECASE)
    found = (form.fullmatch(each.name) for each in folder.iterdir())
    return max((int(match.group(1)) for match in found if match), default=0)


def _fill(path: Path, data: bytes) -> None:
    """A file that was not there before, with its bytes on the disk."""
    with path.open("xb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def _give_name(fresh: Path, path: Path, data: bytes) -> None:
    """Give the finished file its name in one step. Raises FileExistsError where the name is taken."""
    try:
        os.link(fresh, path)
        return
    except FileExistsError:
        raise
    except (OSError, AttributeError, NotImplementedError):
        pass  # a file system without links
    try:
        _fill(path, data)
    except FileExistsError:
        raise
    except BaseException:
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)
        raise
