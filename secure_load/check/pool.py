"""Work shared out over the processors.

In copies of the program, not in threads: the engine calls numpy on arrays so short that two threads mostly wait for
the interpreter, and take a fifth longer than one (measured on two processors).
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from concurrent.futures import ProcessPoolExecutor

MAX_WORKERS = 4
"""Copies: each has its own memory."""
MIN_GROUPS = 4
"""Items from which copies of the program are worth making."""


def processors() -> int:
    """That this program may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # there is no such thing on macOS and Windows
        return os.cpu_count() or 1


def can_fork(items: int) -> bool:
    """Whether work may be shared out over copies of this program: on Linux, with more than one processor and enough
    to do, and only while no other thread is running, for a copy has none of them."""
    return sys.platform == "linux" and items >= MIN_GROUPS and processors() > 1 and threading.active_count() == 1


def forked_pool() -> ProcessPoolExecutor:
    """Copies of this program, as it stands, one to a processor; an interrupt is left to the first of them."""
    context = multiprocessing.get_context("fork")
    return ProcessPoolExecutor(min(MAX_WORKERS, processors()), context, initializer=_start_worker)


def _start_worker() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
