"""Writing a record under a number of its own, so that no earlier one is ever lost; and finding it again.

One record is four files of one number: text, a page to print, the data, and the weights as a table. The data
file is named first, so that of two programs that write at once only one gets the number.
"""

from __future__ import annotations

import contextlib
import datetime
import os
import re
import secrets
import unicodedata
from pathlib import Path

from secure_load.afloat.models import FloatReport
from secure_load.boat.base import visible
from secure_load.boat.file import BoatFileError, read_bytes, why_not
from secure_load.boat.models import BoatFile
from secure_load.check.results import BoatVerdict
from secure_load.record.csv_weights import weights_csv
from secure_load.record.html.page import record_html
from secure_load.record.model import StowageRecord, record_from_json, record_json, stowage_record
from secure_load.record.snapshot import snapshot
from secure_load.record.text.record_text import record_text

_LONGEST = 60
_LETTERS = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ł": "l", "đ": "d", "ð": "d", "þ": "th"})
_RESERVED = frozenset({"con", "prn", "aux", "nul", *(f"{p}{n}" for p in ("com", "lpt") for n in range(10))})
"""Names that Windows keeps for devices."""


class CannotWrite(Exception):
    """A record could not be written; the message is one sentence. Nothing was overwritten."""


class CannotRead(Exception):
    """A record could not be read; the message is one sentence."""


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


def default_folder(boat_file: str | os.PathLike[str]) -> Path:
    """Where the records of a boat file are kept unless told otherwise: beside it.

    >>> default_folder("boats/dunlin.toml").as_posix()
    'boats/dunlin-records'
    """
    path = Path(boat_file)
    return path.with_name(f"{path.stem}-records")


def write_record(
    boat: BoatFile,
    verdict: BoatVerdict,
    out_dir: str | os.PathLike[str],
    now: datetime.datetime | datetime.date,
    file: str | None = None,
    by: str | None = None,
    afloat: FloatReport | None = None,
    full: bool = False,
    sha256: str | None = None,
) -> Path:
    """Write the record into ``out_dir`` (made if it is not there) and return the path of its text.

    Beside the text stand, under the same number, the page to print (``.html``), the data (``.json``) and the
    table of weights (``.csv``). Records of a boat are numbered from 0001 on; a number once taken is left alone,
    also by two programs that write at once. ``file`` is the boat file's name, to be named in the record, ``by``
    who made it, ``full`` asks for every figure in text and page, ``sha256`` is the boat file's. Raises ``CannotWrite``.
    """
    shot = snapshot(boat, verdict, now, file, by, afloat, sha256)
    record = stowage_record(shot)
    contents = {
        ".json": record_json(record),
        ".txt": record_text(shot, full),
        ".html": record_html(record, full),
        ".csv": weights_csv(boat),
    }
    return _write(Path(out_dir), f"{slug(boat.boat.name)}-stowage", contents)[".txt"]


def _write(folder: Path, stem: str, contents: dict[str, str]) -> dict[str, Path]:
    data = {ending: text.encode("utf-8") for ending, text in contents.items()}
    fresh = {ending: folder / f".{stem}.{secrets.token_hex(6)}{ending}.tmp" for ending in data}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        try:
            for ending, content in data.items():
                _fill(fresh[ending], content)
            taken = _last_number(folder, stem)
            while True:
                taken += 1
                named = _name_all(folder, f"{stem}-{taken:04d}", fresh, data)
                if named is not None:
                    return named
        finally:
            for path in fresh.values():
                with contextlib.suppress(OSError):
                    path.unlink(missing_ok=True)
    except FileExistsError:
        raise CannotWrite(f"{visible(str(folder), 200)}: is a file, not a folder") from None
    except OSError as error:
        raise CannotWrite(f"{visible(str(folder), 200)}: the record was not written: {why_not(error)}") from None
    except ValueError:  # a NUL in the name
        raise CannotWrite(f"{visible(str(folder), 200)}: a folder cannot have this name") from None


def _name_all(folder: Path, name: str, fresh: dict[str, Path], data: dict[str, bytes]) -> dict[str, Path] | None:
    """Give every file of a record its name, or none of them; None where one of the names is taken."""
    named: dict[str, Path] = {}
    try:
        for ending, path in fresh.items():
            wanted = folder / f"{name}{ending}"
            _give_name(path, wanted, data[ending])
            named[ending] = wanted
    except BaseException as problem:
        for mine in named.values():
            with contextlib.suppress(OSError):
                mine.unlink(missing_ok=True)
        if isinstance(problem, FileExistsError):
            return None
        raise
    return named


def write_new(path: str | os.PathLike[str], text: str, force: bool = False) -> None:
    """Write a file that was not there before, whole or not at all; ``force`` puts it in the place of another.

    Raises ``CannotWrite``.
    """
    target, data = Path(path), text.encode("utf-8")
    shown = visible(str(target), 200)
    try:
        fresh = target.with_name(f".{target.name[:40]}.{secrets.token_hex(6)}.tmp")
        try:
            _fill(fresh, data)
            if force:
                fresh.replace(target)
            else:
                _give_name(fresh, target, data)
        finally:
            with contextlib.suppress(OSError):
                fresh.unlink(missing_ok=True)
    except FileExistsError:
        raise CannotWrite(f"{shown}: is there already, and was left as it is") from None
    except OSError as error:
        raise CannotWrite(f"{shown}: was not written: {why_not(error)}") from None
    except ValueError:  # a NUL in the name, or no name at all
        raise CannotWrite(f"{shown}: a file cannot have this name") from None


def record_numbers(folder: str | os.PathLike[str], boat_name: str) -> list[int]:
    """Numbers of a boat's records in a folder, from the oldest to the newest. Raises ``CannotRead``."""
    form = _form(f"{slug(boat_name)}-stowage", "json")
    try:
        found = [form.fullmatch(each.name) for each in Path(folder).iterdir()]
    except FileNotFoundError:
        return []
    except OSError as error:
        raise CannotRead(f"{visible(os.fspath(folder), 200)}: {why_not(error)}") from None
    return sorted(int(match.group(1)) for match in found if match)


def read_record(folder: str | os.PathLike[str], boat_name: str, number: int) -> StowageRecord:
    """One of a boat's records. Raises ``CannotRead``, one sentence."""
    path = Path(folder) / f"{slug(boat_name)}-stowage-{number:04d}.json"
    shown = visible(str(path), 200)
    try:
        data, _ = read_bytes(path)
        return record_from_json(data.decode("utf-8"))
    except BoatFileError as problem:
        if not path.exists():
            there = ", ".join(str(n) for n in record_numbers(folder, boat_name)) or "none"
            raise CannotRead(f"{visible(os.fspath(folder), 200)}: no record {number}; there is {there}") from None
        raise CannotRead(f"{shown}: {problem.sentence}") from None
    except ValueError:
        raise CannotRead(f"{shown}: is not a stowage record that this version of the program can read") from None


def _last_number(folder: Path, stem: str) -> int:
    form = _form(stem, "txt|html|json|csv")
    found = (form.fullmatch(each.name) for each in folder.iterdir())
    return max((int(match.group(1)) for match in found if match), default=0)


def _form(stem: str, endings: str) -> re.Pattern[str]:
    # some file systems hold "A" and "a" for one name
    return re.compile(rf"{re.escape(stem)}-(\d{{4,9}})\.(?:{endings})", re.IGNORECASE)


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
