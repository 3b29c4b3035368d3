"""Everything a boat file can say is entered on the screen: here a boat is made through it alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input, TextArea

from secure_load.boat.file import read_boat
from secure_load.boat.models import BoatFile, BoatParticulars, FloatData, Weight
from secure_load.screen.afloat.screen import AfloatScreen
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.form.fields import IN_FORM, Field
from secure_load.screen.form.pane import FormPane
from secure_load.screen.sheet.model_fields import Branch, lines_from
from secure_load.screen.sheet.screen import Block, BranchLine, Rows, Sheet

from .conftest import main_screen, settle, taken, text_of


async def fill(pilot: Pilot[None], **figures: str) -> None:
    """Type figures into the sheet on top; ``at_m`` and the like by ``at_m_0``."""
    sheet = pilot.app.screen
    assert isinstance(sheet, Sheet)
    for name, value in figures.items():
        row = next(r for r in sheet.rows if "_".join(map(str, r.field.keys)) == name)
        row.input.focus()
        await taken(pilot, 0.02)
        assert isinstance(pilot.app.focused, Input)
        await pilot.press("ctrl+a")
        pilot.app.post_message(events.Paste(value))
        await taken(pilot, 0.03)


async def enter(pilot: Pilot[None], key: str) -> None:
    """Go into a table of the sheet on top."""
    sheet = pilot.app.screen
    assert isinstance(sheet, Sheet)
    line = next(b for b in sheet.query(BranchLine) if b.branch.key == key)
    line.focus()
    await taken(pilot, 0.02)
    await pilot.press("enter")
    await taken(pilot, 0.1)


async def add(pilot: Pilot[None], **figures: str) -> None:
    """Add a row to the list on top."""
    assert isinstance(pilot.app.screen, Rows)
    await pilot.press("a")
    await taken(pilot, 0.1)
    await fill(pilot, **figures)
    await pilot.press("escape")
    await taken(pilot, 0.1)


async def paste(pilot: Pilot[None], text: str) -> None:
    """Put text into the block on top and go back."""
    assert isinstance(pilot.app.screen, Block)
    pilot.app.screen.query_one(TextArea).load_text(text)
    await taken(pilot, 0.1)
    await pilot.press("escape")
    await taken(pilot, 0.1)


@pytest.mark.long
async def test_a_boat_with_all_that_is_known_of_her_afloat_is_made_through_the_screen_alone(tmp_path: Path) -> None:
    app = SecureLoadApp()
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("n")
        await taken(pilot, 0.1)
        app.post_message(events.Paste("Dabchick"))
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("b")
        await taken(pilot, 0.1)
        await fill(pilot, lwl_m="21 ft", bwl_m="2,05", displacement_kg="1.6 t", inspected_on="2031-04-05",
                   hard_weather_on="2031-05-01", inspect_every_months="12")  # fmt: skip
        await enter(pilot, "planking")
        await fill(pilot, timber="larch", thickness_mm="18", frame_spacing_mm="150")
        await pilot.press("escape", "escape")
        await settle(pilot)
        for name, mass in (("Water tank", "60"), ("Crew", "150")):
            await pilot.press("a")
            await taken(pilot, 0.1)
            app.post_message(events.Paste(name))
            await pilot.press("enter")
            app.post_message(events.Paste(mass))
            await pilot.press("enter")
            await settle(pilot)
            kind = next(r for r in main_screen(app).query_one(FormPane).rows if r.field.label == "Kind")
            kind.input.focus()
            await taken(pilot, 0.05)
            await pilot.press(*("other" if name == "Crew" else "tank"))
            await settle(pilot)
            await pilot.press("f2")
            await taken(pilot, 0.1)
            main_screen(app).action_more()
            await taken(pilot, 0.1)
            if name == "Crew":
                await fill(pilot, float_only="yes")
            else:
                await enter(pilot, "tank")
                await fill(pilot, fill="0.5", size_m_0="0.6", size_m_1="0.4", size_m_2="0.3")
                await pilot.press("escape")
                await taken(pilot, 0.1)
            await pilot.press("escape")
            await settle(pilot)
        await pilot.press("f10")
        await taken(pilot, 0.3)
        assert isinstance(app.screen, AfloatScreen)
        await pilot.press("e")
        await taken(pilot, 0.2)
        await fill(pilot, kg_m="0.7", draught_m="0.5", sail_area_m2="15.5", sail_lever_m="2.3", water="fresh-water",
                   wind_m_s="5 8")  # fmt: skip
        await enter(pilot, "section")
        for x in ("0", "3.2", "6.4"):
            await pilot.press("a")
            await taken(pilot, 0.1)
            await fill(pilot, x_m=x)
            await enter(pilot, "points_m")
            await paste(pilot, "0\t-0.5\n0.8;0.0\n0.9 0.5\n0 0.55")
            await pilot.press("escape")
            await taken(pilot, 0.1)
        await pilot.press("escape")
        await taken(pilot, 0.1)
        await enter(pilot, "marks")
        await fill(pilot, fore_m="0.48", aft_m="0.55")
        await pilot.press("escape")
        await enter(pilot, "freeboards")
        await fill(pilot, stem_m="0.9", stern_m="0.7", port_m="0.6", starboard_m="0.61")
        await pilot.press("escape")
        await enter(pilot, "inclining")
        await fill(pilot, pendulum_mm="1500")
        await enter(pilot, "readings")
        await pilot.press("t")
        await taken(pilot, 0.1)
        await paste(pilot, "0\t0\t-\t0\n20\t0.9\t-\t31")
        await pilot.press("escape", "escape")
        await taken(pilot, 0.1)
        await enter(pilot, "roll_test")
        await enter(pilot, "readings")
        await add(pilot, rolls="10", seconds="32.5")
        await pilot.press("escape", "escape")
        await taken(pilot, 0.1)
        await enter(pilot, "opening")
        await add(pilot, name="Companionway", at_m_0="1.9", at_m_1="0", at_m_2="0.7")
        await pilot.press("escape")
        await enter(pilot, "state")
        await add(pilot, name="Tank full", tanks_fill="1")
        await pilot.press("escape")
        await enter(pilot, "placing")
        await enter(pilot, "ingot")
        await add(pilot, id="pig", each_kg="26 lb", count="8")
        await pilot.press("escape")
        await taken(pilot, 0.1)
        # a plan without a place is not in the boat yet, and says so; all the rest is
        assert "place" in text_of(app)
        assert main_screen(app).session.boat.float_.placing is None  # type: ignore[union-attr]
        assert main_screen(app).session.boat.float_.marks is not None  # type: ignore[union-attr]
        await enter(pilot, "place")
        await add(pilot, id="aft", at_m_0="1.5", at_m_1="0", at_m_2="-0.2", room_count="6")
        await pilot.press("c")
        await taken(pilot, 0.1)
        assert [i["id"] for i in app.screen.items] == ["aft", "aft-2"]  # type: ignore[attr-defined]
        await pilot.press("escape", "escape")
        await taken(pilot, 0.1)
        await enter(pilot, "casting")
        await fill(pilot, scrap_kg="120", pot_kg="30")
        await enter(pilot, "mould")
        await fill(pilot, top_mm_0="200", top_mm_1="80", bottom_mm_0="190", bottom_mm_1="70", depth_mm="60")
        await pilot.press("escape", "escape")
        await taken(pilot, 0.1)
        await enter(pilot, "lift")
        await fill(pilot, hands_out_mm="450", from_height_mm="700", to_height_mm="-300")
        await pilot.press("escape", "escape")
        await taken(pilot, 0.3)
        assert isinstance(app.screen, AfloatScreen)
        await pilot.press("escape")
        await settle(pilot)
        made = main_screen(app).session.boat
        await pilot.press("ctrl+s")
        await taken(pilot, 0.2)
        assert not main_screen(app).drafts, main_screen(app).drafts
        app.screen.query_one(Input).value = str(tmp_path / "dabchick.toml")
        await pilot.press("enter")
        await taken(pilot, 0.3)
    saved = read_boat(tmp_path / "dabchick.toml")
    assert saved == made
    expected = {
        "kg_m": 0.7, "draught_m": 0.5, "sail_area_m2": 15.5, "sail_lever_m": 2.3, "water": "fresh-water",
        "wind_m_s": [5.0, 8.0],
        "marks": {"fore_m": 0.48, "aft_m": 0.55},
        "freeboards": {"stem_m": 0.9, "stern_m": 0.7, "port_m": 0.6, "starboard_m": 0.61},
        "inclining": {"pendulum_mm": 1500.0, "readings": [
            {"moved_kg": 0.0, "across_m": 0.0, "deflection_mm": 0.0},
            {"moved_kg": 20.0, "across_m": 0.9, "deflection_mm": 31.0}]},
        "roll_test": {"readings": [{"rolls": 10, "seconds": 32.5}]},
        "opening": [{"name": "Companionway", "at_m": (1.9, 0.0, 0.7)}],
        "state": [{"name": "Tank full", "tanks_fill": 1.0}],
        "lift": {"hands_out_mm": 450.0, "from_height_mm": 700.0, "to_height_mm": -300.0},
    }  # fmt: skip
    assert saved.float_ is not None
    found = saved.float_.model_dump(exclude_defaults=True)
    assert {k: found[k] for k in expected} == expected
    assert [s.x_m for s in saved.float_.section] == [0.0, 3.2, 6.4]
    assert saved.float_.section[0].points_m == [(0.0, -0.5), (0.8, 0.0), (0.9, 0.5), (0.0, 0.55)]
    assert saved.float_.placing is not None
    assert saved.float_.placing.ingot[0].each_kg == pytest.approx(26 * 0.45359237)
    assert saved.float_.casting is not None
    assert saved.float_.casting.mould.top_mm == (200.0, 80.0)
    assert saved.boat.lwl_m == pytest.approx(6.4008)
    assert saved.boat.displacement_kg == 1600.0
    tank, crew = sorted(saved.weight, key=lambda w: w.float_only)
    assert tank.tank is not None
    assert (tank.tank.fill, tank.tank.size_m) == (0.5, (0.6, 0.4, 0.3))
    assert crew.float_only


@pytest.mark.long
async def test_what_is_not_complete_is_asked_about_before_saving_and_waits_on_its_sheet(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await pilot.press("f10")
        await taken(pilot, 0.3)
        await pilot.press("e")
        await taken(pilot, 0.2)
        await enter(pilot, "marks")
        await fill(pilot, fore_m="0.5")
        await pilot.press("escape", "escape")
        await taken(pilot, 0.3)
        await pilot.press("escape")
        await settle(pilot)
        assert main_screen(app).session.boat.float_ is None
        await pilot.press("ctrl+s")
        await taken(pilot, 0.3)
        assert "not complete" in text_of(app)
        await pilot.press("enter")
        await taken(pilot, 0.1)
        await pilot.press("f10")
        await taken(pilot, 0.3)
        await pilot.press("e")
        await taken(pilot, 0.2)
        await enter(pilot, "marks")
        await fill(pilot, aft_m="0.6")
        await pilot.press("escape", "escape")
        await taken(pilot, 0.2)
        marks = main_screen(app).session.boat.float_
        assert marks is not None
        assert marks.marks is not None
        assert (marks.marks.fore_m, marks.marks.aft_m) == (0.5, 0.6)
        await settle(pilot)


@pytest.mark.parametrize("model", [BoatParticulars, FloatData, Weight])
def test_every_key_of_a_table_has_a_line_and_says_what_it_means(model: type[BoatFile]) -> None:
    lines = lines_from(model, IN_FORM if model is Weight else frozenset())  # type: ignore[arg-type]
    keys = {str(e.keys[0]) if isinstance(e, Field) else e.key for e in lines}
    wanted = {info.alias or name for name, info in model.model_fields.items()}
    assert keys == wanted - (IN_FORM if model is Weight else frozenset())
    for each in lines:
        assert each.meaning, each
        if isinstance(each, Branch) and each.model is not None:
            assert lines_from(each.model)
