"""What a part of a restraint is, and the ways in which the forces in the restraint's links reach it.

A part turns the forces in its restraint's links, (n, rows), into a demand and a utilisation, (n,) each: once by
its working strength, for the verdict, and once by what it breaks at, for the order in which things go.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from secure_load.solver.arrays import Array, row_max
from secure_load.strength.nds import interaction_wood_screw

UtilisationLaw = Callable[[Array, Array], tuple[Array, Array]]
"""(forces in the restraint's links (n, rows), friction's drag on it (n,)) -> demand (n,) in N, utilisation (n,)."""
MM = 1e-3
_TRACE = 1e-9
OWNER_GIVEN = "given by the owner, used as it is"


@dataclass(frozen=True)
class FailureMode:
    """One part of a restraint."""

    name: str
    working: UtilisationLaw
    """By what it may be asked to bear."""
    breaking: UtilisationLaw
    """By what it breaks at."""
    basis: str
    """Whose figure the working strength is."""
    why: list[str] = field(default_factory=list[str])
    """The chain of figures behind both strengths, with the basis of each."""
    assumed: bool = False
    is_loss_of_restraint: bool = True
    """False where it gives way without letting go: timber crushed across its grain goes on bearing."""


def by_total(strength: float) -> UtilisationLaw:
    """A part that carries the sum of all links; strength in N, nil or more."""

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        total = np.abs(forces @ np.ones(forces.shape[1]))
        return total, _over(total, strength)

    return working


def by_share(shares: Array, strength: float) -> UtilisationLaw:
    """A part that carries a share of each link, and all the drag of friction; shares (rows,), strength in N."""

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        part = np.abs(forces @ shares) + drag
        return part, _over(part, strength)

    return working


def by_bending(along: Array, span: float, spread_moment: float, moment: float) -> UtilisationLaw:
    """A beam on two ends that the links press where they bear; along (rows,) from its middle and span in m.

    spread_moment: its greatest moment for each newton of an evenly spread load, m; moment: what it bears, N m. A
    load that comes at an edge alone bends it as a point load does, a b / span at its place, any text on the strength
    of materials: the worse of the two counts.
    """
    place = np.clip(along, -0.5 * span, 0.5 * span)
    low, high = np.minimum.outer(place, place), np.maximum.outer(place, place)
    # moment at one place for a newton at another
    arms = (0.5 * span + low) * (0.5 * span - high) / span

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        total = np.abs(forces @ np.ones(forces.shape[1]))
        return total, np.maximum(total * spread_moment, row_max(forces @ arms)) / moment

    return working


def by_screws(along: Array, prying: Array, places: Array, shear: float, pull: float) -> UtilisationLaw:
    """A row of like screws, sheared and drawn at once by a thrust that need not come in its middle; NDS 12.4.1.

    along (rows,): where each link bears, from the middle of the row, m; prying (rows,): its pull over its thrust;
    places (count,): of the screws, from the middle, m; strengths of one screw, N. A thrust P at a distance e from
    the middle gives the screw at x the share P (1 / n + e x / sum(x^2)), rivets in a rigid piece, any text on the
    strength of materials; the two end screws have the most and the least of it. The demand is on all of them as if
    each were worked like the hardest worked. Friction's drag may point along the screws or across them: it is
    counted in full both ways.
    """
    count, spread = len(places), float(places @ places)
    ends = np.array([places.min(), places.max()])
    shares = 1.0 / count + (np.outer(along, ends) / spread if spread > 0.0 else np.zeros((len(along), 2)))

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        sliding = drag[:, None] / count
        across = np.hypot(forces @ shares, sliding)
        drawn = np.maximum(forces @ (prying[:, None] * shares), 0.0) + sliding
        ratio = interaction_wood_screw(shear, pull, across, drawn)
        return count * row_max(np.hypot(across, drawn)), row_max(ratio)

    return working


def by_end_screws(share: Array, across: Array, places: Array, width: float, pull: float) -> UtilisationLaw:
    """The screws at one end of a batten, drawn by a lift that need not come on its middle line.

    share (rows,): what this end has of each link; across (rows,): where each link bears, from the middle line, m;
    places (count,): of the end's screws across the batten, from the middle line, m; width: of the batten, m; pull:
    strength of one screw, N. A lift P at a distance e off the middle line twists the batten, and its two ends share
    the torque P e as they share the lift (a bar in torsion built in at both ends). Screws side by side resist it by a
    couple: the one at y has P (1 / n + e y / sum(y^2)), rivets in a rigid piece, any text on the strength of
    materials. A lone screw on the middle line resists it only with the far edge of the batten on its landing: it has
    P (1 + 2 e / width), the law of the lever about that edge. The demand is on all of them as if each were worked
    like the hardest worked; friction's drag is counted in full.
    """
    count, spread = len(places), float(places @ places)
    outer = np.outer(across, places[[0, -1]] / spread) if spread > 0.0 else np.outer(across, [-2.0, 2.0]) / width
    shares = share[:, None] * (1.0 / max(count, 1) + outer)

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        demand = count * row_max(forces @ shares) + drag
        return demand, _over(demand, count * pull)

    return working


def by_resultant(strength: float, shares: Array) -> UtilisationLaw:
    """A both-way part whose links come in threes (square to the face, across, across), one point after another.

    The strength, N, is that of the whole of it, of which each of its points has a share (points,): the demand is
    what the whole bears where every point is worked like the hardest worked one. What it bears by pressing on the face
    is no load on it.
    """

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        each = forces.reshape(len(forces), -1, 3)
        # the link's force is positive where it presses the weight away from the face
        pull = np.maximum(-each[:, :, 0], 0.0)
        demand = row_max(np.sqrt(pull**2 + each[:, :, 1] ** 2 + each[:, :, 2] ** 2) / shares)
        return demand, demand / strength

    return working


def by_bolts(shear: float, pull: float) -> UtilisationLaw:
    """Bolts whose links come in threes (along, across, across); shear and pull of one bolt in N.

    V / F_v + T / (1.4 F_t), and never below T / F_t or V / F_v; EN 1993-1-8 Table 3.4.
    """

    def working(forces: Array, drag: Array) -> tuple[Array, Array]:
        each = forces.reshape(len(forces), -1, 3)
        # the link's force is positive where it presses the weight away from the face: the bolt pulls below nil
        along = np.maximum(-each[:, :, 0], 0.0)
        across = np.hypot(each[:, :, 1], each[:, :, 2])
        ratio = np.maximum(across / shear + along / (1.4 * pull), np.maximum(along / pull, across / shear))
        at = ratio.argmax(axis=1)
        row = np.arange(len(forces))
        return np.hypot(along, across)[row, at], ratio[row, at]

    return working


def total_mode(
    name: str,
    working: float,
    breaking: float,
    basis: str,
    why: list[str],
    assumed: bool = False,
    lets_go: bool = True,
) -> FailureMode:
    """A part that carries the whole of its restraint's force; both strengths in N."""
    return FailureMode(name, by_total(working), by_total(breaking), basis, why, assumed, lets_go)


def derated(part: FailureMode, factor: float, why: list[str]) -> FailureMode:
    """A part of which inspections left only a share of the strength, ``factor`` 0 to 1; ``why`` joins its chain.

    A part of which nothing is left keeps the least trace of strength: that fails for certain, and is told apart
    from a weight that is free to move.
    """
    left = max(factor, _TRACE)

    def less(response: UtilisationLaw) -> UtilisationLaw:
        def working(forces: Array, drag: Array) -> tuple[Array, Array]:
            demand, ratio = response(forces, drag)
            return demand, ratio / left

        return working

    return replace(part, working=less(part.working), breaking=less(part.breaking), why=[*part.why, *why])


def _over(demand: Array, strength: float) -> Array:
    return demand / strength if strength > 0.0 else np.where(demand > 0.0, np.inf, 0.0)
