"""How quick the load engine is, run on request: pytest tests/speed --run-speed -s.

A ratio to a solver called instant by instant says more than seconds on somebody's machine; seconds are held to
only where a person waits for them.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from secure_load.boat.file import read_boat
from secure_load.boat.models import Weight
from secure_load.loads.load_cases import load_cases, loads
from secure_load.loads.scenarios import builtin_scenarios
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve
from tests.reference import qp, stows

pytestmark = pytest.mark.speed

DEMO = Path(__file__).parents[2] / "demo_boats"


def typical(friction: float) -> GroupModel:
    """A bed, four cleats, a batten and two lashings: some 30 links."""
    sides = [{"type": "cleat", "face": face, "timber": "oak-white"} for face in ("port", "starboard", "fore", "aft")]
    lines = [
        {"type": "lashing", "from_m": [3.6, side * 0.1, -0.26], "to_m": [3.6, side * 0.4, -0.40]} for side in (-1, 1)
    ]
    weight = Weight.model_validate(
        {
            "id": "pigs",
            "mass_kg": 48.0,
            "at_m": [3.6, 0.0, -0.32],
            "size_m": [0.42, 0.20, 0.12],
            "restraint": [{"type": "bed", "friction": friction}, *sides, {"type": "batten"}, *lines],
        }
    )
    return build_single_model(weight, stows.BOAT)


def test_a_sweep_against_a_dual_program_called_cold() -> None:
    """The whole family of built-in scenarios for one greased weight: at least four times as quick as daqp in a loop,
    the reference's preparation and python's own overhead counted in its favour where they can be."""
    stowed = typical(0.0)
    links = stowed.springs
    meant = load_cases(list(builtin_scenarios()))
    load = loads(meant.instants.at(meant.unique_rows), stowed.body.mass, stowed.body.at)
    solve(links, load, meant.plan)
    ours = min(_time(lambda: solve(links, load, meant.plan)) for _ in range(3))
    sample = load[:: max(1, len(load) // 1000)]
    problem = qp.prepare(links.direction, links.stiffness, links.preload, links.one_way)
    whole = np.hstack([sample, np.zeros_like(sample)])
    theirs = _time(lambda: [qp.by_daqp(problem, w) for w in whole]) * len(load) / len(sample)
    inside = sum(_inside_daqp(problem, w) for w in whole) * len(load) / len(sample)
    found = solve(links, load, meant.plan)
    print(  # noqa: T201  a benchmark is run to be read
        f"\n{len(meant.instants)} instants, {len(load)} distinct, {len(links.stiffness)} links: {ours * 1e3:.0f} ms, "
        f"{ours / len(load) * 1e6:.2f} us each; daqp cold {theirs / len(load) * 1e6:.1f} us each "
        f"({inside / len(load) * 1e6:.1f} us inside it); ratio {theirs / ours:.1f} ({inside / ours:.1f}); "
        f"{found.fallback_count} handed over"
    )
    assert theirs / ours >= 4.0


def test_friction_costs_no_more_than_daqp_without_it() -> None:
    stowed = typical(0.3)
    meant = load_cases(list(builtin_scenarios()))
    load = loads(meant.instants.at(meant.unique_rows), stowed.body.mass, stowed.body.at)
    solve(stowed.springs, load, meant.plan)
    ours = min(_time(lambda: solve(stowed.springs, load, meant.plan)) for _ in range(3))
    links = stowed.springs.frictionless()
    problem = qp.prepare(links.direction, links.stiffness, links.preload, links.one_way)
    sample = np.hstack([load[::20], np.zeros_like(load[::20])])
    theirs = _time(lambda: [qp.by_daqp(problem, w) for w in sample]) * len(load) / len(sample)
    found = solve(stowed.springs, load, meant.plan)
    print(  # noqa: T201  a benchmark is run to be read
        f"\nwith friction: {len(load)} distinct, {len(stowed.springs.tangent_stiffness)} friction rows: "
        f"{ours / len(load) * 1e6:.2f} us each; ratio {theirs / ours:.1f}; {found.fallback_count} handed over"
    )
    assert theirs / ours >= 1.0


def test_the_largest_demo_boat_within_two_seconds() -> None:
    """The whole command, from its start to its last word, in a program of its own."""
    boats = {path: read_boat(path) for path in sorted(DEMO.glob("*.toml"))}
    largest = max(boats, key=lambda path: len(boats[path].weight))
    command = [sys.executable, "-m", "secure_load", "check", str(largest), "--json"]
    spent: list[float] = []
    for _ in range(3):
        start = time.perf_counter()
        done = subprocess.run(command, capture_output=True, check=False)
        spent.append(time.perf_counter() - start)
    verdict = json.loads(done.stdout)
    median = sorted(spent)[1]
    print(  # noqa: T201  a benchmark is run to be read
        f"\n{verdict['boat']}: {len(verdict['weights'])} weights, {verdict['instants']} instants in {median:.2f} s"
    )
    assert median < 2.0


def _time(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def _inside_daqp(problem: qp.Prepared, w: np.ndarray) -> float:
    """Seconds spent in daqp itself, without python's part."""
    spent: list[float] = []
    qp.by_daqp(problem, w, spent)
    return sum(spent)
