"""A picture in a widget: drawn afresh for its size, in the characters and the colours that the terminal has.

What the boat's own text says passes through as text; nothing in it is read as markup.
"""

from __future__ import annotations

import sys
from typing import ClassVar, get_args

from rich.cells import set_cell_size
from rich.segment import Segment
from rich.style import Style as RichStyle
from textual import events
from textual.geometry import Size
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from secure_load.record.drawings.drawing_model import Picture, Style
from secure_load.screen.drawing.glyphs import GlyphSet, usual_glyphs
from secure_load.screen.drawing.raster import Row, Run, rasterise

STYLES: tuple[Style, ...] = get_args(Style)


def terminal_glyphs() -> GlyphSet:
    """The finest characters that the terminal shows."""
    # While a screen answers a key, what stands for standard output catches prints and has no encoding; the screen
    # itself is written to standard error.
    encoding = getattr(sys.stdout, "encoding", None) or getattr(sys.__stderr__, "encoding", None)
    return usual_glyphs(encoding)


class PictureView(Widget):
    """Shows one picture, as large as there is room for.

    Give it one by ``picture``; None shows ``empty``. ``glyphs`` picks the characters (``braille``, ``quadrant``,
    ``ascii``), the terminal's best unless told otherwise. ``legend`` puts the legend and the notes below the drawing
    where that leaves the drawing most of the room. Posts no messages.
    """

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"picture--{style}" for style in STYLES}
    DEFAULT_CSS = """
    PictureView {
        height: 1fr;
        width: 1fr;
        & .picture--hull { color: $foreground; text-style: bold; }
        & .picture--waterline { color: $primary; }
        & .picture--axis { color: $secondary; }
        & .picture--grid { color: $secondary; }
        & .picture--weight { color: $secondary; }
        & .picture--weight-chosen { color: $foreground; text-style: bold; }
        & .picture--bed { color: $accent; }
        & .picture--cleat { color: $accent; text-style: bold; }
        & .picture--batten { color: $accent; text-style: bold; }
        & .picture--line { color: $primary; }
        & .picture--tie { color: $primary; }
        & .picture--bolt { color: $foreground; }
        & .picture--bond { color: $accent; }
        & .picture--neighbour { color: $foreground; }
        & .picture--load { color: $error; text-style: bold; }
        & .picture--holds { color: $success; text-style: bold; }
        & .picture--demand { color: $warning; }
        & .picture--beyond { color: $error; text-style: bold; }
        & .picture--green { color: $success; text-style: bold; }
        & .picture--amber { color: $warning; text-style: bold; }
        & .picture--red { color: $error; text-style: bold; }
        & .picture--words { color: $foreground; }
    }
    """

    picture: reactive[Picture | None] = reactive(None)
    glyphs: reactive[GlyphSet | None] = reactive(None)
    legend: reactive[bool] = reactive(False)
    empty: reactive[str] = reactive("No picture yet.")

    MOST_BELOW = 0.4
    """Share of the height that the legend may take."""

    def __init__(
        self, *, name: str | None = None, id: str | None = None, classes: str | None = None, legend: bool = False
    ) -> None:
        super().__init__(name=name, id=id, classes=classes)
        self.set_reactive(PictureView.legend, legend)
        self._rows: list[Row] = []
        self._drawn: tuple[object, ...] = ()

    def rows(self) -> list[Row]:
        """What is shown now, as runs of characters."""
        size = self.size
        key = (id(self.picture), size.width, size.height, self.glyphs, self.legend, self.empty)
        if key != self._drawn:
            self._rows = self._draw(size)
            self._drawn = key
        return self._rows

    def _draw(self, size: Size) -> list[Row]:
        glyphs = self.glyphs or terminal_glyphs()
        if self.picture is None:
            return [(Run(self.empty, "words"),)]
        below: list[Row] = []
        if self.legend:
            below = [(Run(f"{e.mark:<4}", e.style), Run(e.text, "words")) for e in self.picture.legend]
            below += [(Run(note, "axis"),) for note in self.picture.notes]
            below = below[: int(size.height * self.MOST_BELOW)]
        return [*rasterise(self.picture, size.width, size.height - len(below), glyphs), *below]

    def ink(self, style: Style | None) -> RichStyle:
        """How a style looks in the theme that is on."""
        if style is None:
            return self.rich_style
        return self.get_component_rich_style(f"picture--{style}")

    def render_line(self, y: int) -> Strip:
        """One row of the drawing."""
        rows = self.rows()
        width = self.size.width
        if y >= len(rows):
            return Strip.blank(width, self.rich_style)
        plain = self.glyphs == "ascii" or (self.glyphs is None and terminal_glyphs() == "ascii")
        segments = [Segment(_fit(run.text, plain), self.ink(run.style)) for run in rows[y]]
        return Strip(segments).adjust_cell_length(width, self.rich_style).simplify()

    def on_resize(self, event: events.Resize) -> None:
        """Another size is another drawing."""
        self.refresh()

    def watch_picture(self) -> None:
        """A new picture may have the old one's place in memory."""
        self._drawn = ()


def _fit(text: str, plain: bool) -> str:
    return text.encode("ascii", "replace").decode("ascii") if plain else text


def cut(text: str, width: int) -> str:
    """Text cut or filled to a width in cells."""
    return set_cell_size(text, max(width, 0))
