"""How she floats, on the screen: figures, curve, loose weights, the sheets; a pilot at both sizes."""

from __future__ import annotations

import io
import threading
from collections.abc import Callable

import pytest
from textual.pilot import Pilot
from textual.widgets import TabbedContent

from secure_load.afloat.report import condition_when_loose, float_report
from secure_load.boat.file import parse_boat
from secure_load.boat.models import BoatFile
from secure_load.screen.afloat import screen as afloat
from secure_load.screen.afloat.curve import CurveView
from secure_load.screen.afloat.screen import PANES, AfloatScreen
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.drawing.view import terminal_glyphs
from tests.reference.hulls import cutter_sections

from .conftest import taken, text_of

HEAD = """\
schema = 1
[boat]
name = "Dun [red]lin"
lwl_m = 6.4
bwl_m = 2.05
displacement_kg = 1850
[[weight]]
id = "pigs"
name = "Pigs [amidships]"
mass_kg = 300
at_m = [3.3, 0.04, -0.15]
size_m = [0.5, 0.2, 0.1]
[[weight]]
id = "kedge"
mass_kg = 9.5
at_m = [5.2, 0.4, 0.1]
[float]
kg_m = 0.95
"""
SHAPE = "".join(f"[[float.section]]\nx_m = {x}\npoints_m = {points}\n" for x, points in cutter_sections(9))
BALLAST = """
[float.placing]
ingot = [{ id = "pig", each_kg = 20.0, count = 4 }]
place = [{ id = "mast", at_m = [3.6, 0.0, -0.70], room_count = 4 }]
[float.casting]
mould = { top_mm = [220.0, 110.0], bottom_mm = [200.0, 90.0], depth_mm = 60.0 }
[float.lift]
hands_out_mm = 550
from_height_mm = 500
to_height_mm = 0
"""


def drawn() -> BoatFile:
    return parse_boat(HEAD + BALLAST + SHAPE)


async def opened(pilot: Pilot[None], boat: BoatFile) -> AfloatScreen:
    shown = AfloatScreen(boat)
    await pilot.app.push_screen(shown)
    await until(pilot, lambda: shown.worked_out)
    await taken(pilot, 0.1)
    return shown


async def until(pilot: Pilot[None], so: Callable[[], bool]) -> None:
    for _ in range(300):
        await pilot.pause(0.02)
        if so():
            return
    raise AssertionError("it never came to that")


@pytest.mark.long
@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_before_and_after_and_the_curve(size: tuple[int, int]) -> None:
    boat = drawn()
    report = float_report(boat)
    app = SecureLoadApp()
    async with app.run_test(size=size) as pilot:
        shown = await opened(pilot, boat)
        text = text_of(app)
        assert "Dun [red]lin" in text
        for words in (
            "without",
            "with weights",
            "change",
            "1850",
            f"{report.after.displacement_kg:.0f}",
            "draught aft, m",
        ):
            assert words in text, words
        assert f"{report.after.gm_m:.3f}" in text
        assert ("beyond it she fills" in text or "taken as tight" in text) == (size[0] > 100)
        await pilot.press("2")
        await until(pilot, lambda: any(row for row in shown.query_one("#curve CurveView", CurveView).rows()))
        await taken(pilot, 0.1)
        text = text_of(app)
        assert f"{report.after.vanishing_angle_deg:.0f} deg" in text
        assert "vanishes at" in text
        assert "righting moment" in text
        before = shown.query_one("#curve CurveView", CurveView).rows()
        await pilot.press("m")
        await until(pilot, lambda: "righting lever" in text_of(app))
        assert shown.query_one("#curve CurveView", CurveView).rows() != before
        await pilot.press("escape")
        await taken(pilot, 0.05)
        assert app.screen is not shown


@pytest.mark.long
async def test_the_keys_go_through_the_tabs() -> None:
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await opened(pilot, parse_boat(HEAD))
        tabs = shown.query_one(TabbedContent)
        for number, name in enumerate(PANES, start=1):
            await pilot.press(str(number))
            await taken(pilot, 0.05)
            assert tabs.active == name
        await pilot.press("left")
        await taken(pilot, 0.05)
        assert tabs.active == PANES[-2]
        await pilot.press("4", "right")
        await taken(pilot, 0.05)
        assert tabs.active == "placing"


@pytest.mark.long
async def test_weights_are_ticked_loose() -> None:
    boat = drawn()
    app = SecureLoadApp()
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, boat)
        await pilot.press("4")
        await taken(pilot, 0.05)
        assert "[ ] Pigs [amidships], 300" in text_of(app)
        await pilot.press("space")
        for side, name in ((-1, "port"), (1, "starboard")):
            found = condition_when_loose(boat, ["pigs"], side).list_deg
            assert found is not None
            said = f"{abs(found):.1f} {name}"
            await until(pilot, lambda said=said: said in text_of(app))
        assert "[x] Pigs [amidships]" in text_of(app)
        await pilot.press("space")
        await until(pilot, lambda: "gone to port" not in text_of(app))
        assert "[x]" not in text_of(app)


@pytest.mark.long
async def test_what_it_rests_on_and_the_sheets() -> None:
    app = SecureLoadApp()
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, drawn())
        for key, words in (
            ("3", ("offsets: 9 sections", "none in the file", "compliance with no standard")),
            ("5", ("mast: 4 x 20.0 kg (pig), 80.0 kg", "what holds it")),
            ("6", ("damp mould", "fume", "An ingot weighs")),
            ("7", ("Lifting 20.0 kg", "Two-person lifts")),
        ):
            await pilot.press(key)
            await until(pilot, lambda words=words: words[-1] in " ".join(text_of(app).split()))
            for each in words:
                assert each in " ".join(text_of(app).split()), each


async def test_placing_does_not_hold_up_the_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    go = threading.Event()

    def slow(boat: BoatFile) -> None:
        go.wait(5)
        raise RuntimeError("[no] such luck")

    monkeypatch.setattr(afloat, "place_ballast", slow)
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, drawn())
        await pilot.press("5")
        await taken(pilot, 0.1)
        assert "this takes some seconds" in text_of(app)
        await pilot.press("1")
        await taken(pilot, 0.1)
        assert "displacement, kg" in text_of(app)
        go.set()
        await pilot.press("5")
        await until(pilot, lambda: "RuntimeError: [no] such luck" in text_of(app))


@pytest.mark.long
async def test_too_little_known_is_said_in_a_sentence() -> None:
    boat = parse_boat('schema = 1\n[boat]\nname = "Teal"\nlwl_m = 5.0\n')
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, boat)
        assert "bwl_m" in text_of(app)
        for key, words in (("4", "No weight is listed"), ("5", "[float.placing]"), ("6", "[float.casting]")):
            await pilot.press(key)
            await taken(pilot, 0.1)
            assert words in text_of(app)


async def test_without_her_shape_no_curve_is_drawn() -> None:
    app = SecureLoadApp()
    async with app.run_test(size=(120, 40)) as pilot:
        shown = await opened(pilot, parse_boat(HEAD))
        assert "No righting curve is drawn" in " ".join(text_of(app).split())
        assert not any(view.display for view in shown.query(CurveView))


@pytest.mark.long
async def test_the_red_weights_are_ticked_at_a_key() -> None:
    """Nothing holds the pigs nor the kedge: both are red, and one key shows how she lies with both across."""
    boat = drawn()
    app = SecureLoadApp()
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, boat)
        assert "Tick failing" not in text_of(app)
        await pilot.press("4")
        await until(pilot, lambda: "Tick failing" in text_of(app))
        await pilot.press("r")
        await until(pilot, lambda: "gone to port" in text_of(app))
        assert text_of(app).count("[x]") == 2
        found = condition_when_loose(boat, ["pigs", "kedge"], -1).list_deg
        assert found is not None
        assert f"{abs(found):.1f} port" in text_of(app)
        assert app.screen.query_one("#beside-loose").display
        await pilot.press("space", "down", "space")
        await until(pilot, lambda: "[x]" not in text_of(app))
        await until(pilot, lambda: not app.screen.query_one("#beside-loose").display)


async def test_a_narrow_screen_keeps_the_loose_table_whole() -> None:
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await opened(pilot, drawn())
        await pilot.press("4", "space")
        await until(pilot, lambda: "as stowed           loose          change" in text_of(app))
        assert not shown.query_one("#beside-loose").display


async def test_a_weight_that_cannot_be_checked_is_taken_as_loose() -> None:
    boat = parse_boat(
        HEAD.replace("[float]", '[[weight.restraint]]\nid = "bed"\ntype = "bed"\ntimber = "oka"\n[float]', 1)
    )
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, boat)
        await pilot.press("4", "r")
        await until(pilot, lambda: text_of(app).count("[x]") == 2)


async def test_the_curve_is_drawn_in_the_finest_characters_the_terminal_has(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever key brought it up: while a key is answered, standard output is a catcher without an encoding."""
    monkeypatch.setenv("TERM", "xterm-256color")

    def braille(text: str) -> bool:
        return any("\u2801" <= letter <= "\u28ff" for letter in text)

    app = SecureLoadApp()
    async with app.run_test(size=(120, 40)) as pilot:
        await opened(pilot, drawn())
        assert braille(text_of(app)) == (terminal_glyphs() == "braille")
        await pilot.press("2", "m")
        await until(pilot, lambda: "righting lever" in text_of(app))
        assert braille(text_of(app)) == (terminal_glyphs() == "braille")
    monkeypatch.setattr("sys.stdout", object())
    monkeypatch.setattr("sys.__stderr__", io.TextIOWrapper(io.BytesIO(), encoding="utf-8"))
    assert terminal_glyphs() == "braille"
    monkeypatch.setattr("sys.__stderr__", io.TextIOWrapper(io.BytesIO(), encoding="latin-1"))
    assert terminal_glyphs() == "ascii"
