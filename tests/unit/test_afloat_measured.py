"""Inclining test, roll-period test, marks: alone, together, and with the weights aboard or not."""

from __future__ import annotations

import math

import numpy as np
import pytest

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.measured import fit_line, fit_through_origin, inclined, mean_period, rolled
from secure_load.afloat.models import FloatReport
from secure_load.afloat.report import float_report
from secure_load.boat.file import BoatFileError
from secure_load.boat.floating import InclineReading, Inclining, RollReading, RollTest
from tests.unit.test_afloat_report import boat, drawn, said

W = 2000.0


def readings_of(gm: float, noise: float = 0.0, offset: float = 0.0, shifts: int = 5) -> Inclining:
    rng = np.random.default_rng(7)
    moved = np.linspace(-1.2, 1.2, shifts)
    tangents = [25.0 * a / (W * gm) + offset + noise * float(rng.normal()) for a in moved]
    return Inclining(
        readings=[
            InclineReading(moved_kg=25.0, across_m=float(a), heel_deg=math.degrees(math.atan(t)))
            for a, t in zip(moved, tangents, strict=True)
        ]
    )


def test_gm_of_a_clean_test_is_found_again() -> None:
    found = inclined(readings_of(0.8), W)
    assert found.gm == pytest.approx(0.8)
    assert found.line.error == pytest.approx(0.0, abs=1e-6)
    assert found.warnings == ()


def test_a_first_mark_off_upright_does_no_harm() -> None:
    assert inclined(readings_of(0.8, offset=0.004), W).gm == pytest.approx(0.8)


def test_the_error_covers_the_truth_about_as_often_as_it_should() -> None:
    """Of 200 noisy tests some 19 in 20 lie within two standard errors (t of 4 degrees of freedom: 2.8)."""
    rng = np.random.default_rng(11)
    moments = np.array([-30.0, -20.0, -10.0, 10.0, 20.0, 30.0])
    inside = 0
    for _ in range(200):
        line = fit_line(moments, moments / 1600.0 + rng.normal(0, 4e-4, 6))
        assert line.error is not None
        inside += abs(line.slope - 1600.0) < 2.8 * line.error
    assert 180 <= inside <= 199


def test_pendulum_and_degrees_say_the_same() -> None:
    pairs = ((1.0, 0.8), (-1.0, -0.8))
    by_angle = Inclining(readings=[InclineReading(moved_kg=20, across_m=a, heel_deg=h) for a, h in pairs])
    by_bob = Inclining(
        pendulum_mm=1500,
        readings=[
            InclineReading(moved_kg=20, across_m=a, deflection_mm=1500 * math.tan(math.radians(h))) for a, h in pairs
        ],
    )
    assert inclined(by_angle, W).gm == pytest.approx(inclined(by_bob, W).gm)


def test_warnings_of_a_poor_test() -> None:
    one_side = Inclining(readings=[InclineReading(moved_kg=200, across_m=1.0, heel_deg=7.0)])
    words = " ".join(inclined(one_side, W).warnings)
    assert "1 readings" in words
    assert "one side only" in words
    assert "7.0 degrees" in words
    assert "scatter" in " ".join(inclined(readings_of(0.8, noise=0.01), W).warnings)


def test_leaning_the_wrong_way_is_refused() -> None:
    wrong = Inclining(readings=[InclineReading(moved_kg=20, across_m=a, heel_deg=-a) for a in (1.0, -1.0, 0.5)])
    with pytest.raises(CannotFloat, match="leans away"):
        inclined(wrong, W)
    still = Inclining(readings=[InclineReading(moved_kg=20, across_m=1.0, heel_deg=0.0)])
    with pytest.raises(CannotFloat, match="never leant"):
        inclined(still, W)


def test_line_through_origin_of_two() -> None:
    line = fit_through_origin([10.0, 20.0], [0.01, 0.02])
    assert (line.slope, line.offset) == (pytest.approx(1000.0), 0.0)
    assert line.error == pytest.approx(0.0, abs=1e-6)


def test_mean_of_rolls_weighs_by_their_number() -> None:
    test = RollTest(readings=[RollReading(rolls=10, seconds=25.0), RollReading(rolls=5, seconds=13.0)])
    period, scatter = mean_period(test)
    assert period == pytest.approx(38 / 15)
    assert scatter is not None
    assert scatter > 0
    assert mean_period(RollTest(readings=[RollReading(rolls=10, seconds=25.0)]))[1] is None


def test_a_roll_test_is_calibrated_by_an_inclining_test() -> None:
    test = RollTest(readings=[RollReading(rolls=10, seconds=25.0)])
    found = rolled(test, 2.05, known_gm=0.8)
    assert not found.gyradius_assumed
    assert found.gm == pytest.approx(0.8)
    later = RollTest(readings=[RollReading(rolls=10, seconds=22.0)], gyradius_over_breadth=found.gyradius / 2.05)
    again = rolled(later, 2.05)
    assert again.gm == pytest.approx(0.8 * (25 / 22) ** 2)
    assert again.error == pytest.approx(0.15 * again.gm)
    assert rolled(test, 2.05).gyradius_assumed
    assert rolled(test, 2.05).error > 0.3 * rolled(test, 2.05).gm


READINGS = (
    "{ moved_kg = 25, across_m = 1.2, heel_deg = 1.0 }, { moved_kg = 25, across_m = -1.2, heel_deg = -1.02 }, "
    "{ moved_kg = 25, across_m = 0.6, heel_deg = 0.5 }, { moved_kg = 25, across_m = -0.6, heel_deg = -0.49 }"
)


def gm_when(report: FloatReport, aboard: bool) -> float:
    return report.after.gm_m if aboard else report.before.gm_m


@pytest.mark.parametrize("aboard", [True, False])
@pytest.mark.parametrize("sections", [True, False])
def test_the_inclined_gm_is_hers_as_she_was_inclined(aboard: bool, sections: bool) -> None:
    known = f"inclining = {{ readings = [{READINGS}], weights_aboard = {str(aboard).lower()} }}\nkg_m = 0.2\n"
    report = float_report(drawn(known) if sections else boat(known))
    mass = 2150 if aboard else 1850
    slope = 25 * 1.2 / math.tan(math.radians(1.0)) / mass
    assert gm_when(report, aboard) == pytest.approx(slope, rel=0.02)
    assert report.basis == ("offsets" if sections else "measured")
    assert "the inclining test" in report.after.basis_words
    assert report.after.gm_error_m is not None
    assert 0 < report.after.gm_error_m < 0.06
    assert report.before.gm_error_m == pytest.approx(report.after.gm_error_m * 2150 / 1850, abs=2e-4)
    assert [(m.what, m.used) for m in report.measured] == [("inclining test", True)]


def test_people_in_the_test_are_not_lost_in_silence() -> None:
    known = f"inclining = {{ readings = [{READINGS}], displacement_kg = 2600 }}\n"
    assert "displaced 2600 kg, by this file 2150" in said(float_report(drawn(known)))


@pytest.mark.parametrize("sections", [True, False])
def test_a_roll_test_alone_gives_gm_with_its_error(sections: bool) -> None:
    known = "roll_test = { readings = [{ rolls = 10, seconds = 24.0 }], gyradius_over_breadth = 0.41 }\n"
    report = float_report(drawn(known, own="displacement_kg = 1850\nbwl_m = 2.05\n") if sections else boat(known))
    assert report.after.gm_m == pytest.approx((2 * math.pi * 0.41 * 2.05 / 2.4) ** 2 / 9.80665, abs=2e-3)
    assert report.after.gm_error_m == pytest.approx(0.15 * report.after.gm_m, rel=0.01)
    assert report.after.roll_period_s == pytest.approx(2.4, abs=0.01)
    assert report.measured[0].used


def test_inclining_outranks_what_is_written_and_that_outranks_rolling() -> None:
    roll = "roll_test = { readings = [{ rolls = 10, seconds = 24.0 }] }\n"
    report = float_report(boat("gm_m = 0.5\n" + roll))
    assert report.before.gm_m == pytest.approx(0.5, abs=1e-4)
    # Her GM does not rest on the rolling, her roll period does: what was measured comes out again.
    assert report.measured[0].used
    assert "with gm_m of the file, radius of gyration" in report.measured[0].says
    assert report.after.roll_period_s == pytest.approx(2.4, abs=0.01)
    given = float_report(boat("gm_m = 0.5\n" + roll.replace("] }", "], gyradius_over_breadth = 0.41 }")))
    assert not given.measured[0].used
    assert "GM" in given.measured[0].says
    both = float_report(boat(f"inclining = {{ readings = [{READINGS}] }}\n" + roll))
    assert [m.used for m in both.measured] == [True, True]
    assert both.after.gm_m == float_report(boat(f"inclining = {{ readings = [{READINGS}] }}\n")).after.gm_m
    assert "radius of gyration" in both.measured[1].says
    assert both.after.roll_period_s == pytest.approx(2.4, abs=0.01)  # what was measured comes out again


@pytest.mark.parametrize("aboard", [True, False])
@pytest.mark.parametrize("sections", [True, False])
def test_marks_come_out_again_as_they_were_read(aboard: bool, sections: bool) -> None:
    """The difference of the two draughts is what was read, in the condition it was read in."""
    flag = str(aboard).lower()
    known = f"kg_m = 0.9\ndraught_m = 1.0\nmarks = {{ fore_m = 0.90, aft_m = 0.98, weights_aboard = {flag} }}\n"
    own = "displacement_kg = 1850\nlwl_m = 6.4\nbwl_m = 2.05\n"
    report = float_report(drawn(known, own=own) if sections else boat(known))
    when = report.after if aboard else report.before
    assert when.draught_fore_m - when.draught_aft_m == pytest.approx(-0.08, abs=2e-3)
    assert report.measured[0].says.startswith("trim 0.7")
    assert "degrees by the stern" in report.measured[0].says


def test_marks_and_sections_weigh_her() -> None:
    """With no displacement in the file, the draughts themselves come out again."""
    known = "kg_m = 0.9\nmarks = { fore_m = 0.95, aft_m = 0.99, weights_aboard = true }\n"
    report = float_report(drawn(known, own="bwl_m = 2.05\n"))
    assert report.after.draught_fore_m == pytest.approx(0.95, abs=1e-3)
    assert report.after.draught_aft_m == pytest.approx(0.99, abs=1e-3)
    assert report.before.displacement_kg == pytest.approx(report.after.displacement_kg - 300)


def test_marks_that_contradict_the_displacement_are_said() -> None:
    known = "kg_m = 0.9\nmarks = { fore_m = 1.25, aft_m = 1.30 }\n"
    assert "one of them is wrong" in said(float_report(drawn(known)))
    with pytest.raises(CannotFloat, match="trimmed"):
        float_report(drawn("kg_m = 0.9\nmarks = { fore_m = 0.1, aft_m = 2.5 }\n"))
    with pytest.raises(CannotFloat, match="well apart"):
        float_report(drawn("kg_m = 0.9\nmarks = { fore_m = 1.0, aft_m = 1.0, fore_x_m = 1.0, aft_x_m = 0.9 }\n"))


@pytest.mark.parametrize(
    ("known", "words"),
    [
        ("inclining = { readings = [{ moved_kg = 20, across_m = 1.0 }] }", "give 'heel_deg' or 'deflection_mm'"),
        ("inclining = { readings = [{ moved_kg = 20, across_m = 1.0, deflection_mm = 9 }] }", "need 'pendulum_mm'"),
        ("roll_test = { readings = [] }", "at least 1"),
        ("marks = { fore_m = 1.0 }", "aft_m"),
    ],
)
def test_a_half_told_test_is_refused(known: str, words: str) -> None:
    with pytest.raises(BoatFileError, match=words):
        boat(known)


def test_a_clean_test_off_upright_has_no_scatter() -> None:
    assert inclined(readings_of(0.8, offset=0.004), W).line.error == pytest.approx(0.0, abs=1e-6)


def test_the_error_has_the_weights_and_the_reader_in_it() -> None:
    """Five clean readings of 25 kg shifted -1.2 to 1.2 m: leans of 25 a / 1600. Their spread is the root of the sum of
    squares of 0.01875, 0.009375, 0, and back: 0.02965. A tenth of a degree, 0.00175, makes 5.9 per cent of the slope;
    the weights 1 per cent, and 1 cm in 1.2 m 0.83 per cent more."""
    spread = 25 / 1600 * math.sqrt(2 * (1.2**2 + 0.6**2))
    reader, weights, distance = 0.00175 / spread, 0.01, 0.01 / 1.2
    share = math.sqrt(reader**2 + weights**2 + distance**2)
    assert inclined(readings_of(0.8), W).error == pytest.approx(0.8 * share, rel=1e-3)
    # A pendulum of 3 m, read to a millimetre, is five times as good.
    bob = Inclining(
        pendulum_mm=3000,
        readings=[
            InclineReading(moved_kg=25.0, across_m=a, deflection_mm=3000 * 25 * a / 1600)
            for a in (-1.2, -0.6, 0.0, 0.6, 1.2)
        ],
    )
    share = math.sqrt((1 / 3000 / spread) ** 2 + weights**2 + distance**2)
    assert inclined(bob, W).error == pytest.approx(0.8 * share, rel=1e-3)


def test_uneven_rolls_widen_the_error() -> None:
    steady = RollTest(readings=[RollReading(rolls=5, seconds=12.5)] * 4, gyradius_over_breadth=0.4)
    uneven = RollTest(
        readings=[RollReading(rolls=5, seconds=s) for s in (9.5, 15.5, 9.0, 16.0)], gyradius_over_breadth=0.4
    )
    assert rolled(steady, 2.0).error == pytest.approx(0.15 * rolled(steady, 2.0).gm)
    assert rolled(uneven, 2.0).error > 1.2 * rolled(steady, 2.0).error


def test_free_surfaces_were_there_when_she_was_inclined() -> None:
    """What was measured holds the loss of the slack tank already: it comes out again, not twice less."""
    tank = (
        '[[weight]]\nid = "water"\nkind = "tank"\nmass_kg = 130\nat_m = [2.9, 0.0, -0.2]\n'
        "tank = { fill = 0.5, size_m = [1.0, 0.9, 0.25] }\n"
    )
    report = float_report(drawn(f"inclining = {{ readings = [{READINGS}] }}\n", weights=tank))
    assert report.after.free_surface_loss_m > 0.02
    assert report.after.gm_m == pytest.approx(25 * 1.2 / math.tan(math.radians(1.0)) / 1980, rel=0.02)


def test_a_steep_trim_comes_out_to_the_millimetre() -> None:
    known = "kg_m = 1.3\nmarks = { fore_m = 0.75, aft_m = 1.15, weights_aboard = true }\n"
    report = float_report(drawn(known, own="displacement_kg = 1850\nlwl_m = 6.4\nbwl_m = 2.05\n"))
    assert report.after.draught_fore_m - report.after.draught_aft_m == pytest.approx(-0.40, abs=5e-4)
