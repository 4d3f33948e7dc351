"""The last resort: an uncaught exception is reported in a file and in one sentence."""

import platform
import shlex
import sys
import time
import traceback
from collections.abc import Sequence
from pathlib import Path

from gridjig import __version__
from gridjig.files.storage.locations import make_private, state_dir

from .plain import one_line

FAULT = 70
"""The exit code for a fault in the program itself: EX_SOFTWARE in sysexits.h."""


def report(given: Sequence[str], fault: BaseException) -> str:
    """Write a report; return a sentence that says what was run and where the report is."""
    asked = one_line(shlex.join(["gridjig", *given]), 200)
    where = _write(asked, fault)
    lies = f"The report is in {where}." if where else "No report could be written."
    return f"The program failed at `{asked}`; nothing was changed. {lies}"


def _write(asked: str, fault: BaseException) -> Path | None:
    """Write the report to the state folder; return its path, or None if it cannot be written."""
    try:
        text = "".join(
            [
                f"GridJig {__version__}, Python {platform.python_version()}, {sys.platform}\n",
                f"{time.strftime('%Y-%m-%d %H:%M:%S %z')}\n{asked}\n\n",
                *traceback.format_exception(fault),
            ]
        )
        folder = state_dir()
        make_private(folder)
        file = folder / f"report-{time.strftime('%Y%m%d-%H%M%S')}-{time.time_ns() % 10**6:06}.txt"
        file.write_text(text, encoding="utf-8", errors="backslashreplace")
    except Exception:
        return None
    return file
