"""Work beside the window: its answer, its progress, its end, and what of it must never arrive."""

import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from gridjig.files.format.faults import ReadFault
from gridjig.model import Job
from gridjig.proof.report import NOTHING, ProofReport, prove
from gridjig.qt.tasks import TaskRunner, cancel_all
from gridjig.qt.tasks.checker import Checker, Known
from gridjig.qt.tasks.runner import FAULT, THREAD_NAME
from gridjig.session.document import Document
from gridjig.solve.angles.finder import find_angles
from gridjig.solve.angles.wanted import as_edge
from gridjig.solve.layout.places import weldment_places
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units.progress import Cancelled, Progress
from tests.anglekit import grid_table
from tests.qt.events import settle
from tests.solve.weldments import frame, job_of
from tests.workshop import RACK, laid, pin

SOON_S = 0.2
"""Within this a cancel has to have ended the work."""


class Heard:
    """What a runner said, in order."""

    def __init__(self, runner: TaskRunner) -> None:
        self.said: list[object] = []
        self.progress: list[tuple[int, object, str]] = []
        runner.answered.connect(lambda answer: self.said.append(("answered", answer)))
        runner.failed.connect(lambda words: self.said.append(("failed", words)))
        runner.ended.connect(lambda: self.said.append("ended"))
        runner.progressed.connect(lambda *told: self.progress.append(told))


@pytest.fixture
def runner(qtbot: QtBot) -> Iterator[TaskRunner]:
    home = QObject()
    made = TaskRunner(home)
    yield made
    made.close()


def threads() -> int:
    return sum(thread.name == THREAD_NAME for thread in threading.enumerate())


def endless(started: threading.Event) -> Callable[[Progress], object]:
    def work(progress: Progress) -> object:
        done = 0
        while True:
            done += 1
            progress.report(done, None, "Going on")
            started.set()
            time.sleep(0.005)

    return work


def test_an_answer_comes_in_the_windows_thread_and_then_the_end(
    qtbot: QtBot, runner: TaskRunner
) -> None:
    where_heard: list[threading.Thread] = []
    heard = Heard(runner)
    runner.answered.connect(lambda _: where_heard.append(threading.current_thread()))
    runner.start(lambda _: threading.current_thread().name)
    assert runner.busy
    qtbot.waitUntil(lambda: not runner.busy)
    assert heard.said == [("answered", THREAD_NAME), "ended"]
    assert where_heard == [threading.main_thread()]
    assert threads() == 0


@pytest.mark.expectation(99)
def test_progress_is_told_but_not_more_often_than_it_can_be_read(
    qtbot: QtBot, runner: TaskRunner
) -> None:
    heard = Heard(runner)

    def count(progress: Progress) -> int:
        end = time.monotonic() + 0.3
        done = 0
        while time.monotonic() < end:
            done += 1
            progress.report(done, 10**6, "Counting")
        return done

    runner.start(count)
    qtbot.waitUntil(lambda: not runner.busy, timeout=3000)
    assert 2 <= len(heard.progress) <= 7
    counts = [told[0] for told in heard.progress]
    assert counts == sorted(counts)
    assert {told[1:] for told in heard.progress} == {(10**6, "Counting")}


def test_a_cancel_ends_the_work_at_once_and_no_answer_comes(
    qtbot: QtBot, runner: TaskRunner
) -> None:
    heard, started = Heard(runner), threading.Event()
    runner.start(endless(started))
    assert started.wait(3.0)
    begun = time.monotonic()
    runner.cancel()
    assert not runner.busy
    assert heard.said == ["ended"]
    while threads() and time.monotonic() - begun < 3.0:
        time.sleep(0.005)
    assert time.monotonic() - begun < SOON_S
    settle()
    assert heard.said == ["ended"]


def test_the_last_work_started_is_the_one_that_answers_and_never_two_at_a_time(
    qtbot: QtBot, runner: TaskRunner
) -> None:
    heard, most = Heard(runner), 0
    gate = threading.Event()

    def work(name: str) -> Callable[[Progress], object]:
        def do(_: Progress) -> str:
            nonlocal most
            most = max(most, threads())
            gate.wait(2.0)  # deaf to a cancel
            return name

        return do

    for name in ("first", "second", "third"):
        runner.start(work(name))
    assert threads() == 1
    gate.set()
    qtbot.waitUntil(lambda: not runner.busy, timeout=3000)
    assert [s for s in heard.said if s != "ended"] == [("answered", "third")]
    assert most == 1


@pytest.mark.expectation(101)
def test_an_answer_about_a_job_that_is_no_longer_the_current_one_is_dropped(
    qtbot: QtBot, runner: TaskRunner
) -> None:
    document, heard, gate = Document(laid(pin("a", 2, 2))), Heard(runner), threading.Event()
    old = document.job
    runner.start(lambda _: gate.wait(2.0) and old, lambda: document.job is old)
    document.do(laid(pin("a", 3, 3)), "Move")
    gate.set()
    qtbot.waitUntil(lambda: not runner.busy, timeout=3000)
    assert heard.said == ["ended"]
    new = document.job
    runner.start(lambda _: new, lambda: document.job is new)
    qtbot.waitUntil(lambda: not runner.busy, timeout=3000)
    assert heard.said == ["ended", ("answered", new), "ended"]


@pytest.mark.parametrize(
    "fault",
    [ValueError("It cannot be."), ReadFault(Path("a.dxf"), "", "it is empty", "choose another")],
)
def test_a_refusal_is_told_in_its_own_words(
    qtbot: QtBot, runner: TaskRunner, fault: Exception
) -> None:
    heard = Heard(runner)

    def refuse(_: Progress) -> object:
        raise fault

    runner.start(refuse)
    qtbot.waitUntil(lambda: not runner.busy)
    assert heard.said == [("failed", str(fault)), "ended"]


def test_a_fault_of_the_program_is_said_and_reported_with_its_place(
    qtbot: QtBot, runner: TaskRunner, monkeypatch: pytest.MonkeyPatch
) -> None:
    caught: list[tuple[object, ...]] = []
    monkeypatch.setattr(sys, "excepthook", lambda *args: caught.append(args))
    heard = Heard(runner)

    def slip(_: Progress) -> object:
        return {}["missing"]  # type: ignore[index]

    runner.start(slip)
    qtbot.waitUntil(lambda: not runner.busy)
    assert heard.said == [("failed", FAULT), "ended"]
    [(kind, fault, trace)] = caught
    assert kind is KeyError
    assert isinstance(fault, KeyError)
    assert trace is not None


def test_closed_it_waits_for_its_thread_and_starts_nothing_more(
    qtbot: QtBot, runner: TaskRunner
) -> None:
    heard, started = Heard(runner), threading.Event()
    runner.start(endless(started))
    assert started.wait(3.0)
    runner.close()
    assert threads() == 0
    runner.start(lambda _: "more")
    assert not runner.busy
    settle()
    assert heard.said == ["ended"]


def test_work_that_outlives_its_runner_ends_without_harm(qtbot: QtBot) -> None:
    home, gate = QObject(), threading.Event()
    TaskRunner(home).start(lambda _: gate.wait(2.0))
    assert threads() == 1
    del home  # and the runner with it
    gate.set()
    qtbot.waitUntil(lambda: threads() == 0, timeout=3000)
    settle()


def test_at_the_end_of_the_program_all_work_is_ended(qtbot: QtBot) -> None:
    home = QObject()
    started = [threading.Event() for _ in range(3)]
    runners = [TaskRunner(home) for _ in started]
    for one, event in zip(runners, started, strict=True):
        one.start(endless(event))
        assert event.wait(3.0)
    cancel_all()
    assert threads() == 0
    qtbot.waitUntil(lambda: not any(one.busy for one in runners))


UNDER_WAY = """
import sys, time
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QWidget
from gridjig.qt.tasks import TaskRunner, cancel_all
app = QApplication([])
home = QWidget()
def work(progress):
    print("begun", flush=True)
    while True:
        progress.check()
        time.sleep(0.01)
tasks = TaskRunner(home)
tasks.start(work)
QTimer.singleShot(100, app.quit)
app.exec()
HOW
print("ended", flush=True)
"""


@pytest.mark.parametrize("how", ["cancel_all()", "tasks.cancel()", "del home, tasks; cancel_all()"])
def test_work_under_way_at_exit_aborts_nothing(how: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", UNDER_WAY.replace("HOW", how)],
        capture_output=True,
        text=True,
        check=False,
        timeout=30,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.split() == ["begun", "ended"]


# -- the work there is ---------------------------------------------------------------------------


class Patience:
    """A progress that is cancelled after so many looks, and notes what was reported."""

    def __init__(self, looks: int) -> None:
        self.looks, self.told = looks, list[tuple[int, int | None, str]]()
        self.progress = Progress(lambda *said: self.told.append(said), self._is_over)

    def _is_over(self) -> bool:
        self.looks -= 1
        return self.looks < 0


FRAME = job_of(*frame())
PINNED = laid(pin("a", 2, 2), *FRAME.parts)
SOLVERS: dict[str, Callable[[Progress], object]] = {
    "proof": lambda progress: prove(PINNED, PlacedPieces().of(PINNED), progress),
    "angle": lambda progress: find_angles(
        grid_table(30, 30), RACK, as_edge(20.0), progress=progress
    ),
    "where": lambda progress: weldment_places(FRAME, progress=progress),
}


@pytest.mark.parametrize("name", SOLVERS)
def test_every_solver_that_runs_beside_the_window_reports_and_can_be_ended(name: str) -> None:
    solver = SOLVERS[name]
    patient = Patience(10**9)
    assert solver(patient.progress)
    steps = len(patient.told)
    assert steps >= 5
    assert patient.told[-1][0] == patient.told[-1][1]
    assert patient.told[-1][2]
    for looks in (0, 1, steps - 1):
        with pytest.raises(Cancelled):
            solver(Patience(looks).progress)


def test_the_check_drops_what_it_found_for_a_job_that_is_gone(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate, checked = threading.Event(), list[Job]()

    def slow(_: Known, job: Job, progress: Progress, quick: bool) -> ProofReport:
        checked.append(job)
        gate.wait(2.0)
        return NOTHING

    monkeypatch.setattr(Known, "report", slow)
    home = QObject()
    document, found = Document(laid(pin("a", 2, 2))), list[object]()
    checker = Checker(document, home)
    checker.found.connect(found.append)
    checker.look()
    qtbot.waitUntil(lambda: len(checked) == 1, timeout=3000)
    first = document.job
    document.do(laid(pin("a", 3, 3)), "Move")
    gate.set()
    qtbot.waitUntil(lambda: threads() == 0, timeout=3000)
    settle()
    assert found == []
    assert checker.answered is None
    checker.look()
    qtbot.waitUntil(lambda: bool(found), timeout=3000)
    assert checker.answered is document.job is not first
    checker.stop()
