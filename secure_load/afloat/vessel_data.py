"""What is known of her, gathered from all three levels, and what is assumed for the rest.

Nothing that a person measured is overruled by an assumption, and nothing assumed goes unsaid. For stiffness the
order is: an inclining test; then ``kg_m`` or ``gm_m``; then a roll-period test; then a cautious assumption.
"""

from __future__ import annotations

from dataclasses import dataclass

from secure_load.afloat.freeboards import freeboards_of, with_marks
from secure_load.afloat.hull.hull_form import Shape, Told, shape_of
from secure_load.afloat.lightship_centre import centre_of
from secure_load.afloat.masses import Lump, loaded, lump_of
from secure_load.afloat.models import Level
from secure_load.boat.models import BoatFile


@dataclass(frozen=True)
class Known:
    """All that is needed to float her."""

    name: str
    shape: Shape
    own: Lump
    """The boat herself, without the listed weights."""
    lumps: tuple[Lump, ...]
    """The listed weights."""
    basis: Level
    rests_on: str
    """What her centre of gravity rests on, in words."""
    gm_moment_error: float | None
    """Error of displacement times GM, kg m, from the measurement it rests on."""
    told: Told


def gather(boat: BoatFile) -> Known:
    """Everything known of her, and what is assumed for the rest.

    Raises:
        CannotFloat: too little is known, or what is known cannot be.
        UnknownRow: a fluid that is not in the catalogue.
    """
    told = Told()
    over = freeboards_of(boat)
    boat = with_marks(boat)
    shape, mass = shape_of(boat, told)
    lumps = tuple(lump_of(w) for w in boat.weight)
    found = centre_of(boat, shape, mass, lumps, told, over)
    own = Lump("boat", mass, found.at)
    if shape.hull is not None:
        basis: Level = "offsets"
    else:
        basis = "measured" if found.measured else "particulars"
    loaded(own, lumps)  # says at once where the masses make no sense
    return Known(boat.boat.name, shape, own, lumps, basis, found.rests_on, found.moment_error, told)
