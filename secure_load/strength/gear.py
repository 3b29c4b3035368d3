"""What a line and a cable tie may be asked to bear, from the boat file's words and the catalogue's rows.

Lashing gear by the CSS Code Annex 13 (MSC.1/Circ.1623): maximum securing load = share x breaking strength,
times the efficiency of the knot or splice; working strength = MSL / 1.5.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from secure_load.catalogue.lookup import cable_tie, factor, factor_row, line, termination
from secure_load.strength.lines import cable_tie_strength, calculated_strength, maximum_securing_load
from secure_load.strength.units import Newton


@dataclass(frozen=True)
class Gear:
    """Working strength and stiffness of one part of a line or of one tie."""

    working: Newton
    breaking: Newton
    axial: Newton
    """EA, N."""
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
            f"{end.name}: {end.efficiency:.0%} of it left ({end.mark or 'seen in print'})",
            f"maximum securing load {share.value:.0%} of that = {msl:.0f} N; over {safety:g} = {working:.0f} N "
            f"(CSS Code Annex 13, 4 and 6)",
        ],
    )


def tie_gear(name: str) -> Gear:
    """One cable tie, two parts of strap: the loop's class x the advice factor, an assumption and shown as one."""
    row = cable_tie(name)
    advice = factor("cable-tie-advice")
    working = cable_tie_strength(row.loop_tensile_N, advice)
    return Gear(
        working=working,
        breaking=row.loop_tensile_N * row.retained,
        # a tie stretches by about a fifth before it breaks (nylon 6.6, from memory); its loop has two parts
        axial=row.loop_tensile_N / 0.2,
        basis=f"{row.name}; {advice:.0%} of its class, an assumption: no code rates a cable tie",
        why=[
            f"{row.name}: loop breaks at {row.loop_tensile_N:.0f} N when new ({row.source})",
            f"{advice:.0%} of it counted = {working:.0f} N each; assumed, no code rates a cable tie",
        ],
        assumed=True,
    )
