"""The name of a boat at a glance, before her file is read and checked, so that it can be painted at once."""

from __future__ import annotations

import tomllib
from pathlib import Path

_MOST = 20_000
"""Characters. A file that says more before its first weight is not glanced at."""


def name_at_a_glance(path: Path) -> str | None:
    """The boat's name as the first tables of her file give it; None where it is not there, or cannot be told so soon.

    Nothing is complained of: that is the reader's, who comes after.
    """
    try:
        if not path.is_file():
            return None
        with path.open(encoding="utf-8-sig") as stream:
            text = stream.read(_MOST)
        boat = tomllib.loads(text.partition("\n[[")[0]).get("boat")
    except (OSError, ValueError, RecursionError):
        return None
    name = boat.get("name") if isinstance(boat, dict) else None
    return name if isinstance(name, str) else None
