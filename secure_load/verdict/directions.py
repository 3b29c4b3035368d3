"""How many g a weight's restraints hold in each direction."""

from __future__ import annotations

import numpy as np

from secure_load.catalogue.lookup import factor
from secure_load.statics.arrays import Array
from secure_load.statics.words import direction_words
from secure_load.verdict.models import HoldsG
from secure_load.verdict.stow import AS_WORKED_OUT, Stowed
from secure_load.verdict.work import work

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
HALVINGS = 11
"""Of the logarithm of MOST / LEAST: to 0.6 %."""


def sphere(count: int = SPHERE) -> Array:
    """Unit vectors spread evenly over the sphere, (count, 3): the golden-angle spiral."""
    i = np.arange(count) + 0.5
    z = 1.0 - 2.0 * i / count
    turn = np.pi * (1.0 + np.sqrt(5.0)) * i
    level = np.sqrt(1.0 - z**2)
    return np.column_stack([level * np.cos(turn), level * np.sin(turn), z])


def holds_in(stowed: Stowed, directions: Array, member: int = 0) -> Array:
    """The largest acceleration in g, (n,), that keeps a member's utilisation at 1 or below, by direction (n, 3).

    The acceleration acts alone: it is the whole of what the weight feels. Infinite beyond ``MOST``.
    Without preload the answer scales with the load and one solve gives it; with preload it is bracketed.
    """
    unit = stowed.total_load([m.body.mass * factor("g0") * directions for m in stowed.members])

    def worst_of(load: Array) -> Array:
        return work(stowed, AS_WORKED_OUT, stowed.links, load, patient=False).worst(stowed, member)

    if not stowed.links.has_preload:
        worst = worst_of(unit)
        with np.errstate(divide="ignore"):
            held = np.where(np.isinf(worst), 0.0, 1.0 / worst)
        return np.where(held > MOST, np.inf, held)
    low, high = np.full(len(unit), LEAST), np.full(len(unit), MOST)
    safe = worst_of(unit * MOST) <= 1.0
    for _ in range(HALVINGS):
        middle = np.sqrt(low * high)
        held = worst_of(unit * middle[:, None]) <= 1.0
        low, high = np.where(held, middle, low), np.where(held, high, middle)
    low = np.where(low <= LEAST, 0.0, low)
    return np.where(safe, np.inf, low)


def holds_g(stowed: Stowed, member: int = 0) -> HoldsG:
    """The six named directions and the weakest of a sphere of them."""
    directions = np.vstack([np.array(list(NAMED.values())), sphere()])
    held = holds_in(stowed, directions, member)
    weakest = int(np.argmin(held))
    figures = {name: _figure(value) for name, value in zip(NAMED, held, strict=False)}
    return HoldsG(
        **figures,
        weakest=_figure(float(held[weakest])),
        weakest_direction=direction_words(directions[weakest]),
    )


def _figure(held: float) -> float | None:
    return None if np.isinf(held) else round(float(held), 4)
