"""Where the fastenings of a cleat, a batten or an eye stand, against the least distances that a code asks for.

The boat file gives no places for screws: those of a cleat are taken evenly spread in one row along its middle,
those of a batten half at each end, evenly spread across it, in holes bored before. Distances are those of NDS 2018
chapter 12 (see ``nds_placing``). A cleat's end distance or
spacing that falls short takes its share of the screws' lateral value (NDS 2018 12.5.1.2); one below the least the code
counts at all is a doubt; those of a batten, whose screws are drawn, are a warning: it may split.
"""

from __future__ import annotations

from secure_load.boat.models import Batten, Cleat, Lashing, Strap
from secure_load.catalogue.lookup import line
from secure_load.catalogue.strengths import Service
from secure_load.model.contact import RestraintModel
from secure_load.model.failure.line_failure_modes import eye_screws
from secure_load.model.failure.timber_failure_modes import row_share, screws_of
from secure_load.strength.fastenings import Fastening, fastening
from secure_load.strength.nds_placing import (
    HALF_END,
    LEAST_SPACING,
    edge_distance,
    end_distance,
    lag_withdrawal_distances,
    spacing_in_row,
)
from secure_load.strength.units import INCH

MM = 1e-3
ALMOST = 1.0 - 1e-9


def placing_warnings(fitting: RestraintModel, service: Service) -> list[str]:
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
        share = row_share(restraint, each, count)
        short = [
            f"its screws stand near its ends or one another: {100 * share:.0f} % of their value in shear is counted "
            "(NDS 2018 12.5.1.2)"
        ]
        return [*each.warnings, *(short if share < 1.0 else [])]
    assert isinstance(restraint, Batten)
    return [*each.warnings, *_of_batten(restraint, each, count)]


def placing_doubts(fitting: RestraintModel, service: Service) -> list[str]:
    """Where a cleat's screws stand so that no code counts them, a sentence each, the restraint not named.

    The weight presses on the edge that its screws push towards, and keeps it from splitting: the edge of the cleat
    counts as one that is not loaded. The loaded edge is that of the part under it (``model.members``).
    """
    cleat = fitting.restraint
    found = screws_of(fitting, service) if isinstance(cleat, Cleat) and cleat.strength_N is None else None
    if found is None:
        return []
    assert isinstance(cleat, Cleat)
    assert cleat.length_mm is not None
    assert cleat.depth_mm is not None
    each, count = found
    d = each.diameter
    spacing = cleat.length_mm * MM / count
    doubts = _short(
        "its end screws stand",
        0.5 * spacing,
        "from its ends",
        HALF_END * end_distance(d, "across", softwood=True),
        _clause(d, "12.5.1A"),
    )
    if count > 1:
        least = LEAST_SPACING * spacing_in_row(d, row_along_grain=True)
        doubts += _short("its screws stand", spacing, "apart", least, _clause(d, "12.5.1B"))
    edge = edge_distance(d, loaded_edge=False)
    return doubts + _short("its screws stand", 0.5 * cleat.depth_mm * MM, "from its edges", edge, _clause(d, "12.5.1C"))


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
