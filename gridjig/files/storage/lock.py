"""Who has a job open: a small file beside it says so, to people as well as to programs.

A lock keeps two people from saving over each other; it does not prevent reading.  A lock left by
a program that died on this computer is taken over silently, one from another computer never.
"""

import contextlib
import hashlib
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from gridjig.files.format import file_format
from gridjig.files.format.faults import ReadFault, SaveFault, clip, words_for
from gridjig.files.format.file_format import FileFormat
from gridjig.files.storage.guard import guarded

from . import processes
from .saving import save

_WAIT = 3.0  # seconds to wait for others who are checking the same lock
_LONGEST = 255  # bytes of a name, on nearly every system
_GUARD = ".guard"


class Holder(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Who has a job open.  `since` is local time with its zone; `token` is unique per opening."""

    user: str
    host: str
    machine: str
    pid: int
    birth: str
    since: str
    token: str

    def __str__(self) -> str:
        return f"{clip(self.user, 40)} on {clip(self.host, 40)}"

    @property
    def is_dead(self) -> bool:
        """True if it is from this computer, and its program has ended or the computer restarted."""
        here = (self.host, self.machine) == (processes.host(), processes.machine())
        return here and not processes.is_running(self.pid, self.birth)


UNKNOWN = Holder(user="someone", host="a computer", machine="", pid=0, birth="", since="", token="")
_FORM: FileFormat[Holder] = FileFormat(
    kind="lock", key="gridjig lock", version=1, wanted=Holder, limit=64 * 1024
)


class LockRefusal(Struct, frozen=True):
    """Why there is no lock: its holder, or None if that cannot be read.  str() puts it in words."""

    holder: Holder | None
    why: str

    def __str__(self) -> str:
        return self.why


class Lock(Struct, frozen=True):
    """A job that is ours to save, until `release`."""

    path: Path
    holder: Holder

    def check(self) -> LockRefusal | None:
        """Return None while the lock is ours, or else who has it.  Call this before every save.

        A lock that somebody removed is restored.  If the folder does not respond, the refusal has
        no holder: the lock is not lost, but that cannot be checked.
        """
        file = lock_file(self.path)
        try:
            with _guard(file):
                there = _there(file)
                if there is None:
                    _put(file, self.holder)
                elif there.token != self.holder.token:
                    return self._lost_to(there)
        except (OSError, SaveFault) as fault:
            return LockRefusal(
                None, f"{_name(self.path)}: it is not known who has it open; {_why(fault)}."
            )
        return None

    def taken_over(self) -> LockRefusal | None:
        """Return who has taken the job over since, or None.  Only reads, to be asked now and then.

        A folder that does not respond, and a lock that somebody removed, say nothing; `check` does.
        """
        try:
            there = _there(lock_file(self.path))
        except OSError:
            return None
        if there is None or there.token == self.holder.token:
            return None
        return self._lost_to(there)

    def _lost_to(self, there: Holder) -> LockRefusal:
        return LockRefusal(there, f"{_name(self.path)} was taken over: {_has(there)}.")

    def release(self) -> None:
        """Release the job.  A lock that others have taken over stays theirs."""
        file = lock_file(self.path)
        with contextlib.suppress(OSError), _guard(file):
            there = _there(file)
            if there is not None and there.token == self.holder.token:
                file.unlink()


def lock_file(path: Path) -> Path:
    """Return the path of the file beside a job that says who has it open."""
    real = Path(os.path.realpath(path))
    name = f".{real.name}.lock"
    if len(os.fsencode(name)) + len(_GUARD) > _LONGEST:
        whole = hashlib.sha256(os.fsencode(real.name)).hexdigest()
        name = f".{real.name[:20]}-{whole[:24]}.lock"
    return real.with_name(name)


def current_holder(path: Path) -> Holder | None:
    """Return who has a job open, without taking it; None for nobody or a program that died."""
    there = None
    with contextlib.suppress(OSError):
        there = _there(lock_file(path))
    return None if there is None or there.is_dead else there


def take(path: Path) -> Lock | LockRefusal:
    """Take a job that is free, or whose holder died on this computer."""
    return _take(path, over=False)


def take_over(path: Path) -> Lock | LockRefusal:
    """Take a job from whoever has it; only at the user's explicit request."""
    return _take(path, over=True)


def _take(path: Path, over: bool) -> Lock | LockRefusal:
    file = lock_file(path)
    try:
        with _guard(file):
            there = _there(file)
            if there is not None and not over and not there.is_dead:
                return LockRefusal(there, f"{_name(path)} opens read-only: {_has(there)}.")
            lock = Lock(path, _ourselves())
            _put(file, lock.holder)
            return lock
    except (OSError, SaveFault) as fault:
        why = f"no lock file can be written beside it; {_why(fault)}"
        return LockRefusal(None, f"{_name(path)} opens read-only: {why}.")


def _ourselves() -> Holder:
    return Holder(
        user=processes.user(),
        host=processes.host(),
        machine=processes.machine(),
        pid=os.getpid(),
        birth=processes.own_birth(),
        since=datetime.now().astimezone().isoformat(timespec="seconds"),
        token=secrets.token_hex(8),
    )


def _there(file: Path) -> Holder | None:
    """The holder in the lock file; UNKNOWN if it cannot be understood, None if there is none.

    A link that somebody put there is not followed: it cannot be understood.
    """
    if file.is_symlink():
        return UNKNOWN
    try:
        return file_format.load(_FORM, file)
    except ReadFault as fault:
        if isinstance(fault.__cause__, FileNotFoundError):
            return None
        if isinstance(fault.__cause__, OSError):
            raise fault.__cause__ from fault
        return UNKNOWN


def _put(file: Path, holder: Holder) -> None:
    save(file, file_format.write(_FORM, holder), backup=False, follow=False)


@contextmanager
def _guard(file: Path) -> Iterator[None]:
    """Let only one program at a time, on any computer, check and change a lock."""
    with guarded(file.with_name(file.name + _GUARD), _WAIT):
        yield


def _name(path: Path) -> str:
    return clip(path.name, 80)


def _has(holder: Holder) -> str:
    if holder is UNKNOWN:
        return "someone has it open, and their note cannot be read"
    if holder.pid == os.getpid() and holder.machine == processes.machine():
        return f"it is open in this program already, since {holder.since[11:16]}"
    when = clip(holder.since[:16].replace("T", " "), 16)
    return f"{holder} has had it open since {when}"


def _why(fault: Exception) -> str:
    return fault.why if isinstance(fault, SaveFault) else words_for(fault)
