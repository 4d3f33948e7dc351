"""Long work can be stopped at any moment, in the window and on the terminal.

In the window, work stops where it looks whether it is still wanted.  The longest stretch of
processor time between two looks is what somebody waits at worst, so it is measured over the whole
of the work; a wait measured by the clock would only show how busy the machine is.
"""

import gc
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from gridjig.angle.standing import answers_on
from gridjig.edits.parts import polygon
from gridjig.files.drawings.drawing import read_drawing
from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import write_job
from gridjig.model import Job
from gridjig.qt.tasks import TaskRunner
from gridjig.rack import Piece
from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.wanted import as_edge
from gridjig.solve.layout.places import weldment_places
from gridjig.solve.layout.remainders import remainders
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units.progress import Cancelled, Progress
from tests.files.drawings.test_drawing_hurts import block, drawn, insert, poly
from tests.workshop import RACK, TABLE

AT_MOST_S = 0.5


def array(loop: Iterable[tuple[float, float]], apart: float) -> str:
    copies = insert("A", columns=200, rows=150, right=apart, back=apart)
    return drawn(copies, block("A", poly(loop)))


SQUARE = ((0, 0), (10, 0), (10, 10), (0, 10))
BOW = ((0, 0), (10, 10), (10, 0), (0, 10))
DRAWINGS = {
    "30,000 loops that cross themselves and each other": array(BOW, 7),
    "30,000 squares that cross each other": array(SQUARE, 7),
    "30,000 squares on a heap": array(SQUARE, 0.03),
}


def many_sizes(kind: str, count: int) -> Job:
    """A job whose rack has that many pieces of a kind, each of another size."""
    model = next(piece for piece in RACK.pieces if piece.kind == kind)

    def other(k: int) -> Piece:
        rounds = tuple(structs.replace(r, radius=r.radius + k * 1e-3) for r in model.rounds)
        thick = model.thickness and model.thickness + k * 1e-3
        name = f"{model.id}-{k}"
        return structs.replace(model, id=name, name=name, rounds=rounds, thickness=thick)

    pieces = (*RACK.pieces, *(other(k) for k in range(1, count)))
    return Job(name="many", table=TABLE, rack=structs.replace(RACK, pieces=pieces))


def many_plates(count: int) -> Job:
    side = round(count**0.5)
    parts = tuple(
        polygon(f"p{k}", f"p{k}", [(x, y), (x + 7, y), (x + 7, y + 5), (x, y + 5)], (0, 10))
        for k in range(count)
        for x, y in [(k % side * 6.91 + k // side * 0.013, k // side * 7.03)]
    )
    return Job(name="plates", table=TABLE, rack=RACK, parts=parts)


def looks(work: Callable[[Progress], object]) -> list[float]:
    """The processor time of this thread between two looks, over the whole of the work."""
    at: list[float] = [time.thread_time()]

    def never() -> bool:
        at.append(time.thread_time())
        return False

    progress = Progress(is_cancelled=never)
    gc.collect()
    with progress.heeded(), suppress(ReadFault):  # too many of them lie on each other
        work(progress)
    never()
    return [b - a for a, b in pairwise(at)]


def angles(job: Job, progress: Progress) -> object:
    wanted = as_edge(37.5)
    return answers_on(job, PlacedPieces().of(job), wanted, AngleLimits(), progress)


def works(folder: Path) -> dict[str, Callable[[Progress], object]]:
    made: dict[str, Callable[[Progress], object]] = {}
    first = folder / "first.dxf"
    first.write_text(drawn(poly(SQUARE)))
    read_drawing(first, None)  # the reader's modules are loaded once, and not by this work
    for number, (name, text) in enumerate(DRAWINGS.items()):
        path = folder / f"{number}.dxf"
        path.write_text(text)
        made[name] = lambda progress, path=path: read_drawing(path, None, progress.report)  # type: ignore[misc]
    pins, shims, plates = many_sizes("pin", 2000), many_sizes("shim", 2000), many_plates(2000)
    made["an angle by 2,000 pins"] = lambda progress: angles(pins, progress)
    made["an angle by 2,000 shims"] = lambda progress: angles(shims, progress)
    made["remainders of 2,000 plates"] = lambda _: remainders(plates)
    made["places of 2,000 plates"] = lambda progress: weldment_places(plates, progress=progress)
    return made


NAMES = [
    *DRAWINGS,
    "an angle by 2,000 pins",
    "an angle by 2,000 shims",
    "remainders of 2,000 plates",
    "places of 2,000 plates",
]


@pytest.mark.expectation(99, 100)
@pytest.mark.parametrize("name", NAMES)
def test_work_looks_often_whether_it_is_still_wanted(name: str, tmp_path: Path) -> None:
    between = looks(works(tmp_path)[name])
    assert len(between) > 10
    assert max(between) < AT_MOST_S


@pytest.mark.expectation(99, 100)
@pytest.mark.skipif(sys.platform != "linux", reason="the time of another thread")
@pytest.mark.parametrize("name", [NAMES[1], *NAMES[3::2]])
def test_a_cancel_in_the_window_ends_the_thread(name: str, tmp_path: Path, qtbot: QtBot) -> None:
    work, started, home = works(tmp_path)[name], threading.Event(), QObject()
    thread, asked, spent = [0], [0.0], [0.0]

    def run(progress: Progress) -> object:
        thread[0] = threading.get_ident()
        started.set()
        try:
            while True:  # again and again, so that it is under way when it is cancelled
                work(progress)
        except Cancelled:
            spent[0] = time.thread_time() - asked[0]
            raise

    runner = TaskRunner(home)
    runner.start(run)
    assert started.wait(5.0)
    time.sleep(0.5)
    asked[0] = time.clock_gettime(time.pthread_getcpuclockid(thread[0]))
    runner.cancel()
    runner.close(30.0)
    assert not any(one.ident == thread[0] for one in threading.enumerate())
    assert 0.0 < spent[0] < AT_MOST_S


def used(process: int) -> float:
    """The processor time of a process so far."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def reader_of(process: int) -> int | None:
    """The process that reads a drawing for that one, once there is one."""
    for entry in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            if int(entry.read_text().rpartition(")")[2].split()[1]) == process:
                return int(entry.parent.name)
    return None


def is_there(process: int) -> bool:
    """True unless that process has ended."""
    with suppress(OSError):
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    return False


def _svg(path: Path) -> None:
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="99mm" height="99mm" viewBox="0 0 99 99">'
        '<defs><rect id="a0" width="2" height="2" stroke="#000" fill="none"/>'
        + "".join(
            f'<g id="a{k + 1}"><use href="#a{k}"/><use href="#a{k}" x="{2**k}"/></g>'
            for k in range(16)
        )
        + '</defs><use href="#a16"/></svg>'
    )


@pytest.mark.skipif(sys.platform != "linux", reason="reads the time of a process from /proc")
@pytest.mark.parametrize("what", ["dxf", "svg", "angle", "remainders"])
def test_ctrl_c_on_the_terminal_ends_the_program(what: str, tmp_path: Path) -> None:
    file, out = tmp_path / f"a.{what}", str(tmp_path / "out.gridjig")
    job = tmp_path / "job.gridjig"
    if what == "svg":
        _svg(file)
    elif what == "dxf":
        file.write_text(array(SQUARE, 7).replace("200", "400").replace("150", "250"))
    else:
        job.write_bytes(
            write_job(many_sizes("pin", 4900) if what == "angle" else many_plates(9000))
        )
    line = {
        "dxf": ["import", str(file), out],
        "svg": ["import", str(file), out, "--unit", "mm"],
        "angle": ["angle", "37.5", "--job", str(job)],
        "remainders": ["gaps", str(job)],
    }[what]
    # A shell that starts the tests in the background has them ignore Ctrl-C; a child inherits that.
    heeded = signal.signal(signal.SIGINT, signal.default_int_handler)
    process = subprocess.Popen(
        [sys.executable, "-m", "gridjig", *line],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "COVERAGE_PROCESS_START": ""},
    )
    signal.signal(signal.SIGINT, heeded)
    until, reader = time.monotonic() + 60.0, process.pid
    while time.monotonic() < until and process.poll() is None:
        time.sleep(0.01)
        reader = (what == "svg" and reader_of(process.pid)) or process.pid
        if used(reader) >= 1.0:
            break
    assert process.poll() is None  # or else it was done before
    assert (reader != process.pid) == (what == "svg")
    before = used(process.pid)
    process.send_signal(signal.SIGINT)
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.stderr is not None
    with process.stderr as errors:
        said = errors.read().decode()
    assert process.returncode in (130, -signal.SIGINT)  # the shell calls both 130
    assert said == ""
    if what != "svg":  # whose time is mostly that of the process that reads it
        assert usage.ru_utime + usage.ru_stime - before < AT_MOST_S
    for _ in range(100):
        if not is_there(reader):
            break
        time.sleep(0.05)
    assert not is_there(reader)
    assert not Path(out).exists()
