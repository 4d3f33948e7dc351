"""Bounds the memory of a process, in the way of each system."""

import os
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

_STATUS = Path("/proc/self/statm")
_BASE = 200 * 1024**2
"""Committed memory of a process that has loaded what it needs, on Windows."""


def limit_memory(more_bytes: int) -> None:
    """Let this process take so much more memory than it has now; nothing undoes it.

    What asks for more fails, and the process with it.  macOS keeps no such limit; there the process
    that waits for this one looks at `resident` now and then.
    """
    if sys.platform == "win32":  # pragma: no cover  (only there)
        _limit_on_windows(more_bytes)
        return
    import resource  # noqa: PLC0415 - not on Windows

    with suppress(OSError, ValueError):  # where there is no such limit
        used = int(_STATUS.read_text("ascii").split()[0]) * resource.getpagesize()
        _, most = resource.getrlimit(resource.RLIMIT_AS)
        wanted = used + more_bytes
        if most != resource.RLIM_INFINITY:
            wanted = min(wanted, most)
        resource.setrlimit(resource.RLIMIT_AS, (wanted, most))


def _limit_on_windows(more_bytes: int) -> None:  # pragma: no cover  (only there)
    """Put this process into a job object with a limit for each process in it."""
    if sys.platform != "win32":
        return
    import ctypes  # noqa: PLC0415
    from ctypes import wintypes  # noqa: PLC0415

    class Basic(ctypes.Structure):
        _fields_ = [
            ("PerProcessUserTimeLimit", ctypes.c_int64),
            ("PerJobUserTimeLimit", ctypes.c_int64),
            ("LimitFlags", wintypes.DWORD),
            ("MinimumWorkingSetSize", ctypes.c_size_t),
            ("MaximumWorkingSetSize", ctypes.c_size_t),
            ("ActiveProcessLimit", wintypes.DWORD),
            ("Affinity", ctypes.c_size_t),
            ("PriorityClass", wintypes.DWORD),
            ("SchedulingClass", wintypes.DWORD),
        ]

    class Extended(ctypes.Structure):
        _fields_ = [
            ("Basic", Basic),
            ("IoInfo", ctypes.c_uint64 * 6),
            ("ProcessMemoryLimit", ctypes.c_size_t),
            ("JobMemoryLimit", ctypes.c_size_t),
            ("PeakProcessMemoryUsed", ctypes.c_size_t),
            ("PeakJobMemoryUsed", ctypes.c_size_t),
        ]

    kernel = ctypes.WinDLL("kernel32", use_last_error=True)
    kernel.CreateJobObjectW.restype = wintypes.HANDLE
    kernel.GetCurrentProcess.restype = wintypes.HANDLE
    job = kernel.CreateJobObjectW(None, None)
    limits = Extended()
    limits.Basic.LimitFlags = 0x100  # JOB_OBJECT_LIMIT_PROCESS_MEMORY
    limits.ProcessMemoryLimit = more_bytes + _BASE
    kernel.SetInformationJobObject(
        wintypes.HANDLE(job), 9, ctypes.byref(limits), ctypes.sizeof(limits)
    )  # JobObjectExtendedLimitInformation
    own = wintypes.HANDLE(kernel.GetCurrentProcess())
    kernel.AssignProcessToJobObject(wintypes.HANDLE(job), own)


def resident(pid: int) -> int:
    """Return the bytes of memory that a process has, as `ps` reports it; 0 if that is unknown."""
    try:
        done = subprocess.run(
            ["ps", "-o", "rss=", "-p", str(pid)],
            capture_output=True,
            timeout=5,
            check=False,
            env={**os.environ, "LC_ALL": "C"},
        )
        return int(done.stdout) * 1024
    except (OSError, ValueError, subprocess.SubprocessError):
        return 0
