"""Saving so that a crash, a full disk or a lost share never costs the file that was there.

The new bytes are written beside the file under a hidden name, forced to the disk, and only then
take its place.  At every moment the path holds one whole version, the old or the new.
"""

import contextlib
import hashlib
import os
import secrets
import stat
import sys
import time
from pathlib import Path
from typing import Literal

from msgspec import Struct

from gridjig.files.format.faults import SaveFault, words_for

from . import processes
from .locations import backup_of

_DAY = 86_400
_TRIES = 20 if os.name == "nt" else 1  # there, a virus scanner may hold a file for a moment
_PAUSE = 0.05
_WAY_ON = "what was there before is whole and your work stays open, so save it in another folder"


class FileStamp(Struct, frozen=True):
    """What a file on disk was when it was read or saved."""

    size: int
    modified_ns: int
    digest: bytes


def stamp(path: Path, data: bytes) -> FileStamp | None:
    """The stamp of a file that holds `data`; None if it is gone already."""
    try:
        return stamp_of(data, path.stat())
    except OSError:
        return None


def stamp_of(data: bytes, found: os.stat_result) -> FileStamp:
    """The stamp of bytes, and of what the system said of their file before they were read."""
    return FileStamp(len(data), found.st_mtime_ns, _digest(data))


def changed_since(path: Path, known: FileStamp) -> Literal["", "changed", "gone"]:
    """What happened to a file since its stamp was taken: "" for nothing.

    A file that was only touched, or saved again with the same bytes, has not changed.
    """
    try:
        found = path.stat()
        if (found.st_size, found.st_mtime_ns) == (known.size, known.modified_ns):
            return ""
        same = found.st_size == known.size and _digest(path.read_bytes()) == known.digest
    except OSError:
        return "gone"
    return "" if same else "changed"


def _digest(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()


def save(path: Path, data: bytes, backup: bool = True, follow: bool = True) -> FileStamp:
    """Put `data` in the place of the file, and keep what was there as its one backup.

    A link is followed and stays, or without `follow` gives way to the file; permissions are kept,
    and its owner where the system lets us.  The backup, `NAME.bak`, is always the
    version before: a second name for the old file where the disk can do that, so that making it
    costs nothing and cannot be cut short.  Raises SaveFault, and then the old file is whole.
    """
    try:
        real = Path(os.path.realpath(path if follow else path.parent))
        real = real if follow else real / path.name
        old = _old(path, real) if follow or not real.is_symlink() else None
        temp = real.with_name(_temp_name(real))
        try:
            _write_through(temp, data, old)
            if backup and old is not None:
                _keep_backup(real, backup_of(real), temp.with_suffix(".bak.tmp"))
            found = temp.stat()
            _replace(temp, real)
        finally:
            _remove(temp)
        _sync_folder(real.parent)
    except (OSError, ValueError) as fault:
        raise SaveFault(path, words_for(fault), _WAY_ON) from fault
    _remove_stale(real)
    return stamp_of(data, found)


def _old(path: Path, real: Path) -> os.stat_result | None:
    """The state of the file that is there, or None if there is none.  Raises SaveFault."""
    try:
        found = real.lstat()
    except FileNotFoundError:
        if not real.parent.is_dir():
            why = f"the folder {real.parent} is gone"
            raise SaveFault(path, why, "save it in another folder") from None
        return None
    if stat.S_ISDIR(found.st_mode):
        raise SaveFault(path, "it is a folder", "choose another name")
    if not stat.S_ISREG(found.st_mode):
        raise SaveFault(path, "it is no ordinary file", "choose another name")
    if not os.access(real, os.W_OK):
        raise SaveFault(path, "the file is write-protected", "save it under another name")
    return found


def own_name_beside(file: Path) -> Path:
    """A new hidden name beside a file, of the kind that is cleared away if this program dies."""
    return file.with_name(_temp_name(file))


def _temp_name(real: Path) -> str:
    """A hidden name that tells whose it is: for which file, of which process of which computer."""
    return f"{_temp_stem(real)}{os.getpid()}-{processes.own_birth()}-{secrets.token_hex(4)}.tmp"


def _temp_stem(real: Path) -> str:
    return f".gridjig-{_short(real.name)}-{_short(processes.host())}-"


def _short(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogateescape")).hexdigest()[:8]


def _write_through(temp: Path, data: bytes, old: os.stat_result | None) -> None:
    """Write a new file down to the disk itself; the same people may use it as the old one."""
    handle = os.open(temp, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    with open(handle, "wb") as file:  # noqa: PTH123  (an open handle, not a path)
        if old is not None:
            _keep_access(temp, old)
        file.write(data)
        file.flush()
        os.fsync(handle)


def _keep_access(temp: Path, old: os.stat_result) -> None:
    """Let the same people read and write the new file.  Owners first: they reset permissions."""
    if sys.platform != "win32":
        found = temp.stat()
        if found.st_uid != old.st_uid:
            with contextlib.suppress(OSError):  # only the administrator may give files away
                os.chown(temp, old.st_uid, -1)
        if found.st_gid != old.st_gid:
            with contextlib.suppress(OSError):  # only a member of the group may give to it
                os.chown(temp, -1, old.st_gid)
    temp.chmod(stat.S_IMODE(old.st_mode))


def _keep_backup(real: Path, backup: Path, temp: Path) -> None:
    """Make the file's present version its backup in one step; never a moment without one."""
    try:
        try:
            temp.hardlink_to(real)
        except OSError:  # the disk knows no second names
            _write_through(temp, real.read_bytes(), real.stat())
        _replace(temp, backup)
    finally:
        _remove(temp)  # renaming one of two names of the same file onto the other leaves both


def _replace(source: Path, target: Path) -> None:
    for _ in range(_TRIES - 1):
        try:
            source.replace(target)
            return
        except PermissionError:
            time.sleep(_PAUSE)
    source.replace(target)


def _remove(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()


def _sync_folder(folder: Path) -> None:
    """Force the new names to the disk, where the system can do that for folders."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def remove_orphans(folder: Path) -> None:
    """Remove what killed saves of any file of a folder of our own left there."""
    with contextlib.suppress(OSError):
        for entry in list(folder.iterdir()):
            if entry.name.startswith(".gridjig-") and entry.suffix == ".tmp" and _is_left(entry):
                _remove(entry)


def _is_left(temp: Path) -> bool:
    """True if a temporary file is of a dead process of this computer, or over a day old."""
    parts = temp.name.split("-", 3)
    if len(parts) == 4 and parts[2] == _short(processes.host()) and _is_orphan(parts[3]):
        return True
    return _is_old(temp)


def _remove_stale(real: Path) -> None:
    """Remove what killed saves of the same file left: of dead processes here, or over a day old."""
    of_file = f".gridjig-{_short(real.name)}-"
    with contextlib.suppress(OSError):
        for entry in list(real.parent.iterdir()):
            if entry.name.startswith(of_file) and entry.suffix == ".tmp" and _is_stale(real, entry):
                _remove(entry)


def _is_stale(real: Path, temp: Path) -> bool:
    here = _temp_stem(real)
    if temp.name.startswith(here) and _is_orphan(temp.name[len(here) :]):
        return True
    return _is_old(temp)


def _is_old(temp: Path) -> bool:
    try:
        return time.time() - temp.lstat().st_mtime > _DAY
    except OSError:
        return False


def _is_orphan(rest: str) -> bool:
    """True if the process that a temporary name tells of (`PID-BIRTH-RANDOM…`) has ended."""
    pid, _, mark = rest.rpartition("-")[0].partition("-")
    return not (pid.isdecimal() and processes.is_running(int(pid), mark))
