"""Lashings, straps, wire, shackles and cable ties: from breaking strength to what may be asked of them.

Sources: IMO, Code of Safe Practice for Cargo Stowage and Securing (CSS Code), Annex 13 as amended by
MSC.1/Circ.1623.
"""

from __future__ import annotations

from secure_load.strength import _guard
from secure_load.strength.units import Newton


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
