"""The helper beside the screen: its notes, its loop, and the desk that gives it work. No terminal is wanted."""

from __future__ import annotations

import io
import pickle
import queue
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Generator, Iterator

import pytest

from secure_load.boat.models import BoatFile
from secure_load.screen.pictures import KeepingRun, Wanted
from secure_load.screen.reckoning import desk as desks
from secure_load.screen.reckoning import helper as helpers
from secure_load.screen.reckoning.child import Dropped, Reckoner, Turning
from secure_load.screen.reckoning.desk import Desk
from secure_load.screen.reckoning.helper import CannotStart, Helper
from secure_load.screen.reckoning.notes import ANY, DROP, Ask, Done, Drop, Found, News, next_note, packed
from secure_load.screen.reckoning.work import Result, Task, results
from secure_load.screen.session import Question, Session, work_out
from secure_load.statics.scenarios import choose
from secure_load.verdict.models import WeightVerdict
from tests.processes import until
from tests.speed.larger_boats import tier_of

HEAVY = 12
"""Ingots that touch: one takes far longer than anything here waits for."""


def pig(name: str = "pig", mass: float = 24.0, **more: object) -> dict[str, object]:
    return {"id": name, "mass_kg": mass, "at_m": [3.0, 0.4, -0.3], "size_m": [0.4, 0.2, 0.1], **more}


def boat(*weights: dict[str, object]) -> BoatFile:
    return BoatFile.model_validate({"boat": {"name": "Dunlin", "lwl_m": 6.4}, "weight": list(weights)})


def asked_of(session: Session) -> list[Question]:
    """All that is to be asked, as if it were not known."""
    keys = session.keys()
    return [Question(w, keys[w.id]) for w in session.boat.weight]


class Heard:
    """What a desk has told."""

    def __init__(self) -> None:
        self.told: queue.SimpleQueue[tuple[Task, Result]] = queue.SimpleQueue()
        self.desk = Desk(lambda task, result: self.told.put((task, result)))

    def ask(self, session: Session, tasks: list[Question] | list[Wanted] | None = None) -> None:
        wanted = asked_of(session) if tasks is None else tasks
        self.desk.ask(wanted, session.boat, choose(session.boat))

    def verdict(self, seconds: float = 30.0) -> tuple[Task, object]:
        """The next verdict; what else is told before it is passed over."""
        while True:
            task, (what, found) = self.told.get(timeout=seconds)
            if what == "verdict":
                return task, found


@pytest.fixture
def heard() -> Generator[Heard]:
    found = Heard()
    yield found
    found.desk.close()


@pytest.fixture(scope="module", autouse=True)
def ended() -> Iterator[None]:
    yield
    helpers.end_all()


# Notes -----------------------------------------------------------------------------------------------------------


def test_notes_come_out_as_they_went_in() -> None:
    weight = boat(pig()).weight[0]
    notes = [Ask(3, "verdict", "pig", News(None, None, ["pig"], [weight])), Drop(3), Done(3)]
    stream = io.BytesIO(b"".join(packed(each) for each in notes))
    found = [next_note(stream) for _ in notes]
    assert [kind for kind, _ in filter(None, found)] == [ANY, DROP, ANY]
    assert [pickle.loads(body) for _, body in filter(None, found)] == notes
    assert next_note(stream) is None


def test_a_note_cut_off_in_its_midst_is_the_end() -> None:
    whole = packed(Done(3))
    for length in range(len(whole)):
        assert next_note(io.BytesIO(whole[:length])) is None


def test_a_stream_that_gives_a_little_at_a_time_gives_whole_notes() -> None:
    class Slow(io.BytesIO):
        def read(self, size: int | None = -1, /) -> bytes:
            return super().read(min(size or 0, 3))

    assert next_note(Slow(packed(Drop(8)))) == (DROP, packed(Drop(8))[9:])


# The helper's own loop ---------------------------------------------------------------------------------------------


def notes_of(stream: io.BytesIO) -> list[object]:
    stream.seek(0)
    found: list[object] = []
    while (note := next_note(stream)) is not None:
        found.append(pickle.loads(note[1]))
    return found


def news_of(whole: BoatFile) -> News:
    return News(whole.boat, choose(whole), [w.id for w in whole.weight], list(whole.weight))


def test_a_question_is_answered_with_the_verdict_then_the_strip() -> None:
    dunlin = boat(pig(restraint=[{"type": "bed", "friction": 0.2}]))
    reckoner, sink = Reckoner(), io.BytesIO()
    reckoner.learn(news_of(dunlin))
    reckoner.work(Ask(1, "verdict", "pig", None), sink, Turning())
    verdict, strip, done = notes_of(sink)
    assert isinstance(verdict, Found)
    assert isinstance(strip, Found)
    run = KeepingRun(dunlin, choose(dunlin))
    assert [verdict.result, strip.result] == [r for _, r in results(Question(dunlin.weight[0], ""), run)]
    assert isinstance(verdict.result, WeightVerdict)
    assert done == Done(1)


def test_what_is_wrong_comes_as_a_sentence() -> None:
    dunlin = boat(pig(restraint=[{"type": "cleat", "face": "port", "timber": "balsam"}]))
    reckoner, sink = Reckoner(), io.BytesIO()
    reckoner.learn(news_of(dunlin))
    reckoner.work(Ask(1, "verdict", "pig", None), sink, Turning())
    verdict = notes_of(sink)[0]
    assert isinstance(verdict, Found)
    assert "balsam" in verdict.result


def test_a_question_taken_back_before_it_is_begun_is_not_worked_out() -> None:
    reckoner, sink, turning = Reckoner(), io.BytesIO(), Turning()
    reckoner.learn(news_of(boat(pig())))
    turning.dropped = 1
    reckoner.work(Ask(1, "verdict", "pig", None), sink, turning)
    assert notes_of(sink) == [Done(1)]


def test_the_working_is_turned_aside_once_and_only_from_what_is_not_wanted() -> None:
    turning = Turning()
    turning.working, turning.dropped = 5, 4
    turning.answer(signal.SIGINT, None)  # an interrupt from the keyboard is nothing to it
    turning.dropped = 5
    with pytest.raises(Dropped):
        turning.answer(signal.SIGINT, None)
    turning.answer(signal.SIGINT, None)


def test_the_run_goes_on_while_she_and_the_scenarios_are_the_same() -> None:
    dunlin = boat(pig(), pig("other"))
    reckoner = Reckoner()
    reckoner.learn(news_of(dunlin))
    run = reckoner._run
    heavier = boat(pig(mass=30.0)).weight[0]
    reckoner.learn(News(None, None, ["pig", "other"], [heavier]))
    assert reckoner._run is run
    assert run is not None
    assert [w.mass for w in run.boat.weight] == [30.0, 24.0]
    reckoner.learn(News(None, None, ["other"], []))
    assert [w.id for w in run.boat.weight] == ["other"]
    reckoner.learn(News(dunlin.boat, None, ["other"], []))
    assert reckoner._run is not run


def test_nothing_of_a_terminal_is_loaded_and_nothing_is_printed() -> None:
    code = (
        "import sys, secure_load.screen.reckoning.child, secure_load.screen.reckoning.work\n"
        "print(sorted(m for m in sys.modules if m.split('.')[0] in ('textual', 'rich')))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout == "[]\n"


# A true helper -------------------------------------------------------------------------------------------------------


def test_verdicts_are_those_worked_out_here(heard: Heard) -> None:
    session = Session(boat(pig(restraint=[{"type": "bed", "friction": 0.2}]), pig("other", 10.0)))
    heard.ask(session)
    for question in asked_of(session):
        task, found = heard.verdict()
        assert task == question
        assert found == work_out(question, session.run())
    assert not heard.desk.by_thread
    # and again after a change, of which only the changed weight is sent
    session.try_set({("weight", 1, "mass_kg"): 11.0}, "mass")
    question = asked_of(session)[1]
    heard.ask(session, [question])
    assert heard.verdict() == (question, work_out(question, session.run()))


def test_a_picture_comes_alone(heard: Heard) -> None:
    session = Session(boat(pig(restraint=[{"type": "bed", "friction": 0.2}])))
    weight, key = session.boat.weight[0], session.keys()["pig"]
    heard.ask(session, [Wanted(weight, key, rose=True)])
    task, (what, rose) = heard.told.get(timeout=30)
    assert (task, what) == (Wanted(weight, key, rose=True), "rose")
    assert rose is not None


def test_a_newer_question_does_not_wait_for_an_older_one(heard: Heard) -> None:
    session = Session(boat(pig()))
    heard.ask(session)
    heard.verdict()
    helper = heard.desk.helper
    heavy = Session(tier_of(HEAVY))
    heard.ask(heavy)
    time.sleep(0.3)
    begun = time.monotonic()
    session.try_set({("weight", 0, "mass_kg"): 25.0}, "mass")
    heard.ask(session)
    task, _ = heard.verdict()
    assert task == asked_of(session)[0]
    assert time.monotonic() - begun < 2.0
    assert heard.desk.helper is helper  # it was only turned aside


def test_what_is_in_hand_and_still_wanted_first_goes_on(heard: Heard) -> None:
    session = Session(boat(pig(), pig("other")))
    questions = asked_of(session)
    heard.ask(session)
    heard.ask(session)
    assert [heard.verdict()[0] for _ in questions] == questions
    with pytest.raises(queue.Empty):
        heard.verdict(0.5)


def test_nothing_comes_once_it_is_stopped(heard: Heard) -> None:
    heard.ask(Session(boat(pig())))
    heard.verdict()
    heard.ask(Session(tier_of(HEAVY)))
    heard.desk.stop()
    with pytest.raises(queue.Empty):
        heard.verdict(1.0)
    assert heard.desk.helper is not None
    assert not heard.desk._asked


def test_a_helper_that_does_not_give_up_is_ended_and_another_begun(
    heard: Heard, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard.ask(Session(boat(pig())))
    heard.verdict()
    stuck = heard.desk.helper
    assert stuck is not None
    monkeypatch.setattr(stuck, "drop", lambda number: None)  # as if it were deaf
    heard.ask(Session(tier_of(HEAVY)))
    session = Session(boat(pig(mass=26.0)))
    heard.ask(session)
    assert heard.verdict()[0] == asked_of(session)[0]
    assert heard.desk.helper is not stuck
    until(lambda: not alive(stuck))


def test_a_helper_killed_in_its_work_is_replaced_and_nothing_is_lost(heard: Heard) -> None:
    heard.ask(Session(boat(pig())))
    heard.verdict()
    heavy = Session(tier_of(4))
    heard.ask(heavy)
    first = heard.desk.helper
    assert first is not None
    first._process.kill()
    told = [heard.verdict(60)[0] for _ in heavy.boat.weight]
    assert told == asked_of(heavy)
    assert heard.desk.helper is not first
    assert not heard.desk.by_thread
    pipe = first._process.stdin
    assert pipe is not None
    until(lambda: pipe.closed)  # else what was not written is complained of when it is tidied away


def test_when_helpers_fall_one_after_another_a_thread_takes_over(heard: Heard, monkeypatch: pytest.MonkeyPatch) -> None:
    helpers.end_all()
    monkeypatch.setattr(helpers, "_PROGRAM", "raise SystemExit(3)")
    session = Session(boat(pig(), pig("other")))
    heard.ask(session)
    assert [heard.verdict()[0] for _ in range(2)] == asked_of(session)
    assert heard.desk.by_thread


def test_where_none_can_be_started_a_thread_does_it(heard: Heard, monkeypatch: pytest.MonkeyPatch) -> None:
    helpers.end_all()
    monkeypatch.setattr(subprocess, "Popen", _refused)
    helpers.begin()  # says nothing
    session = Session(boat(pig(), pig("other")))
    heard.ask(session)
    assert [heard.verdict()[0] for _ in range(2)] == asked_of(session)
    assert heard.desk.by_thread
    heavy = Session(tier_of(HEAVY))
    heard.ask(heavy)
    heard.desk.stop()


def _refused(*_: object, **__: object) -> None:
    raise PermissionError(1, "not permitted")


def test_without_an_interpreter_there_is_no_helper(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "")
    with pytest.raises(CannotStart):
        Helper()


def test_one_that_never_wakes_up_is_not_waited_for(heard: Heard, monkeypatch: pytest.MonkeyPatch) -> None:
    helpers.end_all()
    monkeypatch.setattr(helpers, "_PROGRAM", "import time; time.sleep(60)")
    monkeypatch.setattr(desks, "LONG_ASLEEP", 0.2)
    session = Session(boat(pig()))
    heard.ask(session)
    asleep = heard.desk.helper
    assert asleep is not None
    assert heard.verdict()[0] == asked_of(session)[0]
    assert heard.desk.by_thread
    until(lambda: not alive(asleep))


def test_a_helper_is_handed_on_and_all_end_with_the_program() -> None:
    one = Heard()
    one.ask(Session(boat(pig())))
    one.verdict()
    until(lambda: not one.desk._asked)
    helper = one.desk.helper
    assert helper is not None
    one.desk.close()
    two = Heard()
    two.ask(Session(boat(pig())))
    two.verdict()
    assert two.desk.helper is helper
    two.desk.close()
    helpers.end_all()
    until(lambda: not alive(helper))


def test_it_ends_by_itself_with_its_pipe_even_in_the_midst_of_its_work() -> None:
    told = threading.Event()
    helper = Helper()
    helper.listener = lambda of, note: told.set()
    assert told.wait(20)  # it is awake
    heavy = tier_of(HEAVY)
    helper.ask("verdict", heavy.weight[0].id, heavy, choose(heavy))
    time.sleep(0.2)
    assert alive(helper)
    stream = helper._process.stdin
    assert stream is not None
    stream.close()
    until(lambda: helper.gone and not alive(helper), 5.0)


def test_a_key_does_not_wait_for_a_helper_that_does_not_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(helpers, "_PROGRAM", "import time; time.sleep(60)")
    helper = Helper()
    many = tier_of(200)
    begun = time.monotonic()
    for _ in range(20):
        helper.ask("verdict", many.weight[0].id, many.model_copy(update={"weight": list(many.weight)}), choose(many))
    assert time.monotonic() - begun < 2.0
    helper.end()
    until(lambda: not alive(helper))


def alive(helper: Helper) -> bool:
    """True while its process is there."""
    return helper._process.poll() is None
