"""Where a loose weight lies at every heel, and what that takes from her righting, against sums done by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from secure_load.afloat.hull.hull import hull_from_sections
from secure_load.afloat.loose import inner_side
from secure_load.afloat.models import Loose
from secure_load.afloat.report import float_report, loose_report
from secure_load.boat.models import BoatFile
from secure_load.record.text.afloat_rows import loose_rows, moment_at
from secure_load.record.text.afloat_words import comes_back_words, loose_words
from tests.reference.hulls import cutter, log
from tests.unit.test_afloat_report import BOX, boat, drawn

LEAD = '[[weight]]\nid = "lead"\nkind = "ballast"\nmass_kg = 300\nat_m = [3.0, 0.1, 0.2]\nsize_m = [0.4, 0.2, 0.1]\n'
G = 9.80665


def barge(known: str = "kg_m = 0.4\n") -> BoatFile:
    """6 m by 2 m by 1.5 m, 0.5 m of it below the designed waterline."""
    return boat(known + BOX, LEAD, "displacement_kg = 4000\n")


def moments(lies: Loose, side: str, heel: float) -> tuple[float, float]:
    stowed, gone = (lies.stowed_port, lies.port) if side == "port" else (lies.stowed_starboard, lies.starboard)
    assert stowed is not None
    a, b = moment_at(stowed, heel), moment_at(gone, heel)
    assert a is not None
    assert b is not None
    return a, b


@pytest.mark.parametrize("side", ["port", "starboard"])
@pytest.mark.parametrize(("heel", "corner"), [(15, "bilge"), (30, "bilge"), (60, "bilge"), (90, "deck"), (120, "deck")])
def test_what_a_loose_weight_takes_from_her_is_its_mass_times_its_lever(side: str, heel: float, corner: str) -> None:
    """In a box the lowest place is the corner of the bilge up to her beam ends, that of the deck beyond; on her beam
    ends the whole side lies level, and its upper end is the worst of it. Moving 300 kg a distance dy to the low side
    and dz up takes 300 g (dy cos(heel) + dz sin(heel)) of righting moment."""
    stowed, gone = moments(loose_report(barge(), ["lead"]), side, heel)
    to_low_side = 0.1 if side == "port" else -0.1
    dy, dz = 1.0 - to_low_side, (-0.5 if corner == "bilge" else 1.0) - 0.2
    angle = math.radians(heel)
    assert stowed - gone == pytest.approx(300 * G * (dy * math.cos(angle) + dz * math.sin(angle)), abs=1.0)


def test_in_a_round_hull_it_lies_right_below_the_middle() -> None:
    """In a circle of radius 1 about (0, 0.4) the lowest place at a heel h is (sin h, 0.4 - cos h)."""
    side = inner_side(log(6.0, 1.0, 0.6, points=720), 3.0, 0.05)
    assert side is not None
    heel = np.radians([30.0, 50.0, 90.0, 130.0, 165.0])
    at = side.lowest_places(heel)
    assert side.half_breadth[at] == pytest.approx(np.sin(heel), abs=0.01)
    assert side.height[at] == pytest.approx(0.4 - np.cos(heel), abs=0.03)


def test_it_stays_out_of_a_keel_narrower_than_itself() -> None:
    hull = cutter()
    keel = inner_side(hull, 3.0, 0.0)
    hold = inner_side(hull, 3.0, 0.1)
    assert keel is not None
    assert hold is not None
    assert keel.height[0] == pytest.approx(hull.lowest, abs=0.3)
    assert hold.half_breadth[0] >= 0.1
    assert hold.height[0] > keel.height[0] + 0.2
    assert inner_side(hull, 3.0, 3.0) is None
    assert inner_side(hull, 20.0, 0.0) is None


def test_a_hollow_on_the_way_down_keeps_it() -> None:
    """A flat bilge beside a steep garboard: at 30 degrees the corner of the bilge is a hollow, and the weight that
    comes down the topside stays there although the keel lies lower."""
    half = np.array([[0.0, -1.2], [0.1, -1.2], [0.12, -0.4], [0.9, -0.2], [1.1, 0.4], [1.1, 0.8], [0.0, 0.8]])
    side = inner_side(hull_from_sections([0.0, 6.0], [half, half]), 3.0, 0.0)
    assert side is not None
    (at,) = side.lowest_places(np.radians([30.0]))
    assert (side.half_breadth[at], side.height[at]) == pytest.approx((0.9, -0.2))


def test_below_thirty_degrees_it_does_not_slide_back() -> None:
    report = loose_report(barge(), ["lead"])
    # The bilge corner at every heel there: 300 kg at 1 m to starboard, nothing else off the middle.
    assert report.starboard.tcg_m == pytest.approx(-300 / 4300, abs=1e-4)
    assert report.port.tcg_m == pytest.approx(300 / 4300, abs=1e-4)


def test_what_stands_on_deck_does_not_fall_into_her() -> None:
    made = boat("kg_m = 0.4\n" + BOX, LEAD.replace("0.1, 0.2]", "0.0, 1.2]"), "displacement_kg = 4000\n")
    lies = loose_report(made, ["lead"]).port
    assert lies.kg_m == pytest.approx(float_report(made).after.kg_m)
    assert lies.tcg_m == pytest.approx(300 * 0.9 / 4300, abs=1e-4)


def test_whether_she_comes_back_is_said_with_the_figure() -> None:
    """Ballasted low she rights herself from upside down; as a raft of the same shape she does not from her side."""
    low, high = (float_report(boat(f"kg_m = {kg}\n" + BOX, "", "displacement_kg = 4000\n")).after for kg in (0.2, 1.0))
    assert (low.comes_back_from_90, low.comes_back_from_180) == (True, True)
    assert "comes back, with righting moment" in comes_back_words(low)[0]
    assert "comes back by herself" in comes_back_words(low)[1]
    assert (high.comes_back_from_90, high.comes_back_from_180) == (False, False)
    assert high.vanishing_angle_deg is not None
    assert high.vanishing_angle_deg < 90
    assert "does not come back" in comes_back_words(high)[0]
    assert f"rolls her back to {high.vanishing_angle_deg:.0f} degrees" in comes_back_words(high)[1]
    assert comes_back_words(float_report(boat()).after) == []


def test_an_opening_that_goes_under_first_is_named() -> None:
    hatch = "opening = [{ name = 'hatch', at_m = [3.0, -0.6, 0.65] }]\n"
    after = float_report(drawn("kg_m = 0.95\n" + hatch)).after
    assert "if the hatch, under from" in comes_back_words(after)[0]


def test_stowed_and_loose_stand_side_by_side_to_each_side() -> None:
    report = float_report(barge(), ["lead"])
    assert report.loose is not None
    rows = loose_rows(report.loose)
    assert [r.label for r in rows if r.first] == ["gone to port:", "gone to starboard:"]
    stowed, gone = moments(report.loose, "port", 30.0)
    at_30 = next(r for r in rows if r.label == "moment at 30 deg, N m")
    assert at_30.cells == (f"{stowed:.0f}", f"{gone:.0f}", f"{100 * (gone / stowed - 1):.0f} %")
    assert [r.cells[:2] for r in rows if r.label == "comes back from 90 degrees"] == [("yes", "yes")] * 2
    said = " ".join(loose_words(report, report.loose))
    assert f"at 30 degrees {100 * (1 - gone / stowed):.0f} % less" in said
    plain = float_report(boat("gm_m = 0.7\n"), ["pigs"])
    assert plain.loose is not None
    assert "her shape is not known" in " ".join(loose_words(plain, plain.loose))
