"""Lashings, straps, wire, shackles and cable ties: from breaking strength to what may be asked of them.

Sources: IMO, Code of Safe Practice for Cargo Stowage and Securing (CSS Code), Annex 13 as amended by
MSC.1/Circ.1623; EN 12195-2 (web lashings); EN 12385-2 and API Spec 9A (wire rope).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from secure_load.strength import _guard
from secure_load.strength.units import MEGAPASCAL, MILLIMETRE, Metre, Newton, NewtonPerMetre


class Gear(NamedTuple):
    """One part of a lashing: what breaks it, and the shares of that which may be used."""

    breaking: Newton
    """Breaking strength, N."""
    share: float
    """MSL as a share of the breaking strength, 0 .. 1 (CSS Annex 13 table 1)."""
    termination: float = 1.0
    """What the knot, splice or clip at its end leaves of the strength, 0 .. 1."""


def maximum_securing_load(breaking: Newton, share: float, termination: float = 1.0) -> Newton:
    """Maximum securing load of one part: MSL = share x breaking strength (x termination); CSS Annex 13, 4 and
    table 1.

    breaking in N; share (0.30 used web lashing .. 0.80 single-use wire, see the catalogue) and termination 0
    .. 1. The termination is ours: the Code takes parts with their ends made. N.

    >>> round(maximum_securing_load(125e3, 0.80))
    100000
    """
    breaking = _guard.not_negative("breaking strength", breaking, "N")
    share = _guard.within("MSL share of breaking strength", share, 0.0, 1.0)
    return breaking * share * _guard.within("termination factor", termination, 0.0, 1.0)


def chain_securing_load(parts: Iterable[Gear | tuple[float, float]]) -> Newton:
    """MSL of gear in series: the least of its parts; CSS Annex 13, 4.4. N.

    Each part is a `Gear` or (breaking N, share).

    >>> round(chain_securing_load([(125e3, 0.80), (180e3, 0.50)]))
    90000
    """
    loads = [maximum_securing_load(*part) for part in parts]
    if not loads:
        raise ValueError("parts of the lashing must hold at least one part, got none")
    return min(loads)


def calculated_strength(msl: Newton, safety_factor: float) -> Newton:
    """Calculated strength: CS = MSL / safety factor; CSS Annex 13, 6.

    The factor is 1.5 in the advanced method (1.35 where the Code's alternative balances ask it); the caller
    brings it. It covers uneven sharing and shoddy work, not the strength of the gear. N.

    >>> round(calculated_strength(90e3, 1.5))
    60000
    """
    msl = _guard.not_negative("maximum securing load", msl, "N")
    factor = _guard.positive("safety factor", safety_factor)
    if factor < 1.0:
        raise ValueError(f"safety factor must be 1 or more, got {factor:g}")
    return msl / factor


def timber_securing_load(area: float) -> Newton:
    """MSL of timber pressed across the grain: 0.3 kN per cm2; CSS Annex 13, 4.2. area in m2, N.

    >>> round(timber_securing_load(0.01))
    30000
    """
    return 0.3e3 / 1e-4 * _guard.not_negative("area of timber in bearing", area, "m2")


def wire_breaking(diameter: Metre, K: float, rope_grade: float) -> Newton:
    """Minimum breaking force of wire rope: F = K d^2 R  [N, mm, N/mm2]; EN 12385-2, API Spec 9A annex C.

    K: factor of the construction (0.3 .. 0.6). rope_grade: R, tensile grade of the wire, Pa. diameter m. N.

    >>> round(wire_breaking(0.010, 0.332, 1770e6) / 1000, 1)
    58.8
    """
    d_mm = _guard.positive("rope diameter", diameter, "m") / MILLIMETRE
    _guard.within("breaking force factor K", K, 0.05, 0.8)
    return K * d_mm**2 * _guard.positive("rope grade", rope_grade, "Pa") / MEGAPASCAL


def lashing_capacity(webbing_break: Newton, assembly_break: Newton) -> Newton:
    """Lashing capacity LC of a web lashing: the least of webbing/3 and made-up assembly/2; EN 12195-2. N.

    Minimum ratios from memory of the standard (2:1 hardware and assembly, 3:1 webbing before sewing).

    >>> lashing_capacity(15e3, 10e3)
    5000.0
    """
    webbing = _guard.not_negative("breaking strength of the webbing", webbing_break, "N")
    return min(webbing / 3.0, _guard.not_negative("breaking strength of the assembly", assembly_break, "N") / 2.0)


def cable_tie_strength(loop_class: Newton, advice: float) -> Newton:
    """Working strength of a plastic cable tie: minimum loop tensile strength x advice factor.

    The loop strength is the type test of IEC 62275 on new, dry-as-moulded ties indoors; no code gives a
    working share for holding weights, so the caller's factor (0 .. 1) is an assumption and must be shown as
    one. N.

    >>> cable_tie_strength(222.0, 0.25)
    55.5
    """
    loop = _guard.not_negative("loop tensile strength of the tie", loop_class, "N")
    return loop * _guard.within("advice factor of a cable tie", advice, 0.0, 1.0)


def line_stiffness(EA: Newton, length: Metre, turns: int = 1) -> NewtonPerMetre:
    """Stiffness of a line: turns x EA / L. N/m.

    EA: axial stiffness, N (secant at the load of interest for rope). length: of one part, m. turns bearing
    alike.

    >>> line_stiffness(20e3, 0.5, turns=2)
    80000.0
    """
    if turns < 1:
        raise ValueError(f"turns of the line must be 1 or more, got {turns}")
    return turns * _guard.positive("axial stiffness EA", EA, "N") / _guard.positive("line length", length, "m")


def secant_axial_stiffness(breaking: Newton, load_share: float, elongation: float) -> Newton:
    """Axial stiffness of a rope from its stretch: EA = load / strain. N.

    load_share: load as a share of breaking (0 .. 1); elongation: strain there, e.g. 0.06 for 6 %.

    >>> round(secant_axial_stiffness(10e3, 0.20, 0.06))
    33333
    """
    breaking = _guard.positive("breaking strength", breaking, "N")
    share = _guard.within("load as a share of breaking", load_share, 1e-6, 1.0)
    return breaking * share / _guard.positive("elongation", elongation)
