"""The thread that works out what the screen wants: order, cancelling, and what a fault may cost."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Generator

import pytest

from secure_load.boat.models import BoatFile
from secure_load.check.check import check_boat, check_weight
from secure_load.loads.scenarios import choose
from secure_load.screen.session.drawing_cache import Drawing, DrawingRequest
from secure_load.screen.session.session import CheckRequest, Session
from secure_load.screen.session.tasks import Result, Task
from secure_load.screen.session.worker import CheckWorker
from secure_load.solver.cancellation import Cancelled, cancel_when
from tests.speed.larger_boats import tier_of

HEAVY = 12
"""Ingots that touch: one takes far longer than anything here waits for."""


def pig(name: str = "pig", mass: float = 24.0, **more: object) -> dict[str, object]:
    return {"id": name, "mass_kg": mass, "at_m": [3.0, 0.4, -0.3], "size_m": [0.4, 0.2, 0.1], **more}


def boat(*weights: dict[str, object]) -> BoatFile:
    return BoatFile.model_validate({"boat": {"name": "Dunlin", "lwl_m": 6.4}, "weight": list(weights)})


def questions_of(session: Session) -> list[CheckRequest]:
    keys = session.cache_keys()
    return [CheckRequest(w, keys[w.id]) for w in session.boat.weight]


class Listener:
    """A worker and what it has told."""

    def __init__(self) -> None:
        self.results: queue.SimpleQueue[tuple[Task, Result]] = queue.SimpleQueue()
        self.worker = CheckWorker(lambda task, result: self.results.put((task, result)))

    def request(self, session: Session, tasks: list[CheckRequest] | list[DrawingRequest] | None = None) -> None:
        self.worker.request(questions_of(session) if tasks is None else tasks, session.boat, choose(session.boat))

    def verdict(self, seconds: float = 60.0) -> tuple[Task, Result]:
        """The next verdict; drawings told before it are passed over."""
        while True:
            task, result = self.results.get(timeout=seconds)
            if not isinstance(result, Drawing):
                return task, result


@pytest.fixture
def listener() -> Generator[Listener]:
    found = Listener()
    yield found
    found.worker.close()


def test_verdicts_come_in_order_and_are_those_worked_out_here(listener: Listener) -> None:
    session = Session(boat(pig(restraint=[{"type": "bed", "friction": 0.2}]), pig("other", 10.0)))
    listener.request(session)
    for question in questions_of(session):
        assert listener.verdict() == (question, check_weight(question.weight, session.run()))
    session.apply_changes({("weight", 1, "mass_kg"): 11.0}, "mass")
    question = questions_of(session)[1]
    listener.request(session, [question])
    assert listener.verdict() == (question, check_weight(question.weight, session.run()))


def test_the_strip_follows_its_verdict_and_a_rose_comes_alone(listener: Listener) -> None:
    session = Session(boat(pig(restraint=[{"type": "bed", "friction": 0.2}])))
    listener.request(session)
    listener.verdict()
    _, strip = listener.results.get(timeout=60)
    assert isinstance(strip, Drawing)
    assert strip.strip is not None
    wanted = DrawingRequest(session.boat.weight[0], session.cache_keys()["pig"], rose=True)
    listener.request(session, [wanted])
    task, rose = listener.results.get(timeout=60)
    assert task == wanted
    assert isinstance(rose, Drawing)
    assert rose.rose is not None


def test_a_newer_request_cancels_an_older_one_in_the_midst_of_a_solve(listener: Listener) -> None:
    session = Session(boat(pig()))
    listener.request(Session(tier_of(HEAVY)))
    time.sleep(0.3)
    begun = time.monotonic()
    listener.request(session)
    assert listener.verdict()[0] == questions_of(session)[0]
    assert time.monotonic() - begun < 5.0


def test_what_is_being_worked_out_and_still_wanted_first_goes_on(listener: Listener) -> None:
    session = Session(boat(pig(), pig("other")))
    listener.request(session)
    listener.request(session)
    assert [listener.verdict()[0] for _ in range(2)] == questions_of(session)
    with pytest.raises(queue.Empty):
        listener.verdict(0.5)


def test_nothing_comes_once_it_is_cancelled_until_something_is_requested(listener: Listener) -> None:
    listener.request(Session(tier_of(HEAVY)))
    time.sleep(0.1)
    listener.worker.cancel()
    with pytest.raises(queue.Empty):
        listener.verdict(1.0)
    session = Session(boat(pig()))
    listener.request(session)
    assert listener.verdict()[0] == questions_of(session)[0]


def test_a_fault_in_telling_one_result_costs_no_other_its_answer(caplog: pytest.LogCaptureFixture) -> None:
    told: queue.SimpleQueue[Task] = queue.SimpleQueue()

    def tell(task: Task, result: Result) -> None:
        if task.weight.id == "pig":
            raise RuntimeError("not in this test")
        told.put(task)

    worker = CheckWorker(tell)
    session = Session(boat(pig(), pig("other")))
    worker.request(questions_of(session), session.boat, choose(session.boat))
    assert told.get(timeout=60).weight.id == "other"
    worker.close()
    assert "not in this test" in caplog.text


def test_a_closed_worker_ends_its_thread(listener: Listener) -> None:
    listener.request(Session(tier_of(HEAVY)))
    time.sleep(0.2)
    thread = next(t for t in threading.enumerate() if t.name == "check")
    listener.worker.close()
    thread.join(5.0)
    assert not thread.is_alive()


def test_cancelling_is_no_fault_and_holds_within_its_block_only() -> None:
    whole = boat(pig(restraint=[{"type": "bed", "friction": 0.2}]))
    with pytest.raises(Cancelled), cancel_when(lambda: True):
        check_boat(whole)
    assert not issubclass(Cancelled, Exception)
    assert check_boat(whole).weights
