"""The pictures of a boat: what is drawn where, what is said not to be drawn, and where their figures come from."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile
from secure_load.check import response as work
from secure_load.check.check import check_weight
from secure_load.check.context import GroupSolution, make_context
from secure_load.check.utilisation import colour_of
from secure_load.record.drawings import outline
from secure_load.record.drawings.heel_strip import columns
from secure_load.record.drawings.picture import (
    Area,
    Arrow,
    Mark,
    Picture,
    Stroke,
    Words,
    cell_words,
    plan_picture,
    rose_picture,
    section_picture,
    strip_of,
    why_chain,
)

CHEST: dict[str, Any] = {
    "id": "chest",
    "mass_kg": 10.0,
    "at_m": [1.0, 0.5, 0.2],
    "size_m": [0.4, 0.3, 0.2],
    "restraint": [
        {"id": "bed", "type": "bed", "friction": 0.0, "pad": {"material": "neoprene-60", "thickness_mm": 6.0}},
        {
            "id": "port-cleat",
            "type": "cleat",
            "face": "port",
            "length_mm": 400.0,
            "height_mm": 200.0,
            "depth_mm": 50.0,
            "strength_N": 500.0,
        },
        {
            "id": "starboard-cleat",
            "type": "cleat",
            "face": "starboard",
            "length_mm": 400.0,
            "height_mm": 200.0,
            "depth_mm": 50.0,
            "strength_N": 250.0,
        },
        {"id": "over", "type": "strap", "from_m": [1.0, 0.8, 0.1], "to_m": [1.0, 0.2, 0.1], "strength_N": 300.0},
    ],
}
ROLL: dict[str, Any] = {
    "id": "roll",
    "heel_deg": {"from": 0.0, "to": 60.0, "step": 20.0},
    "load_factor": [1.0, 2.0],
    "both_sides": True,
}


def boat(**more: Any) -> BoatFile:
    data: dict[str, Any] = {
        "schema": 1,
        "boat": {"name": "Dunlin", "lwl_m": 4.0, "bwl_m": 2.0},
        "weight": [CHEST, {"id": "far", "mass_kg": 5.0, "at_m": [3.0, 0.0, 0.0], "size_m": [0.2, 0.2, 0.2]}],
        "scenario": [ROLL],
    }
    return BoatFile.model_validate(data | more)


def box_boat() -> BoatFile:
    """A box 2 m broad, 0.5 m deep in the water and 1.5 m out of it."""
    half = [[0.0, -0.5], [1.0, -0.5], [1.0, 1.5], [0.0, 1.5]]
    return boat(float={"section": [{"x_m": x, "points_m": half} for x in (0.0, 2.0, 4.0)]})


@pytest.fixture(scope="module")
def solved() -> GroupSolution:
    run = make_context(boat(), ["roll"])
    return run.solved(run.boat.weight[0])


def areas(picture: Picture, style: str) -> list[np.ndarray[Any, Any]]:
    return [np.array(s.points) for s in picture.shapes if isinstance(s, Area) and s.style == style]


def extent(points: np.ndarray[Any, Any]) -> list[float]:
    return [*points.min(axis=0).round(9).tolist(), *points.max(axis=0).round(9).tolist()]


def words(picture: Picture) -> list[str]:
    return [s.text for s in picture.shapes if isinstance(s, Words)]


def test_upright_from_aft_port_is_on_the_left_and_everything_has_its_true_size() -> None:
    picture = section_picture(boat(), "chest", 0.0)
    assert extent(areas(picture, "weight-chosen")[0]) == [-0.65, 0.1, -0.35, 0.3]
    port, starboard = areas(picture, "cleat")
    assert extent(port) == [-0.7, 0.1, -0.65, 0.3]
    assert extent(starboard) == [-0.35, 0.1, -0.3, 0.3]
    assert extent(areas(picture, "bed")[0]) == [-0.65, 0.094, -0.35, 0.1]


def test_a_strap_runs_over_the_top_edges_and_is_made_fast_at_both_ends() -> None:
    picture = section_picture(boat(), "chest", 0.0)
    line = next(s for s in picture.shapes if isinstance(s, Stroke) and s.style == "line")
    assert np.allclose(line.points, [(-0.8, 0.1), (-0.65, 0.3), (-0.35, 0.3), (-0.2, 0.1)])
    ends = [s.at for s in picture.shapes if isinstance(s, Mark) and s.style == "line"]
    assert np.allclose(ends, [(-0.8, 0.1), (-0.2, 0.1)])


def test_on_her_starboard_side_the_port_side_is_up_and_what_falls_to_starboard_falls() -> None:
    picture = section_picture(boat(), "chest", 90.0, load=(0.0, -98.0665, 0.0))
    assert extent(areas(picture, "weight-chosen")[0]) == [0.1, 0.35, 0.3, 0.65]
    arrow = next(s for s in picture.shapes if isinstance(s, Arrow))
    assert np.allclose(arrow.tail, (0.2, 0.5))
    assert arrow.head[0] == pytest.approx(0.2, abs=1e-9)
    assert arrow.head[1] < arrow.tail[1]
    assert "1.0 g, 98 N" in words(picture)


def test_the_arrow_grows_with_the_load() -> None:
    def length(load: float) -> float:
        picture = section_picture(boat(), "chest", 0.0, load=(0.0, 0.0, -load))
        return math.dist(*next((s.tail, s.head) for s in picture.shapes if isinstance(s, Arrow)))

    assert length(196.133) == pytest.approx(2 * length(98.0665))


def test_only_what_lies_near_is_drawn_with_it() -> None:
    near = boat(weight=[CHEST, {"id": "near", "mass_kg": 5.0, "at_m": [1.5, -0.4, 0.0], "size_m": [0.2, 0.2, 0.2]}])
    assert len(areas(section_picture(near, "chest", 0.0), "weight")) == 1
    assert not areas(section_picture(boat(), "chest", 0.0), "weight")


def test_the_picture_keeps_its_size_as_she_rolls() -> None:
    sizes = {
        round(p.window[2] - p.window[0], 9)
        for p in (section_picture(box_boat(), "chest", h) for h in (-180.0, -35.0, 0.0, 90.0))
    }
    assert len(sizes) == 1


def test_an_outline_that_is_not_her_own_is_said_to_be_so() -> None:
    assert any("not her own" in note for note in section_picture(boat(), "chest", 0.0).notes)
    assert any("not her own" in note for note in plan_picture(boat()).notes)
    assert not any("not her own" in note for note in section_picture(box_boat(), "chest", 0.0).notes)
    assert not plan_picture(box_boat()).notes


def test_between_two_sections_she_is_drawn_straight_and_it_is_said() -> None:
    narrow, broad = [[0.0, -0.4], [1.0, 0.0], [1.0, 0.6], [0.0, 0.6]], [[0.0, -0.8], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]]
    lines = boat(float={"section": [{"x_m": 0.0, "points_m": narrow}, {"x_m": 4.0, "points_m": broad}]})
    found = outline.section_at(lines, 1.0)
    at_water = found.points[np.abs(found.points[:, 1]) < 1e-9]
    assert at_water[:, 0].max() == pytest.approx(1.25)
    assert found.points[:, 1].max() == pytest.approx(0.7)
    assert np.allclose(found.points[:, 0].max(), -found.points[:, 0].min())
    assert found.note is not None
    assert "0.00 m and 4.00 m" in found.note
    assert outline.section_at(lines, 4.0).note is None


def test_beyond_her_last_section_that_one_is_drawn_and_it_is_said() -> None:
    found = outline.section_at(box_boat(), 5.0)
    assert found.note is not None
    assert "foremost" in found.note


@pytest.mark.parametrize(("heel", "level"), [(0.0, 0.0), (90.0, -0.5), (-90.0, -0.5), (180.0, -1.0)])
def test_the_water_keeps_her_volume(heel: float, level: float) -> None:
    """A box of 2 x 2 m with 1 m2 in the water: on her side it is 0.5 m deep in it, keel up 0.5 m too."""
    assert outline.water_level(box_boat(), heel) == pytest.approx(level, abs=1e-5)


def test_without_a_hull_the_water_is_said_to_be_a_guess() -> None:
    assert outline.water_level(boat(), 30.0) is None
    assert any("roll axis" in note for note in section_picture(boat(), "chest", 30.0).notes)


def test_the_plan_has_the_bow_to_the_right_and_port_up() -> None:
    picture = plan_picture(boat(), "chest", {"far": "red"})
    assert extent(areas(picture, "weight-chosen")[0]) == [0.8, 0.35, 1.2, 0.65]
    assert extent(areas(picture, "weight")[0]) == [2.9, -0.1, 3.1, 0.1]
    assert {"1", "2R"} <= set(words(picture))


def test_in_the_plan_what_lies_higher_is_drawn_later() -> None:
    high = {"id": "high", "mass_kg": 5.0, "at_m": [1.0, 0.5, 0.8], "size_m": [0.1, 0.1, 0.1]}
    drawn = areas(plan_picture(boat(weight=[high, CHEST])), "weight")
    assert [round(float(np.ptp(each[:, 0])), 9) for each in drawn] == [0.4, 0.1]


def test_a_weight_that_is_nowhere_is_named() -> None:
    with pytest.raises(LookupError, match="no weight 'nowhere'"):
        section_picture(boat(), "nowhere", 0.0)


def test_the_strip_has_a_cell_only_where_a_heel_was_run(solved: GroupSolution) -> None:
    row = strip_of(solved, solved.group[0], 5.0)
    run_at = [cell.heel_deg for cell in row.cells if cell is not None]
    assert run_at == [5.0 * n for n in range(-12, 13)]
    assert cell_words(row, 65.0) == "65 degrees to starboard: not run"
    assert cell_words(row, -10.0).startswith("10 degrees to port: G, ")


def test_a_cell_is_the_worst_of_its_heel_and_carries_its_load(solved: GroupSolution) -> None:
    """To port at twice gravity and 60 degrees: 10 kg press with 2 g sin 60 on a cleat of 500 N."""
    cell = strip_of(solved, solved.group[0]).at(-60.0)
    assert cell is not None
    across = 2 * 10 * 9.80665 * math.sin(math.radians(60))
    assert cell.demand_N[1] == pytest.approx(across)
    assert cell.load_factor == 2.0
    assert cell.utilisation is not None
    assert cell.utilisation >= across / 500 * 0.99
    moments = solved.load_cases.instants
    worst = solved.response.worst(solved.model, 0)[solved.load_cases.inverse]
    assert cell.utilisation == pytest.approx(worst[moments.heel_deg < -57.5].max())


def test_the_strip_solves_nothing(solved: GroupSolution, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("a load was solved")

    monkeypatch.setattr(work, "solve_cases", refuse)
    assert any(strip_of(solved, solved.group[0]).cells)


def test_wider_columns_show_the_worst_they_take_in(solved: GroupSolution) -> None:
    fine = strip_of(solved, solved.group[0], 5.0)
    wide = fine.coarser(45.0)
    assert wide.heels == [-180.0, -135.0, -90.0, -45.0, 0.0, 45.0, 90.0, 135.0, 180.0]
    figures = [c.utilisation or 0.0 for c in fine.cells if c is not None and c.heel_deg > 20.0]
    cell = wide.at(45.0)
    assert cell is not None
    assert cell.utilisation == max(figures)
    with pytest.raises(ValueError, match="coarser"):
        wide.coarser(5.0)


def test_a_step_must_go_into_180() -> None:
    assert columns(60.0) == [-180.0, -120.0, -60.0, 0.0, 60.0, 120.0, 180.0]
    for step in (0.0, -5.0, 7.0):
        with pytest.raises(ValueError, match="evenly"):
            columns(step)


@pytest.mark.parametrize(
    ("figure", "colour"), [(0.8, "green"), (0.81, "amber"), (1.0, "amber"), (1.01, "red"), (math.inf, "red")]
)
def test_colours_of_figures(figure: float, colour: str) -> None:
    assert colour_of(figure) == colour


def test_the_rose_reaches_as_far_as_the_cleats_hold(solved: GroupSolution) -> None:
    """500 N to port and 250 N to starboard on 10 kg are 5.1 and 2.5 g; down it bears, and that has no end."""
    picture = rose_picture(solved, solved.group[0], ring_g=10.0)
    curve = areas(picture, "holds")[0]
    assert curve[curve[:, 1].argmin()] == pytest.approx([0.0, -10.0], abs=1e-9)
    level = curve[np.abs(curve[:, 1]) < 1e-9][:, 0]
    assert level.min() == pytest.approx(-500 / 98.0665, rel=0.05)
    assert level.max() == pytest.approx(250 / 98.0665, rel=0.05)
    assert any("10 g" in note for note in picture.notes)


def test_the_rose_marks_what_is_asked_for_and_not_held() -> None:
    loose = {**CHEST, "restraint": [{"id": "bed", "type": "bed", "friction": 0.1}]}
    run = make_context(boat(weight=[loose]), ["roll"])
    picture = rose_picture(run.solved(run.boat.weight[0]), run.boat.weight[0])
    styles = {s.style for s in picture.shapes if isinstance(s, Mark)}
    assert {"demand", "beyond"} <= styles
    assert "for more than is held" in picture.description


def test_the_chain_goes_from_load_to_utilisation() -> None:
    run = make_context(boat(), ["roll"])
    verdict = check_weight(run.boat.weight[0], run)
    chain = why_chain(verdict)
    steps = [line.step for line in chain]
    assert steps[:4] == ["load", "movement", "share", "part"]
    assert steps[-1] in ("utilisation", "breaking")
    assert all(line.text and line.source for line in chain)
    assert verdict.utilisation is not None
    last = next(line for line in chain if line.step == "utilisation")
    assert f"{100 * verdict.utilisation:.0f} %" in last.text


def test_a_weight_nothing_holds_has_a_chain_that_says_so() -> None:
    run = make_context(boat(weight=[{**CHEST, "restraint": []}]), ["roll"])
    chain = why_chain(check_weight(run.boat.weight[0], run))
    assert [line.step for line in chain] == ["load", "share"]
    assert "nothing takes it up" in chain[1].text
