"""How many g a weight's restraints hold in each direction."""

from __future__ import annotations

import numpy as np

from secure_load.catalogue.lookup import factor
from secure_load.statics.arrays import Array, Mask
from secure_load.statics.equilibrium import Begin
from secure_load.statics.words import direction_words
from secure_load.verdict.models import HoldsG
from secure_load.verdict.stow import AS_WORKED_OUT, Stowed
from secure_load.verdict.work import Worked, work

NAMED: dict[str, tuple[float, float, float]] = {
    "down": (0.0, 0.0, -1.0),
    "up": (0.0, 0.0, 1.0),
    "port": (0.0, 1.0, 0.0),
    "starboard": (0.0, -1.0, 0.0),
    "fore": (1.0, 0.0, 0.0),
    "aft": (-1.0, 0.0, 0.0),
}
MOST = 1000.0
"""g beyond which it is said to hold anything."""
LEAST = 0.01
"""g below which it is said to hold nothing."""
SPHERE = 500
CLOSE = 1.005
"""How close a figure is come to: half a percent."""
TRIES = 30
"""More than it takes: halving alone comes close in 12."""


def sphere(count: int = SPHERE) -> Array:
    """Unit vectors spread evenly over the sphere, (count, 3): the golden-angle spiral."""
    i = np.arange(count) + 0.5
    z = 1.0 - 2.0 * i / count
    turn = np.pi * (1.0 + np.sqrt(5.0)) * i
    level = np.sqrt(1.0 - z**2)
    return np.column_stack([level * np.cos(turn), level * np.sin(turn), z])


def at_one_g(stowed: Stowed, directions: Array, known: tuple[Array, Array] | None = None) -> Worked:
    """A group's working under 1 g alone, in each of some directions (n, 3); serves all its members.

    ``known``: other loads (k, 6 b) and the displacements found there, to start from the most like of them.
    """
    unit = _one_g(stowed, directions)
    begin = None
    if known is not None:
        load, u = known
        size = np.linalg.norm(unit[0]) / np.maximum(np.linalg.norm(load, axis=1), 1e-12)
        like = np.asarray((unit @ (load * size[:, None]).T).argmax(axis=1))
        begin = Begin(u[like] * size[like, None], load[like] * size[like, None], np.arange(len(unit)))
    return work(stowed, AS_WORKED_OUT, stowed.links, unit, patient=False, begin=begin)


def _one_g(stowed: Stowed, directions: Array) -> Array:
    return stowed.total_load([m.body.mass * factor("g0") * directions for m in stowed.members])


def holds_in(
    stowed: Stowed, directions: Array, member: int = 0, found: Worked | None = None, each: int | None = None
) -> Array:
    """The largest acceleration in g, (n,), that keeps a member's utilisation at 1 or below, by direction (n, 3).

    The acceleration acts alone: it is the whole of what the weight feels. Infinite beyond ``MOST``.
    Without preload the answer scales with the load and one solve gives it; with preload it is bracketed.
    ``found``: what ``at_one_g`` found. ``each``: of the directions after so many only the weakest is wanted; the
    others may be anything beyond it.
    """
    one_g = found or at_one_g(stowed, directions)
    worst = one_g.worst(stowed, member)
    if not stowed.links.has_preload:
        with np.errstate(divide="ignore"):
            held = np.where(np.isinf(worst), 0.0, 1.0 / worst)
        return np.where(held > MOST, np.inf, held)
    sure = np.arange(len(directions)) < (len(directions) if each is None else each)
    return _bracketed(stowed, _one_g(stowed, directions), member, worst, one_g.u.copy(), sure)


def _bracketed(stowed: Stowed, unit: Array, member: int, worst: Array, u: Array, sure: Mask) -> Array:
    """As ``holds_in`` by trying, from the utilisation worst (n,) and displacement u at the loads ``unit`` of 1 g.

    Each try is where the utilisation would be just under 1 if it grew with the load, kept between what was held
    and what was not; where that gets nowhere, halfway between them. Those not ``sure`` (n,) are left alone once
    another is known to be weaker.
    """
    tried = np.ones(len(unit))
    low, high = np.full(len(unit), LEAST), np.full(len(unit), MOST)
    left = np.arange(len(unit))
    for turn in range(TRIES):
        here = worst[left]
        holds = here <= 1.0
        low[left] = np.where(holds, np.maximum(low[left], tried[left]), low[left])
        high[left] = np.where(holds, high[left], np.minimum(high[left], tried[left]))
        reached = holds & (here * CLOSE >= 1.0)
        weak = sure[left] | (low[left] < high.min())
        left = left[~reached & weak & (high[left] > low[left] * CLOSE)]
        if not len(left):
            break
        with np.errstate(divide="ignore", invalid="ignore"):
            scaled = tried[left] / (worst[left] * np.sqrt(CLOSE))
        sound = (scaled > low[left]) & (scaled < high[left]) & (turn % 3 != 2)
        start = Begin(u[left], unit[left] * tried[left, None], np.arange(len(left)))
        tried[left] = np.where(sound, scaled, np.sqrt(low[left] * high[left]))
        load = unit[left] * tried[left, None]
        found = work(stowed, AS_WORKED_OUT, stowed.links, load, patient=False, begin=start)
        worst[left], u[left] = found.worst(stowed, member), found.u
    low = np.where(low <= LEAST, 0.0, low)
    return np.where(low * CLOSE >= MOST, np.inf, low)


def all_round() -> Array:
    """The named directions and, after them, a sphere of others, (n, 3)."""
    return np.vstack([np.array(list(NAMED.values())), sphere()])


def holds_g(stowed: Stowed, member: int = 0, found: Worked | None = None) -> HoldsG:
    """The six named directions and the weakest of a sphere of them. ``found``: ``at_one_g`` of ``all_round``."""
    directions = all_round()
    held = holds_in(stowed, directions, member, found, each=len(NAMED))
    weakest = int(np.argmin(held))
    figures = {name: _figure(value) for name, value in zip(NAMED, held, strict=False)}
    return HoldsG(
        **figures,
        weakest=_figure(float(held[weakest])),
        weakest_direction=direction_words(directions[weakest]),
    )


def _figure(held: float) -> float | None:
    return None if np.isinf(held) else round(float(held), 4)
