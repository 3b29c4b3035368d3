"""One sum by hand for each way in which a restraint bears, down to its working load in newtons.

Every figure is written out from its print: AWC NDS-2018 (12.2 withdrawal and pull-through, 12.3 lateral, 3.10 bearing,
Tables 2.3.2, 11.3.3, 12.3.1B, L2 and L3), EN 1993-1-8 Table 3.4, EN 1995-1-1 8.1.4, CSS Code Annex 13, Wood Handbook
Tables 5-3b and 5-6, ASTM D2555 and D245. White oak: G 0.713 ovendry, 4.62 MPa green and 7.38 MPa dry across the grain.
Nothing is taken from the catalogue: a factor that is dropped or doubled there makes a sum fail.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import Screws
from secure_load.model.failure.failure_mode import FailureMode, by_bolts
from secure_load.strength.fastenings import Fastening, fastening
from secure_load.strength.gear import bare_line, line_gear, shackle_gear, tie_gear
from tests.reference.boxes import stowed_box

WOOD_SCREW = {"kind": "wood-screw", "gauge": 10, "count": 4, "into": "oak-white", "metal": "A4-70"}
COACH_SCREW = {
    "kind": "coach-screw",
    "diameter_mm": 8.0,
    "penetration_mm": 50.0,
    "count": 4,
    "into": "oak-white",
    "metal": "galvanised-steel",
}


def one(screws: dict[str, Any], bilge: Any, *side: Any, **more: Any) -> Fastening:
    return fastening(Screws.model_validate({"count": 1} | screws), bilge, *side, **more)


def newtons(expected: float) -> Any:
    """The sums are carried to four figures, the rows of gear to three."""
    return pytest.approx(expected, rel=2e-3)


def parts(restraint: dict[str, Any], bilge: str) -> dict[str, FailureMode]:
    return {part.name: part for part in stowed_box(restraint, bilge=bilge).failure_modes[0]}


def total(part: FailureMode, rows: int) -> float:
    """What an even force on all links may add up to, N."""
    return float(1.0 / part.working(np.full((1, rows), 1.0 / rows), np.zeros(1))[1][0])


# --- one screw, pulled


def test_a_wood_screw_drawn_from_wet_oak() -> None:
    # W = 2850 x 0.713^2 x 0.190 = 275.3 lbf/in = 48.21 N/mm (12.2-2)
    # thread: two thirds of 30 mm = 20.0 mm; ten minutes x 1.6; timber that wets and dries x 0.6
    # 48.21 x 20.01 x 1.6 x 0.6 = 926 N; its root in A4-70 bears 2753 N
    found = one(WOOD_SCREW | {"penetration_mm": 30.0}, "wet")
    assert (found.pull, found.pull_part) == (newtons(926.1), "screws")


def test_a_wood_screw_drawn_from_dry_oak() -> None:
    # 48.21 x 20.01 x 1.6 = 1543 N: no wet service
    assert one(WOOD_SCREW | {"penetration_mm": 30.0}, "dry").pull == newtons(1543.5)


def test_the_head_of_a_wood_screw_through_a_wet_cleat() -> None:
    # Douglas-fir, G 0.511, 25 mm; D_H = 0.363 in = 9.22 mm (Table L3); half the head is sunk: 25 - 4.61 = 20.39 mm
    # W_H = 690 pi x 0.363 x 0.511^2 x 0.8028 = 164.9 lbf = 733.7 N (12.2-6a, for 0.8028 < 2.5 x 0.363 in)
    # x 1.6 for ten minutes x 0.7 for wet service = 822 N; drawn it would take 1388 N
    found = one(WOOD_SCREW | {"penetration_mm": 30.0}, "wet", "douglas-fir-coast", 0.025)
    assert (found.pull, found.pull_part) == (newtons(821.7), "screw heads")
    # dry it is not x 0.7
    assert one(WOOD_SCREW | {"penetration_mm": 30.0}, "dry", "douglas-fir-coast", 0.025).pull == newtons(1173.9)


def test_the_metal_of_a_countersunk_screw() -> None:
    # root 0.152 in = 3.861 mm: 11.71 mm2; k2 = 0.63 countersunk (Table 3.4); silicon bronze 345 MPa
    # 0.63 x 345 x 11.71 / 1.25 (gamma M2) / 1.5 (load factor) = 1357 N; drawn from dry oak, 40 mm deep, 2058 N
    found = one(WOOD_SCREW | {"penetration_mm": 40.0, "metal": "silicon-bronze"}, "dry")
    assert (found.pull, found.pull_part) == (newtons(1357.1), "screw metal")


def test_a_screw_drawn_from_plywood_counts_half() -> None:
    # G 0.42, No 10: W = 2850 x 0.1764 x 0.190 = 95.52 lbf/in = 16.73 N/mm; thread 0.667 x 18 = 12.0 mm; dry
    # 16.73 x 12.01 x 1.6 = 321 N in solid timber; half of it counts in a panel; 18 mm is less than 6 diameters
    found = one(WOOD_SCREW | {"penetration_mm": 18.0, "into": "ply-okoume-marine"}, "dry")
    assert found.pull == newtons(160.7)
    assert any("plywood" in each for each in found.warnings)


def test_a_coach_screw_drawn_by_the_thread_it_has() -> None:
    # 3/8 in, 90 mm into wet white oak under a plate of its own thickness: at least 90 mm long
    # T = 90 / 2 + 12.7 = 57.7 mm of thread (Table L2 fn 2), less the tip of 0.65 x 9.525 = 6.19 mm: 51.51 mm
    # W = 1800 x 0.713^1.5 x 0.375^0.75 = 519.3 lbf/in = 90.95 N/mm; x 51.51 x 1.6 x 0.6 = 4497 N
    found = one(COACH_SCREW | {"diameter_mm": 9.525, "penetration_mm": 90.0, "metal": "A4-70"}, "wet")
    assert (found.pull, found.pull_part) == (newtons(4497.3), "screws")


def test_the_thread_of_a_metric_coach_screw_is_six_tenths() -> None:
    # 8 mm, 50 mm deep, nothing but a plate over it: 0.6 x 50 = 30 mm (DIN 571), less 0.65 x 8 = 5.2 mm: 24.8 mm
    # W = 79.79 N/mm; x 24.8 x 1.6 x 0.6 = 1900 N in wet oak
    assert one(COACH_SCREW, "wet").pull == newtons(1899.6)


def test_the_head_of_a_coach_screw_bears_across_the_grain() -> None:
    # 13 mm across the flats over 8 mm: pi/4 (13^2 - 8^2) = 82.47 mm2; C_b = (0.512 + 0.375) / 0.512 = 1.733 (3.10.4)
    # white oak green 4.62 / 1.67 = 2.766 MPa: 2.766 x 1.733 x 82.47 = 395.3 N; no duration factor on bearing
    found = one(COACH_SCREW, "wet", "oak-white", 0.040)
    assert (found.pull, found.pull_part) == (newtons(395.3), "coach screw heads")


def test_a_washer_bears_alike_under_a_bolt_and_under_a_coach_screw() -> None:
    # 24 mm over 8 mm: 402.1 mm2; C_b = (0.945 + 0.375) / 0.945 = 1.397; 2.766 x 1.397 x 402.1 = 1554 N
    coach = one(COACH_SCREW | {"washer_mm": 24.0}, "wet", "oak-white", 0.040)
    bolt = one(COACH_SCREW | {"kind": "bolt", "washer_mm": 24.0}, "wet", "oak-white", 0.040)
    assert (coach.pull, coach.pull_part) == (newtons(1554.0), "washers")
    assert (bolt.pull, bolt.pull_part) == (newtons(1554.0), "washers")


def test_the_metal_of_a_bolt() -> None:
    # M10 A4-70: 0.9 x 700 x 58.0 / 1.25 / 1.5 = 19,488 N under a washer as large as a plate
    bolt = {"kind": "bolt", "diameter_mm": 10.0, "penetration_mm": 60.0, "into": "oak-white", "metal": "A4-70"}
    found = one(bolt | {"washer_mm": 150.0}, "dry")
    assert (found.pull, found.pull_part) == (newtons(19488.0), "bolt metal")


# --- one fastening, sheared


def test_a_coach_screw_sheared_between_oak_and_oak() -> None:
    # F_e = 6100 x 0.713^1.45 / sqrt(0.315) = 6656 psi = 45.89 MPa in both; root 5.6 mm = 0.2205 in, F_yb 320 MPa
    # R_d = (10 x 0.2205 + 0.5) x 1.25 = 3.381; l_s = 40 mm, l_m = 50 - 5.2 = 44.8 mm
    # Im 3405, Is 3040, II 1338, IIIm 1196, IIIs 1081, IV 649 N: mode IV; x 1.6 = 1038 N dry, x 0.7 = 727 N wet
    assert one(COACH_SCREW, "dry", "oak-white", 0.040).shear == newtons(1038.2)
    assert one(COACH_SCREW, "wet", "oak-white", 0.040).shear == newtons(726.8)


def test_a_thin_bolt_of_brass_is_cut_off_before_dry_oak_gives() -> None:
    # M6 brass, 0.5 f_u A_s: 0.5 x 340 x 20.1 / 1.25 / 1.5 = 1822 N, EN 1993-1-8 Table 3.4
    bolt = {"kind": "bolt", "diameter_mm": 6.0, "penetration_mm": 100.0, "into": "oak-white", "metal": "brass"}
    assert one(bolt, "dry").shear == newtons(1822.4)


def test_a_coach_screw_sheared_in_end_grain() -> None:
    # NDS 12.5.2.2: C_eg = 0.67; 1038.2 x 0.67 = 695.6 N
    assert one(COACH_SCREW | {"end_grain": True}, "dry", "oak-white", 0.040).shear == newtons(695.6)


def test_a_bolt_pulled_and_sheared_at_once() -> None:
    # EN 1993-1-8 Table 3.4: V / F_v + T / (1.4 F_t); 600 of 1000 N sheared and 700 of 1000 N pulled: 0.6 + 0.5 = 1.1
    demand, use = by_bolts(1000.0, 1000.0)(np.array([[-700.0, 600.0, 0.0]]), np.zeros(1))
    assert (demand[0], use[0]) == (pytest.approx(math.hypot(700.0, 600.0)), pytest.approx(1.1))


def test_a_bolt_through_a_weight_bears_on_lead() -> None:
    # M10 A4-70, F_yb (700 + 450) / 2 = 575 MPa, 60 mm of wet white oak (41.04 MPa) and 100 mm of lead (13 MPa)
    # Im 4925, Is 2600, II 1575, IIIm 1848, IIIs 1522, IV 1538 N: IIIs; x 1.6 x 0.7 = 1705 N
    # a steel plate as thick as the bolt would bear 3141 N
    bolt = {"kind": "bolt", "diameter_mm": 10.0, "penetration_mm": 60.0, "into": "oak-white", "metal": "A4-70"}
    assert one(bolt, "wet", weight_thickness=0.100).shear == newtons(1704.7)
    assert one(bolt, "wet").shear == newtons(3141.0)


# --- whole restraints


def test_the_lever_of_a_cleat() -> None:
    # 40 mm high, 80 mm deep, four coach screws through it, dry: Z' = 1038 N; a head bears 395.3 x 7.38 / 4.62 = 631.5 N
    # an even thrust P comes 20 mm up and pries on half the depth, 40 mm: each screw has s = P / 4 and p = P / 8
    # 12.4.1: (s^2 / Z' + p^2 / W') / sqrt(s^2 + p^2) = 1 for P = 3291 N
    cleat = {"type": "cleat", "face": "port", "timber": "oak-white", "length_mm": 400.0, "height_mm": 40.0}
    stowed = stowed_box(cleat | {"depth_mm": 80.0, "screws": COACH_SCREW}, bilge="dry")
    screws = next(part for part in stowed.failure_modes[0] if part.name == "screws")
    # an even thrust comes to the links as they share the stiffness
    stiffness = np.array([link.stiffness for link in stowed.restraints[0].springs])
    use = screws.working((stiffness / stiffness.sum())[None, :], np.zeros(1))[1][0]
    assert 1.0 / use == newtons(3290.6)


def test_a_cleat_splits_along_its_screws() -> None:
    # F_90,R = 14 x 40 x sqrt(30 / (1 - 30 / 60)) = 4338 N (8.4), h_e = 30 mm of a 60 mm cleat 40 mm high
    # x k_mod 0.7 wet / 1.3 (gamma M) / 1.5 (load factor) = 1557 N, on both sides of four screws: 12,457 N
    cleat = {"type": "cleat", "face": "port", "timber": "oak-white", "length_mm": 400.0, "height_mm": 40.0}
    split = parts(cleat | {"depth_mm": 60.0, "screws": COACH_SCREW}, "wet")["timber split along the screws"]
    assert total(split, 4) == newtons(12457.1)


def test_a_batten_bends() -> None:
    # white oak green 57.2 MPa: x (1 - 1.645 x 0.16) = 42.14 (5 % exclusion); / 2.3 (hardwood) x 1.6 = 29.32 MPa
    # 60 x 25 mm: 6250 mm3; span 400 mm, the box 300 mm wide: M = W (800 - 300) / 8 = 62.5 W
    # W = 29.32 x 6250 / 62.5 = 2932 N
    batten = {"type": "batten", "face": "top", "timber": "oak-white", "span_mm": 400.0, "width_mm": 60.0}
    bent = parts(batten | {"depth_mm": 25.0, "screws": COACH_SCREW}, "wet")["timber bent across the weight"]
    rows = stowed_box(batten | {"depth_mm": 25.0, "screws": COACH_SCREW}, bilge="wet").restraints[0].along
    spread = np.ones(len(rows)) / len(rows)
    # spread over its breadth, which the links stand for: not less than the even load, which is asked first
    assert bent.working(spread[None, :], np.zeros(1))[1][0] >= 1.0 / 2932.0 * 0.999
    assert "29.3 MPa in bending over a span of 400 mm = 2932 N" in bent.why[0]


def test_an_eye_by_its_weaker_way() -> None:
    # two No 12 of silicon bronze, 38 mm into wet white oak. Drawn: W = 2850 x 0.713^2 x 0.216 = 54.81 N/mm,
    # x 25.35 mm x 1.6 x 0.6 = 1334 N. Sheared: F_e = 61.42 MPa, plate 5.486 mm of 345 MPa, l_m = 38 - 5.49 = 32.51 mm,
    # root 4.343 mm, F_yb 242 MPa, R_d = 10 x 0.171 + 0.5 = 2.21: mode IV 782.9 N x 1.6 x 0.7 = 876.8 N
    # sheared is the weaker: two bear 1754 N
    screws = {"kind": "wood-screw", "gauge": 12, "count": 2, "penetration_mm": 38.0}
    eye = {"kind": "eye", "screws": screws | {"into": "oak-white", "metal": "silicon-bronze"}}
    line = {"type": "lashing", "from_m": [2.0, 0.15, 0.05], "to_m": [2.0, 0.15, -0.35]}
    line |= {"line": "polyester-3-strand-8", "termination": "bowline", "anchors": eye}
    assert total(parts(line, "wet")["screws of the eye"], 1) == newtons(1753.7)


def test_a_line_at_its_bowline() -> None:
    # 8 mm three-strand polyester breaks at 9120 N; a third of it (Annex 13, table 1: 33 %), over 1.5 = 2006 N
    # the bowline leaves 60 %: 1204 N
    assert bare_line("polyester-3-strand-8").working == newtons(2006.4)
    assert line_gear("polyester-3-strand-8", "bowline").working == newtons(1203.8)


def test_a_strap_with_a_cam_buckle() -> None:
    # LC 250 daN: breaks at 5 kN as made up (2 x LC, EN 12195-2); half of it over 1.5 = 1667 N
    assert line_gear("webbing-25", None).working == newtons(1666.7)
    assert line_gear("polyester-webbing-25-lc500", None).working == newtons(3333.3)


def test_a_shackle_and_a_turnbuckle() -> None:
    # WLL 2 short tons, 5 to 1: 20,000 lbf = 88.96 kN (RR-C-271D, 1/2 in); half of it over 1.5 = 29.65 kN
    assert shackle_gear("shackle-13.5").working == newtons(29653.0)
    # 1/2 in stainless: 12,500 lbf = 55.60 kN
    assert shackle_gear("shackle-stainless-13").working == newtons(18534.0)
    # 3/8 in turnbuckle: 1040 x 5 lbf = 23.13 kN
    assert shackle_gear("turnbuckle-10").working == newtons(7710.0)


def test_a_cable_tie() -> None:
    # class 175 lbf = 778.4 N round a loop, half in each leg, a quarter of it counted: 97.3 N
    assert tie_gear("heavy-175").working == newtons(97.3)


def test_crushing_under_a_bed() -> None:
    # 400 x 300 mm of green white oak at 4.62 / 1.67 = 2.766 MPa: 332.0 kN
    bed = {"type": "bed", "face": "bottom", "on": "floors", "timber": "oak-white"}
    crushed = parts(bed, "wet")["timber crushed under the weight"]
    assert total(crushed, len(stowed_box(bed, bilge="wet").restraints[0].springs)) == newtons(331976.0)


# --- outside what the codes print


def test_a_timber_denser_than_the_tables_counts_as_their_densest() -> None:
    # greenheart has G 1.015; NDS 2018 prints to 0.73: W = 2850 x 0.73^2 x 0.190 = 288.6 lbf/in = 50.54 N/mm
    # thread 20.01 mm x 1.6 = 1618 N dry
    found = one(WOOD_SCREW | {"penetration_mm": 30.0, "into": "greenheart"}, "dry")
    assert found.pull == newtons(1618.0)
    assert any("0.31 to 0.73" in each and "counted as 0.73" in each for each in found.why)
    assert not any("0.31 to 0.73" in each for each in one(WOOD_SCREW | {"penetration_mm": 30.0}, "dry").why)


@pytest.mark.parametrize(
    ("screws", "thinnest"),
    [
        (COACH_SCREW | {"diameter_mm": 6.0}, "6.3 mm"),
        (
            {"kind": "wood-screw", "diameter_mm": 3.0, "penetration_mm": 30.0, "into": "oak-white", "metal": "A4-70"},
            "3.5",
        ),
    ],
)
def test_a_screw_thinner_than_the_tables_is_told(screws: dict[str, Any], thinnest: str) -> None:
    assert any("thinner than the " + thinnest in each for each in one(screws, "wet").why)


def test_the_tip_of_a_coach_screw_is_no_part_of_the_least_depth() -> None:
    # 12.1.4.6: 4 D without the tip: 4 x 8 + 5.2 = 37.2 mm. At 36 mm the share is (36 - 5.2) / 32 = 0.9625
    full, short = (one(COACH_SCREW | {"penetration_mm": p}, "dry", "oak-white", 0.040) for p in (37.2, 36.0))
    assert full.warnings == []
    assert "none under 37 mm" in short.warnings[0]
    # mode IV does not hang on the depth
    assert short.shear / full.shear == pytest.approx(0.9625, rel=1e-6)


def test_coach_screw_heads_are_those_of_din_571() -> None:
    # bearing of a head alone, over an unthreaded hole: 10, 13, 17 and 19 mm across the flats
    for d, across in ((6.0, 10.0), (8.0, 13.0), (10.0, 17.0), (12.0, 19.0)):
        area = math.pi / 4 * (across**2 - d**2)
        bears = 4.62 / 1.67 * (across / 25.4 + 0.375) / (across / 25.4) * area
        screw = COACH_SCREW | {"diameter_mm": d, "penetration_mm": 80.0, "metal": "A4-70"}
        assert one(screw, "wet", "oak-white", 0.060).pull == newtons(bears), d
