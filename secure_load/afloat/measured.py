"""The second level: what was measured on her afloat. An inclining test, a roll-period test, marks read.

An inclining test is read as a line: the heeling moment w d against the tangent of her lean. Its slope is
displacement times GM, whatever the first reading was, and the scatter about the line is the error of the slope.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.formulas import gm_from_roll, gyradius_from_roll
from secure_load.afloat.hull.arrays import Array
from secure_load.boat.floating import Inclining, RollTest
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor

FAR_DEG = 4.0
"""Lean beyond which an inclining test says less of the metacentric height than of the shape of her sides:
common practice keeps it within 2 to 4 degrees."""


@dataclass(frozen=True)
class Line:
    """A straight line through readings."""

    slope: float
    """Moment per tangent, in the unit of the moments (kg m): displacement times GM."""
    error: float | None
    """Standard error of the slope; None where there are too few readings to tell."""
    offset: float
    """Moment at no lean."""
    readings: int


def fit_through_origin(moments: Sequence[float] | Array, tangents: Sequence[float] | Array) -> Line:
    """Least squares of the moment on the tangent, through the origin: sum(M t) / sum(t^2).

    The rule of the books, for readings taken from a true upright. moments and tangents [R]; the error is
    s / sqrt(sum(t^2)) with s^2 the residual over R - 1.

    Raises CannotFloat where she never leant.
    """
    m, t = np.asarray(moments, dtype=float), np.asarray(tangents, dtype=float)
    square = float(t @ t)
    if square <= 0:
        raise CannotFloat("in the inclining test she never leant: no stiffness follows from it", "float.inclining")
    slope = float(m @ t) / square
    left = m - slope * t
    error = math.sqrt(float(left @ left) / (len(m) - 1) / square) if len(m) > 1 else None
    return Line(slope, error, 0.0, len(m))


def fit_line(moments: Sequence[float] | Array, tangents: Sequence[float] | Array) -> Line:
    """Least squares with a free offset, so that a first mark that was not quite upright does no harm.

    The lean is what is misread, not the moment, so the tangent is fitted on the moment and the line turned over;
    with scatter it gives a somewhat greater slope than the other way about. Needs three readings that
    differ, else the line is taken through the origin.
    """
    m, t = np.asarray(moments, dtype=float), np.asarray(tangents, dtype=float)
    if len(m) < 3 or float(np.ptp(m)) == 0.0:
        return fit_through_origin(m, t)
    dm = m - np.mean(m)
    spread = float(dm @ dm)
    lean_per_moment = float(dm @ t) / spread
    if lean_per_moment == 0.0:
        raise CannotFloat("in the inclining test she never leant: no stiffness follows from it", "float.inclining")
    at_rest = float(np.mean(t)) - lean_per_moment * float(np.mean(m))
    left = t - at_rest - lean_per_moment * m
    scatter = math.sqrt(float(left @ left) / (len(m) - 2) / spread)
    slope = 1.0 / lean_per_moment
    return Line(slope, abs(slope) * scatter / abs(lean_per_moment), -at_rest * slope, len(m))


@dataclass(frozen=True)
class InclinedGM:
    """What an inclining test says."""

    gm: float
    """m, free surfaces in it."""
    error: float
    """How far GM may be off, m: the scatter of the readings, the reader, the weights shifted and how far."""
    displacement: float
    """kg, during the test."""
    line: Line
    warnings: tuple[str, ...]


def inclined(test: Inclining, displacement: float) -> InclinedGM:
    """Metacentric height from an inclining test; ``displacement`` in kg is used where the test names none.

    Raises CannotFloat where the readings allow no line or lean the wrong way.
    """
    weight = test.displacement_kg if test.displacement_kg is not None else displacement
    moments = np.array([r.moved_kg * r.across_m for r in test.readings])
    tangents = np.array(
        [
            math.tan(math.radians(r.heel_deg))
            if r.heel_deg is not None
            else (r.deflection_mm or 0.0) / (test.pendulum_mm or math.inf)
            for r in test.readings
        ]
    )
    line = fit_line(moments, tangents)
    if line.slope <= 0:
        raise CannotFloat(
            "in the inclining test she leans away from the weight: to port is positive for 'across_m' and for "
            "the lean alike",
            "float.inclining",
        )
    warnings: list[str] = []
    if len(moments) < 4:
        warnings.append(f"the inclining test has {len(moments)} readings; four or more, to both sides, are usual")
    if float(np.max(moments)) <= 0 or float(np.min(moments)) >= 0:
        warnings.append("the inclining test was made to one side only")
    steepest = math.degrees(math.atan(float(np.max(np.abs(tangents)))))
    if steepest > FAR_DEG:
        warnings.append(f"the inclining test leant her {steepest:.1f} degrees; beyond {FAR_DEG:g} the line bends")
    if line.error is not None and line.error > 0.1 * line.slope:
        warnings.append("the readings of the inclining test scatter by more than a tenth: take them again")
    return InclinedGM(
        gm=line.slope / weight,
        error=_error(test, moments, tangents, line) / weight,
        displacement=weight,
        line=line,
        warnings=tuple(warnings),
    )


def _error(test: Inclining, moments: Array, tangents: Array, line: Line) -> float:
    """How far the slope may be off, kg m: what scatters and what is wrong alike in all readings, squared and added.

    Scatter of the readings, or, where that is less, what the reader himself makes of each lean; the weights shifted;
    how far they were shifted, over the greatest shift.
    """
    pendulum = test.pendulum_mm is not None and any(r.deflection_mm is not None for r in test.readings)
    lean = (
        1e3 * factor("pendulum-reading-error") / test.pendulum_mm
        if pendulum and test.pendulum_mm is not None
        else factor("lean-reading-error")
    )
    spread = tangents - np.mean(tangents) if len(tangents) > 2 else tangents
    reader = line.slope * lean / math.sqrt(float(spread @ spread))
    reach = max(abs(r.across_m) for r in test.readings)
    shared = math.hypot(factor("shifted-mass-error"), factor("shifted-distance-error") / reach if reach else 0.0)
    return math.hypot(max(line.error or 0.0, reader), line.slope * shared)


@dataclass(frozen=True)
class RolledGM:
    """What a roll-period test says."""

    period: float
    """Mean of a whole roll, s."""
    scatter: float | None
    """Standard error of that mean, s."""
    gyradius: float
    """Radius of gyration that was used, m."""
    gyradius_assumed: bool
    gm: float
    """m."""
    error: float
    """How far GM may be off, m."""


def mean_period(test: RollTest) -> tuple[float, float | None]:
    """Mean time of one roll over all the rolls timed, s, and its standard error (None from one reading)."""
    rolls = np.array([float(r.rolls) for r in test.readings])
    seconds = np.array([r.seconds for r in test.readings])
    period = float(np.sum(seconds) / np.sum(rolls))
    if len(rolls) < 2:
        return period, None
    left = seconds / rolls - period
    return period, math.sqrt(float(rolls @ left**2) / float(np.sum(rolls)) / (len(rolls) - 1))


def rolled(test: RollTest, breadth: float, known_gm: float | None = None) -> RolledGM:
    """GM from a roll-period test.

    The radius of gyration comes from the file; else from this very test where ``known_gm`` (m) is known from
    an inclining test in the same trim, which calibrates her for the next time; else it is assumed. GM is then
    good to some 15 per cent, or far less where the radius is assumed (catalogue).
    """
    g = factor("g0")
    period, scatter = mean_period(test)
    taken_for_granted = False
    if test.gyradius_over_breadth is not None:
        gyradius = test.gyradius_over_breadth * breadth
    elif known_gm is not None and known_gm > 0:
        gyradius = gyradius_from_roll(known_gm, period, g)
    else:
        gyradius = assumed("gyradius-over-breadth").number * breadth
        taken_for_granted = True
    gm = gm_from_roll(gyradius, period, g)
    share = factor("roll-assumed-gm-error" if taken_for_granted else "roll-test-gm-error")
    timing = 2.0 * (scatter or 0.0) / period
    return RolledGM(period, scatter, gyradius, taken_for_granted, gm, gm * math.hypot(share, timing))
