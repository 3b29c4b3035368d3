"""What would mend it, and why it is so: found, applied, taken back, read."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList

from secure_load.check.check import check_boat
from secure_load.record.text.why_chain import why_chain
from secure_load.screen.afloat.screen import AfloatScreen, LooseList
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.form.row import FieldRow
from secure_load.screen.form.section import SectionHead
from secure_load.screen.mend.screen import MendScreen
from secure_load.screen.records.screen import RecordsScreen
from secure_load.screen.why.screen import WhyScreen
from secure_load.solver.cancellation import Cancelled

from .conftest import main_screen, settle, taken, text_of, write


async def _found(pilot: Pilot[None], app: SecureLoadApp) -> MendScreen:
    for _ in range(600):
        await pilot.pause(0.02)
        if isinstance(app.screen, MendScreen) and app.screen.done:
            await taken(pilot, 0.05)
            return app.screen
    raise AssertionError("the search never came to an end")


@pytest.mark.long
async def test_a_proposal_is_read_applied_with_one_key_and_taken_back_with_another(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        before = session.boat
        await pilot.press("f9")
        screen = await _found(pilot, app)
        text = text_of(app)
        assert [r.minutes for r in screen.remedies] == sorted(r.minutes for r in screen.remedies)
        number, best = next((n, r) for n, r in enumerate(screen.remedies, start=1) if r.kind == "change")
        assert best.verdict == "green"
        assert best.work in text
        assert best.change[:30] in text
        assert "once built  G holds" in text
        await pilot.press(str(number))
        await settle(pilot)
        found = session.states()["pigs"].verdict
        assert found is not None
        # what was promised is what the check says, but that it is not built yet
        assert (found.verdict, found.utilisation) == ("amber", best.utilisation)
        assert all(reason.startswith("proposed, not built: ") for reason in found.reasons)
        assert "proposed, not built" in text_of(app)
        await pilot.press("ctrl+z")
        await taken(pilot, 0.05)
        assert session.boat == before


@pytest.mark.long
async def test_what_is_built_is_ticked_off_in_the_form(boat_file: Path) -> None:
    text = boat_file.read_text(encoding="utf-8").replace('type = "cleat"\n', 'type = "cleat"\nproposed = true\n')
    boat_file.write_text(text, encoding="utf-8")
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        verdict = session.states()["pigs"].verdict
        assert verdict is not None
        assert "proposed, not built: port-cleat" in verdict.reasons
        head = next(h for h in app.screen.query(SectionHead) if "proposed" in str(h.render()))
        head.focus()
        await pilot.press("enter")
        await taken(pilot, 0.1)
        row = next(r for r in app.screen.query(FieldRow) if r.field.keys == ("proposed",) and r.display)
        row.input.focus()
        await write(pilot, "no")
        await pilot.press("tab")
        await settle(pilot)
        assert [r.proposed for r in session.boat.weight[0].restraint] == [False, False]
        found = session.states()["pigs"].verdict
        assert found is not None
        assert not any("not built" in reason for reason in found.reasons)
        # what is built asks for no tick
        assert not row.display


@pytest.mark.long
async def test_the_search_is_stopped_and_changes_nothing(boat_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ended = threading.Event()

    def slow(weight, run, verdict, *, cancelled):  # type: ignore[no-untyped-def]
        while not cancelled():
            time.sleep(0.01)
        ended.set()
        raise Cancelled

    monkeypatch.setattr("secure_load.remedies.remedies", slow)
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        before = main_screen(app).session.boat
        await pilot.press("f9")
        await taken(pilot, 0.5)
        assert "stowages tried" in text_of(app)
        await pilot.press("escape")
        await taken(pilot, 0.2)
        assert ended.is_set()
        assert app.screen is app.main
        assert main_screen(app).session.boat is before


@pytest.mark.long
async def test_the_mouse_takes_a_proposal(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        before = main_screen(app).session.boat
        await pilot.press("f9")
        screen = await _found(pilot, app)
        lines = [2 + len(r.change) // 100 for r in screen.remedies]
        before_it = next(n for n, r in enumerate(screen.remedies) if r.kind == "change")
        await pilot.click(OptionList, offset=(5, sum(lines[:before_it]) + 1))
        await settle(pilot)
        assert main_screen(app).session.boat != before


@pytest.mark.long
async def test_why_shows_the_chain_of_the_governing_part_and_of_others(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        verdict = main_screen(app).session.states()["pigs"].verdict
        assert verdict is not None
        await pilot.press("w")
        await taken(pilot, 0.1)
        assert isinstance(app.screen, WhyScreen)
        assert len(app.screen.parts) > 1
        text = text_of(app)
        assert "source: scenario:" in text
        assert "d'Alembert" in text
        for each in why_chain(verdict, main_screen(app).scenario_names())[:3]:
            assert each.step in text
            assert each.text[:40] in text
        await pilot.press("down")
        await taken(pilot, 0.1)
        assert "not the one that governs" in text_of(app)
        await pilot.press("escape")
        await taken(pilot, 0.05)
        assert app.screen is app.main


@pytest.mark.long
async def test_how_she_floats_is_a_key_away_and_back(boat_file: Path) -> None:
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("f10")
        await taken(pilot, 0.2)
        assert isinstance(app.screen, AfloatScreen)
        assert "Dunlin" in text_of(app)
        await pilot.press("escape")
        await taken(pilot, 0.1)
        assert app.screen is app.main


@pytest.mark.long
async def test_what_the_list_knows_is_not_checked_again_afloat_or_in_the_records(
    boat_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The verdict handed on is the one that a check of the boat as she is edited gives."""

    def again(*_: object, **__: object) -> None:
        raise AssertionError("she was checked again")

    monkeypatch.setattr("secure_load.screen.afloat.screen.check_boat", again)
    monkeypatch.setattr("secure_load.screen.records.screen.check_boat", again)
    app = SecureLoadApp(boat_file)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        session = main_screen(app).session
        assert session.verdict() == check_boat(session.boat)
        await pilot.press("f10")
        await taken(pilot, 0.1)
        assert isinstance(app.screen, AfloatScreen)
        app.screen.action_red()
        await app.screen.workers.wait_for_complete()
        await taken(pilot, 0.1)
        assert {"pigs", "battery"} <= set(app.screen.query_one(LooseList).ticked())
        await pilot.press("escape")
        await pilot.press("f11")
        await taken(pilot, 0.1)
        await app.screen.workers.wait_for_complete()
        await taken(pilot, 0.1)
        assert isinstance(app.screen, RecordsScreen)
        assert app.screen.verdict == session.verdict()
        await pilot.press("escape")
        session.scenarios = ["rolled-over"]
        assert session.verdict() is None
