"""The drawings of a record: the plan of the whole boat, and for each weight its section as it is to be rebuilt and as
it is worst placed.
"""

from __future__ import annotations

from secure_load.afloat.models import FloatReport
from secure_load.record.curve import loose_curve_picture, righting_curve_picture
from secure_load.record.markup import Markup, el
from secure_load.record.model import StowageRecord
from secure_load.record.plan_picture import plan_picture
from secure_load.record.section_picture import section_picture
from secure_load.record.shapes import Picture
from secure_load.record.svg import to_svg
from secure_load.verdict.models import WeightVerdict
from secure_load.verdict.unchecked import LOG


def plan_drawing(record: StowageRecord) -> list[Markup]:
    """The plan of the boat with all her weights; nothing where she has none."""
    if not record.boat_file.weight:
        return []
    picture = plan_picture(record.boat_file, verdict=record.verdict)
    return [el("section", el("h2", "Plan"), _figure(picture, "plan"))]


def section_drawings(record: StowageRecord) -> dict[str, Markup]:
    """For each weight, by its id: what holds it, close and upright; then the whole section at its worst heel."""
    drawn: dict[str, Markup] = {}
    for place, found in enumerate(record.verdict.weights, start=1):
        try:
            figures = _of_weight(record, place, found)
        except Exception as problem:  # one drawing that fails costs neither the record nor the other drawings
            LOG.warning("weight '%s': drawing", found.id, exc_info=problem)
            figures = [el("p", f"It could not be drawn ({type(problem).__name__}: {problem}).")]
        drawn[found.id] = el("div", *figures, class_="drawings")
    return drawn


def _of_weight(record: StowageRecord, place: int, found: WeightVerdict) -> list[Markup]:
    boat, worst = record.boat_file, found.worst
    upright = section_picture(boat, found.id, 0.0, verdict=record.verdict, close=True)
    figures = [_figure(upright, f"w{place}-upright")]
    if worst is not None:
        heeled = section_picture(boat, found.id, worst.heel_deg, worst.demand_N, record.verdict)
        figures.append(_figure(heeled, f"w{place}-worst"))
    return figures


def curve_drawing(report: FloatReport) -> Markup:
    """Her righting moment before and after; nothing where her sections are not known."""
    picture = righting_curve_picture(report)
    return Markup("") if picture is None else _figure(picture, "righting-curve")


def loose_drawing(report: FloatReport) -> Markup:
    """Her righting moment as stowed and with weights gone to the low side, the worse of the two sides."""
    picture = None if report.loose is None else loose_curve_picture(report, report.loose)
    return Markup("") if picture is None else _figure(picture, "loose-curve")


def _figure(picture: Picture, name: str) -> Markup:
    # the drawing escapes its own text
    return el("figure", Markup(to_svg(picture, name).strip()))
