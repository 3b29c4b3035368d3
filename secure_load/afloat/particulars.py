"""The first level: what her particulars alone tell of her, before anybody has drawn or measured a section.

The waterplane is taken from the family of shapes y = (B/2)(1 - |2x/L|^n), pointed at both ends and fuller the
greater n is. Its area coefficient is n/(n+1), so the coefficient names the shape, and its moments follow:

    I_across = L B^3/12 (1 - 3/(n+1) + 3/(2n+1) - 1/(3n+1))     I_along = B L^3/4 (1/3 - 1/(n+3))

(integration of the curve; n = 2 is the parabola, no end to n the rectangle). Real waterplanes of one
coefficient differ from it by a tenth or so either way: an ellipse has 7 % less, which is what to expect.
"""

from __future__ import annotations

from dataclasses import dataclass

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.formulas import morrish_depth
from secure_load.boat.hull import BoatParticulars
from secure_load.catalogue.assumed import assumed
from secure_load.strength._guard import positive, within

HULLS = ("catamaran", "trimaran", "multihull", "proa", "two hulls", "three hulls", "twin hull")
"""Words in ``rig`` that tell of more than one hull."""
_BOX = 0.9999
"""Coefficient from which a waterplane is a rectangle, n being past counting."""


def waterplane_inertias(length: float, breadth: float, coefficient: float) -> tuple[float, float]:
    """Second moments of the waterplane, across and along. m4.

    length, breadth: of the waterline, m; coefficient: area over length times breadth, 0.5 .. 1.

    >>> [round(i, 4) for i in waterplane_inertias(7.0, 2.2, 2 / 3)]
    [2.8395, 25.1533]
    """
    length = positive("length of the waterline", length, "m")
    breadth = positive("breadth of the waterline", breadth, "m")
    # Below 0.5 the family's sides turn hollow (n < 1), which no waterline of a sailing boat is.
    c = within("waterplane coefficient", coefficient, 0.5, 1.0)
    if c > _BOX:
        return length * breadth**3 / 12.0, breadth * length**3 / 12.0
    n = c / (1.0 - c)
    across = length * breadth**3 / 12.0 * (1.0 - 3.0 / (n + 1.0) + 3.0 / (2.0 * n + 1.0) - 1.0 / (3.0 * n + 1.0))
    along = breadth * length**3 / 4.0 * (1.0 / 3.0 - 1.0 / (n + 3.0))
    return across, along


@dataclass(frozen=True)
class Particulars:
    """What is known, or taken, of her at the designed waterline."""

    lwl: float
    """m."""
    bwl: float
    """m."""
    displacement: float
    """kg."""
    draught: float
    """m, to the keel's lowest point."""
    waterplane_coefficient: float
    density: float
    """Of the water, kg/m3."""


@dataclass(frozen=True)
class Upright:
    """The few sums particulars allow, heights above the keel's lowest point."""

    displacement: float
    """kg."""
    draught: float
    """m."""
    volume: float
    """m3."""
    waterplane: float
    """m2."""
    kb: float
    """m."""
    bm: float
    """m."""
    bm_along: float
    """m."""
    kg_per_cm: float
    """kg."""

    def moment_to_trim_1cm(self, kg: float, length: float) -> float:
        """kg m, with the centre of gravity ``kg`` above the keel's lowest point."""
        return self.displacement * (self.kb + self.bm_along - kg) / (100.0 * length)


def upright(p: Particulars, displacement: float | None = None) -> Upright:
    """Volume, waterplane, KB (Morrish), BM and kg per cm, at her own or another displacement (kg).

    At another displacement she is taken as wall-sided between the two waterlines.

    >>> u = upright(Particulars(7.0, 2.2, 4209.33, 0.6, 2 / 3, 1025.0))
    >>> round(u.kb, 3), round(u.bm, 3), round(u.kg_per_cm, 1)
    (0.367, 0.691, 105.2)
    """
    own = positive("displacement", p.displacement, "kg")
    mass = own if displacement is None else positive("displacement", displacement, "kg")
    area = p.waterplane_coefficient * p.lwl * p.bwl
    across, along = waterplane_inertias(p.lwl, p.bwl, p.waterplane_coefficient)
    own_volume = own / p.density
    kb = p.draught - morrish_depth(p.draught, own_volume, area)
    volume = mass / p.density
    sunk = (volume - own_volume) / area
    kb = (kb * own_volume + (p.draught + 0.5 * sunk) * (volume - own_volume)) / volume
    return Upright(
        displacement=mass,
        draught=p.draught + sunk,
        volume=volume,
        waterplane=area,
        kb=kb,
        bm=across / volume,
        bm_along=along / volume,
        kg_per_cm=p.density * area / 100.0,
    )


def refuse_more_hulls(boat: BoatParticulars) -> None:
    """Raises CannotFloat for a boat of two hulls or three that is known by her particulars alone."""
    words = (boat.rig or "").casefold()
    named = any(each in words for each in HULLS)
    row = assumed("multihull-breadth")
    broad = False
    if boat.lwl_m is not None and boat.bwl_m is not None:
        broad = boat.bwl_m > row.number * boat.lwl_m and boat.lwl_m > assumed("multihull-length").number
    if named or broad:
        why = "she has more than one hull" if named else f"she is broader than {row.number:g} of her length"
        raise CannotFloat(
            f"{why}: length, breadth and coefficients say nothing of her stability; draw her with [[float.section]]",
            "boat.rig" if named else "boat.bwl_m",
        )
