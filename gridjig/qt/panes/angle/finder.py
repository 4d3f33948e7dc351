"""Asks the angle finder without blocking the window, and drops answers that come too late.

If the last answer came quickly, the next question is answered at once; otherwise it is answered
in the background.
"""

import time
from collections.abc import Mapping

from msgspec import Struct
from PySide6.QtCore import QObject, Signal

from gridjig.angle.standing import answers_on
from gridjig.model import Job, Table
from gridjig.qt.tasks import TaskRunner
from gridjig.rack import Rack
from gridjig.solve.angles.answers import AngleLimits, AngleResult
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.wanted import WantedLine
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import SILENT, Progress

AT_ONCE = 0.05
"""Searches that take no longer than this, in seconds, run in the window's thread."""

SMALL = 3000
"""Tables with up to this many holes get the first answer at once; measured: 10 ms for 1152."""

FEW = 100
"""So do racks with up to this many kinds of piece; measured: 10 ms for 38, 2 s for 2280."""

Answered = AngleResult | AngleFault


Placed = Mapping[str, PlacedPiece]


def answer(
    job: Job, placed: Placed, wanted: WantedLine, limits: AngleLimits, progress: Progress = SILENT
) -> Answered:
    """Return the answers that fit on the job's table, or the fault that says why there are none."""
    try:
        return answers_on(job, placed, wanted, limits, progress)
    except AngleFault as fault:
        return fault


class _Timed(Struct, frozen=True, eq=False):
    """The result, the table and rack it is for, and how many seconds it took."""

    table: Table
    rack: Rack
    found: Answered
    seconds: float


def _timed(
    job: Job, placed: Placed, wanted: WantedLine, limits: AngleLimits, progress: Progress = SILENT
) -> _Timed:
    begun = time.perf_counter()
    found = answer(job, placed, wanted, limits, progress)
    return _Timed(job.table, job.rack, found, time.perf_counter() - begun)


class AngleFinder(QObject):
    """Answers the latest question; `answered` carries an AngleResult or an AngleFault."""

    answered = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._last: _Timed | None = None
        self._tasks = TaskRunner(self)
        self._tasks.answered.connect(self._on_found)

    @property
    def busy(self) -> bool:
        """True while an answer is pending."""
        return self._tasks.busy

    def ask(self, job: Job, placed: Placed, wanted: WantedLine, limits: AngleLimits) -> None:
        """Answer this question and drop any earlier one."""
        if self._is_quick(job.table, job.rack):
            self._tasks.cancel()
            self._on_found(_timed(job, placed, wanted, limits))
        else:
            self._tasks.start(lambda progress: _timed(job, placed, wanted, limits, progress))

    def _is_quick(self, table: Table, rack: Rack) -> bool:
        """True if the last answer for this table and rack was quick, or else if both are small.

        Results for a table and a rack are cached, so the next answer may be quicker.
        """
        last = self._last
        if last is not None and last.table is table and last.rack is rack:
            return last.seconds <= AT_ONCE
        return table.columns * table.rows <= SMALL and len(rack.pieces) <= FEW

    def _on_found(self, timed: _Timed) -> None:
        self._last = timed
        self.answered.emit(timed.found)

    def stop(self) -> None:
        """Stop asking, and wait for the running search to end."""
        self._tasks.close()
