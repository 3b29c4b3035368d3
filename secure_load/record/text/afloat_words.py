"""What stands beside her figures afloat: the answer, what it rests on, the tests made, what is left out.

As headed lists of sentences, alike on the command line, on the screen and in the record.
"""

from __future__ import annotations

from dataclasses import dataclass

from secure_load.afloat.models import Condition, FloatReport, Loose
from secure_load.catalogue.assumed import assumed
from secure_load.check.cautions import INDICATIVE
from secure_load.record.text.afloat_rows import moment_at
from secure_load.record.text.text_layout import plain

SUMS = (
    "Stability afloat is a surveyor's business: this is no stability booklet, no inclining report and no claim that "
    "she complies with anything."
)
_STAYS_BELOW = f"{assumed('loose-stays-below').number:g}"
LOOSE_IS = (
    "At each heel a loose weight lies at the lowest place of her section there: the turn of the bilge, the topside, "
    "the deckhead; friction is left out. It stays out of a keel narrower than itself.",
    f"Below {_STAYS_BELOW} degrees it lies where it lay at {_STAYS_BELOW}: frames, berth fronts and lockers keep it "
    "from sliding back (cautious).",
    "Stowed and loose are compared to the same side.",
    "That what slides also strikes, breaks gear and people, and lets water in, is in no figure here.",
)
LOOSE_BY_BREADTH = (
    "Her sections are not known: each loose weight is taken to slide level to the side of her breadth on the "
    "waterline.",
    *LOOSE_IS[2:],
)
MARKS_ARE = (
    "Her marks are the designed waterline, height 0 of the file; over them the water stands higher, below them (-) the "
    "painted line shows."
)
INDEX_IS = (
    "The standard asks 32 for the open ocean, 23 offshore, 14 inshore and 5 on sheltered waters (from memory), of a "
    "boat built, loaded, flooded and measured as it says: that is a surveyor's work."
)
NO_RETURN = (
    "Whether she comes back from 90 or 180 degrees cannot be told: her shape is not known. It needs [[float.section]]."
)
OLD_RECORD = "This record was made when stowed and loose were not yet compared to the same side: make it anew."
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
        return "No weight is listed, so with and without are the same."
    return plain(report.change.words)


def level_words(report: FloatReport) -> str:
    """The level of knowledge in use."""
    return {
        "particulars": "her particulars alone, the lowest of three levels",
        "measured": "measurements, the middle one of three levels",
        "offsets": "her shape (offsets), the highest of three levels",
    }[report.basis]


def answer_sheets(report: FloatReport) -> list[Sheet]:
    """Is she on her marks, and does she come back?"""
    back = comes_back_words(report.after) or [NO_RETURN]
    sheets = [Sheet("Does she come back?", tuple(back))]
    marks = report.after.on_marks
    return sheets if marks is None else [Sheet("Is she on her marks?", (MARKS_ARE, marks.words)), *sheets]


def basis_sheets(report: FloatReport) -> list[Sheet]:
    """What the figures rest on, what was assumed, and what they do not say."""
    rests = [plain(report.after.basis_words), f"water: {plain(report.water)}"]
    winds = [w.words for w in report.after.heel_in_wind]
    sheets = [Sheet(f"Rests on {level_words(report)}", tuple(rests))]
    if report.after.screening is not None:
        sheets.append(Sheet("Screening index, with weights", (report.after.screening.words, INDEX_IS)))
    if winds:
        sheets.append(Sheet("Heel in steady wind, with weights", tuple(winds)))
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


def comes_back_words(lies: Condition) -> list[str]:
    """Whether she comes back from 90 and from 180 degrees, with the figures; empty where her shape is not known."""
    beyond, at_90 = lies.vanishing_angle_deg, moment_at(lies, 90.0)
    if lies.curve is None or at_90 is None:
        return []
    side = lies.righting_side
    if lies.comes_back_from_90:
        said = f"Knocked flat to {side}, 90 degrees, she comes back, with {_moment_words(at_90)}."
    else:
        said = f"Knocked flat to {side}, 90 degrees, she does not come back by herself ({_moment_words(at_90)})."
    wet = [f for f in lies.flooding if f.heel_deg is not None and f.heel_deg < 90.0 and f.side == side]
    if wet:
        first = min(wet, key=lambda f: f.heel_deg or 0.0)
        said += f" That holds if the {plain(first.name)}, under from {first.heel_deg:.0f} degrees, is shut and tight."
    if lies.comes_back_from_180:
        over = "Turned right over, 180 degrees, she comes back by herself."
    elif beyond is None:
        over = "Turned right over, 180 degrees, she stays over."
    else:
        over = (
            f"Turned right over, 180 degrees, she stays over until a wave rolls her back to {beyond:.0f} degrees, "
            "where she begins to come back."
        )
    return [said, over]


def _moment_words(moment: float) -> str:
    return (
        f"righting moment {moment:.0f} N m" if abs(moment) < 10_000.0 else f"righting moment {moment / 1000:.1f} kN m"
    )


def loose_words(report: FloatReport, loose: Loose) -> list[str]:
    """What loose weights do to her, side by side with her as stowed; then how that is taken."""
    said: list[str] = []
    for stowed, gone in ((loose.stowed_port, loose.port), (loose.stowed_starboard, loose.starboard)):
        if stowed is None:
            continue
        shares: list[str] = []
        for heel in (30.0, 90.0):
            a, b = moment_at(stowed, heel), moment_at(gone, heel)
            if a is not None and b is not None and a > 0.0:
                change = round(100.0 * (b / a - 1.0))
                more = "the same" if change == 0 else f"{abs(change)} % {'more' if change > 0 else 'less'}"
                shares.append(f"at {heel:.0f} degrees {more}")
        if shares:
            said.append(f"Loose, to {gone.righting_side}, against stowed: righting moment {', '.join(shares)}.")
        said += [f"Loose, {words[0].lower()}{words[1:]}" for words in comes_back_words(gone)]
    if loose.stowed_port is None:
        return [OLD_RECORD, *said]
    if not said or report.after.curve is None:
        said.append(NO_RETURN)
    return said


def loose_is(report: FloatReport) -> tuple[str, ...]:
    """How loose weights are taken."""
    return LOOSE_BY_BREADTH if report.after.curve is None else LOOSE_IS


def loose_sheets(report: FloatReport, loose: Loose) -> list[Sheet]:
    """What is said of weights that are loose."""
    return [
        Sheet("Does she come back?", tuple(loose_words(report, loose))),
        Sheet("How it is taken", loose_is(report)),
        Sheet("Cautions", (*(plain(n) for n in report.notes), SUMS, INDICATIVE), grave=True),
    ]
