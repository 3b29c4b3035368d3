"""What is worked out for the screen, the same wherever it is done: in the helper, or in a thread beside the screen."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from secure_load.boat.models import Weight
from secure_load.record.shapes import Picture
from secure_load.record.strip import StripRow
from secure_load.screen.pictures import KeepingRun, Wanted, make, strip_from
from secure_load.screen.session import Answer, Question, work_out
from secure_load.verdict.check import holds_alone
from secure_load.verdict.models import HoldsG

Task = Question | Wanted
"""A verdict, a strip or a rose that is wanted."""
What = Literal["verdict", "strip", "rose", "holds"]
"""How many g it holds is what a helper asks its mate."""
Result = tuple[What, Answer | StripRow | Picture | None]
"""What was worked out; no strip and no rose where the weight cannot be checked."""


def what_of(task: Task) -> What:
    """What is wanted."""
    if isinstance(task, Question):
        return "verdict"
    return "rose" if task.rose else "strip"


def results(task: Task, run: KeepingRun) -> Iterator[Result]:
    """Work a task out; a verdict first, and after it the strip out of the same working. Raises nothing of its own."""
    if isinstance(task, Question):
        yield "verdict", work_out(task, run)
        made = strip_from(Wanted(task.weight, task.key), run)
        yield "strip", None if made is None else made.strip
    else:
        made = make(task, run)
        yield ("rose", made.rose) if task.rose else ("strip", made.strip)


def answers(what: What, weight: Weight, run: KeepingRun) -> Iterator[Result | tuple[What, HoldsG | None]]:
    """As ``results``, of what a helper or its mate is asked."""
    if what == "holds":
        yield "holds", _holds(weight, run)
    elif what == "verdict":
        yield from results(Question(weight, ""), run)
    else:
        yield from results(Wanted(weight, "", rose=what == "rose"), run)


def _holds(weight: Weight, run: KeepingRun) -> HoldsG | None:
    try:
        return holds_alone(weight, run)
    except Exception:  # whatever it is happens again where the verdict is worked out, and is told there
        return None


def same(one: Task, other: Task) -> bool:
    """True where both want the same of the same weight, as it was then."""
    return what_of(one) == what_of(other) and one.key == other.key
