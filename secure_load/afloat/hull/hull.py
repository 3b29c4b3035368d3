"""Drawing the hull: from half-sections, or a table of half-breadths, to the arrays she is summed with."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.hull.clip import cut, turn
from secure_load.afloat.hull.longitudinal import broken_weights
from secure_load.afloat.hull.section_arrays import Hull
from secure_load.boat.hull import FloatData, HalfBreadths

__all__ = ["Hull", "hull_from_sections", "hull_of"]

LEAST_STATIONS = 2
BETWEEN = 9
"""Stations a hull drawn with two sections only is summed with: straight from the one to the other."""
MOST_CHECKED = 600
"""Points of a section up to which it is looked at for crossing itself; the look goes with their square."""


def hull_from_sections(x: Sequence[float], halves: Sequence[Array]) -> Hull:
    """A hull from half-sections.

    Args:
        x: stations, m; any order, no two alike.
        halves: for each station an array [P, 2] of (half-breadth, height), m, from the keel to the middle of
            the deck. The section is closed along the middle line and mirrored.

    Raises:
        CannotFloat: fewer than two stations, two at one place, one that crosses itself, or no volume.
    """
    if len(x) < LEAST_STATIONS:
        raise CannotFloat(
            f"a hull needs at least {LEAST_STATIONS} sections, and there are {len(x)} in the file", "float.section"
        )
    order = np.argsort(np.asarray(x, dtype=float), kind="stable")
    stations = np.asarray(x, dtype=float)[order]
    same = np.flatnonzero(np.diff(stations) <= 0)
    if len(same):
        raise CannotFloat(f"there are two sections at x = {stations[same[0]]:g} m; give one", "float.section")
    for i in order.tolist():
        if _crosses_itself(np.asarray(halves[i], dtype=float)):
            raise CannotFloat(
                f"the section at x = {x[i]:g} m crosses itself: its points must go round from the keel to the middle "
                "of the deck",
                "float.section",
            )
    drawn = [_from_keel(np.asarray(halves[i], dtype=float)) for i in order]
    if len(drawn) == LEAST_STATIONS:
        stations, drawn = _straight_between(stations, drawn)
    whole = [_mirrored(half) for half in drawn]
    most = max(len(points) for points in whole)
    # Padding repeats the last corner: pieces of no length, which add nothing to any sum.
    padded = np.stack([np.concatenate([p, np.repeat(p[-1:], most - len(p), axis=0)]) for p in whole])
    y, z = padded[..., 0].copy(), padded[..., 1].copy()
    hull = Hull(stations, y, z, np.zeros_like(stations))
    hull = Hull(stations, y, z, broken_weights(stations, _waterline_ends(hull)))
    if hull.whole_volume <= 0:
        raise CannotFloat("the sections enclose no volume: look at their half-breadths", "float.section")
    return hull


def _waterline_ends(hull: Hull) -> list[int]:
    """The stations of no area next to those that have some below the designed waterline."""
    area = cut(turn(hull, np.zeros(1)), np.zeros((1, len(hull.x)))).area[0]
    wet = np.flatnonzero(area > 1e-12)
    if not len(wet):
        return []
    return [i for i in (int(wet[0]) - 1, int(wet[-1]) + 1) if 0 <= i < len(area)]


def _crosses_itself(half: Array) -> bool:
    """Whether the half-section [P, 2], closed along the middle line, crosses itself; touching is no crossing."""
    ends = half * np.array([[0.0, 1.0]])
    a = np.concatenate([ends[:1], half, ends[-1:]])
    b = np.roll(a, -1, axis=0)
    if len(a) > MOST_CHECKED:
        return False

    def beside(p: Array, q: Array, r: Array) -> Array:
        """Twice the area of each triangle p q r, all against all: [P, P]."""
        d = q - p
        return d[:, None, 0] * (r[None, :, 1] - p[:, None, 1]) - d[:, None, 1] * (r[None, :, 0] - p[:, None, 0])

    hair = 1e-12
    split = beside(a, b, a) * beside(a, b, b) < -hair
    return bool(np.any(split & split.T))


def _from_keel(half: Array) -> Array:
    """The half-section [P, 2] going from keel to deck, whichever end it was begun at."""
    # Twice the area between the half-section and the middle line; negative if written from deck to keel.
    turn = np.sum((half[:-1, 0] + half[1:, 0]) * np.diff(half[:, 1]))
    return half[::-1] if turn < 0 else half


def _straight_between(x: Array, halves: list[Array]) -> tuple[Array, list[Array]]:
    """Stations and half-sections of a hull that runs straight from one section to the other.

    Points at one share of the girth are joined; the corners of both sections are kept.
    """
    girths: list[Array] = []
    for half in halves:
        along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(half, axis=0).T))])
        girths.append(along / max(float(along[-1]), 1e-12))
    shares = np.unique(np.round(np.concatenate(girths), 12))
    ends = [
        np.column_stack([np.interp(shares, girth, half[:, k]) for k in (0, 1)])
        for girth, half in zip(girths, halves, strict=True)
    ]
    parts = np.linspace(0.0, 1.0, BETWEEN)
    return x[0] + parts * (x[1] - x[0]), [ends[0] + part * (ends[1] - ends[0]) for part in parts.tolist()]


def _mirrored(half: Array) -> Array:
    """[2P, 2] anticlockwise closed section from a half one [P, 2] that goes from keel to deck."""
    return np.concatenate([half, half[::-1] * np.array([-1.0, 1.0])])


def hull_of(data: FloatData | None) -> Hull | None:
    """The hull of a boat file, from its sections or its table of half-breadths; None where it has neither.

    Raises CannotFloat where there are both, or what is there makes no hull.
    """
    if data is None:
        return None
    if data.section and data.half_breadths is not None:
        raise CannotFloat("give 'section' or 'half_breadths', one of the two and not both", "float.half_breadths")
    if data.section:
        return hull_from_sections([s.x_m for s in data.section], [np.array(s.points_m) for s in data.section])
    if data.half_breadths is not None:
        table = data.half_breadths
        return hull_from_sections(table.x_m, [_half_section(table, n) for n in range(len(table.x_m))])
    return None


def _half_section(table: HalfBreadths, station: int) -> Array:
    """[P, 2] half-section of one row: keel, then the half-breadths above it, then the deck edge."""
    z = np.array(table.z_m)
    b = np.array(table.half_breadth_m[station])
    points: list[tuple[float, float]] = []
    top = np.inf
    if table.deck_m is not None:
        top = table.deck_m[station][1]
    if table.keel_m is not None:
        low = table.keel_m[station]
        points.append((0.0, low))
    else:
        wet = np.flatnonzero(b > 0)
        # The keel is somewhere between the last height of no breadth and the first with one: take the former.
        low = float(z[max(int(wet[0]) - 1, 0)]) if len(wet) else float(z[0])
    inside = (z > low) & (z < top) if points else (z >= low) & (z < top)
    points.extend(zip(b[inside].tolist(), z[inside].tolist(), strict=True))
    if table.deck_m is not None:
        points.append(table.deck_m[station])
    if len(points) < 2:
        points.append((0.0, low + 1e-9))
    return np.array(points)
