"""The drawings of a record: the plan of the whole boat, and for each weight its section as it is to be rebuilt and as
it is worst placed.
"""

from __future__ import annotations

from dataclasses import replace

from secure_load.afloat.models import FloatReport
from secure_load.check.results import RANK, WeightVerdict
from secure_load.check.unchecked import LOG
from secure_load.record.drawings.curve import loose_curve_picture, righting_curve_picture
from secure_load.record.drawings.drawing_model import Picture
from secure_load.record.drawings.plan import plan_picture
from secure_load.record.drawings.section import section_picture
from secure_load.record.drawings.svg import to_svg
from secure_load.record.html.builder import Markup, el
from secure_load.record.model import StowageRecord
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import heel

HALF = 87.0
"""mm; the width of one of two drawings side by side on A4."""
LOW = 44.0
"""mm; the height of the drawings on a weight's page, so that its words have room beside them."""


def card_drawings(record: StowageRecord) -> list[Markup]:
    """The plan of all weights, and beside it the section of the worst of them at its worst heel."""
    found = record.verdict.weights
    if not found:
        return []
    worst = max(found, key=lambda w: (RANK[w.verdict], w.worst is not None, w.utilisation or 0.0))
    heeled = _at_worst(record, worst, "worst", f"{plain(worst.name)}, ")
    return [_pair([_bare(plan_picture(record.boat_file, verdict=record.verdict), "plan", "From above"), *heeled])]


def section_drawings(record: StowageRecord) -> dict[str, Markup]:
    """For each weight, by its id: what holds it, close and upright; then the whole section at its worst heel."""
    drawn: dict[str, Markup] = {}
    for place, found in enumerate(record.verdict.weights, start=1):
        try:
            upright = section_picture(record.boat_file, found.id, 0.0, verdict=record.verdict, close=True)
            heeled = _at_worst(record, found, f"w{place}-worst", "Worst: ")
            figures = [_bare(upright, f"w{place}-upright", "Upright"), *heeled]
        except Exception as problem:  # one drawing that fails costs neither the record nor the other drawings
            LOG.warning("weight '%s': drawing", found.id, exc_info=problem)
            figures = [el("p", f"It could not be drawn ({type(problem).__name__}: {problem}).")]
        drawn[found.id] = _pair(figures)
    return drawn


def _at_worst(record: StowageRecord, found: WeightVerdict, name: str, title: str) -> list[Markup]:
    """The section of a weight at its worst heel; nothing where it was not checked."""
    worst = found.worst
    if worst is None:
        return []
    picture = section_picture(record.boat_file, found.id, worst.heel_deg, worst.demand_N, record.verdict)
    return [_bare(picture, name, f"{title}{heel(worst.heel_deg)}")]


def _pair(figures: list[Markup]) -> Markup:
    return el("div", *figures, class_="drawings")


def _bare(picture: Picture, name: str, title: str) -> Markup:
    """A drawing under a short title, without legend and notes: the numbers in it are those of the card's table."""
    bare = replace(picture, title=title, legend=(), notes=())
    return el("figure", Markup(to_svg(bare, name, HALF, LOW).strip()))


def curve_drawings(report: FloatReport) -> list[Markup]:
    """Her righting moment without and with the weights, and beside it with weights gone to the low side.

    Nothing where her sections are not known.
    """
    loose = None if report.loose is None else loose_curve_picture(report, report.loose)
    named = (("righting-curve", righting_curve_picture(report)), ("loose-curve", loose))
    # the drawing escapes its own text
    drawn = [Markup(to_svg(picture, name, HALF, LOW).strip()) for name, picture in named if picture is not None]
    return [_pair([el("figure", each) for each in drawn])] if drawn else []
