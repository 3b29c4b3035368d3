"""The whole program in a true terminal (tmux): opened, changed, saved, closed, killed, opened again."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Generator
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat
from secure_load.boat.render import render_boat
from tests.boats import head, pigs
from tests.processes import children, there
from tests.speed.larger_boats import tier_of
from tests.terminal import Terminal

BOAT = head("Dunlin") + "\n# weighed in spring" + pigs("Lead pigs") + '\n[[weight.restraint]]\ntype = "bed"\n'

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="there is no tmux here")


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


@pytest.mark.long
def test_a_mass_is_changed_and_saved_with_its_comment(terminal: Terminal, boat: Path) -> None:
    terminal.start(boat)
    terminal.shows("R fails")
    terminal.keys("F3")
    terminal.shows("Name     Lead pigs")
    terminal.keys("Tab", "3", "1")
    terminal.shows("not saved")
    terminal.keys("C-s")
    terminal.until(lambda: read_boat(boat).weight[0].mass == 31.0, "the saved mass")
    assert "# weighed in spring" in boat.read_text(encoding="utf-8")
    terminal.keys("C-q")
    terminal.until(lambda: not terminal.text().strip(), "the end")


def test_keys_that_come_at_once_are_taken_in_their_order(terminal: Terminal, boat: Path) -> None:
    terminal.start(boat)
    terminal.shows("R fails")
    terminal.keys("F3", "Tab", "3", "BSpace", "4", "1", "Home", "Delete", "5", "BTab", "P", "i", "g", "C-s")
    terminal.until(lambda: [(w.name, w.mass) for w in read_boat(boat).weight] == [("Pig", 51.0)], "what was typed")


@pytest.mark.long
@pytest.mark.parametrize("how", ["killed", "closed"])
def test_a_killed_program_and_a_closed_terminal_lose_nothing(terminal: Terminal, boat: Path, how: str) -> None:
    terminal.start(boat)
    terminal.shows("R fails")
    terminal.keys("F3")
    terminal.shows("Name     Lead pigs")
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
        again.keys("r", "Enter")
        again.shows("33")
        again.keys("C-s")
        again.until(lambda: read_boat(boat).weight[0].mass == 33.0, "the saved mass")
    finally:
        again.close()
    assert "# weighed in spring" in boat.read_text(encoding="utf-8")


@pytest.mark.long
def test_a_terminal_without_line_drawing_gets_plain_characters(terminal: Terminal, boat: Path) -> None:
    terminal.start(boat, 120, 40, TERM="linux")
    terminal.shows("R fails")
    terminal.shows("Name     Lead pigs")
    assert terminal.text().isascii()


def test_a_locale_of_plain_characters_gets_no_others(terminal: Terminal, boat: Path) -> None:
    terminal.start(boat, 120, 40, LC_ALL="C", LANG="C")
    terminal.shows("R fails")
    terminal.keys("F5")
    terminal.shows("P180")
    assert terminal.text().isascii()


@pytest.mark.long
@pytest.mark.parametrize("how", ["killed", "closed", "left", "killed at work"])
def test_no_process_is_left_behind(terminal: Terminal, boat: Path, how: str) -> None:
    if how == "killed at work":
        boat.write_text(render_boat(tier_of(12)), encoding="utf-8")
    terminal.start(boat)
    terminal.shows("R fails" if how != "killed at work" else "working")
    pid = terminal.pid()
    assert not children(pid), "the check runs in a thread"
    if how == "left":
        terminal.keys("C-q")
    elif how == "closed":
        terminal.close()
    else:
        os.kill(pid, 9)
    end = time.monotonic() + 5.0
    while there(pid):
        assert time.monotonic() < end, "it is still there"
        time.sleep(0.02)
