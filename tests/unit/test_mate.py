"""The helper's mate: it works out how many g a weight holds, and nothing is worse where there is none."""

from __future__ import annotations

import io
import os
import pickle
import signal
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from secure_load.boat.models import BoatFile, Scenario, Weight
from secure_load.screen.reckoning import mate as mates
from secure_load.screen.reckoning.child import Reckoner, Turning
from secure_load.screen.reckoning.helper import CannotStart, Gone, Helper
from secure_load.screen.reckoning.mate import Mate, SharedRun
from secure_load.screen.reckoning.notes import Ask, Done, Found, News, next_note
from secure_load.screen.reckoning.work import answers
from secure_load.statics.scenarios import choose
from secure_load.verdict.check import check_weight, holds_alone
from secure_load.verdict.models import HoldsG, WeightVerdict
from secure_load.verdict.run import prepare
from tests.processes import children, there, until

EVERYWHERE = dict.fromkeys(("down", "up", "port", "starboard", "fore", "aft", "weakest"), 7.5)
MADE_UP = HoldsG.model_validate({**EVERYWHERE, "weakest_direction": "to port"})
"""What nobody would find."""


def boat(*more: dict[str, object]) -> BoatFile:
    pig = {"id": "pig", "mass_kg": 24.0, "at_m": [3.0, 0.4, -0.3], "size_m": [0.4, 0.2, 0.1]}
    bed = {"id": "bed", "type": "bed", "friction": 0.2}
    return BoatFile.model_validate(
        {"boat": {"name": "Dunlin", "lwl_m": 6.4}, "weight": [{**pig, "restraint": [bed]}, *more]}
    )


class Beside:
    """In place of a helper: it hears, and answers when it is told to."""

    def __init__(self, alone: bool = False) -> None:
        assert alone
        self.awake, self.ended = True, False
        self.asked: list[tuple[int, str, str]] = []
        self.dropped: list[int] = []
        self.listener: Callable[[object, object], None] = lambda of, note: None

    def ask(self, what: str, weight: str, whole: BoatFile, scenarios: list[Scenario]) -> int:
        self.asked.append((len(self.asked) + 1, what, weight))
        return len(self.asked)

    def drop(self, number: int) -> None:
        self.dropped.append(number)

    def end(self) -> None:
        self.ended = True

    def tell(self, *notes: object) -> None:
        for each in notes:
            self.listener(self, each)


@pytest.fixture
def beside(monkeypatch: pytest.MonkeyPatch) -> tuple[Mate, Beside]:
    monkeypatch.setattr(mates, "Helper", Beside)
    monkeypatch.setattr(mates, "processors", lambda: 2)
    mate = Mate()
    mate.begin()
    assert isinstance(mate.helper, Beside)
    return mate, mate.helper


def shared(mate: Mate, whole: BoatFile) -> tuple[SharedRun, Weight]:
    return SharedRun(whole, choose(whole), mate=mate), whole.weight[0]


def test_what_it_finds_is_part_of_the_verdict(beside: tuple[Mate, Beside]) -> None:
    mate, helper = beside
    run, weight = shared(mate, boat())
    run.share(weight)
    assert helper.asked == [(1, "holds", "pig")]
    helper.tell(Found(1, "holds", MADE_UP, 0.0), Done(1))
    expected = check_weight(weight, prepare(run.boat))
    assert expected.holds_g != MADE_UP
    assert check_weight(weight, run) == expected.model_copy(update={"holds_g": MADE_UP})


@pytest.mark.parametrize("last", [[Found(1, "holds", None, 0.0), Done(1)], [Done(1)], [Gone()]])
def test_where_it_finds_nothing_the_verdict_is_the_same(beside: tuple[Mate, Beside], last: list[object]) -> None:
    mate, helper = beside
    run, weight = shared(mate, boat())
    run.share(weight)
    threading.Timer(0.05, helper.tell, last).start()
    assert check_weight(weight, run) == check_weight(weight, prepare(run.boat))
    assert (mate.helper is None) == isinstance(last[0], Gone)


def test_weights_that_touch_are_not_its_business(beside: tuple[Mate, Beside]) -> None:
    mate, helper = beside
    other = {"id": "other", "mass_kg": 9.0, "at_m": [3.0, 0.4, -0.2], "size_m": [0.4, 0.2, 0.1]}
    touching = {**other, "restraint": [{"id": "on", "type": "neighbour", "face": "bottom", "weight": "pig"}]}
    run, weight = shared(mate, boat(touching))
    run.share(weight)
    assert not helper.asked
    assert run.held_elsewhere(weight) is None


def test_one_that_falls_behind_is_ended(beside: tuple[Mate, Beside], monkeypatch: pytest.MonkeyPatch) -> None:
    mate, helper = beside
    run, weight = shared(mate, boat())
    first = mate.ask(weight, run)
    assert first is not None
    monkeypatch.setattr(mates, "BEHIND_S", -1.0)
    assert mate.ask(weight, run) is None
    assert helper.ended
    assert first.wait() is None  # nobody waits for it any more
    mate.begin()
    assert mate.helper is None


def test_what_is_dropped_is_dropped_there_too(beside: tuple[Mate, Beside]) -> None:
    mate, helper = beside
    run, weight = shared(mate, boat())
    mate.drop()
    assert helper.dropped == []
    mate.ask(weight, run)
    mate.ask(weight, run)
    mate.drop()
    assert helper.dropped == [2]


def test_waiting_for_it_can_be_turned_aside(beside: tuple[Mate, Beside]) -> None:
    mate, helper = beside
    whole = boat()
    turning, reckoner, sink = Turning(), Reckoner(mate), io.BytesIO()
    reckoner.learn(News(whole.boat, choose(whole), ["pig"], list(whole.weight)))
    before = signal.signal(signal.SIGINT, turning.answer)
    try:
        threading.Timer(0.5, turning.drop, [1]).start()
        begun = time.monotonic()
        reckoner.work(Ask(1, "verdict", "pig", None), sink, turning)
        assert 0.4 < time.monotonic() - begun < 20.0
    finally:
        signal.signal(signal.SIGINT, before)
    assert helper.dropped == [1]
    sink.seek(0)
    note = next_note(sink)
    assert note is not None
    assert pickle.loads(note[1]) == Done(1)
    assert next_note(sink) is None


def test_there_is_none_on_one_processor_and_none_that_cannot_be_started(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(alone: bool) -> Helper:
        raise CannotStart("not in this test")

    monkeypatch.setattr(mates, "Helper", refused)
    for processors in (1, 2):
        monkeypatch.setattr(mates, "processors", lambda n=processors: n)
        mate = Mate()
        assert mate.wanted == (processors > 1)
        mate.begin()
        assert mate.helper is None
        assert not mate.wanted
        run, weight = shared(mate, boat())
        run.share(weight)
        assert check_weight(weight, run) == check_weight(weight, prepare(run.boat))


def test_alone_it_is_the_same_as_in_the_verdict() -> None:
    whole = boat()
    run = SharedRun(whole, choose(whole))
    expected = check_weight(whole.weight[0], run).holds_g
    assert holds_alone(whole.weight[0], run) == expected
    assert list(answers("holds", whole.weight[0], run)) == [("holds", expected)]


def test_what_cannot_be_worked_out_has_no_hold() -> None:
    wrong = {"id": "wrong", "mass_kg": 9.0, "at_m": [3.0, 0.4, -0.2], "size_m": [0.4, 0.2, 0.1]}
    cleat = {"id": "c", "type": "cleat", "face": "port", "timber": "balsam"}
    whole = boat({**wrong, "restraint": [cleat]})
    assert list(answers("holds", whole.weight[1], SharedRun(whole, choose(whole)))) == [("holds", None)]


# True processes ----------------------------------------------------------------------------------------------------


class Client:
    """A true helper, and what it says."""

    def __init__(self) -> None:
        self.helper = Helper()
        self.helper.listener = self._heard
        self.verdicts: dict[int, WeightVerdict] = {}
        self.done: set[int] = set()

    def _heard(self, helper: Helper, note: object) -> None:
        if isinstance(note, Found) and note.what == "verdict":
            self.verdicts[note.number] = note.result
        elif isinstance(note, Done):
            self.done.add(note.number)

    def verdict(self, whole: BoatFile) -> WeightVerdict:
        number = self.helper.ask("verdict", whole.weight[0].id, whole, choose(whole))
        until(lambda: number in self.done, 60.0)
        return self.verdicts[number]


@pytest.mark.skipif(sys.platform != "linux", reason="looks for processes in /proc")
@pytest.mark.skipif((os.cpu_count() or 1) < 2, reason="there is no mate on one processor")
def test_a_helper_at_rest_takes_a_mate_does_without_it_when_it_falls_and_takes_it_along() -> None:
    client = Client()
    try:
        whole = boat()
        expected = check_weight(whole.weight[0], prepare(whole))
        assert client.verdict(whole) == expected
        until(lambda: len(children(client.helper.pid)) == 1)
        (mate,) = children(client.helper.pid)
        awake = at_rest(mate)
        for more in range(20):
            heavier = whole.weight[0].model_copy(update={"mass_kg": 25.0 + more})
            edited = whole.model_copy(update={"weight": [heavier]})
            assert client.verdict(edited) == check_weight(heavier, prepare(edited))
        assert at_rest(mate) > awake  # it has worked
        os.kill(mate, signal.SIGKILL)
        assert client.verdict(whole) == expected
        until(lambda: children(client.helper.pid) == [])
        assert client.verdict(whole) == expected
    finally:
        client.helper.end()
    other = Client()
    other.verdict(whole)
    until(lambda: len(children(other.helper.pid)) == 1)
    (mate,) = children(other.helper.pid)
    other.helper.end()  # killed: it has no last word
    until(lambda: not there(mate))


def at_rest(pid: int) -> int:
    """Ticks of processor time that a process has taken, once it takes no more."""
    before = -1
    while (ticks := _ticks(pid)) != before:
        before = ticks
        time.sleep(0.5)
    return ticks


def _ticks(pid: int) -> int:
    figures = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()
    return int(figures[11]) + int(figures[12])
