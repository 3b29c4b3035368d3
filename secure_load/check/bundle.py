"""Inside a bundle: ingots tied together are one body only as long as the ties hold them.

Every ingot becomes a body of its own. It touches its neighbours (pressing and friction only), whatever of the
bed, cleats and battens reaches it, and the ties that go round the stack. Each instant then shows whether any
one of them gets out, and through which tie its share passes.

A tie is one tension all the way round: it pulls on the ingots at the corners it turns. Between its corners it
lies along the others and stops them only by being bowed out; it is taken to bow by ``SAG`` before it does, so
that an ingot which presses on it with N draws it by N / (2 sin SAG).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np

from secure_load.boat.models import Batten, Bed, BundleTie, CableTie, Cleat, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.check.response import Response, displacement_limits, evaluate
from secure_load.check.results import RANK, BundleVerdict, Colour
from secure_load.check.sampler import worst_over_bounds
from secure_load.loads.load_cases import LoadCases
from secure_load.model.body import OUTWARD, Body, face_axes, inward
from secure_load.model.contact import RestraintModel
from secure_load.model.displacement import greatest_displacements
from secure_load.model.failure_mode import FailureMode, by_share
from secure_load.model.failure_modes import parts_of
from secure_load.model.model_builder import NOMINAL, GroupModel, Member, build_single_model, coefficient
from secure_load.model.motion_words import describe_motion, format_heel
from secure_load.model.planking import Boat
from secure_load.solver.arrays import Array, Index
from secure_load.solver.springs import Attachment, Spring, assemble
from secure_load.strength.gear import Gear, line_gear, tie_gear

MOST = 16
"""Ingots beyond which a stack is not taken apart."""
SAG = float(np.radians(10.0))
MM = 1e-3
NOBODYS = -1
"""Restraint number of the contacts between ingots."""
Place = tuple[int, int, int]
PLANES = {"athwartships": (1, 2, 0), "fore-and-aft": (0, 2, 1), "level": (0, 1, 2)}
"""Of a tie: the two axes it goes round in, and the axis along which ties stand side by side."""


@dataclass(frozen=True)
class Stack:
    """The ingots of a weight as boxes, and where each lies in the stack."""

    whole: Body
    bodies: list[Body]
    places: list[Place]
    shape: Place

    def offset(self, index: int) -> Array:
        """From the whole weight's centre of gravity to an ingot's, (3,)."""
        return self.bodies[index].at - self.whole.at

    def nearest(self, point: Array) -> int:
        """The ingot a point of the whole weight belongs to; point (3,) from the whole's centre of gravity."""
        away = [np.maximum(np.abs(point - self.offset(i)) - b.half, 0.0) for i, b in enumerate(self.bodies)]
        return int(np.argmin([float(a @ a) for a in away]))

    def at(self, place: Place) -> int:
        """The ingot at a place of the stack."""
        return self.places.index(place)


def take_apart(weight: Weight, whole: Body) -> Stack:
    """A weight's ingots as equal boxes that fill its size."""
    assert weight.bundle is not None
    shape: Place = weight.bundle.stack
    size = whole.size / np.array(shape)
    corner = whole.middle - whole.half + 0.5 * size
    places: list[Place] = list(itertools.product(range(shape[0]), range(shape[1]), range(shape[2])))
    mass = whole.mass / len(places)
    return Stack(whole, [Body(mass, corner + np.array(p) * size, size) for p in places], places, shape)


def ingot_words(place: Place, shape: Place) -> str:
    """Where an ingot lies, in words a person at the boat can follow."""
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


def bundle_verdict(weight: Weight, boat: Boat, meant: LoadCases) -> BundleVerdict:
    """Whether every single ingot stays in its bundle, over a coarse choice of a family's loads.

    A stack of more than ``MOST`` is not taken apart: amber, and says so. Raises CannotCheck, in one sentence,
    for what cannot be worked out.
    """
    assert weight.bundle is not None
    if int(np.prod(weight.bundle.stack)) > MOST:
        return BundleVerdict(
            ingot=None,
            tie=None,
            utilisation=None,
            verdict="amber",
            heel_deg=None,
            sentence=f"more than {MOST} ingots are not looked at one by one: enter them as smaller bundles",
        )
    stowed, stack, ties = stow_apart(weight, boat)
    load = stowed.loads_at(meant.instants.at(meant.unique_rows))
    if stowed.springs.has_preload:
        picked = meant.plan.coarse
        worked = evaluate(stowed, NOMINAL, stowed.springs, load[picked])
        coarse = [picked]
    else:
        picked = np.arange(len(load))
        worked = worst_over_bounds(stowed, load, meant, moved=False)
        coarse = [meant.with_history_ends(bins.representative) for bins in worked.bins[:2]]
    without = bool(ties) and any(_without_ties(stowed, ties, load[at]) for at in coarse)
    found = _judge(weight, stowed, stack, ties, worked, meant, meant.unique_rows[picked], without)
    moved = _moved(stowed, stack, worked, meant.instants.heel_deg[meant.unique_rows[picked]])
    return moved if moved is not None and RANK[moved.verdict] > RANK[found.verdict] else found


def stow_apart(weight: Weight, boat: Boat) -> tuple[GroupModel, Stack, list[int]]:
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
    if isinstance(fitting.restraint, Bed | Cleat | Batten):
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
    for index, body in enumerate(stack.bodies):
        if stack.places[index][axis] != (stack.shape[axis] - 1 if sign > 0 else 0):
            continue
        offset = stack.offset(index)
        bottom = np.maximum(low, offset - body.half)
        top = np.minimum(high, offset + body.half)
        a, b = float(top[level] - bottom[level]), float(top[rise] - bottom[rise])
        if min(a, b) < 1e-5:
            continue
        for u, v in itertools.product((bottom[level], top[level]), (bottom[rise], top[rise])):
            corner = np.zeros(3)
            corner[axis], corner[level], corner[rise] = sign * stack.whole.half[axis], u, v
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
    """Contacts between ingots that lie side by side or one on another."""
    assert weight.bundle is not None
    friction = coefficient(weight.bundle.friction, "low")
    if not weight.bundle.ties:
        # loose ingots shift before they come to rest against what holds them
        friction *= factor("ctu-dynamic-friction")
    stiff = assumed("rigid-stiffness").number / MM
    ratio = assumed("tangential-ratio").number
    half = stack.bodies[0].half
    links: list[Spring] = []
    for index, place in enumerate(stack.places):
        for axis in range(3):
            if place[axis] + 1 >= stack.shape[axis]:
                continue
            beyond = list(place)
            beyond[axis] += 1
            other = stack.at((beyond[0], beyond[1], beyond[2]))
            push = np.zeros(3)
            push[axis] = -1.0
            flat = [i for i in range(3) if i != axis]
            for u, v in itertools.product((-1.0, 1.0), repeat=2):
                point = np.zeros(3)
                point[axis], point[flat[0]], point[flat[1]] = half[axis], u * half[flat[0]], v * half[flat[1]]
                facing = point.copy()
                facing[axis] = -half[axis]
                links.append(
                    Spring(
                        restraint=NOBODYS,
                        attachments=[Attachment(point, push, index), Attachment(facing, -push, other)],
                        stiffness=stiff / 4.0,
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
    round_it = 4.0 * float(stack.whole.half[a] + stack.whole.half[b])
    stiffness = gear.axial / round_it
    bowed = 1.0 / (2.0 * np.sin(SAG))
    links: list[Spring] = []
    loops: list[Index] = []
    for loop in range(tie.count):
        station = min(int((loop + 0.5) / tie.count * stack.shape[along]), stack.shape[along] - 1)
        start = len(links)
        links.append(_loop(stack, a, b, along, station, index, stiffness, tie.tension_N))
        links += _stops(stack, a, b, along, station, index, stiffness)
        loops.append(np.arange(start, len(links)))
    parts: list[FailureMode] = []
    for loop, rows in enumerate(loops):
        shares = np.zeros(len(links))
        shares[rows] = bowed
        shares[rows[0]] = 1.0
        worked = by_share(shares, working)
        parts.append(
            FailureMode(
                name=f"{name}, no {loop + 1}" if tie.count > 1 else name,
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


def _loop(
    stack: Stack, a: int, b: int, along: int, station: int, index: int, stiffness: float, tension: float
) -> Spring:
    """One tension round the four corners of the stack's section."""
    legs: list[Attachment] = []
    for side_a, side_b in itertools.product((-1, 1), repeat=2):
        place = [0, 0, 0]
        place[along] = station
        place[a] = 0 if side_a < 0 else stack.shape[a] - 1
        place[b] = 0 if side_b < 0 else stack.shape[b] - 1
        body = stack.at((place[0], place[1], place[2]))
        point = np.zeros(3)
        point[a], point[b] = side_a * stack.bodies[body].half[a], side_b * stack.bodies[body].half[b]
        for axis, side in ((a, side_a), (b, side_b)):
            pull = np.zeros(3)
            pull[axis] = -float(side)
            legs.append(Attachment(point, pull, body))
    return Spring(restraint=index, attachments=legs, stiffness=stiffness, preload=tension)


def _stops(stack: Stack, a: int, b: int, along: int, station: int, index: int, stiffness: float) -> list[Spring]:
    """What a tie gives the ingots that lie along it between its corners."""
    links: list[Spring] = []
    for face, across in ((a, b), (b, a)):
        for side in (-1, 1):
            for between in range(1, stack.shape[across] - 1):
                place = [0, 0, 0]
                place[along], place[across] = station, between
                place[face] = 0 if side < 0 else stack.shape[face] - 1
                body = stack.at((place[0], place[1], place[2]))
                point, push = np.zeros(3), np.zeros(3)
                point[face] = side * stack.bodies[body].half[face]
                push[face] = -float(side)
                links.append(Spring(restraint=index, attachments=[Attachment(point, push, body)], stiffness=stiffness))
    return links


def _when(heel: float) -> str:
    words = format_heel(heel)
    return words if words == "upright" else f"at {words}"


def _moved(stowed: GroupModel, stack: Stack, worked: Response, heel: Array) -> BundleVerdict | None:
    """What is to be said of the ingot that moves most before it is held; None where that is little, or one gets out."""
    if worked.free.any():
        return None
    down = [np.array([[0.0, 0.0, -b.mass * factor("g0")]]) for b in stack.bodies]
    rest = evaluate(stowed, NOMINAL, stowed.springs, stowed.total_load(down))
    start = np.zeros(worked.displacement_vector.shape[1]) if rest.free[0] else rest.displacement_vector[0]
    far = greatest_displacements(stack.bodies, worked.displacement_vector - start)
    at, body = (int(i) for i in np.unravel_index(int(far.argmax()), far.shape))
    amber, red = displacement_limits()
    if far[at, body] <= amber:
        return None
    ingot = ingot_words(stack.places[body], stack.shape)
    return BundleVerdict(
        ingot=ingot,
        tie=None,
        utilisation=None,
        verdict="red" if far[at, body] > red else "amber",
        heel_deg=round(float(heel[at]), 2) + 0.0,
        sentence=f"{ingot} moves {far[at, body] / MM:.0f} mm before it is held {_when(float(heel[at]))}",
    )


def _without_ties(stowed: GroupModel, ties: list[int], load: Array) -> bool:
    """True where some ingot gets out once the ties are cut."""
    links = stowed.springs.subset(~np.isin(stowed.springs.restraint, ties))
    return bool(evaluate(stowed, NOMINAL, links, load).unrestrained.any())


def _judge(
    weight: Weight,
    stowed: GroupModel,
    stack: Stack,
    ties: list[int],
    worked: Response,
    meant: LoadCases,
    instant: Index,
    needed: bool,
) -> BundleVerdict:
    heel = meant.instants.heel_deg[instant]
    out = np.flatnonzero(worked.unrestrained.any(axis=1))
    if len(out):
        at = int(out[np.abs(heel[out]).argmin()])
        # of several that go, the one that goes farthest gets out and the others follow
        shift = np.linalg.norm(worked.displacement_vector[at].reshape(-1, 6)[:, :3], axis=1)
        body = int(np.where(worked.unrestrained[at], shift, -1.0).argmax())
        ingot = ingot_words(stack.places[body], stack.shape)
        goes = describe_motion(worked.displacement_vector[at, 6 * body : 6 * body + 6], float(heel[at]))
        return BundleVerdict(
            ingot=ingot,
            tie=None,
            utilisation=None,
            verdict="red",
            heel_deg=round(float(heel[at]), 2) + 0.0,
            sentence=f"{ingot} gets out of the bundle {_when(float(heel[at]))}: it {goes}",
        )
    peaks = [(p.utilisation, t, j) for t in ties for j, p in enumerate(worked.peaks[t])]
    if not peaks:
        return BundleVerdict(
            ingot=None,
            tie=None,
            utilisation=0.0,
            verdict="green",
            heel_deg=None,
            sentence="every ingot is held by the bed, cleats and battens alone; nothing ties them to one another",
        )
    ratio, tie, part = max(peaks)
    peak = worked.peaks[tie][part]
    shift = np.linalg.norm(worked.displacement_vector[peak.at].reshape(-1, 6)[:, :3], axis=1)
    ingot = ingot_words(stack.places[int(shift.argmax())], stack.shape)
    what = stowed.failure_modes[tie][part]
    only_ties = needed and all(t.line is None for t in weight.bundle.ties) if weight.bundle else False
    colour: Colour = "red" if ratio > assumed("red-over").number else "green"
    if colour == "green" and (ratio > assumed("amber-over").number or only_ties):
        colour = "amber"
    sentence = f"every ingot stays in the bundle; {stowed.restraints[tie].id}, {what.name}, is worked to {ratio:.0%}"
    if colour == "red":
        sentence = (
            f"{stowed.restraints[tie].id}, {what.name}, gives way: {peak.demand:.0f} N, worked to {ratio:.0%}; "
            f"{ingot} goes first"
        )
    elif only_ties:
        sentence += "; cable ties are all that keeps it together"
    return BundleVerdict(
        ingot=ingot,
        tie=stowed.restraints[tie].id,
        utilisation=round(ratio, 4),
        verdict=colour,
        heel_deg=round(float(heel[peak.at]), 2) + 0.0,
        sentence=sentence,
    )
