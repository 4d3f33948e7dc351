"""A setup sheet as a file: the job's own file lies inside the PDF, and comes out of it again.

The PDF is read in a process of its own, bounded in time and memory, and what comes out of it goes
through the strict reader of job files like any other.
"""

import json
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import NoReturn

from gridjig.files.format import codec
from gridjig.files.format.faults import ReadFault
from gridjig.model import Job
from gridjig.units.progress import look

from .job_file import FORMAT, SUFFIX, load_job, read_job
from .sheet_answers import ANSWERS, Answer

SHEET = ".pdf"
MEDIA_TYPE = "application/json"
MOST_BYTES = 128 * 1024 * 1024
"""The largest PDF that is looked at: a job's file, unpacked, and as much again for its pages."""
MEMORY = 1024**3
"""How much memory reading it may take, bytes, besides what the process begins with."""
MOST_SECONDS = 20.0
"""How long reading it may take: a sheet of 200 pages takes one."""
_LOOK_S = 0.02
_CODE = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[3]);"
    " from gridjig.files.jobs.sheet_child import main; main(sys.argv[1], int(sys.argv[2]))"
)
_WHY: dict[Answer, tuple[str, str]] = {
    "no job": (
        "no job lies inside it",
        "open a setup sheet as GridJig saved it; printing or joining it in another program drops"
        " the job",
    ),
    "several": ("more than one job lies inside it", "open each sheet by itself"),
    "no pdf": ("it is not a PDF that can be read", "open the .gridjig file instead"),
    "too large": ("it takes too much memory to read", "open the .gridjig file instead"),
}


def attachment_name(job: Job) -> str:
    """Return what the job's file is called inside a sheet: its name, as far as files have it."""
    kept = "".join(c if c.isascii() and (c.isalnum() or c in " -_.") else "-" for c in job.name)
    return f"{kept.strip(' .')[:60] or 'job'}{SUFFIX}"


def is_sheet(path: Path) -> bool:
    """True if a path is that of a PDF, going by its name."""
    return path.suffix.lower() == SHEET


def job_in_sheet(path: Path) -> Job:
    """Return the job inside a setup sheet.  Raise ReadFault, or Cancelled (see `look`)."""
    return read_job(bytes_in_sheet(path), path)


def job_at(path: Path) -> Job:
    """Return the job in a job file or inside a setup sheet.  Raise ReadFault, or Cancelled."""
    return job_in_sheet(path) if is_sheet(path) else load_job(path)


def bytes_in_sheet(path: Path) -> bytes:
    """Return the bytes of the job's file inside a setup sheet.  Raise ReadFault."""
    codec.read_bytes(path, MOST_BYTES)
    words = [str(path), str(MEMORY), json.dumps(sys.path)]
    code, said = _answer(path, [sys.executable, "-P", "-c", _CODE, *words])
    head, _, data = said.partition(b"\n")
    answer = next((one for one in ANSWERS if one.encode("ascii") == head), None)
    if code or answer is None:
        _refuse(path, *_WHY["too large"])
    if answer != "job" or len(data) > FORMAT.limit:
        _refuse(path, *_WHY[answer if answer != "job" else "too large"])
    return data


def _answer(path: Path, command: list[str]) -> tuple[int, bytes]:
    """Run the process that reads it; return its exit code and what it said.

    Raise ReadFault if it takes too long, and Cancelled if the work that this is part of is.
    """
    import subprocess  # noqa: PLC0415 - the start knows this module, and does without
    import tempfile  # noqa: PLC0415

    until = time.monotonic() + MOST_SECONDS
    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=said,
            stderr=subprocess.DEVNULL,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),  # only on Windows,
        )
        try:
            while process.poll() is None:
                look()
                if time.monotonic() > until:
                    _refuse(path, "reading it takes too long", "open the .gridjig file instead")
                with suppress(subprocess.TimeoutExpired):
                    process.wait(_LOOK_S)
        finally:
            process.kill()
            process.wait()
        said.seek(0)
        return process.returncode, said.read(FORMAT.limit + 100)


def _refuse(path: Path, why: str, do: str) -> NoReturn:
    raise ReadFault(path, "", why, do) from None
