"""Weights that fall on one another: the energy method by hand, and what of it reaches the restraints behind.

S. Timoshenko, Strength of Materials: a weight W that falls through s on a spring presses it with
W (1 + sqrt(1 + 2 s / d)), where d is what the spring gives under W at rest.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_boat
from secure_load.check.results import BoatVerdict

MASS = 20.0
LOAD = MASS * 9.80665  # N on each, with 1 g to starboard
CONTACT = 2000.0  # N/mm
CLEAT = 500.0  # N/mm
STRENGTH = 10_000.0  # N
SWAY = {"id": "sway", "heel_deg": {"to": 0}, "load_factor": [0.0], "sway_g": [1.0], "both_sides": False}
WIDTH = 0.1


def row(gaps_mm: list[float], cleat_slack_mm: float = 0.0, scenario: dict[str, Any] = SWAY) -> BoatVerdict:
    """Blocks on greased beds from port to starboard with gaps between them, the last one against a cleat."""
    weights: list[dict[str, Any]] = []
    y = 0.0
    for place, gap in enumerate([*gaps_mm, None]):
        restraint: list[dict[str, Any]] = [{"type": "bed", "friction": 0.0, "stiffness_N_per_mm": 1e4}]
        if gap is not None:
            touch = {"type": "neighbour", "face": "starboard", "weight": f"b{place + 1}", "friction": 0.0}
            restraint.append(touch | {"id": "next", "stiffness_N_per_mm": CONTACT})
        else:
            cleat = {"type": "cleat", "id": "end", "face": "starboard", "length_mm": 300, "height_mm": 100}
            more = {"strength_N": STRENGTH, "stiffness_N_per_mm": CLEAT, "slack_mm": cleat_slack_mm}
            restraint.append(cleat | more)
        weights.append(
            {
                "id": f"b{place}",
                "mass_kg": MASS,
                "at_m": [3.0, y, 0.0],
                "size_m": [0.3, WIDTH, 0.1],
                "measured": True,
                "restraint": restraint,
            }
        )
        y -= WIDTH + (gap or 0.0) / 1000.0
    boat = BoatFile.model_validate({"boat": {"name": "Dabchick"}, "weight": weights, "scenario": [scenario]})
    return check_boat(boat, [scenario["id"]])


def asked_of_the_end(found: BoatVerdict) -> float:
    (end,) = [r for r in found.weights[-1].restraints if r.id == "end"]
    return end.utilisation * STRENGTH


@pytest.mark.parametrize("gap_mm", [1.0, 4.0, 9.0])
def test_what_falls_on_a_neighbour_works_what_stands_behind_it(gap_mm: float) -> None:
    gives = LOAD / CONTACT + LOAD / CLEAT  # mm, of what it strikes, at rest under it
    by_hand = 2.0 * LOAD + LOAD * math.sqrt(1.0 + 2.0 * gap_mm / gives)
    assert asked_of_the_end(row([gap_mm])) == pytest.approx(by_hand, rel=0.01)


def test_weights_that_touch_only_press() -> None:
    assert asked_of_the_end(row([0.0])) == pytest.approx(2.0 * LOAD, rel=1e-3)


def test_it_goes_through_all_that_stand_in_a_row() -> None:
    """The first of three falls through 5 mm; the second touches the third."""
    gives = 2.0 * LOAD / CONTACT + LOAD / CLEAT
    by_hand = 3.0 * LOAD + LOAD * math.sqrt(1.0 + 2.0 * 5.0 / gives)
    assert asked_of_the_end(row([5.0, 0.0])) == pytest.approx(by_hand, rel=0.01)


def test_two_gaps_in_a_row_bring_the_work_of_both() -> None:
    """All the energy there is, on the cleat alone: the first falls through 10 mm, the second through the last 5."""
    energy = LOAD * 10.0 + LOAD * 5.0  # N mm
    least = 3.0 * LOAD + math.sqrt(2.0 * CLEAT * CONTACT / (CLEAT + CONTACT) * energy)
    asked = asked_of_the_end(row([5.0, 5.0]))
    assert least < asked < 2.0 * least


def test_a_gap_and_then_slack_is_worse_than_either() -> None:
    both = asked_of_the_end(row([5.0], 5.0))
    assert both > asked_of_the_end(row([5.0]))
    assert both > asked_of_the_end(row([0.0], 5.0))


def test_the_words_are_said_of_gaps_that_close() -> None:
    for found in row([4.0]).weights:
        assert any("next leaves 4 mm between this weight and b" in r for r in found.reasons), found.reasons
    away = row([4.0], scenario=SWAY | {"id": "away", "sway_g": [-1.0]})
    assert not any("leaves" in r for w in away.weights for r in w.reasons)
