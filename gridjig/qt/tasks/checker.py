"""Checks the job in the background whenever it changes.

Findings for a job that is no longer the current one are dropped.  The placed pieces and contacts
found by the last check are kept, so that the check after an edit only looks at what changed.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from gridjig.checks.findings import Finding, findings
from gridjig.model import Job
from gridjig.qt.tasks.warmup import is_warm
from gridjig.session.document import Document
from gridjig.solve.placed.cache import PlacedPieces

from . import TaskRunner

if TYPE_CHECKING:
    from gridjig.contact.book import Contacts
    from gridjig.units.progress import Progress

_PAUSE_MS = 60
_PATIENCE = 10
"""How many intervals the first check waits for modules still loading after the first picture."""


class _Known:
    """Results kept from one check to the next; only the runner's thread uses them, one run at a
    time.
    """

    def __init__(self) -> None:
        self._placed_pieces = PlacedPieces()
        self._contacts: Contacts | None = None

    def findings(self, job: Job, progress: "Progress") -> tuple[Finding, ...]:
        """Return the findings of a job."""
        if self._contacts is None:
            from gridjig.contact.book import Contacts  # noqa: PLC0415 - late: it loads numpy

            self._contacts = Contacts()
        return findings(job, self._placed_pieces.of(job), progress, self._contacts)


class Checker(QObject):
    """Checks the document's job whenever it changes; `found` carries the findings."""

    found = Signal(object)

    def __init__(self, document: Document, parent: QObject) -> None:
        super().__init__(parent)
        self._document = document
        self._asked: Job | None = None
        self.answered: Job | None = None
        self._tasks = TaskRunner(self)
        self._known = _Known()
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
        job = self._document.job
        if job is not self._asked:
            self._asked = job
            known = self._known
            self._tasks.start(
                lambda progress: known.findings(job, progress),
                lambda: self._document.job is job,
            )

    def _on_answer(self, found: tuple[Finding, ...]) -> None:
        self.answered = self._asked
        self.found.emit(found)

    def check_now(self) -> tuple[Finding, ...]:
        """Check at once and return the findings."""
        self._tasks.cancel()
        job = self._document.job
        found = findings(
            job,
            self._document.placed_pieces
            if not self._document.previewing
            else PlacedPieces().of(job),
        )
        self._asked = job
        self._on_answer(found)
        return found

    def stop(self) -> None:
        """Start no more checks, and wait for the one in progress."""
        self._timer.stop()
        self._tasks.close()
