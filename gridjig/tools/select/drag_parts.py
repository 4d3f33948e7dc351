"""Dragging outlines of the weldment anywhere, snapping to faces, holes and other corners."""

from collections.abc import Mapping

from gridjig.edits.selection import shift_parts
from gridjig.geometry.display import DisplayList
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.model.titles import titles
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.tools.aim.ghosts import ghosts, moved_line, point_ring
from gridjig.tools.aim.snapping import (
    CornerIndex,
    Snap,
    corners_of,
    lay_on_face,
    radius,
    snap_point,
)
from gridjig.tools.core.gesture import Gesture, same_or, to_drop
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.core.prompt import Prompt
from gridjig.tools.core.tool import Commit, Outcome, Preview
from gridjig.tools.core.wording import capital, distance


class PartDrag(Gesture):
    """A drag of outlines only."""

    def __init__(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        ids: frozenset[str],
        start: Pointer,
    ) -> None:
        self._job, self._stands, self._ids, self._start = job, placed_pieces, ids, start
        self._rings = [part_ring(o) for o in job.parts if o.id in ids]
        self._targets = CornerIndex(corners_of(job, ids))
        self._pointer = start
        self._by: Point = (0.0, 0.0)
        self._caught: tuple[Snap, ...] = ()
        self._moved = job

    def to(self, pointer: Pointer) -> Outcome:
        """Show the outlines moved with the pointer, snapped to what is near."""
        self._pointer = pointer
        self._by, self._caught = self._settle(
            (pointer.x - self._start.x, pointer.y - self._start.y), radius(pointer)
        )
        self._moved = shift_parts(self._job, self._ids, *self._by)
        return Preview(same_or(self._moved, self._job))

    def prompt(self) -> Prompt:
        """Return how far the outlines are from where they were, and on what."""
        far = distance(*self._by, self._job.display)
        on = " and ".join(s.what for s in self._caught)
        name = capital(titles(self._job, self._ids))
        return to_drop(f"{name}: {far}{', on ' + on if on else ''}.")

    def drop(self) -> Outcome:
        """Leave the outlines there."""
        if self._moved is self._job:
            return Preview(None)
        name, far = titles(self._job, self._ids), distance(*self._by, self._job.display)
        said = f"{capital(name)}: {far}."
        return Commit(self._moved, f"Move {name}", self._ids, said=said)

    def overlay(self) -> DisplayList:
        """Ghosts at the start, the distance, and a ring on what was snapped to."""
        a = (self._start.x, self._start.y)
        b = (a[0] + self._by[0], a[1] + self._by[1])
        shown = ghosts(self._job, self._stands, self._ids)
        shown += moved_line(a, b, distance(*self._by, self._job.display))
        for snap in self._caught:
            shown += point_ring(snap.at, snap.what, self._pointer)
        return shown

    def _settle(self, by: Point, within: float) -> tuple[Point, tuple[Snap, ...]]:
        """Return the snapped move: to one or two faces first, else a corner to a hole or corner."""
        if within <= 0:
            return by, ()
        caught: list[Snap] = []
        along: Point | None = None
        for _ in range(2):
            ring = [self._shifted(p, by) for ring in self._rings for p in ring]
            contact = lay_on_face(self._job, self._stands, ring, within, along)
            if contact is None:
                break
            by = (by[0] + contact.dx, by[1] + contact.dy)
            along = contact.normal
            caught.append(Snap(self._shifted((self._start.x, self._start.y), by), contact.what))
        if caught:
            return by, tuple(caught)
        return self._on_point(by, within)

    def _on_point(self, by: Point, within: float) -> tuple[Point, tuple[Snap, ...]]:
        best: tuple[float, Point, Snap] | None = None
        for ring in self._rings:
            for corner in ring:
                at = self._shifted(corner, by)
                snap = snap_point(self._job, at, within, self._targets.near(at[0], within))
                if not snap.what:
                    continue
                dx, dy = snap.at[0] - at[0], snap.at[1] - at[1]
                far = dx * dx + dy * dy
                if best is None or far < best[0]:
                    best = (far, (by[0] + dx, by[1] + dy), snap)
        return (by, ()) if best is None else (best[1], (best[2],))

    @staticmethod
    def _shifted(p: Point, by: Point) -> Point:
        return (p[0] + by[0], p[1] + by[1])
