"""What fastenings go into: asked where it was not said, red where they come through, amber in planking and soles."""

from __future__ import annotations

from typing import Any, ClassVar

import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import WeightVerdict

UP = {"id": "up", "heel_deg": 0.0, "load_factor": [0.0], "heave_g": [-1.0], "both_sides": False}
SCREWS: dict[str, Any] = {"gauge": 10, "count": 4, "penetration_mm": 36.0, "into": "oak-white", "metal": "A4-70"}
IN_FLOORS = SCREWS | {"member": "floor"}
PLANKING = {"timber": "larch", "thickness_mm": 20.0, "frame_spacing_mm": 200.0}


def check(screws: dict[str, Any] | None = IN_FLOORS, on: str | None = "floors", **more: Any) -> WeightVerdict:
    """The verdict on 12 kg under a batten, thrown up once: a load that its screws bear with ease."""
    batten: dict[str, Any] = {"type": "batten", "id": "lid", "timber": "oak-white", "span_mm": 260, "width_mm": 70}
    batten |= {"depth_mm": 25, "screws": screws} | more.pop("batten", {})
    bed = {"type": "bed", "id": "bed", "friction": 0.2, "timber": "oak-white"} | ({"on": on} if on else {})
    weight = {
        "id": "pig",
        "kind": "ballast",
        "mass_kg": 12.0,
        "at_m": [3.0, 0.0, -0.3],
        "size_m": [0.3, 0.16, 0.05],
        "measured": True,
    }
    boat = BoatFile.model_validate(
        {
            "boat": {"name": "Whimbrel"} | more,
            "scenario": [UP],
            "weight": [weight | {"restraint": [bed, batten]}],
        }
    )
    return check_weight(boat.weight[0], make_context(boat, ["up"]))


def said(found: WeightVerdict) -> str:
    return "\n".join(found.reasons)


def test_screws_into_floors_are_green() -> None:
    assert check().verdict == "green"


def test_what_screws_go_into_is_asked() -> None:
    found = check(SCREWS)
    assert found.verdict == "amber"
    assert "lid: say what it is screwed into (floor, keel, frame" in said(found)


@pytest.mark.parametrize(
    ("key", "asked"),
    [
        ("into", "the timber under its screws"),
        ("penetration_mm", "how deep its screws go"),
        ("gauge", "the gauge of its screws"),
        ("metal", "the metal of its screws"),
    ],
)
def test_what_is_not_said_of_screws_is_asked_even_where_they_do_not_govern(key: str, asked: str) -> None:
    found = check({k: v for k, v in IN_FLOORS.items() if k != key})
    assert found.verdict != "green"
    assert f"lid: say {asked}" in said(found)


def test_timber_under_screws_that_was_not_said_is_no_harder_than_pine() -> None:
    unsaid = {k: v for k, v in IN_FLOORS.items() if k != "into"}
    hard = check(unsaid, planking=PLANKING | {"timber": "oak-white"})
    assert hard.utilisation == check(IN_FLOORS | {"into": "pine-eastern-white"}).utilisation


def test_what_carries_a_bed_is_asked() -> None:
    found = check(on=None)
    assert found.verdict == "amber"
    assert "bed: say what carries it (floors, keel, frames, sole, bulkhead or planking)" in said(found)


class TestPlanking:
    def test_is_never_green(self) -> None:
        found = check(SCREWS | {"member": "planking", "penetration_mm": 14.0}, planking=PLANKING)
        assert found.verdict == "amber"
        assert "lid: it is fastened into planking" in said(found)

    @pytest.mark.parametrize(("deep", "verdict"), [(15.0, "amber"), (15.5, "red"), (36.0, "red")])
    def test_three_quarters_of_it_is_the_most(self, deep: float, verdict: str) -> None:
        found = check(SCREWS | {"member": "planking", "penetration_mm": deep}, planking=PLANKING)
        assert found.verdict == verdict
        assert ("comes out through the bottom" in said(found)) == (verdict == "red")

    def test_its_thickness_is_asked(self) -> None:
        assert "say how thick her planking is" in said(check(SCREWS | {"member": "planking"}))

    def test_is_what_screws_into_its_timber_are_taken_to_go_into(self) -> None:
        found = check(SCREWS | {"into": "larch"}, planking=PLANKING)
        assert found.verdict == "red"
        assert "if what holds it is a floor or frame of the same timber" in said(found)
        assert check(IN_FLOORS | {"into": "larch"}, planking=PLANKING).verdict == "green"

    def test_comes_through_however_strong_the_piece_is_said_to_be(self) -> None:
        batten = {"strength_N": 9000.0}
        assert check(SCREWS | {"member": "planking"}, planking=PLANKING, batten=batten).verdict == "red"


def test_screws_deeper_than_what_holds_them_are_red() -> None:
    found = check(IN_FLOORS | {"stock_mm": 30.0})
    assert found.verdict == "red"
    assert "36 mm of screw comes out of a floor of 30 mm" in said(found)
    assert check(IN_FLOORS | {"stock_mm": 40.0}).verdict == "green"


def test_thickness_is_asked_only_where_it_could_tell() -> None:
    found = check(SCREWS | {"member": "frame", "sided_mm": 45.0})
    assert found.verdict == "amber"
    assert "say how thick a frame is there, for 36 mm of screw" in said(found)


@pytest.mark.parametrize(("sided", "verdict"), [(None, "amber"), (20.0, "amber"), (26.0, "green")])
def test_screws_stand_clear_of_the_edge_of_what_holds_them(sided: float | None, verdict: str) -> None:
    """Screws of 4.83 mm that are drawn want 2.5 diameters to an edge: 12 mm (NDS Commentary); a frame may have less."""
    found = check(SCREWS | {"member": "frame", "stock_mm": 60.0, "sided_mm": sided})
    assert found.verdict == verdict


class TestSole:
    BOARDS: ClassVar[dict[str, Any]] = {"timber": "larch", "thickness_mm": 40.0}
    HELD = IN_FLOORS | {"member": "bearer"}

    def test_how_it_is_screwed_down_is_asked(self) -> None:
        for sole in (None, self.BOARDS):
            found = check(SCREWS | {"member": "sole", "stock_mm": 40.0}, on="sole", sole=sole)
            assert found.verdict == "amber"
            assert "lid: say how the boards of her sole are screwed down" in said(found)

    def test_its_own_screws_are_a_part_of_what_stands_on_it(self) -> None:
        sole = self.BOARDS | {"screws": self.HELD | {"count": 8}}
        found = check(SCREWS | {"member": "sole"}, on="sole", sole=sole)
        assert found.verdict == "green"
        assert any(p.part == "fastenings of the sole" for p in found.restraints[1].parts)
        weak = self.BOARDS | {"screws": self.HELD | {"count": 1, "gauge": 6, "penetration_mm": 2.0}}
        assert check(SCREWS | {"member": "sole"}, on="sole", sole=weak).verdict == "red"

    def test_what_its_screws_go_into_is_asked(self) -> None:
        found = check(SCREWS | {"member": "sole"}, on="sole", sole=self.BOARDS | {"screws": SCREWS})
        assert found.verdict == "amber"
        assert "the sole: say what it is screwed into" in said(found)

    def test_a_weight_on_it_is_not_taken_to_be_screwed_to_planking(self) -> None:
        assert check(SCREWS | {"into": "larch"}, on="sole", planking=PLANKING).verdict == "amber"


class TestLanding:
    ON_LANDING = SCREWS | {"member": "landing", "stock_mm": 40.0}

    def test_how_it_is_fastened_is_asked(self) -> None:
        found = check(self.ON_LANDING)
        assert found.verdict == "amber"
        assert "lid: say how the landings of its ends are fastened" in said(found)

    def test_its_own_fastenings_are_parts_of_the_batten(self) -> None:
        found = check(self.ON_LANDING, batten={"landing": IN_FLOORS})
        assert found.verdict == "green"
        parts = {p.part for p in found.restraints[1].parts}
        assert {"fastenings of the landing at the port end", "fastenings of the landing at the starboard end"} <= parts
        weak = check(self.ON_LANDING, batten={"landing": IN_FLOORS | {"count": 2, "gauge": 6, "penetration_mm": 2.0}})
        assert weak.verdict == "red"

    def test_what_they_go_into_is_asked(self) -> None:
        found = check(self.ON_LANDING, batten={"landing": SCREWS})
        assert "lid, its landings: say what it is screwed into" in said(found)


def test_one_sentence_asks_of_all_pieces_alike() -> None:
    found = check(SCREWS, batten={"landing": None})
    assert sum("say" in reason for reason in found.reasons) == 1
