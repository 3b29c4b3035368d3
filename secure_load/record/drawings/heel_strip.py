"""The heel strip of one weight: how it is worked at each heel from flat on her port side and over to starboard.

Nothing is solved here: the figures are those of the check (``check.context.Run.solved``). The colour is that of the
figure alone, as in a scenario's verdict; what makes a whole weight doubtful besides (no second path, an assumption)
has no heel and is not in the strip.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from secure_load.boat.models import Weight
from secure_load.check.context import CheckContext, GroupSolution
from secure_load.check.response import severity
from secure_load.check.results import LETTER, RANK, Colour
from secure_load.check.utilisation import colour_of
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import heel as heel_in_words
from secure_load.record.text.words import percent
from secure_load.solver.arrays import Array

STEP = 5.0
"""Degrees from column to column, unless told otherwise."""


@dataclass(frozen=True)
class StripCell:
    """One weight at one heel: the worst of all the histories that pass through it."""

    heel_deg: float
    """Of the column."""
    colour: Colour
    utilisation: float | None
    """None where the weight is free to move."""
    at_heel_deg: float
    """Of the worst instant itself: in the column, but not always in its middle."""
    scenario: str
    """Id of the scenario it comes from."""
    load_factor: float
    demand_N: tuple[float, float, float]
    """Force on the weight then (x, y, z), in the boat's axes."""
    movement_mm: float = 0.0
    """How far it has moved from its place at rest upright by then."""

    @property
    def free(self) -> bool:
        """True where the weight is free to move."""
        return self.utilisation is None


@dataclass(frozen=True)
class StripRow:
    """One weight over all heels; a cell is None where nothing was run at that heel."""

    weight: str
    title: str
    step_deg: float
    cells: tuple[StripCell | None, ...]

    @property
    def heels(self) -> list[float]:
        """Of the columns, from -180 (port) to 180 (starboard)."""
        return columns(self.step_deg)

    def at(self, heel_deg: float) -> StripCell | None:
        """The cell of the column nearest to a heel."""
        place = round((heel_deg + 180.0) / self.step_deg)
        return self.cells[min(max(place, 0), len(self.cells) - 1)]

    def coarser(self, step_deg: float) -> StripRow:
        """The same in wider columns, each the worst of those it takes in. Raises ValueError for a narrower step."""
        if step_deg < self.step_deg:
            raise ValueError("a strip can only be made coarser")
        found: list[StripCell | None] = [None] * len(columns(step_deg))
        heels = columns(step_deg)
        places = _column(np.array(self.heels), step_deg)
        for cell, place in zip(self.cells, places, strict=True):
            if cell is None:
                continue
            best = found[place]
            if best is None or _graver(cell, best):
                found[place] = replace(cell, heel_deg=heels[place])
        return StripRow(self.weight, self.title, step_deg, tuple(found))


def columns(step_deg: float) -> list[float]:
    """Heels of the columns, -180 to 180. Raises ValueError for a step that does not divide 180.

    >>> columns(90.0)
    [-180.0, -90.0, 0.0, 90.0, 180.0]
    """
    count = round(180.0 / step_deg) if step_deg > 0 else 0
    if count < 1 or abs(count * step_deg - 180.0) > 1e-9:
        raise ValueError(f"a step of {step_deg:g} degrees does not go evenly into 180")
    return [step_deg * i for i in range(-count, count + 1)]


def _column(heel_deg: Array, step_deg: float) -> list[int]:
    """The column each heel falls in; one half-way between two goes to the outer one."""
    away = np.floor(np.abs(heel_deg) / step_deg + 0.5 + 1e-9)
    middle = round(180.0 / step_deg)
    return [int(i) for i in np.clip(np.sign(heel_deg) * away + middle, 0, 2 * middle)]


def _graver(a: StripCell, b: StripCell) -> bool:
    if RANK[a.colour] != RANK[b.colour]:
        return RANK[a.colour] > RANK[b.colour]
    if a.free != b.free:
        return a.free
    return (a.utilisation or 0.0) > (b.utilisation or 0.0)


def member_of(solved: GroupSolution, weight_id: str) -> int:
    """A weight's place in its group. Raises LookupError for one that is not in it."""
    for place, weight in enumerate(solved.group):
        if weight.id == weight_id:
            return place
    raise LookupError(f"weight '{plain(weight_id)}' is not among those that were worked out")


def strip_of(solved: GroupSolution, weight: Weight, step_deg: float = STEP) -> StripRow:
    """The strip of a weight from a working of it; every instant falls into the column next to it.

    So a column also takes in the heels up to half a step to either side, and nothing that fails is left out.
    Raises LookupError for a weight that is not in it, ValueError for a step that does not divide 180.
    """
    member = member_of(solved, weight.id)
    moments = solved.load_cases.instants
    worst = solved.response.worst(solved.model, member)[solved.load_cases.inverse]
    assert solved.response.displacement is not None
    moved = solved.response.displacement[solved.load_cases.inverse, member]
    graded = np.maximum(worst, severity(moved))
    heel = np.asarray(moments.heel_deg, dtype=float)
    cells: list[StripCell | None] = [None] * len(columns(step_deg))
    place = np.array(_column(heel, step_deg), dtype=np.int64)
    # The gravest of each column first. What was passed over goes by what was found beside it: of those alike, the one
    # that was solved; where the weight is free, the one nearest to upright.
    looked = solved.response.is_solved
    passed_over = np.zeros(len(worst), dtype=bool) if looked is None else ~looked[solved.load_cases.inverse]
    then = np.where(np.isinf(worst), 0, passed_over)
    for at in np.lexsort((np.abs(heel), then, -np.round(graded, 9))):
        if cells[place[at]] is not None:
            continue
        force = solved.load[solved.load_cases.inverse[at], 6 * member : 6 * member + 3]
        figure = float(worst[at])
        cells[place[at]] = StripCell(
            heel_deg=columns(step_deg)[place[at]],
            colour=colour_of(float(graded[at])),
            utilisation=None if np.isinf(figure) else figure,
            at_heel_deg=float(heel[at]),
            scenario=solved.load_cases.scenarios[int(solved.load_cases.scenario[at])].id,
            load_factor=float(moments.load_factor[at]),
            demand_N=(float(force[0]), float(force[1]), float(force[2])),
            movement_mm=1000.0 * float(moved[at]),
        )
    return StripRow(weight.id, weight.title, step_deg, tuple(cells))


def strip_data(run: CheckContext, weight: Weight, step_deg: float = STEP) -> StripRow:
    """The strip of a weight in a run; solves it unless its group was just solved. Raises ``stow.CannotCheck``."""
    return strip_of(run.solved(weight), weight, step_deg)


def cell_words(row: StripRow, heel_deg: float, names: Mapping[str, str] | None = None) -> str:
    """One cell in words: "35 degrees to starboard: A, 93 % used (Knocked flat, heeled 34)".

    ``names`` has the scenarios' names by id; an id stands for itself where it is not there.
    """
    cell = row.at(heel_deg)
    if cell is None:
        return f"{heel_in_words(heel_deg)}: not run"
    worked = "free to move" if cell.free else f"{percent(cell.utilisation)} used"
    if not cell.free and severity(np.array(cell.movement_mm / 1000.0)) > (cell.utilisation or 0.0):
        worked = f"moves {cell.movement_mm:.0f} mm, {worked}"
    where = plain((names or {}).get(cell.scenario, cell.scenario))
    if abs(cell.at_heel_deg - cell.heel_deg) >= 0.5:
        where += f", heeled {abs(cell.at_heel_deg):.0f}"
    # no word of the verdict: a weight whose figure is within bounds here may still be doubtful for other reasons
    return f"{heel_in_words(cell.heel_deg)}: {LETTER[cell.colour]}, {worked} ({where})"
