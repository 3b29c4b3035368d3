"""What is the owner's own: his scenarios and what he found, written down on the screen and kept in the boat file."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from secure_load.boat.file import read_boat
from secure_load.boat.models import Finding, Scenario
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.dialogs.pick import PickScenarios, scenario_words
from secure_load.screen.form.fields import Field
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.parsing import read, trouble
from secure_load.screen.form.row import FieldRow
from secure_load.screen.form.section import FoundLine
from secure_load.screen.sheet.model_fields import lines_from
from secure_load.screen.sheet.screen import Rows, Sheet

from .conftest import main_screen, settle, taken, text_of, write


def sheet(app: SecureLoadApp) -> Sheet:
    assert isinstance(app.screen, Sheet)
    return app.screen


def row(app: SecureLoadApp, label: str) -> FieldRow:
    return next(r for r in sheet(app).rows if r.field.label == label)


async def fill(pilot: Pilot[None], app: SecureLoadApp, label: str, value: str) -> FieldRow:
    found = row(app, label)
    found.input.focus()
    await taken(pilot, 0.02)
    found.input.value = value
    await taken(pilot, 0.05)
    return found


async def own_scenario(pilot: Pilot[None], app: SecureLoadApp) -> None:
    """Begin one with the figures of the second built in, knocked flat."""
    await pilot.press("ctrl+t")
    await taken(pilot, 0.1)
    await pilot.press("down", "c")
    await taken(pilot, 0.2)
    assert isinstance(app.screen, Sheet)


@pytest.mark.long
async def test_a_scenario_of_ones_own_is_written_down_run_and_saved(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await own_scenario(pilot, app)
        session = main_screen(app).session
        for label, value in (
            ("Name", "Flat, and she lands hard"),
            ("Heel to", "110"),
            ("Heel in steps of", "10"),
            ("Vertical load factor", "1, 2.5"),
            ("Boat speeds up forward", "-0.4 0.4"),
            ("Boat speeds up to port", "0"),
            ("Bow down", "-5; 5"),
            ("Both sides", "no"),
            ("Roll rate", "30"),
            ("Roll acceleration", "-100 100"),
        ):
            assert not (await fill(pilot, app, label, value)).error, label
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, PickScenarios)
        assert "Flat, and she lands hard   your own" in text_of(app)
        assert "Heeled 0 to 110 degrees, vertical load factor 1 or 2.5" in text_of(app)
        await pilot.press("o", "enter")
        await settle(pilot)
        assert session.scenarios == ["own-1"]
        found = session.states()["pigs"].verdict
        assert found is not None
        assert [s.scenario for s in found.scenarios] == ["own-1"]
        await pilot.press("ctrl+s")
        await taken(pilot, 0.2)
    (saved,) = read_boat(boat_file).scenario
    assert saved.model_dump(exclude={"id", "why", "source"}, exclude_defaults=True) == {
        "name": "Flat, and she lands hard",
        "heel_deg": {"to": 110.0, "step": 10.0},
        "load_factor": [1.0, 2.5],
        "surge_g": [-0.4, 0.4],
        "pitch_deg": [-5.0, 5.0],
        "both_sides": False,
        "roll_rate_deg_s": [30.0],
        "roll_acceleration_deg_s2": [-100.0, 100.0],
    }


@pytest.mark.long
async def test_what_is_wrong_in_a_scenario_is_said_beside_it_and_the_rest_is_taken(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await own_scenario(pilot, app)
        session = main_screen(app).session
        for label, value, said in (
            ("Vertical load factor", "1,5", "leave a space"),
            ("Vertical load factor", "heavy", "must be a number"),
            ("Vertical load factor", "-1", "at least 0"),
            ("Heel to", "200", "at most 180"),
            ("Both sides", "perhaps", "must be yes or no"),
            ("Only for", "pigs", "must be one of"),
        ):
            found = await fill(pilot, app, label, value)
            assert said in found.error, (label, value, found.error)
        assert session.boat.scenario[0].load_factor == [1.0, 2.0]
        # a figure beside those that are wrong is taken in all the same, and they keep their complaint
        await fill(pilot, app, "Boat speeds up upward", "-0.5")
        assert session.boat.scenario[0].heave_g == [-0.5]
        assert row(app, "Heel to").error
        await fill(pilot, app, "Heel to", "100")
        assert not row(app, "Heel to").error
        assert session.boat.scenario[0].heel_deg.to == 100.0
        await pilot.press("escape")
        await taken(pilot, 0.3)
        assert "was not taken in" in text_of(app)
        await settle(pilot)


@pytest.mark.long
async def test_from_and_to_are_mended_in_any_order(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await own_scenario(pilot, app)
        session = main_screen(app).session
        assert (await fill(pilot, app, "Heel from", "120")).error
        assert session.boat.scenario[0].heel_deg.from_ == 0.0
        await fill(pilot, app, "Heel to", "150")
        assert not any(r.error for r in sheet(app).rows)
        heel = session.boat.scenario[0].heel_deg
        assert (heel.from_, heel.to) == (120.0, 150.0)
        await pilot.press("escape", "escape")
        await settle(pilot)


@pytest.mark.long
async def test_a_scenario_is_taken_back_step_by_step_and_taken_out(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        before = session.boat
        await own_scenario(pilot, app)
        await fill(pilot, app, "Vertical load factor", "3")
        assert session.boat.scenario[0].load_factor == [3.0]
        await pilot.press("ctrl+z")
        await taken(pilot, 0.1)
        assert session.boat.scenario[0].load_factor == [1.0, 2.0]
        assert row(app, "Vertical load factor").input.value == "1, 2"
        await pilot.press("ctrl+y")
        await taken(pilot, 0.1)
        assert session.boat.scenario[0].load_factor == [3.0]
        await pilot.press("ctrl+z", "ctrl+z")
        await taken(pilot, 0.2)
        assert session.boat == before
        await settle(pilot)
        assert isinstance(app.screen, PickScenarios)  # the sheet of what is no longer there is gone
        await pilot.press("c")
        await taken(pilot, 0.2)
        await pilot.press("escape")
        await settle(pilot)
        await pilot.press("x")
        await settle(pilot)
        assert session.boat.scenario == []
        await pilot.press("x")
        await taken(pilot, 0.1)
        assert "Only your own can be deleted" in text_of(app)
        await pilot.press("escape")
        await settle(pilot)


@pytest.mark.long
async def test_what_was_found_is_written_down_changed_put_right_and_saved(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        sound = session.states()["pigs"].verdict
        assert sound is not None
        main_screen(app).action_pane("form")
        main_screen(app).query_one(FormPane).open_restraint(1)
        await taken(pilot, 0.2)
        await pilot.press("ctrl+f")
        await taken(pilot, 0.2)
        assert isinstance(app.screen, Rows)
        assert "port-cleat" in text_of(app)
        await pilot.press("a")
        await taken(pilot, 0.2)
        assert row(app, "Date").input.value == datetime.date.today().isoformat()
        assert row(app, "What was seen").input.has_focus
        # nothing is in the boat before it is told what was seen
        await fill(pilot, app, "Strength remaining", "50")
        assert row(app, "What was seen").error
        assert not session.boat.weight[0].restraint[1].finding
        await fill(pilot, app, "What was seen", "two screws weeping")
        await fill(pilot, app, "Date", "2031-02-30")
        assert "no such day" in row(app, "Date").error
        await fill(pilot, app, "Date", "2031-02-27")
        assert session.boat.weight[0].restraint[1].finding == [
            Finding(date=datetime.date(2031, 2, 27), note="two screws weeping", factor=0.5)
        ]
        await pilot.press("escape")
        await settle(pilot)
        assert "2031-02-27: two screws weeping; 50 % of its strength" in text_of(app)
        weak = session.states()["pigs"].verdict
        assert weak is not None
        worked = [{r.id: r.utilisation for r in v.restraints}["port-cleat"] for v in (sound, weak)]
        assert worked[1] == pytest.approx(2 * worked[0], abs=2e-4)  # both are given to four places
        await pilot.press("enter")
        await taken(pilot, 0.2)
        await fill(pilot, app, "Repaired", "yes")
        await pilot.press("escape", "escape")
        await settle(pilot)
        again = session.states()["pigs"].verdict
        assert again is not None
        assert {r.id: r.utilisation for r in again.restraints}["port-cleat"] == worked[0]
        line = main_screen(app).query_one(FoundLine)
        assert "Findings: 1, none not repaired" in str(line.render())
        await pilot.press("ctrl+s")
        await taken(pilot, 0.2)
    (kept,) = read_boat(boat_file).weight[0].restraint[1].finding
    assert (kept.note, kept.factor, kept.fixed) == ("two screws weeping", 0.5, True)


@pytest.mark.long
async def test_a_finding_is_taken_out_and_comes_back_and_the_mouse_opens_it(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        main_screen(app).query_one(FormPane).open_restraint(0)
        await taken(pilot, 0.2)
        main_screen(app).query_one(FoundLine).scroll_visible(animate=False)
        await taken(pilot, 0.1)
        await pilot.click(FoundLine)
        await taken(pilot, 0.2)
        assert isinstance(app.screen, Rows)
        await pilot.press("enter")
        await taken(pilot, 0.2)
        await write(pilot, "wet below")
        await pilot.press("escape")
        await taken(pilot, 0.2)
        assert len(session.boat.weight[0].restraint[0].finding) == 1
        await pilot.press("x")
        await taken(pilot, 0.1)
        assert session.boat.weight[0].restraint[0].finding == []
        await pilot.press("ctrl+z")
        await taken(pilot, 0.1)
        assert [f.note for f in session.boat.weight[0].restraint[0].finding] == ["wet below"]
        assert "wet below" in text_of(app)
        await pilot.press("escape")
        await settle(pilot)


@pytest.mark.long
async def test_ten_thousand_characters_in_a_sheet_are_told_and_not_taken(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await own_scenario(pilot, app)
        name = row(app, "Vertical load factor")
        name.input.focus()
        name.input.post_message(events.Paste("1 " * 5000))
        await taken(pilot, 0.3)
        assert "at most 50" in name.error
        assert all(len(line) <= 80 for line in text_of(app).splitlines())
        await pilot.press("escape", "escape")
        await settle(pilot)


SCENARIO = [f for f in lines_from(Scenario) if isinstance(f, Field)]
FINDING = [f for f in lines_from(Finding) if isinstance(f, Field)]


@pytest.mark.parametrize("field", [*SCENARIO[1:-1], *FINDING], ids=lambda f: f.label)
def test_every_field_says_what_it_means_and_how_to_come_by_it(field) -> None:  # type: ignore[no-untyped-def]
    assert len(field.meaning) > 8
    assert len(field.measure) > 8
    assert "``" not in field.meaning


def test_figures_of_a_list_are_read_as_they_are_written() -> None:
    factors = next(f for f in SCENARIO if f.keys == ("load_factor",))
    assert read(factors, "1, 2.5;3 4") == [1.0, 2.5, 3.0, 4.0]
    assert read(factors, "1 g, x") == [1.0, "g", "x"]
    assert trouble(factors, "1,2") is not None
    assert trouble(factors, "1, 2") is None
    left = next(f for f in FINDING if f.keys == ("factor",))
    assert read(left, "70 %") == 0.7
    assert [trouble(left, text) is None for text in ("70", "0", "100", "101", "-1", "half")] == [True] * 3 + [False] * 3


def test_a_scenario_is_told_in_a_sentence() -> None:
    given = Scenario.model_validate(
        {"id": "x", "heel_deg": {"from": 0, "to": 90}, "load_factor": [1.0, 2.0], "sway_g": [-0.3, 0.3]}
    )
    assert scenario_words(given) == (
        "Heeled 0 to 90 degrees to either side, vertical load factor 1 or 2, -0.3 or 0.3 g: boat speeds up to port: "
        "things go to starboard; boat speeds up to starboard: things go to port."
    )
