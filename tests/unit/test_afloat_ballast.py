"""Placing the ballast against trying everything; the casting sheet; the lifting sheet."""

from __future__ import annotations

import ctypes
import itertools
import math
import os
import sys

import numpy as np
import pytest

from secure_load.afloat.ballast import lifting
from secure_load.afloat.ballast.ballast import casting_of, lifting_of
from secure_load.afloat.ballast.casting import casting_sheet, mould_volume
from secure_load.afloat.ballast.ingot_program import GOALS, Stowing, Unstowable, _without_c_output, solve
from secure_load.afloat.ballast.lifting import lifting_sheet
from secure_load.afloat.ballast.loading_order import loading_order
from secure_load.afloat.ballast.placing import PlacingReport, place_ballast
from secure_load.afloat.errors import CannotFloat
from secure_load.boat.file import BoatFileError, parse_boat
from secure_load.boat.floating import Casting, Lift, Mould, StowagePlace
from secure_load.boat.hull import BoatParticulars, Planking
from tests.unit.test_afloat_report import PIGS, boat, drawn

PLACES = (
    "{ id = 'mast', at_m = [3.9, 0.0, -0.70], room_count = 16, reach = 3 }, "
    "{ id = 'port', at_m = [2.6, 0.35, -0.35], room_count = 12, reach = 1 }, "
    "{ id = 'starboard', at_m = [2.6, -0.35, -0.35], room_count = 12, reach = 1 }, "
    "{ id = 'aft', at_m = [1.4, 0.0, -0.60], room_kg = 100.0, reach = 4 }"
)


def placed(
    ingots: str, places: str = PLACES, more: str = "", weights: str = "", sections: bool = True
) -> PlacingReport:
    table = f"[float.placing]\ningot = [{ingots}]\nplace = [{places}]\n{more}\n"
    if sections:
        made = drawn("kg_m = 0.95\n", weights)
        text = table
        placing = parse_boat(f'schema = 1\n[boat]\nname = "x"\n{text}').float_
        assert placing is not None
        assert made.float_ is not None
        made.float_.placing = placing.placing
        return place_ballast(made)
    return place_ballast(boat(f"gm_m = 0.7\n{table}", weights))


def problem(**changes: object) -> Stowing:
    rng = np.random.default_rng(2)
    given: dict[str, object] = {
        "mass": np.array([10.0, 6.0]),
        "count": np.array([4.0, 3.0]),
        "along": np.array([1.0, 2.5, 3.5]),
        "across": np.array([0.0, 0.3, -0.3]),
        "height": np.array([-0.6, -0.4, -0.5]),
        "reach": np.array([5.0, 1.0, 2.0]),
        "room_count": np.array([5.0, 4.0, 4.0]),
        "room_mass": np.array([np.inf, np.inf, 35.0]),
        "bearing": np.full(3, np.inf),
        "along_wanted": float(rng.uniform(120, 140)),
        "across_wanted": 0.0,
        "along_tolerance": 4.0,
        "across_tolerance": 1.5,
    }
    return Stowing(**{**given, **changes})  # type: ignore[arg-type]


def everything(p: Stowing) -> list[np.ndarray]:
    """All ways the ingots go in."""
    ways: list[np.ndarray] = []
    per_sort = [
        [c for c in itertools.product(range(int(n) + 1), repeat=len(p.along)) if sum(c) == n] for n in p.count.tolist()
    ]
    for rows in itertools.product(*per_sort):
        counts = np.array(rows, dtype=float)
        if np.all(counts.sum(axis=0) <= p.room_count) and np.all(p.mass @ counts <= np.minimum(p.room_mass, p.bearing)):
            ways.append(counts)
    return ways


def excess(p: Stowing, counts: np.ndarray) -> float:
    kilos = p.mass @ counts
    off = abs(kilos @ p.along - p.along_wanted) / p.along_tolerance
    lean = abs(kilos @ p.across - p.across_wanted) / p.across_tolerance
    return max(off - 1, 0.0) + max(lean - 1, 0.0)


@pytest.mark.parametrize("wanted", [95.0, 110.0, 125.0, 130.0, 150.0])
def test_no_way_of_all_ways_is_better(wanted: float) -> None:
    p = problem(along_wanted=wanted)
    ways = everything(p)
    assert len(ways) > 50
    least = min(excess(p, w) for w in ways)
    good = [w for w in ways if excess(p, w) <= least + 1e-6]
    found = dict(solve(p))
    assert set(found) <= set(GOALS)
    for counts in found.values():
        assert excess(p, counts) == pytest.approx(least, abs=1e-4)
        assert any(np.array_equal(counts, w) for w in ways)
    lowest = min(float(p.mass @ w @ p.height) for w in good)
    easiest = min(float(p.mass @ w @ p.reach) for w in good)
    half_a_millimetre = 0.0005 * float(p.mass @ p.count)
    for goal, counts in found.items():
        if goal.name == "lowest":
            assert float(p.mass @ counts @ p.height) <= lowest + half_a_millimetre + 1e-6
        if goal.name == "easiest to reach":
            assert float(p.mass @ counts @ p.reach) <= easiest * (1 + 1e-4) + 1e-6
    assert found


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"room_count": np.array([2.0, 2.0, 2.0])}, "room for 6 ingots and 7 are in hand"),
        ({"room_mass": np.array([20.0, 20.0, 10.0])}, "room for 50 kg and the ingots in hand weigh 58 kg"),
        ({"bearing": np.array([20.0, 20.0, 10.0])}, "may bear 50 kg"),
        ({"bearing": np.array([19.0, 19.0, 23.0])}, "bearing allowed under the places stands against"),
        ({"room_mass": np.array([19.0, 19.0, 23.0])}, "room_kg of the places stands against"),
    ],
)
def test_why_it_does_not_go_in(changes: dict[str, object], words: str) -> None:
    with pytest.raises(Unstowable, match=words):
        solve(problem(**changes))


def test_without_the_solver_one_sentence_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "scipy.optimize", None)
    with pytest.raises(CannotFloat, match="needs scipy"):
        placed("{ id = 'a', each_kg = 12.0, count = 4 }")


@pytest.mark.parametrize("sections", [True, False])
def test_marks_and_list_come_out_on_the_true_hull(sections: bool) -> None:
    ingots = "{ id = 'a', each_kg = 12.0, count = 16 }, { id = 'b', each_kg = 7.5, count = 9 }"
    report = placed(ingots, sections=sections)
    names = [p.name for p in report.proposals]
    assert names[0] == "lowest"
    assert 2 <= len(report.proposals) <= 4
    for each in report.proposals:
        assert abs(each.trim_off_mm) < 7
        assert each.list_deg is not None
        assert abs(each.list_deg) < 0.25
        assert sum(s.count for s in each.stow) == 25
        assert sum(s.kg for s in each.stow) == pytest.approx(16 * 12 + 9 * 7.5)
        assert each.name in each.words
    assert report.proposals[0].higher_mm < 1.0
    easy = [p for p in report.proposals if p.name == "easiest to reach"]
    assert all(e.hard_reach_kg <= report.proposals[0].hard_reach_kg for e in easy)


def test_a_trim_by_the_stern_may_be_wanted() -> None:
    level = placed("{ id = 'a', each_kg = 12.0, count = 16 }")
    stern = placed("{ id = 'a', each_kg = 12.0, count = 16 }", more="trim_deg = -0.4")
    assert stern.proposals[0].trim_deg == pytest.approx(-0.4, abs=0.06)
    marks = placed("{ id = 'a', each_kg = 12.0, count = 16 }", more="fore_m = 0.95\naft_m = 0.99")
    assert marks.proposals[0].trim_deg == pytest.approx(-0.04 / 6.93 * 180 / math.pi, abs=0.08)
    assert abs(level.proposals[0].trim_deg) < 0.06


def test_what_cannot_be_reached_is_said_with_its_reason() -> None:
    far = placed("{ id = 'a', each_kg = 12.0, count = 10 }", "{ id = 'bow', at_m = [5.0, 0.3, -0.2], room_count = 20 }")
    words = " ".join(far.notes)
    assert "deeper forward than wanted" in words
    assert "no room enough further aft" in words.replace("not room", "no room")
    assert "to port stay" in words
    with pytest.raises(CannotFloat, match="room for 20 ingots and 30"):
        placed("{ id = 'a', each_kg = 12.0, count = 30 }", "{ id = 'bow', at_m = [5.0, 0.3, -0.2], room_count = 20 }")
    with pytest.raises(CannotFloat, match=r"may bear 41 kg"):
        placed(
            "{ id = 'a', each_kg = 12.0, count = 10 }",
            "{ id = 'x', at_m = [3.0, 0.0, -0.5], size_m = [0.2, 0.2], bearing_kPa = 10 }",
        )


def test_listed_ballast_may_be_taken_out_first() -> None:
    report = placed("{ id = 'a', each_kg = 12.0, count = 16 }", more="in_place_of = ['pigs']", weights=PIGS)
    kept = placed("{ id = 'a', each_kg = 12.0, count = 16 }", weights=PIGS)
    assert report.proposals[0].kg_m > kept.proposals[0].kg_m  # 300 kg of low ballast are gone
    with pytest.raises(CannotFloat, match="in_place_of names 'pig'"):
        placed("{ id = 'a', each_kg = 12.0, count = 16 }", more="in_place_of = ['pig']", weights=PIGS)


INGOT = "ingot = [{ id = 'a', each_kg = 1, count = 1 }]\n"
PLACE = "{ id = 'p', at_m = [1, 0, 0] }"


@pytest.mark.parametrize(
    ("table", "words"),
    [
        (INGOT + "place = [{ id = 'p', at_m = [1, 0, 0], bearing_kPa = 3 }]", "size_m"),
        (f"{INGOT}place = [{PLACE}]\nfore_m = 1.0", "both"),
        (f"{INGOT}place = [{PLACE}, {PLACE}]", "twice"),
        (f"ingot = []\nplace = [{PLACE}]", "at least 1"),
    ],
)
def test_a_half_told_placing_is_refused(table: str, words: str) -> None:
    with pytest.raises(BoatFileError, match=words):
        boat(f"[float.placing]\n{table}\n")


# Casting ------------------------------------------------------------------------------------------------------------

MOULD = Mould(top_mm=(300.0, 100.0), bottom_mm=(280.0, 80.0), depth_mm=40.0)


def test_an_ingot_weighs_its_volume() -> None:
    assert mould_volume(Mould(top_mm=(200, 100), bottom_mm=(200, 100), depth_mm=50)) == pytest.approx(1e-3)
    # A pyramid, near enough: a third of the box about it.
    assert mould_volume(Mould(top_mm=(200, 100), bottom_mm=(0.2, 0.1), depth_mm=60)) == pytest.approx(4e-4, rel=2e-3)
    sheet = casting_sheet(Casting(mould=MOULD))
    assert sheet.ingot_least_kg == pytest.approx(0.94 * 11340 * mould_volume(MOULD), abs=1e-3)
    assert sheet.ingots is None
    assert any("explodes and throws molten lead" in c for c in sheet.cautions)
    assert any("respirator" in c for c in sheet.cautions)
    assert any("wash" in c for c in sheet.cautions)


def test_an_ingot_shrinks_from_frozen_to_cold() -> None:
    """A full mould of 0.908 litres, 10.30 kg by cold lead: it fills with lead at 327 C, which 29e-6 for each of 307
    degrees makes 0.89 per cent shorter and 2.6 per cent smaller: 10.03 kg, 2.2 mm short in 250."""
    mould = Mould(top_mm=(250, 70), bottom_mm=(250, 70), depth_mm=10.30 / 11340 / (0.25 * 0.07) * 1000)
    sheet = casting_sheet(Casting(mould=mould))
    assert sheet.ingot_kg == pytest.approx(10.03, abs=0.005)
    assert sheet.shrinkage * 250 == pytest.approx(2.2, abs=0.05)
    assert "2.2 mm in its 250 mm" in " ".join(sheet.words)
    # An alloy freezes later, and so shrinks less when solid: its last liquid freezes at 252 C.
    alloyed = casting_sheet(Casting(mould=mould, antimony_percent=4.0))
    assert alloyed.shrinkage == pytest.approx(29e-6 * 232, rel=1e-3)


def test_ingots_are_counted_by_what_those_cast_weigh() -> None:
    """190 kg of metal: 19 of the computed 9.7 kg or so, but those weighed are 8 kg, which makes 23."""
    sheet = casting_sheet(Casting(mould=MOULD, scrap_kg=200.0, dross_percent=5.0, weighed_kg=[7.9, 8.1]))
    assert sheet.ingots == 23
    assert sheet.left_over_kg == pytest.approx(190.0 - 23 * 8.0)
    assert "23 ingots of 8.00 kg (the mean of those weighed)" in " ".join(sheet.words)


def test_scrap_less_dross_makes_so_many_ingots() -> None:
    sheet = casting_sheet(Casting(mould=MOULD, scrap_kg=200.0, dross_percent=4.0, antimony_percent=3.0))
    assert sheet.good_metal_kg == pytest.approx(192.0)
    assert sheet.ingots == math.floor(192.0 / sheet.ingot_kg)
    assert sheet.left_over_kg == pytest.approx(192.0 - sheet.ingots * sheet.ingot_kg, abs=2e-3)
    assert sheet.alloy == "Lead with 3 % antimony"
    assumed = casting_sheet(Casting(mould=MOULD, scrap_kg=200.0))
    assert assumed.good_metal_kg == pytest.approx(190.0)
    assert "Dross is not stated" in " ".join(assumed.words)


@pytest.mark.parametrize(
    ("share", "words"), [(1.0, "as the mould should"), (0.95, "as the mould"), (0.85, "less than"), (1.1, "more than")]
)
def test_weighed_against_computed(share: float, words: str) -> None:
    each = casting_sheet(Casting(mould=MOULD)).ingot_kg
    sheet = casting_sheet(Casting(mould=MOULD, weighed_kg=[each * share, each * share]))
    assert sheet.weighed_over_computed == pytest.approx(share, abs=1e-3)
    assert words in sheet.words[-1]


FULL = Casting(
    mould=MOULD,
    scrap_kg=300.0,
    dross_percent=5.0,
    pour_C=380.0,
    pot_kg=60.0,
    burner_kW=8.0,
    tap_bore_mm=20.0,
    tap_head_mm=150.0,
    ingots_per_hour=12.0,
    dent_mm=2.0,
    dent_soft_mm=3.0,
)


def test_the_melt_is_planned_by_its_heat() -> None:
    sheet = casting_sheet(FULL)
    found = sheet.foundry
    assert sheet.ingots is not None
    assert found.melts == math.ceil(sheet.ingots * sheet.ingot_kg / 60.0)
    # 60 kg of pure lead to 380 C: 134 x 307 + 23000 + 145 x 53 J/kg; 8 kW of which 15 to 40 per cent gets in.
    heat = 60.0 * (134 * 307 + 23000 + 145 * 53)
    assert found.minutes_least == pytest.approx(heat / 8000 / 0.40 / 60, abs=0.1)
    assert found.minutes_most == pytest.approx(heat / 8000 / 0.15 / 60, abs=0.1)
    propane = next(f for f in found.fuels if f.name == "propane")
    assert propane.least_kg == pytest.approx(heat / 46e6 / 0.40, abs=0.01)
    assert found.seconds_per_ingot == pytest.approx(sheet.ingot_kg / 3.447, abs=0.02)
    assert found.pot_litres == pytest.approx(60 / 10.66, abs=0.02)
    with pytest.raises(CannotFloat, match="all melted only at 327"):
        casting_sheet(FULL.model_copy(update={"pour_C": 300.0}))


def test_the_mould_must_let_go() -> None:
    """10 mm of taper to each side in 40 mm of depth is 14 degrees; a parallel mould grips."""
    assert casting_sheet(FULL).foundry.draft_deg == pytest.approx(math.degrees(math.atan(10 / 40)), abs=0.01)
    plumb = casting_sheet(Casting(mould=Mould(top_mm=(250, 70), bottom_mm=(250, 66), depth_mm=50)))
    assert plumb.foundry.draft_deg == 0.0
    assert "grips it" in plumb.foundry.mould_words[0]
    assert "falls out" in casting_sheet(FULL).foundry.mould_words[0]


def test_freezing_goes_with_the_square_of_volume_over_surface() -> None:
    small, large = (
        casting_sheet(
            Casting(mould=Mould(top_mm=(k * 200, k * 80), bottom_mm=(k * 190, k * 70), depth_mm=k * 40))
        ).foundry
        for k in (1.0, 1.5)
    )
    assert large.freeze_s_most / small.freeze_s_most == pytest.approx(1.5**2, rel=0.02)
    # 0.603 litres over 0.052 m2 is 11.6 mm; 1.2 s for each square millimetre of that squared.
    assert small.freeze_s_most == pytest.approx(1.2 * 11.6**2, rel=0.05)
    found = casting_sheet(FULL).foundry
    assert found.moulds == math.ceil(12 * 3 * found.freeze_s_most / 3600)
    assert found.hours == pytest.approx((casting_sheet(FULL).ingots or 0) / 12, abs=0.01)


def test_dents_beside_soft_lead_tell_the_antimony() -> None:
    """A dent of 2 mm beside one of 3 mm in soft lead of 4.5 HB: 4.5 x 9 / 4 = 10.1 HB, some 4 per cent."""
    found = casting_sheet(FULL).foundry
    assert found.brinell == pytest.approx(10.125, abs=0.01)
    assert found.antimony_by_hardness == pytest.approx(4.1, abs=0.1)
    with pytest.raises(ValueError, match="give both 'dent_mm' and 'dent_soft_mm'"):
        Casting(mould=MOULD, dent_mm=2.0)


# Lifting ------------------------------------------------------------------------------------------------------------

REACH = Lift(hands_out_mm=500, from_height_mm=700, to_height_mm=100, twist_deg=45)


def test_the_limit_is_that_of_the_worse_end() -> None:
    sheet = lifting_sheet(REACH, 12.0, BoatParticulars(name="x"))
    assert sheet.recommended_kg == pytest.approx(6.38, abs=0.01)
    assert sheet.index == pytest.approx(12.0 / 6.3831, abs=0.002)
    assert "two people" in sheet.words[0]
    light = lifting_sheet(REACH, 5.0, BoatParticulars(name="x"))
    assert "One person may lift" in light.words[0]
    too_far = lifting_sheet(REACH.model_copy(update={"hands_out_mm": 700.0}), 5.0, BoatParticulars(name="x"))
    assert too_far.index is None
    below = lifting_sheet(REACH.model_copy(update={"to_height_mm": -200.0}), 5.0, BoatParticulars(name="x"))
    assert "below the feet" in " ".join(below.words)


def test_over_planking_it_is_set_down_from_half_the_height_that_breaks_it() -> None:
    larch = BoatParticulars(name="x", planking=Planking(timber="larch", thickness_mm=18, frame_spacing_mm=200))
    sheet = lifting_sheet(REACH, 10.0, larch)
    assert sheet.drop_J is None
    assert sheet.plank_absorbs_J is not None
    assert sheet.through_mm == pytest.approx(1000 * sheet.plank_absorbs_J / (10 * 9.80665), abs=1.0)
    assert sheet.set_down_mm == pytest.approx(0.5 * sheet.through_mm, abs=0.1)
    assert "safe to set down from" in " ".join(sheet.words)
    # Nobody printed what European larch takes to break: what it takes elastically stands for it, which is less than
    # what western larch takes in print.
    western = larch.model_copy(
        update={"planking": Planking(timber="larch-western", thickness_mm=18, frame_spacing_mm=200)}
    )
    printed = lifting_sheet(REACH, 10.0, western).plank_absorbs_J
    assert printed is not None
    assert 0.2 * printed < sheet.plank_absorbs_J < printed
    assert lifting_sheet(REACH, 10.0, BoatParticulars(name="x")).set_down_mm is None


def test_multipliers_at_their_edges() -> None:
    assert [lifting.horizontal_multiplier(h) for h in (10, 25, 50, 63, 64)] == pytest.approx([1, 1, 0.5, 25 / 63, 0])
    assert [lifting.vertical_multiplier(v) for v in (-5, 0, 75, 175, 176)] == pytest.approx([0.775, 0.775, 1, 0.7, 0])
    assert [lifting.distance_multiplier(d) for d in (10, 25, 175, 176)] == pytest.approx([1, 1, 0.82 + 4.5 / 175, 0])
    assert [lifting.twist_multiplier(a) for a in (0, 135, 136)] == pytest.approx([1, 0.568, 0])
    assert [lifting.grip_multiplier(g, v) for g, v in (("good", 10), ("fair", 10), ("fair", 80), ("poor", 80))] == [
        1.0,
        0.95,
        1.0,
        0.9,
    ]
    often = {(0.1, 1): 1.0, (0.2, 8): 0.85, (0.3, 1): 0.97, (4, 2): 0.72, (12, 1): 0.37, (13, 1): 0.0}
    assert {(f, h): lifting.frequency_multiplier(f, h) for f, h in often} == often


def test_a_dropped_ingot_against_a_plank() -> None:
    boat_in_larch = BoatParticulars(
        name="x", planking=Planking(timber="larch-western", thickness_mm=19, frame_spacing_mm=190)
    )
    lift = REACH.model_copy(update={"drop_mm": 800.0})
    sheet = lifting_sheet(lift, 12.0, boat_in_larch)
    assert sheet.drop_J == pytest.approx(12 * 9.80665 * 0.8, abs=0.1)
    assert sheet.plank_absorbs_J is not None
    assert sheet.plank_absorbs_J < sheet.drop_J
    assert "may go through" in sheet.words[-1]
    wide = lifting_sheet(lift, 12.0, boat_in_larch, struck_mm=100.0)
    assert wide.plank_absorbs_J == pytest.approx(2 * sheet.plank_absorbs_J, abs=0.2)
    assert lifting_sheet(lift, 12.0, BoatParticulars(name="x")).plank_absorbs_J is None


def test_the_sheets_come_only_where_they_are_asked_for() -> None:
    with pytest.raises(CannotFloat, match=r"no \[float.casting\]"):
        casting_of(boat())
    with pytest.raises(CannotFloat, match=r"no \[float.lift\]"):
        lifting_of(boat())
    mould = "mould = { top_mm = [300, 100], bottom_mm = [280, 80], depth_mm = 40 }"
    lift = "lift = { hands_out_mm = 500, from_height_mm = 700, to_height_mm = 100 }"
    both = boat(f"casting = {{ {mould} }}\n{lift}\n")
    assert [s.ingot_kg for s in lifting_of(both)] == [casting_of(both).ingot_kg]
    with pytest.raises(CannotFloat, match="what is lifted"):
        lifting_of(boat(lift + "\n"))


def test_ballast_is_laid_against_a_list() -> None:
    lopsided = '[[weight]]\nid = "engine"\nmass_kg = 90\nat_m = [1.6, 0.25, -0.2]\n'
    report = placed("{ id = 'a', each_kg = 6.0, count = 32 }", weights=lopsided)
    best = report.proposals[0]
    assert best.list_deg is not None
    assert abs(best.list_deg) < 0.3
    sides = {p: sum(s.count for s in best.stow if s.place == p) for p in ("port", "starboard")}
    assert sides["starboard"] > sides["port"]


def test_a_trim_is_met_to_a_hair_with_the_depth_of_the_places_reckoned() -> None:
    deep = PLACES.replace("-0.70", "-1.60").replace("-0.60", "-1.60").replace("room_kg = 100.0", "room_count = 90")
    ingots = "{ id = 'a', each_kg = 2.0, count = 90 }, { id = 'b', each_kg = 1.3, count = 20 }"
    report = placed(ingots, deep, "trim_deg = -0.5")
    nearest = next(p for p in report.proposals if p.name == "nearest the marks")
    assert abs(nearest.trim_off_mm) < 0.3


def test_one_place_will_do_where_it_has_room_for_all() -> None:
    p = problem(
        along_tolerance=1e4,
        across_tolerance=1e4,
        height=np.array([-0.6, -0.5, -0.1]),
        reach=np.array([1.0, 1.0, 1.0]),
        room_count=np.array([3.0, 4.0, 9.0]),
        room_mass=np.full(3, np.inf),
    )
    found = {goal.name: counts for goal, counts in solve(p)}
    assert np.count_nonzero(found["lowest"].sum(axis=0)) == 2
    assert found["fewest places"].sum(axis=0).tolist() == [0, 0, 7]


@pytest.mark.parametrize("wanted", [110.0, 130.0])
def test_fewest_places_are_the_fewest(wanted: float) -> None:
    p = problem(along_wanted=wanted)
    ways = everything(p)
    least = min(excess(p, w) for w in ways)
    fewest = min(int(np.count_nonzero(w.sum(axis=0))) for w in ways if excess(p, w) <= least + 1e-6)
    used = [int(np.count_nonzero(counts.sum(axis=0))) for counts in dict(solve(p)).values()]
    assert min(used) == fewest


@pytest.mark.skipif(sys.platform == "win32", reason="the C library of the test is another")
def test_what_c_code_prints_while_placing_is_dropped(capfd: pytest.CaptureFixture[str]) -> None:
    # HiGHS itself prints in about one placing of a hundred
    with _without_c_output():
        ctypes.CDLL(None).puts(b"a line from C")
    os.write(1, b"kept\n")
    assert capfd.readouterr().out == "kept\n"


def test_loading_goes_low_first_in_pairs_and_never_all_on_one_floor() -> None:
    at = {
        "mast": (3.9, 0.0, -0.7),
        "port": (2.6, 0.35, -0.35),
        "starboard": (2.6, -0.35, -0.35),
        "aft": (1.0, 0.0, -0.5),
    }
    places = [StowagePlace(id=name, at_m=where) for name, where in at.items()]
    steps = loading_order(places, [5, 4, 4, 0])
    assert steps == ["mast 3", "port 2 and starboard 2, by turns", "mast 2", "port 2 and starboard 2, by turns"]
    assert loading_order(places, [0, 1, 0, 1]) == ["aft 1", "port 1"]
