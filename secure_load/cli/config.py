"""The owner's own settings, ``config.toml`` in the platform's folder for such things; none of it is needed.

Read before anything is painted, so by nothing heavier than tomllib.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path

from platformdirs import user_config_dir

CHOICES = {
    "theme": ("dark", "light"),
    "glyphs": ("braille", "quadrant", "ascii"),
    "start": ("table", "form", "drawing"),
}
"""What a setting may be; ``by`` is any name on one line."""
LONGEST = 200


@dataclass(frozen=True)
class Config:
    """The settings."""

    theme: str = "dark"
    """Colours of the screen."""
    glyphs: str | None = None
    """What drawings are made of; the terminal's best unless given."""
    start: str = "table"
    """The pane the screen begins in."""
    by: str | None = None
    """Who writes the records, unless the command says."""
    problem: str = ""
    """What is wrong with the file, in a sentence; its other settings hold."""


def config_file() -> Path:
    """``~/.config/secure-load/config.toml`` on Linux (or ``XDG_CONFIG_HOME``), and its like on macOS and Windows."""
    return Path(user_config_dir("secure-load", appauthor=False)) / "config.toml"


@cache
def config() -> Config:
    """The settings as they are when first asked for."""
    return read_config(config_file())


def read_config(path: Path) -> Config:
    """The settings in a file; what is wrong with it is told, and raises nothing."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except FileNotFoundError:
        return Config()
    except (OSError, ValueError) as error:
        return Config(problem=f"{path}: cannot be read: {error}")
    known = [f.name for f in fields(Config) if f.name != "problem"]
    sound: dict[str, str] = {}
    problem = ""
    for name, value in data.items():
        allowed = CHOICES.get(name)
        if name not in known:
            problem = f"there is no setting '{name}'; there are {', '.join(known)}"
        elif not isinstance(value, str) or not value.strip() or len(value) > LONGEST or not value.isprintable():
            problem = f"'{name}' must be text in quotes, on one line"
        elif allowed is not None and value not in allowed:
            problem = f"'{name}' is '{value}', but must be {' or '.join(allowed)}"
        else:
            sound[name] = value
    return Config(**sound, problem=f"{path}: {problem}" if problem else "")
