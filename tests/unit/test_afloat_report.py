"""Before and after: the keys of the report, what each level of knowledge gives, and what is said of the rest."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.models import FloatReport
from secure_load.afloat.report import condition_when_loose, float_report
from secure_load.boat.file import parse_boat
from secure_load.boat.models import BoatFile
from secure_load.catalogue.errors import UnknownRow
from tests.reference.hulls import cutter_sections

PIGS = """
[[weight]]
id = "pigs"
kind = "ballast"
mass_kg = 300
at_m = [3.3, 0.0, -0.45]
size_m = [0.5, 0.2, 0.1]
"""
LWL = "lwl_m = 6.4\nbwl_m = 2.05\ndisplacement_kg = 1850\n"
SECTIONS = "".join(f"[[float.section]]\nx_m = {x}\npoints_m = {points}\n" for x, points in cutter_sections(15))


def boat(known: str = "", weights: str = PIGS, own: str = LWL) -> BoatFile:
    return parse_boat(f'schema = 1\n[boat]\nname = "Trial"\n{own}{weights}\n[float]\n{known}')


def drawn(known: str = "kg_m = 0.95\n", weights: str = PIGS, own: str = "displacement_kg = 1850\n") -> BoatFile:
    return boat(known + SECTIONS, weights, own)


def said(report: FloatReport) -> str:
    return " ".join([*report.assumptions, *report.notes])


def test_the_report_has_the_keys_of_the_contract() -> None:
    for made in (boat(), drawn()):
        data: dict[str, Any] = json.loads(float_report(made).model_dump_json())
        for when in ("before", "after"):
            assert {
                "displacement_kg",
                "draught_fore_m",
                "draught_aft_m",
                "trim_deg",
                "list_deg",
                "kb_m",
                "bm_m",
                "kg_m",
                "gm_m",
                "kg_per_cm",
                "moment_to_trim_1cm_kgm",
                "volume_m3",
                "righting",
                "vanishing_angle_deg",
                "roll_period_s",
                "heel_in_wind",
                "basis",
            } <= set(data[when])
            assert [r["heel_deg"] for r in data[when]["righting"]] == [1.0, 15.0, 30.0, 90.0]
            assert {"heel_deg", "lever_m", "moment_Nm"} <= set(data[when]["righting"][0])


def test_length_breadth_and_displacement_are_enough() -> None:
    report = float_report(boat())
    assert report.basis == "particulars"
    assert report.before.displacement_kg == 1850
    assert report.after.displacement_kg == 2150
    assert report.change.sinkage_m == pytest.approx(300 / report.before.kg_per_cm / 100, abs=1e-5)
    assert report.after.righting[3].lever_m is None
    assert report.after.vanishing_angle_deg is None
    assert report.after.righting[2].guess
    assert not report.after.righting[0].guess
    for word in ("waterplane_coefficient", "draught_m", "centre of gravity", "cautious", "neutral"):
        assert word in said(report)


def test_kg_per_cm_is_the_waterplane_in_sea_water() -> None:
    report = float_report(boat("waterplane_coefficient = 0.7\n"))
    assert report.before.kg_per_cm == pytest.approx(1025 * 0.7 * 6.4 * 2.05 / 100, abs=1e-3)
    fresh = float_report(boat('waterplane_coefficient = 0.7\nwater = "fresh-water"\n'))
    assert fresh.before.kg_per_cm == pytest.approx(10 * 0.7 * 6.4 * 2.05, abs=1e-3)


@pytest.mark.parametrize(
    ("own", "missing"),
    [
        ("", ["lwl_m", "bwl_m", "displacement_kg"]),
        ("lwl_m = 6.4\n", ["bwl_m", "displacement_kg"]),
        ("lwl_m = 6.4\ndisplacement_kg = 1850\n", ["bwl_m"]),
    ],
)
def test_what_is_missing_is_named_in_one_sentence(own: str, missing: list[str]) -> None:
    with pytest.raises(CannotFloat) as caught:
        float_report(boat(own=own))
    assert all(key in caught.value.sentence for key in missing)
    assert "lwl_m" in missing or "lwl_m" not in caught.value.sentence
    assert caught.value.key == f"boat.{missing[0]}"
    assert "\n" not in caught.value.sentence


def test_displacement_may_follow_from_the_block() -> None:
    made = boat("block_coefficient = 0.4\ndraught_m = 0.35\n", own="lwl_m = 6.4\nbwl_m = 2.05\n")
    assert float_report(made).before.displacement_kg == pytest.approx(1025 * 0.4 * 6.4 * 2.05 * 0.35, abs=0.01)


def test_trim_and_list_go_where_the_weight_is() -> None:
    aft_port = PIGS.replace("3.3, 0.0", "1.0, 0.3")
    for made in (boat("gm_m = 0.7\n", aft_port), drawn(weights=aft_port)):
        report = float_report(made)
        assert report.after.trim_deg < report.before.trim_deg - 0.1
        assert report.after.draught_aft_m > report.before.draught_aft_m
        assert report.after.list_deg is not None
        assert report.after.list_deg < -1
        assert report.after.righting_side == "port"
        first = report.after.righting[0].lever_m
        assert first is not None
        assert first < 0  # upright is not where she rests


def test_low_ballast_makes_her_stiffer_and_says_so() -> None:
    for made in (boat("gm_m = 0.6\ndraught_m = 0.9\n"), drawn()):
        report = float_report(made)
        assert report.after.kg_m < report.before.kg_m
        assert report.change.stiffness_percent is not None
        assert report.change.stiffness_percent > 10
        assert "stiffer" in report.change.words
        assert f"{report.change.stiffness_percent:.0f} %" in report.change.words


def test_weight_aloft_makes_her_tender() -> None:
    aloft = PIGS.replace("-0.45", "2.5").replace("300", "60")
    report = float_report(drawn(weights=aloft))
    assert report.change.stiffness_percent is not None
    assert report.change.stiffness_percent < -9
    assert "more tender" in report.change.words
    assert report.after.vanishing_angle_deg < report.before.vanishing_angle_deg  # type: ignore[operator]


def test_offsets_give_the_whole_curve() -> None:
    report = float_report(drawn())
    assert report.basis == "offsets"
    after = report.after
    assert after.curve is not None
    assert len(after.curve.heel_deg) == len(after.curve.lever_m) == len(after.curve.trim_deg) == 181
    assert after.curve.lever_m[15] == after.righting[1].lever_m
    assert after.vanishing_angle_deg is not None
    whole = int(after.vanishing_angle_deg)
    assert after.curve.lever_m[whole] > 0 > after.curve.lever_m[whole + 1]
    moment, lever = after.righting[2].moment_Nm, after.righting[2].lever_m
    assert moment is not None
    assert lever is not None
    assert moment == pytest.approx(2150 * 9.80665 * lever, rel=1e-3)
    assert "15 sections" in after.basis_words
    assert "compliance" in said(report)
    assert "No opening" in said(report)


def test_without_weights_before_and_after_are_one() -> None:
    report = float_report(drawn(weights=""))
    assert report.before == report.after
    assert report.change.words.startswith("She is as stiff as before")


def test_kg_above_an_unknown_keel_is_not_used() -> None:
    report = float_report(boat("kg_m = 0.95\n"))
    assert "kg_m is counted from the keel" in said(report)
    assert "assumption" in report.before.basis_words
    with_draught = float_report(boat("kg_m = 0.95\ndraught_m = 1.0\n"))
    assert with_draught.before.kg_m == pytest.approx(0.95)


def test_gm_of_the_file_is_the_gm_before() -> None:
    for made in (boat("gm_m = 0.62\n"), drawn("gm_m = 0.62\n")):
        assert float_report(made).before.gm_m == pytest.approx(0.62, abs=2e-5)


def test_a_contradiction_is_said() -> None:
    assert "do not agree" in said(float_report(drawn("kg_m = 0.95\ngm_m = 2.0\n")))
    long = drawn(own="displacement_kg = 1850\nlwl_m = 9.0\n")
    assert "lwl_m is 9 m" in said(float_report(long))


def test_a_slack_tank_takes_stiffness_and_a_full_one_does_not() -> None:
    def with_tank(fill: float) -> FloatReport:
        tank = f"tank = {{ fill = {fill}, size_m = [0.8, 0.7, 0.2] }}\n"
        return float_report(
            drawn(weights=f'[[weight]]\nid = "water"\nkind = "tank"\nmass_kg = 125\nat_m = [2.9, 0.0, -0.3]\n{tank}')
        )

    slack, full = with_tank(0.5), with_tank(1.0)
    wanted = 1000 * 0.8 * 0.7**3 / 12 / 1975
    assert slack.after.free_surface_loss_m == pytest.approx(wanted, abs=1e-5)
    assert full.after.free_surface_loss_m == 0
    assert full.after.gm_m - slack.after.gm_m == pytest.approx(wanted, abs=2e-5)
    assert slack.after.kg_m == full.after.kg_m
    small, large = (r.after.righting[1].lever_m for r in (slack, full))
    assert small is not None
    assert large is not None
    assert small < large


def test_a_tank_cannot_hold_more_than_it_weighs() -> None:
    weights = '[[weight]]\nid = "w"\nmass_kg = 5\nat_m = [3, 0, 0]\ntank = { fill = 0.9, size_m = [1.0, 1.0, 0.5] }\n'
    with pytest.raises(CannotFloat, match="weight 'w': its tank holds 450"):
        float_report(drawn(weights=weights))
    strange = weights.replace("fill = 0.9", 'fluid = "desel", fill = 0.001')
    with pytest.raises(UnknownRow, match="diesel"):
        float_report(drawn(weights=strange))


def test_wind_lays_her_over_as_far_as_the_curve_says() -> None:
    wind = "kg_m = 0.95\nsail_area_m2 = 24.0\nsail_lever_m = 4.2\nwind_m_s = [5.0, 9.0, 60.0]\n"
    report = float_report(drawn(wind))
    light, fresh, storm = report.after.heel_in_wind
    assert light.heel_deg is not None
    assert fresh.heel_deg is not None
    assert 0 < light.heel_deg < fresh.heel_deg < 90
    assert storm.heel_deg is not None
    assert storm.heel_deg > 60
    assert "knocked down" in storm.words
    assert report.after.curve is not None
    angle = math.radians(fresh.heel_deg)
    push = 0.5 * 1.225 * 1.2 * 81 * 24 * 4.2 * math.cos(angle) ** 1.3
    low = int(fresh.heel_deg)
    levers = report.after.curve.lever_m
    lever = levers[low] + (fresh.heel_deg - low) * (levers[low + 1] - levers[low])
    assert 2150 * 9.80665 * lever == pytest.approx(push, rel=2e-3)
    assert report.before.heel_in_wind[0].heel_deg > light.heel_deg  # type: ignore[operator]


def test_a_wind_without_a_sail_is_said() -> None:
    report = float_report(boat("wind_m_s = [8.0]\nsail_area_m2 = 20.0\n"))
    assert report.after.heel_in_wind == []
    assert "lacks sail_lever_m" in said(report)


def test_no_wind_stated_takes_a_marked_one() -> None:
    report = float_report(boat("sail_area_m2 = 20.0\nsail_lever_m = 4.0\n"))
    assert [w.wind_m_s for w in report.after.heel_in_wind] == [8.0]
    assert "No wind is stated" in said(report)


def test_openings_go_under_on_their_own_side_first() -> None:
    opening = 'opening = [{ name = "hatch", at_m = [3.0, -0.4, 0.75] }, { name = "masthead", at_m = [3, 0, 50] }]\n'
    hatch, masthead = float_report(drawn("kg_m = 0.95\n" + opening)).after.flooding
    assert hatch.side == "starboard"
    assert hatch.heel_deg is not None
    assert 30 < hatch.heel_deg < 120
    assert masthead.heel_deg is not None
    assert 90 < masthead.heel_deg < 95


def test_no_lever_on_her_side_lets_the_wind_lay_her_flat() -> None:
    wind = "kg_m = 1.75\nsail_area_m2 = 24.0\nsail_lever_m = 4.2\nwind_m_s = [40.0]\n"
    (storm,) = float_report(drawn(wind, weights="")).after.heel_in_wind
    assert storm.heel_deg is None
    assert "flat" in storm.words


def test_she_cannot_be_heavier_than_her_hull() -> None:
    with pytest.raises(CannotFloat, match=r"would weigh .* displaces only"):
        float_report(drawn(weights=PIGS.replace("300", "30000")))


def test_top_heavy_without_sections_says_nothing_of_list() -> None:
    report = float_report(boat("gm_m = -0.1\n", weights=""))
    assert report.after.list_deg is None
    assert report.after.roll_period_s is None
    assert "does not stand upright" in report.change.words


def test_top_heavy_with_sections_lolls() -> None:
    report = float_report(drawn("gm_m = -0.04\n", weights=""))
    assert report.after.list_deg is not None
    assert 1 < report.after.list_deg < 60


def test_weights_that_broke_loose_list_her() -> None:
    made = drawn(weights=PIGS.replace("-0.45", "-0.05"))
    still = float_report(made).after
    for side, sign in ((1, 1), (-1, -1)):
        loose = condition_when_loose(made, ["pigs"], side)
        assert loose.list_deg is not None
        assert sign * loose.list_deg > 5
        assert loose.displacement_kg == still.displacement_kg
        for ours, hers in zip(loose.righting, still.righting, strict=True):
            assert ours.lever_m is not None
            assert hers.lever_m is not None
            assert ours.lever_m < hers.lever_m
        assert loose.curve is not None
        assert loose.curve.heel_deg[-1] == 180
    with pytest.raises(CannotFloat, match="no weight 'pig' in this file; did you mean 'pigs'"):
        condition_when_loose(made, ["pig"])
    by_particulars = condition_when_loose(boat("gm_m = 0.7\n"), ["pigs"])
    # Against the side of the waterline's breadth, less half its own: 300 kg 0.925 m off.
    assert by_particulars.tcg_m == pytest.approx(-300 * (2.05 / 2 - 0.1) / 2150, abs=1e-4)


BOX = "".join(
    f"[[float.section]]\nx_m = {x}\npoints_m = [[0, -0.5], [1.0, -0.5], [1.0, 1.0], [0, 1.0]]\n" for x in range(0, 7)
)


def test_a_listed_box_keeps_its_draught_on_the_middle_line() -> None:
    """Between upright sides the water turns about the middle line, so the draught there is what it was."""
    off = '[[weight]]\nid = "w"\nmass_kg = 300\nat_m = [3.0, -0.7, 0.0]\n'
    report = float_report(boat("kg_m = 0.6\n" + BOX, off, "displacement_kg = 4000\n"))
    after = report.after
    assert after.list_deg is not None
    assert 5 < after.list_deg < 20  # starboard is the negative side, and its weight puts starboard down
    assert after.draught_fore_m == pytest.approx(4300 / 1025 / 12, abs=1e-4)
    assert after.draught_aft_m == pytest.approx(4300 / 1025 / 12, abs=1e-4)


def test_the_area_begins_where_she_rests() -> None:
    off = '[[weight]]\nid = "w"\nmass_kg = 300\nat_m = [3.0, -0.5, 0.0]\n'
    after = float_report(boat("kg_m = 0.6\n" + BOX, off, "displacement_kg = 4000\n")).after
    assert after.curve is not None
    assert after.vanishing_angle_deg is not None
    positive = [max(v, 0.0) for v in after.curve.lever_m[: int(after.vanishing_angle_deg) + 1]]
    assert after.area_under_curve_m_rad == pytest.approx(sum(positive) * math.radians(1), rel=2e-3)


def test_a_box_known_by_its_particulars_is_a_box() -> None:
    own = "lwl_m = 6.0\nbwl_m = 2.0\ndisplacement_kg = 4920\n"
    known = "waterplane_coefficient = 1.0\ndraught_m = 0.4\nkg_m = 0.5\n"
    report = float_report(boat(known, '[[weight]]\nid = "w"\nmass_kg = 1230\nat_m = [3.0, 0.0, 0.1]\n', own))
    before, after = report.before, report.after
    assert (before.kb_m, before.kg_per_cm) == (pytest.approx(0.2), pytest.approx(123.0))
    assert before.bm_m == pytest.approx(4 / 12 / 0.4, abs=1e-4)
    assert after.draught_fore_m == pytest.approx(0.5)
    assert after.kb_m == pytest.approx(0.25)
    assert after.bm_m == pytest.approx(4 / 12 / 0.5, abs=1e-4)
    assert after.kg_m == pytest.approx(0.5)


def test_an_opening_that_floods_before_the_vanishing_angle_is_said() -> None:
    opening = "opening = [{ name = 'hatch', at_m = [3.0, -0.4, 0.75] }]\n"
    low = float_report(drawn("kg_m = 0.95\n" + opening))
    heel = low.after.flooding[0].heel_deg
    assert heel is not None
    assert low.after.vanishing_angle_deg is not None
    assert heel < low.after.vanishing_angle_deg
    assert f"comes in at the hatch from {heel:.0f} degrees to starboard" in said(low)
    assert f"before the vanishing angle of {low.after.vanishing_angle_deg:.0f}" in said(low)
    inside = float_report(drawn("kg_m = 0.95\n" + opening.replace("-0.4, 0.75", "0.0, 0.2")))
    assert "comes in at the hatch" not in said(inside)


def test_trim_brings_an_opening_forward_under_sooner() -> None:
    hatches = "opening = [{ name = 'fore', at_m = [5.5, 0, 0.9] }, { name = 'aft', at_m = [0.5, 0, 0.9] }]\n"
    bow_down = '[[weight]]\nid = "w"\nmass_kg = 400\nat_m = [4.5, 0.0, 0.0]\n'
    report = float_report(boat("kg_m = 0.6\n" + hatches + BOX, bow_down, "displacement_kg = 4000\n"))
    fore, aft = report.after.flooding
    assert fore.heel_deg is not None
    assert aft.heel_deg is not None
    assert fore.heel_deg < aft.heel_deg - 2
    level_fore, level_aft = report.before.flooding
    assert level_fore.heel_deg == pytest.approx(level_aft.heel_deg, abs=1e-3)


def test_dimensions_of_the_laden_waterline_are_known_by_their_block() -> None:
    """Length, breadth, draught and block that make what she weighs laden belong to that waterline."""
    made = 1025.0 * 0.30 * 6.4 * 2.05 * 0.533  # 2150 kg, which is 1850 and the 300 of the pigs
    given = "block_coefficient = 0.30\ndraught_m = 0.533\nwaterplane_coefficient = 0.7\ngm_m = 0.7\n"
    report = float_report(boat(given))
    assert "what she weighs with the listed weights" in said(report)
    laden, light = (0.5 * (c.draught_fore_m + c.draught_aft_m) for c in (report.after, report.before))
    per_cm = 1025.0 * 0.7 * 6.4 * 2.05 / 100.0
    assert laden == pytest.approx(0.533 + (2150.0 - made) / per_cm / 100.0, abs=1e-4)
    assert laden - light == pytest.approx(300.0 / per_cm / 100.0, abs=1e-4)
    assert report.before.gm_m == pytest.approx(0.7, abs=1e-4)
    own = float_report(boat(given.replace("0.533", "0.459")))  # 1850 kg: hers without them
    assert "Block coefficient" not in said(own)
    assert own.before.draught_fore_m == pytest.approx(0.459, abs=1e-4)
    neither = float_report(boat(given.replace("0.533", "0.8")))
    assert "the latter is used" in said(neither)


def test_a_box_with_her_weight_at_the_deck_edge_vanishes_on_her_beam_ends() -> None:
    """At 90 degrees she floats on her side with weight and buoyancy on one vertical when she is half under and her
    weight is at half her depth; a box 2 m broad and 1 m deep that floats at half its depth has both."""
    half = "".join(
        f"[[float.section]]\nx_m = {x}\npoints_m = [[0, -0.5], [1.0, -0.5], [1.0, 0.5], [0, 0.5]]\n" for x in range(7)
    )
    after = float_report(boat("kg_m = 0.5\n" + half, "", "displacement_kg = 6150\n")).after
    assert after.vanishing_angle_deg == pytest.approx(90.0, abs=1e-3)
    assert after.comes_back_from_90 is False


def test_a_rounding_never_picks_the_side_of_her_curve() -> None:
    """A pair of weights to port and to starboard whose moments cancel but for the last bit, either way round."""
    for sign in (1.0, -1.0):
        pair = "".join(
            f'[[weight]]\nid = "{n}"\nmass_kg = 10\nat_m = [3.3, {y}, -0.2]\n'
            for n, y in (("a", sign * 0.3), ("b", -sign * (0.3 + 1e-12)))
        )
        for known in ("kg_m = 0.95\n" + SECTIONS, "gm_m = 0.7\n"):
            after = float_report(boat(known, pair)).after
            assert after.righting_side == "starboard"
            assert after.list_deg == 0.0


def test_upright_before_and_listing_after_are_compared_to_one_side() -> None:
    report = float_report(drawn(weights=PIGS.replace("3.3, 0.0", "3.3, 0.2")))
    assert report.before.list_deg == 0.0
    assert report.before.righting_side == report.after.righting_side == "port"


def test_a_gust_throws_her_about_twice_as_far_as_the_wind_heels_her() -> None:
    """With a lever that grows with the heel, as at small heels, the work is equal at twice the steady heel."""
    light = "kg_m = 0.95\nsail_area_m2 = 24.0\nsail_lever_m = 4.2\nwind_m_s = [3.0, 60.0]\n"
    gentle, storm = float_report(drawn(light)).after.heel_in_wind
    assert gentle.heel_deg is not None
    assert gentle.gust_deg == pytest.approx(2.0 * gentle.heel_deg, rel=0.03)
    assert storm.gust_deg is None
    assert f"a gust of it about twice as far, to {gentle.gust_deg:.0f}" in gentle.words
