"""Asks the angle finder without holding up the window, and drops answers that come too late.

Questions that were answered quickly before are answered at once; others go beside the window.
"""

import time
from collections.abc import Callable

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from gridjig.model import Table
from gridjig.rack import Rack
from gridjig.solve.angle import find
from gridjig.solve.angle_values import Answers, Limits
from gridjig.solve.wanted import AngleFault, Wanted

AT_ONCE = 0.05
"""What takes no longer than this, in seconds, is done in the window."""

Answered = Answers | AngleFault


def answer(table: Table, rack: Rack, wanted: Wanted, limits: Limits) -> Answered:
    """The answers, or the sentence why there are none."""
    try:
        return find(table, rack, wanted, limits)
    except AngleFault as fault:
        return fault


class _Voice(QObject):
    came = Signal(int, object, float)


class _Run(QRunnable):
    def __init__(self, number: int, work: Callable[[], Answered], voice: _Voice) -> None:
        super().__init__()
        self._number, self._work, self._voice = number, work, voice

    def run(self) -> None:
        """Do the work; the answer goes to the window's thread."""
        begun = time.perf_counter()
        found = self._work()
        self._voice.came.emit(self._number, found, time.perf_counter() - begun)


class Finder(QObject):
    """Answers the last question asked; `answered` carries Answers or an AngleFault."""

    answered = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._number = 0
        self._quick: tuple[Table, Rack] | None = None
        self._voice = _Voice(self)
        self._voice.came.connect(self._on_came)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self._asked: tuple[Table, Rack] | None = None

    def ask(self, table: Table, rack: Rack, wanted: Wanted, limits: Limits) -> None:
        """Answer this; what was asked before is no longer of interest."""
        self._number += 1
        self._asked = (table, rack)
        quick = self._quick is not None and self._quick[0] is table and self._quick[1] is rack
        if quick:
            begun = time.perf_counter()
            found = answer(table, rack, wanted, limits)
            self._on_came(self._number, found, time.perf_counter() - begun)
            return
        self._pool.clear()
        self._pool.start(
            _Run(self._number, lambda: answer(table, rack, wanted, limits), self._voice)
        )

    def _on_came(self, number: int, found: Answered, seconds: float) -> None:
        if number != self._number:
            return
        # What is worked out once for a table and a rack is kept, so the next one may be quicker.
        self._quick = self._asked if seconds <= AT_ONCE else None
        self.answered.emit(found)

    def stop(self) -> None:
        """Ask nothing more, and wait for what is under way."""
        self._number += 1
        self._pool.clear()
        self._pool.waitForDone(2000)
