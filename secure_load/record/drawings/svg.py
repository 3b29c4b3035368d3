"""A picture as SVG: one self-contained file, no scripts, nothing fetched, fit for A4 and for a black-and-white printer.

What a shape stands for is told by hatching, dashes and letters as well as by colour. The title and the description
are there for those who cannot see it. All text is escaped; figures are written with a fixed number of decimals, so
that the same picture gives the same bytes everywhere.
"""

from __future__ import annotations

import math
import textwrap
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from secure_load.record.drawings.drawing_model import (
    Area,
    Arrow,
    Legend,
    Mark,
    Picture,
    Shape,
    Spot,
    Stroke,
    Style,
    Words,
)
from secure_load.record.text.text_layout import plain

PAGE = 180.0
"""mm; the width of A4 less its margins."""
TALLEST = 190.0
"""mm of the drawing itself, so that the words under it still go on the page."""
EDGE = 3.0
TEXT = 3.4
"""mm; height of the letters."""
LINE = 4.6
"""mm from line to line."""


@dataclass(frozen=True)
class _Pen:
    """How a style looks. ``hatch`` fills what is filled; a plain colour where it begins with #."""

    ink: str
    width: float
    dash: str = ""
    hatch: str = "none"


_PENS: dict[Style, _Pen] = {
    "hull": _Pen("#202020", 0.7),
    "waterline": _Pen("#1c5a86", 0.4, "4 1.2"),
    "axis": _Pen("#606060", 0.18, "1.5 1.5"),
    "grid": _Pen("#909090", 0.18),
    "weight": _Pen("#404040", 0.3, "", "#ffffff"),
    "weight-chosen": _Pen("#000000", 0.6, "", "lead"),
    "bed": _Pen("#5a4a2a", 0.2, "", "bed"),
    "cleat": _Pen("#3a2a10", 0.25, "", "#b9a27a"),
    "batten": _Pen("#3a2a10", 0.25, "", "grain"),
    "line": _Pen("#6b3fa0", 0.5, "2 0.7"),
    "tie": _Pen("#a03f6b", 0.4, "0.8 0.8"),
    "bolt": _Pen("#303030", 0.6),
    "bond": _Pen("#2a5a5a", 0.2, "", "bond"),
    "neighbour": _Pen("#404040", 0.4),
    "load": _Pen("#a8141d", 0.8),
    "holds": _Pen("#17632f", 0.7),
    "demand": _Pen("#6f4a00", 0.2),
    "beyond": _Pen("#a8141d", 0.4),
    "green": _Pen("#17632f", 0.4),
    "amber": _Pen("#6f4a00", 0.4),
    "red": _Pen("#a8141d", 0.4),
    "words": _Pen("#202020", 0.3),
}


@dataclass(frozen=True)
class _Hatch:
    """Lines that fill an area: how far apart, mm, and at which slopes, mm down for each mm across."""

    apart: float
    slopes: tuple[float, ...]
    ink: str
    width: float


_HATCHES = {
    "lead": _Hatch(2.0, (-1.0,), "#555555", 0.22),
    "bed": _Hatch(1.4, (1.0,), "#5a4a2a", 0.25),
    "grain": _Hatch(0.9, (0.0,), "#5a4a2a", 0.2),
    "bond": _Hatch(1.4, (1.0, -1.0), "#2a5a5a", 0.15),
}


def to_svg(picture: Picture, name: str = "picture", width: float = PAGE, tallest: float = TALLEST) -> str:
    """A picture as SVG text, of a width and at most a height of its drawing in mm; letters keep their size.

    ``name`` keeps its inner names apart from those of others in the same HTML page.
    """
    left, bottom, right, top = picture.window
    scale = min((width - 2 * EDGE) / (right - left), tallest / (top - bottom))
    head = _wrapped(picture.title, width, 1.25)
    height_of_head = EDGE + LINE * 1.25 * len(head) + 2.0
    across = 0.5 * (width - scale * (right - left))
    sheet = _Sheet(scale, across - scale * left, height_of_head + scale * top, _safe_name(name))
    drawn_to = height_of_head + scale * (top - bottom)
    out: list[str] = []
    out += _clipped(
        sheet,
        [_shape(each, sheet, n) for n, each in enumerate(picture.shapes)],
        height_of_head,
        drawn_to,
        (across, width),
    )
    below, end = _below(picture, drawn_to + LINE + 1.0, width)
    height = end + EDGE
    title = [
        _text(EDGE, EDGE + LINE * 1.25 * (n + 0.8), line, "#000000", "start", 1.25, True) for n, line in _each(head)
    ]
    marks = f"{sheet.name}-title {sheet.name}-said"
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{_mm(width)}mm" height="{_mm(height)}mm" '
            f'viewBox="0 0 {_mm(width)} {_mm(height)}" role="img" aria-labelledby={quoteattr(marks)}>',
            f'<title id="{sheet.name}-title">{_escaped(picture.title)}</title>',
            f'<desc id="{sheet.name}-said">{_escaped(" ".join([picture.description, *picture.notes]))}</desc>',
            f'<rect x="0" y="0" width="{_mm(width)}" height="{_mm(height)}" fill="#ffffff"/>',
            *title,
            *out,
            *below,
            "</svg>",
            "",
        ]
    )


@dataclass(frozen=True)
class _Sheet:
    """Where a spot of the picture lies on the page, in mm."""

    scale: float
    across: float
    down: float
    name: str

    def at(self, spot: Spot) -> tuple[float, float]:
        return self.across + self.scale * spot[0], self.down - self.scale * spot[1]

    def path(self, points: Sequence[Spot]) -> str:
        return " ".join(f"{_mm(x)},{_mm(y)}" for x, y in map(self.at, points))


def _mm(value: float) -> str:
    """Two decimals, a hundredth of a millimetre, and no negative nil.

    >>> _mm(-0.001), _mm(12.345678)
    ('0.00', '12.35')
    """
    return f"{round(float(value), 2) + 0.0:.2f}"


def _each(lines: list[str]) -> list[tuple[int, str]]:
    return list(enumerate(lines))


def _safe_name(name: str) -> str:
    """A name fit for an id: letters, figures and hyphens, beginning with a letter."""
    kept = "".join(c if c.isascii() and (c.isalnum() or c == "-") else "-" for c in name)
    return kept if kept[:1].isalpha() else f"p-{kept}"


def _escaped(text: str) -> str:
    return escape(plain(text))


def _clipped(sheet: _Sheet, shapes: list[str], top: float, bottom: float, sides: tuple[float, float]) -> list[str]:
    across, width = sides
    box = f'<rect x="{_mm(across)}" y="{_mm(top)}" width="{_mm(width - 2 * across)}" height="{_mm(bottom - top)}"/>'
    return [
        f'<clipPath id="{sheet.name}-window">{box}</clipPath>',
        f'<g clip-path="url(#{sheet.name}-window)" stroke-linejoin="round">',
        *shapes,
        "</g>",
    ]


def _filled(corners: Sequence[tuple[float, float]], pen: _Pen, name: str) -> str:
    """An area with its fill and outline; ``corners`` in mm on the page.

    Hatching is drawn line by line inside a clipping path: a pattern becomes hundreds of kilobytes when it is printed.
    """
    points = " ".join(f"{_mm(x)},{_mm(y)}" for x, y in corners)
    hatch = _HATCHES.get(pen.hatch)
    if hatch is None:
        return f'<polygon points="{points}" fill="{pen.hatch}" {_ink(pen)}/>'
    clip = f'<clipPath id="{name}"><polygon points="{points}"/></clipPath>'
    lines = " ".join(_hatch_lines(corners, hatch))
    drawn = f'<path d="{lines}" clip-path="url(#{name})" stroke="{hatch.ink}" stroke-width="{hatch.width:g}"/>'
    return f'{clip}<polygon points="{points}" fill="#ffffff" {_ink(pen)}/>{drawn}'


def _hatch_lines(corners: Sequence[tuple[float, float]], hatch: _Hatch) -> list[str]:
    """Lines right across the rectangle round an area, as pieces of a path."""
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    top, bottom = min(y for _, y in corners), max(y for _, y in corners)
    found: list[str] = []
    for slope in hatch.slopes:
        fall = slope * (right - left)
        start, end = min(top, top - fall), max(bottom, bottom - fall)
        for n in range(int((end - start) / hatch.apart) + 1):
            y = start + n * hatch.apart
            found.append(f"M{_mm(left)} {_mm(y)} L{_mm(right)} {_mm(y + fall)}")
    return found


def _ink(pen: _Pen) -> str:
    dash = f' stroke-dasharray="{pen.dash}"' if pen.dash else ""
    return f'stroke="{pen.ink}" stroke-width="{pen.width:g}"{dash}'


def _shape(shape: Shape, sheet: _Sheet, number: int) -> str:
    pen = _PENS[shape.style]
    match shape:
        case Area():
            if not shape.filled:
                return f'<polygon points="{sheet.path(shape.points)}" fill="none" {_ink(pen)}/>'
            return _filled([sheet.at(each) for each in shape.points], pen, f"{sheet.name}-{number}")
        case Stroke():
            return f'<polyline points="{sheet.path(shape.points)}" fill="none" {_ink(pen)}/>'
        case Arrow():
            return _arrow(shape, pen, sheet)
        case Mark():
            return _mark(shape, pen, sheet)
        case Words():
            x, y = sheet.at(shape.at)
            heavy = shape.style in ("weight-chosen", "red", "amber", "green", "load")
            return _text(x, y + 0.35 * TEXT, shape.text, pen.ink, shape.anchor, 0.9, heavy, halo=True)


def _arrow(arrow: Arrow, pen: _Pen, sheet: _Sheet) -> str:
    (x1, y1), (x2, y2) = sheet.at(arrow.tail), sheet.at(arrow.head)
    length = math.hypot(x2 - x1, y2 - y1)
    if length < 1e-6:
        return ""
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    size = min(3.6, 0.6 * length)
    root = (x2 - ux * size, y2 - uy * size)
    wing = 0.36 * size
    barbs = [(x2, y2), (root[0] - uy * wing, root[1] + ux * wing), (root[0] + uy * wing, root[1] - ux * wing)]
    head = " ".join(f"{_mm(x)},{_mm(y)}" for x, y in barbs)
    return (
        f'<line x1="{_mm(x1)}" y1="{_mm(y1)}" x2="{_mm(root[0])}" y2="{_mm(root[1])}" {_ink(pen)}/>'
        f'<polygon points="{head}" fill="{pen.ink}"/>'
    )


def _mark(mark: Mark, pen: _Pen, sheet: _Sheet) -> str:
    x, y = sheet.at(mark.at)
    if mark.style == "beyond":
        a = 0.7
        return (
            f'<path d="M{_mm(x - a)} {_mm(y - a)} L{_mm(x + a)} {_mm(y + a)} '
            f'M{_mm(x - a)} {_mm(y + a)} L{_mm(x + a)} {_mm(y - a)}" {_ink(pen)}/>'
        )
    radius = 0.35 if mark.style == "demand" else 0.9
    return f'<circle cx="{_mm(x)}" cy="{_mm(y)}" r="{_mm(radius)}" fill="{pen.ink}"/>'


def _text(
    x: float, y: float, text: str, ink: str, anchor: str, size: float, heavy: bool = False, halo: bool = False
) -> str:
    weight = ' font-weight="bold"' if heavy else ""
    words = (
        f'<text x="{_mm(x)}" y="{_mm(y)}" font-family="sans-serif" font-size="{_mm(TEXT * size)}" fill="{ink}"'
        f' text-anchor="{anchor}"{weight}>{_escaped(text)}</text>'
    )
    if not halo:
        return words
    # letters over lines stand on a patch of white, so that they can be read
    height, width = TEXT * size, 0.58 * TEXT * size * len(text)
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * width
    patch = f'x="{_mm(left)}" y="{_mm(y - 0.8 * height)}" width="{_mm(width)}" height="{_mm(height)}"'
    return f'<rect {patch} fill="#ffffff" fill-opacity="0.75"/>{words}'


def _wrapped(text: str, width: float, size: float = 1.0, less: float = 0.0) -> list[str]:
    """Lines that go on the page: a letter is taken as 0.56 of its height wide, a broad one as 1.1."""
    said = plain(text)
    broad = any(unicodedata.east_asian_width(c) in "WF" for c in said)
    room = int((width - 2 * EDGE - less) / (TEXT * size * (1.1 if broad else 0.56)))
    return textwrap.wrap(said, max(room, 8), break_on_hyphens=False) or [""]


def _below(picture: Picture, start: float, width: float) -> tuple[list[str], float]:
    """The legend and the notes, and where they end."""
    out: list[str] = []
    y = start
    indent = 14.0
    for entry in picture.legend:
        out.append(_legend_mark(entry, y))
        for line in _wrapped(entry.text, width, less=indent):
            out.append(_text(EDGE + indent, y, line, "#202020", "start", 1.0))
            y += LINE
    for note in picture.notes:
        for line in _wrapped(note, width, 0.9):
            out.append(_text(EDGE, y, line, "#404040", "start", 0.9))
            y += LINE * 0.95
    return out, y - LINE * 0.5


def _legend_mark(entry: Legend, y: float) -> str:
    pen = _PENS[entry.style]
    if entry.style == "holds":
        return f'<line x1="{_mm(EDGE)}" y1="{_mm(y - 1)}" x2="{_mm(EDGE + 9)}" y2="{_mm(y - 1)}" {_ink(pen)}/>'
    if entry.style in ("demand", "beyond"):
        sheet = _Sheet(1.0, 0.0, 0.0, "")
        marks = [_mark(Mark((EDGE + x, 1.0 - y), entry.style), pen, sheet) for x in (2.0, 4.5, 7.0)]
        return "".join(marks)
    return _text(EDGE, y, entry.mark, pen.ink, "start", 1.0, True)
