"""Prescriptive pulls and shares of rules for boats, vehicles and aircraft, and the plain statics of a
knock-down.

Sources: 33 CFR 183.420 (boats, batteries); ISO 10133:2012 (small craft, batteries); 49 CFR 393.102 and
393.106 (road loads); 14 CFR 25.561 (aircraft, items of mass); MIL-STD-209K (lifting and tie-down provisions).
The multiples of weight are the rule's own words and stand with it here.
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from secure_load.strength import _guard
from secure_load.strength.units import INCH, POUND_FORCE, STANDARD_GRAVITY, Kilogram, Metre, Newton, Radian


class Pull(NamedTuple):
    """A test pull on a restraint."""

    force: Newton
    """Force in each direction, N."""
    max_movement: Metre
    """How far it may move, m."""
    governed_by: str
    """Which branch of the rule gave it."""


class DirectionalLoads(NamedTuple):
    """Forces by direction, N."""

    forward: Newton
    aft: Newton
    side: Newton
    up: Newton
    down: Newton


class TieDown(NamedTuple):
    """MIL-STD-209K limit loads on all tie-downs of a load together, N, and how to prove them."""

    longitudinal: Newton
    vertical: Newton
    lateral: Newton
    ultimate_factor: float
    hold_seconds: float


def cfr33_battery_pull(mass: Kilogram, g: float = STANDARD_GRAVITY) -> Pull:
    """Pull a battery's holder withstands: min(90 lbf, 2 W), moving no more than 1 inch; 33 CFR 183.420(a).

    One minute each: up, fore, aft, port and starboard, through the battery's centre of gravity. mass in kg. A
    heavy battery can pass and still fall out when inverted: 90 lbf is below its weight from 40.8 kg on.

    >>> pull = cfr33_battery_pull(60.0)
    >>> round(pull.force, 2), pull.governed_by
    (400.34, '90 lbf')
    """
    twice = 2.0 * _guard.not_negative("mass", mass, "kg") * g
    flat = 90.0 * POUND_FORCE
    return Pull(min(twice, flat), INCH, "2W" if twice <= flat else "90 lbf")


def iso10133_battery_pull(mass: Kilogram, g: float = STANDARD_GRAVITY) -> Pull:
    """Pull a battery's holder withstands in any direction: 2 m g, moving no more than 10 mm; ISO 10133:2012
    5.2.

    >>> round(iso10133_battery_pull(25.0).force, 2)
    490.33
    """
    return Pull(2.0 * _guard.not_negative("mass", mass, "kg") * g, 0.010, "2W")


def cfr49_breaking_forces(mass: Kilogram, g: float = STANDARD_GRAVITY) -> DirectionalLoads:
    """Forces a road load's securing withstands without breaking: 0.8 W forward, 0.5 W aft and sideways.

    49 CFR 393.102(a); and 0.2 W upward, which (b) puts as a downward force of the securing, for a load not fully
    contained. ``down`` is nil: the rule leaves it to the floor. N.

    >>> round(cfr49_breaking_forces(100.0).forward, 1)
    784.5
    """
    W = _guard.not_negative("mass", mass, "kg") * g
    return DirectionalLoads(forward=0.8 * W, aft=0.5 * W, side=0.5 * W, up=0.2 * W, down=0.0)


def cfr49_working_forces(mass: Kilogram, g: float = STANDARD_GRAVITY) -> DirectionalLoads:
    """Forces within the working load limits: 0.435 W forward, 0.5 W aft, 0.25 W sideways, 0.2 W upward.

    49 CFR 393.102(a) and (b); ``down`` is nil as in `cfr49_breaking_forces`. N.

    >>> round(cfr49_working_forces(100.0).forward, 1)
    426.6
    """
    W = _guard.not_negative("mass", mass, "kg") * g
    return DirectionalLoads(forward=0.435 * W, aft=0.5 * W, side=0.25 * W, up=0.2 * W, down=0.0)


def cfr49_minimum_working_load(mass: Kilogram, g: float = STANDARD_GRAVITY) -> Newton:
    """Least sum of working load limits: half the article's weight; 49 CFR 393.106(d) (present number:
    memory). N.

    >>> round(cfr49_minimum_working_load(1000.0, g=9.81))
    4905
    """
    return 0.5 * _guard.not_negative("mass", mass, "kg") * g


def cfr14_item_of_mass(mass: Kilogram, frequent_removal: bool = False, g: float = STANDARD_GRAVITY) -> DirectionalLoads:
    """Ultimate inertia forces on an item of mass in a cabin: up 3, forward 9, side 3, down 6, aft 1.5 times
    its weight.

    14 CFR 25.561(b)(3); 1.33 times on attachments worn by frequent removal, (c)(2).

    >>> round(cfr14_item_of_mass(10.0).forward)
    883
    """
    W = _guard.not_negative("mass", mass, "kg") * g * (1.33 if frequent_removal else 1.0)
    return DirectionalLoads(forward=9.0 * W, aft=1.5 * W, side=3.0 * W, up=3.0 * W, down=6.0 * W)


def mil_tie_down(mass: Kilogram, g: float = STANDARD_GRAVITY) -> TieDown:
    """Limit loads of a vehicle's tie-downs: 4 W fore and aft, 2 W vertical, 1.5 W lateral, each alone.

    MIL-STD-209K 5.2.3 and table I: ultimate 1.5 times; no permanent set at limit, held 6 s or more. N.

    >>> round(mil_tie_down(1000.0).longitudinal)
    39227
    """
    W = _guard.not_negative("mass", mass, "kg") * g
    return TieDown(4.0 * W, 2.0 * W, 1.5 * W, 1.5, 6.0)


def four_point_share(
    load: Newton, across: tuple[float, float, float, float], along: tuple[float, float, float, float]
) -> tuple[float, float, float, float]:
    """Share of a load hung from four points, by lever across and then along; MIL-STD-209K appendix C,
    C.4.1.2.

    Points 1 and 2 face each other across one end, 3 and 4 across the other; 1 and 3 lie along one side, 2 and
    4 along the other. ``across`` and ``along`` are the four distances of the points from the centre of
    gravity, m (any one unit). A point's share is its neighbour's lever over the sum of both, twice. N.

    >>> [round(t) for t in four_point_share(40000.0, (5, 10, 5, 10), (15, 15, 10, 10))]
    [10667, 5333, 16000, 8000]
    """
    load = _guard.not_negative("load on the four points", load, "N")
    S = [_guard.positive(f"distance across of point {i + 1}", s) for i, s in enumerate(across)]
    L = [_guard.positive(f"distance along of point {i + 1}", s) for i, s in enumerate(along)]
    beside, beyond = (1, 0, 3, 2), (2, 3, 0, 1)
    shares = [load * S[beside[i]] / (S[i] + S[beside[i]]) * L[beyond[i]] / (L[i] + L[beyond[i]]) for i in range(4)]
    return shares[0], shares[1], shares[2], shares[3]


def knock_down(heel: Radian) -> tuple[float, float, float]:
    """Own weight of a block in a heeled boat, per unit weight: (on the floor, off the floor, along the
    floor).

    max(0, cos heel), max(0, -cos heel), |sin heel|; plain statics, no further acceleration. heel: -pi .. pi,
    rad.

    >>> [round(v, 4) for v in knock_down(math.radians(150))]
    [0.0, 0.866, 0.5]
    """
    heel = _guard.within("heel", heel, -math.pi - 1e-9, math.pi + 1e-9, "rad")
    return max(0.0, math.cos(heel)), max(0.0, -math.cos(heel)), abs(math.sin(heel))


def self_holding_angle(mu: float) -> Radian:
    """Heel at which an unrestrained block begins to slide: atan(mu); plain statics (Coulomb). rad.

    >>> round(math.degrees(self_holding_angle(0.3)), 2)
    16.7
    """
    return math.atan(_guard.not_negative("friction coefficient", mu))


def tipping_angle(half_base: Metre, height: Metre) -> Radian:
    """Heel at which an unrestrained block tips: atan(b/h), its centre of gravity over the edge; plain
    statics. rad.

    half_base b: from the centre of gravity to the edge, height h: of the centre of gravity above the floor,
    m.

    >>> round(math.degrees(tipping_angle(0.10, 0.10)))
    45
    """
    b = _guard.not_negative("distance to the tipping edge", half_base, "m")
    return math.atan2(b, _guard.positive("height of the centre of gravity", height, "m"))


def goes_first(mu: float, half_base: Metre, height: Metre) -> tuple[Literal["slides", "tips"], Radian]:
    """Whether an unrestrained block on a slope slides or tips first, and at what heel (rad).

    >>> goes_first(0.3, 0.10, 0.10)[0], goes_first(0.6, 0.05, 0.10)[0]
    ('slides', 'tips')
    """
    slide, tip = self_holding_angle(mu), tipping_angle(half_base, height)
    return ("slides", slide) if slide <= tip else ("tips", tip)
