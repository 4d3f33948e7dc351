"""A form that takes another job: chosen or dropped, a job file or a setup sheet with one inside."""

from pathlib import Path
from typing import cast

from msgspec import Struct
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QWidget

from gridjig.files.jobs.sheet_file import job_at
from gridjig.model import Job
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import FileQuestions
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.widgets.file_drop import accept_one_file, take_dropped
from gridjig.qt.widgets.plain import Label


class OtherJob(Struct, frozen=True):
    """Another job, and the file that it was read from."""

    path: Path
    job: Job


class OtherJobForm(FormDialog):
    """Reads another job in the background, as it may come out of a PDF from anyone.

    `told` says that it is being read; `unread` completes the title of a problem after the name.
    """

    unread = "cannot be read"

    def __init__(self, parent: QWidget, questions: FileQuestions, folder: str, told: Label) -> None:
        super().__init__(parent)
        self._questions, self._folder, self.told = questions, folder, told
        self.reading = TaskRunner(self)
        self.reading.answered.connect(lambda answer: self.take(cast(OtherJob, answer)))
        self._path, self._told_before = Path(), ""
        self.reading.failed.connect(self._on_unread)
        self.setAcceptDrops(True)

    def take(self, other: OtherJob) -> None:
        """Use the job that was read."""
        raise NotImplementedError

    def ask_for_job(self, title: str, kinds: str) -> None:
        """Ask for a file, and read the job in it."""
        chosen = self._questions.open_path(self._folder, title, kinds)
        if chosen:
            self.read(Path(chosen))

    def read(self, path: Path) -> None:
        """Begin to read the job in a file."""
        if not self.reading.busy:
            self._told_before = self.told.text()
        self._path = path
        self.told.setText(self._reading_words())
        self.reading.start(lambda _: OtherJob(path, job_at(path)))

    def _reading_words(self) -> str:
        return f"Reading {self._path.name}…"

    def _on_unread(self, why: str) -> None:
        if self.told.text() == self._reading_words():
            self.told.setText(self._told_before)
        self._questions.problem(f"“{self._path.name}” {self.unread}", why)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Accept the drag of one file."""
        accept_one_file(event)

    def dropEvent(self, event: QDropEvent) -> None:
        """Read the file once the drop has finished, because a problem may have to be told."""
        take_dropped(event, self, self.read)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stop reading."""
        self.reading.close()
        super().closeEvent(event)
