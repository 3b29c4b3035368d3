"""The righting curve before and after, as a picture: for the record as SVG, for the terminal in characters.

Across goes the heel from upright to upside down, upward the righting moment or the lever. The moment is what is
compared: after a change she weighs something else, and levers of two weights do not compare. Where the shape of
her hull is not known there is no curve, and none is made up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.models import Condition, FloatReport, Loose
from secure_load.catalogue.lookup import factor
from secure_load.record.drawings.drawing_model import Legend, Mark, Picture, Shape, Stroke, Style, Words
from secure_load.record.text.afloat_rows import worse_of
from secure_load.record.text.text_layout import plain

Of = Literal["moment", "lever"]
_Place = Callable[[float, float], tuple[float, float]]
"""Finds a spot: heel in degrees and value -> across, up."""

TALL = 0.5
"""Height of the whole picture over its width, unless told otherwise."""
LEFT, RIGHT, BELOW, ABOVE = 0.12, 0.06, 0.09, 0.05
"""Margins for the figures, where the axis of heel is 1 long."""
WIDE = 1.0 + LEFT + RIGHT
OFF = 0.045
"""How far a curve's name stands from it."""
LARGE = 10_000.0
"""N m from which kN m are shown."""
TICKS_DEG = range(0, 181, 30)
LINES = 4
"""Level lines, about."""
STEEP = 0.5
"""Slope on the page from which a curve's name stands beside it."""
SAME = 0.02
"""Share of the height under which two curves lie on each other."""


@dataclass(frozen=True)
class Drawn:
    """One curve: its name, how she lies, and how it is drawn."""

    name: str
    lies: Condition
    style: Style


def righting_curve_picture(report: FloatReport, of: Of = "moment", tall: float = TALL) -> Picture | None:
    """Before and after; after alone where nothing is listed; None where her shape is not known.

    Args:
        report: how she floats.
        of: righting moment (N m), or lever (m).
        tall: height of the picture over its width.
    """
    after = Drawn("after", report.after, "holds")
    if report.before == report.after:
        drawn = [Drawn("as she is", report.after, "holds")]
    else:
        drawn = [Drawn("before", report.before, "tie"), after]
    return curves_picture(f"{plain(report.boat)}: righting {of}", drawn, of, tall)


def loose_curve_picture(report: FloatReport, loose: Loose, of: Of = "moment", tall: float = TALL) -> Picture | None:
    """As stowed, and with weights gone to the low side, the worse of the two sides."""
    worse = worse_of(loose.port, loose.starboard)
    stowed = loose.stowed_port if worse is loose.port else loose.stowed_starboard
    drawn = [Drawn("as stowed", stowed or report.after, "holds"), Drawn("loose", worse, "load")]
    return curves_picture(f"{plain(report.boat)}: righting {of}, weights loose", drawn, of, tall)


def curves_picture(title: str, drawn: Sequence[Drawn], of: Of, tall: float = TALL) -> Picture | None:
    """Some curves over each other; those without a curve are left out, and None where none has one."""
    shown = [each for each in drawn if each.lies.curve is not None]
    if not shown:
        return None
    values = [_values(each.lies, of) for each in shown]
    unit, scale = _unit(values, of)
    values = [v * scale for v in values]
    low, high, step = _range(values)
    # The margin below and above is the same on the page whatever the height.
    height = max(tall * WIDE - BELOW - ABOVE, 0.1)

    def at(heel_deg: float, value: float) -> tuple[float, float]:
        return heel_deg / 180.0, (value - low) / (high - low) * height

    shapes: list[Shape] = []
    for value in _levels(low, high, step):
        style: Style = "axis" if abs(value) < 1e-9 * step else "grid"
        shapes.append(Stroke((at(0.0, value), at(180.0, value)), style))
        shapes.append(Words((-0.025, at(0.0, value)[1]), f"{round(value, 9) + 0.0:g}", "axis", "end"))
    for deg in TICKS_DEG:
        # upright, on her side and upside down go right through; too many lines hide the curves in a terminal
        top = at(deg, high) if deg % 90 == 0 else (deg / 180.0, 0.02)
        shapes.append(Stroke((at(deg, low), top), "grid"))
        shapes.append(Words((deg / 180.0, -0.5 * BELOW), f"{deg}", "axis"))
    shapes.append(Words((-LEFT + 0.005, height + 0.5 * ABOVE), unit, "axis", "start"))
    for each, value in zip(shown, values, strict=True):
        shapes.append(Stroke(tuple(at(d, v) for d, v in zip(_heels(each.lies), value, strict=True)), each.style))
    for each in shown[-1:]:
        beyond = each.lies.vanishing_angle_deg
        if beyond is not None and beyond < 180.0:
            shapes.append(Mark(at(beyond, 0.0), "beyond"))
            shapes.append(
                Words((beyond / 180.0 + 0.02, at(0.0, 0.0)[1] + 0.7 * OFF), f"{beyond:.0f} deg", "words", "start")
            )
        shapes += _fills(each, values[-1], at)
    shapes += _names(shown, values, at)
    return Picture(
        title=title,
        description=_description(shown, values, unit),
        window=(-LEFT, -BELOW, 1.0 + RIGHT, height + ABOVE),
        shapes=tuple(shapes),
        legend=tuple(Legend(_mark(each.style), _legend(each), each.style) for each in shown),
        notes=tuple(_notes(shown, of, unit)),
    )


def _fills(each: Drawn, value: Array, at: _Place) -> list[Shape]:
    """A mark on the curve where the first opening goes under; nothing where that is to the curve's other side."""
    lies = each.lies
    wet = [f.heel_deg for f in lies.flooding if f.heel_deg is not None and f.side == lies.righting_side]
    if not wet or min(wet) > _heels(lies)[-1]:
        return []
    heel = min(wet)
    x, y = at(heel, float(np.interp(heel, _heels(lies), value)))
    return [Mark((x, y), "beyond"), Words((x + 0.02, y + 0.7 * OFF), f"water in, {heel:.0f} deg", "words", "start")]


def _heels(lies: Condition) -> list[float]:
    return lies.curve.heel_deg if lies.curve is not None else []


def _values(lies: Condition, of: Of) -> Array:
    """[H] m or N m."""
    lever = np.array(lies.curve.lever_m if lies.curve is not None else [])
    return lever if of == "lever" else lever * (lies.displacement_kg * factor("g0"))


def _unit(values: Sequence[Array], of: Of) -> tuple[str, float]:
    if of == "lever":
        return "m", 1.0
    most = max(float(np.max(np.abs(v), initial=0.0)) for v in values)
    return ("kN m", 1e-3) if most >= LARGE else ("N m", 1.0)


def _range(values: Sequence[Array]) -> tuple[float, float, float]:
    """From, to and step of the level lines; nil is one of them."""
    low = min(0.0, *(float(np.min(v, initial=0.0)) for v in values))
    high = max(0.0, *(float(np.max(v, initial=0.0)) for v in values))
    if high - low < 1e-9:
        high = low + 1.0
    room = 0.06 * (high - low)
    return low - (room if low < 0.0 else 0.0), high + room, _round_up((high - low) / LINES)


def _round_up(value: float) -> float:
    """The next of 1, 2, 2.5, 5, 10 times a power of ten that is no less.

    >>> _round_up(0.13), _round_up(26.0)
    (0.2, 50.0)
    """
    scale = 10.0 ** math.floor(math.log10(value))
    return scale * next(s for s in (1.0, 2.0, 2.5, 5.0, 10.0) if s * scale >= value * (1 - 1e-9))


def _levels(low: float, high: float, step: float) -> list[float]:
    return [step * i for i in range(math.ceil(low / step), math.floor(high / step) + 1)]


def _mark(style: Style) -> str:
    return {"holds": "---", "tie": "- -", "load": "==="}.get(style, "-")


def _names(shown: Sequence[Drawn], values: Sequence[Array], at: _Place) -> list[Shape]:
    """Each curve's name where it lies farthest from the other: above the upper, below the lower.

    None where they lie on each other: the legend tells them apart.
    """
    if len(shown) < 2:
        return []
    heels = [np.array(_heels(each.lies)) for each in shown]
    common = heels[0][heels[0] <= min(float(h[-1]) for h in heels) - 8.0]
    inside = common[common >= min(20.0, 0.25 * float(common[-1]))]
    first, second = (np.interp(inside, h, v) for h, v in zip(heels[:2], values[:2], strict=True))
    # where she still comes back is what is looked at
    apart = np.where((first > 0.0) & (second > 0.0), np.abs(first - second), 0.0)
    place = int(np.argmax(apart))
    if apart[place] < SAME * max(float(np.ptp(v)) for v in values):
        return []
    deg = float(inside[place])
    upper = 0 if first[place] >= second[place] else 1
    out: list[Shape] = []
    x1, y1 = at(deg, float(first[place]))
    x2, y2 = at(deg + 4.0, float(np.interp(deg + 4.0, inside, first)))
    # beside a steep curve, or the name would lie across it
    slope = (y2 - y1) / max(x2 - x1, 1e-9)
    left, right = ("end", "start") if slope > STEEP else ("start", "end") if slope < -STEEP else ("middle", "middle")
    for n, value in enumerate((float(first[place]), float(second[place]))):
        x, y = at(deg, value)
        above = n == upper
        spot = (x, y + (OFF if above else -OFF))
        out.append(Words(spot, shown[n].name, shown[n].style, left if above else right))
    return out


def _legend(each: Drawn) -> str:
    lies = each.lies
    beyond = lies.vanishing_angle_deg
    if beyond is not None and beyond >= 180.0:
        said = ", comes back from any heel"
    else:
        said = f", vanishes at {beyond:.0f} degrees" if beyond is not None else ""
    last = _heels(lies)[-1]
    ends = f", told up to {last:.0f} degrees" if last < 179.5 else ""
    return f"{each.name}: {lies.displacement_kg:.0f} kg, heeled to {lies.righting_side}{said}{ends}"


def _description(shown: Sequence[Drawn], values: Sequence[Array], unit: str) -> str:
    said: list[str] = []
    for each, value in zip(shown, values, strict=True):
        top = int(np.argmax(value))
        beyond = each.lies.vanishing_angle_deg
        ends = "" if beyond is None else f", and it vanishes at {beyond:.0f} degrees"
        said.append(f"{each.name}: greatest at {_heels(each.lies)[top]:.0f} degrees with {value[top]:.4g} {unit}{ends}")
    return f"Over the heel from 0 to 180 degrees. {said[0][0].upper()}{'; '.join(said)[1:]}."


def _notes(shown: Sequence[Drawn], of: Of, unit: str) -> list[str]:
    last = shown[-1].lies
    over = "weight times lever" if of == "moment" else "level distance between weight and buoyancy"
    out = [f"Across: heel, degrees. Upward: righting {of}, {unit} ({over}); below nil she turns over further."]
    if len({each.lies.righting_side for each in shown}) > 1:
        out.append("The curves are to different sides, each to the side she lists to.")
    wet = [f for f in last.flooding if f.heel_deg is not None]
    out += [
        f"{plain(f.name)} goes under at {f.heel_deg:.0f} degrees to {f.side}: beyond it she fills." for f in wet[:3]
    ]
    if not wet:
        out.append("She is taken as tight: water that gets in is in no curve.")
    return out
