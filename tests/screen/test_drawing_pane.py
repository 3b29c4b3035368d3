"""The drawings: strips, section, plan, rose; the cursor runs along the strips and everything follows it."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from secure_load.record.drawings.heel_strip import cell_words, strip_data
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.drawing.view import PictureView
from secure_load.screen.drawing_pane.pane import DrawingPane
from secure_load.screen.session.drawing_cache import STRIP_STEP
from secure_load.screen.table.lines import COLUMNS, room_for_names, strip_start

from .conftest import main_screen, settle, taken, text_of


async def drawn(pilot: Pilot[None], app: SecureLoadApp) -> DrawingPane:
    """Wait until every picture is there."""
    main = main_screen(app)
    for _ in range(400):
        await pilot.pause(0.03)
        if not main.session.requests() and not main.pictures.missing(
            main.session, rose=main.query_one(DrawingPane).sight == "rose"
        ):
            await taken(pilot, 0.05)
            return main.query_one(DrawingPane)
    raise AssertionError("the pictures never came")


@pytest.mark.long
@pytest.mark.parametrize(("width", "height"), [(80, 24), (200, 60)])
async def test_the_figures_and_the_section_follow_the_cursor_on_the_strip(
    boat_file: Path, width: int, height: int
) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(width, height)) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        pane = await drawn(pilot, app)
        session = main_screen(app).session
        row = strip_data(session.run(), session.boat.weight[0], STRIP_STEP)
        upright = pane.query_one(PictureView).picture
        assert "upright" in text_of(app)
        await pilot.press(*["ctrl+right"] * 6)
        await taken(pilot, 0.1)
        assert pane.heel == 180.0
        if width > 110:
            assert cell_words(row, 180.0, main_screen(app).scenario_names())[:40] in text_of(app)
        assert pane.query_one(PictureView).picture != upright
        assert "180 to starboard" in str(pane.border_title)
        cell = row.at(180.0)
        assert cell is not None
        assert f"at {cell.load_factor:g} g" in text_of(app)
        if width < 110:
            assert pane.region.area
        await pilot.press("down")  # another weight
        await taken(pilot, 0.1)
        assert session.chosen == "battery"


async def test_section_plan_and_rose_take_turns(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        pane = await drawn(pilot, app)
        for key, words in (
            ("p", "Plan"),
            ("k", "Load it holds"),
            ("d", "Section"),
        ):
            await pilot.press(key)
            await drawn(pilot, app)
            assert pane.query_one(PictureView).region.area
            assert pane.query_one(PictureView).picture is not None
            assert words in str(pane.border_title)
        await pilot.press("z")
        await taken(pilot, 0.05)
        assert pane.close


@pytest.mark.long
async def test_the_roll_is_played_and_stopped(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        pane = await drawn(pilot, app)
        await pilot.press("space")
        await taken(pilot, 0.6)
        assert pane.heel > 0.0
        assert pane.query_one(PictureView).picture is not None
        await pilot.press("space")
        still = pane.heel
        await taken(pilot, 0.4)
        assert pane.heel == still


async def test_the_mouse_moves_the_cursor(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        pane = await drawn(pilot, app)
        table = main_screen(app).table
        room = room_for_names([], table.size.width - 1, strip=True)
        await pilot.click(table, offset=(strip_start(room) + COLUMNS - 1, 2))
        await taken(pilot, 0.1)
        assert pane.heel == 180.0
        assert main_screen(app).session.chosen == "battery"


@pytest.mark.long
async def test_a_changed_weight_gets_a_new_strip(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await drawn(pilot, app)
        main = main_screen(app)
        before = main.pictures.strip(main.session, "pigs")
        main.session.apply_changes({("weight", 0, "mass_kg"): 2.0}, "mass")
        main.changed_afresh()
        assert main.pictures.strip(main.session, "pigs") is None  # what is not worked out is not shown as if it were
        await settle(pilot)
        await drawn(pilot, app)
        after = main.pictures.strip(main.session, "pigs")
        assert before is not None
        assert after is not None
        assert before != after
