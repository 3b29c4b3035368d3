"""A boat on disk, and a pilot that waits for the check."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from textual.pilot import Pilot

from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.main.screen import MainScreen
from tests.boats import head, pigs

BOAT = f"""\
{head("Dunlin", lwl_m=6.40, bwl_m=2.05, bilge="wet")}
# the pigs were weighed in spring{pigs("Pigs abaft the mast", kind='"ballast"', measured=True)}
[[weight.restraint]]
id = "bed"
type = "bed"
friction = 0.2

[[weight.restraint]]
id = "port-cleat"
type = "cleat"
face = "port"
timber = "oak-white"
length_mm = 300
height_mm = 40
depth_mm = 35
screws = {{ gauge = 10, count = 3, penetration_mm = 32, into = "larch", member = "floor", metal = "silicon-bronze" }}

[[weight]]
id = "battery"
kind = "battery"
mass_kg = 20.0
at_m = [2.0, 0.30, -0.10]
size_m = [0.30, 0.17, 0.20]
"""


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of the test's own for unsaved work."""
    folder = tmp_path / "state"
    monkeypatch.setattr("secure_load.screen.session.autosave.state_folder", lambda: folder)
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr("tempfile.tempdir", None)
    return folder


@pytest.fixture(autouse=True)
def terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal that shows all colours and characters, whatever the test run is started in."""
    for name in ("NO_COLOR", "LC_ALL", "LC_CTYPE", "LANG"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")


@pytest.fixture(autouse=True)
def idle_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Textual's pilot waits until the process is idle: here until the screen's own thread is, while a check may run."""
    monkeypatch.setattr("textual._wait.process_time", time.thread_time)


@pytest.fixture
def boat_file(tmp_path: Path) -> Path:
    """A small boat: one weight with too little to hold it, one with nothing."""
    path = tmp_path / "dunlin.toml"
    path.write_text(BOAT, encoding="utf-8", newline="\n")
    return path


def main_screen(app: SecureLoadApp) -> MainScreen:
    """The main screen, which must be open."""
    assert app.main is not None
    return app.main


async def taken(pilot: Pilot[None], rest: float = 0.02) -> None:
    """Wait until every key is taken, and then for ``rest`` seconds."""
    app = pilot.app
    assert isinstance(app, SecureLoadApp)
    await pilot.pause(0.0)
    while app.keys_wait:
        await pilot.pause(0.02)
    await pilot.pause(rest)


async def settle(pilot: Pilot[None]) -> None:
    """Wait until every key is taken, and every question answered and shown."""
    app = pilot.app
    assert isinstance(app, SecureLoadApp)
    for _ in range(2000):  # a busy machine is slow; one that hangs is found all the same
        await taken(pilot)
        if app.main is None:
            return
        if app.main.is_mounted and not app.main.session.requests():
            break
    else:
        raise AssertionError("the check never came to an end")
    await pilot.pause(0.05)


async def write(pilot: Pilot[None], text: str) -> None:
    """Type some text."""
    names = {" ": "space", ".": "full_stop", "-": "minus", ",": "comma"}
    await pilot.press(*[names.get(c, c) for c in text])


def text_of(app: SecureLoadApp) -> str:
    """What stands on the screen, as lines of characters."""
    return "\n".join("".join(s.text for s in strip) for strip in app.screen._compositor.render_strips())
