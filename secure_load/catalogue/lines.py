"""Ropes, webbings, wires and chains brought into one form.

Each kind keeps its own table, because each standard states its own figures; the load engine wants one row
with a breaking force, a stiffness and the share of the breaking force that may be counted on. Wire takes the
share of wire that is used again and again (30 %, not 80 %): a boat's lashings are set up for years.
"""

from __future__ import annotations

from typing import Any

from secure_load.catalogue.rows import Elongation, Line, Positive, Row, Text
from secure_load.catalogue.table import read_rows

KILO = 1e3


class Rope(Row):
    """Fibre rope as it stands in its table."""

    fibre: Text
    """Row of the elongation table."""
    d_mm: Positive
    """Diameter the figure is good for."""
    breaking_kN: Positive
    """Least breaking force, new and unspliced."""


class Webbing(Row):
    """Flat strap as it stands in its table."""

    fibre: Text
    """Row of the elongation table."""
    width_mm: Positive
    """Width."""
    lc_daN: Positive
    """Lashing capacity of one straight part."""
    breaking_webbing_kN: Positive
    """Least breaking force of the webbing alone."""
    breaking_assembly_kN: Positive
    """Least breaking force of the strap with its buckle and ends."""


class Wire(Row):
    """Wire rope as it stands in its table."""

    construction: Text
    """Strands by wires."""
    d_mm: Positive
    """Diameter."""
    breaking_kN: Positive
    """Least breaking force."""
    metal_area_mm2: Positive
    """Area of metal."""
    modulus_GPa: Positive
    """Modulus on the area of metal."""


class Chain(Row):
    """Short-link chain as it stands in its table."""

    d_mm: Positive
    """Bar diameter."""
    breaking_kN: Positive
    """Least breaking force."""
    EA_kN: Positive
    """Force over strain."""


def line_rows() -> list[Line]:
    """Every line there is, in SI.

    Stiffness (force over strain) of fibre: EA = 0.2 x breaking force / stretch at 20 % of it, the secant
    there. Of wire: modulus x area of metal. Webbing stretches by the breaking force of the webbing and breaks
    at that of the made-up strap.
    """
    stretch = {row.id: row for row in read_rows("elongation.toml", Elongation)}
    return [
        *(_rope(row, stretch[row.fibre]) for row in read_rows("ropes.toml", Rope)),
        *(_webbing(row, stretch[row.fibre]) for row in read_rows("webbing.toml", Webbing)),
        *(_wire(row) for row in read_rows("wires.toml", Wire)),
        *(_chain(row) for row in read_rows("chains.toml", Chain)),
    ]


def _rope(row: Rope, fibre: Elongation) -> Line:
    breaking = row.breaking_kN * KILO
    return Line(
        **_about(row),
        kind="rope",
        construction=row.fibre,
        size_mm=row.d_mm,
        breaking_N=breaking,
        msl_share="css-share-fibre-rope",
        EA_N=_secant(fibre, breaking),
        EA_mark=fibre.mark,
        EA_source=fibre.source,
        termination="knot-in-hmpe" if row.fibre.startswith("hmpe") else "unknown-knot",
    )


def _webbing(row: Webbing, fibre: Elongation) -> Line:
    return Line(
        **_about(row),
        kind="webbing",
        construction=row.fibre,
        size_mm=row.width_mm,
        breaking_N=row.breaking_assembly_kN * KILO,
        msl_share="css-share-webbing",
        EA_N=_secant(fibre, row.breaking_webbing_kN * KILO),
        EA_mark=fibre.mark,
        EA_source=fibre.source,
        termination="webbing-assembly",
    )


def _wire(row: Wire) -> Line:
    return Line(
        **_about(row),
        kind="wire",
        construction=row.construction,
        size_mm=row.d_mm,
        breaking_N=row.breaking_kN * KILO,
        msl_share="css-share-wire-reusable",
        EA_N=row.modulus_GPa * 1e9 * row.metal_area_mm2 * 1e-6,
        EA_mark=row.mark,
        EA_source=row.source,
        termination="swaged-ferrule",
    )


def _chain(row: Chain) -> Line:
    return Line(
        **_about(row),
        kind="chain",
        construction="short-link",
        size_mm=row.d_mm,
        breaking_N=row.breaking_kN * KILO,
        msl_share="css-share-chain",
        EA_N=row.EA_kN * KILO,
        EA_mark=row.mark,
        EA_source=row.source,
        termination="shackled",
    )


def _secant(fibre: Elongation, breaking_N: float) -> float:
    return 0.2 * breaking_N / (fibre.percent_at_10_20_30[1] / 100.0)


def _about(row: Row) -> dict[str, Any]:
    return {field: getattr(row, field) for field in Row.model_fields}
