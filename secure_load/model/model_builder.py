"""Weights as the engine sees them: their boxes, their links, the parts of their restraints, what was assumed.

Weights that lean on one another (``neighbour``) are stowed together and solved together, so that what one
presses on the next is felt by both. A weight that touches no other is a group of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Literal, TypeVar

import numpy as np

from secure_load.boat.findings import finding_words, open_findings
from secure_load.boat.models import (
    AnyRestraint,
    Batten,
    Bed,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Lashing,
    Neighbour,
    SharedBatten,
    SharedCleat,
    Strap,
    Weight,
)
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import friction
from secure_load.catalogue.strengths import Service
from secure_load.model import contact, lines, stiffness
from secure_load.model.assumptions import Assumptions, with_defaults
from secure_load.model.body import Body
from secure_load.model.contact import RestraintModel, joined
from secure_load.model.contact_patch import footprint, patch
from secure_load.model.failure.failure_modes import FailureMode, bolt_screws, parts_of, screws_of
from secure_load.model.group_model import HIGH_FRICTION, NOMINAL, STIFFNESS_SPREAD, CannotCheck, GroupModel, Member
from secure_load.model.placement import Placement, placement
from secure_load.model.planking import Boat, particulars_of
from secure_load.model.preload import settle_preload
from secure_load.model.rules.corrosion import corrosion_warnings
from secure_load.model.rules.fastening_distances import placing_doubts, placing_warnings
from secure_load.model.rules.loose_ingots import question
from secure_load.model.sliding import moved_first, with_bodies_sliding
from secure_load.model.weight_body import body_of
from secure_load.solver.arrays import Array
from secure_load.solver.springs import Spring, SpringSet, assemble
from secure_load.strength.fastenings import fastening
from secure_load.strength.gear import line_gear, tie_gear

Bound = Literal["low", "high"]
Result = TypeVar("Result")
MM = 1e-3

SLIDES = (
    "friction: three quarters of the static, as of what slides, for it first moves through slack (CTU Code Appendix 2)"
)
"""Written down of a weight that has slack."""


@dataclass
class _Rows:
    """SpringSet as they are gathered, with the least and the most friction and tension."""

    least: list[Spring] = field(default_factory=list[Spring])
    most: list[Spring] = field(default_factory=list[Spring])


def build_single_model(weight: Weight, boat: Boat) -> GroupModel:
    """Prepare one weight that leans on no other. Raises CannotCheck, in one sentence."""
    return build_model([weight], boat)


def build_model(weights: list[Weight], boat: Boat) -> GroupModel:
    """Prepare weights that touch one another. Raises CannotCheck, in one sentence, for what cannot be worked out."""
    service: Service = "wet" if particulars_of(boat).bilge == "wet" else "dry"
    members: list[Member] = []
    gapless: list[list[tuple[str, AnyRestraint]]] = []
    for weight in weights:
        notes = Assumptions()
        body = _with_context(weight.id, None, partial(body_of, weight, notes, boat))
        gapless.append(_with_context(weight.id, None, partial(with_defaults, weight, boat, notes)))
        asked = question(weight)
        if asked is not None:
            notes.doubts.append(asked)
        if not weight.measured:
            notes.lines.append(f"mass: {weight.mass:g} kg is not marked as weighed")
        members.append(Member(weight, body, notes, _weight_warnings(weight, service)))
    least: list[RestraintModel] = []
    most: list[RestraintModel] = []
    touching: set[frozenset[int]] = set()
    places = {m.weight.id: i for i, m in enumerate(members)}
    shared: dict[str, int] = {}
    for owner, member in enumerate(members):
        for name, restraint in gapless[owner]:
            place = _with_context(member.weight.id, name, partial(placement, member.body, restraint))
            _note(member.notes, name, place)
            if not place.acts:
                continue
            other = None
            if isinstance(restraint, Neighbour):
                other = places[restraint.weight]
                pair = frozenset((owner, other))
                if pair in touching:
                    continue
                touching.add(pair)
            index = len(least)
            if isinstance(restraint, SharedBatten | SharedCleat):
                index = shared.setdefault(name, index)
            fit_one = partial(_fit, members, owner, other, restraint, place, name, index, service)
            ways: list[tuple[Bound, list[RestraintModel]]] = [("low", least), ("high", most)]
            for bound, found in ways:
                model = _with_context(member.weight.id, name, partial(fit_one, bound))
                if index < len(found):
                    found[index] = joined([*(found[index].pieces or [found[index]]), model])
                else:
                    found.append(model)
    failure_modes = [_failure_modes(members, fitting, service) for fitting in least]
    sliding = moved_first(least)
    restraints = [with_bodies_sliding(f, sliding) for f in least]
    rows = _Rows([row for f in restraints for row in f.springs], [row for f in most for row in f.springs])
    for body in sliding:
        if any(link.friction > 0.0 for f in restraints if body in (*f.owners, f.other) for link in f.springs):
            members[body].notes.lines.append(SLIDES)
    _raise_if_ill_conditioned(members, restraints)
    bounds = _bounds(members, rows)
    return GroupModel(members, service, restraints, failure_modes, bounds, frozenset(sliding))


def _failure_modes(members: list[Member], restraint: RestraintModel, service: Service) -> list[FailureMode]:
    """What may fail of a restraint; what there is to say of it is noted on every weight that it holds."""
    member = members[restraint.owner]
    is_assumed = restraint.id in member.notes.strength
    under = member.notes.under.get(restraint.id)
    found = _with_context(member.weight.id, restraint.id, partial(parts_of, restraint, service, is_assumed, under))
    for owner in restraint.owners:
        members[owner].warnings.extend(_warnings(restraint, service))
        members[owner].notes.doubts.extend(f"{restraint.id}: {each}" for each in placing_doubts(restraint, service))
    return found


GAS = (
    "gas is heavier than air and lies in the bilge until something lights it; stow the bottle in a locker that is "
    "sealed from the cabin and drains overboard, as her local code has it (drained_locker)"
)


def _weight_warnings(weight: Weight, service: Service) -> list[str]:
    """What is to be said of a weight before anything is worked out."""
    gas = [GAS] if weight.kind == "gas" and not weight.drained_locker else []
    return [*gas, *(corrosion_warnings(weight) if service == "wet" else [])]


def _note(notes: Assumptions, name: str, place: Placement) -> None:
    """Write down what follows from where a restraint lies."""
    if place.fault is not None:
        notes.faults.append(f"{name}: {place.fault}")
    if place.doubt is not None:
        notes.doubts.append(f"{name}: {place.doubt}")
    if place.gap > 0.0:
        notes.lines.append(f"{name}: at_m stands {place.gap / MM:.1f} mm off the weight; counted as slack")


MAX_STIFFNESS_RATIO = 1e7
"""Beyond this ratio of the stiffest to the softest spring, double precision leaves no figure of the softest's force."""


def _raise_if_ill_conditioned(members: list[Member], restraints: list[RestraintModel]) -> None:
    """Raise CannotCheck where one restraint is too much softer than another for both to be solved together."""
    springs = [(link.stiffness, f) for f in restraints for link in f.springs if link.stiffness > 0.0]
    softest = min(springs, key=lambda each: each[0], default=None)
    if softest is not None and max(each[0] for each in springs) > MAX_STIFFNESS_RATIO * softest[0]:
        raise CannotCheck(
            members[softest[1].owner].weight.id,
            softest[1].id,
            None,
            f"it is more than {MAX_STIFFNESS_RATIO:,.0f} times softer than what else holds the weight; look at its "
            "size and stiffness",
        )


def _bounds(members: list[Member], rows: _Rows) -> dict[str, SpringSet]:
    """The links between their bounds: friction and tension least and most, stiffness as worked out and spread."""
    rotation_scale = [m.body.rotation_scale for m in members]
    mass = [m.body.mass for m in members]
    least = assemble(rows.least, rotation_scale)
    spread = spread_factors(least)
    bounds = {NOMINAL: least}
    if spread is not None:
        bounds[STIFFNESS_SPREAD] = least.with_stiffness_scaled(spread)
    if any(a.friction != b.friction or a.preload != b.preload for a, b in zip(rows.least, rows.most, strict=True)):
        most = assemble(rows.most, rotation_scale)
        bounds[HIGH_FRICTION] = most
    return {name: settle_preload(links, mass) for name, links in bounds.items()}


def spread_factors(links: SpringSet) -> Array | None:
    """2 for the stiffer restraints' rows, 1/2 for the softer, 1 for measured ones; None: there is nothing to spread.

    Soft and stiff are told apart at the geometric middle of the least and the greatest stiffness of a restraint.
    """
    doubtful = ~links.measured
    if not doubtful.any():
        return None
    # rows are shares of a contact; those that act both ways come in three directions
    contact = 2 * links.restraint + links.one_way
    total = np.bincount(contact, links.stiffness)[contact] / np.where(links.one_way, 1.0, 3.0)
    logs = np.log(total)
    low, high = float(logs[doubtful].min()), float(logs[doubtful].max())
    if high - low < 0.01:
        return None
    factor = np.where(logs > 0.5 * (low + high), 2.0, 0.5)
    return np.where(doubtful, factor, 1.0)


def _with_context(weight: str, restraint: str | None, work: Callable[[], Result]) -> Result:
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


def _fit(
    members: list[Member],
    owner: int,
    other: int | None,
    restraint: AnyRestraint,
    place: Placement,
    name: str,
    index: int,
    service: Service,
    bound: Bound,
) -> RestraintModel:
    """One restraint of one member, its links moved to that member's unknowns and given their slack."""
    body = members[owner].body
    if isinstance(restraint, Neighbour):
        assert other is not None
        stiff = assumed("rigid-stiffness").number / MM
        if restraint.stiffness_N_per_mm is not None:
            stiff = restraint.stiffness_N_per_mm / MM
        fitting = contact.neighbour(
            body,
            members[other].body,
            restraint,
            name,
            index,
            stiff,
            coefficient(restraint.friction, bound),
            assumed("tangential-ratio").number,
        )
    else:
        fitting = springs_of(body, restraint, name, index, service, bound)
    bodies = [owner] if other is None else [owner, other]
    links = [
        replace(
            link,
            attachments=[replace(leg, body=bodies[leg.body]) for leg in link.attachments],
            gap=link.gap + restraint.slack_mm * MM + place.gap,
            measured=restraint.stiffness_N_per_mm is not None,
        )
        for link in fitting.springs
    ]
    return replace(fitting, springs=links, owner=owner, other=other)


def springs_of(
    body: Body,
    restraint: AnyRestraint,
    name: str,
    index: int,
    service: Service,
    bound: Bound,
    shift: Array | None = None,
) -> RestraintModel:
    """One restraint without gaps as links on one body. Raises UnknownRow or ValueError, in words.

    shift: (3,) by which the weight has moved along what bears on it, in its own axes, m.
    """
    ratio = assumed("tangential-ratio").number
    match restraint:
        case Bed():
            place = footprint(body, restraint, shift)
            met = patch(body, place, contact.FACE)
            # what of a whole face lies beside the weight is as stiff as if it bore
            size = place.size if met.is_patch else met.size
            stiff = stiffness.bed_stiffness(restraint, service, size)
            return contact.bed(body, restraint, name, index, met, stiff, coefficient(restraint.friction, bound), ratio)
        case Cleat() | Batten():
            mu = coefficient(restraint.friction, bound)
            return _blocked(body, restraint, name, index, service, mu, ratio, shift)
        case Lashing():
            return lines.lashing(body, restraint, name, index, _axial(restraint), _tension(restraint, bound))
        case Strap():
            ends = (np.array(restraint.from_m) - body.at, np.array(restraint.to_m) - body.at)
            return lines.strap(body, restraint, name, index, _axial(restraint), ends, _tension(restraint, bound))
        case CableTie():
            assert restraint.tie is not None
            assert restraint.from_m is not None
            assert restraint.to_m is not None
            ends = (np.array(restraint.from_m) - body.at, np.array(restraint.to_m) - body.at)
            return lines.strap(body, restraint, name, index, tie_gear(restraint.tie).axial * restraint.count, ends, 0.0)
        case Bolt():
            stiff = stiffness.bolt_stiffness(restraint, fastening(bolt_screws(restraint), service))
            return contact.bolt(body, restraint, name, index, stiff, assumed("rigid-stiffness").number / MM)
        case Bond():
            return contact.bond(body, restraint, name, index, stiffness.bond_stiffness(restraint))
        case Neighbour():
            raise ValueError("a neighbour is fitted together with the weight it leans on")


def _tension(line: Lashing | Strap, bound: Bound) -> float:
    """Tension at rest: after the loss the owner expects, or before it."""
    return line.tension_N * (1.0 - line.tension_loss if bound == "low" else 1.0)


def _axial(line: Lashing | Strap) -> float:
    """EA of all parts of a line, N."""
    assert line.line is not None
    return line_gear(line.line, line.termination).axial * line.turns


def _blocked(
    body: Body,
    restraint: Cleat | Batten,
    name: str,
    index: int,
    service: Service,
    mu: float,
    ratio: float,
    shift: Array | None,
) -> RestraintModel:
    """A cleat or batten: its contact first, for the area its stiffness needs, then its links."""
    place = footprint(body, restraint, shift)
    if isinstance(restraint, Cleat):
        first = contact.cleat(body, restraint, name, index, 1.0, mu, ratio, place)
        screws = screws_of(first, service)
        assert screws is not None
        stiff = stiffness.cleat_stiffness(restraint, service, *screws, first.area)
    else:
        first = contact.batten(body, restraint, name, index, 1.0, mu, ratio, place)
        screws = screws_of(first, service)
        assert screws is not None
        stiff = stiffness.batten_stiffness(restraint, service, *screws)
    return replace(first, springs=[replace(link, stiffness=link.stiffness * stiff) for link in first.springs])


def _warnings(fitting: RestraintModel, service: Service) -> list[str]:
    found: list[str] = []
    restraint = fitting.restraint
    if isinstance(restraint, Bed) and restraint.on == "planking":
        found.append(f"{fitting.id}: it bears on planking; bear ballast on floors, keel or frames")
    found.extend(f"{fitting.id}: found {finding_words(f)}, not put right" for f in open_findings(restraint))
    found.extend(f"{fitting.id}: {each}" for each in placing_warnings(fitting, service))
    return found
