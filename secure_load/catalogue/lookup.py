"""Finding a row: ``timber("oak-white")``, ``factor("css-safety-factor")``.

Plural functions give a whole table, singular ones a row. Names are those of the boat file; case and
underscores do not matter, aliases are followed, and an unspecific name ("silicon-bronze") means the weakest
row it could mean. Sizes that lie between two rows take the smaller row.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import TypeVar

from secure_load.catalogue.errors import UnknownRow, shown
from secure_load.catalogue.lines import line_rows
from secure_load.catalogue.rows import (
    Bolt,
    CableTie,
    CoachScrew,
    Corrosion,
    Density,
    Elongation,
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
from secure_load.catalogue.table import Table, build, read_rows

__all__ = ["UnknownRow"]

R = TypeVar("R", bound=Row)
Sized = TypeVar("Sized", WoodScrew, CoachScrew, Bolt)

_SAME_SIZE_MM = 0.05
"""Sizes closer than this are one size written two ways (7.94 mm is 5/16 in)."""


@cache
def _timbers() -> Table[Timber]:
    return build("timber", "timbers", read_rows("timbers.toml", Timber))


@cache
def _wood_screws() -> Table[WoodScrew]:
    return build("wood screw", "screws", read_rows("wood_screws.toml", WoodScrew))


@cache
def _metric_screws() -> Table[WoodScrew]:
    return build("metric wood screw", "screws", read_rows("metric_screws.toml", WoodScrew))


@cache
def _coach_screws() -> Table[CoachScrew]:
    return build("coach screw", "screws", read_rows("coach_screws.toml", CoachScrew))


@cache
def _metals() -> Table[Metal]:
    return build("metal", "metals", read_rows("metals.toml", Metal))


@cache
def _bolts() -> Table[Bolt]:
    return build("bolt", "screws", read_rows("bolts.toml", Bolt))


@cache
def _lines() -> Table[Line]:
    return build("line", "lines", line_rows())


@cache
def _elongations() -> Table[Elongation]:
    return build("kind of line", "lines", read_rows("elongation.toml", Elongation))


@cache
def _terminations() -> Table[Termination]:
    return build("termination", "lines", read_rows("terminations.toml", Termination))


@cache
def _shackles() -> Table[Shackle]:
    return build("shackle", "lines", read_rows("shackles.toml", Shackle))


@cache
def _pads() -> Table[Pad]:
    return build("pad", "pads", read_rows("pads.toml", Pad))


@cache
def _frictions() -> Table[Friction]:
    return build("friction pair", "friction", read_rows("friction.toml", Friction))


@cache
def _cable_ties() -> Table[CableTie]:
    return build("cable tie", "ties", read_rows("cable_ties.toml", CableTie))


@cache
def _members() -> Table[StructuralMember]:
    return build("part of the boat", "members", read_rows("members.toml", StructuralMember))


@cache
def _corrosion() -> Table[Corrosion]:
    return build("corrosion", "corrosion", read_rows("corrosion.toml", Corrosion))


@cache
def _densities() -> Table[Density]:
    return build("density", "densities", read_rows("densities.toml", Density))


@cache
def _lead_alloys() -> Table[LeadAlloy]:
    return build("lead alloy", "densities", read_rows("lead_alloys.toml", LeadAlloy))


@cache
def _factors() -> Table[Factor]:
    return build("factor", "factors", read_rows("factors.toml", Factor))


def timbers() -> Mapping[str, Timber]:
    """All timbers and panels, by id."""
    return _timbers().rows


def wood_screws() -> Mapping[str, WoodScrew]:
    """All wood screws by inch gauge, by id."""
    return _wood_screws().rows


def metric_screws() -> Mapping[str, WoodScrew]:
    """All metric wood screws, by id."""
    return _metric_screws().rows


def coach_screws() -> Mapping[str, CoachScrew]:
    """All coach screws, by id."""
    return _coach_screws().rows


def metals() -> Mapping[str, Metal]:
    """All metals, by id."""
    return _metals().rows


def bolts() -> Mapping[str, Bolt]:
    """All bolts, by id."""
    return _bolts().rows


def lines() -> Mapping[str, Line]:
    """All ropes, webbings, wires and chains, by id."""
    return _lines().rows


def elongations() -> Mapping[str, Elongation]:
    """How each kind of fibre line stretches, by id."""
    return _elongations().rows


def terminations() -> Mapping[str, Termination]:
    """All knots, splices and end fittings, by id."""
    return _terminations().rows


def shackles() -> Mapping[str, Shackle]:
    """All shackles, by id."""
    return _shackles().rows


def pads() -> Mapping[str, Pad]:
    """All pads, by id."""
    return _pads().rows


def frictions() -> Mapping[str, Friction]:
    """All friction pairs, by id."""
    return _frictions().rows


def cable_ties() -> Mapping[str, CableTie]:
    """All classes of cable tie, by id."""
    return _cable_ties().rows


def members() -> Mapping[str, StructuralMember]:
    """All parts of a boat that fastenings go into, by id."""
    return _members().rows


def corrosion() -> Mapping[str, Corrosion]:
    """All ways in which fastenings waste in the wet, by id."""
    return _corrosion().rows


def densities() -> Mapping[str, Density]:
    """All densities, by id."""
    return _densities().rows


def lead_alloys() -> Mapping[str, LeadAlloy]:
    """Lead with 0 to 8 % antimony, by id."""
    return _lead_alloys().rows


def factors() -> Mapping[str, Factor]:
    """All figures of codes, by id."""
    return _factors().rows


def timber(name: str) -> Timber:
    """A timber or panel. Raises UnknownRow."""
    return _timbers().find(name)


def metal(name: str) -> Metal:
    """A metal. Raises UnknownRow."""
    return _metals().find(name)


def line(name: str) -> Line:
    """A rope, webbing, wire or chain. Raises UnknownRow."""
    return _lines().find(name)


def termination(name: str) -> Termination:
    """A knot, splice or end fitting. Raises UnknownRow."""
    return _terminations().find(name)


def shackle(name: str) -> Shackle:
    """A shackle. Raises UnknownRow."""
    return _shackles().find(name)


def pad(name: str) -> Pad:
    """A pad material. Raises UnknownRow."""
    return _pads().find(name)


def friction(name: str) -> Friction:
    """A friction pair. Raises UnknownRow."""
    return _frictions().find(name)


def cable_tie(name: str) -> CableTie:
    """A class of cable tie. Raises UnknownRow."""
    return _cable_ties().find(name)


def structural_member(name: str) -> StructuralMember:
    """A part of the boat that fastenings go into. Raises UnknownRow."""
    return _members().find(name)


def density(name: str) -> Density:
    """A density. Raises UnknownRow."""
    return _densities().find(name)


def factor_row(name: str) -> Factor:
    """A figure of a code with its unit and source. Raises UnknownRow."""
    return _factors().find(name)


def factor(name: str) -> float:
    """The value of a figure of a code, in the unit of its row. Raises UnknownRow.

    >>> factor("css-safety-factor")
    1.5
    """
    return factor_row(name).value


def wood_screw(gauge: int) -> WoodScrew:
    """The wood screw of that gauge number; gauges are not rounded. Raises UnknownRow."""
    for row in wood_screws().values():
        if row.gauge == gauge:
            return row
    known = sorted(wood_screws().values(), key=lambda r: abs((r.gauge or 0) - gauge))
    raise UnknownRow("wood screw of gauge", str(gauge), [str(r.gauge) for r in known[:3]], "screws")


def coach_screw(diameter_mm: float) -> CoachScrew:
    """The coach screw of that shank diameter, or the next smaller one. Raises UnknownRow below 6 mm."""
    return _not_larger("coach screw of diameter", coach_screws(), diameter_mm)


def metric_screw(diameter_mm: float) -> WoodScrew:
    """The metric wood screw of that diameter, or the next smaller one. Raises UnknownRow below 3 mm."""
    return _not_larger("metric wood screw of diameter", metric_screws(), diameter_mm)


def bolt(size: str) -> Bolt:
    """The bolt of that thread ("M10"). Raises UnknownRow."""
    return _bolts().find(size)


def bolt_of_diameter(diameter_mm: float) -> Bolt:
    """The bolt of that nominal diameter, or the next smaller one. Raises UnknownRow below 5 mm."""
    return _not_larger("bolt of diameter", bolts(), diameter_mm)


def _not_larger(what: str, rows: Mapping[str, Sized], diameter_mm: float) -> Sized:
    best: Sized | None = None
    for row in rows.values():
        if abs(row.d_mm - diameter_mm) < abs((best.d_mm if best else 1e9) - diameter_mm) and (
            row.d_mm <= diameter_mm + _SAME_SIZE_MM
        ):
            best = row
    if best is None:
        least = min(rows.values(), key=lambda r: r.d_mm)
        raise UnknownRow(what, shown(f"{diameter_mm:g} mm"), [least.id], "screws")
    return best
