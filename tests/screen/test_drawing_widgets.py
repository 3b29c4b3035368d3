"""The drawings as widgets, in an application of nothing else."""

from __future__ import annotations

from textual.app import App, ComposeResult

from secure_load.boat.models import BoatFile
from secure_load.record.drawings.drawing_model import Picture, Words
from secure_load.record.drawings.plan import plan_picture
from secure_load.record.drawings.section import section_picture
from secure_load.screen.drawing.view import PictureView

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
    """Three drawings below each other."""

    def compose(self) -> ComposeResult:
        yield PictureView(id="section")
        yield PictureView(id="plan", legend=True)
        yield PictureView(id="rose")

    @property
    def views(self) -> tuple[PictureView, PictureView, PictureView]:
        section, plan, rose = self.query(PictureView)
        return section, plan, rose


def text(view: PictureView) -> list[str]:
    return [view.render_line(y).text for y in range(view.size.height)]


async def test_the_drawings_fill_their_room_in_each_set_of_characters() -> None:
    app = Drawings()
    async with app.run_test(size=(80, 60)) as pilot:
        section, plan, rose = app.views
        section.picture = section_picture(BOAT, "pigs", 30.0, (0.0, -100.0, -200.0), {"pigs": "red"})
        plan.picture = plan_picture(BOAT, "battery", None)
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
        assert text(rose)[0].startswith("No picture yet")


async def test_a_weight_is_seen_alone() -> None:
    app = Drawings()
    async with app.run_test(size=(80, 60)) as pilot:
        section, *_ = app.views
        section.glyphs = "ascii"
        filled: list[int] = []
        for close in (False, True):
            section.picture = section_picture(BOAT, "pigs", 0.0, close=close)
            await pilot.pause()
            filled.append(sum(line.count("%") for line in text(section)))
        assert filled[1] > 4 * filled[0]


async def test_names_from_a_file_are_never_markup() -> None:
    app = Drawings()
    async with app.run_test(size=(80, 30)) as pilot:
        rose = app.views[2]
        rose.picture = Picture("", "", (0.0, 0.0, 1.0, 1.0), (Words((0.5, 0.5), "[red]x[/]"),))
        await pilot.pause()
        assert any("[red]x[/]" in line for line in text(rose))
