"""Strengths of a timber in wet or dry service.

"Dry" is the 12 % column, "wet" the green one: below the sole of a boat timber stays above fibre saturation,
where the green figures hold. Many European and tropical rows have no green column; there the 12 % figure is
multiplied by a green/12 % ratio of the catalogue itself (factors ``wet-over-dry-...``, lower quartile of the
timbers with both columns printed), and for a strength by no more than
``wet-factor-strength``. One factor for all properties would flatter crushing: it loses half in the wet where
bending loses four tenths.

These are average ultimate values of clear wood, not working stresses; the strength room makes those of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from secure_load.catalogue.lookup import factor, timber
from secure_load.catalogue.rows import Timber

Service = Literal["wet", "dry"]

_PROPERTIES = ("mor", "moe", "comp_par", "comp_perp", "shear_par")
_MPA = 1e6


@dataclass(frozen=True)
class TimberStrengths:
    """Average ultimate values of one timber in one service; Pa unless said."""

    timber: Timber
    """The row they come from, with its source."""
    service: Service
    """Wet or dry."""
    mor: float
    """Bending strength (modulus of rupture)."""
    moe: float
    """Modulus of elasticity in bending."""
    comp_par: float
    """Crushing along the grain."""
    comp_perp: float
    """Crushing across the grain at the proportional limit."""
    shear_par: float
    """Shear along the grain."""
    g_ovendry: float
    """Specific gravity, ovendry mass and volume (the NDS basis)."""
    g12: float
    """Specific gravity, ovendry mass and volume at 12 %."""
    rho_mean: float
    """Mean density at 12 % moisture, kg/m3 (for the slip modulus of EN 1995-1-1; the same wet and dry)."""
    work_to_max_J_m3: float | None
    """Work to maximum load in bending, J/m3; None where no figure is known."""
    estimated: frozenset[str]
    """Names of the fields above that were worked out and not printed."""


def timber_strengths(name: str | Timber, service: Service) -> TimberStrengths:
    """Strengths of a timber, by name or row, for service "wet" or "dry".

    Raises:
        UnknownRow: no such timber.
        ValueError: another service.

    >>> round(timber_strengths("oak-white", "wet").mor / 1e6, 1)
    57.2
    """
    row = timber(name) if isinstance(name, str) else name
    if service not in ("wet", "dry"):
        raise ValueError(f"service must be 'wet' or 'dry', not '{service}'")
    estimated: set[str] = set()
    values: dict[str, float] = {}
    for each in _PROPERTIES:
        green: float | None = getattr(row, f"{each}_green_MPa")
        at12: float = getattr(row, f"{each}_12_MPa")
        if service == "dry":
            values[each], field = at12, f"{each}_12_MPa"
        elif green is not None:
            values[each], field = green, f"{each}_green_MPa"
        else:
            values[each], field = at12 * _wet_over_dry(each), ""
        if not field or field in row.estimated:
            estimated.add(each)
    work = row.work_to_max_green_J_m3 if service == "wet" else row.work_to_max_12_J_m3
    if {"g_green", "g_ovendry"} & set(row.estimated):
        estimated.add("g_ovendry")
    if "g_12" in row.estimated:
        estimated |= {"g12", "rho_mean"}
    return TimberStrengths(
        timber=row,
        service=service,
        mor=values["mor"] * _MPA,
        moe=values["moe"] * _MPA,
        comp_par=values["comp_par"] * _MPA,
        comp_perp=values["comp_perp"] * _MPA,
        shear_par=values["shear_par"] * _MPA,
        g_ovendry=row.g_ovendry,
        g12=row.g_12,
        rho_mean=row.rho_mean,
        work_to_max_J_m3=work,
        estimated=frozenset(estimated),
    )


def _wet_over_dry(of: str) -> float:
    ratio = factor(f"wet-over-dry-{of.replace('_', '-')}")
    if of == "moe":
        return ratio
    return min(ratio, factor("wet-factor-strength"))
