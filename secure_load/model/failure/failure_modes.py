"""The parts of a restraint in series, and how hard each is worked by the forces in its links.

The strengths behind a part come from the strength room; what is made of timber is in ``timber_parts``, what pulls
in ``line_parts``, and what a part is in ``part``.
"""

from __future__ import annotations

from secure_load.boat.findings import factor_of, finding_words, open_findings
from secure_load.boat.models import Batten, Bed, Bolt, Bond, CableTie, Cleat, Lashing, Screws, Strap
from secure_load.catalogue.lookup import factor
from secure_load.catalogue.strengths import Service
from secure_load.model.assumptions import Under
from secure_load.model.contact import RestraintModel
from secure_load.model.failure.failure_mode import FailureMode, UtilisationLaw, by_bolts, by_resultant, derated
from secure_load.model.failure.line_failure_modes import given_part, given_words, line_parts, tie_parts
from secure_load.model.failure.timber_failure_modes import (
    batten_parts,
    bed_parts,
    cleat_parts,
    held_down_parts,
    screws_of,
)
from secure_load.solver.arrays import Array
from secure_load.strength.fastenings import fastening

__all__ = ["FailureMode", "UtilisationLaw", "bolt_screws", "parts_of", "screws_of"]


def parts_of(fitting: RestraintModel, service: Service, assumed: bool, under: Under | None = None) -> list[FailureMode]:
    """All parts of a restraint without gaps, the weakest not yet known.

    ``assumed``: its strength rests on something nobody wrote down. ``under``: what holds the landing or sole that it
    is screwed to. What inspections found takes off strength
    from every part alike: nobody but the owner knows which of them it is about.
    """
    parts = _as_new(fitting, service, assumed)
    if under is not None:
        parts += held_down_parts(fitting, under, service)
    factor = factor_of(fitting.restraint)
    if factor == 1.0:
        return parts
    why = [f"found {finding_words(f)} (the owner's judgement)" for f in open_findings(fitting.restraint)]
    return [derated(part, factor, why) for part in parts]


def _as_new(fitting: RestraintModel, service: Service, assumed: bool) -> list[FailureMode]:
    restraint = fitting.restraint
    if restraint.strength_N is not None:
        return [_given(restraint.strength_N, fitting.shares if isinstance(restraint, Bolt | Bond) else None)]
    match restraint:
        case Cleat():
            return cleat_parts(fitting, restraint, service, assumed)
        case Batten():
            return batten_parts(fitting, restraint, service, assumed)
        case Lashing() | Strap():
            return line_parts(restraint, service, assumed)
        case CableTie():
            return tie_parts(restraint)
        case Bolt():
            return _bolt(fitting, restraint, service, assumed)
        case Bed():
            return bed_parts(fitting, restraint, service, assumed)
        case _:
            return []


def _given(strength: float, shares: Array | None) -> FailureMode:
    """``shares``: of its points, where it holds both ways."""
    if shares is None:
        return given_part("given", strength)
    breaking = strength * factor("css-safety-factor")
    return FailureMode(
        "given", by_resultant(strength, shares), by_resultant(breaking, shares), "given", given_words(strength)
    )


def _bolt(fitting: RestraintModel, bolt: Bolt, service: Service, assumed: bool) -> list[FailureMode]:
    each = fastening(bolt_screws(bolt), service, weight_thickness=fitting.through)
    what = "bolts" if each.pull_part == "bolt metal" else f"bolts or {each.pull_part}"
    return [
        FailureMode(
            what,
            by_bolts(each.shear, each.pull),
            by_bolts(each.breaking_shear, each.breaking_pull),
            each.basis,
            [*each.why, *each.breaking_why],
            assumed,
        )
    ]


def bolt_screws(bolt: Bolt) -> Screws:
    """The bolts of a weight as a set of fastenings."""
    assert bolt.size is not None
    return Screws(
        kind="bolt",
        diameter_mm=float(bolt.size.lstrip("Mm")),
        count=bolt.count,
        penetration_mm=bolt.thickness_mm,
        into=bolt.into,
        metal=bolt.metal,
        washer_mm=bolt.washer_mm,
    )
