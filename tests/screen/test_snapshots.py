"""The main screens as they stand, at 80 x 24 and 120 x 40, beside how they stood when somebody last looked at them.

The words are compared line by line, and of two screens the picture (SVG) as well, for its colours.
``pytest tests/screen/test_snapshots.py --update-snapshots`` writes them anew: then look at what changed.
"""

from __future__ import annotations

import datetime
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.drawing.glyphs import BRAILLE
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.row import FieldRow
from secure_load.screen.mend.screen import MendScreen
from secure_load.screen.records.screen import RecordsScreen

from .conftest import main_screen, settle, text_of

HERE = Path(__file__).parent / "snapshots"
SIZES = [(80, 24), (120, 40)]

Way = Callable[[Pilot[None], SecureLoadApp], Awaitable[None]]


async def _list(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("f2")


async def _form(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("f3")


async def _restraint(pilot: Pilot[None], app: SecureLoadApp) -> None:
    main_screen(app).bring("form")
    main_screen(app).query_one(FormPane).open_restraint(1)


async def _verdict(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("f4")


def _drawing(sight: str) -> Way:
    async def go(pilot: Pilot[None], app: SecureLoadApp) -> None:
        main = main_screen(app)
        await pilot.press("f5", sight)
        main.table.move_to(60.0)
        for _ in range(2000):
            await pilot.pause(0.02)
            if not main.pictures.missing(main.session, rose=sight == "k"):
                break
        await pilot.pause(0.3)

    return go


async def _boat(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("b")


async def _scenarios(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("ctrl+t")


async def _own_scenario(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("ctrl+t")
    await pilot.pause(0.2)
    await pilot.press("down", "c")
    await pilot.pause(0.2)
    await settle(pilot)


async def _found(pilot: Pilot[None], app: SecureLoadApp) -> None:
    day = datetime.date(2031, 4, 5)
    finding = [{"date": day, "note": "two screws weeping", "factor": 0.7}]
    main_screen(app).session.apply_changes({("weight", 0, "restraint", 1, "finding"): finding}, "found")
    main_screen(app).changed_afresh()
    await _restraint(pilot, app)
    await settle(pilot)
    await pilot.press("ctrl+f")


async def _adding(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("f7")


async def _timber(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await _restraint(pilot, app)
    for label in ("Face", "Timber"):
        for _ in range(500):
            await pilot.pause(0.02)
            row = app.focused.parent if app.focused is not None else None
            if isinstance(row, FieldRow) and row.field.label == label:
                break
        await pilot.pause(0.3)  # until it is scrolled into sight
        await pilot.press("tab" if label == "Face" else "enter")


async def _new_weight(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("a")


async def _mend(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("f9")
    for _ in range(2000):
        await pilot.pause(0.02)
        if isinstance(app.screen, MendScreen) and app.screen.done:
            return


async def _why(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("w")


async def _records(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("f11")
    await pilot.pause(0.2)
    assert isinstance(app.screen, RecordsScreen)
    await app.screen.workers.wait_for_complete()


async def _help(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("f1")


async def _leaving(pilot: Pilot[None], app: SecureLoadApp) -> None:
    await pilot.press("c")
    await settle(pilot)
    await pilot.press("ctrl+q")


SCREENS: dict[str, Way] = {
    "list": _list,
    "form": _form,
    "restraint": _restraint,
    "verdict": _verdict,
    "section": _drawing("d"),
    "plan": _drawing("p"),
    "rose": _drawing("k"),
    "boat": _boat,
    "scenarios": _scenarios,
    "own-scenario": _own_scenario,
    "found": _found,
    "adding": _adding,
    "timber": _timber,
    "new-weight": _new_weight,
    "mend": _mend,
    "why": _why,
    "records": _records,
    "help": _help,
    "leaving": _leaving,
}
PICTURED = ("list", "section")


@pytest.fixture(autouse=True)
def steady(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same characters and no blinking, whatever the terminal of the test run."""
    monkeypatch.setattr("secure_load.screen.main.screen.usual_glyphs", lambda encoding: BRAILLE.name)
    monkeypatch.setattr("secure_load.screen.app.app.plain_filter", lambda encoding: None)


def held_to(name: str, text: str, update: bool) -> None:
    """Compare with what is kept under a name, or keep it."""
    path = HERE / name
    if update:
        HERE.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    assert path.read_text(encoding="utf-8") == text, f"{name} is not as it was: look, then --update-snapshots"


@pytest.mark.long
@pytest.mark.parametrize(("width", "height"), SIZES, ids=lambda n: str(n))
@pytest.mark.parametrize("name", SCREENS)
async def test_a_screen_stands_as_it_stood(
    name: str, width: int, height: int, boat_file: Path, request: pytest.FixtureRequest
) -> None:
    if name == "found":
        pytest.skip("known fault: the form behind this sheet scrolls when fixes come in, now before, now after")
    update = bool(request.config.getoption("--update-snapshots"))
    app = SecureLoadApp(boat_file)
    app.animation_level = "none"
    async with app.run_test(size=(width, height)) as pilot:
        await settle(pilot)
        await SCREENS[name](pilot, app)
        await pilot.pause(0.2)
        await settle(pilot)
        for each in app.screen.query(Input).results():
            each.cursor_blink = False
        await pilot.pause(0.3)
        text = "\n".join(line.rstrip() for line in text_of(app).splitlines()) + "\n"
        svg = app.export_screenshot(title="Secure Load").replace("\r\n", "\n")
    held_to(f"{name}-{width}x{height}.txt", text, update)
    if name in PICTURED:
        held_to(f"{name}-{width}x{height}.svg", svg, update)


@pytest.mark.parametrize(("width", "height"), SIZES, ids=lambda n: str(n))
async def test_the_start_stands_as_it_stood(
    width: int, height: int, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr("secure_load.screen.start.screen.demo_boats", lambda: [tmp_path / "little_auk.toml"])
    app = SecureLoadApp()
    async with app.run_test(size=(width, height)) as pilot:
        await pilot.pause(0.3)
        text = "\n".join(line.rstrip() for line in text_of(app).splitlines()) + "\n"
    held_to(f"start-{width}x{height}.txt", text, bool(request.config.getoption("--update-snapshots")))
