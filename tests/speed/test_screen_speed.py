"""How long the owner waits, run on request: pytest tests/speed/test_screen_speed.py --run-speed -s.

From a key pressed in the form to the verdict's new words on their way to the terminal: all that the screen writes is
kept with its time and read afterwards, as a terminal would read it. The moment counted is that of the last byte that
changed any character of the verdict's pane, or of the verdict in the weight's line of the list. The first paint is
measured in test_first_paint_speed.py.
"""

from __future__ import annotations

import asyncio
import gc
import re
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from textual import events
from textual.drivers.headless_driver import HeadlessDriver
from textual.geometry import Region
from textual.widgets import Input

from secure_load.boat.file import read_boat
from secure_load.boat.render import render_boat
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.form.pane import FormPane
from secure_load.screen.main.screen import MainScreen
from secure_load.screen.session import tasks
from secure_load.screen.session.worker import CheckWorker
from tests.speed.larger_boats import tier_of

pytestmark = pytest.mark.speed

DEMOS = sorted((Path(__file__).parents[2] / "demo_boats").glob("*.toml"))
WIDE, HIGH = 120, 40
DIGITS = "2479"
"""Typed one after another in the place of the last figure of each mass."""
VERDICT_COLUMNS = 25
"""Of a line of the list: the mark and how hard it is worked; the mass after them changes with the key itself."""
TOUCHING = 4
"""Ingots in two layers, each leaning on the next."""
BURST_S = 0.08
"""Between keys typed one after another."""
BESIDE_S = 0.04
"""The screen's own share of a wait, in the middle of all: whatever else the machine does shows at p95 first. The check
itself is measured in test_engine_speed.py."""
_STEP = re.compile(
    r"\x1b\[(\d+);(\d+)H|\x1b\[[0-9;?<>=]*[ -/]*[@-~]|\x1b[PX^_\]].*?(?:\x1b\\|\x07)|\x1b.|([^\x1b]+)", re.S
)


@dataclass
class Paper:
    """What was written to the terminal, and the picture it made so far."""

    written: list[tuple[float, str]] = field(default_factory=list[tuple[float, str]])
    cells: list[list[str]] = field(default_factory=lambda: [[" "] * WIDE for _ in range(HIGH)])

    def draw(self, data: str) -> None:
        """Take in what a terminal was sent; every character is one cell wide here."""
        row = column = 0
        for found in _STEP.finditer(data):
            if found[1] is not None:
                row, column = int(found[1]) - 1, int(found[2]) - 1
            for letter in found[3] or "":
                if letter == "\n":
                    row, column = row + 1, 0
                elif letter == "\r":
                    column = 0
                elif row < HIGH and column < WIDE:
                    self.cells[row][column] = letter
                    column += 1

    def words(self, places: list[Region]) -> list[str]:
        """What stands in some places."""
        return ["".join(self.cells[y][p.x : p.right]) for p in places for y in range(p.y, p.bottom)]

    def last_change(self, places: list[Region]) -> float | None:
        """When the characters there were changed last by what was written since this was asked before."""
        before, when = self.words(places), None
        for moment, data in self.written:
            self.draw(data)
            now = self.words(places)
            if now != before:
                before, when = now, moment
        self.written.clear()
        return when


class Typist(HeadlessDriver):
    """Writes to paper; the screen takes it for a terminal."""

    paper: Paper

    @property
    def is_headless(self) -> bool:
        """No: all is written as to a terminal."""
        return False

    def write(self, data: str) -> None:
        """Keep it with its time."""
        self.paper.written.append((time.perf_counter(), data))

    def type(self, key: str, character: str | None) -> float:
        """A key, as it comes from the terminal."""
        event = events.Key(key, character)
        event.set_sender(self._app)
        now = time.perf_counter()
        self.send_message(event)
        return now


@dataclass
class Wait:
    """One key and what came of it, in seconds."""

    whole: float
    to_ask: float
    check: float
    """In the worker's thread, beside the screen's."""
    to_paint: float


@dataclass
class Clock:
    """When a verdict was asked for first since it was set to nought, and when its answer was there."""

    asked: float = 0.0
    came: float = 0.0


def watched(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """A clock at the door of the worker."""
    clock, request, check_stages = Clock(), CheckWorker.request, tasks.check_stages

    def requesting(self: CheckWorker, wanted: Any, *more: Any) -> None:
        if not clock.asked:
            clock.asked = time.perf_counter()
        request(self, wanted, *more)

    def working_out(*question: Any) -> Any:
        for answer in check_stages(*question):
            if not clock.came:
                clock.came = time.perf_counter()
            yield answer

    monkeypatch.setattr(CheckWorker, "request", requesting)
    monkeypatch.setattr(tasks, "check_stages", working_out)
    return clock


async def settled(main: MainScreen, at_least: float = 0.12) -> None:
    """Wait until all is worked out, drawn and kept."""
    await asyncio.sleep(at_least)
    while main.session.requests() or main.pictures.missing(main.session):
        await asyncio.sleep(0.01)
    await asyncio.sleep(0.45)


async def typed(path: Path, do: Callable[[MainScreen, Typist, Input, str], Any]) -> None:
    """Open a boat and do something with the mass of each weight, the cursor behind its last figure."""
    app = SecureLoadApp(path)
    app.driver_class = Typist
    async with app.run_test(size=(WIDE, HIGH), headless=False) as pilot:
        while app.main is None or not app.main.is_mounted or app.main.session.requests():
            await pilot.pause(0.05)
        main = app.main
        gc.collect()
        gc.freeze()  # as the opening of the program does, which is passed over here
        await pilot.press("f3")
        assert isinstance(app._driver, Typist)
        for weight in main.session.boat.weight:
            main.session.chosen = weight.id
            main.show_all(afresh=True)
            row = next(r for r in main.query_one(FormPane).rows if r.field.label == "Mass")
            row.input.focus()
            await settled(main)
            text = row.input.value.removesuffix(" kg")
            row.input.value, row.input.cursor_position = text, len(text)
            if "." in text:  # a whole kilogram more or less is seen in the figures
                row.input.value = text = text.partition(".")[0]
                row.input.cursor_position = len(text)
            await settled(main)
            await do(main, app._driver, row.input, weight.id)
        app.left = True
        main.keeper.close()


def places_of(main: MainScreen, weight: str) -> list[Region]:
    """Where the words of a weight's verdict stand; the mark of how far they are scrolled is none of them."""
    line = main.session.index
    assert line is not None
    top = main.table.content_region
    words = main.query_one("#summary").content_region
    return [words, Region(top.x, top.y + 1 + line, VERDICT_COLUMNS, 1)]


async def measured(path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, list[Wait]]:
    """The waits for each weight's verdict, key by key."""
    waits: dict[str, list[Wait]] = {}
    Typist.paper = paper = Paper()
    clock = watched(monkeypatch)

    async def each(main: MainScreen, terminal: Typist, mass: Input, weight: str) -> None:
        for digit in DIGITS:
            if mass.value.endswith(digit):
                continue
            terminal.type("backspace", None)
            await settled(main)
            places = places_of(main, weight)
            paper.last_change(places)
            clock.asked = clock.came = 0.0
            begun = terminal.type(digit, digit)
            await settled(main)
            painted = paper.last_change(places)
            assert mass.value.endswith(digit)
            if painted is None or not begun < clock.asked < clock.came < painted:
                continue  # nothing of it is seen: the words are those there were
            waits.setdefault(weight, []).append(
                Wait(
                    painted - begun,
                    clock.asked - begun,
                    clock.came - clock.asked,
                    painted - clock.came,
                )
            )

    await typed(path, each)
    return waits


def told(name: str, waits: list[Wait]) -> None:
    """The figures, to be read."""

    def of(part: str) -> str:
        found = np.array([getattr(w, part) for w in waits])
        return f"{1e3 * np.median(found):4.0f} {1e3 * np.quantile(found, 0.95):4.0f}"

    print(  # noqa: T201  a benchmark is run to be read
        f"  {name:<20} {len(waits):>3} keys  whole {of('whole')}   key to asked {of('to_ask')}   check {of('check')}   "
        f"answer to painted {of('to_paint')}"
    )


async def test_from_key_to_painted_verdict(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("secure_load.screen.session.autosave.state_folder", lambda: tmp_path / "state")
    print("\nmilliseconds, median and p95, at 120 x 40")  # noqa: T201
    every: list[Wait] = []
    for path in DEMOS:
        waits = await measured(path, monkeypatch)
        for weight, found in waits.items():
            told(weight, found)
        mine = [w for found in waits.values() for w in found]
        told(path.stem.upper(), mine)
        every += mine
    told("ALL DEMO BOATS", every)
    assert float(np.median([w.whole - w.check for w in every])) < BESIDE_S


async def test_weights_that_touch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of which one changed is worked out with all it touches."""
    monkeypatch.setattr("secure_load.screen.session.autosave.state_folder", lambda: tmp_path / "state")
    path = tmp_path / "larger.toml"
    path.write_text(render_boat(tier_of(TOUCHING)), encoding="utf-8", newline="\n")
    waits = await measured(path, monkeypatch)
    print(f"\n{TOUCHING} ingots that touch: milliseconds, median and p95")  # noqa: T201
    for weight, found in waits.items():
        told(weight, found)


async def test_after_the_last_of_a_burst_of_keys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Figures typed one after another, as a person does; what counts is the wait after the last."""
    monkeypatch.setattr("secure_load.screen.session.autosave.state_folder", lambda: tmp_path / "state")
    waits: list[float] = []
    Typist.paper = paper = Paper()

    async def each(main: MainScreen, terminal: Typist, mass: Input, weight: str) -> None:
        for figures in ("1.37", "2.64"):
            places = places_of(main, weight)
            paper.last_change(places)
            begun = 0.0
            for letter in figures:
                begun = terminal.type("full_stop" if letter == "." else letter, letter)
                await asyncio.sleep(BURST_S)
            await settled(main)
            painted = paper.last_change(places)
            if painted is not None and painted > begun:
                waits.append(painted - begun)
            for _ in figures:
                terminal.type("backspace", None)
                await asyncio.sleep(BURST_S)
            await settled(main)

    await typed(DEMOS[0], each)
    print(  # noqa: T201
        f"\nafter the last of four keys {1e3 * BURST_S:.0f} ms apart: median {1e3 * np.median(waits):.0f} ms, "
        f"p95 {1e3 * np.quantile(waits, 0.95):.0f} ms ({len(waits)} times)"
    )
    assert len(waits) >= len(read_boat(DEMOS[0]).weight)
