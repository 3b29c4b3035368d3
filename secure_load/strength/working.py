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

from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.catalogue.strengths import Service, TimberStrengths, timber_strengths
from secure_load.strength.en1995 import splitting
from secure_load.strength.timber import working_stress
from secure_load.strength.units import Metre, Newton, Pascal


@dataclass(frozen=True)
class WorkingStresses:
    """What one timber may be asked to bear for ten minutes, Pa."""

    strengths: TimberStrengths
    bending: Pascal
    shear: Pascal
    crushing: Pascal
    """Across the grain."""

    @property
    def breaking_words(self) -> str:
        """Whose figures a breaking strength of this timber is, in a line."""
        state = "green" if self.strengths.service == "wet" else "12 % moisture"
        return f"average of clear wood, {state}, Wood Handbook ch. 5, no factors"

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
    duration = factor("load-duration-ten-minutes")
    return WorkingStresses(
        strengths=strengths,
        bending=working_stress(strengths.mor, factor("cov-mor"), factor(f"d245-bending-{kind}"), duration),
        shear=working_stress(strengths.shear_par, factor("cov-shear"), factor(f"d245-shear-{kind}"), duration),
        crushing=strengths.comp_perp / factor("d245-comp-perp"),
    )


SPLITTING_BASIS = "EN 1995-1-1 8.1.4 characteristic value, k_mod / gamma M, over an EN 1990 load factor"


@dataclass(frozen=True)
class Splitting:
    """Shear on either side of a joint at which a member splits along its line of fastenings, N."""

    working: Newton
    breaking: Newton
    why: str


def splitting_strength(b: Metre, h: Metre, h_e: Metre, service: Service) -> Splitting:
    """A working and a breaking value from the characteristic one of EN 1995-1-1 8.1.4.

    Working: F_90 k_mod / (gamma_M x load factor). Breaking: the characteristic (5 %) value itself, the only one
    that is published, times k_mod wet over dry in wet service. b, h, h_e as in `en1995.splitting`.

    >>> s = splitting_strength(0.040, 0.060, 0.030, "wet")
    >>> round(s.working), round(s.breaking)
    (1557, 3374)
    """
    characteristic = splitting(b, h, h_e)
    k_mod, dry = factor(f"en1995-kmod-short-{service}"), factor("en1995-kmod-short-dry")
    gamma, load = factor("en1995-gamma-m"), assumed("steel-load-factor").number
    working = characteristic * k_mod / (gamma * load)
    breaking = characteristic * k_mod / dry
    return Splitting(
        working=working,
        breaking=breaking,
        why=f"splits at {characteristic:.0f} N to either side of a screw (EN 1995 characteristic, 8.1.4, softwood's "
        f"rule for any timber) x k_mod {k_mod:g} / gamma M {gamma:g} / load factor {load:g} = "
        f"{working:.0f} N; breaks at {breaking:.0f} N",
    )
