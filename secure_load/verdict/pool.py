"""Work shared out over the processors.

The engine spends its time in numpy, which lets other threads run meanwhile: two weights, or two bounds of one
weight, worked side by side take little more than half the time on two processors.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")

MOST = 4
"""Threads: beyond a few, the share of the work that is Python's own holds them up."""
_inside = threading.local()


def side_by_side(work: Callable[[Item], Result], items: Sequence[Item]) -> list[Result]:
    """work(item) for each item, in order; in threads, unless already in one of them. The first error is raised."""
    threads = min(MOST, os.cpu_count() or 1, len(items))
    if threads < 2 or getattr(_inside, "busy", False):
        return [work(item) for item in items]

    def guarded(item: Item) -> Result:
        _inside.busy = True
        return work(item)

    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(guarded, items))
