"""The drawings as widgets, in an application of nothing else."""

from __future__ import annotations

from textual.app import App, ComposeResult

from secure_load.boat.models import BoatFile
from secure_load.record.drawings.drawing_model import Picture, Words
from secure_load.screen.drawing.pictures import PlanView, RoseView, SectionView

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


async def test_a_weight_is_seen_alone() -> None:
    app = Drawings()
    async with app.run_test(size=(80, 60)) as pilot:
        section = app.query_one(SectionView)
        section.glyphs = "ascii"
        section.show(BOAT, "pigs")
        await pilot.pause()
        far = sum(line.count("%") for line in text(section))
        section.zoom()
        await pilot.pause()
        assert sum(line.count("%") for line in text(section)) > 4 * far
        section.zoom()
        await pilot.pause()
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
