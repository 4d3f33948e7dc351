"""The process in which cases are tried; it reports each case to its parent.

Lines: `> SEED CASE` when a case begins, `= WORD` when it is done, `! {...}` for a find.  They have
a channel of their own, because the program under test may print anything.
"""

import faulthandler
import json
import logging
import os
import signal
import sys
import time
import traceback
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple, TextIO

from .kind import Find, Kind, Parts, Sparing, chance_of, is_ours, kind_of
from .limits import limit_memory, most_memory
from .shrink import smaller

NOW = "now"
"""The file that holds the current case; the parent finds it there if this process dies."""
_SHRINK_S = 20.0  # for minimising a case; longer if one case takes long


SHARED = 8.0 if getattr(os, "nice", lambda _more: 0)(0) < 15 else 60.0
"""How much slower a process may be by the clock than by its own time: others want the processor,
and one that gives way to all others may get almost none of it.
"""


_USUAL_S = 0.06  # for the sum in `slowness`, on an ordinary desktop machine; an estimate


def slowness() -> float:
    """Return how many times as long as usual this machine takes just now; at least 1."""
    taken = []
    for _ in range(3):
        began = time.process_time()
        sum(k * k for k in range(1_000_000))
        taken.append(time.process_time() - began)
    return max(1.0, min(taken) / _USUAL_S)


def is_slow(took: float, kind: Kind) -> bool:
    """Return True if a case took too much of the processor's time, even for this machine."""
    return took > kind.seconds and took > kind.seconds * slowness()


def patience(kind: Kind) -> float:
    """Return the seconds of the processor's time after which a case counts as hung."""
    return 2.0 * kind.seconds + min(10.0, 10.0 * kind.seconds)


def time_limited(seconds: float) -> None:
    """End this process, with the place where it was, after so much of the processor's time.

    What only waits uses none: it has `SHARED` times as long by the clock, as has everything where
    the system counts no such time.
    """
    faulthandler.dump_traceback_later(SHARED * seconds, exit=True)
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_PROF, seconds)


def time_unlimited() -> None:
    """Let this process run on."""
    faulthandler.cancel_dump_traceback_later()
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_PROF, 0.0)


class Span(NamedTuple):
    """Cases of one seed: from `first` up to but not including `last`."""

    seed: int
    first: int
    last: int


def each(spans: Sequence[Span]) -> Iterator[tuple[int, int]]:
    """Yield seed and number of every case, in order."""
    for span in spans:
        for case in range(span.first, span.last):
            yield span.seed, case


def signature(fault: BaseException) -> str:
    """Return what makes two finds the same: the kind of fault, and where in the project it was
    raised.
    """
    if isinstance(fault, Find):
        return str(fault).split(":", 1)[0][:120]
    frames = traceback.extract_tb(fault.__traceback__)
    inside = [f for f in frames if is_ours(f.filename)]
    at = inside[-1] if inside else frames[-1] if frames else None
    where = f"{Path(at.filename).name}:{at.name}" if at else "nowhere"
    return f"{type(fault).__name__} in {where}"


def described(fault: BaseException) -> str:
    """Return the fault with its traceback; a Find without one, since it says everything."""
    if isinstance(fault, Find):
        return str(fault)
    return "".join(traceback.format_exception(fault))


class Worker:
    """Tries cases, one after the other."""

    def __init__(self, kind: Kind, folder: Path, out: TextIO, every: int = 1) -> None:
        self._kind = kind
        self._folder = folder
        self._out = out
        self._seen: set[str] = set()
        self._finds = 0
        self._trial = kind.trial(folder)
        self._every = every
        self._take_one_in(every)

    def tell(self, mark: str, words: str) -> None:
        """Report to the parent process."""
        self._out.write(f"{mark} {words}\n")
        self._out.flush()

    def work(self, spans: Sequence[Span]) -> None:
        """Make and try every case of some spans."""
        for seed, case in each(spans):
            self.tell(">", f"{seed} {case}")
            self.one(self._trial.make(chance_of(self._kind, seed, case)))

    def one(self, data: bytes) -> None:
        """Try a case; report a fault with the smallest case that still shows it."""
        kind = self._kind
        time_limited(patience(kind))
        (self._folder / f"{NOW}{kind.suffix}").write_bytes(data)
        before, began = most_memory(), time.process_time()
        fault = self._tried(data)
        took, most = time.process_time() - began, most_memory()
        if isinstance(fault, str):
            if before <= kind.megabytes < most:
                self._find(
                    "memory", f"the process grew from {before:.0f} to {most:.0f} MB", "", data
                )
                raise SystemExit  # the next case needs a fresh, small process
            if is_slow(took, kind):
                self._find("slow", f"it took {took:.1f} s of the processor's time", "slow", data)
                return
            self.tell("=", fault)
            return
        mark = signature(fault)
        time_unlimited()  # minimising has its own time limit
        cut = data if mark in self._seen else self._shrunk(data, mark)
        self._seen.add(mark)
        self._find("fault", described(fault), mark, cut)

    def _tried(self, data: bytes) -> str | BaseException:
        try:
            return self._trial.run(data)
        except KeyboardInterrupt:
            raise
        except BaseException as fault:
            return fault

    def _shrunk(self, data: bytes, mark: str) -> bytes:
        """Return a smaller case with the same fault, trying each one in full."""
        self._take_one_in(1)
        try:
            return self._cut_down(data, mark)
        finally:
            self._take_one_in(self._every)

    def _take_one_in(self, every: int) -> None:
        if isinstance(self._trial, Sparing):
            self._trial.every = every

    def _cut_down(self, data: bytes, mark: str) -> bytes:
        def still(tried: bytes) -> bool:
            fault = self._tried(tried)
            return not isinstance(fault, str) and signature(fault) == mark

        def apart(tried: bytes) -> Parts | None:
            return self._trial.parts(tried)

        if not still(data):  # it does not happen again, so it cannot be minimised
            return data
        return smaller(data, apart, still, max(_SHRINK_S, 3.0 * self._kind.seconds))

    def _find(self, what: str, words: str, mark: str, data: bytes) -> None:
        self._finds += 1  # a file of its own: the parent may read it only after the next find
        path = self._folder / f"find-{self._finds}{self._kind.suffix}"
        path.write_bytes(data)
        mark = mark or what
        self.tell("!", json.dumps({"what": what, "words": words, "mark": mark, "file": str(path)}))


def private_door() -> TextIO:
    """Return the real standard output, kept for this module; all other output is discarded."""
    ours = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.close(nowhere)
    return os.fdopen(ours, "w", encoding="utf-8")


def main(given: str) -> int:
    """Do what the parent process asks for, as JSON."""
    asked = json.loads(given)
    kind = kind_of(asked["kind"])
    folder = Path(asked["folder"])
    out = private_door()
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115 - until the end
    faulthandler.enable()
    if hasattr(signal, "SIGPROF"):
        faulthandler.register(signal.SIGPROF, all_threads=False, chain=True)
    logging.getLogger().addHandler(logging.NullHandler())  # log messages do not matter here
    limit_memory(kind.megabytes)
    os.fsync = lambda _file: None  # type: ignore[assignment]  # only waits: no case ends the power
    worker = Worker(kind, folder, out, asked.get("every", 1))
    worker.tell("@", "ready")
    if "file" in asked:
        worker.tell(">", "0 0")
        worker.one(Path(asked["file"]).read_bytes())
    else:
        worker.work([Span(*span) for span in asked["spans"]])
    worker.tell(".", f"{most_memory():.0f}")
    out.flush()
    os._exit(0)  # ignore what the last case left running
