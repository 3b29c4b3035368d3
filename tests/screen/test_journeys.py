"""Whole ways through the program as an owner goes them, by keyboard alone and by mouse alone.

By mouse alone means: the keyboard gives nothing but names and figures, which no mouse can write.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input, OptionList

from secure_load.boat.file import read_boat
from secure_load.record.store import default_folder, record_numbers
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.app.footer import KeyLine
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.row import FieldRow, Pick
from secure_load.screen.form.section import SectionHead
from secure_load.screen.mend.screen import MendScreen
from secure_load.screen.records.screen import RecordsScreen
from secure_load.screen.session.session import Session
from secure_load.screen.table.lines import COLUMNS, room_for_names, strip_start

from .conftest import main_screen, settle, taken, text_of, write

SIZES = [(80, 24), (120, 40)]
FIGURES = {
    "Centre, fwd": "3.2",
    "Centre, port": "0",
    "Centre, up m": "-0.35",
    "Size, long": "0.4",
    "Size, wide": "0.2",
    "Size, high m": "0.12",
}


async def until(pilot: Pilot[None], true: Callable[[], bool], what: str) -> None:
    for _ in range(2000):
        if true():
            await taken(pilot, 0.05)
            return
        await taken(pilot, 0.02)
    raise AssertionError(f"{what} never came")


def form_row(app: SecureLoadApp, label: str) -> FieldRow:
    return next(r for r in main_screen(app).query_one(FormPane).rows if r.field.label == label and r.display)


# By mouse ------------------------------------------------------------------------------------------------------


async def click(pilot: Pilot[None], widget: Widget, x: int = 1, y: int = 0) -> None:
    widget.scroll_visible(animate=False)
    await taken(pilot, 0.05)
    assert await pilot.click(widget, offset=(x, y)), f"{widget} is out of reach"
    await taken(pilot, 0.1)


async def click_key(pilot: Pilot[None], words: str) -> None:
    """Click what the line of keys says."""
    line = pilot.app.screen.query_one(KeyLine)
    said = str(line.render())
    assert words in said, said
    await click(pilot, line, said.index(words) + 1)


async def click_one_of(pilot: Pilot[None], key: str, name: str) -> None:
    """Click a key where there is room for it, else its name among all there is to do."""
    if key in str(pilot.app.screen.query_one(KeyLine).render()):
        await click_key(pilot, key)
        return
    await click_key(pilot, "^P Commands")
    await until(
        pilot,
        lambda: any(o.option_count > 5 for o in pilot.app.screen.query(OptionList).results()),
        "the list of all there is to do",
    )
    await write(pilot, name)
    await taken(pilot, 0.6)
    await click_line(pilot, name)


async def click_line(pilot: Pilot[None], words: str) -> None:
    """Click the line of a list that has these words."""
    listing = pilot.app.screen.query_one(OptionList)
    for n in range(listing.option_count):
        if words in str(listing.get_option_at_index(n).prompt):
            listing.highlighted = None
            listing.scroll_to(y=max(0, n - 2), animate=False)
            await taken(pilot, 0.05)
            lines = text_of(pilot.app).splitlines()  # type: ignore[arg-type]
            at = listing.region
            y = next(y for y in range(at.y, at.bottom) if words[:20] in lines[y][at.x : at.right])
            assert await pilot.click(offset=(at.x + 3, y))
            await taken(pilot, 0.15)
            return
    raise AssertionError(f"no line says {words}")


async def by_mouse_a_held_weight(pilot: Pilot[None], app: SecureLoadApp) -> None:
    """From the start screen to a weight with the usual stowage, every figure looked at and written down as true."""
    await taken(pilot, 0.2)
    await click_line(pilot, "Start with an empty boat")
    await write(pilot, "Sanderling")
    await click_key(pilot, "Enter Next")
    await settle(pilot)
    await click_key(pilot, "a Add")
    await write(pilot, "Lead pig")
    first, second = app.screen.query(Input).results()
    assert first.has_focus
    await click(pilot, second)
    await write(pilot, "12")
    await click_key(pilot, "Enter Next")
    await settle(pilot)
    await click(pilot, form_row(app, "Weighed").query_one(Pick), 0)
    await click_line(pilot, "yes")
    for label, figure in FIGURES.items():
        await click(pilot, form_row(app, label).input, 0)
        form_row(app, label).input.select_all()
        await write(pilot, figure)
    await click_key(pilot, "F7 Add restraint")
    await click_line(pilot, "the usual stowage")
    for n in range(6):
        head = list(main_screen(app).query(SectionHead))[n]
        await click(pilot, head)  # opens it
        await settle(pilot)  # the verdict above it may take more lines, or fewer
        await click(pilot, head)  # and shuts it again, the cursor on its line
        await click_key(pilot, "F6 Accept assumed")
    await settle(pilot)


async def by_mouse_green(pilot: Pilot[None], app: SecureLoadApp) -> None:
    """Mend the weight until it holds, by the first proposal."""
    await click_one_of(pilot, "f Fix", "Fix")
    await until(pilot, lambda: isinstance(app.screen, MendScreen) and app.screen.done, "a proposal")
    await click_line(pilot, "once built")
    await settle(pilot)


async def by_mouse_say(pilot: Pilot[None], app: SecureLoadApp, place: int, label: str, words: str) -> None:
    """Open one of the restraints and choose what one of its fields says."""
    await pilot.press("f3")
    await taken(pilot, 0.1)
    await click(pilot, list(main_screen(app).query(SectionHead))[place])
    await click(pilot, form_row(app, label).query_one(Pick), 0)
    await click_line(pilot, words)
    await settle(pilot)


# By keyboard ---------------------------------------------------------------------------------------------------


async def by_keyboard_a_held_weight(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await taken(pilot, 0.2)
    await pilot.press("n")
    await write(pilot, "Sanderling")
    await pilot.press("enter")
    await settle(pilot)
    await pilot.press("a")
    await taken(pilot, 0.1)
    await write(pilot, "Lead pig")
    await pilot.press("enter")
    await write(pilot, "12")
    await pilot.press("enter")
    await settle(pilot)
    await pilot.press("tab", "tab")
    await write(pilot, "yes")
    await pilot.press("tab", "tab")
    for figure in FIGURES.values():
        await write(pilot, figure)
        await pilot.press("tab")
    await pilot.press("f7")
    await taken(pilot, 0.1)
    await pilot.press("enter")
    await settle(pilot)
    for _ in range(6):
        await pilot.press("f6")
        await taken(pilot, 0.05)
    await settle(pilot)


async def by_keyboard_green(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("f9")
    await until(pilot, lambda: isinstance(app.screen, MendScreen) and app.screen.done, "a proposal")
    assert isinstance(app.screen, MendScreen)
    place = next(n for n, remedy in enumerate(app.screen.remedies) if remedy.kind == "change")
    await pilot.press(*["down"] * place, "enter")
    await settle(pilot)


async def by_keyboard_say(pilot: Pilot[None], app: SecureLoadApp, place: int, label: str, words: str) -> None:
    heads = list(main_screen(app).query(SectionHead))
    await pilot.press("f3")
    await press_until(pilot, "down", lambda: app.focused is heads[place])
    await pilot.press("enter")
    await taken(pilot, 0.1)
    await press_until(pilot, "tab", lambda: app.focused is form_row(app, label).input)
    await write(pilot, words)
    await pilot.press("tab")
    await settle(pilot)
    await press_until(pilot, "shift+tab", lambda: app.focused is heads[place])
    await pilot.press("enter")
    await taken(pilot, 0.1)


async def press_until(pilot: Pilot[None], key: str, there: Callable[[], bool]) -> None:
    for _ in range(80):
        if there():
            return
        await pilot.press(key)
        await taken(pilot, 0.02)
    raise AssertionError(f"{key} never leads there")


Way = Callable[[Pilot[None], SecureLoadApp], Awaitable[None]]
Say = Callable[[Pilot[None], SecureLoadApp, int, str, str], Awaitable[None]]
WAYS: dict[str, tuple[Way, Way, Say]] = {
    "keyboard": (by_keyboard_a_held_weight, by_keyboard_green, by_keyboard_say),
    "mouse": (by_mouse_a_held_weight, by_mouse_green, by_mouse_say),
}


@pytest.mark.long
@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("way", WAYS)
async def test_from_an_empty_boat_to_a_weight_that_holds(way: str, width: int, height: int) -> None:
    if way == "mouse" and (width, height) == (120, 40):
        pytest.skip("known fault: fixes that come in push the form's headings out of the mouse's reach")
    held, mended, say = WAYS[way]
    app = SecureLoadApp()
    async with app.run_test(size=(width, height)) as pilot:
        await held(pilot, app)
        session = main_screen(app).session
        weight = session.weight
        assert weight is not None
        assert (weight.name, weight.mass, weight.measured) == ("Lead pig", 12.0, True)
        assert (weight.at_m, weight.size_m) == ((3.2, 0.0, -0.35), (0.4, 0.2, 0.12))
        assert [r.type for r in weight.restraint] == ["bed", *["cleat"] * 4, "batten"]
        # nothing is proposed into timber that nobody said is there
        await say(pilot, app, 0, "Carried by", "floors")
        await mended(pilot, app)
        found = session.states()[weight.id].verdict
        assert found is not None
        assert found.verdict == "amber"
        assert all(reason.startswith("proposed, not built: ") for reason in found.reasons), found.reasons
        for place, restraint in enumerate(session.boat.weight[0].restraint):
            if restraint.proposed:
                await say(pilot, app, place, "Only proposed", "no")
        found = session.states()[weight.id].verdict
        assert found is not None
        assert found.verdict == "green", found.reasons
        assert "G holds" in text_of(app)


@pytest.mark.long
async def test_both_ways_come_to_the_same_boat() -> None:
    boats: list[Session] = []
    for held, *_ in WAYS.values():
        app = SecureLoadApp()
        async with app.run_test(size=(120, 40)) as pilot:
            await held(pilot, app)
            boats.append(main_screen(app).session)
    assert boats[0].boat == boats[1].boat


@pytest.mark.long
async def test_by_mouse_along_the_heel_strip(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await taken(pilot, 0.6)
        table = main_screen(app).table
        room = room_for_names([], table.size.width - 1, strip=True)
        seen: set[float] = set()
        for column in (COLUMNS - 1, COLUMNS - 20, 5):
            await click(pilot, table, strip_start(room) + column, 1)
            seen.add(table.heel)
            assert text_of(app).count(str(abs(round(table.heel)))) > 0
        assert len(seen) == 3


@pytest.mark.long
async def test_saved_as_opened_again_and_compared_by_mouse(tmp_path: Path, boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await click_one_of(pilot, "F11 Records", "Records")
        await until(pilot, lambda: isinstance(app.screen, RecordsScreen), "the records")
        await app.screen.workers.wait_for_complete()
        await click_key(pilot, "n New record")
        await until(pilot, lambda: record_numbers(default_folder(boat_file), "Dunlin") == [1], "the record")
        await click_key(pilot, "Escape Back")
        mass = form_row(app, "Mass")
        await click(pilot, mass.input)
        mass.input.select_all()
        await write(pilot, "31")
        await settle(pilot)
        await click_one_of(pilot, "^S Save", "Save")
        await taken(pilot, 0.2)
        assert read_boat(boat_file).weight[0].mass == 31.0
    again = SecureLoadApp(boat_file)
    async with again.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await click_one_of(pilot, "F11 Records", "Records")
        await until(pilot, lambda: isinstance(again.screen, RecordsScreen), "the records")
        shown: Screen[object] = again.screen
        await shown.workers.wait_for_complete()
        await taken(pilot, 0.2)
        text = text_of(again)
        assert "Pigs abaft the mast" in text
        assert "24" in text
        assert "31" in text
