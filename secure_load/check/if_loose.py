"""If it gets loose: how far it falls, with what energy, against what a plank takes. Indicative only."""

from __future__ import annotations

from secure_load.boat.models import BoatParticulars
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.catalogue.strengths import timber_strengths
from secure_load.check.results import IfLoose
from secure_load.model.body import Body
from secure_load.solver.arrays import Array
from secure_load.strength.timber import plank_energy

MM = 1e-3


def if_loose(boat: BoatParticulars, body: Body, load_factor: float) -> IfLoose:
    """The fall of a loose weight across the boat, laid flat, to the planking of the far side.

    Energy n m g d with the greatest load factor of the scenarios, or 1 if that is less. What a plank takes is its
    work to maximum load (USDA Wood Handbook, per volume) over the length between two frames and the width the
    weight strikes. Raises UnknownRow for a timber that is not in the catalogue.
    """
    breadth = boat.bwl_m if boat.bwl_m is not None else assumed("bwl").number
    fall = 0.5 * breadth + abs(float(body.at[1])) - 0.5 * float(body.size[1])
    fall = max(fall, 0.0)
    energy = max(load_factor, 1.0) * body.mass * factor("g0") * fall
    return IfLoose(
        fall_m=round(fall, 3),
        energy_J=round(energy, 1),
        plank_absorbs_J=_plank(boat, body.size),
    )


def _plank(boat: BoatParticulars, size: Array) -> float | None:
    planking = boat.known_planking
    if planking is None:
        return None
    timber, thickness_mm, spacing_mm = planking
    work = timber_strengths(timber, "wet" if boat.bilge == "wet" else "dry").work_to_max_J_m3
    if work is None:
        return None
    width = float(min(size[0], size[2]))
    return round(plank_energy(work, thickness_mm * MM, width, spacing_mm * MM), 1)
