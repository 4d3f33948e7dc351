"""How much memory a process uses, and a limit on it, as far as the system supports them."""

import ctypes
import sys
from contextlib import suppress

ROOM = 3072  # MB of address space that libraries reserve without using it


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


def give_back() -> None:
    """Make the C library give memory that is free back to the system, where it can be told to."""
    with suppress(AttributeError, OSError, TypeError):  # only glibc has it
        ctypes.CDLL(None).malloc_trim(0)


def memory_now() -> float:
    """Return the memory that this process holds of its own, MB, or its peak if only that is known.

    Pages of library files are left out: the system loads and drops those as it likes.
    """
    own = [_status("RssAnon:"), _status("RssShmem:")]
    known = [size for size in own if size is not None]
    return sum(known) if known else most_memory()


def _status(field: str) -> float | None:
    """Return a field of what Linux says of this process, MB; None where there is none."""
    try:
        with open("/proc/self/status", encoding="ascii") as file:  # noqa: PTH123 - not a file of ours
            return next(
                (float(line.split()[1]) / 1024 for line in file if line.startswith(field)), None
            )
    except OSError:
        return None
