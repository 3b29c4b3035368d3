"""Work shared out over the processors.

The engine spends its time in numpy, which lets other threads run meanwhile: two weights, or two bounds of one
weight, worked side by side take little more than half the time on two processors.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from typing import TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")

MOST = 4
"""Threads: beyond a few, the share of the work that is Python's own holds them up."""
FEWEST = 4
"""Items from which copies of the program are worth making."""
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


def may_copy(items: int) -> bool:
    """Whether work may be shared out over copies of this program: on Linux, with more than one processor and enough
    to do, and only while no other thread is running, for a copy has none of them."""
    return sys.platform == "linux" and items >= FEWEST and (os.cpu_count() or 1) > 1 and threading.active_count() == 1


def copies() -> ProcessPoolExecutor:
    """Copies of this program, as it stands, one to a processor; an interrupt is left to the first of them."""
    context = multiprocessing.get_context("fork")
    return ProcessPoolExecutor(min(MOST, os.cpu_count() or 1), context, initializer=_deaf)


def _deaf() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _inside.busy = True
