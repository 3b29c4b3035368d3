"""How the check grows with the boat: one edited weight, whole boats, tiers of ingots; run on request."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from secure_load.check.sampler import worst_over_bounds
from secure_load.loads.load_cases import load_cases, loads
from secure_load.loads.scenarios import builtin_scenarios
from secure_load.solver.equilibrium import solve
from tests.speed.test_engine_speed import typical

pytestmark = pytest.mark.speed

ROOT = Path(__file__).parents[2]
LARGEST_MB = 300.0


def in_its_own_program(*words: str) -> dict[str, Any]:
    """What ``tests.speed.larger_boats`` prints, run as the command is: BLAS's own threads off."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.speed.larger_boats", *words],
        cwd=ROOT,
        env=os.environ | {"OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def test_one_edited_weight_in_a_boat_of_24() -> None:
    """It costs what a twenty-fourth of the boat does: the others are left alone."""
    spent = in_its_own_program("edits", "24")["found"]["24"]
    whole = in_its_own_program("boats", "24")["found"]["24"]
    for key in ("wall", "cpu"):
        middle, high = np.percentile(spent[key], [50, 95])
        print(f"\none of 24, {key}: p50 {middle * 1e3:.0f} ms, p95 {high * 1e3:.0f} ms")  # noqa: T201
    print(f"all 24: {whole['wall']:.2f} s, {whole['cpu']:.2f} s of the processors")  # noqa: T201
    assert np.mean(spent["cpu"]) < 3.0 * whole["cpu"] / 24.0


def test_time_grows_as_the_weights_do() -> None:
    counts = (6, 12, 24, 48)
    answer = in_its_own_program("boats", *map(str, counts))
    spent = [answer["found"][str(count)]["cpu"] for count in counts]
    told = ", ".join(f"{count}: {s:.2f} s" for count, s in zip(counts, spent, strict=True))
    print(f"\nweights: {told}; at most {answer['peak_mb']} MB")  # noqa: T201
    assert spent[-1] / spent[0] < 1.3 * counts[-1] / counts[0]
    assert answer["peak_mb"] is None or answer["peak_mb"] < LARGEST_MB


def test_tiers_grow_no_faster_than_the_square() -> None:
    """Ratios to one ingot, in one run, and the first verdict on an edited tier's ingot."""
    counts = (1, 2, 4, 8, 11, 16)
    answer = in_its_own_program("tiers", *map(str, counts))
    spent = [answer["found"][str(count)]["cpu"] for count in counts]
    first = [answer["found"][str(count)]["first"] for count in counts]
    for count, whole, one in zip(counts, spent, first, strict=True):
        print(  # noqa: T201
            f"\n{count} ingots: {whole:.2f} s, {whole / spent[0]:.1f} of one; first verdict {one:.2f} s"
        )
    assert spent[-1] / spent[2] < 1.5 * (counts[-1] / counts[2]) ** 2
    assert answer["peak_mb"] is None or answer["peak_mb"] < 2.0 * LARGEST_MB


as_the_command_runs = pytest.mark.skipif(
    os.environ.get("OPENBLAS_NUM_THREADS") != "1",
    reason="BLAS's own threads are in the way: run with OPENBLAS_NUM_THREADS=1, as the command sets it",
)


@as_the_command_runs
@pytest.mark.parametrize(("friction", "times"), [(0.0, 4.0), (0.3, 16.0)])
def test_against_nothing_but_the_solves(friction: float, times: float) -> None:
    """The whole of the working over numpy's own batched solution of as many six by six systems."""
    stowed = typical(friction)
    meant = load_cases(list(builtin_scenarios()))
    load = loads(meant.instants.at(meant.unique_rows), stowed.body.mass, stowed.body.at)
    rng = np.random.default_rng(1)
    matrix = rng.normal(size=(len(load), 6, 6))
    matrix = matrix @ matrix.transpose(0, 2, 1) + np.eye(6)
    right = rng.normal(size=(len(load), 6, 1))
    ours = min(_spent(lambda: solve(stowed.springs, load, meant.plan)) for _ in range(5))
    theirs = min(_spent(lambda: np.linalg.solve(matrix, right)) for _ in range(5))
    print(  # noqa: T201
        f"\nfriction {friction}: {ours / len(load) * 1e6:.2f} us an instant, {theirs / len(load) * 1e6:.2f} us a bare "
        f"solve: {ours / theirs:.1f}"
    )
    assert ours / theirs < times


@as_the_command_runs
@pytest.mark.parametrize("friction", [0.0, 0.3])
def test_the_whole_sweep_against_nothing_but_the_solves(friction: float) -> None:
    """What the verdict asks for, all bounds and every part's utilisation, over numpy's bare solution of as many six by
    six systems as there are loads in all bounds, solved or not."""
    stowed = typical(friction)
    meant = load_cases(list(builtin_scenarios()))
    load = stowed.loads_at(meant.instants.at(meant.unique_rows))
    many = len(load) * len(stowed.bounds)
    rng = np.random.default_rng(1)
    matrix = rng.normal(size=(many, 6, 6))
    matrix = matrix @ matrix.transpose(0, 2, 1) + np.eye(6)
    right = rng.normal(size=(many, 6, 1))
    ours = min(_spent(lambda: worst_over_bounds(stowed, load, meant)) for _ in range(5))
    theirs = min(_spent(lambda: np.linalg.solve(matrix, right)) for _ in range(5))
    looked = worst_over_bounds(stowed, load, meant).is_solved
    assert looked is not None
    print(  # noqa: T201
        f"\nfriction {friction}: {ours * 1e3:.0f} ms for {len(load)} loads in {len(stowed.bounds)} bounds, "
        f"{np.count_nonzero(looked)} loads solved in one of them or more; bare solves {theirs * 1e3:.1f} ms: "
        f"{ours / theirs:.1f}"
    )
    assert ours / theirs < 16.0


def _spent(work: Any) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start
