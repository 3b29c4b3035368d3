"""The name and version a record is signed with."""

from __future__ import annotations

from importlib import metadata

PROGRAM = "secure-load"


def program_version() -> str:
    """Name and version of this program; without a number where it is run from its source and not installed."""
    try:
        return f"{PROGRAM} {metadata.version(PROGRAM)}"
    except metadata.PackageNotFoundError:
        return f"{PROGRAM}, not installed"
