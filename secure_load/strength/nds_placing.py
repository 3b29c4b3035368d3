"""NDS 2018: how deep a fastener must go and how far from edges, ends and neighbours. Failing one is a
warning.

Source: American Wood Council, ANSI/AWC NDS-2018, 12.1 and 12.5 with Tables 12.5.1A to 12.5.1E, and, for
fasteners thinner than 1/4 in where the code only says "so that the wood does not split", the spacings
suggested in its Commentary (C12.1.5, C12.1.6). Seen in a second-hand copy of the standard.
"""

from __future__ import annotations

from typing import Literal

from secure_load.strength import _guard
from secure_load.strength.nds_withdrawal import FastenerKind
from secure_load.strength.units import INCH, Metre

GrainAction = Literal["along_toward_end", "along_away_from_end", "across"]


def minimum_penetration(kind: FastenerKind, D: Metre) -> Metre:
    """Least penetration into the main member for any lateral value: lag screw 4D, wood screw and nail 6D.

    NDS 2018 12.1.4.6 (lag, tip not counted), 12.1.5.6 (wood screw), 12.1.6.4 (nail). D, result in m.

    >>> round(minimum_penetration("wood_screw", 0.005), 4)
    0.03
    """
    _guard.one_of("fastener kind", kind, ("lag_screw", "wood_screw", "nail"))
    return (4.0 if kind == "lag_screw" else 6.0) * _guard.positive("fastener diameter", D, "m")


def main_bearing_length(penetration: Metre, tip: Metre) -> Metre:
    """Dowel bearing length in the main member of a pointed fastener: p less half the tapered tip, m.

    NDS 2018 12.3.5.3. penetration (with tip), tip length in m. A nail's or screw's tip is about 2 D long.

    >>> round(main_bearing_length(0.030, 0.010), 4)
    0.025
    """
    p = _guard.positive("penetration", penetration, "m")
    tip = _guard.not_negative("tip length", tip, "m")
    if tip > p:
        raise ValueError(f"tip length must not exceed the penetration {p:g} m, got {tip:g}")
    return p - tip / 2.0


def end_distance(D: Metre, action: GrainAction, softwood: bool, prebored: bool = True) -> Metre:
    """Least distance from the end of the member for the full value, m.

    D >= 1/4 in: 4D across the grain and away from the end; towards the end 7D in softwood, 5D in hardwood
    (NDS 2018 Table 12.5.1A; half of it is allowed at half the value). D < 1/4 in: 5D across and away, 10D
    towards the end when prebored, else 10D and 15D (Commentary). D in m.

    >>> round(end_distance(0.005, "along_toward_end", softwood=True), 4)
    0.05
    """
    _guard.positive("fastener diameter", D, "m")
    _guard.one_of("action", action, ("along_toward_end", "along_away_from_end", "across"))
    toward = action == "along_toward_end"
    if D >= 0.25 * INCH:
        return (7.0 if softwood else 5.0) * D if toward else 4.0 * D
    if prebored:
        return (10.0 if toward else 5.0) * D
    return (15.0 if toward else 10.0) * D


HALF_END, LEAST_SPACING = 0.5, 0.75
"""Least end distance and spacing at which anything is counted, over those for the full value: 2D and 3D over 4D, NDS
2018 Tables 12.5.1A and 12.5.1B."""


def geometry_factor(end: Metre, spacing: Metre | None, D: Metre) -> float:
    """C_delta of a row of screws along the grain of a piece that is pushed across its grain, at most 1.

    The lesser of end distance and spacing over those for the full value (NDS 2018 12.5.1.2(a) and (c), taken for the
    whole row from the worst placed). The code does so for D >= 1/4 in; for thinner screws, whose distances are those
    of the Commentary, it is an assumption. Below ``HALF_END`` and ``LEAST_SPACING`` the code counts nothing; the
    ratio is then no code's. spacing: None for a lone screw. Metres.

    >>> round(geometry_factor(0.024, 0.048, 0.008), 9)
    0.75
    """
    shares = [_guard.positive("end distance", end, "m") / end_distance(D, "across", softwood=True)]
    if spacing is not None:
        shares.append(_guard.positive("spacing", spacing, "m") / spacing_in_row(D, row_along_grain=True))
    return min(1.0, *shares)


def edge_distance(D: Metre, loaded_edge: bool) -> Metre:
    """Least distance from the edge of the member, m.

    D >= 1/4 in: 4D from an edge loaded across the grain, 1.5D from any other (NDS 2018 Table 12.5.1C, slender
    fasteners in several rows may need more). D < 1/4 in: 2.5D (Commentary), and the 4D of larger ones is kept
    for a loaded edge (common practice). D in m.

    >>> edge_distance(0.008, loaded_edge=True)
    0.032
    """
    _guard.positive("fastener diameter", D, "m")
    if loaded_edge:
        return 4.0 * D
    return (1.5 if D >= 0.25 * INCH else 2.5) * D


def spacing_in_row(D: Metre, row_along_grain: bool, prebored: bool = True) -> Metre:
    """Least spacing of fasteners in a row for the full value, m.

    D >= 1/4 in: 4D (NDS 2018 Table 12.5.1B). D < 1/4 in: along the grain 10D prebored, else 15D; across it 5D
    prebored, else 10D (Commentary). D in m.

    >>> round(spacing_in_row(0.005, row_along_grain=True), 4)
    0.05
    """
    _guard.positive("fastener diameter", D, "m")
    if D >= 0.25 * INCH:
        return 4.0 * D
    if row_along_grain:
        return (10.0 if prebored else 15.0) * D
    return (5.0 if prebored else 10.0) * D


def lag_withdrawal_distances(D: Metre) -> dict[str, Metre]:
    """Least edge (1.5D), end (4D) and spacing (4D) of lag screws loaded in withdrawal only; NDS 2018 Table
    12.5.1E.

    D in m, distances in m under the keys ``edge``, ``end`` and ``spacing``.

    >>> lag_withdrawal_distances(0.008)
    {'edge': 0.012, 'end': 0.032, 'spacing': 0.032}
    """
    _guard.positive("lag screw diameter", D, "m")
    return {"edge": 1.5 * D, "end": 4.0 * D, "spacing": 4.0 * D}
