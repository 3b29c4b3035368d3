"""How she floats, before and after, as rows for a page: from a report where there is one."""

from __future__ import annotations

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.models import Condition, FloatReport
from secure_load.afloat.report import float_report
from secure_load.boat.models import BoatFile
from secure_load.record.words import number


def float_report_if_known(boat: BoatFile) -> FloatReport | None:
    """How she floats; None where too little is known of her. Raises UnknownRow for a water not in the catalogue."""
    try:
        return float_report(boat)
    except CannotFloat:
        return None


def float_rows(report: FloatReport) -> list[tuple[str, str, str]]:
    """Label, before, after; a figure that cannot be told is a dash."""
    both = (report.before, report.after)
    rows = [
        _row("displacement, kg", [c.displacement_kg for c in both], 0),
        _row("draught forward, m", [c.draught_fore_m for c in both], 3),
        _row("draught aft, m", [c.draught_aft_m for c in both], 3),
        _row("trim, degrees, bow down positive", [c.trim_deg for c in both], 2),
        _row("list, degrees, starboard down positive", [c.list_deg for c in both], 1),
        _row("KG above the keel, m", [c.kg_m for c in both], 3),
        _row("GM, m", [c.gm_m for c in both], 3),
        _row("kg to sink her 1 cm", [c.kg_per_cm for c in both], 0),
        _row("moment to trim her 1 cm, kg m", [c.moment_to_trim_1cm_kgm for c in both], 0),
        _row("vanishing angle, degrees", [c.vanishing_angle_deg for c in both], 0),
        _row("roll period, s", [c.roll_period_s for c in both], 1),
    ]
    heels = dict.fromkeys(r.heel_deg for c in both for r in c.righting)
    winds = dict.fromkeys(w.wind_m_s for c in both for w in c.heel_in_wind)
    return [
        *rows,
        *(_row(f"righting moment at {h:g} degrees, N m", [_moment(c, h) for c in both], 0) for h in heels),
        *(_row(f"heel in a wind of {w:g} m/s, degrees", [_wind(c, w) for c in both], 0) for w in winds),
    ]


def float_notes(report: FloatReport) -> list[str]:
    """What these figures rest on and do not say."""
    return [f"Resting on: {report.after.basis_words}", *report.assumptions, *report.notes]


def _row(label: str, values: list[float | None], digits: int) -> tuple[str, str, str]:
    before, after = ("-" if v is None else number(v, digits) for v in values)
    return label, before, after


def _moment(condition: Condition, heel: float) -> float | None:
    return next((r.moment_Nm for r in condition.righting if r.heel_deg == heel), None)


def _wind(condition: Condition, wind: float) -> float | None:
    return next((w.heel_deg for w in condition.heel_in_wind if w.wind_m_s == wind), None)
