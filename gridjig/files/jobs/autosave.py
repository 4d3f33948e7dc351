"""Copies of unsaved work in the user's state folder, and which are offered after a crash.

Each open window keeps one copy under its own name, so two never collide.  A copy is an ordinary job
file; a note beside it says whose it is and of which file, which itself is never touched.
"""

import contextlib
import hashlib
import os
import secrets
import threading
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from gridjig.files.format import file_format
from gridjig.files.format.codec import read_bytes
from gridjig.files.format.faults import ReadFault, SaveFault
from gridjig.files.format.file_format import FileFormat
from gridjig.files.storage import processes
from gridjig.files.storage.locations import autosave_dir, make_private
from gridjig.files.storage.saving import remove_orphans, save
from gridjig.files.storage.timeout import with_timeout
from gridjig.model import Job

from .job_file import SUFFIX, read_job, write_job

AT_ONCE = 0.25
"""Seconds from a change to its copy at first; the changes of that time share one copy."""
EAGER = 15.0
"""Seconds from the first unsaved change during which each change is copied at once."""
DELAY = 15.0
"""Seconds from a change to its copy after that."""
LONGEST = 20.0
"""The longest such delay, whatever is asked for: less than 30 s of work can be lost."""
_REST = 5
"""A change waits at least this many times as long as the last copy took, so that on a slow disk
copying takes no more than a fifth of the time."""
_MONTH = 30 * 86_400
_PATIENCE = 1.0  # seconds to wait for a job's network share when the program starts


class AutosaveNote(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a copy is of: the job's file ("" if never saved), its digest then, and whose."""

    original: str
    base: str
    name: str
    machine: str
    pid: int
    birth: str

    @property
    def is_orphan(self) -> bool:
        """True if its program ended on this computer; other computers cannot be checked."""
        return self.machine == processes.machine() and not processes.is_running(
            self.pid, self.birth
        )


_FORM: FileFormat[AutosaveNote] = FileFormat(
    kind="autosave note", key="gridjig autosave", version=1, wanted=AutosaveNote, limit=64 * 1024
)


class AutosavedCopy(Struct, frozen=True):
    """An autosaved copy that can be offered: its file (None if never saved), when it was made, the
    job's name, and the digest of the file that the work started from.
    """

    path: Path
    note: Path
    original: Path | None
    saved_at: datetime
    name: str
    base: str


class Autosaver:
    """Keeps the copy of one window's job.  The caller supplies the clock.

    After each change ask `wait` how long to wait, and then call `write`; or call `begin`, let a
    thread do what it returns, and then call `end`.  Also report saving and closing.  The first
    changes after opening or saving are copied at once: most of what a crash takes is taken early,
    when nothing has been saved yet.
    """

    def __init__(
        self, job: Job, path: Path | None, folder: Path | None = None, delay: float = DELAY
    ) -> None:
        self._folder = autosave_dir() if folder is None else folder
        self._stem = secrets.token_hex(8)
        self._since: float | None = None
        self._began: float | None = None
        self._took = 0.0
        self._written: AutosaveNote | None = None
        self._path: Path | None = None
        self._base = ""
        self._saved: Job | None = None
        self._kept: Job | None = None
        self._begun: Job | None = None
        self._begun_since: float | None = None
        self._disk = threading.Lock()
        self._round = 0
        self.set_delay(delay)
        self.mark_saved(job, path)

    @property
    def copy(self) -> Path:
        """The path of the copy, if there is one."""
        return self._folder / f"{self._stem}{SUFFIX}"

    @property
    def _note(self) -> Path:
        return self._folder / f"{self._stem}.json"

    def set_delay(self, delay: float) -> None:
        """Write copies at most this many seconds after a change, and never later than LONGEST."""
        self._delay = min(delay, LONGEST)

    def wait(self, now: float, job: Job) -> float | None:
        """Return the seconds until a copy of the job is due, or None if there is nothing to keep.

        `now` is in seconds of any steady clock, and is taken for the time of the change that is
        seen here for the first time.
        """
        if job is self._kept or job is self._begun:
            self._since = None
            return None
        if self._since is None:
            self._since = now
        if self._began is None:
            self._began = now
        early = self._since - self._began < EAGER
        pause = min(AT_ONCE, self._delay) if early else self._delay
        return max(0.0, self._since + max(pause, min(_REST * self._took, LONGEST)) - now)

    def write(self, job: Job) -> None:
        """Write a copy of the job, unless it is as saved.  Raise SaveFault."""
        work = self.begin(job)
        try:
            took = work()
        except SaveFault:
            self.end(None)
            raise
        self.end(took)

    def begin(self, job: Job) -> Callable[[], float]:
        """Return what writes the copy of a job, which takes seconds on a slow disk.

        It raises SaveFault, and returns how many seconds it took.  It may run in a thread: it uses
        only frozen values, and writes nothing once the copy is no longer wanted.  Call `end` after
        it, before the next `begin`.
        """
        self._begun, self._begun_since, self._since = job, self._since, None
        note, now = self._note_of(job), self._round

        def work() -> float:
            began = time.perf_counter()
            data = b"" if job is self._saved else write_job(job)
            with self._disk:
                if now == self._round:
                    self._put(data, note)
            return time.perf_counter() - began

        return work

    def end(self, took: float | None) -> None:
        """Note that the copy was written, and how long that took; None if it could not be."""
        job, self._begun = self._begun, None
        if job is None:
            return
        if took is None:
            self._since = self._begun_since
        else:
            self._kept, self._took = job, took

    def _put(self, data: bytes, note: AutosaveNote) -> None:
        if not data:
            self._remove_copy()
            return
        self._put_note(note)
        save(self.copy, data, backup=False)

    def _note_of(self, job: Job) -> AutosaveNote:
        return AutosaveNote(
            original="" if self._path is None else str(self._path),
            base=self._base,
            name=job.name,
            machine=processes.machine(),
            pid=os.getpid(),
            birth=processes.own_birth(),
        )

    def _put_note(self, note: AutosaveNote) -> None:
        if note == self._written:
            return
        with contextlib.suppress(OSError):  # saving reports it better
            make_private(self._folder)
        save(self._note, file_format.write(_FORM, note), backup=False)
        self._written = note

    def adopt(self, copy: AutosavedCopy, job: Job) -> None:
        """Take over a dead program's copy of the job.  Raise ReadFault if it is gone.

        Our note is written first and then the copy is renamed, so that a crash leaves it at least
        one owner; if two windows want it, one of them gets it.
        """
        self._saved = None
        self._base = copy.base
        try:
            self._put_note(self._note_of(job))
            copy.path.rename(self.copy)
        except (OSError, SaveFault) as fault:
            self.discard()
            why = "another window has taken it, or its folder cannot be written"
            raise ReadFault(copy.path, "", why, "look at the other windows") from fault
        _remove(copy.note)

    def mark_saved(self, job: Job, path: Path | None, data: bytes | None = None) -> None:
        """Note that the job is now in its file (or was just opened from it), so the copy can go.

        `data` are the bytes of the file, if available.
        """
        self._path = None if path is None else Path(os.path.abspath(path))  # noqa: PTH100
        self._saved = self._kept = job
        self._begun = None
        self._base = "" if path is None else _digest(write_job(job) if data is None else data)
        self._since = self._began = None
        self.discard()

    def discard(self) -> None:
        """Remove the copy: the work is saved, or no longer wanted.

        A copy that is being written is waited for, and one that was only begun is not written.
        """
        with self._disk:
            self._round += 1
            self._remove_copy()

    def _remove_copy(self) -> None:
        _remove(self.copy, self._note)
        self._written = None


def recoverable(folder: Path | None = None) -> tuple[AutosavedCopy, ...]:
    """Return the copies whose program died before their work was saved, newest first.

    Left out: copies of running programs; copies that equal their file (removed); copies of a file
    that was saved later than the copy (kept for a month).
    """
    folder = autosave_dir() if folder is None else folder
    found = []
    remove_orphans(folder)
    try:
        names = sorted(path for path in folder.iterdir() if path.suffix in (SUFFIX, ".json"))
    except OSError:
        return ()
    for stem in sorted({path.stem for path in names}):
        offered = _offer(folder / f"{stem}{SUFFIX}", folder / f"{stem}.json")
        found += [offered] if offered else []
    return tuple(sorted(found, key=lambda copy: copy.saved_at, reverse=True))


def recover(copy: AutosavedCopy, delay: float = DELAY) -> tuple[Job, Autosaver]:
    """Return the job of a copy, and the autosaver that keeps it from now on.  Raise ReadFault.

    The copy stays until the user saves, and the original file is not touched.
    """
    job = read_job(read_bytes(copy.path), copy.path)
    kept = Autosaver(job, copy.original, copy.path.parent, delay)
    kept.adopt(copy, job)
    return job, kept


def discard(copy: AutosavedCopy) -> None:
    """Remove a copy that the user does not want."""
    _remove(copy.path, copy.note)


def _offer(path: Path, note_path: Path) -> AutosavedCopy | None:
    """The copy if it should be offered; useless copies are removed."""
    try:
        note = file_format.load(_FORM, note_path)
    except ReadFault:
        note = AutosaveNote(
            original="", base="", name="", machine=processes.machine(), pid=0, birth=""
        )
    if not note.is_orphan:
        return None
    try:
        saved_at = path.stat().st_mtime
        data = read_bytes(path)
    except (OSError, ReadFault):
        _remove(note_path)
        return None
    original = Path(note.original) if note.original else None
    newer = _is_newer(data, saved_at, original, note.base)
    if newer is None or (not newer and time.time() - saved_at > _MONTH):
        _remove(path, note_path)
    if not newer:
        return None
    name = note.name or _name_in(data)
    when = datetime.fromtimestamp(saved_at).astimezone()
    return AutosavedCopy(path, note_path, original, when, name, note.base)


def _is_newer(data: bytes, saved_at: float, original: Path | None, base: str) -> bool | None:
    """Whether a copy has changes that its file does not have; None if they are the same.

    Bytes are compared before times, as the clocks of a share and of this computer may differ.
    """
    if original is None:
        return True
    (there,) = with_timeout([lambda: _state_of(original)], _PATIENCE)
    if there is None or not there[0]:
        return True
    if there[0] == _digest(data):
        return None
    return there[0] == base or saved_at > there[1]


def _state_of(path: Path) -> tuple[str, float]:
    """The digest of a file and its modification time; "" if it cannot be read."""
    try:
        return _digest(read_bytes(path)), path.stat().st_mtime
    except (OSError, ReadFault):
        return "", 0.0


def _name_in(data: bytes) -> str:
    try:
        return read_job(data).name
    except ReadFault:
        return "a job"


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _remove(*paths: Path) -> None:
    for path in paths:
        with contextlib.suppress(OSError):
            path.unlink()
