"""Where the fastenings of a cleat, a batten or an eye stand, against the least distances that a code asks for.

The boat file gives no places for screws: those of a cleat are taken evenly spread in one row along its middle,
those of a batten half at each end, evenly spread across it, in holes bored before. Distances are those of NDS 2018
chapter 12 (see ``nds_placing``). A distance that falls short is a warning: it may split.
"""

from __future__ import annotations

from secure_load.boat.models import Batten, Cleat, Lashing, Strap
from secure_load.catalogue.lookup import line, timber
from secure_load.catalogue.strengths import Service
from secure_load.statics.contact import Fitting
from secure_load.strength.fastenings import Fastening, fastening
from secure_load.strength.nds_placing import edge_distance, end_distance, lag_withdrawal_distances, spacing_in_row
from secure_load.strength.units import INCH
from secure_load.verdict.line_parts import eye_screws
from secure_load.verdict.timber_parts import screws_of

MM = 1e-3
ALMOST = 1.0 - 1e-9


def placing_warnings(fitting: Fitting, service: Service) -> list[str]:
    """What is to be said of a restraint's fastenings, a sentence each, the restraint not named.

    Of a strength that was given outright nothing is said: its maker placed the screws.
    """
    restraint = fitting.restraint
    if restraint.strength_N is not None:
        return []
    if isinstance(restraint, Lashing | Strap):
        return _of_line(restraint, service)
    found = screws_of(fitting, service)
    if found is None:
        return []
    each, count = found
    if isinstance(restraint, Cleat):
        return [*each.warnings, *_of_cleat(restraint, each, count)]
    assert isinstance(restraint, Batten)
    return [*each.warnings, *_of_batten(restraint, each, count)]


def _of_cleat(cleat: Cleat, each: Fastening, count: int) -> list[str]:
    assert cleat.length_mm is not None
    assert cleat.depth_mm is not None
    assert cleat.timber is not None
    d = each.diameter
    spacing, edge = cleat.length_mm * MM / count, 0.5 * cleat.depth_mm * MM
    softwood = timber(cleat.timber).kind == "softwood"
    found: list[str] = []
    if count > 1:
        found += _short(
            "screws stand", spacing, "apart along the grain", spacing_in_row(d, True), _clause(d, "12.5.1B")
        )
    found += _short(
        "the end screws stand",
        0.5 * spacing,
        "from its ends",
        end_distance(d, "across", softwood),
        _clause(d, "12.5.1A"),
    )
    # the weight's thrust presses the cleat on its screws towards the edge against the weight
    found += _short(
        "screws stand", edge, "from the edge that is loaded", edge_distance(d, loaded_edge=True), _edge_clause(d)
    )
    return found


def _of_batten(batten: Batten, each: Fastening, count: int) -> list[str]:
    assert batten.width_mm is not None
    d, at_end = each.diameter, count // 2
    if at_end < 1:
        return ["a batten needs a screw at each end"]
    found: list[str] = []
    if count % 2:
        found.append(f"{count} screws are not the same at both ends: {at_end} are counted at each")
    apart = batten.width_mm * MM / at_end
    # its screws are drawn, not sheared: no edge is loaded
    if each.coarse:
        least = lag_withdrawal_distances(d)
        between, edge, clause = least["spacing"], least["edge"], "NDS 2018 Table 12.5.1E"
    else:
        between, edge = spacing_in_row(d, row_along_grain=False), edge_distance(d, loaded_edge=False)
        clause = _clause(d, "12.5.1B and C")
    if at_end > 1:
        found += _short("the screws of an end stand", apart, "apart across the grain", between, clause)
    return found + _short("screws stand", 0.5 * apart, "from its edges", edge, clause)


def _of_line(restraint: Lashing | Strap, service: Service) -> list[str]:
    assert restraint.line is not None
    found: list[str] = []
    if line(restraint.line).kind == "chain" and restraint.shackle is None:
        found.append("a chain without a shackle named: what joins it to its eyes is not checked")
    anchors = restraint.anchors
    if anchors is not None and anchors.screws is not None and anchors.kind != "frame" and anchors.strength_N is None:
        found += [f"its eye: {each}" for each in fastening(eye_screws(anchors), service).warnings]
    return found


def _short(what: str, has: float, where: str, needs: float, clause: str) -> list[str]:
    if has >= needs * ALMOST:
        return []
    return [f"{what} {has / MM:.0f} mm {where}; {needs / MM:.0f} mm is the least ({clause}), or it may split"]


def _clause(d: float, table: str) -> str:
    if d >= 0.25 * INCH:
        return f"NDS 2018 Table {table}"
    return "NDS 2018 Commentary C12.1.5 for a bored screw"


def _edge_clause(d: float) -> str:
    return _clause(d, "12.5.1C") if d >= 0.25 * INCH else "4 diameters as for thicker screws, common practice"
