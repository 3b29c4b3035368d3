"""A screening index in the published form of the stability index of ISO 12217-2: an indication, no certificate.

    index = (7 + 2.25 LBS) sqrt(FDS FIR FKR FDL FBD FWM FDF)

The forms of the factors and their limits are from memory of ISO 12217-2:2002; all but FKR are held against a printed
worked case (tests/published). For FKR the slope 0.0833 is taken, with which both its branches meet.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from secure_load.afloat.hull.levers import area_under
from secure_load.afloat.models import Condition, Screening
from secure_load.boat.floating import ScreeningFigures
from secure_load.boat.hull import FloatData


@dataclass(frozen=True)
class IndexFigures:
    """What the index is made of."""

    hull_length: float
    """LH, m."""
    waterline_length: float
    """LWL, m."""
    hull_breadth: float
    """BH, m."""
    waterline_breadth: float
    """BWL, m."""
    mass: float
    """kg."""
    sail_area: float
    """m2."""
    sail_centre: float
    """hCE, height of its centre over the waterline, m."""
    lateral_depth: float
    """hLP, depth of the centre of the lateral area under the waterline, m."""
    vanishing_deg: float
    downflooding_deg: float
    lever_90: float
    """Righting lever at 90 degrees, m."""
    lever_at_downflooding: float
    """m."""
    area_m_deg: float
    """Under the lever curve up to the vanishing or the downflooding angle, whichever is less."""


def _within(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def index_factors(f: IndexFigures) -> dict[str, float]:
    """LBS and the seven factors, each within its limits."""
    base = (2.0 * f.waterline_length + f.hull_length) / 3.0
    length = (base / 11.0) ** 0.2
    displacement = math.sqrt(0.6 + 15.0 * f.mass * length / (base**3 * (333.0 - 8.0 * base)))
    breadth = 3.3 * f.hull_breadth / (0.03 * f.mass) ** (1.0 / 3.0)
    ratio = f.waterline_breadth / f.hull_breadth
    if breadth > 2.2:
        beam = math.sqrt(13.31 * ratio / breadth**3)
    elif breadth < 1.45:
        beam = math.sqrt(ratio * breadth**2 / 1.682)
    else:
        beam = 1.118 * math.sqrt(ratio)
    knockdown = f.lever_90 * f.mass / (2.0 * f.sail_area * f.sail_centre)
    if f.vanishing_deg < 90.0:
        recovery = 0.5
    else:
        recovery = 0.875 + 0.0833 * knockdown if knockdown >= 1.5 else 0.5 + 0.333 * knockdown
    limit = 125.0 - f.mass / 1600.0 if f.mass < 40_000.0 else 100.0
    wind = 1.0
    if f.downflooding_deg < 90.0:
        heeling = f.sail_area * (f.sail_centre + f.lateral_depth) * math.cos(math.radians(f.downflooding_deg)) ** 1.3
        wind = math.sqrt(13.0 * f.mass * max(f.lever_at_downflooding, 0.0) / heeling) / 17.0
    return {
        "LBS": base,
        "FDS": _within(f.area_m_deg / (15.81 * math.sqrt(f.hull_length)), 0.5, 1.5),
        "FIR": _within(f.vanishing_deg / limit, 0.4, 1.5),
        "FKR": _within(recovery, 0.5, 1.5),
        "FDL": _within(displacement, 0.75, 1.25),
        "FBD": _within(beam, 0.75, 1.25),
        "FWM": _within(wind, 0.5, 1.0),
        "FDF": _within(f.downflooding_deg / 90.0, 0.5, 1.25),
    }


def screening_index(factors: dict[str, float]) -> float:
    """The index of `index_factors`."""
    product = math.prod(value for name, value in factors.items() if name != "LBS")
    return (7.0 + 2.25 * factors["LBS"]) * math.sqrt(product)


def screened(lies: Condition, data: FloatData, breadth: float, length: float) -> Screening | None:
    """The index of a condition; None where the file does not ask for it.

    breadth, length: of her waterline, m. Without sections, or without openings, the owner's own figures of [float.
    screening] are taken; where one is lacking the index is null and it is named.
    """
    asked = data.screening
    if asked is None:
        return None
    found = _figures(lies, asked)
    lacking = [name for name, value in found.items() if value is None]
    if data.sail_area_m2 is None:
        lacking.append("sail_area_m2")
    if lacking:
        words = f"The screening index is not given: [float] or [float.screening] lacks {', '.join(lacking)}."
        return Screening(index=None, factors={}, words=words)
    known = {name: value for name, value in found.items() if value is not None}
    assert data.sail_area_m2 is not None
    factors = index_factors(
        IndexFigures(
            hull_length=asked.hull_length_m,
            waterline_length=length,
            hull_breadth=asked.hull_breadth_m,
            waterline_breadth=breadth,
            mass=lies.displacement_kg,
            sail_area=data.sail_area_m2,
            sail_centre=asked.sail_centre_m,
            lateral_depth=asked.lateral_depth_m,
            vanishing_deg=known["vanishing_deg"],
            downflooding_deg=known["downflooding_deg"],
            lever_90=known["lever_90_m"],
            lever_at_downflooding=known["lever_at_downflooding_m"],
            area_m_deg=known["area_m_deg"],
        )
    )
    index = screening_index(factors)
    said = ", ".join(f"{name} {value:.3f}" for name, value in factors.items())
    return Screening(
        index=round(index, 2),
        factors={name: round(value, 4) for name, value in factors.items()},
        words=f"Screening index {index:.1f} ({said}): an indication in the form of ISO 12217-2's, no certificate.",
    )


def _figures(lies: Condition, asked: ScreeningFigures) -> dict[str, float | None]:
    """Angles, levers and area: of the curve where there is one, else as the file has them."""
    downflooding = lies.downflooding_deg if lies.downflooding_deg is not None else asked.downflooding_deg
    curve, beyond = lies.curve, lies.vanishing_angle_deg
    if curve is None or beyond is None:
        levers = {"lever_90_m": asked.lever_90_m, "lever_at_downflooding_m": asked.lever_at_downflooding_m}
        angles = {"vanishing_deg": asked.vanishing_deg, "downflooding_deg": downflooding}
        return {**angles, **levers, "area_m_deg": asked.area_m_deg}
    heel, lever = np.radians(np.array(curve.heel_deg)), np.array(curve.lever_m)
    side = 1.0 if lies.righting_side == "starboard" else -1.0
    rest = max(side * (lies.list_deg or 0.0), 0.0)
    end = min(beyond, downflooding) if downflooding is not None else beyond
    return {
        "vanishing_deg": beyond,
        "downflooding_deg": downflooding,
        "lever_90_m": float(np.interp(90.0, curve.heel_deg, lever)),
        "lever_at_downflooding_m": float(np.interp(downflooding or 90.0, curve.heel_deg, lever)),
        "area_m_deg": math.degrees(area_under(heel, lever, math.radians(rest), math.radians(end))),
    }
