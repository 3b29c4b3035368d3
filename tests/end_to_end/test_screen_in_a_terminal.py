"""The whole program in a true terminal (tmux): opened, changed, saved, closed, killed, opened again."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Generator
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat

ROOT = Path(__file__).parents[2]
BOAT = """\
[boat]
name = "Dunlin"

# weighed in spring
[[weight]]
id = "pigs"
name = "Lead pigs"
mass_kg = 24.0
at_m = [3.60, 0.00, -0.32]
size_m = [0.42, 0.20, 0.12]

[[weight.restraint]]
type = "bed"
"""

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="there is no tmux here")


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


@pytest.fixture
def terminal(tmp_path: Path) -> Generator[Terminal]:
    found = Terminal(tmp_path / "s", tmp_path / "home")
    yield found
    found.close()


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    path = tmp_path / "dunlin.toml"
    path.write_text(BOAT, encoding="utf-8", newline="\n")
    return path


def test_a_mass_is_changed_and_saved_with_its_comment(terminal: Terminal, boat: Path) -> None:
    terminal.start(boat)
    terminal.shows("R fails")
    terminal.keys("F3")
    terminal.shows("Form: Lead pigs")
    terminal.keys("Tab", "3", "1")
    terminal.shows("not saved")
    terminal.keys("C-s")
    terminal.until(lambda: read_boat(boat).weight[0].mass == 31.0, "the saved mass")
    assert "# weighed in spring" in boat.read_text(encoding="utf-8")
    terminal.keys("C-q")
    terminal.until(lambda: not terminal.text().strip(), "the end")


@pytest.mark.parametrize("how", ["killed", "closed"])
def test_a_killed_program_and_a_closed_terminal_lose_nothing(terminal: Terminal, boat: Path, how: str) -> None:
    terminal.start(boat)
    terminal.shows("R fails")
    terminal.keys("F3")
    terminal.shows("Form: Lead pigs")
    terminal.keys("Tab", "3", "3")
    terminal.shows("not saved")
    if how == "killed":
        time.sleep(1.0)
        os.kill(terminal.pid(), 9)
    else:
        terminal.close()
    kept = terminal.home / "secure-load" / "unsaved"
    terminal.until(lambda: bool(list(kept.glob("*.kept"))), "the kept work")
    time.sleep(0.5)
    assert read_boat(boat).weight[0].mass == 24.0
    terminal.close()
    again = Terminal(terminal.socket.with_name("t"), terminal.home)
    try:
        again.start(boat)
        again.shows("not saved: Dunlin")
        again.keys("t")
        again.shows("33")
        again.keys("C-s")
        again.until(lambda: read_boat(boat).weight[0].mass == 33.0, "the saved mass")
    finally:
        again.close()
    assert "# weighed in spring" in boat.read_text(encoding="utf-8")


def test_a_terminal_without_line_drawing_gets_plain_characters(terminal: Terminal, boat: Path) -> None:
    terminal.start(boat, 120, 40, TERM="linux")
    terminal.shows("R fails")
    terminal.shows("Form: Lead pigs")
    assert terminal.text().isascii()
