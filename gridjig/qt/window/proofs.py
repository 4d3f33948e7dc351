"""What the check found, drawn on the plan: which drawings are shown, and the motion played once."""

from collections.abc import Set as AbstractSet
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from gridjig.geometry.display import DisplayList
from gridjig.model import Job
from gridjig.sheets.drawings.proof_kinds import ProofDrawing

if TYPE_CHECKING:
    from gridjig.proof.located.values import Located
    from gridjig.proof.report import ProofReport

STEP_MS = 40
STEPS = 120
"""The motion goes out and comes back once, each way that it can go, in about five seconds."""


class ProofOverlays(QObject):
    """Holds the last report, and draws what of it is switched on; `drawn` carries the drawing."""

    drawn = Signal(object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.shown: frozenset[ProofDrawing] = frozenset()
        self._job: Job | None = None
        self._report: ProofReport | None = None
        self._moving: Located | None = None
        self._step = 0
        self._timer = QTimer(self)
        self._timer.setInterval(STEP_MS)
        self._timer.timeout.connect(self._advance)

    @property
    def playing(self) -> bool:
        """True while a motion is played."""
        return self._moving is not None

    def show_report(self, job: Job, report: "ProofReport") -> None:
        """Draw another report; a motion that is played belongs to the last one, and ends."""
        self._job, self._report = job, report
        self._end()

    def report_of(self, job: Job) -> "ProofReport | None":
        """Return the report of just this job; None if it is of another, or not all is found yet."""
        report = self._report
        whole = report is not None and not report.more_to_find
        return report if whole and self._job is job else None

    def turn(self, name: ProofDrawing) -> tuple[bool, str]:
        """Switch a drawing on or off; return whether it is on, and what to say if it is empty."""
        self.shown ^= {name}
        self._draw()
        if name not in self.shown:
            return False, ""
        from gridjig.sheets.drawings.proof import (  # noqa: PLC0415 - late
            NOTHING_DRAWN,
            draw_proof,
        )

        job, report = self._job, self._report
        drawn = job and report and draw_proof(job, report, frozenset([name]))
        return True, "" if drawn else NOTHING_DRAWN[name]

    @property
    def loose(self) -> bool:
        """True if something can still move, and that can be played."""
        return bool(self._loose())

    def play_left(self, selected: AbstractSet[str]) -> str:
        """Play how something moves that is selected, else the first thing that can.

        Return what moves, and how far; empty if nothing does.
        """
        every = self._loose()
        if not every or self._job is None:
            return ""
        from gridjig.sheets.drawings.proof_motion import moves_words  # noqa: PLC0415 - late

        one = next((o for o in every if selected & {o.id, *o.parts}), every[0])
        self.play(one)
        return moves_words(self._job, one)

    def _loose(self) -> "tuple[Located, ...]":
        if self._report is None:
            return ()
        from gridjig.sheets.drawings.proof_motion import loose_ones  # noqa: PLC0415 - late

        return loose_ones(self._report)

    def play(self, one: "Located") -> None:
        """Play a motion once, slowly: out and back each way that it can go, and it is over."""
        self._moving, self._step = one, 0
        self._timer.start()
        self._draw()

    def stop(self) -> None:
        """Play no more."""
        self._timer.stop()

    def _advance(self) -> None:
        self._step += 1
        if self._step >= STEPS:
            self._end()
        else:
            self._draw()

    def _end(self) -> None:
        self._timer.stop()
        self._moving = None
        self._draw()

    def _draw(self) -> None:
        self.drawn.emit(self._drawing())

    def _drawing(self) -> DisplayList:
        if self._job is None or self._report is None or not (self.shown or self._moving):
            return ()
        from gridjig.sheets.drawings.proof import draw_proof  # noqa: PLC0415 - late
        from gridjig.sheets.drawings.proof_motion import (  # noqa: PLC0415 - late
            draw_moved,
            share_at,
        )

        one = self._moving
        still = draw_proof(self._job, self._report, self.shown, one)
        if one is None:
            return still
        return (*still, *draw_moved(self._job, one, share_at(one, self._step / STEPS)))
