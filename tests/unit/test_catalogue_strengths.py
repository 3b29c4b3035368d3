"""Wet and dry strengths of timbers, and which of them are estimates."""

from __future__ import annotations

import pytest

from secure_load.catalogue import LISTINGS, lookup
from secure_load.catalogue.listing import figures, tables_for_listing
from secure_load.catalogue.lookup import UnknownRow
from secure_load.catalogue.strengths import timber_strengths

PSI = 6894.757


def test_white_oak_in_the_units_of_the_handbook() -> None:
    # Wood Handbook FPL-GTR-282 Table 5-3b: 8,300 psi green, 15,200 psi at 12 %; 670 and 1,070 across the grain
    wet, dry = timber_strengths("oak-white", "wet"), timber_strengths("oak-white", "dry")
    assert (wet.mor / PSI, dry.mor / PSI) == pytest.approx((8300, 15200), abs=10)
    assert (wet.comp_perp / PSI, dry.comp_perp / PSI) == pytest.approx((670, 1070), abs=2)
    assert wet.work_to_max_J_m3 == pytest.approx(11.6 * PSI, rel=1e-3)
    assert dry.work_to_max_J_m3 == pytest.approx(14.8 * PSI, rel=1e-3)
    assert wet.estimated == frozenset()


def test_white_ash_takes_the_lower_printing() -> None:
    assert timber_strengths("ash", "dry").mor == 103e6
    assert "lower is used" in lookup.timber("ash").note


def test_a_timber_without_green_figures_is_estimated_and_says_so() -> None:
    dry, wet = timber_strengths("kauri", "dry"), timber_strengths("kauri", "wet")
    assert {"mor", "moe", "comp_par", "comp_perp", "shear_par"} <= wet.estimated
    assert not {"mor", "moe", "comp_par", "comp_perp", "shear_par"} & dry.estimated
    assert wet.mor / dry.mor == pytest.approx(lookup.factor("wet-over-dry-mor"))
    assert wet.moe / dry.moe == pytest.approx(lookup.factor("wet-over-dry-moe"))
    assert wet.comp_par / dry.comp_par == pytest.approx(lookup.factor("wet-over-dry-comp-par"))
    # the ratio of shear is above the ceiling of 0.6, so the ceiling holds
    assert lookup.factor("wet-over-dry-shear-par") > lookup.factor("wet-factor-strength")
    assert wet.shear_par / dry.shear_par == pytest.approx(0.6)


def test_crushing_from_the_regression_is_estimated() -> None:
    # Wood Handbook Table 5-11a, hardwood: green 18.5 G^2.48, at 12 % 21.6 G^2.09 (MPa)
    wet, dry = timber_strengths("teak", "wet"), timber_strengths("teak", "dry")
    assert wet.comp_perp == pytest.approx(18.5e6 * 0.55**2.48, rel=0.01)
    assert dry.comp_perp == pytest.approx(21.6e6 * dry.g12**2.09, rel=0.01)
    assert "comp_perp" in wet.estimated
    assert "comp_perp" in dry.estimated
    assert "mor" not in wet.estimated


def test_estimated_gravity_is_marked() -> None:
    assert "g_ovendry" in timber_strengths("mahogany-true", "dry").estimated
    assert "g_ovendry" not in timber_strengths("locust-black", "dry").estimated


def test_density_is_that_at_twelve_per_cent() -> None:
    assert timber_strengths("larch", "wet").rho_mean == pytest.approx(0.48 * 1120)


@pytest.mark.parametrize("name", list(lookup.timbers()))
def test_wet_is_never_stronger_than_dry(name: str) -> None:
    wet, dry = timber_strengths(name, "wet"), timber_strengths(name, "dry")
    for each in ("mor", "moe", "comp_par", "comp_perp"):
        assert 0.35 < getattr(wet, each) / getattr(dry, each) < 0.95, each
    # one printed row (true mahogany) has its green shear a hair above the dry
    assert wet.shear_par / dry.shear_par < 1.01
    assert dry.comp_perp < dry.comp_par < dry.mor < dry.moe


def test_another_service_is_refused() -> None:
    with pytest.raises(ValueError, match="'wet' or 'dry', not 'damp'"):
        timber_strengths("oak", "damp")  # type: ignore[arg-type]
    with pytest.raises(UnknownRow):
        timber_strengths("oakum", "wet")


# --- what is listed


@pytest.mark.parametrize("what", LISTINGS)
def test_every_listed_row_has_figures_and_a_source(what: str) -> None:
    rows = tables_for_listing(what)
    assert rows
    for row in rows:
        assert row["figures"]
        assert all(isinstance(v, str) and v for v in row["figures"].values()), row
        assert row["source"]
        assert row["mark"] or row["provenance"].startswith("retrieved: ")


def test_a_listing_holds_all_an_owner_would_look_for_there() -> None:
    def ids(what: str) -> set[str]:
        return {row["id"] for row in tables_for_listing(what)}

    assert {"chain-8", "bowline", "standard-50", "polyester-webbing-25", "wire-7x19-4"} <= ids("lines")
    assert {"wood-screw-10", "coach-screw-m8", "M10", "silicon-bronze-c65500"} <= ids("screws")
    assert ids("ties") < ids("lines")
    assert ids("metals") < ids("screws")


def test_a_row_from_memory_is_not_checked_in_print() -> None:
    marks = {row["id"]: row["mark"] for row in tables_for_listing("timbers")}
    assert marks["oak-white"] == ""
    assert marks["oak-european"] == ""
    assert marks["huon-pine"] == "not checked in print"


def test_an_estimated_figure_carries_a_star() -> None:
    shown = figures(lookup.timber("teak"))
    assert shown["across grain MPa wet/dry"] == "4.2*/7.5*"
    assert shown["bending MPa wet/dry"] == "80/101"


def test_securing_load_shown_is_share_times_breaking() -> None:
    assert figures(lookup.line("polyester-webbing-25"))["securing kN"] == "2.50"
    assert figures(lookup.line("polyester-webbing-25-lc500"))["securing kN"] == "5.00"


def test_unknown_list() -> None:
    with pytest.raises(UnknownRow) as caught:
        tables_for_listing("timber")
    assert "timbers" in caught.value.near
