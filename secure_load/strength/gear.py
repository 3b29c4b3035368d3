"""What a line and a cable tie may be asked to bear, from the boat file's words and the catalogue's rows.

Lashing gear by the CSS Code Annex 13 (MSC.1/Circ.1623): maximum securing load = share x breaking strength,
times the efficiency of the knot or splice; working strength = MSL / 1.5. The parts of a line in series (the line, its
ends, a shackle) each have a figure of their own, the weakest governs (Annex 13, 4.4).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from secure_load.catalogue.lookup import cable_tie, factor, factor_row, line, shackle, termination
from secure_load.strength.lines import cable_tie_strength, calculated_strength, maximum_securing_load
from secure_load.strength.units import Newton


@dataclass(frozen=True)
class Gear:
    """Working strength and stiffness of one part of a line or of one tie."""

    working: Newton
    breaking: Newton
    axial: Newton
    """EA, N; infinite for a fitting that gives nothing to speak of."""
    basis: str
    why: list[str] = field(default_factory=list[str])
    assumed: bool = False


def line_gear(name: str, ending: str | None) -> Gear:
    """One part of a line with its ending. Raises UnknownRow for a name that is not in the catalogue."""
    row = line(name)
    end = termination(ending or row.termination)
    share = factor_row(row.msl_share)
    safety = factor("css-safety-factor")
    msl = maximum_securing_load(row.breaking_N, share.value, end.efficiency)
    working = calculated_strength(msl, safety)
    mark = f" ({row.mark})" if row.mark else ""
    return Gear(
        working=working,
        breaking=row.breaking_N * end.efficiency,
        axial=row.EA_N,
        basis=f"{row.name}{mark}; CSS Code Annex 13 working strength",
        why=[
            f"{row.name}: breaks at {row.breaking_N:.0f} N ({row.source}{mark})",
            f"{end.name}: {100 * end.efficiency:.0f} % of it left ({end.mark or 'seen in print'})",
            f"maximum securing load {100 * share.value:.0f} % of that = {msl:.0f} N; over {safety:g} = {working:.0f} N "
            f"(CSS Code Annex 13, 4 and 6)",
        ],
    )


def bare_line(name: str) -> Gear:
    """One part of a line between its ends. Raises UnknownRow."""
    row = line(name)
    mark = f" ({row.mark})" if row.mark else ""
    return _by_share(
        row.breaking_N,
        row.msl_share,
        axial=row.EA_N,
        basis=f"{row.name}{mark}; CSS Code Annex 13 working strength",
        breaks=f"{row.name}: breaks at {row.breaking_N:.0f} N ({row.source}{mark})",
    )


def shackle_gear(name: str) -> Gear:
    """A shackle or turnbuckle in a line: half its breaking strength over 1.5; CSS Annex 13, 4 table 1.

    Raises UnknownRow.

    >>> round(shackle_gear("shackle-7").working)
    7400
    """
    row = shackle(name)
    mark = f" ({row.mark})" if row.mark else ""
    return _by_share(
        row.breaking_N,
        "css-share-shackle",
        axial=math.inf,
        basis=f"{row.name}{mark}; CSS Code Annex 13 working strength",
        breaks=f"{row.name}: breaks at {row.breaking_N:.0f} N ({row.source}{mark})",
    )


def eye_bolt_gear(name: str, area: float, f_u: float) -> Gear:
    """The thread of a through-bolted eye as a deckeye of mild steel: half of f_u x area over 1.5; CSS Annex 13, 4.

    area: stress area, m2; f_u: tensile strength, Pa. Pulled square to its base; one pulled across bears far less.
    """
    breaking = f_u * area
    return _by_share(
        breaking,
        "css-share-shackle",
        axial=math.inf,
        basis=f"{name}; CSS Code Annex 13 working strength of a deckeye",
        breaks=f"{name}: breaks at {breaking:.0f} N (tensile strength x stress area), pulled square to its base; "
        "pulled across it bears far less",
    )


def _by_share(breaking: Newton, share: str, axial: Newton, basis: str, breaks: str) -> Gear:
    part, safety = factor_row(share), factor("css-safety-factor")
    msl = maximum_securing_load(breaking, part.value)
    working = calculated_strength(msl, safety)
    return Gear(
        working=working,
        breaking=breaking,
        axial=axial,
        basis=basis,
        why=[
            breaks,
            f"maximum securing load {100 * part.value:.0f} % of that = {msl:.0f} N; over {safety:g} = {working:.0f} N "
            f"(CSS Code Annex 13, 4 and 6)",
        ],
    )


def tie_gear(name: str) -> Gear:
    """One cable tie over a weight, as the tension in its strap.

    The class of a tie is the force that pulls the two halves of a mandrel apart inside its closed loop (IEC
    62275), so each of the two legs has half of it. The advice factor is an assumption and shown as one.
    """
    row = cable_tie(name)
    advice = factor("cable-tie-advice")
    leg = 0.5 * row.loop_tensile_N
    working = cable_tie_strength(leg, advice)
    return Gear(
        working=working,
        breaking=leg * row.retained,
        # a tie stretches by about a fifth before it breaks (nylon 6.6, from memory)
        axial=leg / 0.2,
        basis=f"{row.name}; {100 * advice:.0f} % of its class, an assumption: no code rates a cable tie",
        why=[
            f"{row.name}: a loop breaks at {row.loop_tensile_N:.0f} N when new, half in each leg ({row.source})",
            f"{100 * advice:.0f} % of that counted = {working:.0f} N in each leg; assumed, no code rates a cable tie",
            f"breaks at {leg * row.retained:.0f} N in a leg: {100 * row.retained:.0f} % of its class is kept "
            "when conditioned",
        ],
        assumed=True,
    )
