"""Timber itself: working stress, beams, bearing across the grain, and the blow a plank can take.

Sources: ASTM D2555 and D245 (clear wood to working stress), AWC NDS-2018 chapter 3 (bearing), USDA Forest
Products Laboratory, Wood Handbook, FPL-GTR-282 (2021) chapters 5, 9 and 11 (properties, beams), CTU Code
annex 7 (battens across a doorway). Beam formulas are those of any strength-of-materials text.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from secure_load.strength import _guard
from secure_load.strength.units import INCH, Joule, Metre, Newton, NewtonPerMetre, Pascal

BeamCase = Literal["centre", "uniform", "cantilever_end", "cantilever_uniform", "fixed_centre"]


@dataclass(frozen=True)
class _Case:
    moment: float  # greatest moment = moment * F * L
    deflection: float  # bending deflection = deflection * F * L^3 / (E I)
    shear: float  # greatest shear = shear * F


_CASES: dict[str, _Case] = {
    "centre": _Case(1 / 4, 1 / 48, 1 / 2),
    "uniform": _Case(1 / 8, 5 / 384, 1 / 2),
    "cantilever_end": _Case(1.0, 1 / 3, 1.0),
    "cantilever_uniform": _Case(1 / 2, 1 / 8, 1.0),
    "fixed_centre": _Case(1 / 8, 1 / 192, 1 / 2),
}


def near_minimum(mean: Pascal, cov: float) -> Pascal:
    """Strength that 95 of 100 clear pieces exceed: mean (1 - 1.645 COV); ASTM D2555, 5 % exclusion, normal
    law.

    mean: average clear-wood ultimate, Pa. cov: coefficient of variation, 0 .. 0.6. Pa.

    >>> round(near_minimum(57e6, 0.16) / 1e6, 1)
    42.0
    """
    mean = _guard.positive("mean clear-wood strength", mean, "Pa")
    # 1.645 * 0.6 = 0.99: beyond it the normal law would give a negative strength.
    return mean * (1.0 - 1.645 * _guard.within("coefficient of variation", cov, 0.0, 0.6))


def working_stress(mean: Pascal, cov: float, adjustment: float, C_D: float = 1.0, grade: float = 1.0) -> Pascal:
    """Working stress from an average clear-wood ultimate: mean (1 - 1.645 COV) x grade x C_D / adjustment.

    ASTM D2555 (5 % exclusion) and D245 (adjustment factor, which holds normal load duration and safety;
    strength ratio for knots and slope of grain). cov 0 .. 0.6, adjustment >= 1, C_D 0.9 .. 2.0 for another
    duration, grade (strength ratio) 0 .. 1. Pa. The caller brings all factors from the catalogue.

    >>> round(working_stress(57e6, 0.16, 2.1, C_D=1.6) / 1e6, 1)
    32.0
    """
    adjustment = _guard.positive("adjustment factor", adjustment)
    if adjustment < 1.0:
        raise ValueError(f"adjustment factor must be 1 or more, got {adjustment:g}")
    _guard.within("load duration factor C_D", C_D, 0.9, 2.0)
    grade = _guard.within("strength ratio of the grade", grade, 0.0, 1.0)
    return near_minimum(mean, cov) * grade * C_D / adjustment


def section_modulus(width: Metre, depth: Metre) -> float:
    """Section modulus of a rectangle, b h^2 / 6, with h in the direction of the thrust. m3.

    >>> round(section_modulus(0.060, 0.025) * 1e9)
    6250
    """
    return _guard.positive("width", width, "m") * _guard.positive("depth", depth, "m") ** 2 / 6.0


def second_moment(width: Metre, depth: Metre) -> float:
    """Second moment of area of a rectangle, b h^3 / 12, with h in the direction of the thrust. m4.

    >>> round(second_moment(0.060, 0.025) * 1e12)
    78125
    """
    return _guard.positive("width", width, "m") * _guard.positive("depth", depth, "m") ** 3 / 12.0


def bending_stress(force: Newton, span: Metre, width: Metre, depth: Metre, case: BeamCase = "centre") -> Pascal:
    """Greatest bending stress of a rectangular beam: c F L / (b h^2/6).

    c = 1/4 one load at mid span, 1/8 uniform (total F) or mid span with both ends held fast, 1 at the end of
    a cantilever, 1/2 uniform on a cantilever; Wood Handbook ch. 9. force: total, N; lengths m. Pa.

    >>> round(bending_stress(1000.0, 0.36, 0.060, 0.025) / 1e6, 2)
    14.4
    """
    force = _guard.not_negative("force on the beam", force, "N")
    moment = _case(case).moment * force * _guard.positive("span", span, "m")
    return moment / section_modulus(width, depth)


def shear_stress(force: Newton, width: Metre, depth: Metre, case: BeamCase = "centre") -> Pascal:
    """Greatest shear stress along the grain of a rectangular beam: 1.5 V / (b h); NDS 2018 3.4.2, eq. 3.4-2.
    Pa.

    force: total load, N. V is F/2 between supports and F on a cantilever.

    >>> round(shear_stress(1000.0, 0.060, 0.025) / 1e6, 2)
    0.5
    """
    force = _guard.not_negative("force on the beam", force, "N")
    area = _guard.positive("width", width, "m") * _guard.positive("depth", depth, "m")
    return 1.5 * _case(case).shear * force / area


def shear_strength(stress: Pascal, width: Metre, depth: Metre, case: BeamCase = "centre") -> Newton:
    """Total load that brings a rectangular beam to the shear ``stress``: the inverse of `shear_stress`. N.

    >>> round(shear_strength(0.5e6, 0.060, 0.025))
    1000
    """
    stress = _guard.not_negative("working stress in shear", stress, "Pa")
    return stress / shear_stress(1.0, width, depth, case)


def shear_at_connection(stress: Pascal, width: Metre, depth: Metre, loaded_edge: Metre) -> Newton:
    """Shear that a member bears beside fastenings near its end: 2/3 F_v b d_e (d_e/d)^2.

    NDS 2018 3.4.3.3(a), eq. 3.4-6 (from memory), for fastenings less than 5 d from the end. width: b, along the
    fastenings; depth: d, in the direction of the load; loaded_edge: d_e, from the loaded edge to the nearest
    fastening, at most d; all m. stress: working stress in shear along the grain, Pa. N.

    >>> round(shear_at_connection(3.0e6, 0.040, 0.060, 0.030))
    600
    """
    stress = _guard.not_negative("working stress in shear", stress, "Pa")
    d = _guard.positive("depth", depth, "m")
    d_e = _guard.within("distance from the loaded edge", loaded_edge, 0.0, d, "m")
    return 2.0 / 3.0 * stress * _guard.positive("width", width, "m") * d_e * (d_e / d) ** 2


def beam_stiffness(E: Pascal, span: Metre, width: Metre, depth: Metre, case: BeamCase = "centre") -> NewtonPerMetre:
    """Force per deflection of a rectangular beam, shear included with G = E/16; Wood Handbook ch. 9, eq. 9-2.
    N/m.

    F/y = 1 / (k_b L^3/(E I) + k_s L/(G 5/6 b h)), k_s = 1/4 centre, 1/8 uniform, 1 and 1/2 on a cantilever.
    Where the load is uniform, y is the deflection at mid span (at the tip of a cantilever).

    >>> round(beam_stiffness(12e9, 0.36, 0.060, 0.025) / 1000)
    883
    """
    _guard.positive("modulus of elasticity", E, "Pa")
    span = _guard.positive("span", span, "m")
    chosen = _case(case)
    # Held ends change the bending line, not the shear: V over half the span is F/2 either way.
    shear_share = 1 / 4 if case == "fixed_centre" else chosen.moment
    bending = chosen.deflection * span**3 / (E * second_moment(width, depth))
    return 1.0 / (bending + shear_share * span / (E / 16.0 * width * depth * 5.0 / 6.0))


def deflection(force: Newton, E: Pascal, span: Metre, width: Metre, depth: Metre, case: BeamCase = "centre") -> Metre:
    """Deflection of a rectangular beam under a total ``force``; see `beam_stiffness`. m.

    >>> round(deflection(1000.0, 12e9, 0.36, 0.060, 0.025) * 1000, 2)
    1.13
    """
    return _guard.not_negative("force on the beam", force, "N") / beam_stiffness(E, span, width, depth, case)


def bearing_area_factor(length: Metre) -> float:
    """Bearing area factor C_b = (l_b + 0.375 in) / l_b, for l_b < 6 in and 3 in or more from the end, else 1.

    NDS 2018 3.10.4, eq. 3.10-2. length: bearing along the grain, m. The caller uses 1 near a member's end.

    >>> round(bearing_area_factor(2 * INCH), 4)
    1.1875
    """
    inches = _guard.positive("bearing length along the grain", length, "m") / INCH
    # 6 in given in metres may come back as 5.999...: the step must not depend on that.
    return (inches + 0.375) / inches if inches < 6.0 - 1e-9 else 1.0


def bearing_strength(stress: Pascal, length: Metre, width: Metre, near_end: bool = False) -> Newton:
    """Load that an area bears across the grain: F_c_perp C_b l b; NDS 2018 3.10.2 and 3.10.4. N.

    stress: working stress across the grain, Pa (no load duration factor, NDS 2.3.2). length along the grain,
    m.

    >>> round(bearing_strength(3.0e6, 0.050, 0.050, near_end=True))
    7500
    """
    stress = _guard.not_negative("working stress across the grain", stress, "Pa")
    factor = 1.0 if near_end else bearing_area_factor(length)
    return stress * factor * _guard.positive("bearing length", length, "m") * _guard.positive("width", width, "m")


def plank_energy(work_to_maximum_load: float, thickness: Metre, width: Metre, between_frames: Metre) -> Joule:
    """Energy that a plank between two frames takes before it breaks: work to maximum load x its volume.

    Wood Handbook ch. 5: work to maximum load in bending, per volume (J/m3; the tables' kJ/m3 x 1000), of
    clear straight-grained specimens. Indicative only: a real blow is local, the plank is fastened and not
    clear. J.

    >>> round(plank_energy(90e3, 0.019, 0.120, 0.190), 1)
    39.0
    """
    work = _guard.not_negative("work to maximum load", work_to_maximum_load, "J/m3")
    volume = _guard.positive("plank thickness", thickness, "m") * _guard.positive("plank width", width, "m")
    return work * volume * _guard.positive("frame spacing", between_frames, "m")


def _case(case: str) -> _Case:
    return _CASES[_guard.one_of("beam case", case, tuple(_CASES))]
