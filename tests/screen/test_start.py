"""The first run: a few questions to a first verdict, a file found by walking, unsaved work taken up."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Static

from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.dialogs.files import BoatTree, PickFile
from secure_load.screen.session.autosave import Autosaver, Snapshot
from secure_load.screen.start.guide import STEPS, begun, wrong
from secure_load.screen.table.table import WeightTable

from .conftest import main_screen, settle, taken, text_of, write

PAGES = [["Sanderling", "6.4", "2.1"], ["Lead pigs", "4 x 12 kg"], ["3.2", "0", "-0.35"], ["0.4", "0.2", "0.12"]]


@pytest.mark.long
async def test_a_few_questions_end_with_a_first_verdict() -> None:
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await taken(pilot, 0.1)
        await pilot.press("s")
        for page in PAGES:
            await taken(pilot, 0.05)
            for line in page:
                await write(pilot, line)
                await pilot.press("enter")
        await taken(pilot, 0.05)
        await pilot.press("enter")  # the usual stowage
        await taken(pilot, 0.1)
        await settle(pilot)
        session = main_screen(app).session
        assert session.boat.boat.lwl_m == 6.4
        weight = session.boat.weight[0]
        assert (weight.mass, weight.at_m, weight.size_m) == (48.0, (3.2, 0.0, -0.35), (0.4, 0.2, 0.12))
        assert len(weight.restraint) == 6
        assert main_screen(app).query_one(WeightTable).region.area
        found = session.states()[weight.id].verdict
        assert found is not None
        assert found.reasons[0][:40] in text_of(app)


async def test_escape_goes_back_a_page_and_keeps_what_was_entered() -> None:
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await taken(pilot, 0.1)
        await pilot.press("s")
        await taken(pilot, 0.05)
        await write(pilot, "Knot")
        await pilot.press("enter", "enter", "enter")
        await taken(pilot, 0.05)
        assert "Her first weight" in text_of(app)
        await pilot.press("escape")
        await taken(pilot, 0.05)
        assert "Knot" in text_of(app)
        await pilot.press("escape")
        await taken(pilot, 0.05)
        assert app.main is None


@pytest.mark.parametrize(
    ("page", "values", "said"),
    [
        (0, ["", "", ""], "name"),
        (0, ["X", "long", ""], "length"),
        (1, ["Pig", ""], "missing"),
        (1, ["Pig", "-4"], "at least"),
        (2, ["1", "", "0"], "All three"),
        (2, ["1", "x", "0"], "place"),
        (3, ["0.4", "", ""], "all three"),
        (3, ["0.4", "0", "0.1"], "size"),
    ],
)
def test_a_wrong_answer_is_told_on_its_own_page(page: int, values: list[str], said: str) -> None:
    assert said in (wrong([*PAGES[:page], values]) or "")


def test_every_way_of_holding_it_can_be_begun_with() -> None:
    assert all(wrong(PAGES[: n + 1]) is None for n in range(len(STEPS)))
    counts = {held: len(begun(PAGES, held).boat.weight[0].restraint) for held in ("usual", "bed strap", "nothing")}
    assert counts == {"usual": 6, "bed strap": 2, "nothing": 0}


@pytest.mark.long
async def test_a_file_is_found_by_walking_through_the_folders(boat_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (boat_file.parent / "notes.txt").write_text("not a boat", encoding="utf-8")
    monkeypatch.chdir(boat_file.parent)
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("o")
        await taken(pilot, 0.3)
        assert isinstance(app.screen, PickFile)
        text = text_of(app)
        assert "dunlin.toml" in text
        assert "notes.txt" not in text
        await pilot.press("down")
        tree = app.screen.query_one(BoatTree)
        assert tree.has_focus
        for _ in range(5):
            await pilot.press("down")
            await taken(pilot, 0.02)
            node = tree.cursor_node
            if node is not None and node.data is not None and node.data.path.name == "dunlin.toml":
                break
        await pilot.press("enter")
        await settle(pilot)
        assert "Dunlin" in text_of(app)


@pytest.mark.long
async def test_unsaved_work_of_a_boat_without_a_file_is_taken_up(state: Path) -> None:
    session = begun(PAGES, "usual")
    keeper = Autosaver(state)
    keeper.open(None)
    keeper.keep(Snapshot(session.boat, None, None))
    assert keeper._mark is not None
    keeper._mark.close()
    app = SecureLoadApp()
    async with app.run_test(size=(80, 24)) as pilot:
        await taken(pilot, 0.1)
        assert "Recover unsaved work: Sanderling" in text_of(app)
        await pilot.press("enter")
        await taken(pilot, 0.2)
        await settle(pilot)
        assert main_screen(app).session.boat == session.boat
        assert "not saved" in str(main_screen(app).query_one("#top", Static).render())
