"""Dragging the selection from hole to hole: everything together, by whole pitches.

A single piece stays in touch with the work, or is brought to touch it, if possible.
"""

from collections.abc import Mapping

from gridjig.edits.selection import shift
from gridjig.geometry.display import DisplayList
from gridjig.model import Hole, Job, Placement
from gridjig.model.titles import title, titles
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.tools.aim.ghosts import ghosts, hole_ring, moved_line
from gridjig.tools.core.gesture import Gesture, refused, same_or, to_drop
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.core.prompt import Key, Prompt
from gridjig.tools.core.refusals import first_refusal
from gridjig.tools.core.tool import Commit, Outcome, Preview
from gridjig.tools.core.wording import anchor_hole, capital, distance, hole_name
from gridjig.tools.touch.door import Keeper


class HoleDrag(Gesture):
    """A drag of `ids`, of which `grabbed` is under the pointer."""

    def __init__(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        ids: frozenset[str],
        grabbed: str,
        start: Pointer,
    ) -> None:
        self._job, self._stands, self._ids, self._grabbed = job, placed_pieces, ids, grabbed
        self._start = start
        only = job.find(grabbed) if len(ids) == 1 else None
        self._keeper = Keeper(job, placed_pieces, only) if isinstance(only, Placement) else None
        self._step, self._free = (0, 0), False
        self._moved = job
        self._why: str | None = None
        self._preview, self._shown = self._show()  # for the current step

    def to(self, pointer: Pointer) -> Outcome:
        """Show everything moved by the whole pitches nearest to the pointer's movement."""
        table = self._job.table
        step = (
            round((pointer.x - self._start.x) / table.pitch_x),
            round((pointer.y - self._start.y) / table.pitch_y),
        )
        if (step, pointer.free) != (self._step, self._free):
            self._step, self._free = step, pointer.free
            self._moved = shift(self._job, self._ids, *step)
            if self._keeper is not None and not pointer.free:
                self._moved = self._keeper.job(self._moved)
            self._why = first_refusal(self._job, self._stands, self._moved, self._ids)
            self._preview, self._shown = self._show()
        return self._preview

    def drop(self) -> Outcome:
        """Leave everything there, or put it back and say why it cannot stay."""
        if self._why is not None:
            return refused(self._why)
        if self._moved is self._job:
            return Preview(None)
        return moved_step(self._moved, self._grabbed, self._ids)

    def overlay(self) -> DisplayList:
        """Ghosts at the start, the distance, and the target hole with its address."""
        return self._shown

    def _show(self) -> tuple[Outcome, DisplayList]:
        return Preview(same_or(self._moved, self._job)), self._drawing()

    def _drawing(self) -> DisplayList:
        a, b = self._ends()
        shown = ghosts(self._job, self._stands, self._ids)
        shown += moved_line(a, b, distance(b[0] - a[0], b[1] - a[1], self._job.display))
        hole = self._hole()
        if hole is not None:
            shown += hole_ring(self._job.table, hole, "clash" if self._why else "selected")
        return shown

    def _hole(self) -> Hole | None:
        return anchor_hole(self._moved, self._grabbed)

    def _ends(self) -> tuple[Point, Point]:
        table, step = self._job.table, self._step
        hole = anchor_hole(self._job, self._grabbed)
        a = (self._start.x, self._start.y) if hole is None else table.at(hole)
        return a, (a[0] + step[0] * table.pitch_x, a[1] + step[1] * table.pitch_y)

    def prompt(self) -> Prompt:
        """Return where everything has got to, or why it cannot stay there."""
        a, b = self._ends()
        far = distance(b[0] - a[0], b[1] - a[1], self._job.display)
        hole = self._hole()
        name = capital(title(self._job, self._grabbed))
        at = f" to {hole_name(self._job.table, hole)}" if hole is not None else ""
        said = self._keeper.said if self._keeper is not None and not self._free else ""
        does = f", {said}" if said else ""
        alt = (Key("Alt", "to ignore the face"),) if said else ()
        return to_drop(f"{name}{at}: {far}{does}.", self._why, alt)


def move_name(job: Job, grabbed: str, ids: frozenset[str]) -> str:
    """Return the name of the step that moved these: one with its new hole, or how many."""
    if len(ids) > 1:
        return f"Move {titles(job, ids)}"
    hole = anchor_hole(job, grabbed)
    at = f" to {hole_name(job.table, hole)}" if hole is not None else ""
    return f"Move {title(job, grabbed)}{at}"


def moved_step(job: Job, grabbed: str, ids: frozenset[str]) -> Commit:
    """Return the step that leaves these where the job has them, and says where that is."""
    hole = anchor_hole(job, grabbed) if len(ids) == 1 else None
    where = "moved" if hole is None else f"now in {hole_name(job.table, hole)}"
    verb = "is" if len(ids) == 1 else "are"
    said = f"{capital(titles(job, ids))} {verb} {where}."
    return Commit(job, move_name(job, grabbed, ids), ids, said=said)
