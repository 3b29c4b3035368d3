"""Unsaved work is kept, found again and offered; a file in other hands is told of."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.dialogs.ask import Ask
from secure_load.screen.main.files import _no_file
from secure_load.screen.session.autosave import (
    DISCARDED_STAYS_S,
    Autosaver,
    Snapshot,
    fallback_folder,
    recover,
    unfinished_work,
)
from secure_load.screen.session.session import Session

from .conftest import BOAT, main_screen, settle, taken, text_of, write


def _lost(boat_file: Path, state: Path, mass: float) -> None:
    """Leave behind what a program leaves that was ended with a changed mass unsaved."""
    session = Session.open(boat_file)
    session.apply_changes({("weight", 0, "mass_kg"): mass}, "mass")
    keeper = Autosaver(state)
    keeper.open(boat_file)
    assert keeper.keep(Snapshot(session.boat, session.document, session.path)) is not None
    assert unfinished_work(state) == []  # as long as it lives, it is nobody else's
    assert keeper._mark is not None
    keeper._mark.close()  # as the system does when the program ends


@pytest.mark.long
async def test_a_change_is_kept_within_a_second_and_gone_once_saved(boat_file: Path, state: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert not list(state.glob("*.kept"))
        await pilot.press("f3")
        await taken(pilot, 0.05)
        await pilot.press("tab")
        await write(pilot, "31")
        await pilot.pause(1.0)
        (kept,) = state.glob("*.kept")
        text = json.loads(kept.read_text(encoding="utf-8"))["text"]
        assert "mass_kg = 31" in text
        assert "# the pigs were weighed in spring" in text
        assert boat_file.read_text(encoding="utf-8") == BOAT
        await pilot.press("ctrl+s")
        await taken(pilot, 0.5)
        assert not list(state.glob("*.kept"))
        await settle(pilot)
        await pilot.press("ctrl+q")
        await taken(pilot, 0.1)
    assert not list(state.glob("*"))


@pytest.mark.long
async def test_lost_work_is_offered_taken_up_and_saved_with_its_comments(boat_file: Path, state: Path) -> None:
    _lost(boat_file, state, 29.0)
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert isinstance(app.screen, Ask)
        assert "not saved" in text_of(app)
        await pilot.press("r", "enter")
        await settle(pilot)
        session = main_screen(app).session
        assert session.boat.weight[0].mass == 29.0
        assert session.dirty
        assert len(list(state.glob("*.kept"))) == 1  # the old one is gone, this sitting's own is there
        await pilot.press("ctrl+z")
        await taken(pilot, 0.05)
        assert session.boat.weight[0].mass == 24.0  # back to what the file says
        await pilot.press("ctrl+y", "ctrl+s")
        await taken(pilot, 0.2)
        await settle(pilot)
    assert read_boat(boat_file).weight[0].mass == 29.0
    assert "# the pigs were weighed in spring" in boat_file.read_text(encoding="utf-8")


@pytest.mark.long
async def test_work_that_was_saved_just_before_the_end_is_not_offered(boat_file: Path, state: Path) -> None:
    """Ended between the saving and the clearing away: her file has it all."""
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await taken(pilot, 0.05)
        await pilot.press("tab")
        await write(pilot, "31")
        await pilot.pause(1.0)
        await write(pilot, "2")  # not kept yet
        keeper = main_screen(app).keeper
        keeper.clear = lambda number: None  # type: ignore[method-assign]  # as where the end comes before it
        await pilot.press("ctrl+s")
        await taken(pilot, 0.2)
        assert read_boat(boat_file).weight[0].mass == 312.0
        (kept,) = state.glob("*.kept")
        assert json.loads(kept.read_text(encoding="utf-8"))["text"] == boat_file.read_text(encoding="utf-8")
        assert keeper._mark is not None
        keeper._mark.close()
        assert unfinished_work(state, boat_file) == []
        assert not list(state.glob("*.kept"))
        await settle(pilot)


@pytest.mark.long
async def test_lost_work_can_be_left_or_thrown_away(boat_file: Path, state: Path) -> None:
    _lost(boat_file, state, 29.0)
    for key, left in (("l", 1), ("d", 0)):
        app = SecureLoadApp(boat_file)
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(pilot)
            await pilot.press(key, "enter")
            await taken(pilot, 0.1)
            assert main_screen(app).session.boat.weight[0].mass == 24.0
        assert len(unfinished_work(state, boat_file)) == left
    (kept,) = unfinished_work(state)  # for a day, from the start screen
    assert kept.discarded
    os.utime(kept.place, (0, time.time() - DISCARDED_STAYS_S - 60))
    assert unfinished_work(state) == []


def test_work_on_a_file_that_was_changed_since_is_not_saved_over_it(boat_file: Path, state: Path) -> None:
    _lost(boat_file, state, 29.0)
    boat_file.write_text(BOAT.replace("Dunlin", "Knot"), encoding="utf-8")
    session = recover(unfinished_work(state, boat_file)[0])
    assert session.document is not None
    assert session.document.changed_on_disk()


@pytest.mark.long
async def test_the_second_to_open_a_file_is_told(boat_file: Path, state: Path) -> None:
    first = Autosaver(state)
    assert first.open(boat_file) is False
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        assert "open elsewhere too" in text_of(app)
    first.close()
    again = SecureLoadApp(boat_file)
    async with again.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        assert "open elsewhere too" not in text_of(again)


@pytest.mark.long
async def test_a_change_by_another_hand_is_told_on_coming_back_and_once_only(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        boat_file.write_text(BOAT.replace("Dunlin", "Knot"), encoding="utf-8")
        app.app_focus = False
        await taken(pilot, 0.05)
        app.app_focus = True
        await taken(pilot, 0.3)
        assert isinstance(app.screen, Ask)
        assert "changed by another program" in text_of(app)
        await pilot.press("k", "enter")
        await taken(pilot, 0.05)
        app.app_focus = False
        await taken(pilot, 0.05)
        app.app_focus = True
        await taken(pilot, 0.3)
        assert app.screen is app.main  # told already
        boat_file.write_text(BOAT.replace("Dunlin", "Redshank"), encoding="utf-8")
        await pilot.press("c")  # a change of one's own: the file is looked at when it is kept
        await pilot.pause(1.0)
        assert isinstance(app.screen, Ask)
        await pilot.press("r", "enter")
        await settle(pilot)
        assert main_screen(app).session.boat.boat.name == "Redshank"


_TYPIST = """
import asyncio, sys
from pathlib import Path
from secure_load.screen.app.app import SecureLoadApp

async def main():
    app = SecureLoadApp(Path(sys.argv[1]))
    async with app.run_test(size=(80, 24)) as pilot:
        while app.main is None or not app.main.is_mounted:
            await pilot.pause(0.02)
        await pilot.press("f3")
        await pilot.pause(0.1)
        await pilot.press("tab")
        for key in ("3", "1"):
            await pilot.press(key)
        print("typed", flush=True)
        await pilot.pause(60)

asyncio.run(main())
"""


@pytest.mark.long
@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="there is no SIGKILL here")
@pytest.mark.parametrize("after", [0.9, 1.3, 2.0])
def test_killed_outright_at_any_moment_the_work_is_there(boat_file: Path, tmp_path: Path, after: float) -> None:
    env = {**os.environ, "XDG_STATE_HOME": str(tmp_path / "home"), "HOME": str(tmp_path)}
    script = tmp_path / "typist.py"
    script.write_text(_TYPIST, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, str(script), str(boat_file)], stdout=subprocess.PIPE, env=env, cwd=Path(__file__).parents[2]
    ) as typist:
        assert typist.stdout is not None
        assert typist.stdout.readline().strip() == b"typed"
        time.sleep(after)
        typist.kill()
    found = unfinished_work(next(tmp_path.glob("home/**/unsaved")), boat_file)
    assert len(found) == 1
    session = recover(found[0])
    assert session.boat.weight[0].mass == 31.0
    session.save()
    assert "# the pigs were weighed in spring" in boat_file.read_text(encoding="utf-8")


def test_where_the_state_folder_cannot_be_made_work_is_kept_elsewhere(boat_file: Path, tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("", encoding="utf-8")
    session = Session.open(boat_file)
    session.apply_changes({("weight", 0, "mass_kg"): 31.0}, "mass")
    keeper = Autosaver(in_the_way / "state")  # as in a home that is read-only
    keeper.open(boat_file)
    assert keeper.keep(Snapshot(session.boat, session.document, session.path)) is not None
    assert keeper.folder == fallback_folder()
    assert keeper._mark is not None
    keeper._mark.close()
    (found,) = unfinished_work(path=boat_file)
    assert recover(found).boat.weight[0].mass == 31.0


async def test_a_state_folder_that_cannot_be_made_is_said(
    boat_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setattr("secure_load.screen.session.autosave.state_folder", lambda: tmp_path / "file" / "state")
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        assert "Unsaved work is kept in" in " ".join(text_of(app).split())


@pytest.mark.parametrize(
    "text", ["[]", "{}", "5", "[" * 100_000, '{"name": 5, "path": 7, "when": null, "text": []}', "\xff"]
)
def test_a_damaged_kept_copy_stops_nothing(state: Path, boat_file: Path, text: str) -> None:
    _lost(boat_file, state, 31.0)
    (state / "damaged.kept").write_text(text, encoding="latin-1")
    (state / "damaged.open").write_bytes(b"\xff\xfe")
    assert [k.name for k in unfinished_work()] == ["Dunlin"]


def test_a_file_whose_name_is_no_utf_8_is_kept_as_any_other(boat_file: Path, state: Path) -> None:
    odd = Path(os.fsdecode(os.fsencode(boat_file.parent) + b"/d\xfcnlin.toml"))
    odd.write_bytes(boat_file.read_bytes())
    _lost(odd, state, 31.0)
    assert [k.path for k in unfinished_work(path=odd)] == [str(odd)]


@pytest.mark.parametrize("name", ["/", ".", "..", "~nosuch-user/x", "", "x" * 300])
def test_no_name_ends_the_screen(name: str) -> None:
    said = _no_file(name)
    assert said is not None
    assert said.endswith(".")


def test_what_a_killed_save_left_is_removed_by_the_next(boat_file: Path) -> None:
    left = boat_file.with_name(f".{boat_file.name}.0123456789ab.tmp")
    fresh = boat_file.with_name(f".{boat_file.name}.ba9876543210.tmp")
    for each in (left, fresh):
        each.write_text("half", encoding="utf-8")
    os.utime(left, (0, 0))
    session = Session.open(boat_file)
    session.apply_changes({("weight", 0, "mass_kg"): 31.0}, "mass")
    session.save()
    assert not left.exists()
    assert fresh.exists()
