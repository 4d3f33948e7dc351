"""How much memory a process uses, and a limit on it, as far as the system supports them."""

import ctypes
import sys
from contextlib import suppress

ROOM = 3072  # MB of address space that libraries reserve without using it
_BLOCK = 100  # bytes that a small block of Python's takes on average; measured in the window: 92


def limit_memory(megabytes: int) -> None:
    """Make the system refuse memory far beyond a case's limit; do nothing where it cannot."""
    if sys.platform == "win32":
        return
    import resource  # noqa: PLC0415 - Windows has none

    most = (megabytes + ROOM) * 1024 * 1024
    with suppress(ValueError, OSError):  # macOS has the call but refuses it
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def most_memory() -> float:
    """Return the peak memory of this process, MB; 0 if the system does not report it."""
    if sys.platform == "win32":
        return 0.0
    # On Linux ru_maxrss begins with the peak of the process that started this one; VmHWM does not.
    peak = _status("VmHWM:")
    if peak is not None:
        return peak
    import resource  # noqa: PLC0415 - Windows has none

    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / (1024 * 1024) if sys.platform == "darwin" else used / 1024


def memory_in_use() -> float:
    """Return about how much this process holds, MB: what the C library has given out, and `_BLOCK`
    bytes for each of Python's own small blocks.

    Unlike the size of the process, this does not grow when free memory lies in pieces.  Where the C
    library does not say (only glibc does, from 2.33), return the peak of the process.
    """
    count = getattr(ctypes.CDLL(None), "mallinfo2", None) if sys.platform == "linux" else None
    if count is None:
        return most_memory()
    count.restype = _Mallinfo2
    given = count()
    small = _BLOCK * sys.getallocatedblocks()
    return float(given.uordblks + given.hblkhd + small) / (1024 * 1024)


class _Mallinfo2(ctypes.Structure):
    """What glibc says of its memory, bytes: `uordblks` in its heaps, `hblkhd` in maps apart."""

    _fields_ = tuple(
        (name, ctypes.c_size_t)
        for name in (
            *("arena", "ordblks", "smblks", "hblks", "hblkhd"),
            *("usmblks", "fsmblks", "uordblks", "fordblks", "keepcost"),
        )
    )


def _status(field: str) -> float | None:
    """Return a field of what Linux says of this process, MB; None where there is none."""
    try:
        with open("/proc/self/status", encoding="ascii") as file:  # noqa: PTH123 - not a file of ours
            return next(
                (float(line.split()[1]) / 1024 for line in file if line.startswith(field)), None
            )
    except OSError:
        return None
