"""The foundry sheet: heat and fuel for the melt, flow of the tap, draft of the mould, time to freeze, plan of the day.

    heat = m [c_s (T_m - T_0) + L + c_l (T - T_m)]        flow = 0.6 A sqrt(2 g h)
    time to freeze = C (volume / cooled surface)^2        hardness = hardness of soft lead (its dent / this dent)^2

The first is a balance of heat, the second Torricelli's law with the coefficient of a sharp-edged hole, the third
Chvorinov's rule, the fourth the definition of Brinell hardness for one ball and one load. All figures of nature are
rows of the catalogue. Bands are wide on purpose: the first hour's weighing and timing replaces them.
"""

from __future__ import annotations

import math
from itertools import pairwise

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.models import Data
from secure_load.boat.floating import Casting, Mould
from secure_load.catalogue.lookup import density, factor, lead_alloys
from secure_load.catalogue.rows import LeadAlloy

MM = 1e-3
FUELS = ("propane", "charcoal", "wood")
LEAST_DRAFT_DEG = 3.0
"""Draft of a mould's sides from which an ingot falls out: common practice."""


class Fuel(Data):
    """One fuel for one melt."""

    name: str
    least_kg: float
    most_kg: float


class FoundrySheet(Data):
    """The day's foundry, with what is not known null."""

    pour_C: float
    heat_kJ_per_kg: float
    melt_kg: float
    """What one pot holds, or all the metal where its size is not stated."""
    melts: int
    fuels: list[Fuel]
    """For one melt."""
    minutes_least: float | None
    minutes_most: float | None
    """On the stated burner."""
    pot_litres: float
    tap_kg_per_s: float | None
    seconds_per_ingot: float | None
    draft_deg: float
    """The least of the mould's sides."""
    freeze_s_least: float
    freeze_s_most: float
    moulds: int | None
    """So many are in use at once for the stated ingots an hour."""
    hours: float | None
    """Of pouring, for all ingots."""
    brinell: float | None
    antimony_by_hardness: float | None
    """Per cent, from the dents."""
    melt_words: list[str]
    mould_words: list[str]
    day_words: list[str]


def melt_heat(pour_C: float, melts_C: float) -> float:
    """Heat that brings a kilogram of lead from cold to the pour, J/kg.

    >>> round(melt_heat(387.0, 327.0) / 1000)
    73
    """
    solid = factor("lead-specific-heat") * (melts_C - factor("room-temperature"))
    return solid + factor("lead-latent-heat") + factor("molten-lead-specific-heat") * (pour_C - melts_C)


def tap_flow(bore_mm: float, head_mm: float) -> float:
    """Molten lead through a round hole under a head, kg/s.

    >>> round(10.0 / tap_flow(20.0, 150.0), 1)
    2.9
    """
    area = 0.25 * math.pi * (bore_mm * MM) ** 2
    speed = math.sqrt(2.0 * factor("g0") * head_mm * MM)
    return factor("tap-discharge") * area * speed * molten_density()


def molten_density() -> float:
    """Density of lead just melted, kg/m3."""
    return density("lead").kg_m3 * factor("lead-liquid-over-solid")


def draft_deg(mould: Mould) -> float:
    """Least angle of the mould's sides from plumb, degrees; negative where it narrows upward."""
    gains = (0.5 * (top - bottom) for top, bottom in zip(mould.top_mm, mould.bottom_mm, strict=True))
    return min(math.degrees(math.atan2(gain, mould.depth_mm)) for gain in gains)


def freezing_modulus(mould: Mould, volume: float) -> float:
    """Volume over the surface that cools, m: bottom, sides and the open top. volume in m3."""
    (a, b), (c, d) = mould.top_mm, mould.bottom_mm
    ends = math.hypot(mould.depth_mm, 0.5 * (a - c)) * (b + d)
    sides = math.hypot(mould.depth_mm, 0.5 * (b - d)) * (a + c)
    return volume / ((a * b + c * d + ends + sides) * MM**2)


def antimony_from_hardness(brinell: float) -> float:
    """Antimony in per cent of the alloy that is so hard as cast, straight between the rows of the catalogue."""
    rows = sorted(lead_alloys().values(), key=lambda row: row.brinell)
    if brinell <= rows[0].brinell:
        return 0.0
    for low, high in pairwise(rows):
        if brinell <= high.brinell:
            share = (brinell - low.brinell) / (high.brinell - low.brinell)
            return low.antimony_percent + share * (high.antimony_percent - low.antimony_percent)
    return rows[-1].antimony_percent


def foundry_sheet(casting: Casting, alloy: LeadAlloy, volume: float, each: float, count: int | None) -> FoundrySheet:
    """The sheet for ingots of ``each`` kg out of a mould of ``volume`` m3. Raises CannotFloat for a cold pour."""
    pour = casting.pour_C if casting.pour_C is not None else alloy.liquidus_C + factor("pour-superheat")
    if pour <= alloy.liquidus_C:
        raise CannotFloat(
            f"pour_C is {pour:g} C, and the alloy is all melted only at {alloy.liquidus_C:g} C", "float.casting.pour_C"
        )
    heat = melt_heat(pour, alloy.liquidus_C)
    total = each * (count or 1)
    pot = min(casting.pot_kg, total) if casting.pot_kg is not None else total
    melts = max(math.ceil(total / pot - 1e-9), 1)
    fuels = [_fuel(name, heat * pot) for name in FUELS]
    minutes: tuple[float | None, float | None] = (None, None)
    if casting.burner_kW is not None:
        power = 60e3 * casting.burner_kW
        minutes = (heat * pot / power / factor("propane-use-most"), heat * pot / power / factor("propane-use-least"))
    flow = None
    if casting.tap_bore_mm is not None and casting.tap_head_mm is not None:
        flow = tap_flow(casting.tap_bore_mm, casting.tap_head_mm)
    square = (freezing_modulus(casting.mould, volume) / MM) ** 2
    freeze = (factor("freezing-constant-least") * square, factor("freezing-constant-most") * square)
    moulds = hours = None
    if casting.ingots_per_hour is not None:
        moulds = math.ceil(casting.ingots_per_hour * factor("mould-turn") * freeze[1] / 3600.0)
        hours = None if count is None else count / casting.ingots_per_hour
    hard = antimony = None
    if casting.dent_mm is not None and casting.dent_soft_mm is not None:
        soft = min(row.brinell for row in lead_alloys().values())
        hard = soft * (casting.dent_soft_mm / casting.dent_mm) ** 2
        antimony = antimony_from_hardness(hard)
    sheet = FoundrySheet(
        pour_C=pour,
        heat_kJ_per_kg=round(heat / 1000.0, 2),
        melt_kg=round(pot, 2),
        melts=melts,
        fuels=fuels,
        minutes_least=None if minutes[0] is None else round(minutes[0], 1),
        minutes_most=None if minutes[1] is None else round(minutes[1], 1),
        pot_litres=round(1000.0 * pot / molten_density(), 2),
        tap_kg_per_s=None if flow is None else round(flow, 3),
        seconds_per_ingot=None if flow is None else round(each / flow, 2),
        draft_deg=round(draft_deg(casting.mould), 2),
        freeze_s_least=round(freeze[0]),
        freeze_s_most=round(freeze[1]),
        moulds=moulds,
        hours=None if hours is None else round(hours, 2),
        brinell=None if hard is None else round(hard, 2),
        antimony_by_hardness=None if antimony is None else round(antimony, 2),
        melt_words=[],
        mould_words=[],
        day_words=[],
    )
    return sheet.model_copy(
        update={
            "melt_words": _melt_words(sheet, casting),
            "mould_words": _mould_words(sheet, each),
            "day_words": _day_words(sheet, casting, count),
        }
    )


def _fuel(name: str, heat: float) -> Fuel:
    """kg of fuel for so much heat, J, between the best and the worst use of it."""
    burns = factor(f"{name}-heat")
    return Fuel(
        name=name,
        least_kg=round(heat / burns / factor(f"{name}-use-most"), 2),
        most_kg=round(heat / burns / factor(f"{name}-use-least"), 2),
    )


def _melt_words(sheet: FoundrySheet, casting: Casting) -> list[str]:
    burn = ", ".join(f"{f.least_kg:.1f} to {f.most_kg:.1f} kg of {f.name}" for f in sheet.fuels)
    words = [
        f"Poured at {sheet.pour_C:.0f} C each kilogram takes {sheet.heat_kJ_per_kg:.0f} kJ: a melt of "
        f"{sheet.melt_kg:.0f} kg {sheet.heat_kJ_per_kg * sheet.melt_kg / 1000:.1f} MJ.",
        f"For one melt {burn} (charcoal with a blower), by how well the pot is shielded from the wind.",
        f"A pot for it holds {sheet.pot_litres:.1f} litres to the brim; take half as much again, and a stand that "
        f"bears {2.0 * sheet.melt_kg:.0f} kg without moving.",
    ]
    if sheet.minutes_least is not None and sheet.minutes_most is not None:
        words.append(
            f"On {casting.burner_kW:g} kW of gas it melts in {sheet.minutes_least:.0f} to {sheet.minutes_most:.0f} "
            "minutes."
        )
    if sheet.seconds_per_ingot is not None and sheet.tap_kg_per_s is not None:
        words.append(
            f"The tap runs {sheet.tap_kg_per_s:.1f} kg a second when the pot is full: an ingot in "
            f"{sheet.seconds_per_ingot:.0f} s. Heat it before the first pour; if it freezes or sticks, warm it from "
            "the side with a torch, never hammer it, and never stand below or before it."
        )
    if sheet.brinell is not None and sheet.antimony_by_hardness is not None:
        words.append(
            f"By its dents the metal has some {sheet.brinell:.0f} HB: {sheet.antimony_by_hardness:.0f} % of "
            f"antimony, and antimony_percent says {casting.antimony_percent:g} (tin and arsenic harden it too)."
        )
    return words


def _mould_words(sheet: FoundrySheet, each: float) -> list[str]:
    if sheet.draft_deg < LEAST_DRAFT_DEG:
        draft = (
            f"Its sides stand {sheet.draft_deg:.1f} degrees from plumb and {LEAST_DRAFT_DEG:g} are needed: the ingot "
            "shrinks on to whatever is parallel, and grips it."
        )
    else:
        draft = f"Its sides have {sheet.draft_deg:.1f} degrees of draft: an ingot falls out."
    return [
        draft,
        f"{each:.1f} kg freeze in {sheet.freeze_s_least:.0f} to {sheet.freeze_s_most:.0f} s in a steel mould "
        "(Chvorinov, the constant is assumed: time the first one). Top it up until the middle of the top is set.",
        "Warm the moulds through and dry them before every pour; slide full ones level on a track, never lift them.",
    ]


def _day_words(sheet: FoundrySheet, casting: Casting, count: int | None) -> list[str]:
    words: list[str] = []
    if count is not None:
        plural = "melt" if sheet.melts == 1 else "melts"
        words.append(f"{count} ingots in {sheet.melts} {plural} of {sheet.melt_kg:.0f} kg.")
    if sheet.moulds is not None:
        words.append(
            f"For {casting.ingots_per_hour:g} ingots an hour {sheet.moulds} moulds are in use at once"
            + (f", and pouring takes {sheet.hours:.1f} hours." if sheet.hours is not None else ".")
        )
    words.append("Two hands at the pot and one at the moulds; a pause in every hour, away from the fume, hands washed.")
    return words
