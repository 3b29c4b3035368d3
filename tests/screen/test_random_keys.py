"""Thousands of keys at random on every demo boat: no exception, and nothing that was entered is lost."""

from __future__ import annotations

import json
import random
import shutil
from pathlib import Path

import pytest
from textual import events

from secure_load.boat.demo import demo_boats
from secure_load.boat.file import parse_boat, read_boat
from secure_load.boat.models import Weight
from secure_load.check.results import WeightVerdict
from secure_load.check.unchecked import cannot_be_checked
from secure_load.screen.app.app import SecureLoadApp

from .conftest import main_screen, taken

KEYS = [
    *"abcdefghiklmnopstuvwxyz0123456789",
    *["up", "down", "left", "right", "tab", "shift+tab", "enter", "escape", "backspace", "delete", "space"],
    *[f"f{n}" for n in range(1, 13)],
    *["home", "end", "pageup", "pagedown", "full_stop", "comma", "minus", "slash", "question_mark"],
    *["ctrl+z", "ctrl+y", "ctrl+t", "ctrl+f", "ctrl+s", "ctrl+g", "ctrl+p"],
]
CHARACTERS = {"full_stop": ".", "comma": ",", "minus": "-", "slash": "/", "question_mark": "?", "space": " "}
AT_ONCE = 10


@pytest.mark.slow
@pytest.mark.parametrize("boat", demo_boats(), ids=lambda p: p.stem)
@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_five_thousand_keys(
    boat: Path, size: tuple[int, int], tmp_path: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def quick(weight: Weight, run: object) -> WeightVerdict:
        return cannot_be_checked(weight, ValueError("not looked at in this test"))

    monkeypatch.setattr("secure_load.screen.session.tasks.check_stages", lambda weight, run: iter([quick(weight, run)]))
    monkeypatch.setattr("secure_load.check.check.check_weight", quick)
    await storm(boat, size, tmp_path, state, count=5000, seed=11)


async def storm(boat: Path, size: tuple[int, int], folder: Path, state: Path, count: int, seed: int) -> None:
    file = folder / boat.name
    shutil.copy(boat, file)
    dice, pressed = random.Random(seed), list[str]()
    app = SecureLoadApp(file)
    async with app.run_test(size=size) as pilot:
        while app.main is None or not app.main.is_mounted:
            await pilot.pause(0.02)
        while len(pressed) < count:
            for _ in range(AT_ONCE):
                key = dice.choice(KEYS)
                pressed.append(key)
                character = CHARACTERS.get(key, key if len(key) == 1 else None)
                app.post_message(events.Key(key, character))
            await taken(pilot, 0.0)
            assert app._exception is None, pressed[-60:]
        for _ in range(8):
            await pilot.press("escape")
            await taken(pilot, 0.05)
        await pilot.pause(1.0)
        session = main_screen(app).session
        assert parse_boat(file.read_text(encoding="utf-8"))  # what was saved is a boat
        if session.dirty:
            (kept,) = state.glob("*.kept")
            assert parse_boat(json.loads(kept.read_text(encoding="utf-8"))["text"]) == session.boat
        else:
            assert session.path is not None
            assert read_boat(session.path) == session.boat
