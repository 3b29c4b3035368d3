"""The commands for how she floats and for her ballast: float, place, cast, lift."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from secure_load.cli.io import printing, safe
from secure_load.cli.main import DONE, Refused, put_json, read

if TYPE_CHECKING:
    from secure_load.afloat.models import Data
    from secure_load.boat.file import BoatDocument
    from secure_load.record.text.afloat_words import Sheet

Made = TypeVar("Made")


class Add(Protocol):
    """Makes one command: its name, what does it, and a sentence of help."""

    def __call__(self, name: str, work: Callable[[argparse.Namespace], int], words: str) -> argparse.ArgumentParser: ...


def add_float_commands(add: Add) -> None:
    """Put these commands beside the others."""
    floats = add("float", _float, "Says how she floats and how stiff she is, without the listed weights and with them.")
    floats.add_argument("file", metavar="FILE", help="boat file")
    floats.add_argument(
        "--loose",
        nargs="*",
        action="extend",
        metavar="ID",
        help="how she lies with these weights gone to the low side; without a name, those that the check finds red",
    )
    floats.add_argument("--json", action="store_true", help="print one JSON object and nothing else")
    for name, work, words in (
        ("place", _place, "Finds where the ingots in hand go, for trim, no list and a low centre; takes some seconds."),
        ("cast", _cast, "Says how heavy an ingot comes out of the mould and how many the scrap makes."),
        ("lift", _lift, "Says whether one person should lift an ingot into its place, and what a drop does."),
    ):
        made = add(name, work, words)
        made.add_argument("file", metavar="FILE", help="boat file")
        made.add_argument("--json", action="store_true", help="print one JSON object and nothing else")


def _float(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.afloat.report import float_report

    loose = [] if given.loose is None else given.loose or _red(document)
    report = made(document, lambda: float_report(document.boat, loose))
    if given.json:
        put_json(as_json(report))
        return DONE
    from secure_load.cli.console import console_for
    from secure_load.cli.float_table import print_float, print_loose

    with printing():
        console = console_for(sys.stdout)
        if given.loose is None:
            print_float(console, report, document.path.name)
        else:
            print_loose(console, report, document.path.name)
    return DONE


def _red(document: BoatDocument) -> list[str]:
    """The weights that the check finds red: those that would break loose. Raises Refused."""
    from secure_load.cli.check_command import verdict_of
    from secure_load.record.afloat import red_weights

    return red_weights(verdict_of(document, None))


def _place(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.afloat.ballast.placing import place_ballast
    from secure_load.screen.afloat.sheets import placing_sheets

    report = made(document, lambda: place_ballast(document.boat))
    return _put(given, document, "where the ballast goes", as_json(report), placing_sheets(document.boat, report))


def _cast(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.afloat.ballast.ballast import casting_of
    from secure_load.screen.afloat.sheets import casting_sheets

    sheet = made(document, lambda: casting_of(document.boat))
    return _put(given, document, "casting sheet", as_json(sheet), casting_sheets(sheet))


def _lift(given: argparse.Namespace) -> int:
    document = read(given.file)
    from secure_load.afloat.ballast.ballast import lifting_of
    from secure_load.screen.afloat.sheets import lifting_sheets

    sheets = made(document, lambda: lifting_of(document.boat))
    return _put(given, document, "lifting sheet", {"lifts": [as_json(s) for s in sheets]}, lifting_sheets(sheets))


def _put(
    given: argparse.Namespace, document: BoatDocument, what: str, data: dict[str, Any], sheets: Sequence[Sheet]
) -> int:
    if given.json:
        cautions = [line for sheet in sheets if sheet.grave for line in sheet.lines]
        put_json({"boat": document.boat.boat.name} | data | {"cautions": cautions})
        return DONE
    from secure_load.cli.console import console_for, page_of, print_lines
    from secure_load.cli.float_table import print_sheets
    from secure_load.record.text.text_layout import plain, wrapped

    with printing():
        console = console_for(sys.stdout)
        head = f"{plain(document.boat.boat.name)} ({plain(document.path.name)}): {what}"
        print_lines(console, wrapped(head, page=page_of(console)))
        print_sheets(console, sheets)
    return DONE


def as_json(data: Data) -> dict[str, Any]:
    """Plain data; what is not a number is null."""
    return json.loads(data.model_dump_json())


def made(document: BoatDocument, work: Callable[[], Made]) -> Made:
    """What the work makes. Raises Refused, with the line of what does not allow it."""
    from secure_load.afloat.errors import CannotFloat
    from secure_load.boat.file import file_name
    from secure_load.catalogue.errors import UnknownRow

    try:
        return work()
    except CannotFloat as problem:
        keys = problem.key.split(".") if problem.key else ["boat"]
        line, words = document.line_of(keys), problem.sentence
        if problem.key == "weight.id":  # asked for on the command line: no line of the file is wrong
            raise Refused(f"{file_name(document.path)}: {safe(words)}") from problem
    except UnknownRow as problem:
        line, words = document.line_of(_where(document, problem.asked)), str(problem)
    raise Refused(f"{file_name(document.path)}, line {line}: {safe(words)}")


def _where(document: BoatDocument, asked: str) -> list[str | int]:
    """Keys that lead to a name that is in no table: those of floating first, then tanks, then the boat's own."""
    here: dict[str, Any] = document.boat.model_dump(by_alias=True, exclude_none=True)
    places: list[list[str | int]] = [["float"]]
    places += [["weight", n, "tank"] for n, w in enumerate(here.get("weight", [])) if "tank" in w]
    for keys in [*places, ["boat"]]:
        deeper: Any = here
        for key in keys:
            deeper = deeper.get(key, {}) if isinstance(deeper, dict) else deeper[key]
        found = _path_of(asked, deeper)
        if found is not None:
            return [*keys, *found]
    return ["float"]


def _path_of(asked: str, here: Any) -> list[str | int] | None:
    """Path to a value below here."""
    pairs: list[tuple[str | int, Any]] = []
    if isinstance(here, dict):
        pairs = list(here.items())
    elif isinstance(here, (list, tuple)):
        pairs = list(enumerate(here))
    for key, value in pairs:
        if value == asked:
            return [key]
        found = _path_of(asked, value)
        if found is not None:
            return [key, *found]
    return None
