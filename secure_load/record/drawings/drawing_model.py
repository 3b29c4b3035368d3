"""A picture as plain data: lines, areas, arrows, marks and words in the boat's own measures.

Drawn by ``svg`` for the record and by the screen's raster for the terminal, so that both show the same. A picture
has no colours and no line widths: every shape says what it stands for, and who draws it decides how that looks.
Measures are metres (or g, for the rose), the first to the right and the second upward.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from secure_load.check.results import Colour

Style = Literal[
    "hull",
    "waterline",
    "axis",
    "grid",
    "weight",
    "weight-chosen",
    "bed",
    "cleat",
    "batten",
    "line",
    "tie",
    "bolt",
    "bond",
    "neighbour",
    "load",
    "holds",
    "demand",
    "beyond",
    "green",
    "amber",
    "red",
    "words",
]
"""What a shape stands for. ``beyond``: demand outside what holds. ``words``: text of no thing in particular."""

Spot: TypeAlias = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True)
class Area:
    """A closed outline; filled, it hides what was drawn before it."""

    points: tuple[Spot, ...]
    style: Style
    filled: bool = False


@dataclass(frozen=True)
class Stroke:
    """A line through some points."""

    points: tuple[Spot, ...]
    style: Style


@dataclass(frozen=True)
class Arrow:
    """A line with a head at its end."""

    tail: Spot
    head: Spot
    style: Style


@dataclass(frozen=True)
class Mark:
    """A dot."""

    at: Spot
    style: Style


@dataclass(frozen=True)
class Words:
    """A short text; ``anchor`` says which part of it stands at the spot."""

    at: Spot
    text: str
    style: Style = "words"
    anchor: Anchor = "middle"


Shape: TypeAlias = Area | Stroke | Arrow | Mark | Words


@dataclass(frozen=True)
class Legend:
    """One line under the picture: a mark used in it, and what it stands for."""

    mark: str
    text: str
    style: Style


@dataclass(frozen=True)
class Picture:
    """Shapes in the order they are drawn, the window they are seen through, and the words beside them."""

    title: str
    description: str
    """The picture in a sentence or two, for those who cannot see it."""
    window: tuple[float, float, float, float]
    """Left, bottom, right, top."""
    shapes: tuple[Shape, ...]
    legend: tuple[Legend, ...] = ()
    notes: tuple[str, ...] = ()
    """What the picture does not show as it is, a sentence each."""


def style_of(colour: Colour) -> Style:
    """A verdict's colour as a style: they are named alike."""
    return colour


def area(points: Iterable[Sequence[float]], style: Style, filled: bool = False) -> Area:
    """A closed outline from any points."""
    return Area(spots(points), style, filled)


def stroke(points: Iterable[Sequence[float]], style: Style) -> Stroke:
    """A line from any points."""
    return Stroke(spots(points), style)


def spots(points: Iterable[Sequence[float]]) -> tuple[Spot, ...]:
    """Points as plain pairs."""
    return tuple((float(p[0]), float(p[1])) for p in points)


def circle(centre: Spot, radius: float, style: Style, pieces: int = 72) -> Area:
    """A circle of straight pieces."""
    turns = [2.0 * math.pi * i / pieces for i in range(pieces)]
    return Area(
        tuple((centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns),
        style,
    )


def around(points: Iterable[Spot], margin: float) -> tuple[float, float, float, float]:
    """The window that holds some points, with a margin on every side. Raises ValueError where there are none."""
    every = list(points)
    across, up = [p[0] for p in every], [p[1] for p in every]
    return min(across) - margin, min(up) - margin, max(across) + margin, max(up) + margin
