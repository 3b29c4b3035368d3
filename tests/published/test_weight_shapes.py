"""Tapered ingots, cylinders and loose heaps, against closed forms (any text on statics and dynamics)."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from secure_load.afloat.masses import lump_of
from secure_load.boat.models import BoatFile, BoatParticulars, Weight
from secure_load.catalogue.assumed import assumed
from secure_load.check.check import check_boat
from secure_load.check.results import WeightVerdict
from secure_load.model.assumptions import Assumptions
from secure_load.model.body import Body, rotation
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_model, build_single_model
from secure_load.model.weight_body import body_of
from secure_load.record.text.restraint_text import size_words
from secure_load.solver.equilibrium import solve

BOAT = BoatParticulars.model_validate({"name": "Dunlin", "bilge": "dry"})
G = 9.80665


def weight(restraints: list[dict[str, Any]] | None = None, **more: Any) -> Weight:
    given = {"id": "it", "mass_kg": 30.0, "at_m": [1.0, 0.0, -0.3], "size_m": [0.4, 0.2, 0.2], **more}
    return Weight.model_validate({**given, "restraint": restraints or []})


def body(**more: Any) -> Body:
    return body_of(weight(**more), Assumptions())


def test_a_tapered_prism() -> None:
    """V = h / 6 (A0 + 4 Am + A1), and by the same rule the centre: z = h^2 / 6 (2 Am + A1) / V from the bottom."""
    ingot = body(size_m=[0.4, 0.12, 0.08], shape="ingot", top_size_m=[0.36, 0.08])
    low, middle, high = 0.4 * 0.12, 0.38 * 0.10, 0.36 * 0.08
    volume = 0.08 / 6.0 * (low + 4.0 * middle + high)
    assert ingot.volume == pytest.approx(volume, rel=1e-12)
    from_bottom = 0.08**2 / 6.0 * (2.0 * middle + high) / volume
    assert ingot.centre[2] == pytest.approx(from_bottom - 0.04, rel=1e-9)
    assert ingot.at[2] == pytest.approx(-0.3 + from_bottom - 0.04)


def test_a_tapered_prisms_inertia_by_many_slices() -> None:
    """Sum of thin plates, each m (a^2 + b^2) / 12 about its own axis, moved to the common centre (Steiner)."""
    ingot = body(size_m=[0.4, 0.12, 0.08], shape="ingot", top_size_m=[0.36, 0.06])
    z = (np.arange(20_000) + 0.5) / 20_000
    a, b, h = 0.4 - 0.04 * z, 0.12 - 0.06 * z, 0.08 * z
    mass = 30.0 * a * b / (a * b).sum()
    centre = (mass @ h) / 30.0
    about_x = mass @ (b**2 / 12.0 + (h - centre) ** 2)
    about_z = mass @ ((a**2 + b**2) / 12.0)
    assert ingot.inertia[0, 0] == pytest.approx(about_x, rel=1e-6)
    assert ingot.inertia[2, 2] == pytest.approx(about_z, rel=1e-6)


def test_the_inertia_turns_with_the_weight() -> None:
    """Turned a quarter to port its length lies athwart, and so does its inertia about the length of the boat."""
    along, across = body(size_m=[0.4, 0.1, 0.1]), body(size_m=[0.4, 0.1, 0.1], slope_deg={"turned": 90})
    assert across.inertia[0, 0] == pytest.approx(30.0 * (0.4**2 + 0.1**2) / 12.0)
    assert along.inertia[0, 0] == pytest.approx(30.0 * (0.1**2 + 0.1**2) / 12.0)
    lies = rotation(weight(slope_deg={"fore_and_aft": 12, "athwartships": -5, "turned": 30}).slope_deg)
    tipped = body(size_m=[0.4, 0.1, 0.05], slope_deg={"fore_and_aft": 12, "athwartships": -5, "turned": 30})
    level = body(size_m=[0.4, 0.1, 0.05])
    assert tipped.inertia == pytest.approx(lies @ level.inertia @ lies.T)


def test_a_gauge_along_each_edge_reads_the_slopes_that_were_given() -> None:
    lies = rotation(weight(slope_deg={"fore_and_aft": 20, "athwartships": -30, "turned": 50}).slope_deg)
    assert np.degrees(np.arcsin(lies[2, 0])) == pytest.approx(20.0)
    assert np.degrees(np.arcsin(lies[2, 1])) == pytest.approx(-30.0)
    assert lies.T @ lies == pytest.approx(np.eye(3))
    assert np.linalg.det(lies) == pytest.approx(1.0)


def bearing(model: GroupModel, heel_deg: float = 0.0) -> list[float]:
    """What each restraint bears, N."""
    heel = math.radians(heel_deg)
    load = model.total_load([30.0 * G * np.array([[0.0, -math.sin(heel), -math.cos(heel)]])])
    found = solve(model.springs, load)
    assert not found.free[0]
    return [float(found.normal[0][model.springs.restraint == r.index].sum()) for r in model.restraints]


@pytest.mark.parametrize(("port", "starboard"), [(30.0, 30.0), (20.0, 50.0), (45.0, 60.0)])
@pytest.mark.parametrize("heel", [0.0, 10.0])
def test_a_cylinder_between_two_planes(port: float, starboard: float, heel: float) -> None:
    """Lami: N_p / sin(s_s - heel) = N_s / sin(s_p + heel) = W / sin(s_p + s_s), heeled to starboard, greased."""
    held = [
        {"type": "bed", "edge": f"bottom-{side}", "slope_deg": slope, "friction": 0.0, "on": "floors"}
        for side, slope in (("port", port), ("starboard", starboard))
    ]
    model = build_single_model(weight(held, shape="cylinder-lying"), BOAT)
    both = 30.0 * G / math.sin(math.radians(port + starboard))
    assert bearing(model, heel) == pytest.approx(
        [both * math.sin(math.radians(starboard - heel)), both * math.sin(math.radians(port + heel))], rel=1e-3
    )


def test_a_lying_cylinder_rolls_out_over_a_low_chock() -> None:
    """A chock of height c stops it up to the heel at which the line to its corner is plumb: cos a = 1 - c / r."""
    chocks = [
        {"type": "cleat", "face": side, "length_mm": 400, "height_mm": 30, "strength_N": 1e6}
        for side in ("port", "starboard")
    ]
    model = build_single_model(
        weight([{"type": "bed", "friction": 0.0, "on": "floors"}, *chocks], shape="cylinder-lying"), BOAT
    )
    heel = np.radians(np.arange(0.0, 90.0, 0.1))
    way = np.column_stack([np.zeros_like(heel), -np.sin(heel), -np.cos(heel)])
    free = solve(model.springs, model.total_load([30.0 * G * way])).unrestrained[:, 0]
    assert 0.1 * free.argmax() == pytest.approx(math.degrees(math.acos(1.0 - 0.03 / 0.1)), abs=0.3)


def test_an_upright_cylinder_tips_over_its_rim() -> None:
    """tan = d / h in any direction along or across her: 0.2 / 0.5."""
    bottle = weight(
        [{"type": "bed", "friction": 1.0, "on": "floors"}], size_m=[0.2, 0.2, 0.5], shape="cylinder-upright"
    )
    model = build_single_model(bottle, BOAT)
    heel = np.radians(np.arange(0.0, 60.0, 0.1))
    for out in (np.array([0.0, -1.0]), np.array([1.0, 0.0])):
        way = np.column_stack([np.sin(heel)[:, None] * out, -np.cos(heel)])
        free = solve(model.springs, model.total_load([30.0 * G * way])).unrestrained[:, 0]
        assert 0.1 * free.argmax() == pytest.approx(math.degrees(math.atan(0.2 / 0.5)), abs=0.2)


def bin_of(lid: dict[str, Any] | None, walls: dict[str, Any], mass: float = 30.0) -> Weight:
    sides = [{"type": "bed", "face": face, "on": "bulkhead", "friction": 0.5, "timber": "oak-white"} | walls
             for face in ("port", "starboard", "fore", "aft")]  # fmt: skip
    bottom = {"type": "bed", "on": "floors", "friction": 0.5, "timber": "oak-white"}
    return weight([bottom, *sides, *([lid] if lid else [])], shape="loose", kind="chain", mass_kg=mass)


@pytest.mark.parametrize("heel", [20.0, 60.0, 90.0])
def test_a_loose_heap_leans_its_whole_load_on_the_low_wall(heel: float) -> None:
    """No friction to the good: the low wall bears W sin(heel), the bottom W cos(heel)."""
    model = build_single_model(bin_of(None, {}), BOAT)
    bottom, port, starboard, fore, aft = bearing(model, heel)
    weighs = 30.0 * G
    assert starboard == pytest.approx(weighs * math.sin(math.radians(heel)), rel=1e-3)
    assert bottom == pytest.approx(weighs * math.cos(math.radians(heel)), rel=1e-3, abs=1e-3 * weighs)
    assert port == pytest.approx(0.0, abs=1e-3 * weighs)
    assert [fore, aft] == pytest.approx([0.0, 0.0], abs=1e-3 * weighs)


def verdict(kept: Weight) -> WeightVerdict:
    return check_boat(BoatFile(boat=BOAT, weight=[kept]), ["rolled-over"]).weights[0]


LID = {"type": "batten", "span_mm": 260, "width_mm": 400, "depth_mm": 20, "strength_N": 1e5, "timber": "oak-white"}


def test_a_heap_wants_a_lid_and_a_batten_is_none() -> None:
    batten = verdict(bin_of(LID | {"width_mm": 60}, {}))
    assert batten.free_to_move
    assert any("a batten is no lid" in reason for reason in batten.reasons)
    assert not verdict(bin_of(LID, {})).free_to_move


def test_a_heap_gets_over_a_wall_lower_than_it() -> None:
    low = [
        {"type": "cleat", "face": f, "length_mm": 400, "height_mm": 80, "strength_N": 1e5}
        for f in ("port", "starboard")
    ]
    found = verdict(weight([{"type": "bed", "on": "floors"}, *low, LID], shape="loose"))
    assert found.free_to_move
    assert any("the wall is no cover" in reason for reason in found.reasons)
    assert assumed("loose-cover").number > 80.0 / 200.0


def test_chain_of_no_said_shape_is_asked_about() -> None:
    unsaid = bin_of(LID, {}).model_copy(update={"shape": None})
    assert any("lies loose in its bin" in d for d in build_model([unsaid], BOAT).members[0].notes.doubts)


def test_square_cleats_do_not_hold_a_taper_down() -> None:
    """They touch its foot only, and let it rise."""
    ingot: dict[str, Any] = {"size_m": [0.4, 0.2, 0.1], "shape": "ingot", "top_size_m": [0.4, 0.1]}
    cleat = {"type": "cleat", "length_mm": 400, "height_mm": 60, "strength_N": 1e6}
    square = [{"type": "bed", "on": "floors"}, *[cleat | {"face": face} for face in ("port", "starboard")]]
    model = build_single_model(weight(square, **ingot), BOAT)
    upside_down = model.total_load([30.0 * G * np.array([[0.0, 0.0, 1.0]])])
    assert solve(model.springs, upside_down).unrestrained.all()
    for restraint in model.restraints[1:]:
        points = np.array([s.attachments[0].point for s in restraint.springs])
        assert np.ptp(points[:, 2]) == pytest.approx(0.0)


def test_afloat_a_weight_counts_at_its_own_centre_of_gravity() -> None:
    """Its middle at 1.0, 0.0, -0.3; 20 mm forward along a length that rises by 30 degrees: 17.3 and 10 mm."""
    lump = lump_of(weight(cg_m=[0.02, 0.0, 0.0], slope_deg={"fore_and_aft": 30}))
    assert lump.at == pytest.approx((1.0 + 0.02 * math.cos(math.pi / 6.0), 0.0, -0.3 + 0.01))
    assert lump_of(weight()).at == (1.0, 0.0, -0.3)


def test_the_record_says_how_a_weight_lies() -> None:
    said = size_words(weight(shape="ingot", top_size_m=[0.3, 0.1], slope_deg={"fore_and_aft": 12, "athwartships": -5}))
    for words in (
        "a tapered ingot, its top 300 x 100 mm",
        "fore end 12 degrees the higher",
        "starboard side 5 degrees",
    ):
        assert words in said
