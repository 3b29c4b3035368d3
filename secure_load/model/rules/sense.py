"""Whether the figures of a weight make sense in this boat, in words.

A weight outside the hull, denser than lead, or in the same place as another was entered wrongly: whatever follows from
such figures is about another boat. Places are measured to some error, so that what is only just outside is asked
about (a doubt), and what is far outside is refused (a fault).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from secure_load.boat.models import BoatFile, Scenario, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import density
from secure_load.loads.scenarios import builtin_scenarios
from secure_load.model.assumptions import Assumptions
from secure_load.model.body import Body, depth_between
from secure_load.model.planking import half_sections
from secure_load.model.weight_body import body_of
from secure_load.solver.arrays import Array

MM = 1e-3
ROUNDING = 1.01
"""A size in whole millimetres may make lead seem so much denser than it is."""
FULL, EMPTY = 0.98, 0.02
"""Shares of a tank from which it counts as full, and up to which it counts as empty."""


@dataclass(frozen=True)
class HullBounds:
    """Within what her hull must lie; None where nothing tells."""

    x: tuple[float, float] | None
    half_breadth: float | None
    keel_z: float | None


@dataclass(frozen=True)
class Boxes:
    """The weights of a boat as boxes."""

    ids: list[str]
    low: Array
    """(n, 3) m"""
    high: Array
    """(n, 3) m"""
    bodies: list[Body]

    def depth_in(self, weight: Weight) -> Array:
        """How far each box and that of a weight lie in one another at the least, (n,) m; nil or less where apart."""
        body = body_of(weight, Assumptions())
        low, high = _ends(body)
        depth = np.asarray((np.minimum(self.high, high) - np.maximum(self.low, low)).min(axis=1))
        for place in np.flatnonzero(depth > 0.0):
            if body.is_turned or self.bodies[place].is_turned:
                depth[place] = depth_between(body, self.bodies[place])
        return depth


@dataclass(frozen=True)
class Sense:
    """What the figures of one weight leave to ask."""

    doubts: list[str] = field(default_factory=list[str])
    faults: list[str] = field(default_factory=list[str])

    def add(self, sentence: str, grave: bool) -> None:
        (self.faults if grave else self.doubts).append(sentence)


def boxes_of(weights: list[Weight]) -> Boxes:
    """All weights as boxes; a weight without a size is taken as its likely cube."""
    bodies = [body_of(w, Assumptions()) for w in weights]
    ends = [_ends(body) for body in bodies]
    return Boxes(
        [w.id for w in weights],
        np.array([low for low, _ in ends]).reshape(-1, 3),
        np.array([high for _, high in ends]).reshape(-1, 3),
        bodies,
    )


def sense_of(weight: Weight, boat: BoatFile, others: Boxes) -> Sense:
    """The doubts and faults in a weight's mass, size and place. ``others`` may hold the weight itself."""
    found = Sense()
    if weight.kind is None and not weight.float_only:
        found.add("say what it is (`kind`): a battery is pulled in tests of its own, a tank is asked how full", False)
    _density(weight, found)
    _place(weight, boat, found)
    _overlaps(weight, others, found)
    if weight.kind == "tank" and weight.tank is None:
        found.add("say how full the tank is (`tank`, with its `fill` and size inside)", grave=False)
    if weight.tank is not None and EMPTY < weight.tank.fill < FULL:
        found.add(
            f"the tank is {100 * weight.tank.fill:.0f} % full: its liquid runs to the low side and sloshes "
            "(free surface), which is not in these figures; press it up full or empty it, and check it full",
            grave=False,
        )
    return found


def replaced_builtins(scenarios: list[Scenario], boat: BoatFile) -> list[str]:
    """A sentence where scenarios of the boat's own stand in place of built-in ones, which were not run."""
    own, builtin = {s.id for s in boat.scenario}, {s.id for s in builtin_scenarios()}
    names = ", ".join(f"'{s.id}'" for s in scenarios if s.id in own and s.id in builtin)
    return (
        [f"not run: the built-in {names}, whose id a scenario of the boat's own has; give it another id"]
        if names
        else []
    )


def hull_bounds(boat: BoatFile, low: float, high: float) -> HullBounds:
    """The bounds of the hull about the stretch from ``low`` to ``high`` along her, m.

    From her sections the greatest half-breadth and the lowest point of those in that stretch and of the nearest beyond
    it on either side; else from the waterline with a generous margin.
    """
    particulars = boat.boat
    stations = _stations(boat)
    length = particulars.lwl_m
    if stations:
        spread = max(stations[-1][0] - stations[0][0], length or 0.0)
        ends = min(stations[0][0], 0.0), max(stations[-1][0], length or 0.0)
        first = max((n for n, s in enumerate(stations) if s[0] <= low), default=0)
        last = min((n for n, s in enumerate(stations) if s[0] >= high), default=len(stations) - 1)
        near = stations[min(first, last) : max(first, last) + 1]
        overhang = assumed("overhang-share").number * spread
        return HullBounds((ends[0] - overhang, ends[1] + overhang), max(s[1] for s in near), min(s[2] for s in near))
    overhang = assumed("overhang-share").number * (length or 0.0)
    half = None if particulars.bwl_m is None else 0.5 * particulars.bwl_m * (1.0 + assumed("flare-share").number)
    return HullBounds(None if length is None else (-overhang, length + overhang), half, None)


def _stations(boat: BoatFile) -> list[tuple[float, float, float]]:
    """(place along her, greatest half-breadth, lowest point) of each section that is given, from aft."""
    lines = boat.float_
    if lines is None:
        return []
    return [(x, float(half[:, 0].max()), float(half[:, 1].min())) for x, half in half_sections(lines)]


def _ends(body: Body) -> tuple[Array, Array]:
    """Lowest and highest coordinates (3,) that a weight's box reaches in the boat, m."""
    corners = body.corners
    return body.at + corners.min(axis=0), body.at + corners.max(axis=0)


def _density(weight: Weight, found: Sense) -> None:
    if weight.size_m is None:
        return
    kg_m3 = weight.mass / body_of(weight, Assumptions()).volume
    lead, light = density("lead").kg_m3, assumed("lightest-ballast").number
    if kg_m3 > lead * ROUNDING:
        found.add(
            f"its mass and size make its density {kg_m3:,.0f} kg/m3, more than lead's {lead:,.0f}: one of the two is "
            "wrong",
            grave=kg_m3 > 2.0 * lead,
        )
    elif weight.kind == "ballast" and kg_m3 < light:
        found.add(
            f"its mass and size make its density {kg_m3:,.0f} kg/m3, less than water's: "
            "give the size of the ballast itself",
            grave=False,
        )


def _place(weight: Weight, boat: BoatFile, found: Sense) -> None:
    low, high = _ends(body_of(weight, Assumptions()))
    bounds = hull_bounds(boat, float(low[0]), float(high[0]))
    error = assumed("hull-measuring-error").number * MM
    x, y, z = weight.at_m
    if bounds.x is not None:
        aft, fore = bounds.x
        beyond = max(float(high[0]) - fore, aft - float(low[0]))
        if beyond > error:
            found.add(
                f"it lies outside her hull: {x:.2f} m forward of the after end of the waterline, and her hull reaches "
                f"from {aft:.2f} to {fore:.2f} m at most",
                grave=not aft <= x <= fore,
            )
            return
    if bounds.half_breadth is not None:
        beyond = max(float(high[1]), -float(low[1])) - bounds.half_breadth
        if beyond > error:
            found.add(
                f"it lies outside her hull: {beyond * 1000:.0f} mm beyond {bounds.half_breadth:.2f} m, "
                f"the most that she is broad to {'port' if y > 0 else 'starboard'} there",
                grave=abs(y) > bounds.half_breadth,
            )
    if bounds.keel_z is not None and bounds.keel_z - float(low[2]) > error:
        found.add(
            f"it lies outside her hull: {(bounds.keel_z - float(low[2])) * 1000:.0f} mm below the bottom of her there",
            grave=z < bounds.keel_z,
        )


def _overlaps(weight: Weight, others: Boxes, found: Sense) -> None:
    depth = others.depth_in(weight)
    ask, wrong = assumed("measuring-error").number * MM, assumed("overlap-fault").number * MM
    for place in np.flatnonzero(depth > ask):
        if others.ids[place] != weight.id:
            guessed = "" if weight.size_m is not None else "; its size is a guess, give it"
            found.add(
                f"it overlaps '{others.ids[place]}' by {depth[place] * 1000:.0f} mm: "
                f"two things cannot be in one place{guessed}",
                grave=bool(depth[place] > wrong) and weight.size_m is not None,
            )
