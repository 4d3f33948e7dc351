"""What the check found, drawn on the plan: which drawings are shown, and the motion played once."""

from collections.abc import Set as AbstractSet
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from gridjig.geometry.display import DisplayList
from gridjig.model import Job
from gridjig.model.titles import title, weldment_title
from gridjig.sheets.drawings.proof_kinds import ProofDrawing

if TYPE_CHECKING:
    from gridjig.proof.located.values import Located
    from gridjig.proof.report import ProofReport

STEP_MS = 50
STEPS = 60
"""The motion goes out and comes back once, in three seconds."""


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

    def turn(self, name: ProofDrawing) -> bool:
        """Switch a drawing on or off; return whether it is on."""
        self.shown ^= {name}
        self._draw()
        return name in self.shown

    @property
    def loose(self) -> bool:
        """True if something can still move, and that can be played."""
        return bool(self._loose())

    def play_left(self, selected: AbstractSet[str]) -> str:
        """Play the motion of what is selected, else of the first thing that can move.

        Return its name, empty if nothing moves.
        """
        every = self._loose()
        if not every or self._job is None:
            return ""
        one = next((o for o in every if selected & {o.id, *o.parts}), every[0])
        self.play(one)
        whole = next((w.id for w in self._job.weldments if w.id == one.id), None)
        return title(self._job, one.id) if whole is None else weldment_title(self._job, whole)

    def _loose(self) -> "tuple[Located, ...]":
        if self._report is None:
            return ()
        from gridjig.sheets.drawings.proof import loose_ones  # noqa: PLC0415 - late

        return loose_ones(self._report)

    def play(self, one: "Located") -> None:
        """Play a motion once, slowly: out, back, and it is over."""
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
        from gridjig.sheets.drawings.proof import draw_moved, draw_proof  # noqa: PLC0415 - late

        still = draw_proof(self._job, self._report, self.shown)
        if self._moving is None:
            return still
        half = STEPS / 2.0
        share = 1.0 - abs(self._step - half) / half
        return (*still, *draw_moved(self._job, self._moving, share))
