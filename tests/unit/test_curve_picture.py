"""The righting curve as a picture: what is drawn is the report's own figures, and nothing where nothing is known."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import numpy as np
import pytest

from secure_load.afloat.models import FloatReport
from secure_load.afloat.report import float_report, loose_report
from secure_load.catalogue.lookup import factor
from secure_load.record.drawings.curve import BELOW, loose_curve_picture, righting_curve_picture
from secure_load.record.drawings.drawing_model import Mark, Picture, Stroke, Words
from secure_load.record.drawings.svg import to_svg
from tests.unit.test_afloat_report import PIGS, boat, drawn

REPORT = float_report(drawn())


def curve_of(picture: Picture, style: str) -> list[tuple[float, float]]:
    (found,) = [s for s in picture.shapes if isinstance(s, Stroke) and s.style == style]
    return list(found.points)


def levels(picture: Picture) -> list[tuple[float, float]]:
    """(height in the picture, figure beside it)."""
    return [(s.at[1], float(s.text)) for s in picture.shapes if isinstance(s, Words) and -0.1 < s.at[0] < 0.0]


@pytest.mark.parametrize("of", ["lever", "moment"])
def test_the_figures_beside_it_are_the_figures_of_the_report(of: str) -> None:
    picture = righting_curve_picture(REPORT, of)  # type: ignore[arg-type]
    assert picture is not None
    heights, figures = np.array(levels(picture)).T
    assert 0.0 in figures
    scale = 1.0 if of == "lever" else REPORT.after.displacement_kg * factor("g0")
    if "kN m" in picture.notes[0]:
        scale /= 1000.0
    assert REPORT.after.curve is not None
    points = np.array(curve_of(picture, "holds"))
    read = np.polyval(np.polyfit(heights, figures, 1), points[:, 1])
    assert read == pytest.approx(np.array(REPORT.after.curve.lever_m) * scale, abs=1e-6 * max(1.0, float(scale)))
    assert points[:, 0] * 180.0 == pytest.approx(np.array(REPORT.after.curve.heel_deg), abs=1e-9)


def test_before_and_after_are_told_apart_and_named() -> None:
    picture = righting_curve_picture(REPORT)
    assert picture is not None
    assert curve_of(picture, "tie") != curve_of(picture, "holds")
    assert {s.text for s in picture.shapes if isinstance(s, Words)} >= {"before", "after", "0", "90", "180"}
    assert [e.text.split(":")[0] for e in picture.legend] == ["before", "after"]
    left, bottom, right, top = picture.window
    for style in ("tie", "holds"):
        for x, y in curve_of(picture, style):
            assert left < x < right
            assert bottom < y < top


def test_the_vanishing_angle_is_where_the_curve_crosses_nil() -> None:
    picture = righting_curve_picture(REPORT)
    assert picture is not None
    (mark,) = [s for s in picture.shapes if isinstance(s, Mark)]
    assert REPORT.after.vanishing_angle_deg is not None
    assert mark.at[0] * 180.0 == pytest.approx(REPORT.after.vanishing_angle_deg)
    points = np.array(curve_of(picture, "holds"))
    assert float(np.interp(mark.at[0], points[:, 0], points[:, 1])) == pytest.approx(mark.at[1], abs=2e-3)


@pytest.mark.parametrize("tall", [0.3, 0.5, 1.2])
def test_it_is_as_tall_as_asked(tall: float) -> None:
    picture = righting_curve_picture(REPORT, tall=tall)
    assert picture is not None
    left, bottom, right, top = picture.window
    assert (top - bottom) / (right - left) == pytest.approx(tall)
    assert bottom == -BELOW


def test_nothing_is_made_up_without_her_shape() -> None:
    report = float_report(boat())
    assert righting_curve_picture(report) is None


def test_a_boat_with_nothing_listed_has_one_curve() -> None:
    picture = righting_curve_picture(float_report(drawn(weights="")))
    assert picture is not None
    assert [e.text.split(":")[0] for e in picture.legend] == ["as she is"]


def test_loose_and_stowed_are_drawn_to_the_same_side() -> None:
    """She lists to port as stowed; the pigs are worse gone to that side, and both curves are given to it."""
    given = drawn(weights=PIGS.replace("0.0, -0.45", "0.05, -0.10"))
    loose = loose_report(given, ["pigs"])
    picture = loose_curve_picture(float_report(given), loose, "lever")
    assert picture is not None
    assert curve_of(picture, "load")[-1][0] * 180.0 == pytest.approx(180.0)
    assert all("heeled to port" in each.text for each in picture.legend)
    assert loose.stowed_starboard is not None
    assert loose.stowed_starboard.righting_side == "starboard"
    assert loose.port.list_deg is not None
    assert loose.port.list_deg < -1


def test_the_svg_is_sound_and_escapes_her_name() -> None:
    report: FloatReport = REPORT.model_copy(update={"boat": "<Terns & Co>\x1b[31m"})
    picture = righting_curve_picture(report)
    assert picture is not None
    text = to_svg(picture, "righting-curve")
    root = ET.fromstring(text)
    said = " ".join(root.itertext())
    assert "<Terns & Co>" in said
    assert "\x1b" not in said
    assert len(root.findall(".//{http://www.w3.org/2000/svg}polyline")) >= 2


def test_where_the_water_comes_in_stands_on_the_curve() -> None:
    opening = "opening = [{ name = 'hatch', at_m = [3.0, -0.4, 0.75] }]\n"
    report = float_report(drawn("kg_m = 0.95\n" + opening))
    picture = righting_curve_picture(report)
    assert picture is not None
    under = report.after.flooding[0]
    assert under.heel_deg is not None
    marks = [s for s in picture.shapes if isinstance(s, Mark)]
    words = [s.text for s in picture.shapes if isinstance(s, Words)]
    assert under.side == report.after.righting_side
    assert f"water in, {under.heel_deg:.0f} deg" in words
    assert any(m.at[0] == pytest.approx(under.heel_deg / 180.0) for m in marks)
    other = righting_curve_picture(float_report(drawn("kg_m = 0.95\n" + opening.replace("-0.4", "0.4"))))
    assert other is not None
    # To the other side it goes under first: that is a note, and no place on this curve.
    assert not any("water in" in s.text for s in other.shapes if isinstance(s, Words))
    assert "hatch goes under" in " ".join(other.notes)
    dry = righting_curve_picture(float_report(drawn("kg_m = 0.95\n")))
    assert dry is not None
    assert not any("water in" in s.text for s in dry.shapes if isinstance(s, Words))
