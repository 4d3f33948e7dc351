"""Saving so that a crash, a full disk or a lost share never loses the existing file.

The new bytes are written beside the file under a hidden name, flushed to disk, and only then take
its place.  At every moment the path holds one complete version, the old or the new.
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
_TRIES = 20 if os.name == "nt" else 1  # on Windows a virus scanner may hold a file for a moment
_PAUSE = 0.05
_WAY_ON = "the old file is intact and your work is still open, so save it in another folder"


class FileStamp(Struct, frozen=True):
    """The state of a file on disk when it was read or saved."""

    size: int
    modified_ns: int
    digest: bytes


def stamp(path: Path, data: bytes) -> FileStamp | None:
    """Return the stamp of a file that holds `data`; None if it is already gone."""
    try:
        return stamp_of(data, path.stat())
    except OSError:
        return None


def stamp_of(data: bytes, found: os.stat_result) -> FileStamp:
    """Return the stamp of bytes and their file's stat result from before they were read."""
    return FileStamp(len(data), found.st_mtime_ns, _digest(data))


def changed_since(path: Path, known: FileStamp) -> Literal["", "changed", "gone"]:
    """Return what happened to a file since its stamp was taken: "" for nothing.

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
    """Replace the file with `data`, and keep the old version as its one backup.

    A link is followed and kept, or without `follow` replaced by the file; permissions are kept,
    and the owner if the system allows it.  The backup, `NAME.bak`, is always the previous
    version: a hard link to the old file if the disk supports that, so that making it costs
    nothing and cannot be interrupted.  Raise SaveFault, and then the old file is intact.
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
    """The stat result of the existing file, or None if there is none.  Raise SaveFault."""
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
        raise SaveFault(path, "it is not an ordinary file", "choose another name")
    if not os.access(real, os.W_OK):
        raise SaveFault(path, "the file is write-protected", "save it under another name")
    return found


def own_name_beside(file: Path) -> Path:
    """Return a new hidden name beside a file, to be cleaned up later if this program dies."""
    return file.with_name(_temp_name(file))


def _temp_name(real: Path) -> str:
    """A hidden name that identifies its owner: the file, the process and the computer."""
    return f"{_temp_stem(real)}{os.getpid()}-{processes.own_birth()}-{secrets.token_hex(4)}.tmp"


def _temp_stem(real: Path) -> str:
    return f".gridjig-{_short(real.name)}-{_short(processes.host())}-"


def _short(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogateescape")).hexdigest()[:8]


def _write_through(temp: Path, data: bytes, old: os.stat_result | None) -> None:
    """Write a new file and flush it to disk, with the same access rights as the old one."""
    handle = os.open(temp, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    with open(handle, "wb") as file:  # noqa: PTH123  (an open handle, not a path)
        if old is not None:
            _keep_access(temp, old)
        file.write(data)
        file.flush()
        os.fsync(handle)


def _keep_access(temp: Path, old: os.stat_result) -> None:
    """Copy owner and permissions to the new file; the owner first, as it resets permissions."""
    if sys.platform != "win32":
        found = temp.stat()
        if found.st_uid != old.st_uid:
            with contextlib.suppress(OSError):  # only an administrator may change the owner
                os.chown(temp, old.st_uid, -1)
        if found.st_gid != old.st_gid:
            with contextlib.suppress(OSError):  # only a member may set the group
                os.chown(temp, -1, old.st_gid)
    temp.chmod(stat.S_IMODE(old.st_mode))


def _keep_backup(real: Path, backup: Path, temp: Path) -> None:
    """Make the file's present version its backup in one step, never leaving it without one."""
    try:
        try:
            temp.hardlink_to(real)
        except OSError:  # the disk has no hard links
            _write_through(temp, real.read_bytes(), real.stat())
        _replace(temp, backup)
    finally:
        _remove(temp)  # renaming one hard link onto another of the same file leaves both


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
    """Flush the new names to disk, if the system supports that for folders."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def remove_orphans(folder: Path) -> None:
    """Remove what interrupted saves left in one of the program's own folders."""
    with contextlib.suppress(OSError):
        for entry in list(folder.iterdir()):
            if entry.name.startswith(".gridjig-") and entry.suffix == ".tmp" and _is_left(entry):
                _remove(entry)


def _is_left(temp: Path) -> bool:
    """True if a temporary file is from a dead process on this computer, or over a day old."""
    parts = temp.name.split("-", 3)
    if len(parts) == 4 and parts[2] == _short(processes.host()) and _is_orphan(parts[3]):
        return True
    return _is_old(temp)


def _remove_stale(real: Path) -> None:
    """Remove what interrupted saves of this file left: from dead processes, or over a day old."""
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
    """True if the process named in a temporary name (`PID-BIRTH-RANDOM…`) has ended."""
    pid, _, mark = rest.rpartition("-")[0].partition("-")
    return not (pid.isdecimal() and processes.is_running(int(pid), mark))
