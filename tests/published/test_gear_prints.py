"""What the catalogue says of ropes, knots, shackles, friction and screws, held against independent prints.

A rope dealer's published tensile tests (means of five breaks each); a knot book's table of knot strengths (a cordage
maker of 1946, USDA Ropework 1964); the friction table of VDI 2700 (dry, wet, greasy); the abstract of a test of deck
screws after twelve wet-dry cycles (J. Korean Wood Sci. Technol. 50(1), 2022); a worked example of the American Wood
Council; RR-C-271D and FF-T-791b as quoted.
"""

from __future__ import annotations

import pytest

from secure_load.catalogue.lookup import factor, friction, line, shackle, termination
from secure_load.strength.nds_withdrawal import lag_withdrawal_per_m, withdrawal, wood_screw_withdrawal_per_m
from secure_load.strength.units import INCH, POUND, POUND_FORCE, POUND_FORCE_PER_INCH


@pytest.mark.parametrize(("mm", "mean_kN"), [(6, 6.58), (8, 10.57), (10, 16.19)])
def test_polypropylene_breaks_above_its_row(mm: int, mean_kN: float) -> None:
    for row in (f"polypropylene-3-strand-{mm}", f"polypropylene-3-strand-{mm}-iso"):
        assert line(row).breaking_N <= mean_kN * 1e3


def test_a_sheathed_line_is_no_bare_braid() -> None:
    # five breaks of a sheathed 4 mm line: 6.70 kN
    assert line("hmpe-sheathed-4").breaking_N <= 6700.0 < line("hmpe-12-strand-4").breaking_N
    for mm in (6, 8, 10, 12, 14):
        assert line(f"hmpe-sheathed-{mm}").breaking_N < 0.6 * line(f"hmpe-12-strand-{mm}").breaking_N
        assert "sheathed" in line(f"hmpe-12-strand-{mm}").note


@pytest.mark.parametrize(
    ("knot", "printed"),
    [
        ("bowline", 0.60),
        ("reef-knot", 0.45),
        ("round-turn-two-half-hitches", 0.75),
        ("eye-splice", 0.95),
        ("clove-hitch", 0.75),
        ("figure-eight-loop", 0.65),
        ("figure-eight", 0.48),
    ],
)
def test_no_knot_is_stronger_than_printed(knot: str, printed: float) -> None:
    assert termination(knot).efficiency <= printed


@pytest.mark.parametrize(
    ("pair", "wet"),
    [
        ("steel-timber", 0.20),
        ("iron-timber", 0.20),
        ("lead-timber", 0.20),
        ("timber-timber", 0.20),
        ("concrete-rough-sawn-wood", 0.30),
        ("any-oily-bilge", 0.02),
    ],
)
def test_the_low_figure_of_a_pair_is_the_lowest_printed(pair: str, wet: float) -> None:
    # metal on wood .20 to .50 dry, .20 to .25 wet, .02 to .10 greasy; wood on wood the same wet; concrete .30 wet
    assert friction(pair).low <= wet


def test_screws_in_timber_that_wets_and_dries_keep_less_than_six_tenths() -> None:
    # "a loss of more than 40 % of the screw withdrawal capacity"
    assert factor("screw-wet-and-dry") <= 0.6 < factor("nds-wet-service")


def test_a_lasting_load_is_allowed_less_than_a_short_one() -> None:
    # NDS-2018 Table 2.3.2: ten minutes 1.6, the most that a connection takes; seven days 1.25
    assert factor("load-duration-ten-minutes") == 1.6
    assert factor("load-duration-seven-days") == 1.25


def test_a_lag_screw_of_the_wood_council() -> None:
    # example E2.3: 436.56 lbf/in x 2.1875 in = 954.98 lbf = 4247.94 N
    assert withdrawal(436.56 * POUND_FORCE_PER_INCH, 2.1875 * INCH) == pytest.approx(4247.94, abs=0.05)
    # 1/2 in in G 0.55: 1800 x 0.55^1.5 x 0.5^0.75 = 436.6 lbf/in
    assert lag_withdrawal_per_m(0.55, 0.5 * INCH) / POUND_FORCE_PER_INCH == pytest.approx(436.56, abs=0.1)


def test_a_wood_screw_of_an_engineering_table() -> None:
    # No 10 in G 0.45: 109 lbf/in
    assert wood_screw_withdrawal_per_m(0.45, 0.190 * INCH) / POUND_FORCE_PER_INCH == pytest.approx(109.0, abs=1.0)


def test_a_shackle_breaks_at_five_times_its_working_load() -> None:
    # RR-C-271D: 20,000 lbf for 1/2 in, 32,500 lbf for 5/8 in; stainless 1/2 in 12,500 lbf
    assert shackle("shackle-13.5").breaking_N == pytest.approx(20000 * POUND_FORCE, rel=2e-3)
    assert shackle("shackle-16").breaking_N == pytest.approx(32500 * POUND_FORCE, rel=2e-3)
    assert shackle("shackle-stainless-13").breaking_N == pytest.approx(12500 * POUND_FORCE, rel=2e-3)


@pytest.mark.parametrize(("mm", "pounds"), [(6, 500), (8, 700), (10, 1040), (13, 1800)])
def test_a_turnbuckle_breaks_at_five_times_its_working_load(mm: int, pounds: float) -> None:
    # FF-T-791b / ASTM F1145
    row = shackle(f"turnbuckle-{mm}")
    assert row.breaking_N <= 5 * pounds * POUND_FORCE * 1.002
    assert row.wll_t == pytest.approx(pounds * POUND / 1000.0, abs=6e-4)
