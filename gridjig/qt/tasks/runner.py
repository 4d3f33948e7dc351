"""Runs pure functions in a background thread, with progress, cancelling, and no stale answers.

The work is a function of a `Progress` (gridjig/units/progress.py) and must not use Qt.  It must not
touch a widget, the document or anything else that the window changes: give it frozen values.

    self.tasks = TaskRunner(self)
    self.tasks.answered.connect(self._on_answer)
    self.tasks.failed.connect(self._on_refusal)
    job = document.job
    self.tasks.start(lambda progress: suggest(job, progress), lambda: document.job is job)

A runner does one thing at a time.  Starting another task cancels the current one, and the new one
begins as soon as the old one has stopped, so a runner never uses two threads at once.  An answer
reaches `answered` only if nothing was started or cancelled since, and if `still_wanted`, called at
that moment, returns True (usually: the job it was computed for is still the current one).
"""

import sys
import threading
import time
import weakref
from collections.abc import Callable

from msgspec import Struct
from PySide6.QtCore import QObject, Signal
from shiboken6 import isValid

from gridjig.files.format.faults import ReadFault, SaveFault
from gridjig.units.progress import Cancelled, Progress

from .warmup import before_thread

Work = Callable[[Progress], object]
"""A pure function.  Its Progress may raise Cancelled in it; if there is no answer, it raises one of
REFUSALS with a sentence for the user as its text.
"""

REFUSALS = (ValueError, ReadFault, SaveFault)
"""The exceptions by which work may say why there is no answer.  Anything else is a bug."""

FAULT = "A fault in GridJig ended this work; nothing was changed, and the log says more."

THREAD_NAME = "gridjig-task"
REPORT_EVERY_S = 0.05
"""Reports closer together than this are dropped: nobody could read them."""

_live: "set[_Run]" = set()
"""Runs whose threads are running."""


class _Outcome(Struct, frozen=True, eq=False):
    """How a run ended: with an answer, with a fault, or (neither) cancelled."""

    answer: object = None
    fault: Exception | None = None
    cancelled: bool = False


class _Mail(QObject):
    """Carries reports and outcomes to the window's thread.

    It has no parent, so a run that outlives its runner can still emit safely.
    """

    reported = Signal(object, int, object, str)
    finished = Signal(object, object)


class _Run:
    """One piece of work in a thread of its own."""

    def __init__(
        self, work: Work, still_wanted: Callable[[], bool], mail: _Mail, owner: QObject
    ) -> None:
        self.still_wanted = still_wanted
        self._cancelled = False
        self._owner = weakref.ref(owner)
        self._work = work
        self._mail = mail
        self._reported = 0.0
        self.thread = threading.Thread(target=self._do, name=THREAD_NAME)

    def _do(self) -> None:
        progress = Progress(self._report, self._is_cancelled)
        try:
            with progress.heeded():
                outcome = _Outcome(answer=self._work(progress))
        except Cancelled:
            outcome = _Outcome(cancelled=True)
        except Exception as fault:
            outcome = _Outcome(fault=fault)
        _live.discard(self)
        self._mail.finished.emit(self, outcome)

    def begin(self) -> None:
        """Start the thread."""
        _live.add(self)
        self.thread.start()

    def cancel(self) -> None:
        """Make the work stop at its next check."""
        self._cancelled = True

    def _is_cancelled(self) -> bool:
        owner = self._owner()
        return self._cancelled or owner is None or not isValid(owner)

    def _report(self, done: int, total: int | None, words: str) -> None:
        now = time.monotonic()
        if now - self._reported >= REPORT_EVERY_S:
            self._reported = now
            self._mail.reported.emit(self, done, total, words)


def _always() -> bool:
    return True


class TaskRunner(QObject):
    """Runs one piece of work at a time.  All signals come in the window's thread.

    `progressed` carries how much is done, the total (None if unknown), and what is being done.
    `answered` carries the answer, `failed` the sentence of a refusal; one that is cancelled or no
    longer wanted gives neither.  `ended` comes last in each of these cases.
    """

    progressed = Signal(int, object, str)
    answered = Signal(object)
    failed = Signal(str)
    ended = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._mail = _Mail()
        self._mail.reported.connect(self._on_report)
        self._mail.finished.connect(self._on_finished)
        self._wanted: _Run | None = None  # the run whose answer is awaited
        self._under_way: _Run | None = None  # the running one: wanted or cancelled
        self._closed = False

    @property
    def busy(self) -> bool:
        """True while an answer is awaited."""
        return self._wanted is not None

    def start(self, work: Work, still_wanted: Callable[[], bool] = _always) -> None:
        """Start this work in place of the current work.  After `close` nothing is started."""
        self.cancel()
        if self._closed:
            return
        self._wanted = _Run(work, still_wanted, self._mail, self)
        if self._under_way is None:
            self._begin(self._wanted)

    def _begin(self, run: _Run) -> None:
        self._under_way = run
        before_thread()
        run.begin()

    def cancel(self) -> None:
        """Drop the awaited answer; the work stops at its next check."""
        run, self._wanted = self._wanted, None
        if run is not None:
            run.cancel()
            self.ended.emit()

    def close(self, timeout_s: float = 2.0) -> None:
        """Cancel, start nothing more, and wait until the thread has ended."""
        self._closed = True
        self.cancel()
        if self._under_way is not None:
            self._under_way.thread.join(timeout_s)

    def _on_report(self, run: _Run, done: int, total: int | None, words: str) -> None:
        if run is self._wanted:
            self.progressed.emit(done, total, words)

    def _on_finished(self, run: _Run, outcome: _Outcome) -> None:
        run.thread.join()  # emitting this was the last thing it did
        self._under_way = None
        if run is not self._wanted:
            if self._wanted is not None:
                self._begin(self._wanted)
            return
        self._wanted = None
        if not outcome.cancelled and run.still_wanted():
            self._tell(outcome)
        self.ended.emit()

    def _tell(self, outcome: _Outcome) -> None:
        fault = outcome.fault
        if fault is None:
            self.answered.emit(outcome.answer)
        elif isinstance(fault, REFUSALS):
            self.failed.emit(str(fault))
        else:
            self.failed.emit(FAULT)
            # Log and report it like any other uncaught exception.
            sys.excepthook(type(fault), fault, fault.__traceback__)


def cancel_all(timeout_s: float = 2.0) -> bool:
    """Cancel all work and wait for it; True if all of it ended in that time.

    Called at exit, so that the program ends cleanly.
    """
    runs = list(_live)
    for run in runs:
        run.cancel()
    until = time.monotonic() + timeout_s
    for run in runs:
        run.thread.join(max(until - time.monotonic(), 0.0))
    return not any(run.thread.is_alive() for run in runs)
