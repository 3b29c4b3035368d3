"""Her records on the screen: saved, compared with her as she is, looked over, fitted out."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Static

from secure_load.afloat.report import float_report
from secure_load.boat.file import read_boat
from secure_load.record.store import default_folder, read_record, record_numbers
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.records.screen import RecordsScreen

DEMO = Path(__file__).parents[2] / "demo_boats" / "tansy_pod.toml"


def words(screen: RecordsScreen, pane: str) -> str:
    return str(screen.query_one(f"#text-{pane}", Static).content)


async def worked(pilot: Pilot[None], screen: RecordsScreen) -> None:
    await pilot.pause()
    await screen.workers.wait_for_complete()
    await pilot.pause()


@pytest.mark.long
async def test_a_record_is_saved_and_she_is_compared_with_it(tmp_path: Path) -> None:
    path = tmp_path / "pod.toml"
    shutil.copy(DEMO, path)
    boat = read_boat(path)
    app = SecureLoadApp(None)
    async with app.run_test(size=(120, 40)) as pilot:
        first = RecordsScreen(boat, path)
        await app.push_screen(first)
        await worked(pilot, first)
        assert "no record of her yet" in words(first, "since")
        assert "screw" in words(first, "inspect").lower()
        assert "screw" in words(first, "sheet").lower()
        await pilot.press("n")
        await pilot.pause()
        await pilot.press("n")  # the same again is refused
        await pilot.pause()
        assert record_numbers(default_folder(path), boat.boat.name) == [1]
        kept = read_record(default_folder(path), boat.boat.name, 1).afloat
        assert kept is not None
        assert kept.after == float_report(boat).after
        assert kept.loose is not None
        await pilot.press("escape")
        heavier = boat.weight[0].model_copy(
            update={"mass_kg": boat.weight[0].mass + 7.0, "ingots": None, "bundle": None}
        )
        second = RecordsScreen(boat.model_copy(update={"weight": [heavier, *boat.weight[1:]]}), path)
        await app.push_screen(second)
        await worked(pilot, second)
        said = words(second, "since")
        assert "record 1" in said
        assert boat.weight[0].title in said
        await pilot.press("n", "left", "comma")
        assert record_numbers(default_folder(path), boat.boat.name) == [1, 2]
        said = words(second, "since")
        assert "record 1" in said
        assert "record 2" in said
        assert boat.weight[0].title in said


@pytest.mark.long
async def test_a_boat_that_was_never_saved_says_so() -> None:
    app = SecureLoadApp(None)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = RecordsScreen(read_boat(DEMO), None)
        await app.push_screen(screen)
        await worked(pilot, screen)
        assert "never saved" in words(screen, "since")
        await pilot.press("2")
        await pilot.press("escape")
