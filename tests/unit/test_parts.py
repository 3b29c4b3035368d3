"""The parts of every kind of restraint: what each may be asked to bear, what it breaks at, and what is said of it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatFile, Screws
from secure_load.catalogue.lookup import (
    bolt,
    cable_tie,
    coach_screw,
    factor,
    line,
    metal,
    shackle,
    termination,
    wood_screw,
)
from secure_load.catalogue.strengths import timber_strengths
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.model.failure.failure_mode import FailureMode
from secure_load.model.model_builder import build_single_model
from secure_load.strength import en1995, nds, wood_handbook
from secure_load.strength.fastenings import fastening
from secure_load.strength.working import working_stresses
from tests.reference import stows
from tests.reference.boxes import GREASED, UP, check, stowed_box

SCREWS: dict[str, Any] = {
    "kind": "coach-screw",
    "diameter_mm": 8.0,
    "count": 4,
    "penetration_mm": 50.0,
    "into": "oak-white",
    "member": "keel",
    "metal": "galvanised-steel",
}
CLEAT: dict[str, Any] = {
    "type": "cleat",
    "id": "chock",
    "face": "port",
    "timber": "oak-white",
    "length_mm": 400.0,
    "height_mm": 40.0,
    "depth_mm": 80.0,
    "screws": SCREWS,
}
LASHING: dict[str, Any] = {
    "type": "lashing",
    "id": "line",
    "from_m": [2.0, 0.15, 0.05],
    "to_m": [2.0, 0.15, -0.35],
    "line": "polyester-3-strand-8",
    "termination": "bowline",
    "anchors": {"kind": "frame"},
}


def parts(restraint: dict[str, Any], bilge: str = "dry") -> dict[str, FailureMode]:
    return {part.name: part for part in stowed_box(restraint, bilge=bilge).failure_modes[0]}


def strength(part: FailureMode, shares: np.ndarray | None = None, which: str = "working") -> float:
    """What an even force on a contact with points of these shares, or on one row, may add up to, N; no friction."""
    forces = np.ones((1, 1)) if shares is None else shares[None]
    return float(1.0 / getattr(part, which)(forces, np.zeros(1))[1][0])


def breaking(part: FailureMode, shares: np.ndarray | None = None) -> float:
    return strength(part, shares, "breaking")


def shares_of(restraint: dict[str, Any]) -> np.ndarray:
    return stowed_box(restraint).restraints[0].shares


# --- breaking against working


@pytest.mark.parametrize("seed", range(40))
def test_nothing_breaks_below_its_working_strength(seed: int) -> None:
    rng = np.random.default_rng(seed)
    weight = stows.draw(rng, friction=(0.1, 0.6))
    stowed = build_single_model(weight, stows.BOAT)
    for fitting, each in zip(stowed.restraints, stowed.failure_modes, strict=True):
        rows = len(fitting.springs)
        forces = rng.uniform(0.0, 3000.0, size=(20, rows))
        if not fitting.springs[0].one_way:
            forces *= rng.choice([-1.0, 1.0], size=forces.shape)
        drag = rng.uniform(0.0, 300.0, size=20) * (rng.random(20) < 0.5)
        for part in each:
            working, broken = part.working(forces, drag), part.breaking(forces, drag)
            assert np.array_equal(working[0], broken[0])
            assert np.all(broken[1] <= working[1] / 1.2), (fitting.id, part.name)
            assert np.all(broken[1][working[1] > 0.0] > 0.0), (fitting.id, part.name)


def test_every_part_says_what_it_breaks_at_and_by_whose_figure() -> None:
    rng = np.random.default_rng(1)
    for wanted in stows.TYPES:
        stowed = build_single_model(stows.draw(rng, wanted=wanted), stows.BOAT)
        for fitting, each in zip(stowed.restraints, stowed.failure_modes, strict=True):
            for part in each:
                said = " ".join(part.why)
                assert "break" in said or "crushed for good" in said, (fitting.id, part.name)
                assert part.basis


# --- screws


@pytest.mark.parametrize(("bilge", "wet"), [("dry", 1.0), ("wet", 0.6)])
def test_a_batten_on_coach_screws_is_drawn_at_the_average_of_the_handbook(bilge: str, wet: float) -> None:
    # shallow screws under a thick, well-washered batten: the thread goes first
    screws = SCREWS | {"penetration_mm": 35.0, "washer_mm": 60.0, "metal": "8.8"}
    batten = {
        "type": "batten",
        "timber": "oak-white",
        "span_mm": 400.0,
        "width_mm": 100.0,
        "depth_mm": 60.0,
        "screws": screws,
    }
    ends = parts(batten, bilge)["screws at the port end"]
    d = coach_screw(8.0).d_mm / 1000
    # DIN 571: 0.6 of at least 95 mm is threaded, more than the 35 mm that hold; the tip of 0.65 d does not
    thread = 0.035 - 0.65 * d
    one = wood_handbook.ultimate_lag_withdrawal(timber_strengths("oak-white", "dry").g12, d, thread) * wet
    # half of an even lift comes to each end, and two screws are there
    assert breaking(ends, shares_of(batten)) == pytest.approx(2 * 2 * one, rel=1e-9)


def test_wood_screws_are_drawn_at_the_average_of_the_handbook() -> None:
    screws = SCREWS | {"kind": "wood-screw", "gauge": 10, "penetration_mm": 30.0, "metal": "A4-80", "washer_mm": 60.0}
    screws.pop("diameter_mm")
    batten = {
        "type": "batten",
        "timber": "pine-eastern-white",
        "span_mm": 400.0,
        "width_mm": 100.0,
        "depth_mm": 12.0,
        "screws": screws | {"into": "pine-eastern-white"},
    }
    row = wood_screw(10)
    thread = min(0.030, row.thread_fraction * 0.042)
    one = wood_handbook.ultimate_wood_screw_withdrawal(timber_strengths("pine-eastern-white", "dry").g12, row.d, thread)
    assert breaking(parts(batten)["screws at the port end"], shares_of(batten)) == pytest.approx(4 * one, rel=1e-9)


def test_end_grain_holds_no_wood_screw_in_either_reckoning() -> None:
    screws = {**SCREWS, "kind": "wood-screw", "gauge": 10, "end_grain": True}
    screws.pop("diameter_mm")
    batten = {"type": "batten", "timber": "oak-white", "span_mm": 400.0, "width_mm": 60.0, "depth_mm": 25.0}
    even = shares_of(batten)[None]
    part = parts(batten | {"screws": screws})["screws at the port end"]
    assert math.isinf(float(part.working(even, np.zeros(1))[1][0]))
    assert math.isinf(float(part.breaking(even, np.zeros(1))[1][0]))


def test_a_cleat_s_screws_yield_by_the_reduction_term_over_the_load_duration() -> None:
    """All modes of a 8 mm screw with a thin root share one reduction term, so the ratio is that term over 1.6."""
    low = CLEAT | {"height_mm": 1.0}  # hardly any prying
    screws = parts(low)["screws"]
    root = coach_screw(8.0).root_mm / 1000
    term = nds.reduction_terms(0.008, math.pi / 2, root)
    assert len(set(term)) == 1
    height = stowed_box(low).restraints[0].height
    forces = np.zeros((1, len(height)))
    drag = np.zeros(1)
    forces[0, np.argmin(height)] = 1.0  # at the foot: shear alone
    ratio = screws.working(forces, drag)[1][0] / screws.breaking(forces, drag)[1][0]
    assert ratio == pytest.approx(term[0] / factor("nds-load-duration"), rel=1e-9)


# --- a cleat as a piece of timber


def test_a_cleat_is_sheared_and_split_to_both_sides_of_every_screw() -> None:
    found = parts(CLEAT)
    timber = working_stresses("oak-white", "dry")
    sheared = found["timber sheared along its grain at the screws"]
    # NDS 3.4.3.3: 2/3 F_v b d_e (d_e / d)^2, with d_e = 40 of 80 mm; eight sides of four screws
    side = 2 / 3 * 0.040 * 0.040 * 0.25
    assert strength(sheared) == pytest.approx(8 * side * timber.shear, rel=1e-9)
    assert breaking(sheared) == pytest.approx(8 * side * timber.strengths.shear_par, rel=1e-9)
    split = found["timber split along the screws"]
    characteristic = 14 * 40 * math.sqrt(40 / (1 - 40 / 80))
    assert en1995.splitting(0.040, 0.080, 0.040) == pytest.approx(characteristic, rel=1e-12)
    assert strength(split) == pytest.approx(8 * characteristic * 0.9 / 1.3 / 1.5, rel=1e-9)
    assert breaking(split) == pytest.approx(8 * characteristic, rel=1e-9)
    assert "EN 1995" in split.basis
    assert "characteristic" in split.basis
    assert "NDS" not in split.basis


def test_wet_timber_splits_sooner() -> None:
    dry, wet = (parts(CLEAT, bilge)["timber split along the screws"] for bilge in ("dry", "wet"))
    assert strength(wet) / strength(dry) == pytest.approx(0.7 / 0.9)
    assert breaking(wet) / breaking(dry) == pytest.approx(0.7 / 0.9)


def test_a_lone_screw_leaves_two_cantilevers() -> None:
    lone = parts(CLEAT | {"screws": SCREWS | {"count": 1}})["timber bent between its screws"]
    timber = working_stresses("oak-white", "dry")
    assert strength(lone) == pytest.approx(timber.bending * 0.040 * 0.080**2 / 6 / (0.4 / 8), rel=1e-9)
    assert breaking(lone) / strength(lone) == pytest.approx(timber.strengths.mor / timber.bending)


def test_only_crushing_does_not_let_go() -> None:
    for restraint in (CLEAT, GREASED | {"timber": "larch"}):
        for name, part in parts(restraint).items():
            assert part.is_loss_of_restraint == ("crushed" not in name)


# --- lines in series


def test_the_line_its_knot_its_shackle_and_its_eye_stand_in_series() -> None:
    eye = {"kind": "pad-eye", "screws": SCREWS | {"count": 2}}
    found = parts(LASHING | {"shackle": "shackle-5", "anchors": eye, "turns": 3})
    assert list(found) == ["line", "line at its bowline", "shackle", "screws of the pad eye"]
    row, knot, bow = line("polyester-3-strand-8"), termination("bowline"), shackle("shackle-5")
    share = factor(row.msl_share)
    assert strength(found["line"]) == pytest.approx(3 * row.breaking_N * share / 1.5)
    assert breaking(found["line"]) == pytest.approx(3 * row.breaking_N)
    assert strength(found["line at its bowline"]) == pytest.approx(3 * row.breaking_N * share * knot.efficiency / 1.5)
    assert breaking(found["line at its bowline"]) == pytest.approx(3 * row.breaking_N * knot.efficiency)
    # all three turns go through the one shackle
    assert strength(found["shackle"]) == pytest.approx(bow.breaking_N * 0.5 / 1.5)
    assert breaking(found["shackle"]) == pytest.approx(bow.breaking_N)


def test_the_weakest_of_the_series_is_named() -> None:
    up = {**UP, "heave_g": [-0.2]}
    many = [
        LASHING
        | {"id": f"line-{i}", "line": "wire-7x19-8", "termination": None, "shackle": "shackle-7"}
        | {"from_m": [2.0 + x, y, 0.05], "to_m": [2.0 + x, y, -0.35]}
        for i, (x, y) in enumerate([(0.2, 0.15), (0.2, -0.15), (-0.2, 0.15), (-0.2, -0.15)])
    ]
    for each in many:
        each.pop("termination")
    found = check(GREASED, *many, scenario=up)
    wire = line("wire-7x19-8")
    # three tenths of reusable wire in its ferrule are less than half a small shackle
    weakest = min(wire.breaking_N * factor(wire.msl_share) * 0.9, shackle("shackle-7").breaking_N * 0.5)
    assert weakest == pytest.approx(wire.breaking_N * factor(wire.msl_share) * 0.9)
    assert {r.part for r in found.restraints if r.type == "lashing"} == {"wire at its pressed ferrule on wire"}


def test_chain_and_wire_are_called_by_their_names() -> None:
    assert "chain" in parts(LASHING | {"line": "chain-6", "termination": "shackled"})
    assert "wire" in parts(LASHING | {"line": "wire-1x19-4", "termination": "swaged-ferrule"})
    assert "turnbuckle" in parts(LASHING | {"shackle": "turnbuckle-8"})


def test_an_eye_bolt_is_a_part_of_its_own() -> None:
    screws = {
        "kind": "bolt",
        "diameter_mm": 10.0,
        "into": "oak-white",
        "member": "keel",
        "metal": "A4-70",
        "washer_mm": 60.0,
    }
    found = parts(LASHING | {"anchors": {"kind": "through-bolt", "screws": screws}})
    assert list(found)[-2:] == ["bolt of the eye", "eye itself"]
    area, f_u = bolt("M10").stress_area, metal("A4-70").fu
    assert strength(found["eye itself"]) == pytest.approx(0.5 * f_u * area / 1.5)
    assert breaking(found["eye itself"]) == pytest.approx(f_u * area)


def test_what_was_given_breaks_at_one_and_a_half_and_says_that_this_is_assumed() -> None:
    for restraint in (CLEAT | {"strength_N": 1000.0}, LASHING | {"strength_N": 1000.0}):
        (part,) = parts(restraint).values()
        assert strength(part) == pytest.approx(1000.0)
        assert breaking(part) == pytest.approx(1500.0)
        assert any("assumption" in line for line in part.why)


def test_cable_ties_break_at_what_they_keep_of_their_class() -> None:
    row = cable_tie("standard-50")
    found = parts({"type": "cable_tie", "tie": "standard-50", "count": 3})["ties"]
    # a class is the pull on the whole loop: each leg has half of it
    assert breaking(found) == pytest.approx(3 * 0.5 * row.loop_tensile_N * row.retained)
    assert strength(found) == pytest.approx(3 * 0.5 * row.loop_tensile_N * 0.25)


# --- where the screws stand


def warned(restraint: dict[str, Any]) -> list[str]:
    return stowed_box(restraint).members[0].warnings


def test_a_well_placed_cleat_raises_no_warning() -> None:
    assert warned(CLEAT) == []


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (
            {"length_mm": 240.0},
            "its screws stand near its ends or one another: 94 % of their value in shear is counted",
        ),
        ({"length_mm": 96.0}, "its screws stand near its ends or one another: 38 % of their value in shear is counted"),
        ({"screws": SCREWS | {"penetration_mm": 30.0}}, "30 mm into the timber; the code counts none under 37 mm"),
    ],
)
def test_a_distance_that_falls_short_is_warned_of_with_its_clause(change: dict[str, Any], says: str) -> None:
    found = warned(CLEAT | change)
    assert any(says in each for each in found), found
    assert all(each.startswith("chock: ") for each in found)


def doubted(restraint: dict[str, Any]) -> list[str]:
    return stowed_box(restraint).members[0].notes.doubts


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"depth_mm": 23.0}, "12 mm from its edges; 12 mm is the least (NDS 2018 Table 12.5.1C"),
        ({"length_mm": 120.0}, "its end screws stand 15 mm from its ends; 16 mm is the least (NDS 2018 Table 12.5.1A"),
        ({"length_mm": 92.0}, "its screws stand 23 mm apart; 24 mm is the least (NDS 2018 Table 12.5.1B"),
    ],
)
def test_where_the_code_counts_nothing_is_a_doubt(change: dict[str, Any], says: str) -> None:
    assert not any("is the least" in each for each in doubted(CLEAT))
    assert any(says in each for each in doubted(CLEAT | change))


@pytest.mark.parametrize(("length", "share"), [(400.0, 1.0), (256.0, 1.0), (192.0, 0.75), (128.0, 0.5)])
def test_short_ends_take_their_share_of_the_lateral_value(length: float, share: float) -> None:
    """NDS 12.5.1.2: four 8 mm screws stand an eighth of the length from its ends, 32 mm for the whole value."""
    whole = fastening(Screws.model_validate(SCREWS), "dry", "oak-white", CLEAT["height_mm"] / 1000.0)
    part = parts(CLEAT | {"length_mm": length, "screws": SCREWS | {"count": 4}})["screws"]
    assert f"4 of them: {4 * share * whole.shear:.0f} N sheared" in " ".join(part.why)


def test_thin_screws_need_more_along_the_grain() -> None:
    thin = {
        "kind": "wood-screw",
        "gauge": 10,
        "penetration_mm": 40.0,
        "into": "oak-white",
        "member": "keel",
        "metal": "A4-70",
    }
    # No 10 is 4.83 mm: ten diameters are 48 mm
    assert any("83 % of their value" in w for w in warned(CLEAT | {"screws": thin | {"count": 10}}))
    assert warned(CLEAT | {"screws": thin | {"count": 8}}) == []


def test_a_batten_wants_the_same_screws_at_both_ends() -> None:
    batten = {"type": "batten", "timber": "oak-white", "span_mm": 400.0, "width_mm": 60.0, "depth_mm": 25.0}
    assert warned(batten | {"screws": SCREWS | {"count": 2}}) == []
    assert [w.partition(": ")[2] for w in warned(batten | {"screws": SCREWS | {"count": 1}})] == [
        "a batten needs a screw at each end"
    ]
    assert any("not the same at both ends" in w for w in warned(batten | {"screws": SCREWS | {"count": 3}}))
    assert any("30 mm apart across the grain; 32 mm" in w for w in warned(batten | {"screws": SCREWS | {"count": 4}}))


def test_a_chain_without_a_shackle_is_warned_of() -> None:
    chain = LASHING | {"line": "chain-6", "termination": "shackled"}
    assert any("without a shackle" in w for w in warned(chain))
    assert warned(chain | {"shackle": "shackle-7"}) == []


def test_an_eye_on_short_screws_is_warned_of() -> None:
    eye = {"kind": "eye", "screws": SCREWS | {"penetration_mm": 20.0}}
    assert [w.partition(": ")[2][:34] for w in warned(LASHING | {"anchors": eye})] == [
        "its eye: screws go 20 mm into the "
    ]
    assert warned(LASHING | {"anchors": eye | {"strength_N": 500.0}}) == []


def test_the_same_warning_of_several_cleats_is_said_once() -> None:
    short = CLEAT | {"length_mm": 240.0}
    other = short | {"id": "other", "face": "starboard"}
    found = check(GREASED, short, other).warnings
    assert len([w for w in found if "94 % of their value" in w]) == 1
    assert found[0].startswith("chock, other: ")


# --- a batten that is twisted


def twisted(count: int, off_mm: float) -> float:
    """What the hardest drawn screw has of a lift off the middle line of an 80 mm batten, over its even share."""
    batten = {"type": "batten", "timber": "oak-white", "span_mm": 400.0, "width_mm": 80.0, "depth_mm": 30.0}
    batten |= {"screws": SCREWS | {"count": count}}
    fitting = stowed_box(batten).restraints[0]
    (part,) = (
        part for name, part in parts(batten).items() if name.endswith("at the port end") and "sheared" not in name
    )
    # half of it at either edge of the batten, shifted so that it comes off the middle line
    share = 0.5 + np.sign(fitting.across) * off_mm / 80.0
    forces = (share * fitting.shares * 4.0)[None]
    assert forces.sum() == pytest.approx(2.0)
    assert forces[0] @ fitting.across == pytest.approx(2.0 * off_mm / 1000.0)
    even = fitting.shares[None] * 2.0
    none = np.zeros(1)
    return float(part.working(forces, none)[1][0] / part.working(even, none)[1][0])


def test_two_screws_side_by_side_resist_twist_by_a_couple() -> None:
    """Two at each end 40 mm apart: of 1 N to an end 35 mm off, the outer one has 1/2 + 35 / 40 = 1.375 N, not 1/2 N."""
    assert twisted(4, 35.0) == pytest.approx(2.75)
    assert twisted(4, -35.0) == pytest.approx(2.75)
    assert twisted(4, 0.0) == pytest.approx(1.0)


def test_three_screws_side_by_side() -> None:
    """At -26.7, 0 and 26.7 mm: 1/3 + 35 x 26.7 / (2 x 26.7^2) = 0.9896 N of 1 N to an end, not 1/3 N."""
    assert twisted(6, 35.0) == pytest.approx(3.0 * (1.0 / 3.0 + 35.0 / (2.0 * 80.0 / 3.0)))


def test_a_lone_screw_is_pried_over_the_battens_edge() -> None:
    """About the far edge 40 mm from the screw, 1 N at 40 + 35 mm draws it with 75 / 40 N."""
    assert twisted(2, 35.0) == pytest.approx(75.0 / 40.0)


def test_a_batten_off_the_middle_of_what_it_holds_down_is_twisted() -> None:
    """Held by the batten alone, a lift straight up comes 30 mm off its middle line: 1 + 60 / 40 times as hard."""

    def worked(x: float) -> float:
        weight = {
            "id": "pig",
            "mass_kg": 40.0,
            "at_m": [2.0, 0.0, -0.1],
            "size_m": [0.4, 0.3, 0.1],
            "restraint": [
                {"type": "batten", "timber": "oak-white", "span_mm": 400.0, "width_mm": 80.0, "depth_mm": 30.0}
                | {"screws": SCREWS | {"count": 4}, "at_m": [x, 0.0, -0.05]},
            ],
        }
        up = {"id": "up", "heel_deg": {"to": 0}, "load_factor": [0.0], "heave_g": [-1.0], "both_sides": False}
        boat = BoatFile.model_validate({"boat": {"name": "Dotterel"}, "weight": [weight], "scenario": [up]})
        verdict = check_weight(boat.weight[0], make_context(boat, ["up"]))
        (batten,) = [r for r in verdict.restraints if r.type == "batten"]
        return next(p.demand_N for p in batten.parts if p.part.endswith("at the port end") and "sheared" not in p.part)

    assert worked(2.0) == pytest.approx(40.0 * 9.80665 / 2.0, rel=1e-3)
    assert worked(2.03) == pytest.approx(2.5 * 40.0 * 9.80665 / 2.0, rel=0.02)
