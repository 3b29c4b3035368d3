"""What is on screen before the boat is: her frame, her name, her weights as soon as they are read; no key is lost."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path

import pytest
from textual.pilot import Pilot

from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.dialogs.ask import Ask, AskLines
from secure_load.screen.form.pane import FormPane
from secure_load.screen.opening import screen as opening
from secure_load.screen.opening.screen import OpeningScreen
from secure_load.screen.session.autosave import Autosaver, Snapshot
from secure_load.screen.session.session import Session
from secure_load.screen.start.screen import StartScreen

from .conftest import main_screen, settle, text_of, write


class Gate:
    """Holds the loading up, as a slow machine does."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.let = threading.Event()
        load = opening.load

        def slow(name: str) -> object:
            assert self.let.wait(20)
            return load(name)

        monkeypatch.setattr(opening, "load", slow)


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Gate:
    return Gate(monkeypatch)


def fresh(path: Path | None, **words: bool) -> SecureLoadApp:
    """An application that has nothing loaded yet, as far as it knows."""
    app = SecureLoadApp(path, **words)
    app._loaded, app.keys_held = False, True
    return app


async def read(pilot: Pilot[None]) -> None:
    """Wait until the weights are named."""
    for _ in range(400):
        await pilot.pause(0.01)
        if "Pigs" in text_of(pilot.app):  # type: ignore[arg-type]
            return
    raise AssertionError("the list never came")


async def here(pilot: Pilot[None]) -> None:
    """Wait for the main screen, with what was typed early handed on, and every answer."""
    app = pilot.app
    assert isinstance(app, SecureLoadApp)
    for _ in range(400):
        await pilot.pause(0.01)
        if app.main is not None and not app.keys_held:
            break
    else:
        raise AssertionError("the boat never came")
    await settle(pilot)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (180, 50)])
async def test_the_frame_stays_where_it_is_when_the_panes_come(
    boat_file: Path, gate: Gate, size: tuple[int, int]
) -> None:
    app = fresh(boat_file)
    async with app.run_test(size=size) as pilot:
        await read(pilot)
        assert isinstance(app.screen, OpeningScreen)
        before = text_of(app).splitlines()
        gate.let.set()
        await here(pilot)
        after = text_of(app).splitlines()
    wide = size[0] >= 110
    assert before[0].split("  ")[: 2 if wide else 1] == after[0].split("  ")[: 2 if wide else 1]
    assert [line.find("┌") for line in before] == [line.find("┌") for line in after]
    heads = [line for line in before if "verdict" in line and "weight" in line]
    assert heads == [line for line in after if "verdict" in line and "weight" in line]
    assert len(heads) == 1
    for title, mass in (("Pigs abaft the mast", "24.0"), ("battery", "20.0")):
        (first,) = [n for n, line in enumerate(before) if title in line and mass in line]
        (then,) = [n for n, line in enumerate(after) if title in line and mass in line]
        assert first == then
        assert before[first].index(title) == after[then].index(title)


@pytest.mark.long
async def test_what_is_typed_while_she_is_read_is_done_in_its_order(boat_file: Path, gate: Gate) -> None:
    app = fresh(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("f3", "tab", "3", "1")
        assert app.main is None
        gate.let.set()
        await here(pilot)
        weight = main_screen(app).session.weight
        assert weight is not None
        assert weight.mass == 31.0
        assert main_screen(app).query_one(FormPane).has_focus_within
        await pilot.press("ctrl+z")
        assert main_screen(app).session.boat.weight[0].mass == 24.0
        app.left = True


async def test_a_letter_of_the_list_and_the_words_behind_it_find_their_line(boat_file: Path, gate: Gate) -> None:
    app = fresh(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a")
        await write(pilot, "Anchor")
        gate.let.set()
        for _ in range(300):
            await pilot.pause(0.02)
            if isinstance(app.screen, AskLines) and "Anchor" in text_of(app):
                break
        else:
            raise AssertionError(text_of(app))
        app.left = True


async def test_no_key_typed_early_answers_a_question_nobody_saw(boat_file: Path, gate: Gate) -> None:
    session = Session.open(boat_file)
    session.apply_changes({("weight", 0, "mass_kg"): 99.0}, "mass")
    lost = Autosaver()
    lost.open(boat_file)
    lost.keep(Snapshot(session.boat, session.document, boat_file, 1))
    assert lost._mark is not None
    lost._mark.close()  # as where that program was killed
    app = fresh(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t", "d", "enter")
        gate.let.set()
        for _ in range(300):
            await pilot.pause(0.02)
            if isinstance(app.screen, Ask):
                break
        await asyncio.sleep(0.2)
        assert isinstance(app.screen, Ask), (text_of(app), main_screen(app).session.boat.weight[0].mass)
        assert "not saved" in text_of(app)
        await pilot.press("r", "enter")
        await here(pilot)
        assert main_screen(app).session.boat.weight[0].mass == 99.0
        app.left = True


async def test_she_can_be_left_while_she_is_read(boat_file: Path, gate: Gate) -> None:
    app = fresh(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+q")
        await pilot.pause(0.1)
        assert app.left
        gate.let.set()
    assert app.return_code == 0


async def test_a_file_with_a_slip_gets_its_sentence(boat_file: Path) -> None:
    boat_file.write_text(boat_file.read_text(encoding="utf-8").replace("24.0", '"heavy"'), encoding="utf-8")
    app = fresh(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n")
        for _ in range(300):
            await pilot.pause(0.02)
            if isinstance(app.screen, StartScreen) and "dunlin" in text_of(app):
                break
        assert "dunlin.toml, line" in text_of(app)
        await settle(pilot)
        assert "A new boat" not in text_of(app)  # what was typed was for a boat
    told = fresh(boat_file, leave_if_unreadable=True)
    async with told.run_test(size=(80, 24)) as pilot:
        for _ in range(300):
            await pilot.pause(0.02)
            if told.unreadable:
                break
    assert "dunlin.toml, line" in told.unreadable
    assert told.return_code == 2


async def test_the_start_screen_comes_in_its_frame_and_takes_the_key_pressed_before_it(gate: Gate) -> None:
    app = fresh(None)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n")
        assert "Secure Load" in text_of(app)
        assert "Indicative only" in text_of(app)
        gate.let.set()
        for _ in range(300):
            await pilot.pause(0.02)
            if "A new boat" in text_of(app):
                break
        assert "A new boat" in text_of(app)
