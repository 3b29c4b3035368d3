"""On her marks or not: water over the painted line, freeboards, the weight that brings her there, a tape read."""

from __future__ import annotations

import math

import pytest

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.marks import sheer_height
from secure_load.afloat.models import OnMarks
from secure_load.afloat.report import float_report
from secure_load.boat.models import BoatFile
from secure_load.record.text.afloat_rows import change_rows
from secure_load.record.text.afloat_words import answer_sheets
from tests.reference.hulls import cutter
from tests.unit.test_afloat_report import BOX, boat, drawn

OWN = "displacement_kg = 5000\n"  # the box draws 0.5 m at 6150 kg


def marks_of(made: BoatFile) -> OnMarks:
    found = float_report(made).after.on_marks
    assert found is not None
    return found


def lead(mass: float, x: float, y: float) -> str:
    return f'[[weight]]\nid = "lead"\nmass_kg = {mass}\nat_m = [{x}, {y}, -0.3]\n'


def test_a_box_light_of_her_marks_shows_her_line_evenly() -> None:
    """1150 kg too light on 12 m2 of waterplane: 1150 / (1025 x 12) m, 93 mm, all round; her deck is 1 m over it."""
    found = marks_of(boat("kg_m = 0.6\n" + BOX, "", OWN))
    light = 1000 * 1150 / 1025 / 12
    for value in (found.stem_mm, found.stern_mm, found.port_mm, found.starboard_mm):
        assert value == pytest.approx(-light, abs=0.1)
    assert found.freeboard_port_m == pytest.approx(1.0 + light / 1000, abs=1e-3)
    assert found.lacking_kg == pytest.approx(1150)
    assert (found.lacking_x_m, found.lacking_y_m) == pytest.approx((3.0, 0.0), abs=1e-3)
    assert "1150 kg brought aboard, 3.00 m forward" in found.words


@pytest.mark.parametrize("made", [BOX, ""], ids=["sections", "particulars"])
def test_the_weight_it_names_brings_her_to_her_marks(made: str) -> None:
    known = "kg_m = 0.6\n" + made if made else "kg_m = 0.6\nwaterplane_coefficient = 1.0\ndraught_m = 0.5\n"
    # Without sections the dimensions are those of her own displacement, and her marks those she has without weights.
    own = OWN if made else "lwl_m = 6.0\nbwl_m = 2.0\ndisplacement_kg = 6150\n"
    first = lead(120.0, 1.5, 0.2)
    found = marks_of(boat(known, first, own))
    assert found.stern_mm > found.stem_mm
    assert found.port_mm > found.starboard_mm
    sign = math.copysign(1.0, found.lacking_kg)
    assert found.lacking_x_m is not None
    assert found.lacking_y_m is not None
    if sign < 0:  # what it would take out is just what was brought in
        assert (-found.lacking_kg, found.lacking_x_m, found.lacking_y_m) == pytest.approx((120.0, 1.5, 0.2), abs=2e-3)
        assert "taken out" in found.words
        return
    second = lead(found.lacking_kg, found.lacking_x_m, found.lacking_y_m).replace('"lead"', '"more"')
    after = marks_of(boat(known, first + second, own))
    for value in (after.stem_mm, after.stern_mm, after.port_mm, after.starboard_mm):
        assert value == pytest.approx(0.0, abs=0.3)
    assert "She has the weight of her marks" in after.words


def test_the_deck_edge_is_the_corner_and_not_the_cabin() -> None:
    hull = cutter()
    # Sheer 0.62 m amidships (x = 2.9), 0.84 m at the stem.
    assert sheer_height(hull, 2.9) == pytest.approx(0.62, abs=0.01)
    assert sheer_height(hull, 6.8) == pytest.approx(0.84, abs=0.01)
    assert math.isnan(sheer_height(hull, 9.0))
    cabin = BOX.replace("[1.0, 1.0], [0, 1.0]", "[1.0, 1.0], [0.6, 1.05], [0.6, 1.6], [0, 1.6]")
    found = marks_of(boat("kg_m = 0.6\n" + cabin, "", OWN))
    assert found.freeboard_port_m == pytest.approx(1.0935, abs=1e-3)


def test_four_freeboards_alone_give_sinkage_trim_and_list() -> None:
    """60 mm deeper at the stem, 20 mm at the stern: 40 deeper, 40 by the bow. 25 mm of list over 2 m."""
    read = "stem_m = 0.94, stern_m = 0.78, port_m = 0.635, starboard_m = 0.685"
    freeboards = f"freeboards = {{ {read}, marked_m = [1.0, 0.8, 0.7, 0.7], weights_aboard = false }}\n"
    own = "lwl_m = 6.0\nbwl_m = 2.0\ndisplacement_kg = 2000\n"
    report = float_report(boat("gm_m = 0.6\nwaterplane_coefficient = 0.7\n" + freeboards, "", own))
    (said,) = [m.says for m in report.measured if m.what == "freeboards"]
    per_mm = 1025 * 0.7 * 12 / 1000
    assert said == (
        f"40 mm deeper than her marks ({40 * per_mm:.0f} kg), trim 40 mm by the bow, list 1.4 degrees to port"
    )
    assert report.after.list_deg == pytest.approx(-math.degrees(math.atan(0.05 / 2.0)), abs=1e-3)
    assert report.after.draught_fore_m - report.after.draught_aft_m == pytest.approx(0.04, abs=1e-3)


def test_with_sections_the_deck_edge_is_known() -> None:
    """Freeboards of a box listing by asin(0.1): read back, they bring the same list and trim."""
    freeboards = "freeboards = { stem_m = 1.0, stern_m = 1.0, port_m = 0.9, starboard_m = 1.1 }\n"
    own = "displacement_kg = 6150\n"
    after = float_report(boat("kg_m = 0.3\n" + freeboards + BOX, "", own)).after
    # The rule takes G as GM tan(list) off; the box's own lever at 5.7 degrees is some 3 per cent greater.
    assert after.list_deg == pytest.approx(-math.degrees(math.atan(0.1)), rel=0.03)
    assert after.trim_deg == pytest.approx(0.0, abs=0.01)
    with pytest.raises(CannotFloat, match="marked_m"):
        float_report(boat("gm_m = 0.6\n" + freeboards))


def test_marks_and_freeboards_stand_in_the_table_and_in_words() -> None:
    report = float_report(drawn())
    labels = [r.label for r in change_rows(report)]
    for place in ("stem", "stern", "port", "starboard"):
        assert f"over marks, {place}, mm" in labels
        assert f"freeboard, {place}, m" in labels
    sheet = next(s for s in answer_sheets(report) if s.heading == "Is she on her marks?")
    assert report.after.on_marks is not None
    assert report.after.on_marks.words in sheet.lines
    without = [r.label for r in change_rows(float_report(boat("gm_m = 0.7\n")))]
    assert "over marks, stem, mm" in without
    assert "freeboard, stem, m" not in without
