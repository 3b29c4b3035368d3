"""The casting sheet: how heavy an ingot comes out of a mould, and how many the scrap makes.

A mould filled once with liquid lead holds what the liquid weighs, some 6 per cent less than as much cold lead, and the
top sinks in. Topped up until it is all frozen it holds what the hot solid weighs: from there to cold the ingot shrinks
in length by the expansion of lead times the fall of temperature, and in volume by three times as much:

    mass = cold density x volume of the mould x (1 - shrinkage)^3      shrinkage = alpha (solidus - room)

The sheet says both; the weighing says which it was, and where there is one the count rests on it.
"""

from __future__ import annotations

import math

from secure_load.afloat.ballast.foundry import FoundrySheet, foundry_sheet
from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.models import Data
from secure_load.boat.floating import Casting, Mould
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import density, factor, lead_alloys

MM = 1e-3

CAUTIONS = (
    "Moisture in a mould, ladle or scrap explodes and throws molten lead: a damp mould is enough. Warm everything "
    "through before it touches the melt, and never add wet scrap or closed tubes.",
    "Melt out of doors or under a draught that draws the fume away from you; keep the melt no hotter than it must "
    "be, and wear a respirator made for lead fume.",
    "Lead dust and dross poison by mouth: no food, drink or smoking there, wash before you eat, "
    "leave the clothes behind, keep children and pregnant women away, and bag the dross as hazardous waste.",
    "Face shield, dry leather gloves, leather over the shoes, long sleeves of wool or leather.",
    "Know what goes in: keep painted, dirty and unknown scrap apart and melt it last, outside, skimming it; no battery "
    "plates (arsenic and antimony make poisonous gas with damp dross), no zinc, no magnesium.",
    "Use two people or a tackle; nobody stands below a pot, a tap, a ladle or a sling. A doctor can measure "
    "lead in the blood: before and after, if you cast for more than a day or two.",
)
"""What is said on every casting sheet."""


class CastingSheet(Data):
    """What the mould and the scrap come to."""

    alloy: str
    """The nearest alloy in the catalogue, by its antimony."""
    density_kg_m3: float
    """Cold."""
    liquidus_C: float
    """Temperature at which the nearest alloy is all melted."""
    mould_litres: float
    shrinkage: float
    """Share of its length by which an ingot shrinks from just frozen to cold."""
    ingot_kg: float
    """Topped up until it is frozen."""
    ingot_least_kg: float
    """Filled once and left."""
    good_metal_kg: float | None
    """Scrap less dross; null where no scrap is stated."""
    ingots: int | None
    """How many it makes, of the weighed mean where there is one, else of ``ingot_kg``."""
    left_over_kg: float | None
    weighed: int
    """How many were weighed."""
    weighed_mean_kg: float | None
    weighed_over_computed: float | None
    """Mean of those weighed over ``ingot_kg``."""
    foundry: FoundrySheet
    """Melt, tap, mould and day."""
    words: list[str]
    """What it means, a sentence each."""
    cautions: list[str]


def lead_antimony_density(antimony_percent: float) -> float:
    """Density of lead with antimony (per cent by mass), by the rule of mixtures on volume. kg/m3.

    1 / rho = s / rho_Sb + (1 - s) / rho_Pb: the two metals are taken to keep their own volumes.

    >>> round(lead_antimony_density(4.0))
    11033
    """
    if not 0 <= antimony_percent <= 25:
        raise ValueError(f"antimony must lie between 0 and 25 %, got {antimony_percent:g}")
    share = antimony_percent / 100.0
    return 1.0 / (share / density("antimony").kg_m3 + (1.0 - share) / density("lead").kg_m3)


def mould_volume(mould: Mould) -> float:
    """Volume of a tapered box, m3: d/6 (A_top + A_bottom + 4 A_middle), exact for straight sides.

    >>> round(mould_volume(Mould(top_mm=(200.0, 100.0), bottom_mm=(180.0, 80.0), depth_mm=50.0)) * 1e6)
    857
    """
    (a, b), (c, d) = mould.top_mm, mould.bottom_mm
    middle = 0.25 * (a + c) * (b + d)
    return mould.depth_mm / 6.0 * (a * b + c * d + 4.0 * middle) * MM**3


def solid_shrinkage(solidus_C: float) -> float:
    """Share of its length by which lead shrinks from just frozen to cold: alpha (solidus - room).

    >>> round(250 * solid_shrinkage(327.0), 1)
    2.2
    """
    return factor("lead-thermal-expansion") * (solidus_C - factor("room-temperature"))


def casting_sheet(casting: Casting) -> CastingSheet:
    """The sheet. Raises CannotFloat where the mould makes an ingot of no weight worth the name."""
    rho = lead_antimony_density(casting.antimony_percent)
    volume = mould_volume(casting.mould)
    alloy = min(lead_alloys().values(), key=lambda row: abs(row.antimony_percent - casting.antimony_percent))
    shrinkage = solid_shrinkage(alloy.solidus_C)
    each = rho * volume * (1.0 - shrinkage) ** 3
    least = rho * volume * factor("lead-liquid-over-solid")
    if each < 0.01:
        raise CannotFloat(
            f"the mould makes ingots of {each * 1000:.1f} g; look at its millimetres", "float.casting.mould"
        )
    longest = max(*casting.mould.top_mm, *casting.mould.bottom_mm)
    words = [
        f"An ingot weighs {each:.2f} kg if the mould is topped up until it is frozen, {least:.2f} kg if not.",
        f"From frozen to cold it shrinks by {100.0 * shrinkage:.1f} %: {longest * shrinkage:.1f} mm in its "
        f"{longest:g} mm.",
    ]
    mean: float | None = None
    share: float | None = None
    if casting.weighed_kg:
        mean = sum(casting.weighed_kg) / len(casting.weighed_kg)
        share = mean / each
        words.append(_weighed(len(casting.weighed_kg), mean, each, least))
    good: float | None = None
    count: int | None = None
    left: float | None = None
    if casting.scrap_kg is not None:
        dross = casting.dross_percent
        if dross is None:
            row = assumed("dross-percent")
            dross = row.number
            words.append(f"Dross is not stated: {dross:g} % is taken ({row.source}).")
        good = casting.scrap_kg * (1.0 - dross / 100.0)
        one = each if mean is None else mean
        count = math.floor(good / one + 1e-9)
        left = good - count * one
        words.append(
            f"{casting.scrap_kg:g} kg of scrap leave {good:.1f} kg of metal: {count} ingots of {one:.2f} kg "
            f"({'computed' if mean is None else 'the mean of those weighed'}) and {left:.1f} kg over."
        )
    return CastingSheet(
        alloy=alloy.name,
        density_kg_m3=round(rho, 1),
        liquidus_C=alloy.liquidus_C,
        mould_litres=round(volume * 1000.0, 4),
        shrinkage=round(shrinkage, 5),
        ingot_kg=round(each, 4),
        ingot_least_kg=round(least, 4),
        good_metal_kg=None if good is None else round(good, 3),
        ingots=count,
        left_over_kg=None if left is None else round(left, 3),
        weighed=len(casting.weighed_kg),
        weighed_mean_kg=None if mean is None else round(mean, 4),
        weighed_over_computed=None if share is None else round(share, 4),
        foundry=foundry_sheet(casting, alloy, volume, each if mean is None else mean, count),
        words=words,
        cautions=list(CAUTIONS),
    )


def _weighed(count: int, mean: float, each: float, least: float) -> str:
    so = f"The one weighed is {mean:.2f} kg" if count == 1 else f"The {count} weighed are {mean:.2f} kg on the mean"
    if mean > 1.02 * each:
        return f"{so}, more than pure filling of the mould: it was filled over its mark, or its millimetres are wrong."
    if mean < 0.97 * least:
        return (
            f"{so}, less than the mould should give: not filled, hollow, or more antimony or dross in it than stated."
        )
    return f"{so}, as the mould should give; put the weighed figure in the boat file, not the computed one."
