"""A curve of righting moment or lever in a widget, as large as there is room for, its legend below it."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from secure_load.record.drawings.curve import TALL
from secure_load.record.drawings.drawing_model import Picture
from secure_load.record.text.afloat_words import NO_CURVE
from secure_load.screen.afloat.lines import legend_lines
from secure_load.screen.app.themes import coloured
from secure_load.screen.drawing.raster import CELL, Row, rasterise
from secure_load.screen.drawing.view import PictureView, terminal_glyphs

Make = Callable[[float], Picture | None]
"""Makes the picture so tall over its width; None where her shape is not known."""


class CurveView(PictureView):
    """The drawing alone. Another size is another picture: a curve may be stretched, and a boat may not."""

    def __init__(self) -> None:
        super().__init__()
        self._make: Make | None = None
        self._made: list[Row] = []
        self._made_for: tuple[object, ...] = ()

    def show(self, make: Make) -> None:
        """Show this picture."""
        self._make, self._made_for = make, ()
        self.refresh()

    def rows(self) -> list[Row]:
        """What is shown now, made for the size there is."""
        width, height = self.size
        wanted = (width, height, self.glyphs)
        if wanted != self._made_for:
            self._made_for, self._made = wanted, self._rows_for(width, height)
        return self._made

    def _rows_for(self, width: int, height: int) -> list[Row]:
        if self._make is None or width < 4 or height < 4:
            return []
        picture = self._make(height * CELL / width)
        return [] if picture is None else rasterise(picture, width, height, self.glyphs or terminal_glyphs())


class CurvePane(Vertical):
    """The drawing, and under it what is what."""

    def compose(self) -> ComposeResult:
        yield CurveView()
        yield Static(classes="legend", markup=False)

    def show(self, make: Make) -> None:
        """Show this picture; where there is no curve, why."""
        picture = make(TALL)
        lines = [[("", NO_CURVE)]] if picture is None else legend_lines(picture)
        self.query_one(".legend", Static).update(coloured(*lines))
        view = self.query_one(CurveView)
        view.display = picture is not None
        view.show(make)
