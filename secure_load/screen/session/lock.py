"""A mark on a file that the system itself takes off when the program ends, in whatever way it ends."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import IO

_FAR = 1 << 30
"""Which byte is locked on Windows: far behind the text, which others may still read."""


def hold(path: Path) -> IO[bytes] | None:
    """Open and mark a file for as long as it stays open; None where another has it. Raises OSError."""
    stream = path.open("ab+")
    try:
        if _mark(stream):
            return stream
    except OSError:
        # A file system that knows no marks: then nobody can be told apart, and the file is taken as free.
        return stream
    stream.close()
    return None


def held(path: Path) -> bool:
    """True where a living program has the mark on a file."""
    try:
        stream = hold(path)
    except OSError:
        return False
    if stream is None:
        return True
    stream.close()
    return False


if sys.platform == "win32":
    import msvcrt

    def _mark(stream: IO[bytes]) -> bool:
        stream.seek(_FAR)
        try:
            msvcrt.locking(stream.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError as problem:
            if isinstance(problem, PermissionError) or problem.errno in (13, 36):
                return False
            raise
        return True

else:
    import fcntl

    def _mark(stream: IO[bytes]) -> bool:
        try:
            fcntl.flock(stream.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def write_whole(path: Path, data: bytes) -> None:
    """Put ``data`` in a file in one step: at no moment is there half of it. Raises OSError."""
    fresh = path.with_name(f".{path.name}.tmp")
    with fresh.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    fresh.replace(path)
