"""Supervises a process that tries cases: if it hangs, dies or grows, another one continues."""

import json
import os
import queue
import re
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from .kind import ROOT, Kind, is_ours
from .worker import NOW, SHARED, Span, patience

COMMAND = ROOT / "scripts" / "fuzz.py"
_BACKSTOP_S = 90.0  # after this a process that should have ended itself is killed
_START_S = 15.0 * SHARED
_LOOK_S = 0.5
_OVERTIME = -getattr(signal, "SIGPROF", sys.maxsize)  # the exit code of a process out of its time
_LAST_LINES = 40


@dataclass(frozen=True)
class Found:
    """A find: its sort, the details, the signature it shares with equal finds, and its case."""

    kind: Kind
    seed: int
    case: int
    what: str
    words: str
    mark: str
    data: bytes


@dataclass
class Done:
    """Results of some cases: how many ended with each word, and the peak memory of a process."""

    words: Counter[str] = field(default_factory=Counter)
    finds: int = 0
    megabytes: float = 0.0

    @property
    def cases(self) -> int:
        """Return the number of cases tried."""
        return self.words.total() + self.finds

    def add(self, other: "Done") -> None:
        """Add another's counts."""
        self.words += other.words
        self.finds += other.finds
        self.megabytes = max(self.megabytes, other.megabytes)


class Stopped(Exception):  # noqa: N818 - it is a request, not a fault
    """Raised when no more cases are wanted."""


class Stop:
    """Whether to go on: until told to stop, or until the time is up."""

    def __init__(self, seconds: float | None = None) -> None:
        self._seconds = seconds
        self._end: float | None = None
        self._said = threading.Event()

    def begin(self) -> None:
        """Start the clock."""
        if self._seconds is not None:
            self._end = time.monotonic() + self._seconds

    def say(self) -> None:
        """Stop."""
        self._said.set()

    def __bool__(self) -> bool:
        over = self._end is not None and time.monotonic() >= self._end
        return over or self._said.is_set()


def behind(spans: Sequence[Span], seed: int, case: int) -> list[Span]:
    """Return what is left of spans after a case."""
    for k, span in enumerate(spans):
        if span.seed == seed and span.first <= case < span.last:
            rest = [Span(seed, case + 1, span.last)] if case + 1 < span.last else []
            return [*rest, *spans[k + 1 :]]
    return list(spans)


def place_in(trace: str) -> str:
    """Return where in the project a process was, from the innermost call in its last output."""
    calls = re.findall(r'File "([^"]+)", line \d+ in (\S+)', trace)
    inside = [c for c in calls if is_ours(c[0])] or calls
    return f"in {Path(inside[0][0]).name}:{inside[0][1]}" if inside else "somewhere"


class _Process:
    """A running worker and the lines that it prints."""

    def __init__(self, asked: dict[str, object], folder: Path) -> None:
        self._errors = (folder / "errors.txt").open("wb")
        self._errors_at = folder / "errors.txt"
        self.process = subprocess.Popen(
            [sys.executable, COMMAND, "--worker", json.dumps({**asked, "folder": str(folder)})],
            stdout=subprocess.PIPE,
            stderr=self._errors,
            stdin=subprocess.DEVNULL,
            cwd=folder,
            env=_variables(folder),
            encoding="utf-8",
        )
        self._lines: queue.Queue[str | None] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._lines.put(line.rstrip("\n"))
        self._lines.put(None)

    def line(self, seconds: float, stop: Stop) -> str | None:
        """Return its next line, or None when it has ended.  Raise TimeoutError or Stopped."""
        end = time.monotonic() + seconds
        while True:
            try:
                return self._lines.get(timeout=_LOOK_S)
            except queue.Empty:
                if stop:
                    raise Stopped from None
                if time.monotonic() > end:
                    raise TimeoutError from None

    def last_words(self) -> str:
        """Return the end of its standard error."""
        lines = self._errors_at.read_text(encoding="utf-8", errors="replace").splitlines()
        return "\n".join(lines[-_LAST_LINES:])

    def end(self) -> None:
        """Kill it at once."""
        self.process.kill()
        self.process.wait()
        self._errors.close()
        self._reader.join()
        if self.process.stdout is not None:
            self.process.stdout.close()


def _variables(folder: Path) -> dict[str, str]:
    """Return a worker's environment: nothing of the user's, and the same in every run."""
    home = folder / "home"
    home.mkdir(exist_ok=True)
    return {
        **os.environ,
        "QT_QPA_PLATFORM": "offscreen",
        "PYTHONPATH": os.pathsep.join((str(ROOT), str(ROOT / "scripts"))),
        "PYTHONHASHSEED": "0",
        "PYTHONUTF8": "1",
        "OPENBLAS_NUM_THREADS": "1",
        "GRIDJIG_STATE": str(folder / "state"),
        "HOME": str(home),
        "USERPROFILE": str(home),
        "XDG_RUNTIME_DIR": str(home),
    }


@contextmanager
def _running(asked: dict[str, object]) -> Iterator[tuple[_Process, Path]]:
    with tempfile.TemporaryDirectory(prefix="gridjig-fuzz-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        process = _Process(asked, folder)
        try:
            yield process, folder
        finally:
            process.end()


class Watch:
    """Has cases tried, and passes on what is found."""

    def __init__(
        self, kind: Kind, found: Callable[[Found], None], stop: Stop, every: int = 1
    ) -> None:
        self._kind = kind
        self._every = every
        self._found = found
        self._stop = stop

    def run(self, spans: Sequence[Span]) -> Done:
        """Try every case of some spans, or fewer if stopped."""
        done = Done()
        left = list(spans)
        while left and not self._stop:
            asked = {"kind": self._name, "spans": left, "every": self._every}
            left = self._some(asked, left, done)
        return done

    def file(self, path: Path) -> Done:
        """Try the case in a file."""
        done = Done()
        one = [Span(0, 0, 1)]
        self._some({"kind": self._name, "file": str(path.resolve())}, one, done)
        return done

    @property
    def _name(self) -> str:
        module, _, _ = self._kind.place.partition(":")
        return self._kind.name if module.startswith("fuzzing.") else f"{module}:{self._kind.name}"

    def _some(self, asked: dict[str, object], spans: list[Span], done: Done) -> list[Span]:
        """Have one process try cases until it ends, normally or not; return the cases left."""
        at: tuple[int, int] | None = None
        limit = SHARED * patience(self._kind) + _BACKSTOP_S
        with _running(asked) as (process, folder):
            try:
                while True:
                    line = process.line(_START_S if at is None else limit, self._stop)
                    mark, words = (line[0], line[2:]) if line else ("", "")
                    if mark == ">":
                        seed, _, case = words.partition(" ")
                        at = (int(seed), int(case))
                    elif mark == "=":
                        done.words[words] += 1
                        if self._stop:
                            return []
                    elif mark == "!" and at is not None:
                        told = json.loads(words)
                        data = Path(told["file"]).read_bytes()
                        self._tell(done, at, told["what"], told["words"], told["mark"], data)
                    elif mark == ".":
                        done.megabytes = max(done.megabytes, float(words))
                        return []
                    elif line is None:
                        return self._died(process, folder, spans, at, done)
            except TimeoutError:
                self._lost(folder, at, done, "hang", f"it did not end within {limit:.0f} s", "hang")
            except Stopped:
                return []
        return behind(spans, *at) if at else []

    def _died(
        self,
        process: _Process,
        folder: Path,
        spans: list[Span],
        at: tuple[int, int] | None,
        done: Done,
    ) -> list[Span]:
        """Handle a process that is gone: it crashed, or it ended itself because it had grown."""
        code = process.process.wait()
        if code == 0 and at is not None:
            return behind(spans, *at)
        last = process.last_words()
        if at is None:
            raise RuntimeError(f"the fuzzer {self._kind.name} cannot begin:\n{last}")
        hung = "Timeout (" in last or code == _OVERTIME
        what = "hang" if hung else "crash"
        said = "it did not end in time" if hung else f"the process ended with {code}"
        self._lost(folder, at, done, what, f"{said}\n{last}", f"{what} {place_in(last)}")
        return behind(spans, *at)

    def _lost(
        self, folder: Path, at: tuple[int, int] | None, done: Done, what: str, words: str, mark: str
    ) -> None:
        if at is None:
            raise RuntimeError(f"the fuzzer {self._kind.name} does not begin: {words}")
        case = folder / f"{NOW}{self._kind.suffix}"
        self._tell(done, at, what, words, mark, case.read_bytes() if case.exists() else b"")

    def _tell(
        self, done: Done, at: tuple[int, int], what: str, words: str, mark: str, data: bytes
    ) -> None:
        done.finds += 1
        self._found(Found(self._kind, *at, what, words, mark, data))
