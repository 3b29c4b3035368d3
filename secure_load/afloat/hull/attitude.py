"""How she lies in the water at a given heel: sinkage and trim that balance weight and fore-and-aft moment.

The heel is held and the other two are free. The water surface cuts station x at the height t = h + x tan(trim)
of the turned section (trim by the bow positive), and with volume V and centre (x_B, u_B, v_B):

    rho V = mass            (x_B - x_G) + (v_B - v_G) tan(trim) = 0

the second being that the two centres stand on one vertical as seen from the side; the height of both centres
is in it, so it holds at any trim and any heel. What is left over is the righting lever u_G - u_B.
Solved by Newton's method for all heels at once, the slopes coming from the breadths of the waterline.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.afloat.errors import too_heavy
from secure_load.afloat.hull.arrays import Array, Mask, Pick
from secure_load.afloat.hull.clip import Turned, cut, turn
from secure_load.afloat.hull.hull import Hull

TIGHT = 1e-10
"""Share of her volume (and of volume times length) that may be left over."""
MOST_STEPS = 60
STEEPEST = 1.2
"""tan(trim) beyond which no answer is looked for: no boat this program is for lies so."""


@dataclass(frozen=True, eq=False)
class Load:
    """What she carries, as it lies at each of H heels."""

    mass: float
    """kg."""
    x: Array
    """[H] centre of gravity forward of the after end of the waterline, m."""
    u: Array
    """[H] level coordinate of the centre of gravity in the turned boat, to port, m."""
    v: Array
    """[H] height of it in the turned boat, from the turned origin, m."""

    def pick(self, heels: Pick) -> Load:
        """The same at some of the heels."""
        return Load(self.mass, self.x[heels], self.u[heels], self.v[heels])


@dataclass(frozen=True, eq=False)
class Attitude:
    """How she lies at each of H heels."""

    heel: Array
    """[H] rad, starboard down positive."""
    level: Array
    """[H] height of the water over the origin in the turned boat, m."""
    tan_trim: Array
    """[H] tangent of trim, by the bow positive."""
    volume: Array
    """[H] m3."""
    x_b: Array
    """[H] centre of buoyancy, forward, m."""
    u_b: Array
    """[H] its level coordinate, m."""
    v_b: Array
    """[H] its height in the turned boat, m."""
    lever: Array
    """[H] righting lever, m: positive where she would turn back towards less heel to starboard."""
    solved: Mask
    """[H] bool: whether the balance was found."""


def fixed_load(mass: float, centre: Array, heel: Array) -> Load:
    """A load that does not move in the boat: mass in kg, centre [3] in m, heels [H] in rad."""
    c, s = np.cos(heel), np.sin(heel)
    x, y, z = (float(value) for value in centre)
    return Load(mass, np.full_like(heel, x), y * c - z * s, y * s + z * c)


def float_at(hull: Hull, heel: Array, load: Load, density: float, free_trim: bool = True) -> Attitude:
    """Balance weight and trim at heels [H], rad.

    Args:
        hull: the hull.
        heel: rad, any angles.
        load: what she carries, at the same heels.
        density: of the water, kg/m3.
        free_trim: let her trim; else she is held level fore and aft.

    Raises:
        CannotFloat: she is heavier than all the water she can displace, or weighs nothing.
    """
    wanted = load.mass / density
    if not 0 < wanted < hull.whole_volume * (1 - 1e-9):
        raise too_heavy(load.mass, hull.whole_volume * density)
    heel = np.asarray(heel, dtype=float)
    turned = turn(hull, heel)
    h = _sink(hull, turned, wanted)
    tau = np.zeros_like(h)
    if not free_trim:
        return _finish(hull, heel, turned, load, h, tau, wanted, held=True)
    active = np.arange(len(heel))
    part, carried = turned, load
    for _ in range(MOST_STEPS):
        dh, dtau, miss = _step(hull, part, carried, h[active], tau[active], wanted)
        left = miss > TIGHT
        if not np.any(left):
            break
        h[active] += np.where(left, dh, 0.0)
        tau[active] = np.clip(tau[active] + np.where(left, dtau, 0.0), -STEEPEST, STEEPEST)
        if np.count_nonzero(left) < 0.7 * len(active):
            active = active[left]
            part, carried = turned.pick(active), load.pick(active)
    return _finish(hull, heel, turned, load, h, tau, wanted)


def _sink(hull: Hull, turned: Turned, wanted: float) -> Array:
    """[H] level of the water at no trim that displaces ``wanted`` m3, well enough to begin with."""
    low: Array = np.min(turned.v, axis=(1, 2))
    high: Array = np.max(turned.v, axis=(1, 2))
    h: Array = 0.5 * (low + high)
    for _ in range(MOST_STEPS):
        wet = cut(turned, np.broadcast_to(h[:, None], turned.u.shape[:2]))
        over = wet.area @ hull.weights - wanted
        if np.all(np.abs(over) < 1e-3 * wanted):
            break
        low, high = np.where(over < 0, h, low), np.where(over > 0, h, high)
        plane = wet.breadth @ hull.weights
        newton: Array = h - over / np.where(plane > 0, plane, 1.0)
        inside: Mask = (plane > 0) & (newton > low) & (newton < high)
        h = np.where(inside, newton, 0.5 * (low + high))
    return h


def _step(hull: Hull, turned: Turned, load: Load, h: Array, tau: Array, wanted: float) -> tuple[Array, Array, Array]:
    """One Newton step for level and trim, no longer than the balance is likely to be straight; and what is left."""
    x, w = hull.x, hull.weights
    level = h[:, None] + tau[:, None] * x
    wet = cut(turned, level)
    arm = x - load.x[:, None]
    # The moment is taken with the wanted volume on G, which keeps its slope right while the volume is still off.
    stand = np.sum(w * wet.moment_v, axis=1) - np.sum(w * wet.area, axis=1) * load.v
    over = wet.area @ w - wanted
    moment = np.sum(w * wet.area * arm, axis=1) + tau * stand
    strip = w * wet.breadth
    lean = arm + tau[:, None] * (level - load.v[:, None])
    hh = np.sum(strip, axis=1)
    ht = strip @ x
    th = np.sum(strip * lean, axis=1)
    tt = np.sum(strip * lean * x, axis=1) + stand
    det = hh * tt - ht * th
    # A trim that falls away from its balance (det < 0) is left by a plain step the right way.
    scale = hull.length
    good = det > 1e-9 * hull.breadth**2 * scale**4 / 12
    safe: Array = np.where(good, det, 1.0)
    dh: Array = np.where(good, -(over * tt - moment * ht) / safe, -over / np.where(hh > 0, hh, 1.0))
    dtau: Array = np.where(good, -(moment * hh - over * th) / safe, np.where(moment > 0, -0.02, 0.02))
    depth: Array = np.max(turned.v, axis=(1, 2)) - np.min(turned.v, axis=(1, 2))
    # Trimming about the origin moves the level amidships too: one factor for both keeps the two in step.
    sinking: Array = np.where(good, dh + dtau * 0.5 * (x[0] + x[-1]), dh)
    shorten = np.minimum(1.0, 0.3 * depth / (np.abs(sinking) + 1e-30))
    shorten = np.minimum(shorten, 0.1 / (np.abs(dtau) + 1e-30))
    miss = np.maximum(np.abs(over) / wanted, np.abs(moment) / (wanted * scale))
    return dh * shorten, dtau * shorten, miss


def _finish(
    hull: Hull,
    heel: Array,
    turned: Turned,
    load: Load,
    h: Array,
    tau: Array,
    wanted: float,
    held: bool = False,
) -> Attitude:
    level = h[:, None] + tau[:, None] * hull.x
    for _ in range(8 if held else 0):
        wet = cut(turned, level)
        plane = wet.breadth @ hull.weights
        h = h - (wet.area @ hull.weights - wanted) / np.where(plane > 0, plane, np.inf)
        level = np.broadcast_to(h[:, None], level.shape)
    wet = cut(turned, level)
    volume = wet.area @ hull.weights
    some: Array = np.where(volume > 0, volume, 1.0)
    x_b = (wet.area * hull.x) @ hull.weights / some
    u_b = wet.moment_u @ hull.weights / some
    v_b = wet.moment_v @ hull.weights / some
    left: Array = np.abs(volume - wanted) / wanted
    if not held:
        off = (x_b - load.x) + (v_b - load.v) * tau
        left = np.maximum(left, np.abs(off) / hull.length)
    return Attitude(heel, h, tau, volume, x_b, u_b, v_b, load.u - u_b, left < 1e-7)
