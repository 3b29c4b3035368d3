"""The stability index of ISO 12217-2 as a designer printed it for a cruiser of 11.98 m, factor by factor, in a public
forum. His FKR, 1.146, comes of a slope of 0.0883 which leaves a step between its branches; 0.0833 is taken here."""

from __future__ import annotations

import dataclasses

import pytest

from secure_load.afloat.screening import IndexFigures, index_factors, screening_index

PRINTED = IndexFigures(
    hull_length=11.98,
    waterline_length=10.57,
    hull_breadth=4.1,
    waterline_breadth=3.27,
    mass=5165.0,
    sail_area=71.1,
    sail_centre=6.87,
    lateral_depth=0.95,
    vanishing_deg=123.0,
    downflooding_deg=137.0,
    lever_90=0.58,
    lever_at_downflooding=-0.1,
    area_m_deg=75.56,
)


@pytest.mark.parametrize(
    ("name", "printed"),
    [("LBS", 11.04), ("FDL", 0.914), ("FBD", 0.815), ("FIR", 1.010), ("FDS", 1.381), ("FWM", 1.0), ("FDF", 1.25)],
)
def test_each_factor_is_as_printed(name: str, printed: float) -> None:
    assert index_factors(PRINTED)[name] == pytest.approx(printed, rel=1e-3)


def test_the_index_is_as_printed_but_for_the_slope_of_one_factor() -> None:
    factors = index_factors(PRINTED)
    assert factors["FKR"] == pytest.approx(1.146, rel=0.015)
    assert screening_index(factors | {"FKR": 1.1457}) == pytest.approx(38.838, rel=1e-3)
    assert screening_index(factors) == pytest.approx(38.838, rel=0.01)


@pytest.mark.parametrize(("figure", "edge"), [("hull_breadth", 2.2), ("hull_breadth", 1.45), ("lever_90", 1.5)])
def test_the_branches_of_a_factor_meet(figure: str, edge: float) -> None:
    if figure == "hull_breadth":
        at = edge * (0.03 * PRINTED.mass) ** (1 / 3) / 3.3
        name = "FBD"
    else:
        at = edge * 2 * PRINTED.sail_area * PRINTED.sail_centre / PRINTED.mass
        name = "FKR"
    below, above = (
        index_factors(dataclasses.replace(PRINTED, waterline_breadth=2.0, **{figure: at * share}))[name]
        for share in (1 - 1e-9, 1 + 1e-9)
    )
    assert below == pytest.approx(above, rel=2e-3)
