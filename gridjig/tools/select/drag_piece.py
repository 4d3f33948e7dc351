"""Dragging a piece by its free end: it swings, slides, opens or reaches as the solver allows.

The attainable angles are drawn as arcs (ranges) and ticks (single angles) about the hole.
"""

import math
from abc import abstractmethod
from collections.abc import Mapping

from msgspec import structs

from gridjig.edits.lookup import with_placement
from gridjig.geometry import unit, wrap
from gridjig.geometry.display import Arc, DisplayList, DrawingRole, Polyline, TextLabel
from gridjig.model import Job, Placement
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.solver import PlacedPiece, solve_placement
from gridjig.solve.poses.choose import about_first, first_seat
from gridjig.solve.poses.drag import drag_to
from gridjig.solve.poses.search_holes import leaf_locks
from gridjig.tools.aim.ghosts import bare_ring, ghosts, hole_ring
from gridjig.tools.core.arrow_keys import fine_step
from gridjig.tools.core.gesture import Gesture, refused, same_or, to_drop
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.core.prompt import Prompt
from gridjig.tools.core.refusals import first_refusal
from gridjig.tools.core.tool import Commit, Outcome, Preview
from gridjig.tools.core.wording import capital, slid
from gridjig.tools.touch.door import Keeper
from gridjig.units import Display, format_angle, format_setting

from .nudge import pose_verb, same_pose

_FULL = 360.0
_TICK = 4.0
_MANY = 0.3


class PieceDrag(Gesture):
    """Shared by all these drags: one placement, recomputed at each move of the pointer."""

    def __init__(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        placement: Placement,
        start: Pointer,
    ) -> None:
        self._job, self._stands, self._placement = job, placed_pieces, placement
        self._start = self._pointer = start
        self._now = placed_pieces[placement.id]
        self._taken = holes_besides(placed_pieces, placement.id)
        self._moved = job
        self._there = self._now
        self._why: str | None = None
        self._keeper = Keeper(job, placed_pieces, placement)

    @abstractmethod
    def _bent(self, pointer: Pointer) -> Placement:
        """Return the placement for the pointer there."""

    @abstractmethod
    def _said(self) -> str:
        """Return its new setting in words, in the job's units."""

    def _dragged(self, pointer: Pointer, body: int) -> Placement:
        """Solve for the drag, in whole degrees and ticks unless snapping is off."""
        job = self._job
        got = drag_to(
            job.table,
            job.rack,
            self._placement,
            (self._start.x, self._start.y),
            (pointer.x, pointer.y),
            self._taken,
            body,
        )
        if pointer.free:
            return got
        near = structs.replace(
            got,
            turn=_snapped(got.turn, pointer),
            slide=_snapped_mm(got.slide, pointer, job.display),
            leaf=_snapped(got.leaf, pointer),
        )
        there = solve_placement(job.table, job.rack, near)
        return structs.replace(
            got,
            turn=_tidied(there.turn, near.turn),
            slide=_tidied(there.slide, near.slide),
            leaf=_tidied(there.leaf, near.leaf),
        )

    def to(self, pointer: Pointer) -> Outcome:
        """Show the nearest attainable setting to the pointer."""
        job = self._job
        self._pointer = pointer
        changed = self._bent(pointer)
        if not pointer.free:
            changed = self._keeper.caught(changed, pointer.grip * pointer.table_mm)
        if changed != self._there.placement:
            self._there = solve_placement(job.table, job.rack, changed)
            back = self._there.holes == self._now.holes and same_pose(self._there, self._now)
            self._moved = job if back else with_placement(job, changed)
            self._why = first_refusal(job, self._stands, self._moved, {changed.id})
        return Preview(same_or(self._moved, job))

    def drop(self) -> Outcome:
        """Keep the setting, or put the piece back and say why it cannot stay."""
        if self._why is not None:
            return refused(self._why)
        if self._moved is self._job:
            return Preview(None)
        name = title(self._job, self._placement.id)
        verb = pose_verb(self._now, self._there)
        return Commit(
            self._moved,
            f"{verb} {name}",
            frozenset([self._placement.id]),
            said=f"{capital(name)}: {self._said()}.",
        )

    def overlay(self) -> DisplayList:
        """The ghost at the start, and the new setting in words above the pointer."""
        above = (self._pointer.x, self._pointer.y + self._pointer.table_mm * 6)
        role: DrawingRole = "clash" if self._why else "selected"
        return (
            *ghosts(self._job, self._stands, [self._placement.id]),
            TextLabel(above, self._said(), role, anchor="above", size="large", cleared=True),
        )

    def prompt(self) -> Prompt:
        """Return the new setting, or why it cannot stay."""
        name = capital(title(self._job, self._placement.id))
        does = f", {self._keeper.said}" if self._keeper.said and not self._pointer.free else ""
        return to_drop(f"{name}: {self._said()}{does}.", self._why)


class SwingDrag(PieceDrag):
    """Drags the base body: about its first hole, and along its slot where it is free to slide."""

    def __init__(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        placement: Placement,
        start: Pointer,
    ) -> None:
        super().__init__(job, placed_pieces, placement, start)
        hole = first_seat(placement, job.rack.piece(placement.piece)).hole
        self._centre = job.table.at(hole)
        self._spots = about_first(job.table, job.rack, placement, self._taken)

    def _bent(self, pointer: Pointer) -> Placement:
        return self._dragged(pointer, 0)

    def _said(self) -> str:
        way = self._there.way
        parts = []
        if way is None or way.kind != "slides":
            parts.append(format_angle(self._there.turn))
        if way is not None and way.slides:
            parts.append(slid(self._job, self._there))
        return ", ".join(parts)

    def overlay(self) -> DisplayList:
        """What the piece can reach about its hole, and the holes that pin it."""
        a = (self._start.x - self._centre[0], self._start.y - self._centre[1])
        offset = math.degrees(math.atan2(a[1], a[0])) - self._now.turn
        shown = super().overlay()
        shown += reach_marks(
            self._centre,
            math.hypot(*a),
            [(s.low + offset, s.high + offset) for s in self._spots],
            self._pointer,
        )
        role: DrawingRole = "clash" if self._why else "selected"
        way = self._there.way
        if way is not None and way.kind == "slides":  # addresses would hide it
            return (*shown, *(bare_ring(self._job.table, h, role) for h in self._there.holes))
        for hole in self._there.holes:
            shown += hole_ring(self._job.table, hole, role)
        return shown


class LeafDrag(PieceDrag):
    """Drags an arm's leaf about its pivot: by its scale, or from lock hole to lock hole."""

    def __init__(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        placement: Placement,
        start: Pointer,
    ) -> None:
        super().__init__(job, placed_pieces, placement, start)
        piece = job.rack.piece(placement.piece)
        assert piece.pivot is not None
        self._ranges = [(piece.pivot.low, piece.pivot.high)]
        if self._now.leaf_hole is not None:
            pin = job.rack.pin_diameter(piece)
            found, _ = leaf_locks(job.table, piece, self._now.poses[0], pin, self._taken)
            self._ranges = [(s.way.low, s.way.high) for s in found]

    def _bent(self, pointer: Pointer) -> Placement:
        return self._dragged(pointer, 1)

    def _said(self) -> str:
        return f"opened to {format_angle(self._there.leaf)}"

    def overlay(self) -> DisplayList:
        """The range of the scale, or the angles at which a hole locks it."""
        base, leaf = self._now.poses
        a = (self._start.x - leaf.x, self._start.y - leaf.y)
        offset = math.degrees(math.atan2(a[1], a[0])) - leaf.turn + base.turn
        turned = [
            (offset - high, offset - low) if base.flipped else (offset + low, offset + high)
            for low, high in self._ranges
        ]
        marks = reach_marks((leaf.x, leaf.y), math.hypot(*a), turned, self._pointer)
        return super().overlay() + marks


class ReachDrag(PieceDrag):
    """Drags a clamp's tip: along its bar, and round its hole if it turns freely."""

    def _bent(self, pointer: Pointer) -> Placement:
        piece = self._job.rack.piece(self._placement.piece)
        tip, base = piece.tip, self._now.poses[0]
        assert tip is not None
        turn = self._now.turn
        if _is_free(self._now):
            root = base.point(tip.at)
            aim = math.degrees(math.atan2(pointer.y - root[1], pointer.x - root[0]))
            turn = _snapped(wrap(turn + aim - base.direction(tip.direction)), pointer)
            turned = structs.replace(self._placement, turn=turn)
            base = solve_placement(self._job.table, self._job.rack, turned).poses[0]
        root = base.point(tip.at)
        c, s = unit(base.direction(tip.direction))
        far = (pointer.x - root[0]) * c + (pointer.y - root[1]) * s
        far = _snapped_mm(far, pointer, self._job.display)
        reach = min(max(far, tip.reach_min), tip.reach_max)
        return structs.replace(self._placement, turn=turn, reach=reach)

    def _said(self) -> str:
        far = f"reaches {format_setting(self._there.reach, self._job.display)}"
        return f"{format_angle(self._there.turn)}, {far}" if _is_free(self._now) else far

    def overlay(self) -> DisplayList:
        """How far in and out the tip goes, about the point where its bar is fixed."""
        piece = self._job.rack.piece(self._placement.piece)
        assert piece.tip is not None
        base = self._there.poses[0]
        root = base.point(piece.tip.at)
        c, s = unit(base.direction(piece.tip.direction))
        near, far = (
            (root[0] + c * r, root[1] + s * r) for r in (piece.tip.reach_min, piece.tip.reach_max)
        )
        return (*super().overlay(), Polyline((near, far), "reach"))


def reach_marks(
    centre: Point, radius: float, ranges: list[tuple[float, float]], pointer: Pointer
) -> DisplayList:
    """Return arcs for ranges of directions and ticks for single ones, degrees.

    Ticks closer together than a line's width on the screen would be one blot, so only the first
    of them is drawn.
    """
    arcs: list[Arc] = []
    ticks: dict[int, float] = {}
    apart = max(math.degrees(_MANY * pointer.table_mm / max(radius, 1.0)), 1e-6)
    for low, high in ranges:
        if high - low >= 0.01:
            arcs.append(Arc(centre, radius, low, high, "reach"))
        else:
            angle = low % _FULL
            ticks.setdefault(round(angle / apart), angle)
    half = _TICK * pointer.table_mm / 2
    lines = []
    for angle in ticks.values():
        c, s = unit(angle)
        a, b = radius - half, radius + half
        ends = ((centre[0] + a * c, centre[1] + a * s), (centre[0] + b * c, centre[1] + b * s))
        lines.append(Polyline(ends, "reach"))
    return (*arcs, *lines)


def _is_free(there: PlacedPiece) -> bool:
    """True if its pins let the piece turn all the way round."""
    return there.way is not None and there.way.turn_high - there.way.turn_low >= _FULL


def _snapped(degrees: float, pointer: Pointer) -> float:
    """Round to a whole degree, or a tenth in fine steps; unchanged with snapping off."""
    return degrees if pointer.free else round(degrees, 1 if pointer.fine else 0)


def _snapped_mm(length: float, pointer: Pointer, display: Display) -> float:
    """Round to a tick of the unit that lengths are shown in, or a quarter tick in fine steps."""
    step = fine_step(display) / (4 if pointer.fine else 1)
    return length if pointer.free else round(length / step) * step


def _tidied(had: float, asked: float) -> float:
    """Return `asked` if `had` differs only by binary noise, so that the file says 20.3."""
    return asked if abs(had - asked) < 1e-9 else had
