"""Reads the job inside a setup sheet in the background, as such a PDF can come from anyone."""

from collections.abc import Callable
from pathlib import Path

from msgspec import Struct
from PySide6.QtCore import QObject

from gridjig.files.jobs.sheet_file import job_in_sheet
from gridjig.model import Job
from gridjig.qt.tasks.runner import TaskRunner

UNREAD = "The setup sheet cannot be opened"


class ReadSheet(Struct, frozen=True):
    """A setup sheet that was read: its file, and the job that lay inside."""

    path: Path
    job: Job


class SheetOpening:
    """Reads one sheet at a time; `take` is given what was read, `refused` tells why it was not."""

    def __init__(self, parent: QObject, take: Callable[[ReadSheet], object]) -> None:
        self._tasks = TaskRunner(parent)
        self._tasks.answered.connect(take)
        self.refused = self._tasks.failed

    def read(self, path: Path) -> None:
        """Begin to read a sheet."""
        self._tasks.start(lambda _: ReadSheet(path, job_in_sheet(path)))

    def close(self) -> None:
        """Stop reading."""
        self._tasks.close()
