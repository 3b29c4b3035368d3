"""The drawings as widgets, in an application of nothing else."""

from __future__ import annotations

import pytest
from textual import on
from textual.app import App, ComposeResult

from secure_load.boat.models import BoatFile
from secure_load.check.results import Colour
from secure_load.record.drawings.drawing_model import Picture, Words
from secure_load.record.drawings.heel_strip import StripCell, StripRow, columns
from secure_load.screen.app.messages import WeightChosen
from secure_load.screen.drawing import strip as strip_module
from secure_load.screen.drawing.pictures import PlanView, RoseView, SectionView
from secure_load.screen.drawing.strip import HeelStrip

BOAT = BoatFile.model_validate(
    {
        "schema": 1,
        "boat": {"name": "Dunlin", "lwl_m": 6.0, "bwl_m": 2.0},
        "weight": [
            {"id": "pigs", "mass_kg": 24.0, "at_m": [3.0, 0.0, -0.2], "size_m": [0.4, 0.3, 0.2]},
            {"id": "battery", "mass_kg": 20.0, "at_m": [2.0, 0.4, 0.0], "size_m": [0.3, 0.2, 0.2]},
        ],
    }
)


def row(weight: str, title: str, red_from: float, step: float = 5.0) -> StripRow:
    """Green to some heel to both sides, red beyond, and nothing run over 170 degrees."""

    def cell(heel: float) -> StripCell | None:
        if abs(heel) > 170.0:
            return None
        colour: Colour = "red" if abs(heel) >= red_from else "green"
        return StripCell(heel, colour, 0.5 if colour == "green" else 2.0, heel, "roll", 1.0, (0.0, 0.0, -1.0))

    return StripRow(weight, title, step, tuple(cell(heel) for heel in columns(step)))


ROWS = [row("pigs", "Pigs [b]bold[/b]", 90.0), row("battery", "Battery", 30.0), row("tools", "Werkzeug ü", 200.0)]


class Strips(App[None]):
    """A strip, and what it said."""

    def __init__(self) -> None:
        super().__init__()
        self.heels: list[float] = []
        self.chosen: list[str] = []

    def compose(self) -> ComposeResult:
        yield HeelStrip()

    def on_mount(self) -> None:
        self.strip.ascii_only = False
        self.strip.show(ROWS, "pigs", {"pigs": "amber"})
        self.strip.focus()

    @property
    def strip(self) -> HeelStrip:
        return self.query_one(HeelStrip)

    @on(HeelStrip.HeelChosen)
    def _heel(self, event: HeelStrip.HeelChosen) -> None:
        self.heels.append(event.heel)

    @on(WeightChosen)
    def _weight(self, event: WeightChosen) -> None:
        self.chosen.append(event.weight)

    def lines(self) -> list[str]:
        return [self.strip.render_line(y).text for y in range(self.strip.size.height)]


async def test_the_strip_shows_every_heel_of_every_weight() -> None:
    app = Strips()
    async with app.run_test(size=(100, 12)):
        lines = app.lines()
        assert len(lines) == len(ROWS) + 2
        label = 24
        assert lines[1].rstrip()[label:] == "··" + "R" * 17 + "G" * 35 + "R" * 17 + "··"
        assert lines[1].startswith(">A Pigs [b]bold[/b]")
        assert lines[2].startswith(" Battery")
        assert {"P180", "P90", "0", "S90", "S180"} == set(lines[0].split())
        assert lines[-1].startswith("upright: G, worked to 50 % (roll)")
        assert all(len(line) == 100 for line in lines)


async def test_keys_move_the_cursor_and_say_so() -> None:
    app = Strips()
    async with app.run_test(size=(100, 12)) as pilot:
        await pilot.press("right", "right", "left", "end", "right", "home", "left", "0")
        assert app.heels == [5.0, 10.0, 5.0, 180.0, 180.0, -180.0, -180.0, 0.0]
        await pilot.press("down", "down", "down", "up")
        assert app.chosen == ["battery", "tools", "battery"]
        await pilot.press("right", *["right"] * 6)
        assert app.lines()[-1].startswith("35 degrees to starboard: R")


async def test_setting_the_heel_from_outside_says_nothing() -> None:
    app = Strips()
    async with app.run_test(size=(100, 12)) as pilot:
        app.strip.heel = -95.0
        await pilot.pause()
        assert app.lines()[-1].startswith("95 degrees to port: R")
        assert app.heels == []


async def test_the_mouse_goes_to_heel_and_weight() -> None:
    app = Strips()
    async with app.run_test(size=(100, 12)) as pilot:
        # 24 cells of names, then a column for each five degrees from -180
        await pilot.click(HeelStrip, offset=(24 + 36 + 9, 2))
        assert app.heels == [45.0]
        assert app.chosen == ["battery"]
        await pilot.click(HeelStrip, offset=(3, 1))
        assert app.heels == [45.0]
        assert app.chosen == ["battery", "pigs"]


@pytest.mark.parametrize(("width", "step"), [(100, 5.0), (80, 5.0), (78, 10.0), (40, 15.0), (20, 30.0), (8, 180.0)])
async def test_a_narrow_strip_has_wider_columns_and_hides_no_red(width: int, step: float) -> None:
    app = Strips()
    async with app.run_test(size=(width, 12)):
        assert app.strip.step == step
        assert all(len(line) == width for line in app.lines())
        assert any("R" in line for line in app.lines()[1:3])


async def test_rows_that_find_no_room_scroll_with_the_chosen_one() -> None:
    app = Strips()
    async with app.run_test(size=(100, 12)) as pilot:
        app.strip.styles.height = 3
        await pilot.pause()
        await pilot.press("down", "down")
        assert ">Werkzeug ü" in app.lines()[1]


async def test_the_film_rolls_her_over_and_round_until_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(strip_module, "FRAME", 0.01)
    app = Strips()
    async with app.run_test(size=(100, 12)) as pilot:
        app.strip.heel = 170.0
        await pilot.press("space")
        assert app.strip.playing
        for _ in range(200):
            await pilot.pause(0.01)
            if len(app.heels) >= 4:
                break
        assert app.heels[:4] == [175.0, 180.0, -175.0, -170.0]
        await pilot.press("space")
        assert not app.strip.playing
        await pilot.press("space", "left")
        assert not app.strip.playing


async def test_an_empty_strip_says_so_and_takes_keys() -> None:
    app = Strips()
    async with app.run_test(size=(60, 12)) as pilot:
        app.strip.show([])
        await pilot.press("right", "down", "space")
        assert "No heel was run yet." in app.lines()[0]
        assert not app.strip.playing


async def test_a_strip_of_plain_characters() -> None:
    app = Strips()
    async with app.run_test(size=(100, 12)):
        app.strip.ascii_only = True
        assert "".join(app.lines()).isascii()
        assert ".." in app.lines()[1]


class Drawings(App[None]):
    """The three drawings below each other."""

    def compose(self) -> ComposeResult:
        yield SectionView()
        yield PlanView(legend=True)
        yield RoseView()


def text(view: SectionView | PlanView | RoseView) -> list[str]:
    return [view.render_line(y).text for y in range(view.size.height)]


async def test_the_drawings_fill_their_room_in_each_set_of_characters() -> None:
    app = Drawings()
    async with app.run_test(size=(80, 60)) as pilot:
        section, plan, rose = app.query_one(SectionView), app.query_one(PlanView), app.query_one(RoseView)
        section.show(BOAT, "pigs", 30.0, (0.0, -100.0, -200.0), {"pigs": "red"})
        plan.show(BOAT, "battery")
        for glyphs, sign in (("braille", "⠤"), ("quadrant", "▀"), ("ascii", "-")):
            section.glyphs = plan.glyphs = rose.glyphs = glyphs  # type: ignore[assignment]
            await pilot.pause()
            for view in (section, plan):
                lines = text(view)
                assert all(len(line) == 80 for line in lines)
                assert sign in "".join(lines)
            assert "1R" in "".join(text(section))
            assert "2" in "".join(text(plan))
        assert "".join(text(section)).isascii()
        assert any(line.startswith("1   pigs, 24.0 kg") for line in text(plan))
        assert text(rose)[0].startswith("Not worked out yet") or text(rose)[0].startswith("No picture yet")


async def test_a_weight_is_seen_from_near_with_z() -> None:
    app = Drawings()
    async with app.run_test(size=(80, 60)) as pilot:
        section = app.query_one(SectionView)
        section.glyphs = "ascii"
        section.show(BOAT, "pigs")
        section.focus()
        await pilot.pause()
        far = sum(line.count("%") for line in text(section))
        await pilot.press("z")
        assert sum(line.count("%") for line in text(section)) > 4 * far
        await pilot.press("z")
        assert sum(line.count("%") for line in text(section)) == far


async def test_what_cannot_be_drawn_is_said_in_a_sentence() -> None:
    app = Drawings()
    async with app.run_test(size=(80, 60)) as pilot:
        section = app.query_one(SectionView)
        section.show(BOAT, "nowhere")
        await pilot.pause()
        assert text(section)[0].startswith("Cannot be drawn: no weight 'nowhere'")
        section.show(BOAT, None)
        await pilot.pause()
        assert text(section)[0].startswith("No weight is chosen.")


async def test_names_from_a_file_are_never_markup() -> None:
    app = Drawings()
    async with app.run_test(size=(80, 30)) as pilot:
        rose = app.query_one(RoseView)
        rose.show(Picture("", "", (0.0, 0.0, 1.0, 1.0), (Words((0.5, 0.5), "[red]x[/]"),)))
        await pilot.pause()
        assert any("[red]x[/]" in line for line in text(rose))


async def test_without_colour_the_letters_and_the_cursor_are_left(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")

    class Plain(Strips):
        def __init__(self) -> None:
            super().__init__()
            self.ansi_color = True

    app = Plain()
    async with app.run_test(size=(100, 12)):
        strip = app.strip.render_line(1)
        assert "RG" in strip.text
        under = [segment for segment in strip if segment.style is not None and segment.style.reverse]
        assert [segment.text for segment in under] == ["G"]
