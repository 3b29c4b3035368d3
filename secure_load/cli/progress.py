"""A bar that shows how far a long check has come, and leaves no trace."""

from __future__ import annotations

import contextlib
from collections.abc import Generator
from typing import TextIO

from rich.progress import BarColumn, MofNCompleteColumn, Progress, TaskID, TextColumn

from secure_load.cli.console import console_for


@contextlib.contextmanager
def bar_on(stream: TextIO, whole: int) -> Generator[tuple[Progress, TaskID]]:
    """A bar over ``whole`` steps; update its ``completed`` and its ``what``."""
    with Progress(
        TextColumn("checking"),
        BarColumn(bar_width=24),
        MofNCompleteColumn(),
        TextColumn("{task.fields[what]}", markup=False),
        console=console_for(stream),
        transient=True,
    ) as bar:
        yield bar, bar.add_task("check", total=whole, what="")
