"""A table of the boat file while it is being filled in: what is complete is in the boat, the rest waits here."""

from __future__ import annotations

import copy
from itertools import pairwise
from typing import Any, cast

from secure_load.boat.explain import Problem
from secure_load.boat.render import plain_table
from secure_load.screen.form.parsing import value_at
from secure_load.screen.session.session import Keys, Session


class Draft:
    """The plain data of one table, by default as the boat has it. ``root`` is the way to it through the boat file."""

    def __init__(self, session: Session, root: Keys, data: dict[str, Any] | None = None) -> None:
        self.session = session
        self.root = root
        self.data: dict[str, Any] = {}
        self.problems: list[Problem] = []
        """What keeps some of it out of the boat."""
        self.reload()
        if data is not None:
            self.put(data, "going on")

    def reload(self) -> None:
        """As the boat has it; what was incomplete is dropped."""
        part = value_at(self.session.boat, self.root)
        self.data = plain_table(part) if part is not None else {}
        heel = self.data.get("heel_deg")
        if isinstance(heel, int | float):  # one heel, as the file may say it
            self.data["heel_deg"] = {"from": heel, "to": heel}
        self.problems = []

    def get(self, keys: Keys) -> Any:
        """What is at ``keys`` inside the table; None where there is nothing."""
        return value_at(self.data, keys)

    def copy_of(self) -> dict[str, Any]:
        """The data, to be changed."""
        return copy.deepcopy(self.data)

    def put(self, data: dict[str, Any], what: str, tag: object = None) -> None:
        """Take in the whole table if it is in order; of one that is not, all but the parts that are complained of."""
        self.data = data
        self.problems = self._apply(data, what, tag)
        if not self.problems:
            return
        sound, before = copy.deepcopy(data), value_at(self.session.base_of(tag), self.root)
        stored = plain_table(before) if before is not None else {}
        for problem in self.problems:
            inside = problem.path[len(self.root) :]
            if not inside or problem.path[: len(self.root)] != self.root:
                self.session.withdraw(tag)
                return
            sound.pop(str(inside[0]), None)
            if inside[0] in stored:
                sound[str(inside[0])] = stored[str(inside[0])]
        if sound == stored or self._apply(sound, what, tag):
            self.session.withdraw(tag)

    def _apply(self, data: dict[str, Any], what: str, tag: object) -> list[Problem]:
        return self.session.apply_changes({self.root: data or None}, what, tag)

    def set(self, data: dict[str, Any], keys: Keys, value: Any) -> None:
        """Set one value in data; None takes it out, and a table that is left empty with it."""
        way: list[Any] = [data]
        for key, after in pairwise(keys):
            here = way[-1]
            empty: Any = [] if isinstance(after, int) else {}
            if isinstance(key, int):
                here.extend({} for _ in range(key + 1 - len(here)))
                here[key] = here[key] or empty
            elif here.get(key) is None:
                here[key] = empty
            way.append(here[key])
        last, here = keys[-1], way[-1]
        if isinstance(last, int):
            here.extend({} for _ in range(last + 1 - len(here)))
            if value is None:
                del here[last]
            else:
                here[last] = value
        elif value is None:
            here.pop(last, None)
        else:
            here[last] = value
        for key, inner in reversed(list(zip(keys[:-1], way[1:], strict=True))):
            if not inner and isinstance(key, str):
                way.pop()
                cast("dict[str, Any]", way[-1]).pop(key, None)
            else:
                break

    def complaint(self) -> str:
        """What keeps some of it out of the boat, in a sentence; empty where all of it is there."""
        if not self.problems:
            return ""
        problem = self.problems[0]
        where = " ".join(str(k + 1 if isinstance(k, int) else k) for k in problem.path[len(self.root) :])
        return f"Not in the boat yet: {where} {problem.sentence}"
