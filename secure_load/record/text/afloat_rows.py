"""The figures of how she floats as rows of words, alike on the command line and on the screen. Knows no terminal."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from secure_load.afloat.models import Condition, FloatReport, Loose, Righting, WindHeel
from secure_load.catalogue.lookup import factor
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import number

KNOT = 1852.0 / 3600.0
"""m/s."""
UNKNOWN = "-"
"""What cannot be told from what is known."""
GUESS = "~"
"""Before a figure that is GM carried on to a heel at which her shape, which is not known, counts."""
GUESSED = (
    f"{GUESS} GM extrapolated to this heel: her shape, which is not known, counts there, and it is mostly too great."
)


@dataclass(frozen=True)
class Row:
    """A label and its figures; ``first`` where a group of rows begins."""

    label: str
    cells: tuple[str, ...]
    first: bool = False


def known(value: float | None) -> bool:
    """Whether there is a figure."""
    return value is not None and math.isfinite(value)


def figure(value: float | None, digits: int) -> str:
    """A figure, or a dash."""
    return UNKNOWN if value is None or not known(value) else number(value, digits)


def signed(value: float | None, digits: int) -> str:
    """A change: its sign is always shown.

    >>> signed(12.34, 1), signed(-0.001, 2), signed(None, 1)
    ('+12.3', '0.00', '-')
    """
    said = figure(value, digits)
    return said if said == UNKNOWN or said.startswith("-") or float(said) == 0.0 else f"+{said}"


def way(value: float | None, digits: int, above: str, below: str) -> str:
    """An angle with its direction in words; nothing of a direction where it is nil.

    >>> way(-0.46, 1, "stbd", "port"), way(0.01, 1, "stbd", "port")
    ('0.5 port', '0.0')
    """
    if value is None or not known(value):
        return UNKNOWN
    said = number(abs(value), digits)
    return said if float(said) == 0.0 else f"{said} {above if value > 0 else below}"


def change_rows(report: FloatReport) -> list[Row]:
    """Before, after and the change, three cells each."""
    before, after = report.before, report.after

    def row(label: str, of: Callable[[Condition], float | None], digits: int, first: bool = False) -> Row:
        a, b = of(before), of(after)
        moved = None if a is None or b is None else b - a
        return Row(label, (figure(a, digits), figure(b, digits), signed(moved, digits)), first)

    def turned(label: str, a: float | None, b: float | None, digits: int, up: str, down: str) -> Row:
        moved = None if a is None or b is None else b - a
        return Row(label, tuple(way(v, digits, up, down) for v in (a, b, moved)))

    rows = [
        row("displacement, kg", lambda c: c.displacement_kg, 0),
        Row("sinkage amidships, mm", ("", "", signed(1000.0 * report.change.sinkage_m, 0))),
        row("draught forward, m", lambda c: c.draught_fore_m, 3),
        row("draught aft, m", lambda c: c.draught_aft_m, 3),
        turned("trim, degrees", before.trim_deg, after.trim_deg, 2, "by the bow", "by the stern"),
        turned("list, degrees", before.list_deg, after.list_deg, 1, "starboard", "port"),
        row("kg per cm immersion", lambda c: c.kg_per_cm, 0),
        row("moment to trim 1 cm, kg m", lambda c: c.moment_to_trim_1cm_kgm, 0),
        row("KB (centre of buoyancy above keel), m", lambda c: c.kb_m, 3, first=True),
        row("BM (KB to metacentre), m", lambda c: c.bm_m, 3),
        row("KG (centre of gravity above keel), m", lambda c: c.kg_m, 3),
        row("GM, metacentric height, m", lambda c: c.gm_m, 3),
    ]
    if known(after.gm_error_m):
        rows.append(Row("  +/-, m", (figure(before.gm_error_m, 3), figure(after.gm_error_m, 3), "")))
    if before.free_surface_loss_m or after.free_surface_loss_m:
        rows.append(row("  free-surface correction, m", lambda c: c.free_surface_loss_m, 3))
    rows += _marks(before, after)
    rows += _righting(before, after)
    rows.append(row("vanishing angle, AVS, deg", lambda c: c.vanishing_angle_deg, 1, first=True))
    if after.curve is not None:
        rows.append(row("stable over, from list, deg", stable_range, 1))
        rows.append(row("greatest lever GZ, m", lambda c: c.greatest_lever_m, 3))
        rows.append(row("  at a heel of, degrees", lambda c: c.greatest_lever_deg, 0))
        rows.append(row("area under curve, m rad", lambda c: c.area_under_curve_m_rad, 3))
        rows.append(row("  over area beyond AVS", lambda c: c.area_ratio, 2))
        if after.flooding:
            rows.append(row("downflooding angle, degrees", lambda c: c.downflooding_deg, 0))
    if after.screening is not None:
        rows.append(row("screening index", lambda c: c.screening.index if c.screening else None, 1))
    rows.append(row("roll period, s", lambda c: c.roll_period_s, 2))
    if known(after.pitch_gyradius_m):
        rows.append(row("pitch gyradius, m", lambda c: c.pitch_gyradius_m, 3))
    for wind in dict.fromkeys(w.wind_m_s for c in (before, after) for w in c.heel_in_wind):
        rows.append(row(wind_label(wind), lambda c, w=wind: _heel(c.heel_in_wind, w), 1))
        rows.append(row("  a gust, about twice, deg", lambda c, w=wind: _gust(c.heel_in_wind, w), 1))
    rows += _flooding(before, after)
    return rows


STATES_BESIDE = 3
"""States in one table."""


def state_tables(report: FloatReport) -> list[tuple[tuple[str, ...], list[Row]]]:
    """The states of the file side by side, with all listed weights aboard first: heads and rows of each table."""
    if not report.states:
        return []
    tables: list[tuple[tuple[str, ...], list[Row]]] = []
    for start in range(0, len(report.states), STATES_BESIDE - 1):
        beside = report.states[start : start + STATES_BESIDE - 1]
        names = ["as listed", *(plain(s.name) for s in beside)]
        tables.append((tuple(names), _state_rows([report.after, *(s.lies for s in beside)])))
    return tables


def _state_rows(lies: list[Condition]) -> list[Row]:
    def row(label: str, of: Callable[[Condition], str], first: bool = False) -> Row:
        return Row(label, tuple(of(c) for c in lies), first)

    def moment(heel: float) -> Callable[[Condition], str]:
        guess = any(r.guess for r in lies[0].righting if r.heel_deg == heel)
        return lambda c: f"{GUESS if guess else ''}{figure(moment_at(c, heel), 0)}"

    rows = [
        row("displacement, kg", lambda c: figure(c.displacement_kg, 0)),
        row("draught forward, m", lambda c: figure(c.draught_fore_m, 3)),
        row("draught aft, m", lambda c: figure(c.draught_aft_m, 3)),
        row("list, degrees", lambda c: way(c.list_deg, 1, "starboard", "port")),
        row("GM, metacentric height, m", lambda c: figure(c.gm_m, 3)),
        row("heeled to", lambda c: c.righting_side),
        row("moment at 30 deg, N m", moment(30.0)),
    ]
    if lies[0].curve is not None:
        rows += [
            row("moment at 90 deg, N m", moment(90.0)),
            row("vanishing angle, AVS, deg", lambda c: figure(c.vanishing_angle_deg, 1)),
            row("comes back from 90 degrees", lambda c: _yes(c.comes_back_from_90)),
        ]
    for wind in lies[0].heel_in_wind:
        rows.append(row(wind_label(wind.wind_m_s), lambda c, w=wind.wind_m_s: figure(_heel(c.heel_in_wind, w), 1)))
    return rows


LOOSE_DEG = (15.0, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0)
"""Heels of the table of loose weights."""


def loose_rows(loose: Loose) -> list[Row]:
    """As stowed, loose, and the change, three cells each; first all that is to port, then all to starboard."""
    rows: list[Row] = []
    for side, stowed, gone in (
        ("port", loose.stowed_port, loose.port),
        ("starboard", loose.stowed_starboard, loose.starboard),
    ):
        if stowed is not None:
            rows += _loose_rows(side, stowed, gone)
    return rows


def _loose_rows(side: str, stowed: Condition, gone: Condition) -> list[Row]:
    both = (stowed, gone)
    rows = [
        Row(f"gone to {side}:", ("", "", ""), True),
        Row("list, degrees", (*(way(c.list_deg, 1, "starboard", "port") for c in both), "")),
        Row("GM, metacentric height, m", (*(figure(c.gm_m, 3) for c in both), "")),
    ]
    heels = LOOSE_DEG if stowed.curve is not None else [r.heel_deg for r in stowed.righting if r.lever_m is not None]
    for heel in heels:
        a, b = (moment_at(c, heel) for c in both)
        guess = any(r.guess for r in stowed.righting if r.heel_deg == heel)
        cells = tuple(f"{GUESS if guess else ''}{figure(v, 0)}" for v in (a, b))
        rows.append(Row(f"moment at {heel:g} deg, N m", (*cells, _per_cent(a, b) if heel < 180.0 else "")))
    if stowed.curve is not None:
        rows.append(Row("vanishing angle, degrees", (*(figure(c.vanishing_angle_deg, 1) for c in both), "")))
        rows.append(Row("comes back from 90 degrees", (*(_yes(c.comes_back_from_90) for c in both), "")))
        rows.append(Row("comes back from 180 degrees", (*(_yes(c.comes_back_from_180) for c in both), "")))
    for wind in dict.fromkeys(w.wind_m_s for w in stowed.heel_in_wind):
        cells = tuple(figure(_heel(c.heel_in_wind, wind), 1) for c in both)
        rows.append(Row(wind_label(wind), (*cells, "")))
    return rows


def moment_at(lies: Condition, heel_deg: float) -> float | None:
    """Righting moment at a heel, N m; from the curve where there is one."""
    if lies.curve is None:
        return next((r.moment_Nm for r in lies.righting if r.heel_deg == heel_deg), None)
    lever = float(np.interp(heel_deg, lies.curve.heel_deg, lies.curve.lever_m))
    return lever * lies.displacement_kg * factor("g0")


def _per_cent(stowed: float | None, gone: float | None) -> str:
    """The change where she still comes back as stowed: elsewhere a share says nothing."""
    if stowed is None or gone is None or stowed <= 0.0:
        return ""
    return f"{signed(100.0 * (gone / stowed - 1.0), 0)} %"


def _yes(found: bool | None) -> str:
    return UNKNOWN if found is None else "yes" if found else "no"


def wind_label(wind: float) -> str:
    """A wind in metres a second and in knots, as the head of its row."""
    return f"heel in {wind:g} m/s ({number(wind / KNOT, 0)} kn), deg"


def worse_of(port: Condition, starboard: Condition) -> Condition:
    """The one with less righting moment at 30 degrees."""
    return min((port, starboard), key=lambda c: moment_at(c, 30.0) or 0.0)


def list_words(report: FloatReport) -> str:
    """What a list does to the levers; empty where she has none."""
    lists = report.after.list_deg
    if lists is None or abs(lists) < 0.05:
        return ""
    return (
        "Heels are from upright towards the side she lists to, which is "
        f"{report.after.righting_side} with weights: up to the list her lever is negative."
    )


def guessed(rows: Sequence[Row]) -> bool:
    """Whether any figure is marked as a guess."""
    return any(cell.startswith(GUESS) for row in rows for cell in row.cells)


MARKS = (
    ("stem", "stem_mm", "freeboard_stem_m"),
    ("stern", "stern_mm", "freeboard_stern_m"),
    ("port", "port_mm", "freeboard_port_m"),
    ("starboard", "starboard_mm", "freeboard_starboard_m"),
)


def _marks(before: Condition, after: Condition) -> list[Row]:
    """Water over the painted line, and freeboards where the deck edge is known; port and starboard are amidships."""
    a, b = before.on_marks, after.on_marks
    if a is None or b is None:
        return []

    def row(label: str, key: str, digits: int, first: bool) -> Row:
        early, late = (getattr(each, key) for each in (a, b))
        return Row(label, (figure(early, digits), figure(late, digits), signed(_less(early, late), digits)), first)

    rows = [row(f"over marks, {name}, mm", mm, 0, n == 0) for n, (name, mm, _) in enumerate(MARKS)]
    if b.freeboard_stem_m is not None:
        rows += [row(f"freeboard, {name}, m", m, 3, n == 0) for n, (name, _, m) in enumerate(MARKS)]
    return rows


def _righting(before: Condition, after: Condition) -> list[Row]:
    rows: list[Row] = []
    heels = dict.fromkeys(r.heel_deg for c in (before, after) for r in c.righting)
    for n, heel in enumerate(heels):
        a, b = _at(before.righting, heel), _at(after.righting, heel)
        levers = (a.lever_m if a else None, b.lever_m if b else None)
        rows.append(Row(f"lever at {heel:g} deg, m", (_lever(a), _lever(b), signed(_less(*levers), 3)), n == 0))
        moments = (a.moment_Nm if a else None, b.moment_Nm if b else None)
        rows.append(Row(f"moment at {heel:g} deg, N m", (_moment(a), _moment(b), signed(_less(*moments), 0))))
    return rows


def _less(before: float | None, after: float | None) -> float | None:
    return None if before is None or after is None else after - before


def _at(righting: Sequence[Righting], heel: float) -> Righting | None:
    return next((r for r in righting if r.heel_deg == heel), None)


def _mark(found: Righting | None, said: str) -> str:
    return f"{GUESS}{said}" if found is not None and found.guess and said != UNKNOWN else said


def _lever(found: Righting | None) -> str:
    return _mark(found, figure(found.lever_m if found else None, 3))


def _moment(found: Righting | None) -> str:
    return _mark(found, figure(found.moment_Nm if found else None, 0))


def _heel(winds: Sequence[WindHeel], wind: float) -> float | None:
    return next((w.heel_deg for w in winds if w.wind_m_s == wind), None)


def stable_range(lies: Condition) -> float | None:
    """Range of positive stability: from where she rests to the vanishing angle, degrees."""
    if lies.vanishing_angle_deg is None or lies.list_deg is None:
        return None
    side = 1.0 if lies.righting_side == "starboard" else -1.0
    return lies.vanishing_angle_deg - max(side * lies.list_deg, 0.0)


def _gust(winds: Sequence[WindHeel], wind: float) -> float | None:
    return next((w.gust_deg for w in winds if w.wind_m_s == wind), None)


def _flooding(before: Condition, after: Condition) -> list[Row]:
    rows: list[Row] = []
    for n, late in enumerate(after.flooding):
        early = before.flooding[n] if n < len(before.flooding) else None
        cells = [
            UNKNOWN if f is None else "never" if f.heel_deg is None else f"{f.heel_deg:.0f} {f.side}"
            for f in (early, late)
        ]
        rows.append(Row(f"{plain(late.name)} under at, deg", (*cells, "")))
    return rows
