"""The table of weights with the strips in it, in an application of nothing else."""

from __future__ import annotations

import pytest
from textual import on
from textual.app import App, ComposeResult

from secure_load.boat.models import BoatFile
from secure_load.check.results import Colour
from secure_load.record.drawings.heel_strip import StripCell, StripRow, columns
from secure_load.screen.app.messages import WeightChosen
from secure_load.screen.app.themes import THEMES
from secure_load.screen.session.drawing_cache import STRIP_STEP
from secure_load.screen.session.session import Session
from secure_load.screen.table import table as table_module
from secure_load.screen.table.lines import COLUMNS, strip_start
from secure_load.screen.table.table import WeightTable

PLACE = {"at_m": [3.0, 0.0, -0.2], "size_m": [0.4, 0.3, 0.2]}
BOAT = BoatFile.model_validate(
    {
        "schema": 1,
        "boat": {"name": "Dunlin", "lwl_m": 6.0, "bwl_m": 2.0},
        "weight": [
            {"id": "pigs", "name": "Pigs [b]bold[/b]", "mass_kg": 24.0, **PLACE},
            {"id": "battery", "name": "Battery", "mass_kg": 20.0, **PLACE},
            {"id": "tools", "name": "Werkzeug ü", "mass_kg": 30.0, **PLACE},
        ],
    }
)


def strip(weight: str, red_from: float) -> StripRow:
    """Holds to some heel on both sides, fails beyond, and nothing run over 170 degrees."""

    def cell(heel: float) -> StripCell | None:
        if abs(heel) > 170.0:
            return None
        colour: Colour = "red" if abs(heel) >= red_from else "green"
        return StripCell(heel, colour, 0.5 if colour == "green" else 2.0, heel, "roll", 1.0, (0.0, 0.0, -1.0))

    return StripRow(weight, weight, STRIP_STEP, tuple(cell(heel) for heel in columns(STRIP_STEP)))


STRIPS = {"pigs": strip("pigs", 90.0), "battery": strip("battery", 30.0), "tools": strip("tools", 200.0)}


class Tables(App[None]):
    """A table, and what it said."""

    def __init__(self) -> None:
        super().__init__()
        self.register_theme(THEMES[0])
        self.theme = THEMES[0].name
        self.session = Session(BOAT)
        self.heels: list[float] = []
        self.chosen: list[str] = []

    def compose(self) -> ComposeResult:
        yield WeightTable()

    def on_mount(self) -> None:
        self.show()
        self.table.focus()

    def show(self) -> None:
        self.table.show(self.session, STRIPS, {}, self.size.width >= 110)

    def on_resize(self) -> None:
        self.call_after_refresh(self.show)

    @property
    def table(self) -> WeightTable:
        return self.query_one(WeightTable)

    @on(WeightTable.HeelChosen)
    def _heel(self, event: WeightTable.HeelChosen) -> None:
        self.heels.append(event.heel)

    @on(WeightChosen)
    def _weight(self, event: WeightChosen) -> None:
        self.chosen.append(event.weight)
        self.session.chosen = event.weight
        self.show()

    def lines(self) -> list[str]:
        return [self.table.render_line(y).text for y in range(self.table.size.height)]


async def test_every_weight_has_its_strip_in_its_row_and_holding_is_a_dot() -> None:
    app = Tables()
    async with app.run_test(size=(120, 12)) as pilot:
        await pilot.pause(0.1)
        lines = app.lines()
        assert len(lines) == 5
        start = lines[0].index("|P180")
        assert lines[1][start : start + COLUMNS] == "  " + "R" * 14 + "·" * 14 + "┃" + "·" * 14 + "R" * 14 + "  "
        assert "Pigs [b]bold[/b]" in lines[1]
        assert lines[1].startswith("▌ 1 ")
        assert [h for h in ("P180", "P90", "0", "S90", "S180") if h in lines[0]] == ["P180", "P90", "0", "S90", "S180"]
        assert "upright: G, 50 % used (roll)" in lines[-1]
        assert all(len(line) == 120 for line in lines)


async def test_on_a_narrow_screen_what_goes_first_stands_in_its_place() -> None:
    app = Tables()
    async with app.run_test(size=(80, 12)) as pilot:
        await pilot.pause(0.1)
        assert "goes first" in app.lines()[0]
        assert len(app.lines()) == 4


async def test_keys_move_the_cursor_and_say_so() -> None:
    app = Tables()
    async with app.run_test(size=(120, 12)) as pilot:
        await pilot.press("right", "right", "left", "ctrl+right", "0", "ctrl+left")
        assert app.heels == [6.0, 12.0, 6.0, 36.0, 0.0, -30.0]
        await pilot.press("down", "down", "down", "up", "home", "end")
        assert app.chosen == ["battery", "tools", "tools", "battery", "pigs", "tools"]
        await pilot.press("up")
        await pilot.pause()
        assert "30 degrees to port: R" in app.lines()[-1]


async def test_setting_the_heel_from_outside_says_nothing() -> None:
    app = Tables()
    async with app.run_test(size=(120, 12)) as pilot:
        app.table.heel = -96.0
        await pilot.pause()
        assert "96 degrees to port: R" in app.lines()[-1]
        assert app.heels == []


async def test_the_mouse_goes_to_heel_and_weight() -> None:
    app = Tables()
    async with app.run_test(size=(120, 12)) as pilot:
        await pilot.pause(0.1)
        start = app.lines()[0].index("|P180")
        assert start == strip_start(app.table._room)
        await pilot.click(WeightTable, offset=(start + 30 + 8, 2))
        assert (app.heels, app.chosen) == ([48.0], ["battery"])
        await pilot.click(WeightTable, offset=(3, 1))
        assert (app.heels, app.chosen) == ([48.0], ["battery", "pigs"])


async def test_rows_that_find_no_room_scroll_with_the_chosen_one() -> None:
    app = Tables()
    async with app.run_test(size=(120, 12)) as pilot:
        app.table.styles.height = 3
        await pilot.pause()
        await pilot.press("down", "down")
        await pilot.pause()
        assert "Werkzeug ü" in app.lines()[1]


async def test_the_film_rolls_her_over_until_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(table_module, "FRAME", 0.01)
    app = Tables()
    async with app.run_test(size=(120, 12)) as pilot:
        app.table.heel = 162.0
        await pilot.press("space")
        for _ in range(200):
            await pilot.pause(0.01)
            if len(app.heels) >= 3:
                break
        assert app.heels[:3] == [168.0, 174.0, 180.0]
        await pilot.pause(0.1)
        assert app.heels == [168.0, 174.0, 180.0]  # it ends there
