"""How much memory a process uses, and a limit to it, as far as the system has such things."""

import sys
from contextlib import suppress

ROOM = 3072  # MB of addresses that libraries claim without using them


def limit_memory(megabytes: int) -> None:
    """Have the system refuse memory far beyond what a case may take; nothing where it cannot."""
    if sys.platform == "win32":
        return
    import resource  # noqa: PLC0415 - Windows has none

    most = (megabytes + ROOM) * 1024 * 1024
    with suppress(ValueError, OSError):  # macOS has the name and refuses
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def most_memory() -> float:
    """The most memory that this process ever had, MB; 0 where the system does not tell."""
    if sys.platform == "win32":
        return 0.0
    import resource  # noqa: PLC0415 - Windows has none

    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / (1024 * 1024) if sys.platform == "darwin" else used / 1024


def memory_now() -> float:
    """The memory that this process has now, MB; where only the most is told, that."""
    try:
        with open("/proc/self/status", encoding="ascii") as file:  # noqa: PTH123 - not a file of ours
            for line in file:
                if line.startswith("VmRSS:"):
                    return float(line.split()[1]) / 1024
    except OSError:
        pass
    return most_memory()
