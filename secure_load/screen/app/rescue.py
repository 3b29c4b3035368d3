"""Unsaved work when the program ends in another way than by leaving it: it is put in a file beside the boat's own."""

from __future__ import annotations

from pathlib import Path

from secure_load.boat.file import BoatFileError
from secure_load.boat.save import AlreadyThere, save_boat
from secure_load.screen.session.session import Session

_MOST = 100


def rescue(session: Session) -> Path | None:
    """Write unsaved work to ``NAME.rescued.toml`` (or the next free name); None where there is none, or no room."""
    if not session.dirty:
        return None
    near = session.path or Path("new-boat.toml")
    for folder in (near.parent, Path.home()):
        for number in range(1, _MOST):
            tail = ".rescued.toml" if number == 1 else f".rescued-{number}.toml"
            target = folder / (near.stem + tail)
            try:
                save_boat(target, session.boat)
            except AlreadyThere:
                continue
            except BoatFileError:
                break
            return target
    return None
