"""The identity of a process, to tell one that died from a new one with the same number.

A process is known by its number and its birth mark: when it started, and in which run of the
machine.  Knows no lock and no file of ours.
"""

import getpass
import os
import platform
import sys
import uuid
from functools import cache
from pathlib import Path

_PROC = Path("/proc")


def host() -> str:
    """Return the name of this computer."""
    return platform.node() or "this computer"


def user() -> str:
    """Return the name of the user at the computer."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):  # no user with this number
        return "someone"


@cache
def machine() -> str:
    """Return what identifies this computer among namesakes: its machine id or network address."""
    try:
        return Path("/etc/machine-id").read_text("ascii").strip() or f"{uuid.getnode():x}"
    except (OSError, ValueError):
        return f"{uuid.getnode():x}"


def own_birth() -> str:
    """Return the birth mark of this process."""
    return _own_birth(os.getpid())


@cache
def _own_birth(pid: int) -> str:
    return birth(pid) or "unknown"


def birth(pid: int) -> str | None:
    """Return the birth mark of a running process, or None if there is no such process."""
    if pid <= 0:
        return None
    if sys.platform == "win32":  # pragma: no cover  (only there)
        return _birth_on_windows(pid)
    if (_PROC / "self" / "stat").exists():
        return _birth_in_proc(pid)
    return _birth_by_ps(pid)


def is_running(pid: int, mark: str) -> bool:
    """Return True if the process with that number and birth mark is still running."""
    return birth(pid) == mark


def _birth_in_proc(pid: int) -> str | None:
    """Ticks from boot to its start (field 22 of stat, proc(5)), and the boot id."""
    try:
        fields = (_PROC / str(pid) / "stat").read_bytes().rpartition(b")")[2].split()
        run = (_PROC / "sys/kernel/random/boot_id").read_text("ascii").strip()
        if fields[0] in (b"Z", b"X"):  # it has ended, but its parent has not yet collected it
            return None
        return f"{run[:8]}-{int(fields[19])}"
    except (OSError, IndexError, ValueError):
        return None


def _birth_by_ps(pid: int) -> str | None:
    """Its start time as `ps` reports it: for systems without /proc."""
    import subprocess  # noqa: PLC0415 - the start does without

    try:
        done = subprocess.run(
            ["ps", "-o", "lstart=", "-p", str(pid)],
            capture_output=True,
            timeout=5,
            check=False,
            env={**os.environ, "LC_ALL": "C", "TZ": "UTC"},
        )
    except (OSError, subprocess.SubprocessError):
        return None
    return "-".join(done.stdout.decode("ascii", "replace").split()) or None


def _birth_on_windows(pid: int) -> str | None:  # pragma: no cover  (only there)
    """Its creation time in units of 100 ns, from GetProcessTimes."""
    if sys.platform != "win32":
        return None
    import ctypes  # noqa: PLC0415
    from ctypes import wintypes  # noqa: PLC0415

    kernel = ctypes.WinDLL("kernel32", use_last_error=True)
    kernel.OpenProcess.restype = wintypes.HANDLE
    handle = kernel.OpenProcess(0x1000, False, pid)  # PROCESS_QUERY_LIMITED_INFORMATION
    if not handle:
        return None
    try:
        code = wintypes.DWORD()
        times = [wintypes.FILETIME() for _ in range(4)]
        kernel.GetExitCodeProcess(wintypes.HANDLE(handle), ctypes.byref(code))
        if code.value != 259 or not kernel.GetProcessTimes(  # STILL_ACTIVE
            wintypes.HANDLE(handle), *(ctypes.byref(time) for time in times)
        ):
            return None
        return f"{times[0].dwHighDateTime:x}-{times[0].dwLowDateTime:x}"
    finally:
        kernel.CloseHandle(wintypes.HANDLE(handle))
