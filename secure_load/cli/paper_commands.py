"""The commands that make papers of a boat and read them back: record, compare, inspect, sheet, export, import."""

from __future__ import annotations

import argparse
import datetime
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from secure_load.cli.io import put, safe, say
from secure_load.cli.main import DONE, Refused, put_json, read

if TYPE_CHECKING:
    from secure_load.afloat.models import FloatReport
    from secure_load.boat.file import BoatDocument
    from secure_load.check.results import BoatVerdict
    from secure_load.record.model import StowageRecord


class Add(Protocol):
    """Makes one command: its name, what does it, and a sentence of help."""

    def __call__(self, name: str, work: Callable[[argparse.Namespace], int], words: str) -> argparse.ArgumentParser: ...


def add_paper_commands(add: Add) -> None:
    """Put these commands beside the others."""
    record = add("record", _record, "Writes the stowage record: text, a page to print, data, and a table of weights.")
    record.add_argument("file", metavar="FILE", help="boat file")
    record.add_argument("--out", metavar="DIR", help="folder for it; FILE-records beside the boat file unless given")
    record.add_argument("--full", action="store_true", help="with every figure of every weight and scenario")
    record.add_argument("--by", type=_person, metavar="NAME", help="who makes the record")
    compare = add("compare", _compare, "Says what differs between two records, or between a record and the boat now.")
    compare.add_argument("file", metavar="FILE", help="boat file")
    compare.add_argument("first", nargs="?", type=_number, metavar="N", help="number of a record; the newest if none")
    compare.add_argument("second", nargs="?", type=_number, metavar="M", help="number of another; the boat now if none")
    compare.add_argument("--records", metavar="DIR", help="folder of the records; FILE-records unless given")
    compare.add_argument("--all", action="store_true", help="tell all that differs, not ten lines of it")
    compare.add_argument("--json", action="store_true", help="print one JSON object and nothing else")
    inspect = add("inspect", _inspect, "Lists what to look over, made from what is aboard, and when it is due.")
    inspect.add_argument("file", metavar="FILE", help="boat file")
    inspect.add_argument("--date", type=_day, metavar="DAY", help="the day to reckon from, such as 2031-04-05")
    inspect.add_argument("--json", action="store_true", help="print one JSON object and nothing else")
    sheet = add("sheet", _sheet, "Lists what to cut and what to buy for the restraints as they were entered.")
    sheet.add_argument("file", metavar="FILE", help="boat file")
    sheet.add_argument("--csv", metavar="TABLE", help="write it as a table for a spreadsheet; - prints the table")
    sheet.add_argument("--force", action="store_true", help="put the table in the place of one that is there")
    sheet.add_argument("--json", action="store_true", help="print one JSON object and nothing else")
    export = add("export", _export, "Writes the weights as a table for a spreadsheet, units in its headings.")
    export.add_argument("file", metavar="FILE", help="boat file")
    export.add_argument("--csv", required=True, metavar="TABLE", help="file to write; - prints the table")
    export.add_argument("--force", action="store_true", help="put it in the place of one that is there")
    take = add("import", _import, "Takes weights in from such a table: all of it, or nothing where a cell is wrong.")
    take.add_argument("file", metavar="FILE", help="boat file; its comments are kept")
    take.add_argument("table", metavar="TABLE", help="table of weights, as 'export' writes it")
    take.add_argument("--json", action="store_true", help="print what was taken in as one JSON object")


def _number(word: str) -> int:
    if not (word.isascii() and word.isdigit() and 0 < int(word[:10]) < 10**9):
        raise argparse.ArgumentTypeError(f"'{safe(word[:40])}' is no number of a record, such as 3")
    return int(word)


def _day(word: str) -> datetime.date:
    from pydantic import TypeAdapter, ValidationError

    from secure_load.boat.base import Day

    try:
        return TypeAdapter[datetime.date](Day).validate_python(word)
    except ValidationError as error:
        raise argparse.ArgumentTypeError(f"'{safe(word[:40])}' {error.errors()[0]['msg']}") from None


def _person(word: str) -> str:
    from pydantic import TypeAdapter, ValidationError

    from secure_load.boat.base import Label

    try:
        return TypeAdapter[str](Label).validate_python(word)
    except ValidationError as error:
        raise argparse.ArgumentTypeError(f"the name {error.errors()[0]['msg'].removeprefix('String ')}") from None


def _today() -> datetime.date:
    # the day of the person who signs it, so the clock on the wall and not that of Greenwich
    return datetime.datetime.now().astimezone().date()


def _afloat(document: BoatDocument, verdict: BoatVerdict) -> FloatReport | None:
    from secure_load.catalogue.errors import UnknownRow
    from secure_load.record.afloat import float_report_if_known

    try:
        return float_report_if_known(document.boat, verdict)
    except UnknownRow as problem:
        say(f"secure-load: how she floats is left out: {safe(str(problem))}")
        return None


def _record(given: argparse.Namespace) -> int:
    from secure_load.cli.check_command import verdict_of

    document = read(given.file)
    verdict = verdict_of(document, None)
    from secure_load.cli.config import config
    from secure_load.record.store import CannotWrite, default_folder, write_record

    folder = given.out if given.out is not None else default_folder(document.path)
    name, writer = document.path.name, given.by or config().by
    try:
        path = write_record(
            document.boat,
            verdict,
            folder,
            _today(),
            name,
            writer,
            _afloat(document, verdict),
            given.full,
            document.signature.sha256,
        )
    except CannotWrite as problem:
        raise Refused(str(problem)) from problem
    put(f"{safe(str(path))}\n")
    say(f"beside it: {safe(path.with_suffix('.html').name)} to print, and the same as .json and .csv")
    return DONE


def _compare(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.record.differences import compare
    from secure_load.record.store import CannotRead, default_folder, read_record, record_numbers
    from secure_load.record.text.difference_words import differences_summary, differences_text

    folder = given.records if given.records is not None else default_folder(document.path)
    name = document.boat.boat.name
    try:
        if given.first is not None:
            first = given.first
        else:
            numbers = record_numbers(folder, name)
            if not numbers:
                raise Refused(f"{safe(str(folder))}: there is no record of '{safe(name)}' yet to compare her with")
            first = numbers[-1]
        before = read_record(folder, name, first)
        if given.second is not None:
            after, called = read_record(folder, name, given.second), f"record {given.second}"
        else:
            after, called = _as_she_is(document), "as she is now"
    except CannotRead as problem:
        raise Refused(str(problem)) from problem
    found = compare(before, after, (f"record {first}", called))
    if given.json:
        put_json(found.model_dump(mode="json"))
    else:
        put(differences_text(found) if given.all else differences_summary(found))
    return DONE


def _as_she_is(document: BoatDocument) -> StowageRecord:
    from secure_load.cli.check_command import verdict_of
    from secure_load.record.model import stowage_record
    from secure_load.record.snapshot import snapshot

    verdict = verdict_of(document, None)
    return stowage_record(snapshot(document.boat, verdict, _today(), document.path.name))


def _inspect(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.cli.check_command import verdict_of
    from secure_load.record.inspecting import checklist
    from secure_load.record.text.checklist_text import checklist_text

    found = checklist(document.boat, given.date or _today(), verdict_of(document, None))
    if given.json:
        put_json(found.model_dump(mode="json"))
    else:
        put(checklist_text(found))
    return DONE


def _sheet(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.record.fitting_out import fitting_out
    from secure_load.record.text.fitting_out_text import sheet_csv, sheet_text

    found = fitting_out(document.boat)
    if given.csv is not None:
        _write_table(given.csv, sheet_csv(found), given.force, document)
    elif given.json:
        put_json(found.model_dump(mode="json"))
    else:
        put(sheet_text(found))
    return DONE


def _export(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.record.csv_weights import weights_csv

    _write_table(given.csv, weights_csv(document.boat), given.force, document)
    return DONE


def _write_table(path: str, text: str, force: bool, document: BoatDocument) -> None:
    from secure_load.record.store import CannotWrite, write_new

    if path == "-":
        put(text, utf8=True)
        return
    if _same_file(path, document.path):
        raise Refused(f"{safe(path)}: is the boat file itself, and was left as it is; give the table another name")
    try:
        write_new(path, text, force)
    except CannotWrite as problem:
        hint = "; --force puts the new one in its place" if "is there already" in str(problem) else ""
        raise Refused(f"{problem}{hint}") from problem
    put(f"{safe(path)}\n")


def _same_file(one: str, other: Path) -> bool:
    try:
        return Path(one).samefile(other)
    except (OSError, ValueError):  # not there yet, or no name a file can have
        return False


def _import(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.boat.file import BoatFileError, file_name, read_bytes
    from secure_load.boat.save import save_boat
    from secure_load.record.csv_weights import BadTable, take_in

    table = file_name(given.table)
    try:
        data, _ = read_bytes(given.table)
        taken = take_in(document.boat, data.decode("utf-8"))
        is_changed = bool(taken.added or taken.changed)
        saved = save_boat(document, taken.boat) if is_changed else None
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise Refused(f"{table}, row {line}: is not text in UTF-8; save the table as CSV in UTF-8") from None
    except BadTable as problem:
        raise Refused(f"{table}, {problem}; nothing was taken in") from problem
    except BoatFileError as problem:
        raise Refused(problem.message.replace(", not a boat file", "").replace(", which no boat file is", "")) from None
    if saved is not None and not saved.comments_kept:
        say("secure-load: the file had to be written afresh; your comments are in the .bak beside it")
    if given.json:
        put_json({"added": taken.added, "changed": taken.changed, "alike": taken.alike})
    else:
        put(f"{safe(given.file)}: {len(taken.added)} added, {len(taken.changed)} changed, {taken.alike} as before\n")
    return DONE
