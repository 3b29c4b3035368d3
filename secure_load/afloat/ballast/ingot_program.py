"""The integer programme behind placing the ballast: counts of each sort in each place.

Solved by HiGHS through scipy, which is loaded here and only when it is wanted (0.2 s and more to import).
Goals are met one after the other, each held to its best while the next is sought. A moment within its tolerance
counts as met, or the solver would spend the day shaving grams, as in any problem of making equal heaps.
"""

from __future__ import annotations

import contextlib
import ctypes
import math
import os
import sys
import time
from collections.abc import Generator
from dataclasses import dataclass, replace
from importlib import import_module
from typing import Any, Literal

import numpy as np

from secure_load.afloat.hull.arrays import Array

SECONDS = 3.5
"""For all goals together; the best found by then is taken, and it is mostly proven long before."""
FIRST_SECONDS = 1.5
"""For the first, trim and list, of these."""
LEAST_SECONDS, MOST_SECONDS = 0.05, 0.6
"""For each later goal."""
TIME_OUT = 1
"""scipy's word for a solver that ran out of time."""
_SLACK = 1e-6

Aim = Literal["height", "reach", "places", "moments"]


class Unstowable(Exception):
    """The ingots do not go into the places; the message says what stands against it."""


@dataclass(frozen=True)
class Goal:
    """One order of goals, after trim and list."""

    name: str
    aims: tuple[Aim, ...]


GOALS = (
    Goal("lowest", ("height", "places")),
    Goal("easiest to reach", ("reach", "height")),
    Goal("fewest places", ("places", "height")),
    Goal("nearest the marks", ("moments", "height")),
)


FIRST_FOUND = Goal("first found, for want of time", ())


@dataclass(frozen=True, eq=False)
class Stowing:
    """The problem as arrays: S sorts of ingot, P places."""

    mass: Array
    """[S] kg each."""
    count: Array
    """[S] in hand; all are placed."""
    along: Array
    """[P] lever of the fore-and-aft moment, m."""
    across: Array
    """[P] lever of the athwartships moment, m."""
    height: Array
    """[P] m."""
    reach: Array
    """[P] 0 easy .. 10 hard."""
    room_count: Array
    """[P] ingots; inf where nothing is said."""
    room_mass: Array
    """[P] kg."""
    bearing: Array
    """[P] kg that what is under it may bear."""
    along_wanted: float
    """kg m."""
    across_wanted: float
    """kg m."""
    along_tolerance: float
    """kg m."""
    across_tolerance: float
    """kg m."""


def solve(problem: Stowing) -> list[tuple[Goal, Array]]:
    """For each order of goals the counts [S, P]; those that come to the same are given once.

    Raises Unstowable where the ingots do not go in, or scipy is not installed.
    """
    model = _Model(problem)
    begun = time.monotonic()
    missed = model.least(model.cost_excess(), [], FIRST_SECONDS)
    if missed is None:
        raise Unstowable(_why_not(problem))
    excess = (model.cost_excess(), missed[0] + _SLACK * (1.0 + abs(missed[0])))
    found: list[tuple[Goal, Array]] = []
    goals = sum(len(goal.aims) for goal in GOALS)
    for goal in GOALS:
        held = [excess]
        best: Array | None = None
        for aim in goal.aims:
            cost = model.cost(aim)
            left = SECONDS - (time.monotonic() - begun)
            answer = model.least(cost, held, min(max(left / goals, LEAST_SECONDS), MOST_SECONDS))
            goals -= 1
            if answer is None:
                break  # no time to better it: the last answer stands, if there was one
            best = answer[1]
            held.append((cost, answer[0] + _give(aim, problem, answer[0])))
        counts = None if best is None else model.counts(best)
        if counts is not None and not any(np.array_equal(counts, other) for _, other in found):
            found.append((goal, counts))
    return found or [(FIRST_FOUND, model.counts(missed[1]))]


def _give(aim: Aim, problem: Stowing, value: float) -> float:
    """What may be given up of one goal for the next: half a millimetre of height, nothing of what is counted."""
    if aim == "height":
        return 0.0005 * float(problem.mass @ problem.count)
    return 0.05 * abs(value) + _SLACK if aim == "moments" else _SLACK * (1.0 + abs(value))


@contextlib.contextmanager
def _without_c_output() -> Generator[None]:
    """Drop what C code writes to standard output: HiGHS prints there at times, whatever its options say.

    Nothing else of this program writes there meanwhile: Textual draws on standard error.
    """
    try:
        kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    except OSError:  # standard output is closed
        yield
        return
    flush_c = ctypes.CDLL("ucrtbase" if sys.platform == "win32" else None).fflush
    try:
        flush_c(None)
        os.dup2(nowhere, 1)
        yield
    finally:
        flush_c(None)
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


class _Model:
    """Columns: counts [S x P], whole; used [P], yes or no; moments off and beyond tolerance [4]."""

    def __init__(self, problem: Stowing) -> None:
        try:
            # By name: scipy says too little of its types to be checked against.
            sparse: Any = import_module("scipy.sparse")
            optimize: Any = import_module("scipy.optimize")
        except ImportError:
            raise Unstowable("placing the ballast needs scipy, which is not installed: pip install scipy") from None
        self._sparse: Any = sparse
        self._constraint: Any = optimize.LinearConstraint
        self._milp: Any = optimize.milp
        constraint: Any = optimize.LinearConstraint
        p = problem
        self.sorts, self.places = len(p.mass), len(p.along)
        self.problem = p
        n = self.sorts * self.places
        columns = n + self.places + 4
        room = np.minimum(p.room_mass, p.bearing)
        # A place holds no more of a sort than its room and the ingots in hand: small bounds, quick proofs.
        fits = np.floor(room[None, :] / p.mass[:, None] * (1 + 1e-9))
        most = np.minimum(np.minimum(p.count[:, None], p.room_count[None, :]), fits)
        upper = np.concatenate([most.ravel(), np.ones(self.places), np.full(4, np.inf)])
        self.bounds: Any = optimize.Bounds(np.zeros(columns), upper)
        self.whole = np.concatenate([np.ones(n + self.places), np.zeros(4)])
        eye: Any = sparse.identity(self.places)
        sum_sorts = np.ones((1, self.sorts))
        per_place: Any = sparse.kron(sum_sorts, eye)
        mass_place: Any = sparse.kron(p.mass[None, :], eye)
        per_sort: Any = sparse.kron(sparse.identity(self.sorts), np.ones((1, self.places)))
        blank = self._blank
        # A lid on what one place can ever hold ties "used" to the counts.
        lid = np.minimum(np.sum(most, axis=0), p.room_count)
        along = np.kron(p.mass, p.along)[None, :]
        across = np.kron(p.mass, p.across)[None, :]
        scale_x, scale_y = self._scales()
        self.rows: list[Any] = [
            constraint(sparse.hstack([per_sort, blank(self.sorts, self.places + 4)]), p.count, p.count),
            constraint(sparse.hstack([per_place, blank(self.places, self.places + 4)]), -np.inf, p.room_count),
            constraint(sparse.hstack([mass_place, blank(self.places, self.places + 4)]), -np.inf, room),
            constraint(sparse.hstack([per_place, -sparse.diags(lid), blank(self.places, 4)]), -np.inf, 0.0),
        ]
        # Columns n + places: |trim off|, |list off|, beyond tolerance of each, in tolerances.
        for row, scale, wanted, at in (
            (along, scale_x, p.along_wanted, 0),
            (across, scale_y, p.across_wanted, 1),
        ):
            for sign in (1.0, -1.0):
                tail = np.zeros((1, 4))
                tail[0, at] = -1.0
                whole: Any = sparse.hstack([sparse.csr_matrix(sign * row / scale), blank(1, self.places), tail])
                self.rows.append(constraint(whole, -np.inf, sign * wanted / scale))
            tail = np.zeros((1, 4))
            tail[0, at], tail[0, at + 2] = 1.0, -1.0
            self.rows.append(constraint(sparse.hstack([blank(1, n + self.places), tail]), -np.inf, 1.0))

    def _blank(self, rows: int, columns: int) -> Any:
        return self._sparse.csr_matrix((rows, columns))

    def _scales(self) -> tuple[float, float]:
        p = self.problem
        total = float(p.mass @ p.count)
        return max(p.along_tolerance, 1e-6 * total), max(p.across_tolerance, 1e-6 * total)

    def cost_excess(self) -> Array:
        """Trim and list beyond what counts as met, in tolerances."""
        return self._tail(np.array([0.0, 0.0, 1.0, 1.0]))

    def _tail(self, tail: Array) -> Array:
        cost = np.zeros(self.sorts * self.places + self.places + 4)
        cost[-4:] = tail
        return cost

    def cost(self, aim: Aim) -> Array:
        """What a goal counts."""
        n = self.sorts * self.places
        if aim == "moments":
            return self._tail(np.array([1.0, 1.0, 0.0, 0.0]))
        cost = np.zeros(n + self.places + 4)
        if aim == "places":
            cost[n : n + self.places] = 1.0
            return cost
        each = self.problem.height - np.min(self.problem.height) if aim == "height" else self.problem.reach
        cost[:n] = np.kron(self.problem.mass, each)
        return cost

    def least(self, cost: Array, held: list[tuple[Array, float]], seconds: float) -> tuple[float, Array] | None:
        """Least cost and the columns, with other costs held under their limits; None where there is no answer.

        Raises Unstowable where the time ran out with nothing held and no answer: that proves nothing.
        """
        rows = [*self.rows, *(self._constraint(c[None, :], -np.inf, limit) for c, limit in held)]
        with _without_c_output():
            answer: Any = self._milp(
                cost,
                integrality=self.whole,
                bounds=self.bounds,
                constraints=rows,
                options={"time_limit": seconds, "mip_rel_gap": 1e-4},
            )
        if answer.x is None:
            if int(answer.status) == TIME_OUT and not held:
                raise Unstowable("no way of stowing the ingots was found in the time allowed: give fewer places")
            return None
        columns: Array = np.asarray(answer.x, dtype=float)
        return float(cost @ columns), columns

    def counts(self, columns: Array) -> Array:
        """[S, P] whole numbers."""
        return np.rint(columns[: self.sorts * self.places]).reshape(self.sorts, self.places)


def _why_not(problem: Stowing) -> str:
    """Which limit stands against stowing all ingots."""
    in_hand, total = float(np.sum(problem.count)), float(problem.mass @ problem.count)
    room, kilos, bears = (float(np.sum(a)) for a in (problem.room_count, problem.room_mass, problem.bearing))
    if room < in_hand:
        return f"the places have room for {room:.0f} ingots and {in_hand:.0f} are in hand"
    if kilos < total:
        return f"the places have room for {kilos:.0f} kg and the ingots in hand weigh {total:.0f} kg"
    if bears < total:
        return (
            f"what is under the places may bear {bears:.0f} kg in all and the ingots in hand weigh {total:.0f} kg: "
            "spread them over more places, or over larger areas"
        )
    far = np.full_like(problem.along, math.inf)
    for words, freed in (
        ("the bearing allowed under the places", replace(problem, bearing=far)),
        ("room_kg of the places", replace(problem, room_mass=far)),
        ("room_count of the places", replace(problem, room_count=far)),
    ):
        if _Model(freed).least(np.zeros(_columns(freed)), [], FIRST_SECONDS) is not None:
            return (
                f"the ingots in hand ({in_hand:.0f}, {total:.0f} kg) do not go into the places: {words} stands against "
                "it, whole ingots taken"
            )
    return (
        f"the ingots in hand ({in_hand:.0f}, {total:.0f} kg) do not go into the places: room and bearing together "
        "stand against it"
    )


def _columns(problem: Stowing) -> int:
    return len(problem.mass) * len(problem.along) + len(problem.along) + 4
