"""The open file: opening, saving, its lock, its autosaved copy, and the questions about it.

It asks through a `JobFileQuestions`, and gives each job it opens its own document.  The old file is
never touched except by a save that the user asked for.
"""

import logging
from hashlib import sha256
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QObject, QStandardPaths, QTimer, Signal

from gridjig.edits.details import named_after_file
from gridjig.files.format.faults import ReadFault, SaveFault
from gridjig.files.jobs import autosave
from gridjig.files.jobs.autosave import AutosavedCopy, Autosaver
from gridjig.files.jobs.job_file import SUFFIX, load_job, open_job, write_job
from gridjig.files.jobs.sheet_file import is_sheet
from gridjig.files.library.default_job import NEW_NAME
from gridjig.files.storage import lock, recent
from gridjig.files.storage.locations import proposed_name
from gridjig.files.storage.lock import Lock, LockRefusal
from gridjig.files.storage.saving import FileStamp, changed_since, save, stamp
from gridjig.model import Job
from gridjig.qt.dialogs.questions import Closing, Locked, Overwrite, with_suffix
from gridjig.qt.tasks.runner import TaskRunner
from gridjig.session.document import Document

from .kept_copy import KeptCopy
from .sheet_opening import UNREAD, ReadSheet, SheetOpening

log = logging.getLogger(__name__)

LOOK_S = 5.0
"""Seconds between looks at whether someone has taken the file over."""


class JobFileQuestions(Protocol):
    """The questions about files; `Questions` asks the user."""

    def closing(self, name: str) -> Closing:
        """Ask whether to save a job's changes before closing it."""

    def locked(self, name: str, why: str) -> Locked:
        """Ask whether to read, take over or leave a job that is in use."""

    def take_over(self, name: str, why: str) -> bool:
        """Ask whether to take a job over from whoever has it open."""

    def overwrite(self, name: str, gone: bool) -> Overwrite:
        """Ask what to do about a file that changed on disk."""

    def problem(self, title: str, body: str) -> None:
        """Report that something could not be done."""

    def save_problem(self, name: str, body: str) -> bool:
        """Report that saving failed; True to save somewhere else."""

    def open_path(self, folder: str) -> str:
        """Ask for a file to read; empty for none."""

    def save_path(self, proposed: str) -> str:
        """Ask for a file to write; empty for none."""


def documents() -> str:
    """Return the system's documents folder: where to start when nothing has been saved yet."""
    place = QStandardPaths.StandardLocation.DocumentsLocation
    folder = QStandardPaths.writableLocation(place)
    return folder if Path(folder).is_dir() else str(Path.home())


class OpenFile(QObject):
    """The open job and its file, if it has one."""

    opened = Signal(object)
    changed = Signal()
    message = Signal(str)
    foldered = Signal(str)

    def __init__(
        self, job: Job, asks: JobFileQuestions, delay_s: float, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._asks = asks
        self.document = Document(job)
        self.path: Path | None = None
        self.read_only = ""
        self.folder = ""
        self._lock: Lock | None = None
        self._stamp: FileStamp | None = None
        self._delay = delay_s
        self.copies = KeptCopy(Autosaver(job, None, delay=delay_s), lambda: self.document.job, self)
        self.copies.message.connect(self.message)
        self._sheets = SheetOpening(self, self._take_out)
        self._sheets.refused.connect(lambda why: self._asks.problem(UNREAD, why))
        self._looking = QTimer(self)
        self._looking.setInterval(round(LOOK_S * 1000))
        self._looking.timeout.connect(self.look)
        self._looking.start()
        self._look = TaskRunner(self)
        self._look.answered.connect(self._on_look)
        self._leave = self.document.subscribe(self.copies.follow)

    # -- the open job ----------------------------------------------------------------------------

    @property
    def name(self) -> str:
        """Return the job's name for questions and the title."""
        return self.path.name if self.path else self.document.job.name

    @property
    def modified(self) -> bool:
        """True if the job has changes that its file lacks."""
        return self.document.modified

    def answer_by(self, asks: JobFileQuestions) -> None:
        """Use another way to ask from now on."""
        self._asks = asks

    def set_delay(self, seconds: float) -> None:
        """From now on autosave this long after a change."""
        self._delay = seconds
        self.copies.keeper.set_delay(seconds)

    def _take_up(
        self,
        document: Document,
        path: Path | None,
        held: Lock | None,
        read_only: str,
        keeper: Autosaver,
    ) -> None:
        if self._lock is not None and self._lock is not held:
            self._lock.release()
        self._leave()
        self._leave = document.subscribe(self.copies.follow)
        self.document, self.path, self._lock, self.read_only = document, path, held, read_only
        self.copies.take_up(keeper)
        self.opened.emit(document)
        self.changed.emit()

    # -- opening ---------------------------------------------------------------------------------

    def settle(self) -> bool:
        """Ask about unsaved changes; False if the user cancels."""
        if not self.modified:
            return True
        answer = self._asks.closing(self.name)
        if answer == "save":
            return self.save()
        return answer == "discard"

    def new(self, job: Job, modified: bool = False) -> bool:
        """Open a new job; False if the user cancels."""
        if not self.settle():
            return False
        self._stamp = None
        self._take_up(
            Document(job, modified), None, None, "", Autosaver(job, None, delay=self._delay)
        )
        return True

    def ask_open(self) -> bool:
        """Let the user choose a file and open it; True if one was opened."""
        path = self._asks.open_path(self.folder)
        return bool(path) and self.open(Path(path))

    def open(self, path: Path) -> bool:
        """Open a job file, or in a while a setup sheet; False if it fails or the user cancels."""
        if is_sheet(path):
            self._sheets.read(path)
            self.message.emit(f"Reading {path.name}…")
            return True
        if not self.settle():
            return False
        held, read_only = self._hold(path)
        if held is None and not read_only:
            return False
        try:
            job, data, self._stamp = open_job(path)
        except ReadFault as fault:
            if held is not None and held is not self._lock:
                held.release()
            self._asks.problem(f"“{path.name}” cannot be opened", str(fault))
            return False
        keeper = Autosaver(job, path, delay=self._delay)
        keeper.mark_saved(job, path, data)
        self._take_up(Document(job), path, held, read_only, keeper)
        self._remember(path)
        self.message.emit(read_only or f"{path.name} is open.")
        return True

    def _take_out(self, read: ReadSheet) -> None:
        """Open the job of a setup sheet: it has no file of its own yet."""
        if self.new(read.job):
            self.message.emit(f"The job in {read.path.name} is open. Save it to keep a job file.")

    def _hold(self, path: Path) -> tuple[Lock | None, str]:
        """Return the lock of a file, or why it opens read-only; neither if the user cancels.

        The lock is taken before the file is read, so that nobody saves in between.
        """
        if self._lock is not None and self.path == path:
            return self._lock, ""
        if not path.is_file():
            return None, "There is no file to lock."  # reading gives a better message
        held = lock.take(path)
        if isinstance(held, Lock):
            return held, ""
        answer = "read" if held.holder is None else self._asks.locked(path.name, held.why)
        if answer == "take":
            return self._over(path)
        return None, held.why if answer == "read" else ""

    def open_sample(self, path: Path) -> bool:
        """Open a copy of a sample: it has no file of its own, so the sample stays unchanged."""
        try:
            job = load_job(path)
        except ReadFault as fault:
            self._asks.problem("The sample cannot be opened", str(fault))
            return False
        return self.new(job)

    def open_copy(self, copy: AutosavedCopy) -> bool:
        """Open a recovered copy; it belongs to its file again once saved there."""
        try:
            job, keeper = autosave.recover(copy)
        except ReadFault as fault:
            self._asks.problem(f"The copy of “{copy.name}” cannot be opened", str(fault))
            return False
        held = lock.take(copy.original) if copy.original else None
        ours = held if isinstance(held, Lock) else None
        # Without the lock the copy gets no path, so it can only be saved under a new name.
        path = copy.original if ours else None
        self._stamp = None
        if path is not None and path.is_file():
            data = path.read_bytes()
            began_here = sha256(data).hexdigest() == copy.base
            # Someone else has saved since the work began: use a stamp that matches no file, so that
            # saving asks.
            self._stamp = stamp(path, data) if began_here else FileStamp(-1, 0, b"")
        self._take_up(Document(job, modified=True), path, ours, "", keeper)
        self.message.emit(f"The copy of {copy.name} is open. Save it to keep it.")
        return True

    def take_over(self) -> None:
        """Make a job that was opened read-only editable, after the user confirms."""
        if self.path is None or not self.read_only:
            return
        if not self._asks.take_over(self.path.name, self.read_only):
            return
        held, why = self._over(self.path)
        if held is None:
            self._asks.problem(f"“{self.path.name}” cannot be taken over", why)
            return
        self._lock, self.read_only = held, ""
        self.message.emit(f"{self.path.name} can be edited now.")
        self.changed.emit()

    def _over(self, path: Path) -> tuple[Lock | None, str]:
        held = lock.take_over(path)
        return (held, "") if isinstance(held, Lock) else (None, held.why)

    def _remember(self, path: Path) -> None:
        self.folder = str(path.parent)
        self.foldered.emit(self.folder)
        try:
            recent.add(path)
        except SaveFault as fault:
            log.warning("recent files: %s", fault)

    # -- saving ----------------------------------------------------------------------------------

    def save(self) -> bool:
        """Save the job to its file; False if it was not saved."""
        if self.path is None or self.read_only:
            return self.save_as()
        if self._lock is not None:
            refusal = self._lock.check()
            if refusal is not None and refusal.holder is not None:
                return self._asks.save_problem(self.name, refusal.why) and self.save_as()
        state = changed_since(self.path, self._stamp) if self._stamp else ""
        if state:
            answer = self._asks.overwrite(self.name, state == "gone")
            if answer == "save_as":
                return self.save_as()
            if answer == "cancel":
                return False
        return self._write(self.path)

    def save_as(self) -> bool:
        """Save the job under a name the user chooses; True if it was saved."""
        chosen = self._asks.save_path(str(self._proposed()))
        if not chosen:
            return False
        path = with_suffix(chosen, SUFFIX)
        if self.path is not None and path == self.path and not self.read_only:
            return self.save()
        held = lock.take(path)
        if isinstance(held, LockRefusal) and held.holder is not None:
            return self._asks.save_problem(path.name, held.why) and self.save_as()
        if not self._write(path):
            if isinstance(held, Lock):
                held.release()
            return False
        if self._lock is not None:
            self._lock.release()
        self._lock = held if isinstance(held, Lock) else None
        self.read_only = ""
        self.changed.emit()
        return True

    def _proposed(self) -> Path:
        named = proposed_name(self.document.job.name)
        if self.path is None:
            return Path(self.folder) / named
        if not self.read_only:
            return self.path
        # Its own name would be refused while someone else holds the file.
        own = self.path.with_name(named)
        return own if own != self.path else self.path.with_stem(f"{self.path.stem} 2")

    def _write(self, path: Path) -> bool:
        job = self.document.job
        if job.name == NEW_NAME:  # or its setup sheet would have that for a title
            job = named_after_file(job, path.stem)
        data = write_job(job)
        try:
            self._stamp = save(path, data)
        except SaveFault as fault:
            log.warning("%s", fault)
            return self._asks.save_problem(path.name, str(fault)) and self.save_as()
        self.path = path
        if job is not self.document.job:
            self.document.do(job, "Name the job")
        self.document.mark_saved()
        self.copies.keeper.mark_saved(job, path, data)
        self._remember(path)
        self.message.emit(f"{path.name} is saved.")
        self.changed.emit()
        return True

    # -- the lock --------------------------------------------------------------------------------

    def look(self) -> None:
        """Look whether someone has taken the file over, in a thread: a share may not respond."""
        held = self._lock
        if held is not None and not self._look.busy:
            self._look.start(lambda _: held.taken_over(), lambda: self._lock is held)

    def _on_look(self, refusal: LockRefusal | None) -> None:
        if refusal is None:
            return
        self._lock, self.read_only = None, refusal.why
        self.message.emit(f"{refusal.why} Save your changes under another name.")
        self.changed.emit()

    def close(self) -> None:
        """Release the file and the copy; unsaved changes were settled before."""
        self._sheets.close()
        self._looking.stop()
        self._look.close()
        self._leave()
        self.copies.close()
        if self._lock is not None:
            self._lock.release()
            self._lock = None
