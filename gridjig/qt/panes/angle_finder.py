"""Asks the angle finder without holding up the window, and drops answers that come too late.

Questions that were answered quickly before are answered at once; others go beside the window.
"""

import time

from msgspec import Struct
from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from gridjig.model import Table
from gridjig.rack import Rack
from gridjig.solve.angle import find
from gridjig.solve.angle_values import Answers, Limits
from gridjig.solve.wanted import AngleFault, Wanted

from ..warmup import before_thread

AT_ONCE = 0.05
"""What takes no longer than this, in seconds, is done in the window."""

SMALL = 3000
"""Holes of a table that is answered at once before any time was taken; measured: 10 ms for 1152."""

Answered = Answers | AngleFault


def answer(table: Table, rack: Rack, wanted: Wanted, limits: Limits) -> Answered:
    """The answers, or the sentence why there are none."""
    try:
        return find(table, rack, wanted, limits)
    except AngleFault as fault:
        return fault


class _Voice(QObject):
    came = Signal(object, object, float)


class _Run(QRunnable):
    def __init__(self, asked: "_Asked", voice: _Voice) -> None:
        super().__init__()
        self.setAutoDelete(False)  # it is held on to until it is done
        self._asked, self._voice = asked, voice

    def run(self) -> None:
        """Do the work; the answer goes to the window's thread."""
        begun = time.perf_counter()
        found = self._asked.answer()
        self._voice.came.emit(self._asked, found, time.perf_counter() - begun)


class _Asked(Struct, frozen=True, eq=False):
    """One question; every one is equal to itself alone."""

    table: Table
    rack: Rack
    wanted: Wanted
    limits: Limits

    def answer(self) -> Answered:
        return answer(self.table, self.rack, self.wanted, self.limits)


class Finder(QObject):
    """Answers the last question asked; `answered` carries Answers or an AngleFault."""

    answered = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._timed: tuple[Table, Rack] | None = None
        self._quick = False
        self._last: _Asked | None = None
        self._run: _Run | None = None
        self._voice = _Voice(self)
        self._voice.came.connect(self._on_run_done)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)

    @property
    def busy(self) -> bool:
        """True while an answer is waited for."""
        return self._run is not None

    def ask(self, table: Table, rack: Rack, wanted: Wanted, limits: Limits) -> None:
        """Answer this; what was asked before is no longer of interest."""
        self._last = asked = _Asked(table, rack, wanted, limits)
        known = self._timed is not None and self._timed[0] is table and self._timed[1] is rack
        if self._quick if known else table.columns * table.rows <= SMALL:
            begun = time.perf_counter()
            self._on_came(asked, asked.answer(), time.perf_counter() - begun)
        elif self._run is None:
            self._start(asked)  # else it is started when the one under way is done

    def _start(self, asked: _Asked) -> None:
        self._run = _Run(asked, self._voice)
        before_thread()
        self._pool.start(self._run)

    def _on_run_done(self, asked: _Asked, found: Answered, seconds: float) -> None:
        self._run = None
        if asked is self._last:
            self._on_came(asked, found, seconds)
        elif self._last is not None:
            self._start(self._last)

    def _on_came(self, asked: _Asked, found: Answered, seconds: float) -> None:
        # What is worked out once for a table and a rack is kept, so the next one may be quicker.
        self._timed, self._quick = (asked.table, asked.rack), seconds <= AT_ONCE
        self._last = None
        self.answered.emit(found)

    def stop(self) -> None:
        """Ask nothing more, and wait for what is under way."""
        self._last = None
        self._pool.waitForDone(2000)
