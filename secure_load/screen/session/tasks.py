"""What is worked out for the screen. Nothing here knows a terminal or a thread."""

from __future__ import annotations

from collections.abc import Iterator

from secure_load.check.check import check_weight
from secure_load.check.results import WeightVerdict
from secure_load.screen.session.drawing_cache import Drawing, DrawingRequest, RetainingContext, make, strip_from
from secure_load.screen.session.session import CheckRequest

Task = CheckRequest | DrawingRequest
"""A verdict, a heel strip or a rose that is wanted."""
Result = WeightVerdict | Drawing
"""What was worked out for it."""


def results(task: Task, run: RetainingContext) -> Iterator[Result]:
    """The results of one task, each as soon as it is known; after a verdict the strip out of the same working.

    Raises ``Cancelled`` where that was asked for, and nothing else.
    """
    if isinstance(task, CheckRequest):
        yield check_weight(task.weight, run)
        drawn = strip_from(DrawingRequest(task.weight, task.key), run)
        if drawn is not None:
            yield drawn
    else:
        yield make(task, run)
