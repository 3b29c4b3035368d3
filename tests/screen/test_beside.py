"""The check beside the screen: newer figures first, no key that waits."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat
from secure_load.boat.models import BoatFile, Weight
from secure_load.boat.render import render_boat
from secure_load.check.check import check_stages
from secure_load.check.context import CheckContext
from secure_load.check.results import WeightVerdict
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.row import FieldRow
from tests.speed.larger_boats import tier_of

from .conftest import main_screen, settle, taken, text_of, write


def written(folder: Path, boat: BoatFile) -> Path:
    """The boat's file."""
    path = folder / "whimbrel.toml"
    path.write_text(render_boat(boat), encoding="utf-8")
    return path


def mass_of(app: SecureLoadApp) -> FieldRow:
    return next(r for r in main_screen(app).query_one(FormPane).rows if r.field.label == "Mass")


def verdict(app: SecureLoadApp, weight: str) -> WeightVerdict:
    found = main_screen(app).session.states()[weight]
    assert not found.working
    assert found.verdict is not None
    return found.verdict


@pytest.mark.long
async def test_a_figure_typed_is_checked_before_what_is_in_hand(tmp_path: Path) -> None:
    tier = tier_of(12)  # takes seconds, and one pig beside it, which does not
    alone = tier.weight[0].model_copy(update={"id": "pig", "at_m": (1.0, 0.5, 0.0)})
    app = SecureLoadApp(written(tmp_path, tier.model_copy(update={"weight": [*tier.weight, alone]})))
    async with app.run_test(size=(120, 40)) as pilot:
        await taken(pilot, 0.5)
        main = main_screen(app)
        main.session.chosen = "pig"
        main.show_all()
        await pilot.press("f3")
        await taken(pilot, 0.1)
        mass_of(app).input.focus()
        begun = time.monotonic()
        await write(pilot, "31")
        while main.session.states()["pig"].working:
            await pilot.pause(0.02)
            assert time.monotonic() - begun < 5.0
        assert verdict(app, "pig").mass_kg == 31.0
        assert main.session.requests()  # the others are still to come
        assert main.session.states()["ingot-0-0"].working
        app.left = True


async def test_a_check_that_is_overtaken_ends_at_its_next_weight(
    boat_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Weight] = []
    gate = threading.Event()

    def slow(weight: Weight, run: CheckContext) -> Iterator[WeightVerdict]:
        asked.append(weight)
        if len(asked) == 1:
            gate.wait(20)
        yield from check_stages(weight, run)

    monkeypatch.setattr("secure_load.screen.session.tasks.check_stages", slow)
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await taken(pilot, 0.2)
        await pilot.press("f3", "tab")
        await write(pilot, "3")
        gate.set()
        await settle(pilot)
        # the old one, and then both as they are now
        assert [(w.id, w.mass) for w in asked] == [("pigs", 24.0), ("pigs", 3.0), ("battery", 20.0)]
        assert verdict(app, "pigs").mass_kg == 3.0
        app.left = True


@pytest.mark.long
async def test_a_running_check_of_ingots_that_touch_is_stopped_and_begun_again(tmp_path: Path) -> None:
    app = SecureLoadApp(written(tmp_path, tier_of(6)))
    async with app.run_test(size=(120, 40)) as pilot:
        await taken(pilot, 0.3)
        assert "^G Stop the check" in text_of(app)
        await pilot.press("ctrl+g")
        left = len(main_screen(app).session.requests())
        await pilot.pause(1.0)
        assert len(main_screen(app).session.requests()) == left > 0
        assert "stopped" in text_of(app)
        await pilot.press("ctrl+g")
        await settle(pilot)
        assert "^G" not in text_of(app)


@pytest.mark.long
async def test_keys_go_on_being_taken_while_the_longest_check_runs(tmp_path: Path) -> None:
    app = SecureLoadApp(written(tmp_path, tier_of(12)))
    async with app.run_test(size=(120, 40)) as pilot:
        await taken(pilot, 0.3)
        await pilot.press("f3", "tab")
        longest = 0.0
        for letter in "1234":
            begun = time.monotonic()
            await pilot.press(letter)
            longest = max(longest, time.monotonic() - begun)
            await asyncio.sleep(0.05)
        assert mass_of(app).input.value == "1234"
        assert main_screen(app).session.boat.weight[0].mass == 1234.0
        assert main_screen(app).session.requests()
        assert longest < 1.0
        app.left = True


async def test_the_program_is_left_without_waiting_for_a_check(tmp_path: Path) -> None:
    app = SecureLoadApp(written(tmp_path, tier_of(12)))
    async with app.run_test(size=(120, 40)) as pilot:
        await taken(pilot, 0.5)
        begun = time.monotonic()
        await pilot.press("ctrl+q")
    assert time.monotonic() - begun < 5.0
    assert read_boat(tmp_path / "whimbrel.toml").weight[0].mass == 10.0
