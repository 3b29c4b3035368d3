"""The log of ``--debug``: what goes wrong, with its traceback, in a file of the platform's log folder."""

from __future__ import annotations

import contextlib
import datetime
import logging
import os
from collections.abc import Generator
from pathlib import Path

from platformdirs import user_log_dir

from secure_load.cli.io import safe, say
from secure_load.cli.main import Refused


@contextlib.contextmanager
def log_to_file() -> Generator[None]:
    """Write the program's log to a new file and say its name at the end. Raises Refused where it cannot be made."""
    now = datetime.datetime.now().astimezone()
    path = Path(user_log_dir("secure-load", appauthor=False)) / f"{now:%Y%m%d-%H%M%S}-{os.getpid()}.log"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handler = logging.FileHandler(path, encoding="utf-8")
    except OSError as problem:
        raise Refused(f"{safe(str(path))}: no log can be kept there ({problem.strerror})") from problem
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    log = logging.getLogger("secure_load")
    log.addHandler(handler)
    try:
        yield
    finally:
        log.removeHandler(handler)
        handler.close()
        said = "tracebacks are in" if path.stat().st_size else "nothing went wrong; an empty log is"
        say(f"secure-load: {said} {safe(str(path))}")
