"""How long the owner waits, run on request: pytest tests/speed --run-speed -s.

From a keystroke in the form to the painted verdict. The first paint is measured in test_first_paint_speed.py.
"""

from __future__ import annotations

import asyncio
import statistics
import time
from pathlib import Path

import numpy as np
import pytest

from secure_load.screen.app import SecureLoadApp
from secure_load.screen.form.pane import FormPane
from secure_load.verdict.check import check_weight

pytestmark = pytest.mark.speed

DEMO = Path(__file__).parents[2] / "demo_boats" / "brindlewick.toml"
BESIDE_S = 0.2
"""Beside the check itself: the pause before it begins (0.02 s), taking the figure in, painting."""
MOST_CHECKS = 2.0
"""The check beside a living screen may take so many times what it takes alone."""


async def test_from_keystroke_to_painted_verdict(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("secure_load.screen.safekeeping.keeper.state_folder", lambda: tmp_path / "state")
    app = SecureLoadApp(DEMO)
    waits: dict[str, list[float]] = {}
    checks: list[float] = []
    async with app.run_test(size=(120, 40)) as pilot:
        while app.main is None or not app.main.is_mounted or app.main.session.questions():
            await pilot.pause(0.05)
        main = app.main
        for weight in [w.id for w in main.session.boat.weight]:
            main.session.chosen = weight
            main.show_all(afresh=True)
            await pilot.pause(0.5)
            mass = next(r for r in main.query_one(FormPane).rows if r.field.label == "Mass")
            if main.session.weight is not None and main.session.weight.ingots is not None:
                mass = next(r for r in main.query_one(FormPane).rows if r.field.label == "Its middle, forward")
            index = main.session.index
            assert index is not None
            for n in range(4):
                begun = time.perf_counter()
                mass.input.value = f"{float(mass.input.value) + 0.01 * (n + 1):.2f}"
                await asyncio.sleep(0)
                while main.session.questions() == [] and time.perf_counter() - begun < 0.05:
                    await asyncio.sleep(0.001)
                while main.session.questions():
                    await asyncio.sleep(0.005)
                await pilot.pause()
                waits.setdefault(weight, []).append(time.perf_counter() - begun)
            run = main.session.run()
            now = main.session.boat.weight[index]
            run.family_for(now)
            begun = time.perf_counter()
            check_weight(now, run)
            checks.append(time.perf_counter() - begun)
        app.left = True
    every = np.array([w for each in waits.values() for w in each])
    print(f"\nkeystroke to painted verdict: median {_ms(np.median(every))}, p95 {_ms(np.quantile(every, 0.95))}")  # noqa: T201  a benchmark is run to be read
    print(f"the check alone: median {_ms(np.median(checks))}, p95 {_ms(np.quantile(checks, 0.95))}")  # noqa: T201  a benchmark is run to be read
    for weight, check in zip(waits, checks, strict=True):
        print(f"  {weight:<18} {_ms(statistics.median(waits[weight]))}, the check alone {_ms(check)}")  # noqa: T201
    assert float(np.median(every)) < BESIDE_S + MOST_CHECKS * float(np.median(checks))


def _ms(seconds: float | np.floating) -> str:
    return f"{1e3 * float(seconds):.0f} ms"
