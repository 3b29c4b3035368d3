"""What each bed bears at most, against crushing across the grain, and against bending where it lies on planking.

The pressure is that under the hardest pressed quarter of the bed, at the worst instant that is run, upright ones
included, and never less than the weight at rest. An edge that bears first may crush locally until more of the bed
bears: that is not counted against it.
A plank is taken as a beam over the frame spacing, simply supported and as wide as the bed: planks do spread a
load to their neighbours by their caulking and fastenings, and are held at more frames than two, but neither is
to be relied upon. Fastenings of the planks to the frames, which would be drawn, are not checked.
"""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import Bed, BoatParticulars
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.catalogue.strengths import Service
from secure_load.check.response import BedForce, Response
from secure_load.check.results import Bearing
from secure_load.check.utilisation import percent
from secure_load.model.body import face_axes
from secure_load.model.contact import RestraintModel
from secure_load.model.group_model import GroupModel
from secure_load.strength.timber import section_modulus
from secure_load.strength.working import working_stresses

MM = 1e-3
KILO = 1e3
_ARTICLES = {
    "keel": "the keel",
    "sole": "the sole",
    "deadwood": "the deadwood",
    "bulkhead": "a bulkhead",
    "knee": "a knee",
    "stringer": "a stringer",
    "engine-bed": "an engine bed",
    "wedge": "a wedge",
}


def bearing(model: GroupModel, member: int, response: Response, boat: BoatParticulars) -> list[Bearing]:
    """What each bed of a weight bears. Raises UnknownRow for a timber that is not in the catalogue."""
    beds = [f for f in model.restraints if f.owner == member and isinstance(f.restraint, Bed) and f.area > 0.0]
    under = sum(f.area for f in beds if _face(f) == "bottom")
    rest = model.members[member].body.mass * factor("g0")
    guessed = model.members[member].notes.strength
    found: list[Bearing] = []
    for restraint in beds:
        share = rest * restraint.area / under if _face(restraint) == "bottom" else 0.0
        most = response.bed_forces.get(restraint.index, BedForce(0.0, 0.0))
        pressed = BedForce(max(most.total, share), max(most.quarter, 0.25 * share))
        found.append(_one(restraint, pressed, model.service, boat, restraint.id in guessed))
    return found


def _face(restraint: RestraintModel) -> str:
    return restraint.restraint.face if isinstance(restraint.restraint, Bed) else ""


def _one(
    restraint: RestraintModel, pressed: BedForce, service: Service, boat: BoatParticulars, guessed: bool
) -> Bearing:
    bed = restraint.restraint
    assert isinstance(bed, Bed)
    quarter = pressed.quarter / (0.25 * restraint.area)
    mean = pressed.total / restraint.area
    timber = working_stresses(bed.timber or str(assumed("timber").value), service)
    unsaid = guessed or bed.timber is None
    whence = "assumed: what it bears on was not said to be of any timber" if unsaid else "timber of the bed"
    crushing = quarter / timber.crushing
    where = (
        f"{restraint.id} on {_ARTICLES.get(bed.on, bed.on)}"
        if bed.on is not None
        else f"{restraint.id} (on what was not said)"
    )
    said = (
        f"{where} bears {quarter / KILO:.0f} kPa at its hardest pressed quarter, {mean / KILO:.0f} kPa over all of it: "
        f"{percent(crushing)} of the {timber.crushing / KILO:.0f} kPa that {timber.strengths.timber.name} bears "
        f"across its grain ({whence})"
    )
    bending = None
    if bed.on == "planking":
        bending = _plank_bending(restraint, bed, quarter * restraint.area, service, boat)
        if bending is None:
            said += "; planking carries ballast, and her planking is not known well enough to say how it bends"
        else:
            plank = f"bent to {percent(bending)} of its working stress"
            said += f"; planking carries ballast: a plank between two frames is {plank}"
    return Bearing(
        on=bed.on or "not said",
        pressure_kPa=round(quarter / KILO, 3),
        utilisation=round(max(crushing, bending or 0.0), 4),
        sentence=f"{said}.",
    )


def _plank_bending(
    restraint: RestraintModel, bed: Bed, total: float, service: Service, boat: BoatParticulars
) -> float | None:
    """Bending of the planks under a bed, between two frames, over their working stress; None where not known.

    M = W (2 s - a) / 8 for a load W over a length a < s in the middle of the span s; W s^2 / (8 a) where the bed is
    longer than the span (any text on strength of materials). Planks run fore-and-aft, frames across.
    """
    planking = boat.known_planking
    along, across = face_axes(bed.face)
    if planking is None or along != 0:
        return None
    timber, thickness_mm, spacing_mm = planking
    points = np.array([link.attachments[0].point for link in restraint.springs])
    spread = np.ptp(points, axis=0)
    # an edge bears on one plank
    length, width = float(spread[along]), float(spread[across]) or assumed("plank-width").number * MM
    if bed.edge is not None:
        width = max(width, assumed("plank-width").number * MM)
    span = spacing_mm * MM
    if bed.edge in ("bottom-fore", "bottom-aft"):
        length = 0.0
    moment = total * (2.0 * span - length) / 8.0 if length < span else total * span**2 / (8.0 * length)
    stress = moment / section_modulus(width, thickness_mm * MM)
    return stress / working_stresses(timber, service).bending
