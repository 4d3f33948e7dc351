"""Runs the solver of `exact` in a process of its own, which can be stopped at any moment.

HiGHS prints a line about itself that would end up in what a verb prints, and can overrun its time
limit by far.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

import msgspec

from gridjig.units.progress import SILENT, Progress

from .exact import cheapest
from .patterns import answer_of, by_first_fit, material_bound
from .values import CuttingAnswer, CuttingTask

LONGEST_S = 30.0
"""How long the process may take for all tasks together; then bars filled by hand are the answer."""
_LOOK_S = 0.02
_NO_WINDOW = getattr(subprocess, "CREATE_NO_WINDOW", 0)  # only on Windows
_MODULE = "gridjig.solve.cutting.process"


def cheapest_of_all(
    tasks: Sequence[CuttingTask], progress: Progress = SILENT, longest: float = LONGEST_S
) -> tuple[CuttingAnswer, ...]:
    """Return the best bars of every task, in the same order.  Raises Cancelled."""
    if not tasks:
        return ()
    with tempfile.TemporaryDirectory(prefix="gridjig-cutting-") as folder:
        asked, told = Path(folder) / "tasks", Path(folder) / "answers"
        asked.write_bytes(msgspec.json.encode(list(tasks)))
        process = subprocess.Popen(
            [sys.executable, "-P", "-m", _MODULE, str(asked), str(told)],
            env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            creationflags=_NO_WINDOW,
        )
        try:
            end = time.monotonic() + longest
            while process.poll() is None and time.monotonic() < end:
                progress.report(0, None, "Filling bars")
                time.sleep(_LOOK_S)
        finally:
            process.kill()
            process.wait()
        return _read(told) or tuple(map(by_hand, tasks))


def _read(told: Path) -> tuple[CuttingAnswer, ...]:
    """The answers in a file; () if the process did not come that far."""
    try:
        return tuple(msgspec.json.decode(told.read_bytes(), type=list[CuttingAnswer]))
    except (OSError, msgspec.DecodeError):
        return ()


def by_hand(task: CuttingTask) -> CuttingAnswer:
    """Return bars filled without a solver, the longest piece first, and a bound of the material."""
    return answer_of(task, by_first_fit(task), material_bound(task))


def main(asked: str, told: str) -> None:
    """Read tasks from one file and write their answers to another."""
    tasks = msgspec.json.decode(Path(asked).read_bytes(), type=list[CuttingTask])
    part = Path(f"{told}.part")
    part.write_bytes(msgspec.json.encode([cheapest(task) for task in tasks]))
    part.replace(told)


if __name__ == "__main__":
    main(*sys.argv[1:])
