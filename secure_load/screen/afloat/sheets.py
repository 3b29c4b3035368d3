"""The sheets for placing, casting and lifting her ballast.

As headed lists of sentences, alike on the command line and on the screen. Knows no terminal.
"""

from __future__ import annotations

from collections.abc import Sequence

from secure_load.afloat.ballast.casting import CastingSheet
from secure_load.afloat.ballast.lifting import LiftingSheet
from secure_load.afloat.ballast.placing import PlacingReport, Proposal
from secure_load.boat.models import BoatFile
from secure_load.check.cautions import INDICATIVE, LEAD
from secure_load.record.text.afloat_words import Sheet
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import count, mass, number

STAYS_PUT = (
    "Nothing here says that the ballast stays where it is put: enter each lot as a weight with what holds it, and "
    "check that."
)
TRY_IT = "Put it in loosely first, read her marks afloat, and fasten it for good when she floats as wanted."
NO_PLACING = "There is no [float.placing] in the file: ingots in hand, and places where they may go."


def proposal_line(number_: int, found: Proposal) -> str:
    """What one placing is and costs, in a sentence."""
    return f"{number_}. {plain(found.words)}."


def stow_lines(boat: BoatFile, found: Proposal) -> list[str]:
    """How many of which ingots go where."""
    placing = boat.float_.placing if boat.float_ is not None else None
    each = {i.id: i.each_kg for i in placing.ingot} if placing is not None else {}
    lines: list[str] = []
    for place in dict.fromkeys(s.place for s in found.stow):
        lots = [s for s in found.stow if s.place == place]
        said = " and ".join(
            f"{s.count} x {mass(each.get(s.ingot, s.kg / s.count))} kg ({plain(s.ingot)})" for s in lots
        )
        lines.append(f"{plain(place)}: {said}, {mass(sum(s.kg for s in lots))} kg")
    return lines


def proposal_figures(found: Proposal) -> str:
    """The figures of one placing."""
    deep = abs(found.trim_off_mm) >= 0.5
    off = f" too deep {'forward' if found.trim_off_mm > 0 else 'aft'}" if deep else ""
    lists = "list not known"
    if found.list_deg is not None:
        side = "" if abs(found.list_deg) < 0.05 else " to starboard" if found.list_deg > 0 else " to port"
        lists = f"list {number(abs(found.list_deg), 1)} degrees{side}"
    return (
        f"trim {number(abs(found.trim_off_mm), 0)} mm{off}, {lists}, KG {number(found.kg_m, 3)} m, "
        f"GM {number(found.gm_m, 3)} m, {count(found.places_used, 'place')}, "
        f"access score {number(found.hard_reach_kg, 0)} "
        "(kg x difficulty)"
    )


def placing_sheets(boat: BoatFile, report: PlacingReport) -> list[Sheet]:
    """The best few placings, the notes and the cautions."""
    sheets = [
        Sheet(
            proposal_line(n, found),
            (
                *stow_lines(boat, found),
                f"order of loading: {plain('; then '.join(found.loading))}",
                f"comes to: {proposal_figures(found)}",
            ),
        )
        for n, found in enumerate(report.proposals, start=1)
    ]
    if report.notes:
        sheets.append(Sheet("What was asked and assumed", tuple(plain(n) for n in report.notes)))
    return [*sheets, Sheet("Cautions", (STAYS_PUT, TRY_IT, LEAD, INDICATIVE), grave=True)]


def casting_sheets(sheet: CastingSheet) -> list[Sheet]:
    """The casting sheet, its cautions first: they are what hurts."""
    lines = [
        f"alloy: {plain(sheet.alloy)}, {number(sheet.density_kg_m3, 0)} kg/m3 cold, all melted at "
        f"{number(sheet.liquidus_C, 0)} C",
        f"mould: {number(sheet.mould_litres, 3)} litres",
        *(plain(w) for w in sheet.words),
    ]
    if sheet.weighed_over_computed is not None and sheet.weighed_mean_kg is not None:
        lines.append(
            f"weighed against computed: {number(sheet.weighed_mean_kg, 2)} kg over {number(sheet.ingot_kg, 2)} kg, "
            f"{number(100.0 * sheet.weighed_over_computed, 1)} %"
        )
    return [
        Sheet("Cautions", (*(plain(c) for c in sheet.cautions), INDICATIVE), grave=True),
        Sheet("Casting", tuple(lines)),
        Sheet("The melt and the tap", tuple(sheet.foundry.melt_words)),
        Sheet("The mould", tuple(sheet.foundry.mould_words)),
        Sheet("The day", tuple(sheet.foundry.day_words)),
    ]


def lifting_sheets(sheets: Sequence[LiftingSheet]) -> list[Sheet]:
    """One for each sort of ingot, and the cautions."""
    out: list[Sheet] = []
    for each in sheets:
        index = "no lift by hand" if each.index is None else f"index {number(each.index, 2)}"
        figures = f"one person's limit {number(each.recommended_kg, 1)} kg, {index} (above 1 the risk to a back grows)"
        out.append(Sheet(f"Lifting {mass(each.ingot_kg)} kg", (figures, *(plain(w) for w in each.words))))
    said = dict.fromkeys(plain(c) for each in sheets for c in each.cautions)
    method = (
        "The limit is that of the revised NIOSH lifting equation (1994), made for standing on a good floor: in a "
        "bilge, kneeling, take less."
    )
    return [*out, Sheet("Cautions", (*said, method, LEAD, INDICATIVE), grave=True)]
