"""The process that reads one SVG drawing for another: Qt cannot be stopped, a process can.

Qt parses a whole drawing in one call that holds Python's lock, so in a thread it would freeze the
window.  Run as `python -c ... FILE BYTES`, see `svg_process`; it writes frames to its output.
"""

import signal
import sys
import traceback
from pathlib import Path
from typing import IO

from gridjig.files.format.faults import ReadFault
from gridjig.files.storage.process_memory import limit_memory
from gridjig.qt.messages import quietly

from .svg_frames import Broken, Reached, Refused, frames_of, write_frame
from .svg_reader import sketch_of

TOO_LARGE = ("it takes too much memory to read", "import only a part of it")


def main(path: str, more_bytes: int) -> None:
    """Read a drawing and write its frames to standard output."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)  # Ctrl-C on a terminal reaches this process too
    limit_memory(more_bytes)
    with quietly():
        answer(Path(path), sys.stdout.buffer)


def answer(path: Path, stream: IO[bytes]) -> None:
    """Read a drawing and write its frames.  Raise OSError if nobody reads them."""

    def report(done: int, _total: int | None) -> None:
        write_frame(stream, Reached(done))

    try:
        for frame in frames_of(sketch_of(path, report)):
            write_frame(stream, frame)
    except ReadFault as fault:
        write_frame(stream, Refused(fault.where, fault.why, fault.do, fault.line, fault.column))
    except MemoryError:
        write_frame(stream, Refused("", *TOO_LARGE))
    except OSError:
        raise
    except Exception:
        write_frame(stream, Broken(traceback.format_exc()))
