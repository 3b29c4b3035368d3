"""The screen as the owner meets it: keys pressed, words read."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from secure_load.boat.file import read_boat
from secure_load.check.check import check_boat
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.app.themes import LIGHT
from secure_load.screen.dialogs.ask import Ask, AskLines, Read
from secure_load.screen.dialogs.files import PickFile
from secure_load.screen.dialogs.pick import PickOne, PickScenarios
from secure_load.screen.drawing_pane.pane import DrawingPane
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.row import FieldRow
from secure_load.screen.form.section import RestraintSection, SectionHead
from secure_load.screen.sheet.screen import Sheet
from secure_load.screen.start.screen import StartScreen
from secure_load.screen.table.table import WeightTable

from .conftest import BOAT, main_screen, settle, taken, text_of, write


def row(app: SecureLoadApp, label: str) -> FieldRow:
    return next(r for r in main_screen(app).query_one(FormPane).rows if r.field.label == label)


def note(found: FieldRow) -> str:
    return found.error or str(found._note.render())


async def test_a_file_is_opened_and_its_verdicts_are_read(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        text = text_of(app)
        expected = {w.id: w for w in check_boat(read_boat(boat_file)).weights}
        assert main_screen(app).session.states()["pigs"].verdict == expected["pigs"]
        assert "Dunlin" in text
        assert text.count("R fails") >= 3  # both weights in the table, and the chosen one below
        assert "Pigs abaft the mast" in text
        assert "FAILS 2" in text
        assert expected["pigs"].reasons[0][:40] in text


@pytest.mark.long
@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40)])
async def test_every_pane_can_be_reached_and_read(boat_file: Path, width: int, height: int) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(width, height)) as pilot:
        await settle(pilot)
        panes = {"f2": WeightTable, "f3": FormPane, "f5": DrawingPane}
        for key, pane in panes.items():
            await pilot.press(key)
            await taken(pilot, 0.05)
            here = main_screen(app)
            shown = [p for p in panes.values() if here.query_one(p).region.area]
            # the table stays in sight; on a wide screen form and drawing stand side by side below it
            assert shown == (list(panes.values()) if width >= 110 else list(dict.fromkeys([WeightTable, pane])))
            assert app.focused is not None
            assert here.query_one(pane) in app.focused.ancestors_with_self
            text = text_of(app)
            # the chosen weight and its verdict are in sight whichever pane is
            assert "Pigs abaft the mast" in text
            assert "R fails" in text
            lines = text.splitlines()
            assert len(lines) == height
            assert all(len(line) <= width for line in lines)
        await pilot.press("v")
        await taken(pilot, 0.1)
        assert isinstance(app.screen, Read)
        assert "Verdict: Pigs abaft the mast" in text_of(app)


@pytest.mark.long
async def test_an_empty_boat_is_given_a_weight_and_what_holds_it() -> None:
    app = SecureLoadApp()
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("n")
        await write(pilot, "Sanderling")
        await pilot.press("enter")
        await taken(pilot, 0.2)
        await settle(pilot)
        assert "press a to add one" in text_of(app)
        await pilot.press("a")
        await taken(pilot, 0.05)
        await write(pilot, "Lead pigs")
        await pilot.press("enter")
        await write(pilot, "4 x 12 kg")
        await pilot.press("enter")
        await settle(pilot)
        session = main_screen(app).session
        assert session.weight is not None
        assert (session.weight.mass, session.weight.kind) == (48.0, "ballast")
        assert session.states()[session.weight.id].verdict is not None
        for words in ("under bed", "four cleats", "batten"):
            await pilot.press("f7")
            await taken(pilot, 0.05)
            assert isinstance(app.screen, PickOne)
            await write(pilot, words)
            await pilot.press("enter")
            await settle(pilot)
        assert [r.type for r in session.weight.restraint] == ["bed"] + ["cleat"] * 4 + ["batten"]
        found = session.states()[session.weight.id].verdict
        assert found is not None
        assert not found.free_to_move
        # everything that was left open is called assumed, so it cannot be better than doubtful
        assert found.verdict != "green"
        assert "assumed" in note(row(app, "Span"))
        section = main_screen(app).query(RestraintSection).last()
        assert section.is_open
        assert section.children[0] is section.head
        assert any("span taken as" in line for line in found.assumptions)
        assert len(found.restraints) == 6


@pytest.mark.long
async def test_what_is_wrong_is_said_beside_the_field_and_not_taken(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await taken(pilot, 0.05)
        await pilot.press("tab")
        mass = row(app, "Mass")
        assert mass.input.has_focus
        before = main_screen(app).session.boat
        for typed, said in (("-3", "at least"), ("abc", "must be a number"), ("0 x 3", "at least 1"), ("", "missing")):
            mass.input.value = typed
            await taken(pilot, 0.05)
            assert said in note(mass), typed
            assert main_screen(app).session.boat is before
        assert "missing" in text_of(app)
        mass.input.value = "30 kg"
        await taken(pilot, 0.05)
        assert not mass.error
        assert main_screen(app).session.boat.weight[0].mass == 30.0
        kind = row(app, "Kind")
        kind.input.value = "balast"
        await taken(pilot, 0.05)
        assert "did you mean 'ballast'" in note(kind)
        await settle(pilot)
        await pilot.press("f2", "down")
        await taken(pilot, 0.3)
        assert "Kind was not taken" in text_of(app)


@pytest.mark.long
async def test_a_name_the_catalogue_does_not_know_is_not_taken(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        main_screen(app).query_one(FormPane).open_restraint(1)
        await taken(pilot, 0.1)
        timber = row(app, "Timber")
        timber.input.value = "oke"
        await taken(pilot, 0.05)
        assert "no timber of that name" in note(timber)
        timber.input.value = ""
        await taken(pilot, 0.05)
        assert note(timber) == "assumed"
        assert timber.input.placeholder == "pine-eastern-white"
        await settle(pilot)
        timber.input.focus()
        await pilot.press("f6")  # it is as assumed
        await taken(pilot, 0.05)
        assert main_screen(app).session.boat.weight[0].restraint[1].timber == "pine-eastern-white"  # type: ignore[union-attr]
        await pilot.press("enter")
        await taken(pilot, 0.05)
        assert isinstance(app.screen, PickOne)
        await write(pilot, "teak")
        await pilot.press("enter")
        await taken(pilot, 0.1)
        assert timber.input.value == "teak"
        assert main_screen(app).session.boat.weight[0].restraint[1].timber == "teak"  # type: ignore[union-attr]
        await settle(pilot)


@pytest.mark.long
async def test_undo_and_redo_bring_figures_and_verdict_back(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        first = session.states()["pigs"].verdict
        await pilot.press("f3")
        await taken(pilot, 0.05)
        await pilot.press("tab")
        await write(pilot, "36")  # the old figure is selected, so it is typed over
        assert session.boat.weight[0].mass == 36.0
        await settle(pilot)
        second = session.states()["pigs"].verdict
        assert second is not None
        assert second.mass_kg == 36.0
        await pilot.press("ctrl+z")
        await taken(pilot, 0.05)
        assert session.boat.weight[0].mass == 24.0  # both strokes are one step
        assert row(app, "Mass").input.value == "24"
        assert session.states()["pigs"].verdict == first
        await pilot.press("ctrl+y")
        await taken(pilot, 0.05)
        assert session.boat.weight[0].mass == 36.0
        assert session.states()["pigs"].verdict == second
        await pilot.press("f2", "x")
        await settle(pilot)
        assert [w.id for w in session.boat.weight] == ["battery"]
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert [w.id for w in session.boat.weight] == ["pigs", "battery"]


@pytest.mark.long
async def test_saved_and_opened_again_it_says_the_same(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        row_mass = "27"
        await pilot.press("f3")
        await taken(pilot, 0.05)
        await pilot.press("tab")
        await write(pilot, row_mass)
        assert "not saved" in text_of(app)
        await pilot.press("ctrl+s")
        await taken(pilot, 0.1)
        assert "not saved" not in text_of(app)
        assert read_boat(boat_file) == main_screen(app).session.boat
        assert "# the pigs were weighed in spring" in boat_file.read_text(encoding="utf-8")
        await settle(pilot)
    again = SecureLoadApp(boat_file)
    async with again.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert main_screen(again).session.boat.weight[0].mass == 27.0


@pytest.mark.long
async def test_a_file_changed_by_another_hand_is_asked_about(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("c")
        await settle(pilot)
        boat_file.write_text(BOAT.replace("Dunlin", "Knot"), encoding="utf-8")
        await pilot.press("ctrl+s")
        await taken(pilot, 0.1)
        assert isinstance(app.screen, Ask)
        await pilot.press("escape")
        assert read_boat(boat_file).boat.name == "Knot"
        await pilot.press("ctrl+s")
        await taken(pilot, 0.1)
        await pilot.press("o", "enter")  # overwrite
        await taken(pilot, 0.1)
        assert read_boat(boat_file) == main_screen(app).session.boat
        assert len(read_boat(boat_file).weight) == 3
        await settle(pilot)


@pytest.mark.long
async def test_leaving_with_unsaved_work_asks(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("c")
        await settle(pilot)
        await pilot.press("ctrl+q")
        await taken(pilot, 0.05)
        assert isinstance(app.screen, Ask)
        assert "not saved" in text_of(app)
        await pilot.press("g", "enter")  # go back
        await taken(pilot, 0.05)
        assert app.screen is app.main
        await pilot.press("ctrl+q")
        await taken(pilot, 0.05)
        await pilot.press("s", "enter")
        await taken(pilot, 0.2)
        assert app.left
    assert len(read_boat(boat_file).weight) == 3


@pytest.mark.long
async def test_leaving_with_all_saved_does_not_ask(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+q")
        await taken(pilot, 0.1)
        assert app.left


async def test_scenarios_are_chosen_with_their_why_and_source(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+t")
        await taken(pilot, 0.1)
        assert isinstance(app.screen, PickScenarios)
        assert "Source: common practice" in text_of(app)
        await pilot.press("down", "o", "enter")
        await settle(pilot)
        session = main_screen(app).session
        assert session.scenarios == ["knocked-flat"]
        found = session.states()["pigs"].verdict
        assert found is not None
        assert [s.scenario for s in found.scenarios] == ["knocked-flat"]
        assert "1 of the scenarios" in text_of(app)


@pytest.mark.long
async def test_marks_and_control_characters_in_a_name_are_only_text(boat_file: Path) -> None:
    nasty = BOAT.replace("Pigs abaft the mast", r"[red]Pigs[/red] [b]x\\ $fails")
    boat_file.write_text(nasty.replace('"Dunlin"', '"[blink]Dun[/]"'), encoding="utf-8")
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await taken(pilot, 0.1)
        text = text_of(app)
        assert "[blink]Dun[/]" in text
        assert text.count(r"[red]Pigs[/red] [b]x\ $fa") >= 3  # table, summary, form
        await pilot.press("f2", "x")
        await settle(pilot)
        await taken(pilot, 0.3)
        assert "[red]Pigs[/red]" in text_of(app)  # the word in the corner


async def test_what_cannot_be_checked_says_so_in_words(boat_file: Path) -> None:
    cleat = '\n[[weight.restraint]]\ntype = "cleat"\nface = "port"\ntimber = "oka"\n'
    boat_file.write_text(BOAT + cleat, encoding="utf-8")
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("down")
        await settle(pilot)
        text = text_of(app)
        assert "cannot be checked" in text
        assert "no timber 'oka'" in text


async def test_a_file_that_cannot_be_read_is_told_and_another_can_be_opened(tmp_path: Path, boat_file: Path) -> None:
    broken = tmp_path / "broken.toml"
    broken.write_text('[boat]\nname = "X"\nlength = 3\n', encoding="utf-8")
    app = SecureLoadApp(broken)
    async with app.run_test(size=(80, 24)) as pilot:
        await taken(pilot, 0.1)
        assert "unknown key" in text_of(app)
        await pilot.press("o")
        await taken(pilot, 0.05)
        assert isinstance(app.screen, PickFile)
        app.screen.query_one(Input).value = str(boat_file)
        await pilot.press("enter")
        await settle(pilot)
        assert "Dunlin" in text_of(app)


@pytest.mark.long
async def test_the_list_is_sorted_by_verdict_and_the_mouse_chooses(boat_file: Path) -> None:
    steady = BOAT.replace("mass_kg = 24.0", "mass_kg = 0.5")
    boat_file.write_text(steady, encoding="utf-8")
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        table = main_screen(app).table
        assert table.shown == ["pigs", "battery"]
        await pilot.press("s")
        await taken(pilot, 0.05)
        order = table.shown
        states = main_screen(app).session.states()
        ranks = ["green", "amber", "red"]
        assert [ranks.index(states[i].verdict.verdict) for i in order] == sorted(  # type: ignore[union-attr]
            (ranks.index(s.verdict.verdict) for s in states.values() if s.verdict), reverse=True
        )
        await pilot.click(table, offset=(10, 2))
        await taken(pilot, 0.1)
        assert main_screen(app).session.chosen == order[1]
        await pilot.click(table, offset=(27, 0))  # the heading over the masses
        await taken(pilot, 0.1)
        assert table.shown == ["battery", "pigs"]
        await pilot.press("n")
        await taken(pilot, 0.05)
        assert states[main_screen(app).session.chosen or ""].verdict.verdict == "red"  # type: ignore[union-attr]


@pytest.mark.long
async def test_the_mouse_opens_a_restraint_a_list_and_a_key(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        heads = list(main_screen(app).query(SectionHead))
        assert not any(s.is_open for s in main_screen(app).query(RestraintSection))
        await pilot.click(heads[1])
        await taken(pilot, 0.1)
        assert [s.is_open for s in main_screen(app).query(RestraintSection)] == [False, True]
        await pilot.click(row(app, "Timber").query_one(".pick"))
        await taken(pilot, 0.1)
        assert isinstance(app.screen, PickOne)
        await pilot.press("escape", "f2")
        await taken(pilot, 0.1)
        line = main_screen(app).query_one(KeyLine)
        assert "d Drawing" in str(line.render())
        await pilot.click(line, offset=(str(line.render()).index("d Draw") + 1, 0))
        await taken(pilot, 0.1)
        assert main_screen(app).query_one(DrawingPane).has_focus
        await settle(pilot)


async def test_the_keys_at_the_foot_follow_the_cursor(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        line = main_screen(app).query_one(KeyLine)
        assert "a Add weight" in str(line.render())
        await pilot.press("f3")
        await taken(pilot, 0.1)
        assert "a Add weight" not in str(line.render())
        assert "F7 Add restraint" in str(line.render())


async def test_without_colour_nothing_is_coloured_and_all_is_said(
    boat_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for strip in app.screen._compositor.render_strips():
            for segment in strip:
                style = segment.style
                assert style is None or style.color is None or style.color.is_default
                assert style is None or style.bgcolor is None or style.bgcolor.is_default
        assert "R fails" in text_of(app)


@pytest.mark.long
async def test_a_light_screen_and_a_change_of_size_show_the_same(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        app.action_other_theme()
        assert app.theme == LIGHT.name
        await pilot.resize_terminal(80, 24)
        await taken(pilot, 0.2)
        assert "R fails" in text_of(app)
        assert not main_screen(app).query_one(DrawingPane).region.area
        await pilot.resize_terminal(120, 40)
        await taken(pilot, 0.2)
        assert main_screen(app).query_one(DrawingPane).region.area


async def test_an_example_is_looked_at_and_kept_from_harm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "little_auk.toml"
    path.write_text(BOAT, encoding="utf-8")
    monkeypatch.setattr("secure_load.screen.start.screen.demo_boats", lambda: [path])
    monkeypatch.chdir(tmp_path)
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await taken(pilot, 0.1)
        assert isinstance(app.screen, StartScreen)
        assert "Little Auk" in text_of(app)
        await pilot.press("down", "down", "down", "enter")
        await settle(pilot)
        await pilot.press("c")
        await settle(pilot)
        await pilot.press("ctrl+s")
        await taken(pilot, 0.1)
        assert isinstance(app.screen, AskLines)  # she has no file of her own yet
        await pilot.press("enter")
        await taken(pilot, 0.2)
    assert path.read_text(encoding="utf-8") == BOAT
    assert len(read_boat(tmp_path / "dunlin.toml").weight) == 3


@pytest.mark.long
async def test_the_boat_herself_is_changed_and_all_is_checked_again(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("b")
        await taken(pilot, 0.2)
        assert isinstance(app.screen, Sheet)
        bilge = next(r for r in app.screen.rows if r.field.label == "Bilge")
        bilge.input.focus()
        await taken(pilot, 0.05)
        bilge.input.value = "dry"
        await taken(pilot, 0.05)
        assert len(main_screen(app).session.requests()) == 2
        await settle(pilot)
        assert main_screen(app).session.boat.boat.bilge == "dry"


async def test_work_not_saved_is_kept_when_the_program_is_ended(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("c")
        await settle(pilot)
    kept = app.rescued()  # as run_app does where the screen ended and the owner had not left
    assert kept == main_screen(app).keeper.place
    assert '"battery-2"' in kept.read_text(encoding="utf-8") or "pigs-2" in kept.read_text(encoding="utf-8")
    assert boat_file.read_text(encoding="utf-8") == BOAT


@pytest.mark.long
async def test_what_is_typed_fast_all_arrives_where_it_was_meant(boat_file: Path) -> None:
    """Keys that come all at once, as from a fast hand while the check is at work: none is lost or misplaced."""
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        main_screen(app).action_pane("form")
        await taken(pilot, 0.1)
        keys = ["tab", "3", "1", "tab", "n", "o", "tab", "down", "2", ".", "5", "enter", "0", ".", "2"]
        for key in keys:
            app.simulate_key(key)
        await settle(pilot)
        weight = main_screen(app).session.boat.weight[0]
        assert (weight.mass, weight.measured, weight.at_m[:2]) == (31.0, False, (2.5, 0.2))
        await pilot.press("f2", "a")
        await taken(pilot, 0.1)
        for key in ["k", "e", "d", "g", "e", "enter", "1", "2", "enter"]:
            app.simulate_key(key)
        for _ in range(100):
            await pilot.pause(0.03)
            if len(main_screen(app).session.boat.weight) == 3:
                break
        added = main_screen(app).session.weight
        assert added is not None
        assert (added.id, added.mass) == ("kedge", 12.0)
        await settle(pilot)
