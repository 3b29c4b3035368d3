"""Force and moment balances of the cargo codes: CSS Code Annex 13, CTU Code annex 7 and EN 12195-1.

Sources: IMO, CSS Code, Annex 13 as amended by MSC.1/Circ.1623; IMO/ILO/UNECE, CTU Code (2014), annex 7;
EN 12195-1:2010 (load restraint on road vehicles, calculation of securing forces).

These serve to check the tool's own statics where a code and statics speak of the same case (upright, small
heel). They keep the whole weight on the deck whatever the roll, so none of them may judge a boat on her beam
ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from secure_load.strength import _guard
from secure_load.strength.units import STANDARD_GRAVITY, Kilogram, Metre, Newton, Radian


class Lashing(NamedTuple):
    """A lashing, or several alike, seen across the ship."""

    CS: Newton
    """Calculated strength of one, N."""
    f: float
    """Its f-value, `css_f_value`."""
    number: int = 1


class LeverLashing(NamedTuple):
    """A lashing, or several alike, by the lever of its force about the tipping edge."""

    CS: Newton
    """Calculated strength of one, N."""
    c: Metre
    """Lever about the tipping edge, m."""
    number: int = 1


def css_f_value(mu: float, alpha: Radian) -> float:
    """What a lashing adds across the ship, friction included: f = mu sin alpha + cos alpha; CSS Annex 13,
    7.2.1.

    mu: friction coefficient (0 .. 1). alpha: vertical securing angle, -pi/2 .. pi/2 rad (downwards to the
    deck is above 0).

    >>> round(css_f_value(0.3, math.radians(40)), 2), round(css_f_value(0.3, math.radians(-30)), 2)
    (0.96, 0.72)
    """
    mu = _guard.within("friction coefficient", mu, 0.0, 1.0)
    alpha = _guard.within("vertical securing angle", alpha, -math.pi / 2, math.pi / 2, "rad")
    return mu * math.sin(alpha) + math.cos(alpha)


def css_speed_length_factor(length: Metre, speed_knots: float) -> float:
    """Correction of the basic accelerations for length and speed: k = 0.345 v/sqrt(L) + (58.62 L -
    1034.5)/L^2.

    CSS Annex 13, 7.1 (formula from memory; the table's 0.89 for 120 m and 15 knots seen). Length over 50 m:
    the formula turns wild below; no small craft is within it.

    >>> round(css_speed_length_factor(120.0, 15.0), 2)
    0.89
    """
    length = _guard.within("length of the ship", length, 50.0, 400.0, "m")
    speed = _guard.not_negative("speed of the ship", speed_knots, "knots")
    return 0.345 * speed / math.sqrt(length) + (58.62 * length - 1034.5) / length**2


def css_force(mass: Kilogram, acceleration: float, wind: Newton = 0.0, sea: Newton = 0.0) -> Newton:
    """Force on a unit along one axis: F = m a + F_w + F_s; CSS Annex 13, 7.1. kg, m/s2 (a corrected), N.

    >>> round(css_force(62e3, 6.3 * 0.89, 24e3, 12e3) / 1000)
    384
    """
    mass = _guard.not_negative("mass", mass, "kg")
    wind = _guard.not_negative("wind force", wind, "N")
    return mass * _guard.finite("acceleration", acceleration) + wind + _guard.not_negative("sea force", sea, "N")


def css_sliding_resistance(
    mu: float, mass: Kilogram, lashings: Iterable[Lashing], g: float = STANDARD_GRAVITY
) -> Newton:
    """What resists sliding across the ship: mu m g + sum(CS f); CSS Annex 13, 7.2.1. N.

    The unit holds when its transverse force does not exceed this. The Code keeps the full weight on the deck.

    >>> round(css_sliding_resistance(0.3, 62e3, [Lashing(60e3, 0.96, 4)], g=9.81) / 1000, 1)
    412.9
    """
    mu = _guard.within("friction coefficient", mu, 0.0, 1.0)
    own = mu * _guard.not_negative("mass", mass, "kg") * g
    return own + sum(
        part.number * _guard.not_negative("lashing strength CS", part.CS, "N") * part.f for part in lashings
    )


def css_tipping_resistance(
    b: Metre,
    mass: Kilogram,
    lashings: Iterable[LeverLashing] = (),
    share: float = 0.9,
    g: float = STANDARD_GRAVITY,
) -> float:
    """What resists tipping: b m g + 0.9 sum(CS c); CSS Annex 13, 7.2.2. N m; to be set against F a.

    b: lever of the weight about the tipping edge, m. The share 0.9 goes with CS = MSL/1.35, so that 0.9
    MSL/1.35 is MSL/1.5.

    >>> round(css_tipping_resistance(2.0, 62e3, g=9.81) / 1000)
    1216
    """
    own = _guard.not_negative("lever of the weight", b, "m") * _guard.not_negative("mass", mass, "kg") * g
    share = _guard.within("share of the lashing moments", share, 0.0, 1.0)
    return own + share * sum(
        part.number * _guard.not_negative("lashing strength CS", part.CS, "N") * part.c for part in lashings
    )


def ctu_dynamic_friction(mu_static: float) -> float:
    """Friction to use beside direct lashings, which let the load move first: 0.75 mu; CTU Code annex 7,
    appendix 2.

    >>> round(ctu_dynamic_friction(0.45), 4)
    0.3375
    """
    return 0.75 * _guard.within("static friction coefficient", mu_static, 0.0, 1.5)


def inclination_angle(c: float, mu: float) -> Radian:
    """Tilt of a platform that tests the same sliding demand as c g sideways with the full weight on it.

    The angle p with sin p - mu cos p = c - mu, that is p = asin((c - mu)/sqrt(1 + mu^2)) + atan(mu); worked
    here from the idea of CTU Code annex 7, appendix 5 (the Code's own diagram was not at hand). c 0 .. 1, mu
    0 .. 1. rad.

    >>> [round(math.degrees(inclination_angle(c, mu)), 2) for c, mu in ((0.5, 0.0), (0.8, 0.3))]
    [30.0, 45.31]
    """
    c = _guard.within("sideways acceleration in g", c, 0.0, 1.0)
    mu = _guard.within("friction coefficient", mu, 0.0, 1.0)
    return math.asin((c - mu) / math.hypot(1.0, mu)) + math.atan(mu)


def topover_hold(mu: float, F_T: Newton, alpha: Radian, sides: float = 2.0) -> Newton:
    """Sideways hold of one top-over lashing on a flat load: k mu F_T sin alpha; EN 12195-1:2010 6.2. N.

    F_T: tension, N. alpha: angle of the lashing to the horizontal, 0 .. pi/2 rad. sides k: how many legs
    carry the full tension (2 by the code of 2010, 1.5 by that of 2003).

    >>> round(topover_hold(0.3, 4000.0, math.pi / 2))
    2400
    """
    mu = _guard.within("friction coefficient", mu, 0.0, 1.0)
    _guard.not_negative("lashing tension", F_T, "N")
    alpha = _guard.within("lashing angle", alpha, 0.0, math.pi / 2, "rad")
    return _guard.within("sides that carry the tension", sides, 1.0, 2.0) * mu * F_T * math.sin(alpha)


def topover_lashings(
    c: float,
    mu: float,
    mass: Kilogram,
    F_T: Newton,
    alpha: Radian,
    f_s: float,
    c_z: float = 1.0,
    sides: float = 2.0,
    g: float = STANDARD_GRAVITY,
) -> float:
    """Top-over lashings needed against sliding: n >= (c - mu c_z) m g f_s / (k mu sin alpha F_T); EN
    12195-1:2010 6.2.

    c, c_z: accelerations in g sideways and down. f_s: safety factor (1.25 forward, 1.1 otherwise in 2010). A
    real number, to be rounded up; 0 where friction alone does it; inf where there is no friction to press on.

    >>> round(topover_lashings(0.5, 0.3, 1000.0, 4000.0, math.radians(75), 1.1), 3)
    0.931
    """
    demand = _topover_demand(c, mu, c_z) * _guard.not_negative("mass", mass, "kg") * g
    demand *= _guard.positive("safety factor f_s", f_s)
    if demand == 0.0:
        return 0.0
    hold = topover_hold(mu, F_T, alpha, sides)
    return demand / hold if hold > 0.0 else math.inf


def topover_mass(
    c: float,
    mu: float,
    F_T: Newton,
    alpha: Radian,
    f_s: float,
    c_z: float = 1.0,
    sides: float = 2.0,
    g: float = STANDARD_GRAVITY,
) -> Kilogram:
    """Mass that one top-over lashing keeps from sliding: `topover_lashings` solved for m at n = 1; inf if
    none is needed. kg.

    >>> round(topover_mass(0.8, 0.4, 4000.0, math.radians(75), 1.25, g=9.81))
    630
    """
    per_kg = topover_lashings(c, mu, 1.0, F_T, alpha, f_s, c_z, sides, g)
    return 1.0 / per_kg if per_kg > 0.0 else math.inf


def direct_lashing_force(
    c: float,
    mu: float,
    mass: Kilogram,
    alpha: Radian,
    beta: Radian = 0.0,
    c_z: float = 1.0,
    f_mu: float = 0.75,
    g: float = STANDARD_GRAVITY,
) -> Newton:
    """Force in a direct (slope) lashing: m g (c - f_mu mu c_z) / (cos alpha cos beta + f_mu mu sin alpha).

    EN 12195-1:2010 6.3 (memory): f_mu 0.75 for the lashing's give. alpha: to the deck, beta: in plan from the
    direction of the thrust, rad. Shared between lashings by the caller. N.

    >>> round(direct_lashing_force(0.5, 0.3, 1000.0, math.radians(30), g=9.81))
    2757
    """
    mass = _guard.not_negative("mass", mass, "kg")
    alpha = _guard.within("lashing angle to the deck", alpha, 0.0, math.pi / 2, "rad")
    beta = _guard.within("lashing angle in plan", beta, 0.0, math.pi / 2, "rad")
    f_mu = _guard.within("conversion factor f_mu", f_mu, 0.0, 1.0)
    demand = _topover_demand(c, f_mu * mu, c_z) * mass * g
    if demand == 0.0:
        return 0.0
    bite = math.cos(alpha) * math.cos(beta) + f_mu * mu * math.sin(alpha)
    return demand / bite if bite > 1e-12 else math.inf


def blocking_force(c: float, mu: float, mass: Kilogram, c_z: float = 1.0, g: float = STANDARD_GRAVITY) -> Newton:
    """Force on a block or chock: F_B = (c - mu c_z) m g, 0 or more; EN 12195-1:2010 6.1 and CTU Code annex 7.
    N.

    >>> round(blocking_force(0.5, 0.3, 1000.0, g=9.81))
    1962
    """
    return _topover_demand(c, mu, c_z) * _guard.not_negative("mass", mass, "kg") * g


def tilts(c: float, half_base: Metre, height: Metre, c_z: float = 1.0) -> bool:
    """Whether an unlashed load tilts: c h > c_z b; EN 12195-1:2010 5.2.

    half_base b: from the centre of gravity to the tilting edge, height h: of the centre of gravity, m.

    >>> tilts(0.5, 0.30, 0.50), tilts(0.7, 0.30, 0.50)
    (False, True)
    """
    b = _guard.not_negative("distance to the tilting edge", half_base, "m")
    h = _guard.not_negative("height of the centre of gravity", height, "m")
    c = _guard.not_negative("sideways acceleration in g", c)
    return c * h > _guard.not_negative("vertical acceleration in g", c_z) * b


def _topover_demand(c: float, mu: float, c_z: float) -> float:
    """What friction leaves of the sideways acceleration, in g."""
    c = _guard.not_negative("sideways acceleration in g", c)
    mu = _guard.within("friction coefficient", mu, 0.0, 1.0)
    return max(0.0, c - mu * _guard.not_negative("vertical acceleration in g", c_z))
