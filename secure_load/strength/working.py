"""Working stresses of a catalogue timber.

Method: 5 % lower exclusion value of the clear-wood average (ASTM D2555, normal distribution) divided by the
adjustment factor of ASTM D245, which holds normal duration of load and safety; bending and shear are then
multiplied by the NDS load duration factor for ten minutes. Crushing across the grain: average divided by its
D245 factor, no duration factor (NDS 2.3.2). Clear, straight-grained timber is taken: knots and short grain are
the owner's to look for.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from secure_load.catalogue.lookup import factor
from secure_load.catalogue.strengths import Service, TimberStrengths, timber_strengths
from secure_load.strength.timber import working_stress
from secure_load.strength.units import Pascal


@dataclass(frozen=True)
class WorkingStresses:
    """What one timber may be asked to bear for ten minutes, Pa."""

    strengths: TimberStrengths
    bending: Pascal
    shear: Pascal
    crushing: Pascal
    """Across the grain."""

    @property
    def basis(self) -> str:
        """Whose figures these are, in a line."""
        row = self.strengths.timber
        mark = f" ({row.mark})" if row.mark else ""
        state = "green" if self.strengths.service == "wet" else "12 % moisture"
        return f"{row.name}, {state}: {row.source}{mark}; ASTM D2555/D245 working stress"


@lru_cache(maxsize=256)
def working_stresses(name: str, service: Service) -> WorkingStresses:
    """Working stresses of a timber by name, for wet or dry service. Raises UnknownRow for no such timber.

    >>> round(working_stresses("oak-white", "wet").bending / 1e6, 1)
    29.3
    """
    strengths = timber_strengths(name, service)
    kind = "softwood" if strengths.timber.kind == "softwood" else "hardwood"
    duration = factor("nds-load-duration")
    return WorkingStresses(
        strengths=strengths,
        bending=working_stress(strengths.mor, factor("cov-mor"), factor(f"d245-bending-{kind}"), duration),
        shear=working_stress(strengths.shear_par, factor("cov-shear"), factor(f"d245-shear-{kind}"), duration),
        crushing=strengths.comp_perp / factor("d245-comp-perp"),
    )
