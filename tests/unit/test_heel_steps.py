"""A heel step of a degree, or one so long that the program divides it, misses nothing that a very short one finds.

Compared with steps of a twentieth of a degree. Every heel of the longer step is one of the shorter's, so that the
longer can only find less: on every weight of the demo boats and on stows drawn at random its verdict is the same, its
utilisation less by at most half a per cent (the most met is three parts in a thousand), and the heel up to which it
holds less by at most the step.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from secure_load.boat.file import read_boat
from secure_load.boat.models import BoatFile, Scenario
from secure_load.check.check import check_weight
from secure_load.check.context import CheckContext, make_context
from secure_load.check.results import WeightVerdict
from secure_load.loads.load_cases import heels, with_fine_step
from tests.reference import stows

DEMO = sorted((Path(__file__).parents[2] / "demo_boats").glob("*.toml"))
FINE = 0.05
"""degrees"""
FRACTION = 0.005
"""Of a utilisation, that may be missed between two heels a degree apart."""


def boat(step: float) -> BoatFile:
    held = [
        {"type": "bed", "friction": 0.2, "on": "floors", "timber": "oak-white"},
        *({"type": "cleat", "face": f, "strength_N": 2500.0, "height_mm": 40.0} for f in ("port", "starboard")),
        *({"type": "cleat", "face": f, "strength_N": 2500.0, "height_mm": 40.0} for f in ("fore", "aft")),
        {"type": "batten", "strength_N": 900.0},
    ]
    weight = {"id": "pigs", "mass_kg": 48.0, "at_m": [3.0, 0.2, -0.3], "size_m": [0.42, 0.2, 0.12], "restraint": held}
    scenario = {
        "id": "roll",
        "heel_deg": {"from": 0, "to": 170, "step": step},
        "load_factor": [1.0, 2.7],
        "surge_g": [-0.3, 0.3],
        "roll_rate_deg_s": 60,
    }
    return BoatFile.model_validate({"boat": {"name": "Plover's Rest"}, "weight": [weight], "scenario": [scenario]})


@pytest.mark.parametrize("step", [1.0, 7.0, 30.0, 85.0])
def test_a_long_step_finds_what_a_twentieth_of_a_degree_finds(step: float) -> None:
    def found(with_step: float):  # type: ignore[no-untyped-def]  # a verdict
        one = boat(with_step)
        return check_weight(one.weight[0], make_context(one, ["roll"]))

    fine, coarse = found(0.05), found(step)
    assert coarse.verdict == fine.verdict
    assert coarse.utilisation == pytest.approx(fine.utilisation, rel=1e-3)
    assert coarse.first_to_go.restraint == fine.first_to_go.restraint
    for side in ("port", "starboard"):
        a, b = getattr(coarse.holds_to_heel_deg, side), getattr(fine.holds_to_heel_deg, side)
        assert b - 1.0 <= a <= b


def test_steps_up_to_a_degree_are_kept_as_they_are() -> None:
    scenario = Scenario.model_validate({"id": "a", "heel_deg": {"from": 0, "to": 2, "step": 0.5}})
    assert heels(with_fine_step(scenario)).tolist() == [0.0, 0.5, 1.0, 1.5, 2.0]
    long = Scenario.model_validate({"id": "a", "heel_deg": {"from": 0, "to": 10, "step": 2.5}})
    assert np.allclose(np.diff(heels(with_fine_step(long))), 2.5 / 3)
    assert heels(with_fine_step(long))[[3, -1]] == pytest.approx([2.5, 10.0])


def stepped(run: CheckContext, step: float) -> CheckContext:
    """The same boat in the same scenarios, at heels so many degrees apart."""
    return CheckContext(
        run.boat,
        [s.model_copy(update={"heel_deg": s.heel_deg.model_copy(update={"step": step})}) for s in run.scenarios],
    )


def missed(coarse: WeightVerdict, fine: WeightVerdict, step: float) -> list[str]:
    """What a coarse run says otherwise than a fine one, in words; nothing where all is well."""
    found = [
        f"{what} {getattr(coarse, what)}, {getattr(fine, what)} by short steps"
        for what in ("verdict", "free_to_move")
        if getattr(coarse, what) != getattr(fine, what)
    ]
    pairs = [("worst", coarse.utilisation, fine.utilisation)]
    for a, b in zip(coarse.scenarios, fine.scenarios, strict=True):
        pairs.append((a.scenario, a.utilisation, b.utilisation))
        if a.verdict != b.verdict:
            found.append(f"{a.scenario} {a.verdict}, {b.verdict} by short steps")
    for name, a, b in pairs:
        # figures have four decimals
        if (a is None) != (b is None) or (
            a is not None and b is not None and not (1.0 - FRACTION) * b - 1e-4 <= a <= (1.0 + 1e-3) * b + 1e-4
        ):
            found.append(f"{name} utilisation {a}, {b} by short steps")
    for side in ("port", "starboard"):
        a, b = getattr(coarse.holds_to_heel_deg, side), getattr(fine.holds_to_heel_deg, side)
        if (a is None) != (b is None) or (a is not None and not b - 2.5 * step - 1e-9 <= a <= b + 1e-9):
            found.append(f"holds to {a} on the {side} side, {b} by short steps")
    return found


@pytest.mark.long
@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_a_degree_misses_nothing_on_the_demo_boats(path: Path) -> None:
    """Rolled right over, either way, at its greatest load factor, checked forward, quickening: one history of eight."""
    boat = read_boat(path)
    rolled = make_context(boat, ["rolled-over"]).scenarios[0]
    assert rolled.heel_deg.step == 1.0
    one = {"load_factor": [max(rolled.load_factor)], "surge_g": [0.2], "roll_acceleration_deg_s2": [180.0]}
    run = CheckContext(boat, [rolled.model_copy(update=one)])
    fine = stepped(run, FINE)
    changes = 0
    for weight in boat.weight:
        coarse = check_weight(weight, run)
        assert not missed(coarse, check_weight(weight, fine), step=1.0), weight.id
        changes += coarse.verdict == "red" and coarse.holds_to_heel_deg.port is not None
    assert changes, "some verdict changes on the way over"


def test_a_degree_misses_nothing_on_stows_drawn_at_random() -> None:
    """Friction as it comes, lines just taut."""
    rng = np.random.default_rng(70)
    roll = {"id": "roll", "heel_deg": {"from": 0, "to": 170, "step": 1.0}, "pitch_deg": [5.0], "both_sides": False}
    verdicts: set[str] = set()
    changes = 0
    for number in range(16):
        weight = stows.draw(rng, stows.TYPES[number % len(stows.TYPES)], (0.05, 0.6), tight=0.0)
        boat = BoatFile.model_validate({"boat": {"name": "Whimbrel", "bilge": "wet"}, "scenario": [roll]})
        boat = boat.model_copy(update={"weight": [weight]})
        run = make_context(boat, ["roll"])
        coarse, fine = check_weight(weight, run), check_weight(weight, stepped(run, FINE))
        assert not missed(coarse, fine, step=1.0), f"stow {number}"
        verdicts.add(fine.verdict)
        changes += 0.0 < (fine.holds_to_heel_deg.starboard or 0.0) < 170.0
    assert verdicts >= {"amber", "red"}
    assert changes >= 4, "verdicts that change on the way over"
