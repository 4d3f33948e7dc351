"""Runs the check beside the window and drops an answer that comes too late.

Only the job that is current when the answer arrives gets it.
"""

from PySide6.QtCore import QObject, QRunnable, QThreadPool, QTimer, Signal

from gridjig.checks.findings import Finding, findings
from gridjig.model import Job
from gridjig.session.desk import Desk
from gridjig.solve import Stands

from .warmup import before_thread, is_warm

_PAUSE_MS = 60
_PATIENCE = 10
"""Pauses that the first check waits for what is loaded behind the first picture."""


class _Answer(QObject):
    came = Signal(object, object)


class _Run(QRunnable):
    def __init__(self, job: Job, answer: _Answer) -> None:
        super().__init__()
        self._job = job
        self._answer = answer

    def run(self) -> None:
        """Check the job; the answer goes to the window's thread."""
        found = findings(self._job, Stands().of(self._job))
        self._answer.came.emit(self._job, found)


class Checker(QObject):
    """Checks the desk's job whenever it is another one; `found` carries the findings."""

    found = Signal(object)

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self._asked: Job | None = None
        self.answered: Job | None = None
        self._answer = _Answer(self)
        self._answer.came.connect(self._on_answer)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_PAUSE_MS)
        self._timer.timeout.connect(self._start)
        self._patience = _PATIENCE

    def look(self) -> None:
        """Check again soon if the job is another one."""
        if self._desk.job is not self._asked and not self._timer.isActive():
            self._timer.start()

    def _start(self) -> None:
        if self._patience and not is_warm():
            self._patience -= 1  # the first picture comes first; what the check needs comes behind
            self._timer.start()
            return
        job = self._desk.job
        if job is not self._asked:
            self._asked = job
            before_thread()
            self._pool.start(_Run(job, self._answer))

    def _on_answer(self, job: Job, found: tuple[Finding, ...]) -> None:
        if job is not self._desk.job:
            return
        self.answered = job
        self.found.emit(found)

    def check_now(self) -> tuple[Finding, ...]:
        """Check at once and give the findings."""
        job = self._desk.job
        found = findings(job, self._desk.stands if not self._desk.previewing else Stands().of(job))
        self._asked = job
        self._on_answer(job, found)
        return found

    def stop(self) -> None:
        """Ask nothing more, and wait for what is under way."""
        self._timer.stop()
        self._pool.clear()
        self._pool.waitForDone(2000)
