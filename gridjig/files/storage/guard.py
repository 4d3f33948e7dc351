"""A guard beside a file, held for milliseconds by one program at a time, on any computer.

It names its holder, so that one left by a killed program is removed at once.  Links are never
followed.
"""

import contextlib
import errno
import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from gridjig.files.format.faults import SaveFault, words_for

from . import processes
from .locations import make_private
from .saving import own_name_beside

LEFT = 60.0
"""Seconds after which another computer's guard must be left from a crash, as guards are held for
milliseconds."""
_EMPTY = 1.0
"""Seconds that an empty guard, or one dated in the future, must stay unchanged."""
_PAUSE = 0.02
_WAIT = 3.0
"""Seconds to wait for others that change one of the program's own files."""
_MOST = 4096
_SAFELY = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


@contextmanager
def guarded(guard: Path, wait: float) -> Iterator[None]:
    """Hold the guard.  Raise TimeoutError if others hold it for `wait` seconds, or OSError."""
    mine = _take(guard, wait)
    try:
        yield
    finally:
        with contextlib.suppress(OSError):
            if guard.lstat().st_ino == mine:
                guard.unlink()


@contextmanager
def file_guard(file: Path, otherwise: str) -> Iterator[None]:
    """Change one of the program's own files while no other window does; its folder is created if
    needed.

    Raise SaveFault that ends with `otherwise`, which says what is unchanged.
    """
    with contextlib.ExitStack() as held:
        try:
            make_private(file.parent)
            held.enter_context(guarded(file.with_name(file.name + ".guard"), _WAIT))
        except OSError as fault:
            raise SaveFault(file, words_for(fault), otherwise) from fault
        yield


def _take(guard: Path, wait: float) -> int:
    """Create the guard and return its file number."""
    until = time.monotonic() + wait
    said = "\n".join(_ourselves()).encode("utf-8", "replace")
    watch = _Watch(guard)
    while True:
        try:
            handle = os.open(guard, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _SAFELY, 0o666)
        except FileExistsError:
            pass
        except PermissionError:  # on Windows, one that is being removed
            if os.name != "nt":
                raise
        else:
            with open(handle, "wb") as file:  # noqa: PTH123  (an open handle, not a path)
                file.write(said)
                return os.fstat(handle).st_ino
        if watch.is_left():
            watch.take_away()
            continue
        if time.monotonic() > until:
            raise TimeoutError
        time.sleep(_PAUSE)


def _ourselves() -> tuple[str, str, str, str]:
    return (processes.host(), processes.machine(), str(os.getpid()), processes.own_birth())


class _Watch:
    """Watches a guard that is in the way."""

    def __init__(self, guard: Path) -> None:
        self._guard = guard
        self._seen: tuple[int, int] = (0, 0)
        self._since = 0.0

    def is_left(self) -> bool:
        """Return True if nobody holds it any more: its program has ended, or it is too old.

        Raises OSError.
        """
        try:
            found = self._guard.lstat()
        except FileNotFoundError:
            return False
        seen = (found.st_ino, found.st_mtime_ns)
        if seen != self._seen:
            self._seen, self._since = seen, time.monotonic()
        if stat.S_ISDIR(found.st_mode):
            raise IsADirectoryError(errno.EISDIR, "a folder has its name")
        if not stat.S_ISREG(found.st_mode):
            return True  # a link or the like, which no program of ours makes
        who = self._who()
        if who is not None and tuple(who[:2]) == _ourselves()[:2]:
            return not (who[2].isdecimal() and processes.is_running(int(who[2]), who[3]))
        age = time.time() - found.st_mtime
        stays = time.monotonic() - self._since > _EMPTY
        return age > LEFT or (stays and (age < -LEFT or not found.st_size))

    def _who(self) -> list[str] | None:
        """What it says about its holder; None if that is unknown."""
        try:
            handle = os.open(self._guard, os.O_RDONLY | _SAFELY)
            with open(handle, "rb") as file:  # noqa: PTH123  (an open handle, not a path)
                said = file.read(_MOST).decode("utf-8", "replace").split("\n")
        except OSError:
            return None
        return said if len(said) == 4 else None

    def take_away(self) -> None:
        """Remove it, but not another one that has replaced it."""
        aside = own_name_beside(self._guard)
        try:
            self._guard.rename(aside)
        except FileNotFoundError:
            return
        try:
            found = aside.lstat()
            if (found.st_ino, found.st_mtime_ns) != self._seen:
                with contextlib.suppress(OSError):
                    self._guard.hardlink_to(aside)
        finally:
            aside.unlink()
