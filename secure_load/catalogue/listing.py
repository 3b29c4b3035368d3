"""What ``secure-load list`` prints: every row of a table as words, each with its source.

A row that was not checked in print says so here; nobody should have to open the data file to learn how far to trust
a figure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from secure_load.catalogue import lookup
from secure_load.catalogue.errors import UnknownRow, near_matches
from secure_load.catalogue.rows import (
    Bolt,
    CableTie,
    CoachScrew,
    Corrosion,
    Density,
    Factor,
    Friction,
    LeadAlloy,
    Line,
    Metal,
    Pad,
    Row,
    Shackle,
    StructuralMember,
    Termination,
    Timber,
    WoodScrew,
)

_ABOUT = frozenset(Row.model_fields)


def _tables(what: str) -> Iterable[tuple[str, Mapping[str, Row]]]:
    """The tables one word stands for: a knot or a tie is looked for under "lines", a metal under "screws"."""
    groups: dict[str, list[tuple[str, Callable[[], Mapping[str, Row]]]]] = {
        "timbers": [("timber", lookup.timbers)],
        "screws": [
            ("wood screw", lookup.wood_screws),
            ("metric wood screw", lookup.metric_screws),
            ("coach screw", lookup.coach_screws),
            ("bolt", lookup.bolts),
            ("metal", lookup.metals),
        ],
        "lines": [
            ("line", lookup.lines),
            ("termination", lookup.terminations),
            ("shackle", lookup.shackles),
            ("cable tie", lookup.cable_ties),
        ],
        "pads": [("pad", lookup.pads)],
        "friction": [("friction pair", lookup.frictions)],
        "metals": [("metal", lookup.metals)],
        "corrosion": [("corrosion", lookup.corrosion)],
        "members": [("part of the boat", lookup.members)],
        "ties": [("cable tie", lookup.cable_ties)],
        "densities": [("density", lookup.densities), ("lead alloy", lookup.lead_alloys)],
        "factors": [("factor", lookup.factors)],
    }
    if what not in groups:
        raise UnknownRow("list", what, near_matches(what, {g: g for g in groups}), "timbers")
    return [(kind, load()) for kind, load in groups[what]]


def tables_for_listing(what: str) -> list[dict[str, Any]]:
    """Rows of one list, ready to print.

    Args:
        what: one of ``catalogue.LISTINGS``.

    Returns:
        One dict per row: ``kind`` (what it is), ``id``, ``name``, ``aliases`` (list), ``figures`` (dict of
        heading -> text, units in the heading; a star marks a figure that was worked out, not printed),
        ``source``, ``provenance``, ``mark`` ("", "not checked in print", "assumed" or "derived"), ``confidence``,
        ``note``.

    Raises:
        UnknownRow: no such list.
    """
    return [
        {
            "kind": kind,
            "id": row.id,
            "name": row.name,
            "aliases": list(row.aliases),
            "figures": figures(row),
            "source": row.source,
            "provenance": row.provenance,
            "mark": row.mark,
            "confidence": row.confidence,
            "note": row.note,
        }
        for kind, rows in _tables(what)
        for row in rows.values()
    ]


def figures(row: Row) -> dict[str, str]:
    """The figures of a row that matter to the owner, as heading -> text."""
    match row:
        case Timber():
            return _timber(row)
        case WoodScrew() | CoachScrew():
            return {"shank mm": f"{row.d_mm:.2f}", "root mm": f"{row.root_mm:.2f}", "head mm": f"{row.head_mm:.1f}"}
        case Bolt():
            return {
                "mm": f"{row.d_mm:g}",
                "stress area mm2": f"{row.stress_area_mm2:g}",
                "washer mm": f"{row.washer_mm:g}",
            }
        case Metal():
            return {"tensile MPa": f"{row.fu_MPa:g}", "yield MPa": f"{row.fy_MPa:g}"}
        case Line():
            return {
                "mm": f"{row.size_mm:g}",
                "breaking kN": f"{row.breaking_N / 1e3:.2f}",
                "securing kN": f"{row.breaking_N * lookup.factor(row.msl_share) / 1e3:.2f}",
                "EA kN": f"{row.EA_N / 1e3:.0f}" + (f" ({row.EA_mark})" if row.EA_mark else ""),
            }
        case Termination():
            return {"strength left %": f"{100 * row.efficiency:.0f}"}
        case Shackle():
            return {"body mm": f"{row.body_mm:g}", "breaking kN": f"{row.breaking_kN:g}"}
        case CableTie():
            return {
                "loop N": f"{row.loop_tensile_N:.0f}",
                "counted on N": f"{row.loop_tensile_N * lookup.factor('cable-tie-advice'):.0f} (assumed)",
            }
        case Pad():
            return {"E0 MPa": f"{row.E0_MPa:g}"} | ({"k": f"{row.k:g}"} if row.kind == "rubber" else {})
        case Friction():
            return {"low": f"{row.low:g}", "high": f"{row.high:g}"}
        case Density():
            return {"kg/m3": f"{row.kg_m3:g}"}
        case Corrosion():
            where = ", ".join(row.timbers) or "any timber"
            return {"of": ", ".join(row.metals), "in": where, "beside": ", ".join(row.beside) or "any metal"}
        case StructuralMember():
            return {"thick mm, least": f"{row.stock_mm:g}", "sided mm, least": f"{row.sided_mm:g}", "grain": row.grain}
        case LeadAlloy():
            return {"kg/m3": f"{row.kg_m3:g}", "melts C": f"{row.solidus_C:g}-{row.liquidus_C:g}"}
        case Factor():
            return {"value": f"{row.value:g}", "unit": row.unit}
        case _:
            return {f: f"{getattr(row, f)}" for f in type(row).model_fields if f not in _ABOUT}


def _timber(row: Timber) -> dict[str, str]:
    from secure_load.catalogue.strengths import timber_strengths

    wet, dry = timber_strengths(row, "wet"), timber_strengths(row, "dry")

    def pair(field: str, digits: int) -> str:
        parts = [
            f"{getattr(each, field) / 1e6:.{digits}f}" + ("*" if field in each.estimated else "") for each in (wet, dry)
        ]
        return "/".join(parts)

    star = "*" if "g_ovendry" in row.estimated else ""
    return {
        "gravity": f"{row.g_ovendry:.2f}{star}",
        "bending MPa wet/dry": pair("mor", 0),
        "shear MPa wet/dry": pair("shear_par", 1),
        "across grain MPa wet/dry": pair("comp_perp", 1),
    }
