"""Figures that make sense, the names of a curve's figures, what the rig is asked for, weight in the ends."""

from __future__ import annotations

import math

import numpy as np
import pytest

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.models import Condition
from secure_load.afloat.report import float_report
from secure_load.afloat.sense import TOO_LITTLE
from secure_load.record.text.afloat_rows import change_rows, stable_range
from tests.unit.test_afloat_report import BOX, PIGS, boat, drawn, said

OWN = "lwl_m = 6.0\nbwl_m = 2.0\ndisplacement_kg = 1800\n"


@pytest.mark.parametrize(
    ("known", "share"), [("", 0.15), ("ballast_keel = true\n", 0.05), ("ballast_keel = false\n", 0.15)]
)
def test_nothing_said_of_a_keel_takes_the_higher_centre(known: str, share: float) -> None:
    report = float_report(boat(known, "", OWN))
    draught = float(next(a for a in report.assumptions if "draught_m is not given" in a).split(": ")[1].split(" ")[0])
    assert report.before.kg_m - draught == pytest.approx(share * 2.0, abs=0.006)


@pytest.mark.parametrize("rig", ["catamaran ketch", "sloop, two hulls", "Trimaran"])
def test_more_than_one_hull_is_refused_by_particulars(rig: str) -> None:
    with pytest.raises(CannotFloat, match="more than one hull") as caught:
        float_report(boat("", "", OWN + f'rig = "{rig}"\n'))
    assert caught.value.key == "boat.rig"
    with pytest.raises(CannotFloat, match="broader than"):
        float_report(boat("", "", "lwl_m = 9.0\nbwl_m = 5.0\ndisplacement_kg = 3800\n"))
    # Drawn, she is what her sections say.
    assert float_report(drawn(own=f'displacement_kg = 1850\nrig = "{rig}"\n')).basis == "offsets"


@pytest.mark.parametrize(("gm", "asked"), [(0.05, True), (0.5, False), (1.6, True)])
def test_a_figure_out_of_the_usual_band_is_asked_about(gm: float, asked: bool) -> None:
    report = float_report(boat(f"gm_m = {gm}\n", "", OWN))
    assert ("Is that right? Her GM is" in said(report)) == asked


def test_an_answer_that_hangs_on_her_flare_is_not_given() -> None:
    """60 kg at 0.3 m over the water: wall-sided she is more tender by 60 (0.3 + ...) kg m, and 30 degrees of flare on
    a shallow hull give back more than that. 60 kg on the floor make her stiffer whatever her flare."""
    own = "lwl_m = 4.5\nbwl_m = 1.5\ndisplacement_kg = 350\n"
    over, under = (
        float_report(boat("gm_m = 0.5\n", f'[[weight]]\nid = "w"\nmass_kg = 60\nat_m = [2.2, 0.0, {z}]\n', own))
        for z in (0.3, -0.1)
    )
    assert over.change.stiffness_percent is not None
    assert over.change.stiffness_percent < 0
    assert over.change.words == TOO_LITTLE
    assert "stiffer" in under.change.words
    assert under.change.words != TOO_LITTLE


def test_the_rig_works_as_much_harder_as_she_is_stiffer_at_thirty_degrees() -> None:
    report = float_report(drawn())
    early, late = (next(r.moment_Nm for r in c.righting if r.heel_deg == 30.0) for c in (report.before, report.after))
    assert early is not None
    assert late is not None
    more = 100 * (late / early - 1)
    assert more > 5
    assert report.change.moment_30_percent == pytest.approx(more, abs=0.01)
    assert f"shrouds and chainplates work {more:.0f} % harder" in report.change.words


def test_weight_in_the_ends_widens_the_pitch_gyradius() -> None:
    """Two of 150 kg 2.5 m from her middle, against both amidships: by the rule of parallel axes."""
    ends, middle = (
        "".join(
            f'[[weight]]\nid = "w{n}"\nmass_kg = 150\nat_m = [{3.0 + d}, 0.0, 0.0]\n' for n, d in enumerate((-off, off))
        )
        for off in (2.5, 0.0)
    )
    found: list[Condition] = [
        float_report(boat("kg_m = 0.5\n" + BOX, weights, "displacement_kg = 4000\n")).after
        for weights in (ends, middle)
    ]
    assert found[0].pitch_gyradius_m is not None
    assert found[1].pitch_gyradius_m is not None
    assert 4300 * (found[0].pitch_gyradius_m ** 2 - found[1].pitch_gyradius_m ** 2) == pytest.approx(
        300 * 2.5**2, rel=1e-3
    )
    own = float_report(boat("kg_m = 0.5\n" + BOX, "", "displacement_kg = 4000\n")).after
    assert own.pitch_gyradius_m == pytest.approx(0.25 * 6.0, abs=1e-3)


def test_the_figures_of_the_curve_are_named() -> None:
    after = float_report(drawn("kg_m = 0.95\nopening = [{ name = 'hatch', at_m = [3.0, -0.4, 0.75] }]\n")).after
    assert after.curve is not None
    assert after.vanishing_angle_deg is not None
    lever = np.array(after.curve.lever_m)
    assert after.greatest_lever_m == pytest.approx(float(np.max(lever)), abs=1e-5)
    assert after.greatest_lever_deg == after.curve.heel_deg[int(np.argmax(lever))]
    positive, negative = (float(np.sum(np.clip(sign * lever, 0, None))) * math.radians(1) for sign in (1, -1))
    assert after.area_ratio == pytest.approx(positive / negative, rel=5e-3)
    assert after.downflooding_deg == after.flooding[0].heel_deg
    labels = {r.label for r in change_rows(float_report(drawn()))}
    assert {"vanishing angle, AVS, deg", "stable over, from list, deg", "greatest lever GZ, m"} <= labels
    listing = float_report(drawn(weights=PIGS.replace("3.3, 0.0", "3.3, 0.2"))).after
    assert listing.list_deg is not None
    assert listing.vanishing_angle_deg is not None
    assert stable_range(listing) == pytest.approx(listing.vanishing_angle_deg - abs(listing.list_deg))


SCREENING = "screening = { hull_length_m = 7.4, hull_breadth_m = 2.3, sail_centre_m = 3.6, lateral_depth_m = 0.4 }\n"


def test_the_screening_index_is_made_of_her_own_curve() -> None:
    hatch = "opening = [{ name = 'hatch', at_m = [3.0, -0.6, 0.65] }]\n"
    report = float_report(drawn("kg_m = 0.95\nsail_area_m2 = 24.0\n" + hatch + SCREENING))
    found, curve = report.after.screening, report.after.curve
    assert found is not None
    assert curve is not None
    assert found.index is not None
    downflooding = report.after.downflooding_deg
    assert downflooding is not None
    assert found.factors["FDF"] == pytest.approx(downflooding / 90.0, abs=1e-4)
    area = float(np.sum(np.array(curve.lever_m)[: round(downflooding)]))  # a degree each
    assert found.factors["FDS"] == pytest.approx(area / (15.81 * math.sqrt(7.4)), rel=0.02)
    assert "no certificate" in found.words
    # Ballast low in her lifts the vanishing angle; sinking her brings the hatch nearer the water.
    before = report.before.screening
    assert before is not None
    assert before.factors["FIR"] < found.factors["FIR"]
    assert before.factors["FDF"] > found.factors["FDF"]
    assert any(r.label == "screening index" for r in change_rows(report))


def test_what_the_screening_index_lacks_is_named() -> None:
    found = float_report(boat("gm_m = 0.6\n" + SCREENING)).after.screening
    assert found is not None
    assert found.index is None
    for key in ("vanishing_deg", "downflooding_deg", "lever_90_m", "area_m_deg", "sail_area_m2"):
        assert key in found.words
    assert float_report(drawn()).after.screening is None
