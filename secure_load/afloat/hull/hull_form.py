"""Her form, from sections or from particulars, her own displacement, and the waterline of the marks read."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.hull.arrays import Array
from secure_load.afloat.hull.clip import cut, turn
from secure_load.afloat.hull.hull import Hull, hull_of
from secure_load.afloat.hull.hydrostatics import Hydrostatics, hydrostatics_at, hydrostatics_of
from secure_load.afloat.models import Measured
from secure_load.afloat.particulars import Particulars, Upright, refuse_more_hulls, upright
from secure_load.boat.hull import FloatData
from secure_load.boat.models import BoatFile
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import density

AGREES = 0.1
"""Share within which what the coefficients make and what she weighs are taken to agree: they are read so roughly."""


@dataclass(frozen=True)
class Shape:
    """Her form, from sections or from particulars, and the water she floats in."""

    density: float
    """kg/m3."""
    water: str
    lwl: float
    """Length between the two ends draughts are given at, m."""
    aft: float
    """Where the after end is, m."""
    bwl: float
    """m."""
    draught: float
    """Depth of the keel's lowest point below the designed waterline, m: what turns z into a height."""
    hull: Hull | None
    particulars: Particulars | None
    drawn: int = 0
    """How many sections the file gives."""

    def upright_at(self, mass: float, tan_trim: float = 0.0) -> Upright | Hydrostatics:
        """Her sums upright at a displacement, kg."""
        if self.hull is not None:
            return hydrostatics_of(self.hull, mass, tan_trim, self.density)
        assert self.particulars is not None
        return upright(self.particulars, mass)


@dataclass
class Told:
    """What the owner is told about where the figures come from."""

    measured: list[Measured] = field(default_factory=list[Measured])
    assumptions: list[str] = field(default_factory=list[str])
    notes: list[str] = field(default_factory=list[str])


def shape_of(boat: BoatFile, told: Told) -> tuple[Shape, float]:
    """Her form and her displacement without the listed weights, kg. Raises CannotFloat, UnknownRow."""
    data = boat.float_ or FloatData()
    water = density(data.water or "seawater")
    hull = hull_of(data)
    if hull is None:
        return _from_particulars(boat, data, water.kg_m3, water.name, told)
    drawn = len(data.section) or (len(data.half_breadths.x_m) if data.half_breadths is not None else 0)
    lwl, aft, bwl = designed_waterline(hull)
    if boat.boat.lwl_m is not None:
        if abs(boat.boat.lwl_m - lwl) > 0.05 * lwl:
            told.notes.append(
                f"lwl_m is {boat.boat.lwl_m:g} m, but the sections meet the designed waterline over {lwl:.2f} m; "
                "draughts are given at the ends lwl_m says."
            )
        lwl, aft = boat.boat.lwl_m, 0.0
    mass = boat.boat.displacement_kg
    if mass is None and data.marks is None:
        mass = hydrostatics_at(hull, 0.0, 0.0, water.kg_m3).mass
        if mass <= 0:
            raise CannotFloat("the sections enclose no volume below the designed waterline (height 0)", "float.section")
        told.assumptions.append(
            f"Her displacement without the listed weights is not given: the {mass:.0f} kg of her sections up to "
            "the designed waterline are taken (neutral)."
        )
    shape = Shape(water.kg_m3, water.name, lwl, aft, boat.boat.bwl_m or bwl, -hull.lowest, hull, None, drawn)
    if mass is None:
        mass = _mass_from_marks(boat, data, shape, told)
    return shape, mass


def _mass_from_marks(boat: BoatFile, data: FloatData, shape: Shape, told: Told) -> float:
    assert data.marks is not None
    assert shape.hull is not None
    tan_trim, level = marks_waterline(data, shape)
    read = hydrostatics_at(shape.hull, level, tan_trim, shape.density)
    listed = math.fsum(w.mass for w in boat.weight) if data.marks.weights_aboard else 0.0
    if read.mass <= listed:
        raise CannotFloat(
            f"by the marks she displaces {read.mass:.0f} kg, no more than the weights listed; look at 'marks'",
            "float.marks",
        )
    told.notes.append("Her displacement is taken from the marks read and her sections.")
    return read.mass - listed


def marks_waterline(data: FloatData, shape: Shape) -> tuple[float, float]:
    """The waterline of the marks: tangent of trim, and height over the designed one at x = 0, m."""
    assert data.marks is not None
    marks = data.marks
    fore = marks.fore_x_m if marks.fore_x_m is not None else shape.aft + shape.lwl
    aft = marks.aft_x_m if marks.aft_x_m is not None else shape.aft
    if fore - aft < 0.3 * shape.lwl:
        raise CannotFloat(
            "the marks must be well apart, the forward one forward: 'fore_x_m' less 'aft_x_m' is "
            f"{fore - aft:.2f} m, and at least {0.3 * shape.lwl:.2f} m are needed",
            "float.marks",
        )
    tan_trim = (marks.fore_m - marks.aft_m) / (fore - aft)
    return tan_trim, marks.aft_m - shape.draught - tan_trim * aft


def designed_waterline(hull: Hull) -> tuple[float, float, float]:
    """Length, after end and breadth of the designed waterline, from the stations that meet it."""
    wet = cut(turn(hull, np.zeros(1)), np.zeros((1, len(hull.x))))
    under = np.flatnonzero(wet.area[0] > 0)
    if len(under) < 2:
        raise CannotFloat(
            "the sections do not reach below the designed waterline (height 0): heights are counted from it",
            "float.section",
        )
    low: Array = np.min(hull.z, axis=1)
    first, last = (_crossing(hull.x, low, int(i), step) for i, step in ((under[0], -1), (under[-1], 1)))
    return last - first, first, float(np.max(wet.breadth))


def _crossing(x: Array, low: Array, wet: int, step: int) -> float:
    """Where the bottom line, ``low`` [S] at stations ``x`` [S], comes out of the water beyond a wet station."""
    dry = wet + step
    if not 0 <= dry < len(x):
        return float(x[wet])
    if low[dry] < 0:  # a blade without breadth: stem or sternpost
        return float(x[dry])
    return float(x[wet] + (x[dry] - x[wet]) * low[wet] / (low[wet] - low[dry]))


def _from_particulars(boat: BoatFile, data: FloatData, water: float, name: str, told: Told) -> tuple[Shape, float]:
    own = boat.boat
    refuse_more_hulls(own)
    lwl, bwl, mass = own.lwl_m, own.bwl_m, own.displacement_kg
    block, draught = data.block_coefficient, data.draught_m
    if mass is None and lwl is not None and bwl is not None and draught is not None and block is not None:
        mass = water * block * lwl * bwl * draught
        told.assumptions.append(
            f"Her displacement is not given: {mass:.0f} kg follow from block coefficient, length, breadth and "
            "draught (neutral)."
        )
    missing = [k for k, v in (("lwl_m", lwl), ("bwl_m", bwl), ("displacement_kg", mass)) if v is None]
    if lwl is None or bwl is None or mass is None:
        raise CannotFloat(
            f"too little is known to float her: [boat] lacks {_and(missing)} (or draw her with [[float.section]])",
            f"boat.{missing[0]}",
        )
    plane = data.waterplane_coefficient
    if plane is None:
        plane = assumed("waterplane-coefficient").number
        told.assumptions.append(
            f"waterplane_coefficient is not given: {plane:g} is taken (neutral; kg per cm goes with it, and "
            "stiffness of form with its square)."
        )
    volume = mass / water
    reference = mass
    if draught is None:
        used = block if block is not None else assumed("block-coefficient").number
        draught = volume / (used * lwl * bwl)
        told.assumptions.append(
            f"draught_m is not given: {draught:.2f} m follow from a block coefficient of {used:g}"
            + ("" if block is not None else ", which is assumed (neutral)")
            + "; heights of weights above the keel depend on it."
        )
    elif block is not None and abs(block * lwl * bwl * draught / volume - 1) > AGREES:
        made = water * block * lwl * bwl * draught
        laden = mass + math.fsum(w.mass for w in boat.weight)
        if abs(made / laden - 1) <= AGREES:
            # A designed waterline is mostly drawn for a boat with her gear in her.
            reference, volume = made, made / water
            told.notes.append(
                f"Block coefficient, length, breadth and draught make {made:.0f} kg, which is what she weighs with the "
                "listed weights: they are taken as those of the waterline she then floats on."
            )
        else:
            told.notes.append(
                f"Block coefficient, length, breadth and draught make {made:.0f} kg, and displacement_kg is "
                f"{mass:.0f}; the latter is used. A fin keel is in draught_m and not in the block."
            )
    if volume > plane * lwl * bwl * draught:
        raise CannotFloat(
            f"{reference:.0f} kg do not go into {lwl:g} m by {bwl:g} m of waterline and {draught:.2f} m of draught; "
            "look at displacement_kg, lwl_m, bwl_m and draught_m",
            "boat.displacement_kg",
        )
    if plane < 0.5:
        raise CannotFloat(
            f"waterplane_coefficient is {plane:g}, but must be at least 0.5", "float.waterplane_coefficient"
        )
    known = Particulars(lwl, bwl, reference, draught, plane, water)
    return Shape(water, name, lwl, 0.0, bwl, draught, None, known), mass


def _and(words: list[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
