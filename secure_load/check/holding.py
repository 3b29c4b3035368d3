"""How many g a weight's restraints hold in each direction."""

from __future__ import annotations

import numpy as np

from secure_load.catalogue.lookup import factor
from secure_load.check.response import Response, evaluate
from secure_load.check.results import HoldsG
from secure_load.model.group_model import NOMINAL, GroupModel
from secure_load.model.motion_words import direction_words
from secure_load.solver.arrays import Array, Index
from secure_load.solver.newton import WarmStart

NAMED: dict[str, tuple[float, float, float]] = {
    "down": (0.0, 0.0, -1.0),
    "up": (0.0, 0.0, 1.0),
    "port": (0.0, 1.0, 0.0),
    "starboard": (0.0, -1.0, 0.0),
    "fore": (1.0, 0.0, 0.0),
    "aft": (-1.0, 0.0, 0.0),
}
MAX_G = 1000.0
"""g beyond which it is said to hold anything."""
MIN_G = 0.01
"""g below which it is said to hold nothing."""
DIRECTION_COUNT = 500
BRACKET_RATIO = 1.005
"""How close a figure is come to: half a percent."""
SAMPLE_STRIDE = 10
"""One in so many directions is bracketed before the others are compared with the weakest of them."""
BRACKET_FRACTIONS = np.array([0.2, 0.4, 0.6, 0.8])
"""Where between the logarithms of what held and what did not is tried next."""
MAX_BRACKETS = 12
"""More than it takes: fifths alone come close in 7."""


def sphere(count: int = DIRECTION_COUNT) -> Array:
    """Unit vectors spread evenly over the sphere, (count, 3): the golden-angle spiral."""
    i = np.arange(count) + 0.5
    z = 1.0 - 2.0 * i / count
    turn = np.pi * (1.0 + np.sqrt(5.0)) * i
    level = np.sqrt(1.0 - z**2)
    return np.column_stack([level * np.cos(turn), level * np.sin(turn), z])


def at_one_g(stowed: GroupModel, directions: Array, known: tuple[Array, Array] | None = None) -> Response:
    """A group's working under 1 g alone, in each of some directions (n, 3); serves all its members.

    ``known``: other loads (k, 6 b) and the displacements found there, to start from the most like of them.
    """
    unit = _one_g(stowed, directions)
    begin = None
    if known is not None:
        load, u = known
        size = np.linalg.norm(unit[0]) / np.maximum(np.linalg.norm(load, axis=1), 1e-12)
        like = np.asarray((unit @ (load * size[:, None]).T).argmax(axis=1))
        begin = WarmStart(u[like] * size[like, None], load[like] * size[like, None], np.arange(len(unit)))
    return evaluate(stowed, NOMINAL, stowed.springs, unit, begin=begin)


def _one_g(stowed: GroupModel, directions: Array) -> Array:
    return stowed.total_load([m.body.mass * factor("g0") * directions for m in stowed.members])


def holds_in(
    stowed: GroupModel, directions: Array, member: int = 0, found: Response | None = None, each: int | None = None
) -> Array:
    """The largest acceleration in g, (n,), that keeps a member's utilisation at 1 or below, by direction (n, 3).

    The acceleration acts alone: it is the whole of what the weight feels. Infinite beyond ``MOST``.
    Without preload the answer scales with the load and one solve gives it; with preload it is bracketed.
    ``found``: what ``at_one_g`` found. ``each``: of the directions after so many only the weakest is wanted; the
    others may be anything beyond it.
    """
    one_g = found or at_one_g(stowed, directions)
    worst = one_g.worst(stowed, member)
    if not stowed.springs.has_preload:
        with np.errstate(divide="ignore"):
            held = np.where(np.isinf(worst), 0.0, 1.0 / worst)
        return np.where(held > MAX_G, np.inf, held)
    return _bracketed(stowed, _one_g(stowed, directions), member, one_g, len(directions) if each is None else each)


def _bracketed(stowed: GroupModel, unit: Array, member: int, found: Response, each: int) -> Array:
    """As ``holds_in`` by trying, from what was found at the loads ``unit`` (n, 6 b) of 1 g.

    The first ``each`` directions, and some spread among the others, are bracketed; of the rest only those that do
    not hold what the weakest of these does. Infinite for those that do.
    """
    tries = LimitBracket(stowed, unit, member, found)
    place = np.arange(len(unit))
    sure = (place < each) | (place % SAMPLE_STRIDE == 0)
    tries.bracket(place[sure], each)
    rest = place[~sure]
    weakest = float(tries.low[sure].min())
    if len(rest):
        tries.evaluate(rest, np.full((len(rest), 1), weakest))
        weaker = tries.low[rest] < weakest
        tries.low[rest[~weaker]] = MAX_G
        tries.bracket(rest[weaker], each)
    low = np.where(tries.low <= MIN_G, 0.0, tries.low)
    return np.where(low * BRACKET_RATIO >= MAX_G, np.inf, low)


class LimitBracket:
    """Accelerations in g that were tried in some directions: the most that held, and the least that did not."""

    def __init__(self, stowed: GroupModel, unit: Array, member: int, found: Response) -> None:
        self.stowed, self.unit, self.member = stowed, unit, member
        self.low, self.high = np.full(len(unit), MIN_G), np.full(len(unit), MAX_G)
        self.last, self.worst, self.u = (
            np.ones(len(unit)),
            found.worst(stowed, member),
            found.displacement_vector.copy(),
        )
        """The greatest that was tried below ``high`` and was not free, and what was found there; at first 1 g."""
        holds = self.worst <= 1.0
        self.low[holds] = 1.0
        self.high[~holds] = 1.0
        was_free = np.isinf(self.worst)
        if was_free.any():
            # what goes is far from where it is held: nothing is begun there, but from rest
            rest = np.zeros((1, unit.shape[1]))
            self.last[was_free] = 0.0
            self.u[was_free] = evaluate(stowed, NOMINAL, stowed.springs, rest).displacement_vector[0]

    def evaluate(self, at: Index, g: Array) -> None:
        """Try rising ``g`` (n, k) in the directions ``at``, starting from what was found there last."""
        many = g.shape[1]
        begin = WarmStart(self.u[at], self.unit[at] * self.last[at, None], np.repeat(np.arange(len(at)), many))
        load = np.repeat(self.unit[at], many, axis=0) * g.reshape(-1, 1)
        found = evaluate(self.stowed, NOMINAL, self.stowed.springs, load, begin=begin)
        worst = found.worst(self.stowed, self.member).reshape(g.shape)
        held = np.minimum.accumulate(worst <= 1.0, axis=1).sum(axis=1)
        some, none, row = held > 0, held < many, np.arange(len(at))
        self.low[at[some]] = g[row, held - 1][some]
        first = np.minimum(held, many - 1)
        self.high[at[none]] = g[row, first][none]
        kept = np.maximum(held - 1, 0)
        stays = np.isfinite(worst[row, kept])
        row, kept, at = row[stays], kept[stays], at[stays]
        self.last[at], self.worst[at] = g[row, kept], worst[row, kept]
        self.u[at] = found.displacement_vector.reshape(*g.shape, -1)[row, kept]

    def bracket(self, left: Index, each: int) -> None:
        """Come close to where each holds no more; of directions after the first ``each`` only where it may be weakest.

        One of each set of tries is where the utilisation would be just under 1 if it grew with the load, the others
        are spread evenly between what held and what did not.
        """
        for _ in range(MAX_BRACKETS):
            worst = self.worst[left]
            reached = (worst <= 1.0) & (worst * BRACKET_RATIO >= 1.0)
            weakest = left < each
            weakest |= self.low[left] < self.high.min(initial=MAX_G)
            left = left[~reached & (self.high[left] > self.low[left] * BRACKET_RATIO) & weakest]
            if not len(left):
                break
            low, high = self.low[left, None], self.high[left, None]
            tries = low * (high / low) ** BRACKET_FRACTIONS
            with np.errstate(divide="ignore", invalid="ignore"):
                scaled = self.last[left, None] / (self.worst[left, None] * np.sqrt(BRACKET_RATIO))
            sound = (scaled > low) & (scaled < high)
            tries = np.sort(np.concatenate([tries, np.where(sound, scaled, tries[:, :1])], axis=1), axis=1)
            self.evaluate(left, tries)


def all_round() -> Array:
    """The named directions and, after them, a sphere of others, (n, 3)."""
    return np.vstack([np.array(list(NAMED.values())), sphere()])


def holds_g(stowed: GroupModel, member: int = 0, found: Response | None = None) -> HoldsG:
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
