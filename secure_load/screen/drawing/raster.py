"""A picture as rows of characters. Knows no terminal library: text and style names go out, nothing is printed.

Every cell has a grid of dots (2 x 4 in braille, 2 x 2 in quadrant blocks, one in ASCII, where the slope of a line
picks its character). A cell has one style, that of the last shape drawn in it. Words are put in after the dots and
keep out of each other's way; of two that want one place the first keeps it.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import get_args

import numpy as np

from secure_load.record.drawings.drawing_model import Area, Arrow, Mark, Picture, Spot, Stroke, Style, Words
from secure_load.screen.drawing.glyphs import BRAILLE, BY_NAME, Glyphs, GlyphSet

CELL = 2.0
"""Height of a terminal's cell over its width, unless told otherwise."""

_BITS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
"""Which dot of a braille cell is which bit (Unicode, block Braille Patterns)."""
_BRAILLE = [chr(0x2800 + n) if n else " " for n in range(256)]
_QUADRANT = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
"""By bits: 1 upper left, 2 upper right, 4 lower left, 8 lower right."""

_HATCH: dict[Style, tuple[int, int]] = {"bed": (2, 1), "bond": (3, 1), "weight-chosen": (2, 2)}
"""Of so many dots in a row one is drawn, in one of so many rows; what is not here is filled."""
_DASHED: dict[Style, int] = {"axis": 4, "grid": 3, "tie": 2}
"""Of so many dots along the line one is drawn."""
_ASCII_FILL: dict[Style, str] = {"bed": ":", "bond": ";", "cleat": "#", "batten": "=", "weight-chosen": "%"}
_ASCII_MARK: dict[Style, str] = {"demand": "+", "beyond": "x", "holds": "o"}
_ASCII_LINE: dict[Style, str] = {
    "waterline": "~",
    "axis": ".",
    "grid": ".",
    "tie": "'",
    "holds": "o",
    # timber is most often thinner than a cell: its outline is all there is of it
    "bed": ":",
    "bond": ";",
    "cleat": "#",
    "batten": "=",
}
"""Lines drawn with one character whichever way they run; the others follow their slope."""


@dataclass(frozen=True)
class Run:
    """Some characters of one style; None where nothing is drawn."""

    text: str
    style: Style | None


Row = tuple[Run, ...]


_STYLES: tuple[Style, ...] = get_args(Style)
_PLACE: dict[Style, int] = {style: place for place, style in enumerate(_STYLES)}


@dataclass
class _Canvas:
    """Dots and styles as they are drawn, row after row.

    Plain bytes and plain loops: a picture has some thousand dots in hundreds of small shapes, and calling numpy for
    each shape costs more than the dots themselves.
    """

    glyphs: Glyphs
    width: int
    height: int
    scale_x: float
    scale_y: float
    left: float
    top: float
    offset_x: float
    offset_y: float
    dots: bytearray
    """height x down rows of width x across."""
    style: bytearray
    """One for each cell: place in ``_STYLES``."""
    letters: list[str]
    """One for each cell, of the ASCII set."""

    @property
    def dots_across(self) -> int:
        return self.width * self.glyphs.across

    @property
    def dots_down(self) -> int:
        return self.height * self.glyphs.down

    def place(self, spot: Spot) -> Spot:
        """A spot of the picture in dots, not yet rounded."""
        return (spot[0] - self.left) * self.scale_x + self.offset_x, (self.top - spot[1]) * self.scale_y + self.offset_y

    def put(self, x: int, y: int, style: int, letter: str) -> None:
        """One dot; nothing where it is outside."""
        across = self.dots_across
        if 0 <= x < across and 0 <= y < self.dots_down:
            self.dots[y * across + x] = 1
            cell = (y // self.glyphs.down) * self.width + x // self.glyphs.across
            self.style[cell] = style
            if self.glyphs.across == 1:
                self.letters[cell] = letter


def rasterise(
    picture: Picture, width: int, height: int, glyphs: GlyphSet | Glyphs = BRAILLE, cell: float = CELL
) -> list[Row]:
    """The picture in ``width`` x ``height`` cells: ``height`` rows of runs that fill the width.

    ``cell``: height of a cell over its width, so that a square stays square. No room gives empty rows.
    """
    chosen = BY_NAME[glyphs] if isinstance(glyphs, str) else glyphs
    if width < 1 or height < 1:
        return [() for _ in range(max(height, 0))]
    canvas = _canvas(picture, width, height, chosen, cell)
    for shape in picture.shapes:
        match shape:
            case Area():
                _area(canvas, shape)
            case Stroke():
                _line(canvas, [canvas.place(spot) for spot in shape.points], shape.style)
            case Arrow():
                _arrow(canvas, shape)
            case Mark():
                _mark(canvas, shape)
            case Words():
                pass
    cells = _characters(canvas)
    taken = [[False] * width for _ in range(height)]
    for shape in picture.shapes:
        if isinstance(shape, Words):
            _words(canvas, cells, taken, shape)
    return [_row(row, canvas.style[y * width : (y + 1) * width]) for y, row in enumerate(cells)]


def plain_rows(rows: Sequence[Row]) -> list[str]:
    """The characters alone."""
    return ["".join(run.text for run in row) for row in rows]


def _canvas(picture: Picture, width: int, height: int, glyphs: Glyphs, cell: float) -> _Canvas:
    left, bottom, right, top = picture.window
    across, up = max(right - left, 1e-9), max(top - bottom, 1e-9)
    # in cell widths per metre
    scale = min(width / across, height * cell / up)
    scale_x, scale_y = scale * glyphs.across, scale / cell * glyphs.down
    return _Canvas(
        glyphs=glyphs,
        width=width,
        height=height,
        scale_x=scale_x,
        scale_y=scale_y,
        left=left,
        top=top,
        offset_x=0.5 * (width * glyphs.across - across * scale_x),
        offset_y=0.5 * (height * glyphs.down - up * scale_y),
        dots=bytearray(width * glyphs.across * height * glyphs.down),
        style=bytearray(width * height),
        letters=[" "] * (width * height),
    )


def _line(canvas: _Canvas, points: Sequence[Spot], style: Style, closed: bool = False) -> None:
    """Dots along a line, evenly dashed where the style is."""
    place, dash = _PLACE[style], _DASHED.get(style, 1) if canvas.glyphs.across > 1 else 1
    fixed = _ASCII_LINE.get(style)
    wide, deep = float(canvas.dots_across), float(canvas.dots_down)
    # names of their own: this is where the time of a picture goes
    dots, styles, letters = canvas.dots, canvas.style, canvas.letters
    across, width, last_x, last_y = canvas.dots_across, canvas.width, canvas.dots_across - 1, canvas.dots_down - 1
    cell_across, cell_down = canvas.glyphs.across, canvas.glyphs.down
    run = 0
    for start, end in pairwise([*points, points[0]] if closed else points):
        cut = _inside(start, end, wide, deep)
        if cut is None:
            continue
        (x1, y1), (x2, y2) = cut
        dx, dy = x2 - x1, y2 - y1
        steps = max(math.ceil(max(abs(dx), abs(dy))), 1)
        letter = fixed or _slope(dx, dy)
        # the last dot of a piece is the first of the next, and counts once
        first, run = -run % dash, run + steps
        step_x, step_y = dx / steps, dy / steps
        for i in range(first, steps + 1, dash):
            # what lies on the far edge belongs to the last dot
            x, y = min(int(x1 + step_x * i), last_x), min(int(y1 + step_y * i), last_y)
            dots[y * across + x] = 1
            cell = (y // cell_down) * width + x // cell_across
            styles[cell] = place
            if cell_across == 1:
                letters[cell] = letter


def _inside(start: Spot, end: Spot, wide: float, deep: float) -> tuple[Spot, Spot] | None:
    """The part of a piece of line that lies on the canvas; None where none does (Liang and Barsky's way)."""
    (x, y), dx, dy = start, end[0] - start[0], end[1] - start[1]
    first, last = 0.0, 1.0
    for away, room in ((-dx, x), (dx, wide - x), (-dy, y), (dy, deep - y)):
        if away == 0.0:
            if room < 0.0:
                return None
            continue
        at = room / away
        if away < 0.0:
            first = max(first, at)
        else:
            last = min(last, at)
    if first > last:
        return None
    return (x + first * dx, y + first * dy), (x + last * dx, y + last * dy)


def _slope(dx: float, dy: float) -> str:
    """The character that lies most like a piece of line, measured in cells.

    >>> _slope(4.0, 0.0), _slope(0.0, 3.0), _slope(4.0, 2.0), _slope(4.0, -2.0)
    ('-', '|', '\\\\', '/')
    """
    # a cell is twice as high as wide: a line of 45 degrees falls half a cell for each cell across
    steep = math.degrees(math.atan2(abs(dy) * CELL, abs(dx)))
    if steep < 27.0:
        return "-"
    return "|" if steep > 67.0 else "\\" if dx * dy > 0.0 else "/"


def _area(canvas: _Canvas, shape: Area) -> None:
    points = [canvas.place(spot) for spot in shape.points]
    if shape.filled:
        _fill(canvas, points, shape.style)
    _line(canvas, points, shape.style, closed=True)


def _fill(canvas: _Canvas, points: Sequence[Spot], style: Style) -> None:
    """Clear what was drawn inside an outline, then hatch it or fill it (even-odd rule at the dots' middles)."""
    place, across = _PLACE[style], canvas.dots_across
    ascii_only = canvas.glyphs.across == 1
    letter = _ASCII_FILL.get(style, " ")
    first = max(math.floor(min(y for _, y in points)), 0)
    last = min(math.ceil(max(y for _, y in points)), canvas.dots_down)
    sides = list(pairwise([*points, points[0]]))
    for y in range(first, last):
        middle = y + 0.5
        met = sorted(
            x1 + (middle - y1) * (x2 - x1) / (y2 - y1) for (x1, y1), (x2, y2) in sides if (y1 > middle) != (y2 > middle)
        )
        for begin, end in zip(met[::2], met[1::2], strict=True):
            low, high = max(math.ceil(begin - 0.5), 0), min(math.ceil(end - 0.5), across)
            if high <= low:
                continue
            canvas.dots[y * across + low : y * across + high] = bytes(high - low)
            if ascii_only:
                canvas.letters[y * across + low : y * across + high] = letter * (high - low)
            if letter == " ":
                continue
            step, phase = _HATCH.get(style, (1, 1)) if not ascii_only else (1, 1)
            if y % phase:
                continue
            for x in range(low, high):
                # diagonal hatching where every row is drawn, a lattice where some are left out
                if (x + (y if phase == 1 else 0)) % step == 0:
                    canvas.put(x, y, place, letter)


def _arrow(canvas: _Canvas, shape: Arrow) -> None:
    tail, head = canvas.place(shape.tail), canvas.place(shape.head)
    _line(canvas, [tail, head], shape.style)
    # barbs are drawn as long on the page whichever way the arrow points
    tall = canvas.scale_x / canvas.scale_y
    run = head[0] - tail[0], (head[1] - tail[1]) * tall
    length = math.hypot(*run)
    if canvas.glyphs.across == 1:
        sideways = abs(run[0]) > abs(run[1])
        letter = (">" if run[0] > 0 else "<") if sideways else ("v" if run[1] > 0 else "^")
        canvas.put(math.floor(head[0]), math.floor(head[1]), _PLACE[shape.style], letter)
        return
    if length < 1e-9:
        return
    size = min(5.0, 0.6 * length)
    for turn in (0.5, -0.5):
        c, s = math.cos(turn) * size / length, math.sin(turn) * size / length
        barb = c * run[0] - s * run[1], s * run[0] + c * run[1]
        _line(canvas, [head, (head[0] - barb[0], head[1] - barb[1] / tall)], shape.style)


def _mark(canvas: _Canvas, shape: Mark) -> None:
    x, y = (math.floor(v) for v in canvas.place(shape.at))
    letter, place = _ASCII_MARK.get(shape.style, "o"), _PLACE[shape.style]
    # a mark of four dots is seen beside a line, one is not; of demand there are hundreds, and one each must do
    beside = ((0, 0),) if shape.style == "demand" or canvas.glyphs.across == 1 else ((0, 0), (1, 0), (0, 1), (1, 1))
    for dx, dy in beside[:2] if shape.style == "beyond" else beside:
        canvas.put(x + dx, y + dy, place, letter)


def _characters(canvas: _Canvas) -> list[list[str]]:
    """One character for each cell."""
    across, down, width = canvas.glyphs.across, canvas.glyphs.down, canvas.width
    if across == 1:
        return [canvas.letters[y * width : (y + 1) * width] for y in range(canvas.height)]
    grid = np.frombuffer(canvas.dots, dtype=np.uint8).reshape(canvas.height, down, width, across)
    bits, table = (_BITS, _BRAILLE) if canvas.glyphs.name == "braille" else (np.array([[1, 2], [4, 8]]), _QUADRANT)
    codes = np.tensordot(grid, bits, axes=((1, 3), (0, 1)))
    return [[table[code] for code in row] for row in codes.tolist()]


def _cells_of(text: str, ascii_only: bool) -> list[str]:
    """A text cell by cell; a broad character is followed by an empty cell, a combining one joins the one before."""
    cells: list[str] = []
    for each in text.encode("ascii", "replace").decode("ascii") if ascii_only else text:
        if unicodedata.combining(each):
            if cells:
                cells[-1] += each
            continue
        cells.append(each if each.isprintable() else "?")
        if unicodedata.east_asian_width(each) in "WF":
            cells.append("")
    return cells


def _words(canvas: _Canvas, cells: list[list[str]], taken: list[list[bool]], shape: Words) -> None:
    text = _cells_of(shape.text, canvas.glyphs.across == 1)[: canvas.width]
    if not text:
        return
    at = canvas.place(shape.at)
    x, y = at[0] / canvas.glyphs.across, at[1] / canvas.glyphs.down
    back = {"start": 0.0, "middle": 0.5 * len(text), "end": float(len(text))}[shape.anchor]
    if not (-1.0 <= x <= canvas.width + 1.0 and -1.0 <= y <= canvas.height + 1.0):
        return  # what it belongs to is out of sight
    column = min(max(round(x - back), 0), canvas.width - len(text))
    end = column + len(text)
    wanted = min(max(math.floor(y), 0), canvas.height - 1)
    for row in (wanted, wanted + 1, wanted - 1):
        if 0 <= row < canvas.height and not any(taken[row][column:end]):
            cells[row][column:end] = text
            canvas.style[row * canvas.width + column : row * canvas.width + end] = bytes(
                [_PLACE[shape.style]] * len(text)
            )
            # one free cell on either side, or two words read as one
            for each in range(max(column - 1, 0), min(end + 1, canvas.width)):
                taken[row][each] = True
            return


def _row(cells: list[str], styles: bytearray) -> Row:
    """Cells as runs of one style; a blank cell has none."""
    own = [-1 if cell == " " else style for cell, style in zip(cells, styles, strict=True)]
    runs: list[Run] = []
    start = 0
    for end in range(1, len(cells) + 1):
        if end == len(cells) or own[end] != own[start]:
            style = _STYLES[own[start]] if own[start] >= 0 else None
            runs.append(Run("".join(cells[start:end]), style))
            start = end
    return tuple(runs)
