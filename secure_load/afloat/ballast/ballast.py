"""The sheets a boat file asks for: how her ballast is cast, and how it is lifted into its place."""

from __future__ import annotations

from secure_load.afloat.ballast.casting import CastingSheet, casting_sheet
from secure_load.afloat.ballast.lifting import LiftingSheet, lifting_sheet
from secure_load.afloat.errors import CannotFloat
from secure_load.boat.hull import FloatData
from secure_load.boat.models import BoatFile


def casting_of(boat: BoatFile) -> CastingSheet:
    """The casting sheet of ``[float.casting]``. Raises CannotFloat where the file has none."""
    data = boat.float_ or FloatData()
    if data.casting is None:
        raise CannotFloat("there is no [float.casting] in the file: the mould, and the scrap in hand", "float.casting")
    return casting_sheet(data.casting)


def lifting_of(boat: BoatFile) -> list[LiftingSheet]:
    """A lifting sheet by ``[float.lift]`` for each sort of ingot: those in hand, else the one to be cast.

    Raises CannotFloat where the file asks for none or names nothing to lift; UnknownRow for an unknown timber.
    """
    data = boat.float_ or FloatData()
    if data.lift is None:
        raise CannotFloat("there is no [float.lift] in the file: how far out and how deep the hands go", "float.lift")
    if data.placing is not None:
        return [lifting_sheet(data.lift, sort.each_kg, boat.boat) for sort in data.placing.ingot]
    if data.casting is None:
        raise CannotFloat(
            "[float.lift] says how, and not what is lifted: give ingots in [float.placing], or [float.casting]",
            "float.lift",
        )
    mould = data.casting.mould
    # It strikes with the least of its sides, which it has from the mould.
    return [lifting_sheet(data.lift, casting_of(boat).ingot_kg, boat.boat, min(*mould.bottom_mm, mould.depth_mm))]
