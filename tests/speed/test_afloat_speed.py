"""How quick the hull is floated, run on request: pytest tests/speed --run-speed -s.

Processor time is printed beside the clock, because the machine may be doing other things.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np
import pytest

from secure_load.afloat.ballast.ingot_program import Stowing, solve
from secure_load.afloat.hull.attitude import fixed_load
from secure_load.afloat.hull.levers import righting_curve
from secure_load.afloat.report import float_report
from tests.reference.hulls import cutter, wigley
from tests.unit.test_afloat_report import drawn

pytestmark = pytest.mark.speed


def median(what: str, run: Callable[[], object], times: int = 7) -> float:
    """Median of the clock, s; prints it with the processor time."""
    clock: list[float] = []
    processor: list[float] = []
    for _ in range(times):
        start, busy = time.perf_counter(), time.process_time()
        run()
        clock.append(time.perf_counter() - start)
        processor.append(time.process_time() - busy)
    sys.stdout.write(
        f"\n{what}: {np.median(clock) * 1e3:.0f} ms by the clock, {np.median(processor) * 1e3:.0f} ms of processor\n"
    )
    return float(np.median(clock))


def test_a_whole_righting_curve_with_free_trim() -> None:
    for name, hull in (("drawn cutter", cutter(21)), ("40 points a side", wigley(7.0, 2.2, 0.6, 0.6, 21, 38))):
        centre = np.array([2.7 if name == "drawn cutter" else 3.3, 0.02, -0.1])
        taken = median(
            f"righting curve, 181 heels, 21 stations, {name}",
            lambda hull=hull, centre=centre: righting_curve(hull, lambda h: fixed_load(2100.0, centre, h), 1025.0),
        )
        assert taken < 0.3


def test_a_whole_report() -> None:
    boat = drawn()
    assert median("report before and after, 15 stations", lambda: float_report(boat), 3) < 1.5


@pytest.mark.parametrize(("count", "places"), [(200, 12), (200, 60), (200, 1500)])
def test_placing_two_hundred_ingots(count: int, places: int) -> None:
    rng = np.random.default_rng(4)
    problem = Stowing(
        mass=np.array([4.0, 2.7]),
        count=np.array([count / 2, count / 2]),
        along=rng.uniform(1.0, 5.0, places),
        across=rng.uniform(-0.6, 0.6, places),
        height=rng.uniform(-0.8, -0.2, places),
        reach=rng.integers(0, 6, places).astype(float),
        room_count=np.full(places, max(3.0, 1.6 * count // places)),
        room_mass=np.full(places, np.inf),
        bearing=np.full(places, np.inf),
        along_wanted=3.0 * 3.35 * count,
        across_wanted=0.0,
        along_tolerance=20.0,
        across_tolerance=3.0,
    )
    assert median(f"placing {count} ingots in {places} places", lambda: solve(problem), 1) < 5.0
