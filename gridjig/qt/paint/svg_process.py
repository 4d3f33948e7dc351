"""Reads SVG drawings in a process of their own, which can be stopped and is bounded in memory.

Needs no Qt itself: the other process does (`svg_child`).
"""

import json
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import IO

from gridjig.files.drawings.curves import DrawnCurve
from gridjig.files.drawings.drawing import Drawing, outlined, silent
from gridjig.files.drawings.sketch import Report, Sketch
from gridjig.files.format.faults import ReadFault
from gridjig.files.storage.process_memory import resident
from gridjig.units.progress import look

from .svg_frames import Broken, Curves, Done, Reached, Refused, drawn_curves, frame_of, read_frame

MEMORY = 1024**3
"""How much memory reading a drawing may take, bytes, besides what the process begins with."""
MEASURED = sys.platform == "darwin"
"""Whether the other process cannot bound its memory itself."""
_NO_WINDOW = getattr(subprocess, "CREATE_NO_WINDOW", 0)  # only on Windows
_LOOK_S = 0.05
_MEASURE_S = 0.5
_CODE = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[3]);"
    " from gridjig.qt.paint.svg_child import main; main(sys.argv[1], int(sys.argv[2]))"
)


def read_svg(path: Path, unit: str | None = None, report: Report = silent) -> Drawing:
    """Read the drawing in an SVG file.  Raise ReadFault, or Cancelled if `report` does."""
    return outlined(sketch_of(path, report), unit, report)


def sketch_of(path: Path, report: Report = silent) -> Sketch:
    """Read the sketch in an SVG file.  Raise ReadFault, or Cancelled if `report` does.

    Cancelling ends the other process at once, whatever Qt is doing in it.
    """
    curves: list[DrawnCurve] = []
    shapes = 0
    measured = time.monotonic()
    with _child(path) as (process, frames):
        while True:
            look()
            report(shapes, None)
            if MEASURED and time.monotonic() - measured > _MEASURE_S:
                measured = time.monotonic()
                if resident(process.pid) > MEMORY:
                    raise _ended(path)
            try:
                data = frames.get(timeout=_LOOK_S)
            except Empty:
                continue
            if data is None:
                raise _ended(path)
            match frame_of(data):
                case Reached(shapes):
                    pass
                case Curves() as some:
                    curves += drawn_curves(some)
                case Done(unit, unused):
                    return Sketch(name=path.name, unit=unit, curves=tuple(curves), unused=unused)
                case Refused(where, why, do, line, column):
                    raise ReadFault(path, where, why, do, line, column)
                case Broken(trace):
                    raise RuntimeError(f"reading a drawing in another process failed:\n{trace}")


def _ended(path: Path) -> ReadFault:
    why = "reading it ended before its end, most likely for want of memory"
    return ReadFault(path, "", why, "import only a part of it")


@contextmanager
def _child(path: Path) -> Iterator[tuple["subprocess.Popen[bytes]", "SimpleQueue[bytes | None]"]]:
    """Within this, a process reads the drawing; its frames arrive in the queue, None at the end."""
    words = [str(path), str(MEMORY), json.dumps(sys.path)]
    process = subprocess.Popen(
        [sys.executable, "-P", "-c", _CODE, *words],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        creationflags=_NO_WINDOW,
    )
    frames: SimpleQueue[bytes | None] = SimpleQueue()
    assert process.stdout is not None
    listener = threading.Thread(target=_listen, args=(process.stdout, frames), daemon=True)
    try:
        listener.start()
        yield process, frames
    finally:
        process.kill()
        process.wait()
        listener.join()
        process.stdout.close()


def _listen(stream: IO[bytes], frames: "SimpleQueue[bytes | None]") -> None:
    while (data := read_frame(stream)) is not None:
        frames.put(data)
    frames.put(None)
