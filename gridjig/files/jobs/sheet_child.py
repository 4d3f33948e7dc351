"""The process that takes the job's file out of a setup sheet, a PDF that anyone may have made.

A hostile PDF can loop, or unpack a few bytes to gigabytes; a process can be stopped and bounded.
Run as `python -c ... FILE BYTES`, see `sheet_file`.  It writes one line, what came of it, and then
the bytes of the job's file.
"""

import logging
import sys
from io import BytesIO
from pathlib import Path
from typing import Any

from gridjig.files.format.faults import ReadFault
from gridjig.files.storage.process_memory import limit_memory

from .job_file import FORMAT, SUFFIX
from .sheet_answers import Answer

MOST_FILES = 100
"""The most files inside a PDF that are looked at."""


def main(path: str, more_bytes: int) -> None:
    """Take the job out of a PDF and write it to standard output."""
    limit_memory(more_bytes)
    sys.setrecursionlimit(1_000)
    logging.disable(logging.CRITICAL)
    answer, data = attached(Path(path).read_bytes())
    sys.stdout.buffer.write(f"{answer}\n".encode("ascii") + data)
    sys.stdout.buffer.flush()


def attached(pdf: bytes) -> tuple[Answer, bytes]:
    """Return what came of it, and the job's bytes if there is exactly one job inside."""
    try:
        found = list(_jobs_in(pdf))
    except MemoryError:
        return "too large", b""
    except ReadFault:
        return "no pdf", b""
    except Exception:  # whatever a broken file makes of the reader, it is the file that is broken
        return "no pdf", b""
    if not found:
        return "no job", b""
    if len(found) > 1:
        return "several", b""
    return ("too large", b"") if len(found[0]) > FORMAT.limit else ("job", found[0])


def _jobs_in(pdf: bytes) -> list[bytes]:
    import pypdf  # noqa: PLC0415 - only to open a sheet

    reader = pypdf.PdfReader(BytesIO(pdf), strict=False)
    found: list[bytes] = []
    for count, one in enumerate(reader.attachment_list):
        if count >= MOST_FILES:
            break
        name: Any = one.name
        if isinstance(name, str) and name.lower().endswith(SUFFIX):
            content: Any = one.content
            found.append(bytes(content))
    return found
