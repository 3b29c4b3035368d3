"""Standard output and standard error as they really are: piped, closed, full, or in some old encoding."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from collections.abc import Generator
from pathlib import Path
from typing import TextIO


class CannotPrint(Exception):
    """Standard output takes no more, and nobody closed it; the message is one sentence."""


def safe(text: str) -> str:
    """Text from outside made fit for a message: nothing in it acts on the terminal."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape", "surrogatepass").decode("ascii") for c in text)


def say(message: str) -> None:
    """One message on standard error; nobody is told where that is closed."""
    with contextlib.suppress(OSError, ValueError):
        sys.stderr.write(message + "\n")
        sys.stderr.flush()


def put(text: str, utf8: bool = False) -> None:
    """Text on standard output; JSON always in UTF-8, whatever the terminal's own encoding."""
    with printing():
        raw = getattr(sys.stdout, "buffer", None)
        if utf8 and raw is not None:
            sys.stdout.flush()
            raw.write(text.encode("utf-8"))
            raw.flush()
        else:
            sys.stdout.write(text)


@contextlib.contextmanager
def printing() -> Generator[None]:
    """Printing that somebody may stop reading (``| head``): the rest is dropped, and the verdict still stands.

    Raises CannotPrint where it fails otherwise, as on a full disk.
    """
    try:
        yield
        sys.stdout.flush()
    except OSError as error:
        _deaf(sys.stdout)
        # Windows reports a closed pipe as a bad argument
        if not isinstance(error, BrokenPipeError) and error.errno not in (errno.EPIPE, errno.EINVAL):
            raise CannotPrint(f"the output could not be written: {safe(error.strerror or 'refused')}") from error


def _deaf(stream: TextIO) -> None:
    """Send what is still in the stream's buffer nowhere, or the interpreter complains as it leaves."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def is_terminal(stream: TextIO | None) -> bool:
    """Whether a person may be looking."""
    try:
        return stream is not None and stream.isatty()
    except ValueError:  # closed
        return False


def ready_streams() -> None:
    """Streams that never fail on a character they lack; a closed one leads nowhere."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115 (open to the end)
            continue
        with contextlib.suppress(AttributeError, ValueError, OSError):
            stream.reconfigure(errors="backslashreplace")
