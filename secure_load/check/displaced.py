"""A stow as it stands once a weight has moved: where its restraints meet it there, and which way its lines pull.

The engine's displacements are small ones: links keep the points and directions they have at rest. A weight that moves
some millimetres may rise past a cleat, leave the edge of its bed or turn a strap's legs, so that the answer is looked
at again where it led. Contacts stand still in the boat while the weight moves along them; what of them no longer lies
on its face is cut off, and what has none left is gone. Lines run from where their corner has gone to their eye, longer
or shorter by as much. The new links are solved, and so on until the place is the one they were made for: Newton's
method with the geometry brought up to date (updated Lagrangian, K.-J. Bathe, Finite Element Procedures, 6.2; memory).
Contacts between weights, bolts and bonds stay as they are.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from secure_load.boat.models import Batten, Bed, CableTie, Cleat, Lashing, Strap
from secure_load.catalogue.assumed import assumed
from secure_load.check.response import Response, evaluate
from secure_load.model.body import Body
from secure_load.model.contact import RestraintModel, joined
from secure_load.model.contact_patch import footprint
from secure_load.model.displacement import greatest_displacements
from secure_load.model.failure.failure_modes import parts_of
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import springs_of
from secure_load.solver.arrays import Array
from secure_load.solver.equilibrium import solve
from secure_load.solver.springs import Attachment, Spring, SpringSet, generalised, moment, tangents

MM = 1e-3
ROUNDS = 8
SETTLED = 2e-4
"""m of movement of any corner below which the place is found."""


@dataclass(frozen=True)
class Displaced:
    """What a load asks of a stow in the place to which it moves it."""

    response: Response
    clear: list[int]
    """Fittings that no longer meet the weight there."""
    settled: bool
    """False where no such place was found."""


def small_movement(model: GroupModel, member: int) -> float:
    """How far a member may move, m, and still meet its restraints as it does at rest."""
    heights = [f.restraint.height_mm for f in model.restraints_of(member) if isinstance(f.restraint, Cleat)]
    least = min((h for h in heights if h is not None), default=np.inf)
    return MM * min(assumed("small-movement").number, assumed("small-rise").number * least)


def in_place(model: GroupModel, bound: str, load: Array, u: Array) -> Displaced:
    """One load (6 b,) of some bound, from the displacement u (6 b,) that was found with the links at rest."""
    bodies = [m.body for m in model.members]
    there, clear, settled = model, list[int](), False
    for _ in range(ROUNDS):
        there, clear = _moved(model, bound, u)
        found = solve(there.bounds[bound], load[None, :])
        if found.free[0]:
            settled = True
            break
        settled = bool(greatest_displacements(bodies, found.displacement - u).max() < SETTLED)
        u = found.displacement[0]
        if settled:
            break
    return Displaced(evaluate(there, bound, there.bounds[bound], load[None, :]), clear, settled)


def _moved(model: GroupModel, bound: str, u: Array) -> tuple[GroupModel, list[int]]:
    """The stow with its links as they are at a displacement (6 b,), and the restraints that are clear of the weight."""
    springs = model.bounds[bound]
    g, tangent_direction, f0 = springs.direction.copy(), springs.tangent_direction.copy(), springs.preload.copy()
    stays = np.ones(len(springs.stiffness), dtype=bool)
    restraints: list[RestraintModel] = []
    clear: list[int] = []
    for fitting in model.restraints:
        rows = np.flatnonzero(springs.restraint == fitting.index)
        own = u[6 * fitting.owner : 6 * fitting.owner + 6]
        body = model.members[fitting.owner].body
        if isinstance(fitting.restraint, Bed | Cleat | Batten):
            pieces = fitting.pieces or (fitting,)
            moved_pieces = [
                _contact(model, piece, model.members[piece.owner].body, u[6 * piece.owner : 6 * piece.owner + 6])
                for piece in pieces
            ]
            bears = [piece for piece in moved_pieces if piece is not None]
            stays[rows] = np.repeat([m is not None for m in moved_pieces], [len(p.springs) for p in pieces])
            rows = rows[stays[rows]]
            if not bears:
                clear.append(fitting.index)
                restraints.append(replace(fitting, springs=[]))
                continue
            moved = joined(bears) if len(bears) > 1 else bears[0]
        elif isinstance(fitting.restraint, Lashing | Strap | CableTie):
            moved, longer = _line(fitting, body, own)
            f0[rows] += springs.stiffness[rows] * longer
        else:
            restraints.append(fitting)
            continue
        for row, link in zip(rows.tolist(), moved.springs, strict=True):
            _point(springs, row, link, g, tangent_direction)
        if isinstance(fitting.restraint, Lashing | Strap | CableTie):
            # the force is right at this displacement, and changes from here as the new directions say
            f0[rows] += springs.stiffness[rows] * (g[rows] @ u)
        restraints.append(moved)
    notes = [m.notes for m in model.members]
    parts = [
        old
        if new is was or not new.springs
        else parts_of(new, model.service, new.id in notes[new.owner].strength, notes[new.owner].under.get(new.id))
        for new, was, old in zip(restraints, model.restraints, model.failure_modes, strict=True)
    ]
    there = replace(springs, direction=g, tangent_direction=tangent_direction, preload=f0).subset(stays)
    return replace(model, restraints=restraints, failure_modes=parts, bounds={bound: there}), clear


def _point(springs: SpringSet, row: int, link: Spring, g: Array, tangent_direction: Array) -> None:
    """Put a link's new points and directions into its normal row and the friction rows that live on it."""
    g[row] = generalised(link.attachments, springs.rotation_scale)
    friction = np.flatnonzero(springs.normal == row)
    (leg,) = link.attachments if len(friction) else (None,)
    for place, way in zip(friction, tangents(leg.direction) if leg else [], strict=True):
        assert leg is not None
        tangent_direction[place] = generalised([replace(leg, direction=way)], springs.rotation_scale)


def _contact(model: GroupModel, fitting: RestraintModel, body: Body, u: Array) -> RestraintModel | None:
    """A contact that stays where it is in the boat while the weight moves along it; None where it is left behind."""
    restraint = fitting.restraint
    assert isinstance(restraint, Bed | Cleat | Batten)
    place = footprint(body, restraint)
    held = place.plane.centre + place.centre[0] * place.plane.first + place.centre[1] * place.plane.second
    arm = body.from_own(np.clip(held, -body.half, body.half))
    shift = (u[:3] + moment(u[3:] / body.rotation_scale, arm)) @ body.axes
    try:
        new = springs_of(body, restraint, fitting.id, fitting.index, model.service, "low", shift)
    except ValueError:
        return None
    springs = [
        replace(link, attachments=[replace(leg, body=fitting.owner) for leg in link.attachments])
        for link in new.springs
    ]
    return replace(new, restraint=restraint, springs=springs, owner=fitting.owner)


def _line(fitting: RestraintModel, body: Body, u: Array) -> tuple[RestraintModel, float]:
    """A line whose corners have moved with the weight while its eyes have not, and how much longer it is, m."""
    restraint = fitting.restraint
    assert isinstance(restraint, Lashing | Strap | CableTie)
    eyes = [restraint.to_m] if isinstance(restraint, Lashing) else [restraint.from_m, restraint.to_m]
    (link,) = fitting.springs
    legs: list[Attachment] = []
    longer = 0.0
    for leg, eye in zip(link.attachments, eyes, strict=True):
        context = np.array(eye, dtype=float) - body.at - leg.point
        arm = leg.point + moment(u[3:] / body.rotation_scale, leg.point)
        now = np.array(eye, dtype=float) - body.at - arm - u[:3]
        length = float(np.linalg.norm(now))
        longer += length - float(np.linalg.norm(context))
        legs.append(Attachment(arm, now / max(length, 1e-9), leg.body))
    ends = [-leg.direction for leg in legs]
    return replace(fitting, springs=[replace(link, attachments=legs)], ends=ends), longer
