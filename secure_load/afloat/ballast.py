"""The ballast itself: where it goes, how it is cast, how it is lifted; each only where the file asks for it."""

from __future__ import annotations

from secure_load.afloat.casting import CastingSheet, casting_sheet
from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.lifting import LiftingSheet, lifting_sheet
from secure_load.afloat.models import Data
from secure_load.afloat.placing import PlacingReport, place_ballast
from secure_load.boat.hull import FloatData
from secure_load.boat.models import BoatFile


class BallastReport(Data):
    """What the file asks about the ballast; null where it does not ask."""

    placing: PlacingReport | None
    casting: CastingSheet | None
    lifting: list[LiftingSheet]
    """One for each sort of ingot: those in hand, else the one that is to be cast."""


def ballast_report(boat: BoatFile) -> BallastReport:
    """The sheets for ``[float.placing]``, ``[float.casting]`` and ``[float.lift]``.

    Raises:
        CannotFloat: a sheet cannot be made; one sentence.
        UnknownRow: a name that is not in the catalogue.
    """
    data = boat.float_ or FloatData()
    casting = None if data.casting is None else casting_sheet(data.casting)
    lifting: list[LiftingSheet] = []
    if data.lift is not None:
        struck: float | None = None
        if data.placing is not None:
            masses = [sort.each_kg for sort in data.placing.ingot]
        elif casting is not None and data.casting is not None:
            masses = [casting.ingot_kg]
            struck = min(*data.casting.mould.bottom_mm, data.casting.mould.depth_mm)
        else:
            raise CannotFloat(
                "[float.lift] needs to know what is lifted: give ingots in [float.placing] or [float.casting]",
                "float.lift",
            )
        lifting = [lifting_sheet(data.lift, mass, boat.boat, struck) for mass in masses]
    placing = None if data.placing is None else place_ballast(boat)
    return BallastReport(placing=placing, casting=casting, lifting=lifting)
