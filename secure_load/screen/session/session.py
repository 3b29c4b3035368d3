"""One sitting with one boat: what is open, what was changed, what can be taken back, what each weight's verdict is.

Nothing in here knows a terminal. A boat in a session is always a valid one: what does not pass the models is
answered with their complaint and not taken in. Boats are never changed in place, so that going back is only a
matter of holding on to the one before.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from secure_load.boat.explain import Problem, explain
from secure_load.boat.file import BoatDocument, BoatFileError, read_document
from secure_load.boat.models import BoatFile, BoatParticulars, Neighbour, Weight
from secure_load.boat.render import plain_table
from secure_load.boat.save import save_boat
from secure_load.check.check import assemble
from secure_load.check.context import CheckContext, make_context
from secure_load.check.groups import groups_of
from secure_load.check.results import BoatVerdict, Colour, WeightVerdict, worse
from secure_load.model.rules.sense import boxes_of, sense_of

Keys = tuple[str | int, ...]
"""The way to a figure through the boat file: ``("weight", 0, "restraint", 1, "screws", "gauge")``."""

MOST_STEPS = 500
"""How far back one can go."""
_MOST_KNOWN = 2000


@dataclass(frozen=True)
class WeightStatus:
    """What is to be shown of one weight's verdict."""

    verdict: WeightVerdict | None
    working: bool
    """True while the answer to the latest change is awaited; the verdict is then the one before it."""


@dataclass(frozen=True)
class CheckRequest:
    """One weight to be checked, as it was when asked about."""

    weight: Weight
    key: str


@dataclass(frozen=True)
class _Step:
    boat: BoatFile
    chosen: str | None
    what: str


class Session:
    """An open boat. ``path`` is None until a new one is first saved."""

    def __init__(self, boat: BoatFile, document: BoatDocument | None = None, path: Path | None = None) -> None:
        self.boat = boat
        self.document = document
        self.path = path
        self.chosen: str | None = boat.weight[0].id if boat.weight else None
        self.scenarios: list[str] | None = None
        self._saved: BoatFile | None = document.boat if document else None
        self._before: list[_Step] = []
        self._after: list[_Step] = []
        self._tag: object = None
        self._known: dict[str, WeightVerdict] = {}
        self._last: dict[str, WeightVerdict] = {}
        self._keys: tuple[BoatFile, list[str] | None, dict[str, str]] | None = None
        self._words: list[str] = []
        """The weights in words, one for each of the boat that ``_keys`` are of."""

    # Files ---------------------------------------------------------------------------------------------------

    @classmethod
    def open(cls, path: Path) -> Session:
        """Read a boat file. Raises BoatFileError, in one sentence."""
        document = read_document(path)
        return cls(document.boat, document, path)

    @classmethod
    def new(cls, name: str, path: Path | None = None) -> Session:
        """A boat with nothing in her yet. Raises BoatFileError for a name no boat can have."""
        data = {"boat": {"name": name}}
        try:
            return cls(BoatFile(boat=BoatParticulars(name=name)), None, path)
        except ValidationError as error:
            raise BoatFileError(path or Path("new boat"), explain(error, data)[0].sentence) from None

    def as_example(self) -> Session:
        """The same boat without a file of her own, so that saving asks for a name and leaves the example alone."""
        session = Session(self.boat)
        session._saved = self.boat
        return session

    @property
    def dirty(self) -> bool:
        """True where the file does not hold what is on screen."""
        return self._saved != self.boat

    def save(self, path: Path | None = None, *, force: bool = False) -> None:
        """Save to the file it came from, or to ``path``. Raises BoatFileError, ChangedOnDisk, AlreadyThere."""
        same = path is None or (self.path is not None and path.absolute() == self.path.absolute())
        target: BoatDocument | Path | None = self.document if same and self.document else path or self.path
        if target is None:
            raise BoatFileError("new boat", "has no file yet: say where she is to be kept")
        document = save_boat(target, self.boat, force=force)
        self.document, self.path, self._saved = document, document.path, self.boat
        self.close_undo_group()

    # Changing ------------------------------------------------------------------------------------------------

    def apply_changes(self, changes: Mapping[Keys, Any], what: str, tag: object = None) -> list[Problem]:
        """Set figures by their keys; None takes one out. Nothing is changed where something is complained of.

        Changes one after another with the same ``tag`` are one step, until ``close_undo_group``: each is made to the
        boat as she was before the first of them, so that what was typed on the way to a figure leaves no trace.
        """
        base = self.base_of(tag)
        boat = self._with_weight(base, changes)
        if boat is not None:
            self.apply(boat, what, tag)
            return []
        data = plain_table(base)
        data["schema"] = base.schema_
        for keys, value in changes.items():
            data = _with(data, keys, value)
        return self.try_data(data, what, tag)

    def base_of(self, tag: object) -> BoatFile:
        """The boat that changes with this tag are made to."""
        return self._before[-1].boat if tag is not None and tag == self._tag else self.boat

    def withdraw(self, tag: object) -> bool:
        """Go back to before the changes with this tag, where they are the latest; True where there were any."""
        if tag is None or tag != self._tag:
            return False
        self.boat = self._before.pop().boat
        self.close_undo_group()
        self._keep_choice()
        return True

    def _with_weight(self, boat: BoatFile, changes: Mapping[Keys, Any]) -> BoatFile | None:
        """The boat with one weight changed, where all changes are in that one and nothing is to be complained of.

        All others stay the very objects they are: of a boat of a hundred weights one is looked through.
        """
        places = {keys[:2] for keys in changes}
        if len(places) != 1 or any(len(keys) < 3 for keys in changes):
            return None
        table, index = next(iter(places))
        if table != "weight" or not isinstance(index, int) or index >= len(boat.weight):
            return None
        data: Any = plain_table(boat.weight[index])
        for keys, value in changes.items():
            data = _with(data, keys[2:], value)
        try:
            weight = Weight.model_validate(data)
            weights = [*boat.weight[:index], weight, *boat.weight[index + 1 :]]
            # takes the parts as they are, and looks at what concerns several of them
            parts = {name: getattr(boat, name) for name in BoatFile.model_fields}
            return BoatFile(**{**parts, "weight": weights})
        except ValidationError:
            return None

    def try_data(self, data: dict[str, Any], what: str, tag: object = None) -> list[Problem]:
        """Take in a whole boat from plain tables, or say what is wrong with them."""
        try:
            boat = BoatFile.model_validate(data)
        except ValidationError as error:
            return explain(error, data)
        self.apply(boat, what, tag)
        return []

    def apply(self, boat: BoatFile, what: str, tag: object = None, chosen: str | None = None) -> None:
        """Take in a boat that is known to be sound, as one step."""
        if tag is not None and tag == self._tag and boat == self._before[-1].boat:
            self.withdraw(tag)
            return
        if boat == self.boat:
            return
        if tag is None or tag != self._tag:
            self._before.append(_Step(self.boat, self.chosen, what))
            del self._before[:-MOST_STEPS]
        self._after.clear()
        self._tag = tag
        self.boat = boat
        if chosen is not None:
            self.chosen = chosen
        self._keep_choice()

    def close_undo_group(self) -> None:
        """What is changed next is a step of its own."""
        self._tag = None

    def undo(self) -> str | None:
        """Take back the last step; says what it was, or None where there is none."""
        return self._go(self._before, self._after)

    def redo(self) -> str | None:
        """Do again what was taken back."""
        return self._go(self._after, self._before)

    def _go(self, source: list[_Step], other: list[_Step]) -> str | None:
        self.close_undo_group()
        if not source:
            return None
        step = source.pop()
        other.append(_Step(self.boat, self.chosen, step.what))
        self.boat, self.chosen = step.boat, step.chosen
        self._keep_choice()
        return step.what

    def _keep_choice(self) -> None:
        if self.index is None:
            self.chosen = self.boat.weight[0].id if self.boat.weight else None

    # The chosen weight ---------------------------------------------------------------------------------------

    @property
    def index(self) -> int | None:
        """Place of the chosen weight in the boat's list."""
        return next((n for n, w in enumerate(self.boat.weight) if w.id == self.chosen), None)

    @property
    def weight(self) -> Weight | None:
        """The chosen weight."""
        index = self.index
        return None if index is None else self.boat.weight[index]

    def rename(self, index: int, new_id: str, *, join: bool = False) -> list[Problem]:
        """Give a weight another id, also where others lean on it; with ``join`` as part of the step before."""
        old = self.boat.weight[index].id
        changes: dict[Keys, Any] = {("weight", index, "id"): new_id}
        for n, weight in enumerate(self.boat.weight):
            for m, restraint in enumerate(weight.restraint):
                if isinstance(restraint, Neighbour) and restraint.weight == old:
                    changes[("weight", n, "restraint", m, "weight")] = new_id
        for n, piece in enumerate(self.boat.restraint):
            if old in piece.over:
                changes[("restraint", n, "over")] = [new_id if name == old else name for name in piece.over]
        was_chosen, self.chosen = self.chosen, new_id if self.chosen == old else self.chosen
        problems = self.apply_changes(changes, "id")
        if problems:
            self.chosen = was_chosen
        elif join:
            self._before.pop()
        return problems

    # Verdicts ------------------------------------------------------------------------------------------------

    def run(self) -> CheckContext:
        """The boat and the scenarios now chosen. Raises LookupError for one that is gone."""
        return make_context(self.boat, self.scenarios)

    def _about(self) -> str:
        own = ",".join(s.model_dump_json() for s in self.boat.scenario)
        return f"{self.boat.boat.model_dump_json()}|{own}|{self.scenarios}"

    def cache_keys(self) -> dict[str, str]:
        """For every weight, by id, all that its verdict hangs on: itself and what it touches, she, the scenarios.

        What hangs on the rest of the boat, such as other weights in the same place, is there as the words that say so.
        """
        known = self._keys
        if known is not None and known[0] is self.boat and known[1] == self.scenarios:
            return known[2]
        about, weights = self._about(), self.boat.weight
        was = {} if known is None else {id(w): words for w, words in zip(known[0].weight, self._words, strict=True)}
        words = self._words = [was.get(id(w)) or w.model_dump_json() for w in weights]
        boxes = boxes_of(weights)
        found: dict[str, str] = {}
        for group in groups_of(weights, self.boat.restraint):
            together = "|".join(f"{words[i]}{sense_of(weights[i], self.boat, boxes)}" for i in group)
            names = {weights[i].id for i in group}
            together += "".join(r.model_dump_json() for r in self.boat.restraint if names.intersection(r.over))
            for i in group:
                found[weights[i].id] = f"{group.index(i)}|{together}|{about}"
        self._keys = self.boat, None if self.scenarios is None else list(self.scenarios), found
        return found

    def requests(self) -> list[CheckRequest]:
        """The weights whose answer is not known yet, the chosen one first."""
        keys = self.cache_keys()
        asked = [CheckRequest(w, keys[w.id]) for w in self.boat.weight]
        return sorted((q for q in asked if q.key not in self._known), key=lambda q: q.weight.id != self.chosen)

    def accept(self, question: CheckRequest, answer: WeightVerdict) -> bool:
        """Take in an answer; False where the weight was changed since it was asked.

        One that is not complete is shown, and asked for again until the whole is there.
        """
        if len(self._known) >= _MOST_KNOWN:
            self._known.clear()
        if answer.is_complete:
            self._known[question.key] = answer
        if self.cache_keys().get(question.weight.id) != question.key:
            return False
        self._last[question.weight.id] = answer
        return True

    def states(self) -> dict[str, WeightStatus]:
        """What is to be shown for every weight, by id, in the order of the file."""
        keys = self.cache_keys()
        found: dict[str, WeightStatus] = {}
        for weight in self.boat.weight:
            key = keys[weight.id]
            answer = self._known.get(key)
            working = answer is None
            if answer is None:
                answer = self._last.get(weight.id)
            else:
                self._last[weight.id] = answer
            found[weight.id] = WeightStatus(answer, working)
        return found

    def overall(self) -> Colour | None:
        """The worst of all verdicts; None until every weight has one."""
        states = self.states().values()
        found: list[Colour] = [s.verdict.verdict for s in states if s.verdict is not None and not s.working]
        return worse(*found) if found and len(found) == len(states) else None

    def verdict(self) -> BoatVerdict | None:
        """The verdict on the boat in all scenarios; None until every weight has one in all of them."""
        found = [s.verdict for s in self.states().values() if s.verdict is not None and not s.working]
        if self.scenarios is not None or len(found) < len(self.boat.weight):
            return None
        return assemble(self.run(), found)


def _with(data: Any, keys: Keys, value: Any) -> Any:
    """A copy of plain tables with one value set; an inner table that is left empty is taken out."""
    if not keys:
        return value
    first, rest = keys[0], keys[1:]
    if isinstance(first, int):
        items = list(data or [])
        items += [{}] * (first + 1 - len(items))
        items[first] = {} if not rest and value is None else _with(items[first], rest, value)
        return [item for item in items if item != {}]
    table = dict(data or {})
    inner = _with(copy.copy(table.get(first)), rest, value) if rest else value
    if inner is None or inner in ({}, []):
        table.pop(first, None)
    else:
        table[first] = inner
    return table
