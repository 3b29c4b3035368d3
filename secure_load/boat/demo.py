"""The demo boats: inside the installed package, and at the top of the source where people look for them."""

from __future__ import annotations

import os
from pathlib import Path

from .file import BoatDocument, parse_boat
from .save import create_with_text

_PACKAGE = Path(__file__).resolve().parents[1]
_FOLDERS = (_PACKAGE / "demo_boats", _PACKAGE.parent / "demo_boats")


def demo_boats() -> list[Path]:
    """The files of the demo boats, in the order of their names."""
    folder = next((each for each in _FOLDERS if each.is_dir()), _PACKAGE)
    return sorted(folder.glob("*.toml"))


def demo_summary(path: Path) -> str:
    """What a demo boat is, from the comment on its first line.

    >>> demo_summary(demo_boats()[0])
    'a gaff cutter of larch on oak, forty years old, with her inside ballast in lead pigs.'
    """
    first = path.read_text(encoding="utf-8").splitlines()[0]
    return first.lstrip("# ").partition(": ")[2]


def copy_demo(demo: Path, path: str | os.PathLike[str]) -> BoatDocument:
    """Write a demo boat to a file of the owner's. Raises ``AlreadyThere`` where there is one of that name."""
    text = demo.read_text(encoding="utf-8")
    return create_with_text(path, text, parse_boat(text, path))
