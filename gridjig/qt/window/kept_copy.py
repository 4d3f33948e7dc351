"""The autosaved copy of the open job: when it is due, and the thread that writes it."""

import logging
import time
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Signal

from gridjig.files.format.faults import SaveFault
from gridjig.files.jobs.autosave import Autosaver
from gridjig.model import Job
from gridjig.qt.tasks.runner import TaskRunner

log = logging.getLogger(__name__)

_AGAIN_S = 5.0
"""Seconds from a copy that could not be written to the next try."""


class KeptCopy(QObject):
    """Keeps the copy of the job that `job` returns; no edit waits for the disk.

    `message` says, once, that no copy can be kept.
    """

    message = Signal(str)

    def __init__(self, keeper: Autosaver, job: Callable[[], Job], parent: QObject) -> None:
        super().__init__(parent)
        self.keeper = keeper
        self._job = job
        self._fault: SaveFault | None = None
        self._told = self._closed = False
        self._due = QTimer(self)
        self._due.setSingleShot(True)
        self._due.timeout.connect(self.tick)
        self._tasks = TaskRunner(self)
        self._tasks.answered.connect(self._on_written)
        self._tasks.ended.connect(self._on_ended)

    @property
    def busy(self) -> bool:
        """True while a copy is being written."""
        return self._tasks.busy

    def take_up(self, keeper: Autosaver) -> None:
        """Keep the copy of another job from now on; the old one goes."""
        if keeper is not self.keeper:
            self.keeper.discard()
        self.keeper = keeper

    def follow(self) -> None:
        """Plan the copy of a job that may have changed."""
        self._wait(self.keeper.wait(time.monotonic(), self._job()))

    def _wait(self, seconds: float | None) -> None:
        if seconds is not None:
            self._due.start(round(seconds * 1000))

    def tick(self) -> None:
        """Begin to write a copy if one is due."""
        job, keeper = self._job(), self.keeper
        wait = keeper.wait(time.monotonic(), job)
        if wait != 0:
            self._wait(wait)
        elif not self.busy:  # else once that one is written
            copy = keeper.begin(job)
            self._fault = None
            self._tasks.start(lambda _: _written(copy), lambda: self.keeper is keeper)

    def _on_written(self, told: float | SaveFault) -> None:
        if not isinstance(told, SaveFault):
            self.keeper.end(told)
            self._told = False
            return
        self.keeper.end(None)
        self._fault = told
        log.warning("autosave: %s", told)
        if not self._told:
            self._told = True
            self.message.emit(f"No copy of unsaved work can be kept: {told.why}. Save often.")

    def _on_ended(self) -> None:
        if self._closed:
            return
        if self._fault is not None:
            self._wait(_AGAIN_S)
        else:
            self.follow()  # the job may have changed meanwhile

    def close(self) -> None:
        """Write no more, and remove the copy."""
        self._closed = True
        self._due.stop()
        self._tasks.close()
        self.keeper.discard()


def _written(copy: Callable[[], float]) -> float | SaveFault:
    """Write a copy; return how long it took, or why it could not be written."""
    try:
        return copy()
    except SaveFault as fault:
        return fault
