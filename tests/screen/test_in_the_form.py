"""Few keystrokes, help in place, long words, a check that is stopped, storms of sizes, plain terminals."""

from __future__ import annotations

import random
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from rich.segment import Segment
from textual import events
from textual.color import Color
from textual.pilot import Pilot
from textual.widgets import Input

from secure_load.boat.file import parse_boat
from secure_load.boat.models import Weight
from secure_load.check.results import WeightVerdict
from secure_load.check.unchecked import cannot_be_checked
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.app.ascii_fallback import PlainCharacters, plain_filter
from secure_load.screen.dialogs.ask import Read
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.parsing import number
from secure_load.screen.form.row import FieldRow
from secure_load.screen.form.section import SectionHead

from .conftest import main_screen, settle, taken, text_of, write

EMPTY = '[boat]\nname = "Dunlin"\nlwl_m = 6.4\n'


class Counted:
    """Presses keys and counts those that are no part of a figure or a name."""

    def __init__(self, pilot: Pilot[None]) -> None:
        self.pilot = pilot
        self.count = 0

    async def keys(self, *keys: str) -> None:
        for key in keys:
            await self.pilot.press(key)
            await self.pilot.pause(0.02)
        self.count += len(keys)

    async def figure(self, text: str) -> None:
        await write(self.pilot, text)


@pytest.mark.long
async def test_a_weight_with_bed_four_cleats_and_a_batten_takes_few_keystrokes(
    tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    path = tmp_path / "dunlin.toml"
    path.write_text(EMPTY, encoding="utf-8")
    app = SecureLoadApp(path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        hand = Counted(pilot)
        await hand.keys("a")
        await hand.figure("Lead pigs")
        await hand.keys("enter")
        await hand.figure("4 x 12")
        await hand.keys("enter")
        await hand.keys("tab", "tab")  # past name and mass, to weighed
        await hand.figure("yes")
        await hand.keys("tab", "tab")  # past the kind
        for figure in ("3.2", "0", "-0.35", "0.4", "0.2", "0.12"):
            await hand.figure(figure)
            await hand.keys("tab")
        await hand.keys("f7", "enter")  # the usual stowage is the first of the list
        await taken(pilot, 0.1)
        assert isinstance(app.focused, SectionHead)
        for _ in range(6):
            await hand.keys("f6")  # as assumed: and on to the next
        await settle(pilot)
        weight = main_screen(app).session.weight
        assert weight is not None
        assert [r.type for r in weight.restraint] == ["bed", *["cleat"] * 4, "batten"]
        assert weight.at_m == (3.2, 0.0, -0.35)
        assert weight.size_m == (0.4, 0.2, 0.12)
        assert all(r.screws is not None and r.screws.gauge for r in weight.restraint if r.type == "cleat")
        assert main_screen(app).session.states()[weight.id].verdict is not None
        record_property("keystrokes", hand.count)
        print(f"{hand.count} keystrokes beside the figures")  # noqa: T201 (seen with pytest -s)
        assert hand.count < 40, hand.count


@pytest.mark.long
async def test_what_is_confirmed_on_a_line_is_one_step_back(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        await pilot.press("down", "f7", "enter")
        await taken(pilot, 0.1)
        before = session.boat
        await pilot.press("down", "f6")
        await taken(pilot, 0.1)
        assert session.boat.weight[1].restraint[1].timber is not None  # type: ignore[union-attr]
        await pilot.press("ctrl+z")
        await taken(pilot, 0.05)
        assert session.boat == before
        await settle(pilot)


async def test_every_field_says_in_place_what_it_means_and_how_it_is_measured(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await taken(pilot, 0.1)
        await pilot.press("tab")
        await taken(pilot, 0.05)
        assert "bathroom scale" in str(main_screen(app).query_one("#form-help").render())  # type: ignore[attr-defined]
        await pilot.press("f1")
        await taken(pilot, 0.1)
        assert isinstance(app.screen, Read)
        assert "bathroom scale" in text_of(app)
        await pilot.press("escape")
        await settle(pilot)


async def test_a_running_check_is_stopped_and_begun_again(boat_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Weight] = []
    gate = threading.Event()

    def slow(weight: Weight, run: object) -> Iterator[WeightVerdict]:
        asked.append(weight)
        gate.wait(20)
        yield cannot_be_checked(weight, ValueError("worked out in a test"))

    monkeypatch.setattr("secure_load.screen.session.tasks.check_stages", slow)
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await taken(pilot, 0.2)
        assert "^G Stop the check" in text_of(app)
        await pilot.press("ctrl+g")
        await taken(pilot, 0.05)
        gate.set()
        await taken(pilot, 0.5)
        assert len(asked) == 1
        assert "stopped" in str(main_screen(app).query_one("#top").render())  # type: ignore[attr-defined]
        await pilot.press("ctrl+g")
        await settle(pilot)
        assert not main_screen(app).session.requests()
        assert "^G" not in text_of(app)


async def test_a_long_text_pasted_stays_in_its_field_and_its_wrongness_is_said(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        before = main_screen(app).session.boat
        await pilot.press("f3")
        await taken(pilot, 0.1)
        name = app.focused
        assert isinstance(name, Input)
        name.post_message(events.Paste("pig " * 5000 + "\nsecond line \x1b[31m"))
        await taken(pilot, 0.3)
        row = name.parent
        assert isinstance(row, FieldRow)
        assert "at most 200" in row.error
        assert main_screen(app).session.boat is before
        assert all(len(line) <= 80 for line in text_of(app).splitlines())
        await settle(pilot)


@pytest.mark.long
async def test_a_storm_of_sizes_leaves_a_whole_screen(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    dice = random.Random(7)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        for _ in range(25):
            await pilot.resize_terminal(dice.randint(20, 220), dice.randint(6, 70))
        for width, height in ((200, 60), (80, 24)):
            await pilot.resize_terminal(width, height)
            await taken(pilot, 0.3)
            lines = text_of(app).splitlines()
            assert len(lines) == height
            assert "Dunlin" in lines[0]
            assert "R fails" in text_of(app)
            assert "Help" in lines[-1]
        await settle(pilot)


@pytest.mark.long
async def test_without_line_drawing_nothing_but_ascii_is_written(
    boat_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "dumb")
    assert plain_filter("utf-8") is not None
    text = boat_file.read_text(encoding="utf-8").replace("Pigs abaft", "Pêche ‖ 石 abaft")
    parse_boat(text)
    boat_file.write_text(text, encoding="utf-8")
    app = SecureLoadApp(boat_file)
    app._plain = PlainCharacters(ascii_only=True)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        await taken(pilot, 0.6)
        written: list[str] = []
        filters = app.get_line_filters()
        for strip in app.screen._compositor.render_strips():
            for each in filters:
                strip = strip.apply_filter(each, Color(0, 0, 0))
            written.append("".join(s.text for s in strip))
        assert all(line.isascii() for line in written), [c for c in "".join(written) if not c.isascii()]
        assert any("+-" in line for line in written)
        assert {len(line) for line in written} == {120}


def test_one_character_stands_for_one() -> None:
    plain = PlainCharacters(ascii_only=True)
    for text in ("╭─╮│╰╯▁▂▃▄▅▆▇█…·×é°石", "abc"):
        (found,) = plain.apply([Segment(text)], Color(0, 0, 0))
        assert found.text.isascii()
        assert found.cell_length == Segment(text).cell_length


@pytest.mark.long
async def test_a_bundle_of_ingots_is_stacked_and_tied_in_the_form(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        form = main_screen(app).query_one(FormPane)

        def field(label: str) -> FieldRow | None:
            return next((r for r in form.rows if r.field.label == label and r.display), None)

        async def fill(label: str, value: str) -> None:
            row = field(label)
            assert row is not None
            row.input.value = value
            await taken(pilot, 0.05)

        assert field("Ingots, high") is None
        await fill("Mass", "4 x 6 kg")
        await fill("Joined", "boxed")
        await fill("Mass", "4 x 7 kg")
        ingots = main_screen(app).session.boat.weight[0].ingots
        assert ingots is not None
        assert (ingots.each_kg, ingots.joined) == (7.0, "boxed")
        await fill("Joined", "")
        assert field("Tied by") is None
        for label, value in (("Ingots, long", "2"), ("Ingots, wide", "2"), ("Ingots, high", "1")):
            await fill(label, value)
        bundle = main_screen(app).session.boat.weight[0].bundle
        assert bundle is not None
        assert bundle.stack == (2, 2, 1)
        await fill("Ties", "2")
        bundle = main_screen(app).session.boat.weight[0].bundle
        assert bundle is not None
        assert bundle.ties[0].count == 2
        await settle(pilot)
        found = main_screen(app).session.states()["pigs"].verdict
        assert found is not None
        assert found.bundle is not None
        await pilot.press("f4")
        await taken(pilot, 0.2)
        assert found.bundle.sentence[:30] in " ".join(text_of(app).split())


def test_a_pull_may_be_given_as_the_spring_balance_shows_it() -> None:
    assert number("20 kg", "N") == pytest.approx(196.1)
    assert number("20 N", "N") == 20.0
    assert number("2 kN", "N") == 2000.0
    assert number("20 mm", "N") == "20 mm"
