"""A stack of ingots as bodies of their own: where each lies, what it touches, and the ties that go round.

Every ingot touches its neighbours (pressing and friction only), whatever of the bed, cleats and battens reaches it, and
the ties that go round the stack or round a few side by side. A tie is one tension all the way round: it pulls on the
ingots at the corners it turns. Between its corners it lies along the others and stops them only by being bowed out; it
is taken to bow by ``SAG`` before it does, so that an ingot which presses on it with N draws it by N / (2 sin SAG).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from secure_load.boat.models import Batten, Bed, BundleTie, CableTie, Cleat, Face, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.model.body import OUTWARD, Body, face_axes, inward
from secure_load.model.contact import RestraintModel
from secure_load.model.failure.failure_mode import FailureMode, by_share
from secure_load.model.failure.failure_modes import parts_of
from secure_load.model.group_model import NOMINAL, GroupModel, Member
from secure_load.model.model_builder import build_single_model, coefficient
from secure_load.model.planking import Boat
from secure_load.solver.arrays import Array, Index
from secure_load.solver.springs import Attachment, Spring, assemble
from secure_load.strength.gear import Gear, line_gear, tie_gear

SAG = float(np.radians(10.0))
MM = 1e-3
TOUCHING = 1e-6
"""m up to which two faces of ingots touch: what rounding leaves."""
BETWEEN_INGOTS = -1
"""Restraint number of the contacts between ingots."""
Place = tuple[int, int, int]
PLANES = {"athwartships": (1, 2, 0), "fore-and-aft": (0, 2, 1), "level": (0, 1, 2)}
"""Of a tie: the two axes it goes round in, and the axis along which ties stand side by side."""


@dataclass(frozen=True)
class Stack:
    """The ingots of a weight as boxes, and where each lies in the stack: all along the stack's own edges."""

    whole: Body
    bodies: list[Body]
    places: list[Place]
    """Along, across and from the bottom."""
    layers: list[tuple[int, int]]
    """How many lie along and across in each layer, from the bottom."""

    def offset(self, index: int) -> Array:
        """From the whole weight's centre of gravity to an ingot's, (3,)."""
        return self.bodies[index].at - self.whole.at

    def nearest(self, point: Array) -> int:
        """The ingot a point of the whole weight belongs to; point (3,) from the whole's centre of gravity."""
        away = [np.maximum(np.abs(point - self.offset(i)) - b.half, 0.0) for i, b in enumerate(self.bodies)]
        return int(np.argmin([float(a @ a) for a in away]))

    def at_face(self, face: Face) -> list[int]:
        """The ingots that reach a face of the whole."""
        axis, sign = OUTWARD[face]
        outside = sign * (self.whole.middle[axis] + sign * self.whole.half[axis])
        return [i for i, b in enumerate(self.bodies) if sign * b.at[axis] + b.half[axis] > outside - TOUCHING]

    def extent(self, ingots: Sequence[int]) -> tuple[Array, Array]:
        """Lowest and highest coordinates (3,) of some ingots."""
        bodies = [self.bodies[i] for i in ingots]
        return np.min([b.at - b.half for b in bodies], axis=0), np.max([b.at + b.half for b in bodies], axis=0)

    def reaches(self, ingot: int, axis: int, at: float) -> bool:
        """Whether an ingot lies where a plane across an axis is; of two that meet there, the further one does."""
        body = self.bodies[ingot]
        return bool(-body.half[axis] - TOUCHING <= at - body.at[axis] < body.half[axis] - TOUCHING)

    def rows(self, each: int, axis: int) -> list[list[int]]:
        """The ingots in groups of so many side by side along an axis; the last of a row may be fewer."""
        found: list[list[int]] = []
        row_of = [(place[2], place[1 - axis]) for place in self.places]
        for row in sorted(set(row_of)):
            ingots = sorted((i for i in range(len(row_of)) if row_of[i] == row), key=lambda i: self.places[i][axis])
            found.extend(ingots[start : start + each] for start in range(0, len(ingots), each))
        return found

    def words(self, index: int) -> str:
        """Where an ingot lies, in words a person at the boat can follow."""
        place = self.places[index]
        return ingot_words(place, (*self.layers[place[2]], len(self.layers)))


def take_apart(weight: Weight, whole: Body) -> Stack:
    """A weight's ingots as boxes that fill its size layer by layer; what a short last layer lacks is left out."""
    assert weight.bundle is not None
    assert weight.ingots is not None
    layers = weight.bundle.rows
    height = float(whole.size[2]) / len(layers)
    corner = whole.middle - whole.half
    bodies: list[Body] = []
    places: list[Place] = []
    for level, (along, across) in enumerate(layers):
        size = np.array([whole.size[0] / along, whole.size[1] / across, height])
        for i, j in itertools.product(range(along), range(across)):
            places.append((i, j, level))
            bodies.append(Body(weight.ingots.each_kg, corner + (np.array([i, j, level]) + 0.5) * size, size))
    count = weight.ingots.count
    return Stack(whole, bodies[:count], places[:count], layers)


def ingot_words(place: Place, shape: Place) -> str:
    """Where an ingot lies in a layer of so many, of so many layers."""
    names = (("aftermost", "foremost"), ("starboard", "port"), ("bottom", "top"))
    words: list[str] = []
    for axis in (2, 1, 0):
        count, at = shape[axis], place[axis]
        if count == 1:
            continue
        low, high = names[axis]
        if at in (0, count - 1):
            words.append(low if at == 0 else high)
        else:
            words.append("middle" if count == 3 else f"{at + 1} of {count} from {low}")
    return f"the {', '.join(words)} ingot" if words else "the only ingot"


def build_stack_model(weight: Weight, boat: Boat) -> tuple[GroupModel, Stack, list[int]]:
    """A weight with its ingots as bodies; also the stack, and which restraints are the bundle's own ties."""
    assert weight.bundle is not None
    together = build_single_model(weight, boat)
    body = together.body
    stack = take_apart(weight, replace(body, at=body.centre, axes=np.eye(3)))
    restraints = [_split(_turned(f, body.axes.T), stack) for f in together.restraints]
    doubtful = together.members[0].notes.strength
    parts = [parts_of(f, together.service, f.id in doubtful) for f in restraints]
    ties: list[int] = []
    for number, tie in enumerate(weight.bundle.ties):
        fitting, loops = _tie(tie, number, len(restraints), stack)
        restraints.append(fitting)
        parts.append(loops)
        ties.append(fitting.index)
    # all of it was laid out along the stack's own edges: it is turned as the stack lies
    restraints = [_turned(f, body.axes) for f in restraints]
    between = [_turned_link(link, body.axes) for link in _between(weight, stack)]
    lying = [replace(b, at=body.middle + body.axes @ b.at, axes=body.axes) for b in stack.bodies]
    stack = replace(stack, whole=body, bodies=lying)
    links = [link for f in restraints for link in f.springs] + between
    arrays = assemble(links, [b.rotation_scale for b in stack.bodies])
    members = [Member(weight, body, together.members[0].notes, []) for body in stack.bodies]
    bounds = {NOMINAL: arrays}
    return GroupModel(members, together.service, restraints, parts, bounds), stack, ties


def _turned_link(link: Spring, axes: Array) -> Spring:
    """A link as it is where everything is turned by a rotation matrix (3, 3)."""
    legs = [replace(leg, point=axes @ leg.point, direction=axes @ leg.direction) for leg in link.attachments]
    return replace(link, attachments=legs)


def _turned(fitting: RestraintModel, axes: Array) -> RestraintModel:
    return replace(fitting, springs=[_turned_link(link, axes) for link in fitting.springs])


def _split(fitting: RestraintModel, stack: Stack) -> RestraintModel:
    """A restraint of the whole weight, shared out over the ingots it reaches."""
    piece = fitting.restraint
    sloped = isinstance(piece, Bed | Cleat) and bool(piece.slope_deg)
    if isinstance(piece, Bed | Cleat | Batten) and not sloped and not (isinstance(piece, Bed) and piece.edge):
        return _split_contact(fitting, stack)
    links: list[Spring] = []
    for link in fitting.springs:
        legs: list[Attachment] = []
        for leg in link.attachments:
            body = stack.nearest(leg.point)
            legs.append(Attachment(leg.point - stack.offset(body), leg.direction, body))
        links.append(replace(link, attachments=legs))
    return replace(fitting, springs=links)


def _split_contact(fitting: RestraintModel, stack: Stack) -> RestraintModel:
    """A bearing's rectangle, cut along the ingots it lies against; stiffness goes by area."""
    assert isinstance(fitting.restraint, Bed | Cleat | Batten)
    face = fitting.restraint.face
    axis, sign = OUTWARD[face]
    level, rise = face_axes(face)
    points = np.array([link.attachments[0].point for link in fitting.springs])
    low, high = points.min(axis=0), points.max(axis=0)
    way = level if not isinstance(fitting.restraint, Batten) or fitting.restraint.along == "fore-and-aft" else rise
    foot = float(points[0, 2] - fitting.height[0])
    middle = float(points[0, way] - fitting.along[0])
    athwart = rise if way == level else level
    line = float(points[0, athwart] - fitting.across[0]) if len(fitting.across) else 0.0
    model = fitting.springs[0]
    total = sum(link.stiffness for link in fitting.springs)
    whole_area = float((high[level] - low[level]) * (high[rise] - low[rise]))
    links: list[Spring] = []
    corners: list[Array] = []
    outside = sign * stack.whole.half[axis] - stack.whole.centre[axis]
    for index in stack.at_face(face):
        body, offset = stack.bodies[index], stack.offset(index)
        bottom = np.maximum(low, offset - body.half)
        top = np.minimum(high, offset + body.half)
        a, b = float(top[level] - bottom[level]), float(top[rise] - bottom[rise])
        if min(a, b) < 1e-5:
            continue
        for u, v in itertools.product((bottom[level], top[level]), (bottom[rise], top[rise])):
            corner = np.zeros(3)
            corner[axis], corner[level], corner[rise] = outside, u, v
            corners.append(corner)
            leg = Attachment(corner - offset, inward(face), index)
            links.append(replace(model, attachments=[leg], stiffness=total * a * b / whole_area / 4.0))
    at = np.array(corners).reshape(-1, 3)
    cleat = isinstance(fitting.restraint, Cleat)
    return replace(
        fitting,
        springs=links,
        quarters=np.eye(len(links)),
        height=at[:, 2] - foot if cleat else np.zeros(len(at)),
        across=at[:, athwart] - line,
        along=at[:, way] - middle if not isinstance(fitting.restraint, Bed) else np.zeros(len(at)),
    )


def _between(weight: Weight, stack: Stack) -> list[Spring]:
    """Contacts between ingots that lie side by side or one on another: at the corners of what they share of a face."""
    assert weight.bundle is not None
    friction = coefficient(weight.bundle.friction, "low")
    if not weight.bundle.ties:
        # loose ingots shift before they come to rest against what holds them
        friction *= factor("ctu-dynamic-friction")
    stiff = assumed("rigid-stiffness").number / MM
    ratio = assumed("tangential-ratio").number
    links: list[Spring] = []
    for one, other in itertools.combinations(range(len(stack.bodies)), 2):
        a, b = stack.bodies[one], stack.bodies[other]
        low, high = np.maximum(a.at - a.half, b.at - b.half), np.minimum(a.at + a.half, b.at + b.half)
        (thin, *rest) = sorted(range(3), key=lambda i: float(high[i] - low[i]))
        if abs(float(high[thin] - low[thin])) > TOUCHING or float(high[rest[0]] - low[rest[0]]) < TOUCHING:
            continue
        push = np.zeros(3)
        push[thin] = -1.0 if b.at[thin] > a.at[thin] else 1.0
        flat = sorted(rest)
        shared = float(np.prod(high[flat] - low[flat])) / min(4.0 * float(np.prod(c.half[flat])) for c in (a, b))
        for u, v in itertools.product((low[flat[0]], high[flat[0]]), (low[flat[1]], high[flat[1]])):
            point = np.zeros(3)
            point[thin], point[flat[0]], point[flat[1]] = 0.5 * (low[thin] + high[thin]), u, v
            links.append(
                Spring(
                    restraint=BETWEEN_INGOTS,
                    attachments=[Attachment(point - a.at, push, one), Attachment(point - b.at, -push, other)],
                    stiffness=stiff * shared / 4.0,
                    friction=friction,
                    tangential_ratio=ratio,
                )
            )
    return links


def _gear(tie: BundleTie) -> tuple[Gear, str]:
    """Strength and stiffness of one tie round the stack, and what it is called."""
    if tie.line is not None:
        return line_gear(tie.line, None), "line round the stack"
    return tie_gear(tie.tie or str(assumed("cable-tie").value)), "cable tie round the stack"


def _tie(tie: BundleTie, number: int, index: int, stack: Stack) -> tuple[RestraintModel, list[FailureMode]]:
    """Ties of one kind as links: a loop each, and the stops it gives the ingots between its corners."""
    gear, name = _gear(tie)
    working = gear.working if tie.strength_N is None else tie.strength_N
    a, b, along = PLANES[tie.around]
    bowed = 1.0 / (2.0 * np.sin(SAG))
    links: list[Spring] = []
    loops: list[Index] = []
    for ingots in stack.rows(tie.each, a) if tie.each is not None else [range(len(stack.bodies))]:
        low, high = stack.extent(ingots)
        stiffness = gear.axial / (2.0 * float(high[a] - low[a] + high[b] - low[b]))
        for number_round in range(tie.count):
            station = low[along] + (number_round + 0.5) / tie.count * (high[along] - low[along])
            met = [i for i in ingots if stack.reaches(i, along, station)]
            start = len(links)
            links.append(_loop(stack, met, a, b, index, stiffness, tie.tension_N))
            links += _stops(stack, met, a, b, index, stiffness)
            loops.append(np.arange(start, len(links)))
    parts: list[FailureMode] = []
    for loop, rows in enumerate(loops):
        shares = np.zeros(len(links))
        shares[rows] = bowed
        shares[rows[0]] = 1.0
        worked = by_share(shares, working)
        parts.append(
            FailureMode(
                name=f"{name}, no {loop + 1}" if len(loops) > 1 else name,
                working=worked,
                breaking=by_share(shares, gear.breaking if tie.strength_N is None else tie.strength_N),
                basis=gear.basis,
                why=gear.why,
                assumed=gear.assumed,
            )
        )
    nothing = np.zeros(len(links))
    label = f"{'strap' if tie.line else 'tie'}-{number + 1}-{tie.around}"
    restraint = CableTie(id=label)
    fitting = RestraintModel(restraint=restraint, id=label, index=index, springs=links, height=nothing, along=nothing)
    return fitting, parts


def _corner(stack: Stack, ingots: Sequence[int], a: int, b: int, side_a: int, side_b: int) -> int:
    """The ingot at a corner of some, seen along the third axis: of those furthest out along b the furthest along a."""
    bodies = stack.bodies
    outer = {i: side_b * bodies[i].at[b] + bodies[i].half[b] for i in ingots}
    outermost = [i for i in ingots if outer[i] > max(outer.values()) - TOUCHING]
    return max(outermost, key=lambda i: side_a * bodies[i].at[a] + bodies[i].half[a])


def _loop(stack: Stack, ingots: Sequence[int], a: int, b: int, index: int, stiffness: float, tension: float) -> Spring:
    """One tension round the four corners of some ingots."""
    legs: list[Attachment] = []
    for side_a, side_b in itertools.product((-1, 1), repeat=2):
        body = _corner(stack, ingots, a, b, side_a, side_b)
        point = np.zeros(3)
        point[a], point[b] = side_a * stack.bodies[body].half[a], side_b * stack.bodies[body].half[b]
        for axis, side in ((a, side_a), (b, side_b)):
            pull = np.zeros(3)
            pull[axis] = -float(side)
            legs.append(Attachment(point, pull, body))
    return Spring(restraint=index, attachments=legs, stiffness=stiffness, preload=tension)


def _stops(stack: Stack, ingots: Sequence[int], a: int, b: int, index: int, stiffness: float) -> list[Spring]:
    """What a tie gives the ingots that lie along it between its corners."""
    low, high = stack.extent(ingots)
    links: list[Spring] = []
    for face, across in ((a, b), (b, a)):
        for side, edge in ((-1, low), (1, high)):
            corners = {_corner(stack, ingots, face, across, side, way) for way in (-1, 1)}
            for body in (i for i in ingots if i not in corners):
                box = stack.bodies[body]
                if side * (box.at[face] - edge[face]) + box.half[face] < -TOUCHING:
                    continue
                point, push = np.zeros(3), np.zeros(3)
                point[face] = side * box.half[face]
                push[face] = -float(side)
                links.append(Spring(restraint=index, attachments=[Attachment(point, push, body)], stiffness=stiffness))
    return links
