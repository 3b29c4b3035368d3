"""Her mass and its centre: the boat herself, and each listed weight where it is stowed."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.hull.attitude import Load, fixed_load
from secure_load.afloat.tanks import FreeLiquid, liquid_shift
from secure_load.boat.weights import Weight
from secure_load.catalogue.lookup import density
from secure_load.model.assumptions import Assumptions
from secure_load.model.weight_body import body_of


@dataclass(frozen=True)
class Lump:
    """One mass at a place in the boat."""

    id: str
    mass: float
    """kg."""
    at: tuple[float, float, float]
    """m: forward, to port, above the designed waterline."""
    liquid: FreeLiquid | None = None
    """What in it is free to run."""


@dataclass(frozen=True, eq=False)
class Shifting:
    """A mass that slides in her section as she heels."""

    mass: float
    """kg."""
    upright: tuple[float, float]
    """Where it lies upright: m to port, m above the designed waterline."""
    places: Callable[[Array], tuple[Array, Array]]
    """The same two [H] at heels [H], rad."""


@dataclass(frozen=True)
class Loading:
    """Everything she carries, herself included."""

    mass: float
    """kg."""
    centre: tuple[float, float, float]
    """m, upright."""
    liquids: tuple[FreeLiquid, ...] = ()
    shifting: tuple[Shifting, ...] = ()

    @property
    def free_surface_loss(self) -> float:
        """What the free surfaces take off GM, m."""
        return sum(liquid.surface_moment for liquid in self.liquids) / self.mass

    def at(self, heel: Array) -> Load:
        """The load at heels [H], rad, its liquids run to where they lie level and loose masses slid to their places."""
        heel = np.asarray(heel, dtype=float)
        load = fixed_load(self.mass, np.array(self.centre), heel)
        u, v = load.u, load.v
        for liquid in self.liquids:
            across, up = liquid_shift(liquid, heel)
            u = u + across * (liquid.mass / self.mass)
            v = v + up * (liquid.mass / self.mass)
        c, s = np.cos(heel), np.sin(heel)
        for each in self.shifting:
            y, z = each.places(heel)
            dy, dz = y - each.upright[0], z - each.upright[1]
            u = u + (dy * c - dz * s) * (each.mass / self.mass)
            v = v + (dy * s + dz * c) * (each.mass / self.mass)
        return replace(load, u=u, v=v)


def lump_of(weight: Weight) -> Lump:
    """A listed weight as a mass; a tank with its liquid. Raises CannotFloat, UnknownRow."""
    tank = weight.tank
    if tank is None:
        # a taper's or an engine's centre of gravity is not the middle that was measured
        off = weight.cg_m is not None or weight.shape == "ingot"
        x, y, z = body_of(weight, Assumptions()).at.tolist() if off else weight.at_m
        return Lump(weight.id, weight.mass, (x, y, z))
    length, breadth, height = tank.size_m
    fluid = density(tank.fluid).kg_m3
    liquid = fluid * tank.fill * length * breadth * height
    if liquid > weight.mass * (1 + 1e-9):
        raise CannotFloat(
            f"weight '{weight.id}': its tank holds {liquid:.1f} kg of {tank.fluid}, more than the "
            f"{weight.mass:g} kg of tank and liquid together; look at mass_kg, fill and size_m",
            "tank",
        )
    return Lump(weight.id, weight.mass, weight.at_m, FreeLiquid(liquid, fluid, length, breadth, height, tank.fill))


def loaded(own: Lump, lumps: Iterable[Lump], shifting: tuple[Shifting, ...] = ()) -> Loading:
    """The boat herself with other masses in her; of those ``shifting``, the lumps are where they lie upright."""
    lumps = list(lumps)
    mass = own.mass + math.fsum(lump.mass for lump in lumps)
    centre = [math.fsum([own.mass * own.at[k], *(lump.mass * lump.at[k] for lump in lumps)]) / mass for k in range(3)]
    liquids = tuple(lump.liquid for lump in (own, *lumps) if lump.liquid is not None and lump.liquid.slack)
    return Loading(mass, (centre[0], centre[1], centre[2]), liquids, shifting)


def without(loading: Loading, lumps: Sequence[Lump]) -> Lump:
    """The boat herself, given what she is with the lumps in her. Raises CannotFloat where they outweigh her."""
    mass = loading.mass - math.fsum(lump.mass for lump in lumps)
    if mass <= 0:
        raise CannotFloat(
            f"the weights listed come to more than the {loading.mass:.0f} kg she displaced with them aboard: "
            "look at the masses and the marks",
            "boat.displacement_kg",
        )
    own = [
        (loading.mass * loading.centre[k] - math.fsum(lump.mass * lump.at[k] for lump in lumps)) / mass
        for k in range(3)
    ]
    return Lump("boat", mass, (own[0], own[1], own[2]))
