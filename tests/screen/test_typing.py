"""What is typed, at a person's speed and in one burst: the same boat comes of it, and nothing refused is in her."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from secure_load.boat.file import read_boat
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.dialogs.ask import Ask
from secure_load.screen.dialogs.pick import PickOne
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.row import FieldRow

from .conftest import main_screen, settle, taken, text_of

NAMES = {
    " ": "space",
    ".": "full_stop",
    "-": "minus",
    ",": "comma",
    "'": "apostrophe",
    '"': "quotation_mark",
    "/": "slash",
}
CHARACTERS = {name: character for character, name in NAMES.items()}
SPEEDS = [0.12, 0.0]
"""Seconds between keys: two hands on a keyboard, and all at once."""


async def type_keys(pilot: Pilot[None], keys: list[str], speed: float) -> None:
    if speed:
        for key in keys:
            await pilot.press(key)
            await pilot.pause(speed)
    else:
        for key in keys:
            character = CHARACTERS.get(key, key)
            pilot.app.post_message(events.Key(key, character if len(character) == 1 else None))
    await settle(pilot)


def letters(text: str) -> list[str]:
    return [NAMES.get(c, c) for c in text]


def field(app: SecureLoadApp, label: str) -> FieldRow:
    return next(r for r in main_screen(app).query_one(FormPane).rows if r.field.label == label)


async def at_mass(pilot: Pilot[None]) -> None:
    await settle(pilot)
    await pilot.press("f3")
    await taken(pilot, 0.1)
    await pilot.press("tab")
    await taken(pilot, 0.1)


@pytest.mark.long
@pytest.mark.parametrize("speed", SPEEDS)
@pytest.mark.parametrize(
    ("typed", "mass"),
    [
        ("0.5 t", 500.0),
        ("0.5 q", 24.0),
        ("1,200", 24.0),
        ("1,5", 1.5),
        ("12 lb 8 oz", 5.669904625),
        ("3 x", 24.0),
        ("31", 31.0),
    ],
)
async def test_a_figure_stands_as_it_was_until_the_whole_entry_is_good(
    boat_file: Path, speed: float, typed: str, mass: float
) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await at_mass(pilot)
        session = main_screen(app).session
        before = session.boat
        await type_keys(pilot, letters(typed), speed)
        assert session.boat.weight[0].mass == mass
        if mass == 24.0:
            assert session.boat == before
            assert field(app, "Mass").error
            assert not session.undo()  # nothing of it is left to be undone
        if typed == "1,200":
            assert "write 1200, or 1.2" in field(app, "Mass").error


@pytest.mark.long
@pytest.mark.parametrize("speed", SPEEDS)
async def test_ingots_typed_over_keep_what_else_is_known_of_them(boat_file: Path, speed: float) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        ingots = {"count": 4, "each_kg": 6.0, "joined": "boxed"}
        assert not session.apply_changes({("weight", 0, "mass_kg"): None, ("weight", 0, "ingots"): ingots}, "ingots")
        main_screen(app).changed_afresh()
        await at_mass(pilot)
        await type_keys(pilot, letters("4 x 7 kg"), speed)
        found = session.boat.weight[0].ingots
        assert found is not None
        assert (found.each_kg, found.joined) == (7.0, "boxed")


@pytest.mark.long
@pytest.mark.parametrize("speed", SPEEDS)
async def test_one_refused_figure_of_a_place_does_not_hold_back_the_others(boat_file: Path, speed: float) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        first = next(r for r in main_screen(app).query_one(FormPane).rows if r.field.keys == ("at_m", 0))
        await pilot.press("f3")
        await taken(pilot, 0.1)
        first.input.focus()
        await taken(pilot, 0.1)
        before = main_screen(app).session.boat.weight[0].at_m
        await type_keys(pilot, [*letters("2 q"), "tab", *letters("0.2")], speed)
        assert main_screen(app).session.boat.weight[0].at_m == (before[0], 0.2, before[2])
        assert first.error


@pytest.mark.long
@pytest.mark.parametrize("speed", SPEEDS)
async def test_saving_with_a_refused_entry_asks_and_undo_drops_it(boat_file: Path, speed: float) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_mass(pilot)
        await type_keys(pilot, [*letters("0.5 q"), "ctrl+s"], speed)
        await taken(pilot, 0.3)
        assert isinstance(app.screen, Ask)
        assert "0.5 q" in text_of(app)
        assert read_boat(boat_file).weight[0].mass == 24.0
        await pilot.press("enter")  # go back
        await taken(pilot, 0.2)
        mass = field(app, "Mass")
        assert mass.error
        assert mass.input.has_focus
        await pilot.press("ctrl+z")
        await taken(pilot, 0.2)
        assert not mass.error
        assert mass.input.value == "24"


@pytest.mark.long
@pytest.mark.parametrize("speed", SPEEDS)
async def test_no_letter_discards_work_and_what_was_discarded_stays_a_day(
    boat_file: Path, state: Path, speed: float
) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_mass(pilot)
        await type_keys(pilot, [*letters("31"), "ctrl+q"], speed)
        await taken(pilot, 0.3)
        assert isinstance(app.screen, Ask)
        await type_keys(pilot, ["d"], speed)
        await taken(pilot, 0.2)
        assert isinstance(app.screen, Ask)
        assert not app.left
        assert "Enter" in text_of(app)
        await type_keys(pilot, ["enter"], speed)
        await taken(pilot, 0.2)
        assert app.left
    (kept,) = state.glob("*.discarded")
    assert "mass_kg = 31" in kept.read_text(encoding="utf-8")
    again = SecureLoadApp()
    async with again.run_test(size=(80, 24)) as pilot:
        await taken(pilot, 0.3)
        assert "Recover discarded work: Dunlin" in text_of(again)


@pytest.mark.long
@pytest.mark.parametrize("speed", SPEEDS)
async def test_after_a_pick_the_next_figure_goes_into_the_next_field(boat_file: Path, speed: float) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await taken(pilot, 0.1)
        field(app, "Kind").input.focus()
        await taken(pilot, 0.1)
        await type_keys(pilot, ["enter"], speed)
        await taken(pilot, 0.3)
        assert isinstance(app.screen, PickOne)
        await type_keys(pilot, [*letters("tools"), "enter", *letters("2.5")], speed)
        await taken(pilot, 0.3)
        weight = main_screen(app).session.boat.weight[0]
        assert (weight.kind, weight.at_m[0]) == ("tools", 2.5)


@pytest.mark.long
@pytest.mark.parametrize("speed", SPEEDS)
async def test_up_from_the_first_field_stays_where_letters_are_only_text(boat_file: Path, speed: float) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await taken(pilot, 0.1)
        await type_keys(pilot, ["up", "shift+tab", "x", "d"], speed)
        session = main_screen(app).session
        assert len(session.boat.weight) == 2
        assert session.boat.weight[0].name == "xd"


@pytest.mark.long
@pytest.mark.parametrize("speed", SPEEDS)
async def test_the_id_follows_the_name_until_the_owner_sets_one(boat_file: Path, speed: float) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        await pilot.press("a")
        await taken(pilot, 0.2)
        await type_keys(pilot, [*letters("kedge"), "enter", *letters("12"), "enter"], speed)
        await taken(pilot, 0.3)
        assert session.chosen == "kedge"
        await type_keys(pilot, [*letters("bower"), "tab"], speed)
        weight = session.weight
        assert weight is not None
        assert (weight.id, weight.name) == ("bower", "bower")
        await pilot.press("ctrl+z")
        await settle(pilot)
        weight = session.weight
        assert weight is not None
        assert (weight.id, weight.name) == ("kedge", "kedge")  # one step
        # this one's id is not made from its name
        session.chosen = "pigs"
        main_screen(app).changed_afresh()
        await pilot.press("f3")
        await taken(pilot, 0.1)
        await type_keys(pilot, [*letters("Lead"), "tab"], speed)
        assert session.boat.weight[0].id == "pigs"
