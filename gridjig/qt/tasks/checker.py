"""Checks the job in the background whenever it changes.

Reports of a job that is no longer the current one are dropped.  What the last check found is kept,
so that the check after an edit only looks at what changed.  What takes longer than that is looked
for after the rest is shown.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from gridjig.checks.findings import Finding
from gridjig.model import Job
from gridjig.qt.tasks.warmup import is_warm
from gridjig.session.document import Document
from gridjig.solve.placed.cache import PlacedPieces

from . import TaskRunner

if TYPE_CHECKING:
    from gridjig.proof.report import ProofReport, Prover
    from gridjig.units.progress import Progress

_PAUSE_MS = 60
_PATIENCE = 10
"""How many intervals the first check waits for modules still loading after the first picture."""


class Known:
    """What is kept from one check to the next; one thread uses it at a time."""

    def __init__(self) -> None:
        self._placed_pieces = PlacedPieces()
        self._prover: Prover | None = None

    def report(self, job: Job, progress: "Progress", quick: bool) -> "ProofReport":
        """Return the report of a job; with `quick`, without what takes longer."""
        if self._prover is None:
            from gridjig.proof.report import Prover  # noqa: PLC0415 - late: it loads numpy

            self._prover = Prover()
        return self._prover.of(job, self._placed_pieces.of(job), progress, quick=quick)


class Checker(QObject):
    """Checks the document's job whenever it changes; `found` carries the report."""

    found = Signal(object)

    def __init__(self, document: Document, parent: QObject) -> None:
        super().__init__(parent)
        self._document = document
        self._asked: Job | None = None
        self._quick = True
        self.answered: Job | None = None
        self._tasks = TaskRunner(self)
        self._known = Known()
        self._tasks.answered.connect(self._on_answer)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_PAUSE_MS)
        self._timer.timeout.connect(self._start)
        self._patience = _PATIENCE

    def look(self) -> None:
        """Schedule a check if the job has changed."""
        if self._document.job is not self._asked and not self._timer.isActive():
            self._timer.start()

    def _start(self) -> None:
        if self._patience and not is_warm():
            self._patience -= 1  # what the check needs loads after the first picture
            self._timer.start()
            return
        if self._document.job is not self._asked:
            self._asked = self._document.job
            self._work(quick=True)

    def _work(self, *, quick: bool) -> None:
        job, known = self._document.job, self._known
        self._quick = quick
        self._tasks.start(
            lambda progress: known.report(job, progress, quick),
            lambda: self._document.job is job,
        )

    def _on_answer(self, report: "ProofReport") -> None:
        self.answered = self._asked
        self.found.emit(report)
        if self._quick and report.more_to_find and self._document.job is self._asked:
            self._work(quick=False)

    def check_now(self) -> tuple[Finding, ...]:
        """Check everything at once and return the findings."""
        from gridjig.proof.report import prove  # noqa: PLC0415 - late, as above

        self._tasks.cancel()
        job = self._document.job
        placed_pieces = (
            PlacedPieces().of(job) if self._document.previewing else self._document.placed_pieces
        )
        report = prove(job, placed_pieces)
        self._asked, self._quick = job, False
        self._on_answer(report)
        return report.findings

    def stop(self) -> None:
        """Start no more checks, and wait for the one in progress."""
        self._timer.stop()
        self._tasks.close()
