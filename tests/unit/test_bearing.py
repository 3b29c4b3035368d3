"""What a bed bears, against a division done by hand. The box weighs 1000 N and lies on 0.4 x 0.3 m."""

from __future__ import annotations

from typing import Any

import pytest

from secure_load.check.results import Bearing
from secure_load.strength.working import working_stresses
from tests.reference.boxes import GREASED, REST, SIZE, UP, WEIGHT, batten, check

AREA = SIZE[0] * SIZE[1]
EVEN = WEIGHT / AREA / 1e3  # kPa


def bears(*restraint: dict[str, Any], **more: Any) -> Bearing:
    found = check(*restraint, **{"scenario": REST, **more}).bearing
    assert len(found) == 1
    return found[0]


def test_at_rest_it_bears_the_weight_evenly() -> None:
    found = bears(GREASED | {"timber": "oak-white", "on": "floors"})
    assert found.on == "floors"
    assert found.pressure_kPa == pytest.approx(EVEN, rel=1e-3)
    assert found.utilisation == pytest.approx(EVEN * 1e3 / working_stresses("oak-white", "dry").crushing, rel=1e-2)
    assert "White oak" in found.sentence
    assert "assumed" not in found.sentence


def test_a_smaller_bed_is_pressed_harder() -> None:
    assert bears(GREASED | {"size_m": [0.2, 0.15]}).pressure_kPa == pytest.approx(4 * EVEN, rel=1e-3)


def test_the_load_factor_counts() -> None:
    stopped = {**REST, "id": "stopped", "load_factor": [1.0, 3.0]}
    assert bears(GREASED, scenario=stopped).pressure_kPa == pytest.approx(3 * EVEN, rel=1e-3)


def test_what_is_thrown_up_bore_its_weight_before() -> None:
    assert bears(GREASED, batten("lid", 5000.0), scenario=UP).pressure_kPa == pytest.approx(EVEN, rel=1e-3)


def test_what_is_free_to_move_bears_its_weight_at_rest() -> None:
    heeled = {"id": "heeled", "heel_deg": 60.0}
    assert bears(GREASED, scenario=heeled).pressure_kPa == pytest.approx(EVEN, rel=1e-3)


def test_two_beds_share_the_weight_by_their_area() -> None:
    halves = [
        GREASED | {"id": "fore", "at_m": [2.1, 0.0, -0.05], "size_m": [0.2, 0.3]},
        GREASED | {"id": "aft", "at_m": [1.9, 0.0, -0.05], "size_m": [0.2, 0.3]},
    ]
    found = check(*halves, scenario={"id": "heeled", "heel_deg": 60.0}).bearing
    assert [b.pressure_kPa for b in found] == pytest.approx([EVEN, EVEN], rel=1e-3)


def test_an_uneven_load_presses_one_corner_harder() -> None:
    # a low chock on the lee side: heeled, the box leans on the bed's lee edge
    stop = {
        "type": "cleat",
        "face": "starboard",
        "length_mm": 400.0,
        "height_mm": 10.0,
        "strength_N": 1e5,
        "stiffness_N_per_mm": 1e5,
    }
    heeled = {"id": "heeled", "heel_deg": 30.0, "load_factor": [3.0], "both_sides": False}
    found = bears(GREASED, stop, scenario=heeled)
    even = 3 * EVEN * 3**0.5 / 2

    def lean(height: float) -> float:
        """kPa more on the lee half: 1500 N at half the height of the box, held by the chock at some height.

        A moment M on an evenly elastic bed of breadth b makes 12 M / (A b^2) x more at x from its middle: 3 M / (A b)
        more in the middle of the lee half.
        """
        return 3.0 * 1.5 * WEIGHT * (0.05 - height) / (AREA * 0.3) / 1e3

    assert even + lean(0.010) <= found.pressure_kPa * 1.001
    assert found.pressure_kPa <= (even + lean(0.0)) * 1.001
    assert f"{even:.0f} kPa over all of it" in found.sentence


def test_timber_that_was_not_said_is_assumed_and_marked() -> None:
    found = bears(GREASED | {"on": "floors"})
    assert "(assumed: what it bears on was not said to be of any timber)" in found.sentence
    assert found.utilisation == pytest.approx(
        EVEN * 1e3 / working_stresses("pine-eastern-white", "dry").crushing, rel=1e-2
    )
    assert bears(GREASED).on == "not said"


PLANKING = {"timber": "larch", "thickness_mm": 19.0, "frame_spacing_mm": 190.0}


def plank_stress(load: float, length: float, span: float, width: float, thickness: float) -> float:
    moment = load * (2 * span - length) / 8 if length < span else load * span**2 / (8 * length)
    return moment / (width * thickness**2 / 6)


@pytest.mark.parametrize(("length", "frames"), [(0.1, 190.0), (0.4, 190.0), (0.4, 500.0)])
def test_planking_is_bent_between_its_frames(length: float, frames: float) -> None:
    boat = {"planking": PLANKING | {"frame_spacing_mm": frames}}
    found = bears(GREASED | {"on": "planking", "size_m": [length, 0.3]}, boat=boat)
    stress = plank_stress(WEIGHT, length, frames / 1000, 0.3, 0.019)
    assert found.utilisation == pytest.approx(stress / working_stresses("larch", "dry").bending, rel=1e-2)
    assert "planking carries ballast" in found.sentence
    assert check(GREASED | {"on": "planking"}, scenario=REST, boat=boat).verdict != "green"


def test_planking_that_is_not_known_is_said_so() -> None:
    found = bears(GREASED | {"on": "planking"})
    assert "not known well enough" in found.sentence
    assert "planking carries ballast" in found.sentence


def test_a_bed_against_a_side_is_on_planking_too() -> None:
    side = {"type": "bed", "id": "side", "face": "starboard", "friction": 0.0, "on": "planking"}
    heeled = {"id": "heeled", "heel_deg": 90.0, "both_sides": False}
    found = check(GREASED, side, scenario=heeled, boat={"planking": PLANKING}).bearing
    assert found[1].pressure_kPa == pytest.approx(WEIGHT / (0.4 * 0.1) / 1e3, rel=1e-2)
    stress = plank_stress(WEIGHT, 0.4, 0.19, 0.1, 0.019)
    assert found[1].utilisation == pytest.approx(stress / working_stresses("larch", "dry").bending, rel=1e-2)
