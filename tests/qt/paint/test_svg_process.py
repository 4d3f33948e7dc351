"""SVG drawings read in a process of their own: the same sketch, the same refusals, and an end."""

import io
import os
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from gridjig.files.drawings.sketch import Sketch
from gridjig.files.format.faults import ReadFault
from gridjig.files.storage import process_memory
from gridjig.qt.paint import svg_child, svg_frames, svg_process, svg_reader
from gridjig.qt.paint.svg_frames import Broken, Refused
from gridjig.qt.tasks import TaskRunner
from gridjig.units.progress import Cancelled, Progress

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900">'
MIXED = (
    "<rect width='5' height='4' stroke='red'/><circle r='7' fill='blue'/><text>a</text>"
    "<path d='M0 0C1 2 3 4 5 6L9 9' stroke='red' transform='rotate(30)'/>"
    "<polyline points='1,1 2,3 4,9' stroke='red' fill='none'/>"
)


def drawn(folder: Path, body: str) -> Path:
    path = folder / "drawn é.svg"
    path.write_text(f"{HEAD}{body}</svg>", encoding="utf-8")
    return path


def large(folder: Path, count: int = 100_000) -> Path:
    """A drawing that Qt needs seconds for."""
    one = "<path d='M0 0C1 2 3 4 5 6C1 2 3 4 5 6C1 2 3 4 5 6L9 9' stroke='red' fill='none'/>"
    return drawn(folder, one * count)


def here(path: Path) -> Sketch:
    return svg_reader.sketch_of(path, lambda _done, _total: None)


def is_gone(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except OSError:
        return True
    return False


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> list["subprocess.Popen[bytes]"]:
    """The processes that were started to read drawings."""
    made: list[subprocess.Popen[bytes]] = []

    class Noted(subprocess.Popen):  # type: ignore[type-arg]  # its arguments are passed on
        def __init__(self, *args: object, **kept: object) -> None:
            super().__init__(*args, **kept)  # type: ignore[call-overload]
            made.append(self)

    monkeypatch.setattr(subprocess, "Popen", Noted)
    return made


@pytest.mark.usefixtures("qapp")
def test_the_sketch_is_the_same_as_if_it_were_read_here(tmp_path: Path) -> None:
    path = drawn(tmp_path, MIXED * 400)
    sketch = svg_process.sketch_of(path)
    assert len(sketch.curves) == 2000
    assert len({type(one.curve) for one in sketch.curves}) == 3
    assert [str(count) for count in sketch.unused] == ["400 texts"]
    assert sketch == here(path)
    assert svg_process.read_svg(path).unit == "mm"


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("text", ["", "hello", f"{HEAD}\n<rect", f"{HEAD}</svg>"])
def test_it_is_refused_in_the_same_words(text: str, tmp_path: Path) -> None:
    path = tmp_path / "odd.svg"
    path.write_text(text)
    with pytest.raises(ReadFault) as there:
        svg_process.sketch_of(path)
    with pytest.raises(ReadFault) as fault:
        here(path)
    assert there.value.args == fault.value.args
    with pytest.raises(ReadFault, match="there is no such file"):
        svg_process.sketch_of(tmp_path / "gone.svg")


@pytest.mark.expectation(100)
def test_a_cancel_ends_the_process_whatever_qt_does(
    tmp_path: Path, started: list["subprocess.Popen[bytes]"]
) -> None:
    path = large(tmp_path)
    begun, at = time.monotonic(), [time.thread_time()]

    def report(_done: int, _total: int | None) -> None:
        at.append(time.thread_time())
        if time.monotonic() - begun > 1.0:
            raise Cancelled

    with pytest.raises(Cancelled):
        svg_process.sketch_of(path, report)
    at.append(time.thread_time())
    [process] = started
    assert process.returncode is not None
    assert is_gone(process.pid)
    assert len(at) > 5
    assert max(b - a for a, b in pairwise(at)) < 0.5


def test_the_thread_of_a_form_that_is_closed_ends(
    tmp_path: Path, qtbot: QtBot, started: list["subprocess.Popen[bytes]"]
) -> None:
    path, runner = large(tmp_path), TaskRunner()

    def work(progress: Progress) -> object:
        return svg_process.read_svg(path, None, progress.report)

    runner.start(work)
    qtbot.waitUntil(lambda: len(started) == 1)
    runner.close(30.0)
    assert started[0].returncode is not None
    assert is_gone(started[0].pid)


@pytest.mark.skipif(sys.platform != "linux", reason="bounded in another way there")
def test_its_memory_is_bounded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(svg_process, "MEMORY", 100 * 1024**2)
    assert len(svg_process.sketch_of(drawn(tmp_path, MIXED)).curves) == 5
    with pytest.raises(ReadFault, match=r"memory.*; import only a part of it\.$"):
        svg_process.sketch_of(large(tmp_path))


@pytest.mark.skipif(sys.platform == "win32", reason="has no ps")
def test_where_it_cannot_bound_itself_it_is_watched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, started: list["subprocess.Popen[bytes]"]
) -> None:
    monkeypatch.setattr(svg_process, "MEASURED", True)
    monkeypatch.setattr(svg_process, "_MEASURE_S", 0.1)
    path = large(tmp_path, 30_000)
    real = process_memory.resident
    sizes: list[int] = []

    def resident(pid: int) -> int:
        sizes.append(real(pid))
        return sizes[-1] * 100

    monkeypatch.setattr(svg_process, "resident", resident)
    with pytest.raises(ReadFault, match="for want of memory"):
        svg_process.sketch_of(path)
    assert 10 * 1024**2 < max(sizes) < 1024**3
    assert is_gone(started[0].pid)
    assert process_memory.resident(2**22 + 5) == 0


def test_a_reader_that_dies_is_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(svg_process, "_CODE", "import os; os.abort()")
    with pytest.raises(ReadFault, match="reading it ended before its end"):
        svg_process.sketch_of(drawn(tmp_path, MIXED))


def test_a_fault_of_the_program_there_is_a_fault_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = drawn(tmp_path, MIXED)

    def broken(_path: Path, _report: object) -> Sketch:
        raise KeyError("thirteen")

    monkeypatch.setattr(svg_child, "sketch_of", broken)
    written = io.BytesIO()
    svg_child.answer(path, written)
    written.seek(0)
    data = svg_frames.read_frame(written)
    assert data is not None
    frame = svg_frames.frame_of(data)
    assert isinstance(frame, Broken)
    assert "KeyError: 'thirteen'" in frame.trace
    code = (
        "import sys; sys.path[:] = __import__('json').loads(sys.argv[3]);"
        " from gridjig.qt.paint.svg_frames import *; write_frame(sys.stdout.buffer, Broken('x'))"
    )
    monkeypatch.setattr(svg_process, "_CODE", code)
    with pytest.raises(RuntimeError, match="failed:\nx"):
        svg_process.sketch_of(path)


def test_too_little_memory_is_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_path: Path, _report: object) -> Sketch:
        raise MemoryError

    monkeypatch.setattr(svg_child, "sketch_of", full)
    written = io.BytesIO()
    svg_child.answer(tmp_path, written)
    written.seek(0)
    data = svg_frames.read_frame(written)
    assert data is not None
    frame = svg_frames.frame_of(data)
    assert frame == Refused("", "it takes too much memory to read", "import only a part of it")
    assert svg_frames.read_frame(io.BytesIO(written.getvalue()[:-3])) is None


def test_nothing_in_the_current_folder_is_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A drawing may lie in a folder that somebody has put a `json.py` into."""
    for name in ("json", "msgspec", "signal"):
        (tmp_path / f"{name}.py").write_text("open('was-run', 'w').close()")
    path = drawn(tmp_path, MIXED)
    monkeypatch.chdir(tmp_path)
    assert len(svg_process.sketch_of(path).curves) == 5
    assert not (tmp_path / "was-run").exists()
