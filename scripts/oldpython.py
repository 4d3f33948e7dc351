"""Says which Python is needed.  Written so that even Python 2.7 can read it."""

import os
import subprocess
import sys

NEEDED = (3, 11)


def sentence(version, others):
    # type: (tuple[int, ...], list[str]) -> str
    """Return a sentence about a Python that is too old, or an empty string if `version` will do.

    `others` are the names of newer Pythons found on this machine.
    """
    if tuple(version[:2]) >= NEEDED:
        return ""
    start = "GridJig needs Python {}.{} or newer and this is Python {}.{}: ".format(
        *(NEEDED + tuple(version[:2]))
    )
    if others:
        return start + "this machine has a newer one, so use " + others[0] + " instead of python3."
    return (
        start + "get one from https://www.python.org/downloads/ (on Debian and Ubuntu:"
        " sudo apt-get install python3 python3-venv) and run this again with it."
    )


def newer_pythons():
    # type: () -> list[str]
    """Return the names of working Pythons on this machine that are new enough, newest first."""
    names = ["python3." + str(minor) for minor in range(14, NEEDED[1] - 1, -1)]
    return [name for name in names if works(name)]


def works(name):
    # type: (str) -> bool
    """True if a command of that name starts a working Python."""
    with open(os.devnull, "w") as nowhere:
        try:
            return subprocess.call([name, "-c", ""], stdout=nowhere, stderr=nowhere) == 0
        except OSError:
            return False


def refuse():
    # type: () -> None
    """End the program with exit code 2 and one sentence if the running Python is too old."""
    if tuple(sys.version_info[:2]) >= NEEDED:
        return
    sys.stderr.write(sentence(sys.version_info[:3], newer_pythons()) + "\n")
    sys.exit(2)
