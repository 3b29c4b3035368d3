"""kill -9 at moments drawn by lot, in a true terminal, in the midst of typing and saving.

At most the last second of typing is lost, and no file is damaged. Every key adds one letter to the pigs' name, so
that the length of a name found afterwards says how much of the typing it holds; every twelfth key saves.

Eight moments in the usual run, fifty with ``--every-moment``.
"""

from __future__ import annotations

import os
import random
import shutil
import time
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat
from secure_load.boat.models import BoatFile
from secure_load.screen.session.autosave import recover, unfinished_work
from tests.boats import head, pigs
from tests.processes import there
from tests.terminal import Terminal

MOST_LOST = 1.0
"""Seconds of typing."""
PACE = 0.06
"""Seconds between two keys: sixteen in a second, faster than anybody types."""
LONGEST = 4.0
"""Seconds of typing, at most."""
COMMENT = "# weighed in spring"
BOAT = head("Dunlin") + f"\n{COMMENT}" + pigs("P") + '\n[[weight.restraint]]\ntype = "bed"\n'
LETTERS = "abcdefghijklmnopqrstuvwxyz"

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="there is no tmux here")


def full_name(keys: int) -> str:
    """The name after so many letters; the first takes the place of the old name, which is selected."""
    return "".join(LETTERS[n % 26] for n in range(keys)) or "P"


def typed_until(terminal: Terminal, end: float) -> list[float]:
    """Type letters, and save at every twelfth, until the moment comes. When each letter was typed."""
    when: list[float] = []
    while time.monotonic() < end:
        terminal.keys(LETTERS[len(when) % 26])
        when.append(time.monotonic())
        if len(when) % 12 == 0:
            terminal.keys("C-s")
        time.sleep(max(0.0, min(PACE, end - time.monotonic())))
    return when


def killed_once(folder: Path, moment: float) -> tuple[float, int, int]:
    """Kill the program so many seconds after the first key. Seconds of typing lost, letters lost, letters typed."""
    folder.mkdir()
    boat = folder / "dunlin.toml"
    boat.write_text(BOAT, encoding="utf-8", newline="\n")
    terminal = Terminal(folder / "s", folder / "home")
    try:
        terminal.start(boat)
        terminal.shows("R fails")
        terminal.keys("F3")
        terminal.shows("Name     P")
        pid = terminal.pid()
        when = typed_until(terminal, time.monotonic() + moment)
        dead = time.monotonic()
        os.kill(pid, 9)
        terminal.until(lambda: not there(pid), "the end")
    finally:
        terminal.close()
    in_file = read_boat(boat)  # raises where the file is damaged
    assert COMMENT in boat.read_text(encoding="utf-8")
    found = [in_file]
    for kept in unfinished_work(terminal.home / "secure-load" / "unsaved", boat):
        session = recover(kept)
        assert COMMENT in kept.text
        found.append(session.boat)
        session.save()  # and it can be saved, the comment with it
        assert read_boat(boat) == session.boat
        assert COMMENT in boat.read_text(encoding="utf-8")
    names = [each.weight[0].name or "" for each in found]
    letters = max(0 if name == "P" else len(name) for name in names)
    for each, name in zip(found, names, strict=True):
        assert name == full_name(0 if name == "P" else len(name))
        assert each.weight[0].model_copy(update={"name": "P"}) == read_boat_from(folder).weight[0]
    lost = when[letters:]
    return (dead - lost[0] if lost else 0.0), len(lost), len(when)


def read_boat_from(folder: Path) -> BoatFile:
    """The boat as she was at first."""
    first = folder / "first.toml"
    first.write_text(BOAT, encoding="utf-8", newline="\n")
    return read_boat(first)


@pytest.mark.long
def test_at_most_the_last_second_of_typing_is_lost(
    tmp_path: Path, request: pytest.FixtureRequest, capsys: pytest.CaptureFixture[str]
) -> None:
    moments = 50 if request.config.getoption("--every-moment") else 8
    dice = random.Random(1105)
    lost: list[float] = []
    letters: list[int] = []
    for n in range(moments):
        seconds, gone, typed = killed_once(tmp_path / f"{n}", dice.uniform(0.05, LONGEST))
        lost.append(seconds)
        letters.append(gone)
        assert gone <= typed
    with capsys.disabled():
        print(  # noqa: T201 (the figures are what the test is for)
            f"\nkilled at {moments} moments: at most {max(lost):.2f} s of typing lost ({max(letters)} letters), "
            f"middle one {sorted(lost)[moments // 2]:.2f} s"
        )
    assert max(lost) <= MOST_LOST, sorted(lost)
