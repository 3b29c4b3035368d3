"""The check as the commands ask for it, and where in the file whatever cannot be checked is written."""

from __future__ import annotations

from typing import Any

from secure_load.boat.file import BoatDocument, file_name
from secure_load.boat.models import Weight, restraint_ids
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import timber
from secure_load.check.check import check_boat
from secure_load.check.results import BoatVerdict
from secure_load.check.unchecked import reason_for
from secure_load.cli.io import safe, say
from secure_load.cli.main import Refused, progress_bar
from secure_load.loads.scenarios import choose
from secure_load.model.group_model import CannotCheck


def verdict_of(document: BoatDocument, scenarios: list[str] | None) -> BoatVerdict:
    """The check, with a bar where a person is looking.

    What cannot be checked is said on standard error with its line; the other weights keep their verdicts. Raises
    Refused for a scenario or a timber of the boat herself that is nowhere.
    """
    boat = document.boat
    try:
        choose(boat, scenarios)
    except LookupError as problem:
        raise Refused(f"{file_name(document.path)}: {safe(str(problem))}") from problem
    try:
        if boat.boat.planking is not None and boat.boat.planking.timber is not None:
            timber(boat.boat.planking.timber)
    except UnknownRow as problem:
        line = document.line_of(_where(document, None, None, problem.asked))
        raise Refused(f"{file_name(document.path)}, line {line}: {safe(str(problem))}") from problem
    failures: list[tuple[Weight, Exception]] = []
    with progress_bar() as progress:
        found = check_boat(boat, scenarios, progress, copy=True, failed=lambda w, p: failures.append((w, p)))
    for sentence in dict.fromkeys(_failure_words(document, weight, problem) for weight, problem in failures):
        say(f"secure-load: {sentence}")
    return found


def _failure_words(document: BoatDocument, weight: Weight, problem: Exception) -> str:
    """One sentence on a weight that cannot be checked, with the line of the file that it is about."""
    name, restraint = weight.id, None
    words = f"weight '{weight.id}' cannot be checked: {reason_for(problem, weight)}"
    if isinstance(problem, CannotCheck):
        name, restraint, words = problem.weight, problem.restraint, str(problem)
    cause = problem.__cause__ or problem
    asked = cause.asked if isinstance(cause, UnknownRow) else None
    line = document.line_of(_where(document, name, restraint, asked))
    return f"{file_name(document.path)}, line {line}, {safe(words)}"


def _where(document: BoatDocument, weight: str | None, restraint: str | None, asked: str | None) -> list[str | int]:
    """Keys that lead to what could not be worked out: as near as the weight, the restraint and the value tell."""
    keys: list[str | int] = []
    here: Any = document.boat.model_dump(by_alias=True, exclude_none=True)
    if weight is None:
        keys, here = ["boat"], here["boat"]
    else:
        index = next(n for n, w in enumerate(document.boat.weight) if w.id == weight)
        keys, here = ["weight", index], here["weight"][index]
        if restraint is not None:
            place = restraint_ids(document.boat.weight[index]).index(restraint)
            keys, here = [*keys, "restraint", place], here["restraint"][place]
    deeper = _path_of(asked, here) if asked is not None else None
    return keys + (deeper or [])


def _path_of(asked: str, here: Any) -> list[str | int] | None:
    """Path to the value that was looked up, below here."""
    if isinstance(here, dict):
        pairs: list[tuple[str | int, Any]] = list(here.items())
    elif isinstance(here, (list, tuple)):
        pairs = list(enumerate(here))
    else:
        return None
    for key, value in pairs:
        # a size such as a gauge is asked for as a number, a name as it stands
        if value == asked or (isinstance(value, (int, float)) and asked in (f"{value:g}", f"{value:g} mm")):
            return [key]
        found = _path_of(asked, value)
        if found is not None:
            return [key, *found]
    return None
