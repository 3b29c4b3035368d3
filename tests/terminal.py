"""The program in a true terminal (tmux): keys pressed, the screen read."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[1]


class Terminal:
    """A terminal of its own, with the program in it."""

    def __init__(self, socket: Path, home: Path) -> None:
        self.socket = socket
        self.home = home

    def _tmux(self, *words: str) -> str:
        done = subprocess.run(
            ["tmux", "-S", str(self.socket), *words], capture_output=True, text=True, check=False, timeout=20
        )
        return done.stdout

    def start(self, boat: Path, width: int = 80, height: int = 24, **env: str) -> None:
        """Open the program on a boat."""
        given = {"XDG_STATE_HOME": str(self.home), "HOME": str(self.home), "LC_ALL": "C.UTF-8", **env}
        words = " ".join(f"{k}={shlex.quote(v)}" for k, v in given.items())
        program = f"{shlex.quote(sys.executable)} -m secure_load {shlex.quote(str(boat))}"
        # the size is the terminal's own, whatever the test run says of its
        command = f"cd {shlex.quote(str(ROOT))} && exec env -u COLUMNS -u LINES {words} {program}"
        self._tmux("-f", os.devnull, "new-session", "-d", "-x", str(width), "-y", str(height), command)

    def keys(self, *keys: str) -> None:
        """Press keys, by tmux's names."""
        self._tmux("send-keys", *keys)

    def text(self) -> str:
        """What stands on the screen."""
        return self._tmux("capture-pane", "-p")

    def pid(self) -> int:
        """Of the program."""
        return int(self._tmux("display-message", "-p", "#{pane_pid}"))

    def until(self, true: Callable[[], bool], what: str) -> None:
        """Wait for something; fails with the screen's text."""
        end = time.monotonic() + 30
        while time.monotonic() < end:
            if true():
                return
            time.sleep(0.1)
        raise AssertionError(f"{what} never came:\n{self.text()}")

    def shows(self, words: str) -> None:
        """Wait until words are on the screen."""
        self.until(lambda: words in self.text(), words)

    def close(self) -> None:
        """Close the terminal, as by its window's cross."""
        self._tmux("kill-server")
