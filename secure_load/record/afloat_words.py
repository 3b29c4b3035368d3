"""What stands beside her figures afloat: the answer, what it rests on, the tests made, what is left out.

As headed lists of sentences, alike on the command line, on the screen and in the record.
"""

from __future__ import annotations

from dataclasses import dataclass

from secure_load.afloat.models import FloatReport
from secure_load.record.page import plain
from secure_load.verdict.cautions import INDICATIVE

SUMS = (
    "Stability afloat is a surveyor's business: this is no stability booklet, no inclining report and no claim that "
    "she complies with anything."
)
LOOSE_IS = (
    "Each loose weight slides across, at its own height and place along her, until it meets the planking.",
    "Levers are towards the side it went to, and only to 90 degrees: beyond, it falls on the deck or the other side. "
    "A dash where she still lists the other way.",
    "That what slides also strikes, breaks gear and people, and lets water in, is in no figure here.",
)
NO_CURVE = "No righting curve is drawn: her shape is not known. It needs [[float.section]], her half-sections."


@dataclass(frozen=True)
class Sheet:
    """A heading and sentences under it; ``grave`` where it is a caution."""

    heading: str
    lines: tuple[str, ...]
    grave: bool = False


def answer(report: FloatReport) -> str:
    """Is she stiffer? Where no weight is listed there is nothing to compare."""
    if report.change.displacement_kg == 0.0 and report.before == report.after:
        return "No weight is listed, so before and after are the same."
    return plain(report.change.words)


def level_words(report: FloatReport) -> str:
    """The level of knowledge in use."""
    return {
        "particulars": "her particulars alone, the lowest of three levels",
        "measured": "measurements, the middle one of three levels",
        "offsets": "her shape (offsets), the highest of three levels",
    }[report.basis]


def basis_sheets(report: FloatReport) -> list[Sheet]:
    """What the figures rest on, what was assumed, and what they do not say."""
    rests = [plain(report.after.basis_words), f"water: {plain(report.water)}"]
    winds = [w.words for w in report.after.heel_in_wind]
    sheets = [Sheet(f"Rests on {level_words(report)}", tuple(rests))]
    if winds:
        sheets.append(Sheet("In the wind, as she is after", tuple(winds)))
    sheets.append(test_sheet(report))
    if report.assumptions:
        sheets.append(Sheet("Assumed", tuple(plain(a) for a in report.assumptions)))
    sheets.append(Sheet("Cautions", (*(plain(n) for n in report.notes), SUMS, INDICATIVE), grave=True))
    return sheets


def test_sheet(report: FloatReport) -> Sheet:
    """What the measurements say, used or not."""
    said = [f"{plain(m.what)}: {plain(m.says)} ({'used' if m.used else 'not used'})" for m in report.measured]
    none = "none in the file: an inclining test, a roll-period test or marks read fore and aft would sharpen all this"
    return Sheet("Measured", tuple(said) or (none,))


def loose_sheets(report: FloatReport) -> list[Sheet]:
    """What is said of weights that are loose."""
    return [
        Sheet("How it is taken", LOOSE_IS),
        Sheet("Cautions", (*(plain(n) for n in report.notes), SUMS, INDICATIVE), grave=True),
    ]
