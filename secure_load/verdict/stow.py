"""One weight as the engine sees it: its box, its links, the parts of its restraints, and what was assumed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal, TypeVar

import numpy as np

from secure_load.boat.models import (
    AnyRestraint,
    Batten,
    Bed,
    BoatParticulars,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Lashing,
    Neighbour,
    Strap,
    Weight,
)
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import friction
from secure_load.catalogue.strengths import Service
from secure_load.statics import contact, lines, stiffness
from secure_load.statics.arrays import Index
from secure_load.statics.assume import Notes, filled, size_of
from secure_load.statics.body import Body, face_axes
from secure_load.statics.contact import Fitting
from secure_load.statics.links import Link, Links, assemble
from secure_load.statics.preload import settle_preload
from secure_load.strength.fastenings import fastening
from secure_load.strength.gear import line_gear, tie_gear
from secure_load.verdict.parts import Part, bolt_screws, parts_of, screws_of

Bound = Literal["low", "high"]
Result = TypeVar("Result")


class CannotCheck(Exception):
    """A weight that cannot be checked as it is written: one sentence, with where it is."""

    def __init__(self, weight: str, restraint: str | None, key: str | None, problem: str) -> None:
        self.weight, self.restraint, self.key, self.problem = weight, restraint, key, problem
        where = f"weight '{weight}'" + (f", restraint '{restraint}'" if restraint else "")
        super().__init__(f"{where}: {problem}")


@dataclass(frozen=True)
class Stowed:
    """A weight ready to be solved."""

    weight: Weight
    body: Body
    service: Service
    fittings: list[Fitting]
    links: Links
    """With friction at its low bound."""
    links_high: Links | None
    """With friction at its high bound, where a named pair has two."""
    parts: list[list[Part]]
    """By fitting."""
    rows: list[Index]
    """Normal rows of each fitting."""
    notes: Notes
    warnings: list[str]

    @property
    def ties(self) -> list[int]:
        """Which fittings are cable ties."""
        return [f.index for f in self.fittings if isinstance(f.restraint, CableTie)]

    @property
    def fastened(self) -> list[int]:
        """Which fittings are something that somebody fastened: all but plain bearings."""
        return [f.index for f in self.fittings if not isinstance(f.restraint, Bed)]


def stow(weight: Weight, boat: BoatParticulars) -> Stowed:
    """Prepare one weight. Raises CannotCheck, in one sentence, for what cannot be worked out."""
    service: Service = "wet" if boat.bilge == "wet" else "dry"
    notes = Notes()
    body = Body(weight.mass, np.array(weight.at_m, dtype=float), size_of(weight, notes))
    fittings: list[Fitting] = []
    parts: list[list[Part]] = []
    low: list[Link] = []
    high: list[Link] = []
    warnings: list[str] = []
    gapless = _named(weight.id, None, partial(filled, weight, boat, notes))
    for index, (name, restraint) in enumerate(gapless):
        slippery = _named(weight.id, name, partial(fit, body, restraint, name, index, service, "low"))
        rough = _named(weight.id, name, partial(fit, body, restraint, name, index, service, "high"))
        low.extend(slippery.links)
        high.extend(rough.links)
        fittings.append(slippery)
        is_assumed = name in notes.strength
        own = _named(weight.id, name, partial(parts_of, fittings[-1], service, is_assumed))
        parts.append(own)
        warnings.extend(_warnings(fittings[-1], service))
    if not weight.measured:
        notes.lines.append(f"mass: {weight.mass:g} kg is not marked as weighed")
    links = settle_preload(assemble(low, body.rho), body.mass)
    differ = [x.friction for x in low] != [x.friction for x in high]
    return Stowed(
        weight=weight,
        body=body,
        service=service,
        fittings=fittings,
        links=links,
        links_high=settle_preload(assemble(high, body.rho), body.mass) if differ else None,
        parts=parts,
        rows=[np.flatnonzero(links.restraint == f.index) for f in fittings],
        notes=notes,
        warnings=warnings,
    )


def _named(weight: str, restraint: str | None, work: Callable[[], Result]) -> Result:
    """Do some work on a restraint; say which one it was where it cannot be done."""
    try:
        return work()
    except (UnknownRow, ValueError) as problem:
        raise CannotCheck(weight, restraint, None, str(problem)) from problem


def coefficient(pair: float | str | None, bound: Bound) -> float:
    """Friction as a number: as measured, or a named pair's low or high. Raises UnknownRow for another name."""
    if pair is None:
        return 0.0
    if isinstance(pair, str):
        row = friction(pair)
        return row.low if bound == "low" else row.high
    return float(pair)


def fit(body: Body, restraint: AnyRestraint, name: str, index: int, service: Service, bound: Bound) -> Fitting:
    """One restraint without gaps as links. Raises UnknownRow or ValueError, in words."""
    ratio = assumed("tangential-ratio").number
    match restraint:
        case Bed():
            a, b = face_axes(restraint.face)
            size = restraint.size_m or (float(body.size[a]), float(body.size[b]))
            stiff = stiffness.bed_stiffness(restraint, service, size)
            return contact.bed(body, restraint, name, index, stiff, coefficient(restraint.friction, bound), ratio)
        case Cleat() | Batten():
            return _blocked(body, restraint, name, index, service, coefficient(restraint.friction, bound), ratio)
        case Lashing():
            return lines.lashing(body, restraint, name, index, _axial(restraint))
        case Strap():
            ends = (np.array(restraint.from_m) - body.at, np.array(restraint.to_m) - body.at)
            return lines.strap(body, restraint, name, index, _axial(restraint), ends, restraint.tension_N)
        case CableTie():
            assert restraint.tie is not None
            assert restraint.from_m is not None
            assert restraint.to_m is not None
            ends = (np.array(restraint.from_m) - body.at, np.array(restraint.to_m) - body.at)
            return lines.strap(body, restraint, name, index, tie_gear(restraint.tie).axial * restraint.count, ends, 0.0)
        case Bolt():
            stiff = stiffness.bolt_stiffness(restraint, fastening(bolt_screws(restraint), service))
            return contact.bolt(body, restraint, name, index, stiff)
        case Bond():
            if restraint.strength_N is None:
                raise ValueError("no published figure covers a bonded bed: give its tested strength as strength_N")
            return contact.bond(body, restraint, name, index, stiffness.bond_stiffness(restraint))
        case Neighbour():
            raise ValueError(
                "weights that lean on one another cannot be checked together yet; "
                "give the weight a cleat of its own, or enter the two as one weight"
            )


def _axial(line: Lashing | Strap) -> float:
    """EA of all parts of a line, N."""
    assert line.line is not None
    return line_gear(line.line, line.termination).axial * line.turns


def _blocked(
    body: Body, restraint: Cleat | Batten, name: str, index: int, service: Service, mu: float, ratio: float
) -> Fitting:
    """A cleat or batten: its contact first, for the area its stiffness needs, then its links."""
    if isinstance(restraint, Cleat):
        first = contact.cleat(body, restraint, name, index, 1.0, mu, ratio)
        screws = screws_of(first, service)
        assert screws is not None
        stiff = stiffness.cleat_stiffness(restraint, service, *screws, first.area)
    else:
        first = contact.batten(body, restraint, name, index, 1.0, mu, ratio)
        screws = screws_of(first, service)
        assert screws is not None
        stiff = stiffness.batten_stiffness(restraint, service, *screws)
    return replace(first, links=[replace(link, stiffness=link.stiffness * stiff) for link in first.links])


def _warnings(fitting: Fitting, service: Service) -> list[str]:
    found: list[str] = []
    restraint = fitting.restraint
    if isinstance(restraint, Bed) and restraint.on == "planking":
        found.append(f"{fitting.id}: it bears on planking; bear ballast on floors, keel or frames")
    if isinstance(restraint, Batten | Cleat) and restraint.strength_N is None:
        screws = screws_of(fitting, service)
        assert screws is not None
        found.extend(f"{fitting.id}: {each}" for each in screws[0].warnings)
        if isinstance(restraint, Batten) and screws[1] < 2:
            found.append(f"{fitting.id}: a batten needs a screw at each end")
    return found
