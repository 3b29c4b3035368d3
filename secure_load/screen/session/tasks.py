"""What is worked out for the screen. Nothing here knows a terminal or a thread."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from secure_load.boat.models import Weight
from secure_load.check.check import check_stages
from secure_load.check.results import Remedy, WeightVerdict
from secure_load.screen.session.drawing_cache import Drawing, DrawingRequest, RetainingContext, make, strip_from
from secure_load.screen.session.session import CheckRequest


@dataclass(frozen=True)
class FixRequest:
    """What would fix a weight is wanted."""

    weight: Weight
    key: str
    verdict: WeightVerdict


@dataclass(frozen=True)
class Fixes:
    """What would fix a weight, least work first."""

    key: str
    remedies: list[Remedy]


Task = CheckRequest | DrawingRequest | FixRequest
"""A verdict, a heel strip, a rose or fixes that are wanted."""
Result = WeightVerdict | Drawing | Fixes
"""What was worked out for it."""


def results(task: Task, run: RetainingContext) -> Iterator[Result]:
    """The results of one task, each as soon as it is known: the verdict, for a group in two steps, then the strip.

    Raises ``Cancelled`` where that was asked for, and nothing else.
    """
    if isinstance(task, CheckRequest):
        yield from check_stages(task.weight, run)
        drawn = strip_from(DrawingRequest(task.weight, task.key), run)
        if drawn is not None:
            yield drawn
    elif isinstance(task, FixRequest):
        from secure_load.remedies import remedies  # loaded when it is first wanted

        yield Fixes(task.key, remedies(task.weight, run, task.verdict))
    else:
        yield make(task, run)
