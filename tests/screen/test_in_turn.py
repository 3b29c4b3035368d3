"""Keys that come faster than they can be dealt with are taken in the order they were pressed."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.dialogs.ask import Read
from secure_load.screen.form.pane import FormPane
from secure_load.screen.textual_workarounds import key_queue as in_turn

from .conftest import main_screen, settle


async def at_once(pilot: Pilot[None], *keys: str) -> None:
    """Press keys with nothing between them, as a terminal hands them over that had to wait; single letters as such."""
    driver = pilot.app._driver
    assert driver is not None
    for key in keys:
        event = events.Key(key, {"space": " ", "full_stop": "."}.get(key, key if len(key) == 1 else None))
        event.set_sender(pilot.app)
        driver.send_message(event)
    await settle(pilot)


def figures(app: SecureLoadApp) -> dict[str, str]:
    """What stands in the form by label."""
    return {row.field.label: row.input.value for row in main_screen(app).query_one(FormPane).rows}


@pytest.mark.long
@pytest.mark.parametrize(
    ("keys", "expected"),
    [
        (("3", "1", "backspace", "2"), {"Mass": "32"}),
        (("backspace", "5", "space", "x", "space", "1", "2"), {"Mass": "5 x 12"}),
        (("3", "home", "1", "end", "full_stop", "5"), {"Mass": "13.5"}),
        (("4", "2", "tab", "n", "o"), {"Mass": "42", "Weighed": "no"}),
        (("4", "2", "shift+tab", "L", "e", "a", "d"), {"Mass": "42", "Name": "Lead"}),
    ],
)
async def test_figures_typed_at_once_stand_as_they_were_typed(
    boat_file: Path, keys: tuple[str, ...], expected: dict[str, str]
) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f3", "tab")
        await at_once(pilot, *keys)
        found = figures(app)
        assert {label: found[label] for label in expected} == expected
        app.left = True


async def test_the_cursor_is_where_a_key_brings_it_before_the_next_is_taken(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        # in the list "d" would stow another like it, and "x" take it out
        await at_once(pilot, "f3", *"dx", "tab", *"31")
        boat = main_screen(app).session.boat
        assert [(w.name, w.mass) for w in boat.weight] == [("dx", 31.0), (None, 20.0)]
        app.left = True


@pytest.mark.long
async def test_a_key_after_one_that_ends_a_question_does_not_wait_long(
    boat_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(in_turn, "MAX_WAIT", 60.0)
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await at_once(pilot, "f1")
        assert isinstance(app.screen, Read)
        begun = time.monotonic()
        await at_once(pilot, "escape", "f3", "tab", *"17")
        assert figures(app)["Mass"] == "17"
        assert time.monotonic() - begun < 30.0
        app.left = True
