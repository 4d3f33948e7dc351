"""The places on the table where the weldment needs the least packing, best first.

Only a shift that brings some face onto the grid can be best, so all of these are tried, each axis
separately; then the best are moved by whole pitches to where they fit and stops have holes.
"""

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Part
from gridjig.model.accuracy import LinearClass
from gridjig.rack import Point
from gridjig.solve.grid.directions import FloatArray, IntArray
from gridjig.solve.layout.costs import Costs, best_pairs, costs
from gridjig.solve.packing.stops import Stop
from gridjig.solve.weldment.faces import Axis
from gridjig.units.progress import SILENT, Progress

from .faults import LayoutFault, NothingToPlace, TooManyLines
from .remainders import (
    EXACT,
    FaceLine,
    Remainder,
    grid_along,
    left_before,
    remainders,
    stretches,
)
from .rows import FaceRow, StopFronts, steps_of, turned

PLACED = 24
"""For each orientation, how many of the best shifts are tried at every whole pitch."""

MOST_LINES = 2_000
"""The most lines of faces to compare: within 10 s and 300 MB on any table."""


class WeldmentPlace(Struct, frozen=True):
    """A place for the weldment, relative to where it lies now; mm and degrees.

    It is first turned over if `flipped` (left and right swap about the point `about`), then turned
    about that point, then moved by (dx, dy).  `packed` is how many lines of faces are then packed,
    `critical_off` how many critical ones are off the grid, `off` how many in all; `pieces` is the
    number of shims and `thickness` their total.  `blocked` lines have no hole for a stop; `over` is
    how far it hangs over the edges.  `left` is the gap in front of each line, in the order of the
    lines considered.
    """

    turn: float
    flipped: bool
    about: Point
    dx: float
    dy: float
    packed: int
    critical_off: int
    off: int
    pieces: int
    thickness: float
    blocked: int
    over: float
    left: tuple[float, ...]


class WeldmentPlaces(Struct, frozen=True):
    """The places found, best first; where the weldment lies `now`; the lines considered.

    `shifts` is how many shifts were tried in how many `orientations`, `places` how many of them at
    whole pitches.  `slanting` critical faces lie across the grid, where no shift helps; `taken`
    places were left out because another weldment lies there.
    """

    found: tuple[WeldmentPlace, ...]
    now: WeldmentPlace
    lines: tuple[FaceLine, ...]
    stop: Stop
    shifts: int
    places: int
    orientations: int
    slanting: int
    taken: int = 0


def weldment_places(
    job: Job,
    stop: Stop | None = None,
    *,
    linear_class: LinearClass = "B",
    turns: Sequence[int] = (0, 90, 180, 270),
    flips: bool = True,
    inner: bool = False,
    top: int = 8,
    others: Sequence[Part] = (),
    apart: float = 0.0,
    progress: Progress = SILENT,
) -> WeldmentPlaces:
    """Return the places where the job's weldment needs the least packing with one kind of stop.

    Faces with nothing in front of them and critical ones are considered, or with `inner` all faces
    along the grid.  `turns` are quarter turns in degrees from where it lies now; with `flips` it is
    tried face down too.  Places where its box would meet that of one of the `others`, parts of
    other weldments, or come nearer to it than `apart` mm, are left out and counted.  Raise
    LayoutFault if there is nothing to place, no stop, or no room beside the others; raise
    Cancelled through `progress`.
    """
    every = remainders(job, stop, linear_class)
    asked = [r for r in every.found if r.line.outer or r.line.critical or inner]
    if not job.parts:
        raise LayoutFault(NothingToPlace("no weldment"))
    if not asked:
        raise LayoutFault(NothingToPlace("no face along the grid"))
    if len(asked) > MOST_LINES:
        raise LayoutFault(TooManyLines(len(asked), MOST_LINES))
    search = _Search(job, every.stop, asked)
    ways = [(turn, over) for over in ((False, True) if flips else (False,)) for turn in turns]
    found: list[WeldmentPlace] = []
    shifts = 0
    for turn, over in progress.each(ways, "Looking for places"):
        made, looked = search.best(turn, over)
        found += made
        shifts += looked
    every_found = len(found)
    found = [put for put in found if not search.meets(put, others, apart)]
    if not found:
        raise LayoutFault(NothingToPlace("no room"))
    datum = {face.of for face in (every.datum.long, every.datum.end) if face is not None}
    of_datum = [any(face.of in datum for face in r.line.faces) for r in asked]
    found.sort(key=lambda put: _rank(put, of_datum))
    critical = set(job.critical)
    return WeldmentPlaces(
        found=tuple(found[:top]),
        now=search.now(),
        lines=tuple(r.line for r in asked),
        stop=every.stop,
        shifts=shifts,
        places=len(found),
        orientations=len(ways),
        slanting=sum(face.of in critical for face in every.slanting),
        taken=every_found - len(found),
    )


def _rank(put: WeldmentPlace, of_datum: Sequence[bool]) -> tuple[float, ...]:
    """Sort key: fits, critical faces on the grid, least packing; as it lies now before turned,
    datum faces without packing, then the smallest move.
    """
    return (
        round(put.over, 2),
        put.critical_off,
        put.blocked,
        put.packed,
        put.off,
        put.pieces,
        round(put.thickness, 3),
        put.flipped,
        put.turn != 0,
        sum(bool(left) for left, datum in zip(put.left, of_datum, strict=True) if datum),
        round(math.hypot(put.dx, put.dy), 2),
        put.turn,
        round(put.dx, 3),
        round(put.dy, 3),
    )


class _Search:
    """What the search shares for all orientations of the weldment."""

    def __init__(self, job: Job, stop: Stop, asked: Sequence[Remainder]) -> None:
        self._job, self._stop = job, stop
        self._box = bounds(p for part in job.parts for p in part_ring(part))
        x0, y0, x1, y1 = self._box
        self._about = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
        self._rows = [
            FaceRow(
                r.line.axis,
                r.line.sign,
                r.line.at,
                stretches(r.line),
                r.line.critical,
                r.allowed,
                number,
            )
            for number, r in enumerate(asked)
        ]
        self._fronts = StopFronts(job.table, stop)

    def now(self) -> WeldmentPlace:
        """The weldment where it lies now."""
        still = np.zeros(1)
        x, y = (self._costs(self._rows, axis, still) for axis in ("x", "y"))
        return self._put(0, False, self._rows, (x, 0), (y, 0), True)

    def meets(self, put: WeldmentPlace, others: Sequence[Part], apart: float) -> bool:
        """True if the box of the weldment at a place is nearer than that to one of the others."""
        x0, y0, x1, y1 = self._box
        if round(put.turn / 90.0) % 2:
            (x, y), wide, deep = self._about, (x1 - x0) / 2.0, (y1 - y0) / 2.0
            x0, y0, x1, y1 = x - deep, y - wide, x + deep, y + wide
        x0, y0 = x0 + put.dx - apart, y0 + put.dy - apart
        x1, y1 = x1 + put.dx + apart, y1 + put.dy + apart
        boxes = (bounds(part_ring(part)) for part in others)
        return any(
            a0 < x1 - EXACT and x0 < a1 - EXACT and b0 < y1 - EXACT and y0 < b1 - EXACT
            for a0, b0, a1, b1 in boxes
        )

    def best(self, turn: int, over: bool) -> tuple[list[WeldmentPlace], int]:
        """Return the best places for one orientation, and how many shifts were tried."""
        rows = [turned(row, self._about, turn, over) for row in self._rows]
        x = self._costs(rows, "x", self._shifts(rows, "x"))
        y = self._costs(rows, "y", self._shifts(rows, "y"))
        puts = [
            self._put(turn, over, rows, (x, i), (y, j), False) for i, j in best_pairs(x, y, PLACED)
        ]
        return puts, len(x.shifts) * len(y.shifts)

    def _shifts(self, rows: Sequence[FaceRow], axis: Axis) -> FloatArray:
        """No shift, and those that bring a line onto the grid; at most half a pitch each."""
        first, pitch = grid_along(self._job.table, axis)
        found = {0: [0.0]}  # by whole steps of EXACT, so that only neighbours are compared
        for row in rows:
            if row.axis == axis:
                left = left_before(row.at, row.sign, self._stop.face, first, pitch)
                shift = row.sign * (left if left <= pitch / 2.0 else left - pitch)
                cell = math.floor(shift / EXACT)
                near = (known for n in (-1, 0, 1) for known in found.get(cell + n, ()))
                if all(abs(shift - known) > EXACT for known in near):
                    found.setdefault(cell, []).append(shift)
        every = (shift for shifts in found.values() for shift in shifts)
        return np.array(sorted(every, key=lambda shift: (abs(shift), shift)))

    def _costs(self, rows: Sequence[FaceRow], axis: Axis, shifts: FloatArray) -> Costs:
        first, pitch = grid_along(self._job.table, axis)
        mine = [row for row in rows if row.axis == axis]
        return costs(self._job.rack, mine, shifts, self._stop.face, first, pitch)

    def _put(
        self,
        turn: int,
        over: bool,
        rows: Sequence[FaceRow],
        x: tuple[Costs, int],
        y: tuple[Costs, int],
        stays: bool,
    ) -> WeldmentPlace:
        """A place, moved by the whole pitches at which it fits best and stops have most holes.

        `x` and `y` are the costs of the shifts along each axis, and the index of the one to use.
        """
        table = self._job.table
        (across, i), (along, j) = x, y
        shift = (float(across.shifts[i]), float(along.shifts[j]))
        left = {**across.left_at(i), **along.left_at(j)}
        columns, rows_, over_by = self._room(turn, shift, stays)
        blocked = self._fronts.blocked(rows, left, shift, columns, rows_)
        dx = shift[0] + columns * table.pitch_x
        dy = shift[1] + rows_ * table.pitch_y
        far = np.hypot(dx[:, None], dy[None, :])
        order = np.lexsort((far.ravel(), blocked.ravel(), np.round(over_by, 2).ravel()))
        k, m = divmod(int(order[0]), len(rows_))
        critical_off, packed, off, pieces, thickness = across.sum(i, along, j)
        return WeldmentPlace(
            turn=float(turn),
            flipped=over,
            about=self._about,
            dx=float(dx[k]),
            dy=float(dy[m]),
            packed=packed,
            critical_off=critical_off,
            off=off,
            pieces=pieces,
            thickness=thickness,
            blocked=int(blocked[k, m]),
            over=float(over_by[k, m]),
            left=tuple(left[n] for n in range(len(left))),
        )

    def _room(self, turn: int, shift: Point, stays: bool) -> tuple[IntArray, IntArray, FloatArray]:
        """Whole pitches to move by in columns and rows, and the overhang of each; mm."""
        table = self._job.table
        x0, y0, x1, y1 = self._box
        if turn % 180:
            cx, cy = self._about
            half_x, half_y = (y1 - y0) / 2.0, (x1 - x0) / 2.0
            x0, x1, y0, y1 = cx - half_x, cx + half_x, cy - half_y, cy + half_y
        across, over_x = steps_of(x0 + shift[0], x1 + shift[0], table.width, table.pitch_x, stays)
        along, over_y = steps_of(y0 + shift[1], y1 + shift[1], table.depth, table.pitch_y, stays)
        # The least overhang ranks before everything else, so only those steps can be best.
        least = max(np.round(over_x, 2).min(), np.round(over_y, 2).min())
        fits_x, fits_y = np.round(over_x, 2) <= least, np.round(over_y, 2) <= least
        over_by = np.maximum(over_x[fits_x][:, None], over_y[fits_y][None, :])
        return across[fits_x], along[fits_y], over_by
