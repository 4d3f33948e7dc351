"""Progress reports and cancellation for long computations.

Pure code takes a `Progress` and calls it, without knowing about windows or threads.  Callers that
do not need it pass `SILENT`, which costs a function call.  Code deep below calls `look`.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

T = TypeVar("T")

Tell = Callable[[int, int | None, str], None]
"""Receives how much is done, the total (None if unknown), and what is being done."""


class Cancelled(Exception):  # noqa: N818  (it was asked for, so it is not an error)
    """The caller cancelled the work.  Do not catch it on the way out."""


def _nobody(done: int, total: int | None, words: str) -> None:
    """Ignores the report."""


def _never() -> bool:
    return False


class Progress:
    """Passed to a long computation, to report progress and to cancel it.

    Call `check` at least every 0.1 s, so that cancelling takes effect within 0.2 s; `report` and
    `each` check too.  Each costs at most two function calls, and the receiver drops reports that
    come too fast, so frequent calls do no harm.

        def solve(job: Job, progress: Progress = SILENT) -> Answer:
            pruned = prune(job, progress.part(0, 300))
            for piece in progress.each(pruned, "Trying pieces"):
                ...
    """

    __slots__ = ("_is_cancelled", "_tell")

    def __init__(self, tell: Tell = _nobody, is_cancelled: Callable[[], bool] = _never) -> None:
        self._tell = tell
        self._is_cancelled = is_cancelled

    def check(self) -> None:
        """Raise Cancelled if the work was cancelled."""
        if self._is_cancelled():
            raise Cancelled

    def report(self, done: int, total: int | None = None, words: str = "") -> None:
        """Reports how much is done, the total, and what is being done.  Raises Cancelled."""
        self.check()
        self._tell(done, total, words)

    def each(self, items: Sequence[T], words: str = "") -> Iterator[T]:
        """The items one by one, with a report before each.  Raises Cancelled."""
        for done, item in enumerate(items):
            self.report(done, len(items), words)
            yield item
        self.report(len(items), len(items), words)

    @contextmanager
    def heeded(self) -> Iterator[None]:
        """Within this, `look` anywhere in this thread raises Cancelled once this is cancelled."""
        token = _heeded.set(self)
        try:
            yield
        finally:
            _heeded.reset(token)

    def part(self, start: int, end: int, whole: int = 1000) -> "Progress":
        """A Progress for one part of the work, from `start` to `end` of `whole`.

        Reports of the part are scaled into that range; without a total they stay at `start`.
        """

        def tell(done: int, total: int | None, words: str) -> None:
            share = min(done, total) * (end - start) // total if total else 0
            self._tell(start + share, whole, words)

        return Progress(tell, self._is_cancelled)


SILENT = Progress()
"""Ignores reports and is never cancelled."""

_heeded: ContextVar[Progress] = ContextVar("heeded", default=SILENT)


def look() -> None:
    """Raise Cancelled if the work of this thread was cancelled.

    For loops far below the function that has the Progress: results that are kept (lru_cache) must
    not depend on who waits for them.  Call it at least every 0.1 s; it costs two function calls.
    """
    _heeded.get().check()


def looked_at(items: Iterable[T], every: int = 1) -> Iterator[T]:
    """The items one by one, with a `look` before the first of so many."""
    for number, item in enumerate(items):
        if number % every == 0:
            look()
        yield item
