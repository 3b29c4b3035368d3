"""Ways she is loaded: which of the listed weights are aboard, where they lie, and how full her tanks are."""

from __future__ import annotations

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.masses import Loading, Lump, loaded, lump_of
from secure_load.afloat.vessel_data import Known
from secure_load.boat.floating import FloatState
from secure_load.boat.models import BoatFile
from secure_load.boat.weights import Weight
from secure_load.catalogue.lookup import density


def loading_in_state(boat: BoatFile, known: Known, state: FloatState) -> Loading:
    """What she carries in one state. Raises CannotFloat for a weight that is not in the file."""
    listed = {w.id for w in boat.weight}
    moved = {each.id: each.at_m for each in state.moved}
    for each in (*state.without, *moved):
        if each not in listed:
            raise CannotFloat(f"the state '{state.name}' names '{each}', and there is no such weight", "float.state")
    lumps: list[Lump] = []
    for weight in boat.weight:
        if weight.id in state.without:
            continue
        there = weight.model_copy(update={"at_m": moved[weight.id]}) if weight.id in moved else weight
        lumps.append(lump_of(_filled(there, state.tanks_fill)))
    return loaded(known.own, lumps)


def _filled(weight: Weight, fill: float | None) -> Weight:
    """A tank as full as asked; its middle stays where it is listed."""
    if fill is None or weight.tank is None or weight.mass_kg is None:
        return weight
    length, breadth, height = weight.tank.size_m
    more = density(weight.tank.fluid).kg_m3 * length * breadth * height * (fill - weight.tank.fill)
    tank = weight.tank.model_copy(update={"fill": fill})
    return weight.model_copy(update={"tank": tank, "mass_kg": max(weight.mass_kg + more, 0.001)})
