"""Her structure said once: which screws meet a floor, what they find there, and what holds the floors down."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.boat.file import BoatFileError, parse_boat
from secure_load.boat.models import BoatFile, Lie
from secure_load.boat.render import render_boat
from secure_load.check.check import check_boat
from secure_load.check.results import WeightVerdict
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_model
from secure_load.record.drawings.drawing_model import Area
from secure_load.record.drawings.plan import plan_picture
from secure_load.record.drawings.section import section_picture

FLOORS = {"timber": "oak-white", "sided_mm": 80, "moulded_mm": 90, "first_at_m": 1.0, "spacing_mm": 250}
SCREWS = {
    "kind": "coach-screw",
    "diameter_mm": 8,
    "count": 4,
    "penetration_mm": 60,
    "member": "floor",
    "metal": "silicon-bronze",
    "washer_mm": 25,
}


def boat(structure: dict[str, Any] | None, mass: float = 40.0) -> BoatFile:
    x = 2.0
    cleat = {"type": "cleat", "timber": "oak-white", "height_mm": 45, "depth_mm": 60, "screws": SCREWS}
    batten = {"type": "batten", "timber": "oak-white", "span_mm": 260, "width_mm": 80, "depth_mm": 45, "screws": SCREWS}
    held: list[dict[str, Any]] = [
        {"type": "bed", "on": "floors", "timber": "oak-white", "friction": 0.2},
        *[cleat | {"face": side, "length_mm": 1000} for side in ("port", "starboard")],
        *[batten | {"id": f"batten-{n}", "at_m": [x + at, 0.0, -0.25]} for n, at in enumerate((-0.25, 0.25))],
    ]
    pig = {"id": "pig", "kind": "ballast", "mass_kg": mass, "at_m": [x, 0.0, -0.3], "size_m": [1.0, 0.2, 0.1]}
    data: dict[str, Any] = {"schema": 2, "boat": {"name": "Dunlin", "lwl_m": 6.0}}
    data["weight"] = [pig | {"measured": True, "restraint": held}]
    return BoatFile.model_validate(data | ({"structure": structure} if structure else {}))


def model(found: BoatFile) -> GroupModel:
    return build_model(found.weight, found)


def doubts(found: BoatFile) -> str:
    notes = model(found).members[0].notes
    return "; ".join([*notes.doubts, *notes.faults])


def test_stations_by_spacing_or_one_by_one() -> None:
    """From 1.0 m every 250 mm to the fore end of the waterline at 6.0 m: 21 of them."""
    spaced = boat({"floors": FLOORS}).structure
    assert spaced is not None
    assert spaced.floors is not None
    assert spaced.floors.stations(6.0)[:3] == [1.0, 1.25, 1.5]
    assert len(spaced.floors.stations(6.0)) == 21
    listed = boat({"floors": [2.1, 1.8]}).structure
    assert listed is not None
    assert listed.floors is not None
    assert listed.floors.stations(6.0) == [1.8, 2.1]


def test_only_the_screws_that_meet_a_floor_count() -> None:
    """Four along a metre stand at 1.625, 1.875, 2.125, 2.375 m: halfway between floors of 80 mm every 250 mm."""
    assert "none of its 4 screws, evenly spread, meets a floor" in doubts(boat({"floors": FLOORS}))
    assert "port-cleat" not in doubts(boat({"floors": FLOORS | {"first_at_m": 1.125}}))
    some = boat({"floors": FLOORS | {"first_at_m": 0.875, "spacing_mm": 500}})
    assert "only 2 of its 4 screws, evenly spread, meets a floor" in doubts(some)
    cleat = next(r for r in model(some).restraints if r.id == "port-cleat").restraint
    assert cleat.screws.count == 2  # type: ignore[union-attr]


def test_what_a_screw_finds_in_a_floor_is_taken_from_there() -> None:
    said = boat({"floors": FLOORS | {"first_at_m": 1.125}})
    assert "how thick a floor is there" not in doubts(said)
    cleat = next(r for r in model(said).restraints if r.id == "port-cleat").restraint
    assert cleat.screws.into == "oak-white"  # type: ignore[union-attr]
    shallow = boat({"floors": FLOORS | {"first_at_m": 1.125, "moulded_mm": 50}})
    assert "60 mm of screw comes out of a floor of 50 mm" in doubts(shallow)


def test_edge_distance_in_the_floor() -> None:
    """A floor of 80 mm 25 mm off the screw leaves 40 - 25 = 15 mm; loaded, 4 x 8 = 32 mm are wanted."""
    assert "stands 15 mm from the edge of its floor" in doubts(boat({"floors": FLOORS | {"first_at_m": 1.15}}))


def verdict(found: BoatFile) -> WeightVerdict:
    return check_boat(found, ["rolled-over"]).weights[0]


def test_heavy_ballast_asks_what_holds_the_floors_down() -> None:
    floors = FLOORS | {"first_at_m": 1.125, "at_m": None}
    assert "what holds each of them down to the keel" not in doubts(boat({"floors": floors}, mass=50.0))
    assert "what holds each of them down to the keel" in doubts(boat({"floors": floors}, mass=51.0))
    assert "what holds each of them down to the keel" in doubts(boat(None, mass=51.0))


STRONG = {"kind": "bolt", "diameter_mm": 12, "washer_mm": 40}
WEAK = {"kind": "coach-screw", "diameter_mm": 6, "penetration_mm": 25}


@pytest.mark.parametrize(("bolts", "red"), [(STRONG, False), (WEAK, True)])
def test_the_floors_own_bolts_are_a_part_of_what_hangs_on_them(bolts: dict[str, Any], red: bool) -> None:
    known = {"penetration_mm": 90, "into": "oak-white", "member": "keel", "metal": "silicon-bronze"} | bolts
    found = verdict(boat({"floors": FLOORS | {"first_at_m": 1.125, "bolts": known}}, mass=120.0))
    worked = [p for r in found.restraints for p in r.parts if p.part.startswith("fastenings of the floors")]
    assert worked
    assert (max(p.utilisation or 0.0 for p in worked) > 1.0) == red


TEXT = """schema = 2
[boat]
name = "Dunlin"
lwl_m = 6.0
planking = { timber = "larch-western" }
[structure]
floors = { timber = "oak-white", first_at_m = 1.0, spacing_mm = 250 }
keel = { width_mm = 150, top_m = [[0.0, -0.4], [6.0, -0.2]] }
bulkheads = [{ at_m = 4.0, thickness_mm = 12 }]
"""


def test_it_is_written_and_read_again() -> None:
    found = parse_boat(TEXT)
    assert parse_boat(render_boat(found)) == found


@pytest.mark.parametrize(
    ("was", "now", "sentence"),
    [
        ("first_at_m = 1.0", "first_at_m = 9.0", "the floor at 9 m lies outside her hull"),
        ("spacing_mm = 250", "spacing_mm = 250, at_m = [2.0]", "give 'at_m' or 'first_at_m' with 'spacing_mm'"),
        ("[structure]", "[structure]\nplanking = { thickness_mm = 20 }", "planking is given under [boat] as well"),
        ("spacing_mm = 250", "spacing_mm = 2", "must be at least 50"),
    ],
)
def test_each_slip_gets_one_sentence(was: str, now: str, sentence: str) -> None:
    with pytest.raises(BoatFileError) as caught:
        parse_boat(TEXT.replace(was, now))
    assert sentence in str(caught.value)


def test_section_and_plan_show_keel_and_floors() -> None:
    built = boat({"floors": FLOORS, "keel": {"width_mm": 150, "top_m": [[0.0, -0.4], [6.0, -0.3]]}})
    plain = built.model_copy(update={"structure": None})
    assert len(section_picture(built, "pig", 10.0).shapes) > len(section_picture(plain, "pig", 10.0).shapes)
    assert len(plan_picture(built).shapes) == len(plan_picture(plain).shapes) + 21 + 2


def test_a_weight_is_drawn_as_it_lies() -> None:
    """Tipped by 30 degrees to starboard, its section's highest corner stands to port of its middle."""
    level = boat(None)
    tipped = level.model_copy(
        update={"weight": [level.weight[0].model_copy(update={"slope_deg": Lie(athwartships=30.0), "restraint": []})]}
    )
    drawn = next(
        s for s in section_picture(tipped, "pig", 0.0).shapes if isinstance(s, Area) and s.style == "weight-chosen"
    )
    corners = np.array(drawn.points)
    assert corners[corners[:, 1].argmax(), 0] < corners[:, 0].mean()  # port is on the left
    across = 0.2 * np.cos(np.radians(30.0)) + 0.1 * np.sin(np.radians(30.0))
    assert np.ptp(corners[:, 0]) == pytest.approx(across)
