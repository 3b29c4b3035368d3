"""Processes that a test has begun: whether they are there, whose they are, and waiting for what they do."""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Callable


def until(true: Callable[[], bool], seconds: float = 20.0) -> None:
    """Wait until something is so."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end
        time.sleep(0.01)


def there(pid: int) -> bool:
    """True while there is such a process."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def children(pid: int) -> list[int]:
    """Processes that a process has started and that are still there."""
    found = subprocess.run(["ps", "-eo", "pid=,ppid="], capture_output=True, text=True, check=True).stdout
    return [int(child) for child, parent in map(str.split, found.splitlines()) if int(parent) == pid]
