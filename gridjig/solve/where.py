"""Where on the table: the places of the weldment that need the fewest packings, best first.

Only shifts that bring some face onto the grid can be best, so these are tried, all of them, the
two axes apart; then the best are moved by whole pitches to where they fit and stops find holes.
"""

import math
from collections.abc import Sequence
from itertools import product

import numpy as np
from msgspec import Struct, structs

from gridjig.geometry.parts import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job
from gridjig.rack import Point
from gridjig.units import format_angle, format_length
from gridjig.units.progress import SILENT, Progress

from .directions import Reals, Whole
from .faces import Axis
from .packing import pack
from .remainders import (
    EXACT,
    Line,
    Remainder,
    Remainders,
    grid_along,
    left_before,
    remainders,
    stretches,
)
from .stops import Stop
from .tolerance import LinearClass
from .where_rows import Fronts, Row, steps_of, turned

PLACED = 24
"""How many shifts of each way round are tried at every whole pitch: the best ones."""


class Put(Struct, frozen=True):
    """One place of the weldment, from where it lies now; mm and degrees.

    It is turned over first if `flipped` (left and right change over about the point `about`), then
    turned about that point, then moved by (dx, dy).  `packed` is how many lines of faces are then
    packed, `critical_off` how many critical ones lie off the grid, `off` how many in all, `pieces`
    the shims for them and `thickness` their packs in all.  `blocked` lines find no hole for a stop;
    `over` is how far it hangs over the edges.  `left` is what is left before each line, in the
    order of the lines asked about.  `move` says what is done to it, `leaves` what that makes of it.
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
    move: str = ""
    leaves: str = ""

    @property
    def why(self) -> str:
        """Both in one sentence."""
        return f"{self.move}: {self.leaves}."


class Where(Struct, frozen=True):
    """The places found, best first; how the weldment does `now`; the lines asked about.

    `shifts` is how many shifts were looked at, `places` how many of them at whole pitches.
    """

    found: tuple[Put, ...]
    now: Put
    lines: tuple[Line, ...]
    stop: Stop
    shifts: int
    places: int
    statement: str


class _Cost(Struct, frozen=True):
    """What a shift along one axis, or along both, costs; compared in this order."""

    critical_off: int = 0
    packed: int = 0
    off: int = 0
    pieces: int = 0
    thickness: float = 0.0

    def __add__(self, other: "_Cost") -> "_Cost":
        return _Cost(
            self.critical_off + other.critical_off,
            self.packed + other.packed,
            self.off + other.off,
            self.pieces + other.pieces,
            self.thickness + other.thickness,
        )

    @property
    def rank(self) -> tuple[int, int, int, int, float]:
        return (self.critical_off, self.packed, self.off, self.pieces, round(self.thickness, 3))


def where(
    job: Job,
    stop: Stop | None = None,
    *,
    linear_class: LinearClass = "B",
    turns: Sequence[int] = (0, 90, 180, 270),
    flips: bool = True,
    inner: bool = False,
    top: int = 8,
    progress: Progress = SILENT,
) -> Where:
    """The places of the job's weldment that need the fewest packings with one kind of stop.

    Looked at are faces with nothing before them and those chosen as critical, with `inner` all
    faces along the grid.  `turns` are quarter turns in degrees from where it lies now; `flips`
    tries it face down too.  ValueError in words if there is nothing to place, or no stop; Cancelled
    through `progress`.
    """
    every = remainders(job, stop, linear_class)
    asked = [r for r in every.found if r.line.outer or r.line.critical or inner]
    if not job.outlines:
        raise ValueError("there is no weldment to place; draw a member first")
    if not asked:
        raise ValueError("no face lies along the grid; turn the weldment first")
    search = _Search(job, every.stop, asked)
    ways = [(turn, over) for over in ((False, True) if flips else (False,)) for turn in turns]
    found: list[Put] = []
    shifts = 0
    for turn, over in progress.each(ways, "Looking for places"):
        made, looked = search.best(turn, over)
        found += made
        shifts += looked
    found.sort(key=_rank)
    kept = tuple(search.told(put) for put in found[:top])
    now = search.told(search.now())
    return Where(
        found=kept,
        now=now,
        lines=tuple(r.line for r in asked),
        stop=every.stop,
        shifts=shifts,
        places=len(found),
        statement=_statement(kept, now, len(asked), shifts, len(ways)) + _left_out(job, every),
    )


def _rank(put: Put) -> tuple[float, ...]:
    """Best first: fits, critical faces on the grid, few packings; then as little moved as can."""
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
        round(math.hypot(put.dx, put.dy), 2),
        put.turn,
        round(put.dx, 3),
        round(put.dy, 3),
    )


class _Search:
    """One question: what does not change from one way round to the next."""

    def __init__(self, job: Job, stop: Stop, asked: Sequence[Remainder]) -> None:
        self._job, self._stop = job, stop
        self._box = bounds(p for part in job.outlines for p in part_ring(part))
        x0, y0, x1, y1 = self._box
        self._about = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
        self._rows = [
            Row(
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
        self._fronts = Fronts(job.table, stop)
        self._packs: dict[float, tuple[int, float]] = {}

    def now(self) -> Put:
        """The weldment as it lies."""
        cost, left = self._cost(self._rows, "x", 0.0)
        other, more = self._cost(self._rows, "y", 0.0)
        return self._put(0, False, self._rows, cost + other, {**left, **more}, (0.0, 0.0), True)

    def best(self, turn: int, over: bool) -> tuple[list[Put], int]:
        """The best places of one way round, and how many shifts were looked at."""
        rows = [turned(row, self._about, turn, over) for row in self._rows]
        along_x = [(d, *self._cost(rows, "x", d)) for d in self._shifts(rows, "x")]
        along_y = [(d, *self._cost(rows, "y", d)) for d in self._shifts(rows, "y")]
        pairs = sorted(
            product(along_x, along_y),
            key=lambda p: ((p[0][1] + p[1][1]).rank, round(math.hypot(p[0][0], p[1][0]), 3)),
        )
        puts = [
            self._put(turn, over, rows, x[1] + y[1], {**x[2], **y[2]}, (x[0], y[0]), False)
            for x, y in pairs[:PLACED]
        ]
        return puts, len(pairs)

    def _shifts(self, rows: Sequence[Row], axis: Axis) -> list[float]:
        """The shifts that bring a line onto the grid, and none; at most half a pitch each."""
        first, pitch = grid_along(self._job.table, axis)
        found = {0.0}
        for row in rows:
            if row.axis == axis:
                left = left_before(row.at, row.sign, self._stop.face, first, pitch)
                shift = row.sign * (left if left <= pitch / 2.0 else left - pitch)
                if all(abs(shift - known) > EXACT for known in found):
                    found.add(shift)
        return sorted(found, key=lambda shift: (abs(shift), shift))

    def _cost(
        self, rows: Sequence[Row], axis: Axis, shift: float
    ) -> tuple[_Cost, dict[int, float]]:
        """What a shift costs in packing along an axis, and what it leaves before each line."""
        first, pitch = grid_along(self._job.table, axis)
        cost, kept = _Cost(), {}
        for row in rows:
            if row.axis != axis:
                continue
            left = left_before(row.at + shift, row.sign, self._stop.face, first, pitch)
            nearest = min(left, pitch - left)
            kept[row.number] = 0.0 if nearest <= EXACT else left
            if nearest <= EXACT:
                continue
            packed = nearest > row.allowed
            pieces, thickness = self._pack(left) if packed else (0, 0.0)
            cost += _Cost(int(row.critical), int(packed), 1, pieces, thickness)
        return cost, kept

    def _pack(self, left: float) -> tuple[int, float]:
        key = round(left, 3)
        if key not in self._packs:
            made = pack(self._job.rack, key)
            self._packs[key] = (made.count, made.total)
        return self._packs[key]

    def _put(
        self,
        turn: int,
        over: bool,
        rows: Sequence[Row],
        cost: _Cost,
        left: dict[int, float],
        shift: Point,
        stays: bool,
    ) -> Put:
        """A place with the whole pitches at which it fits best and finds the most holes."""
        table = self._job.table
        columns, rows_, over_by = self._room(turn, shift, stays)
        blocked = np.zeros((len(columns), len(rows_)), dtype=np.int64)
        for row in rows:
            blocked += ~self._fronts.found(row, left[row.number], shift, columns, rows_)
        dx = shift[0] + columns * table.pitch_x
        dy = shift[1] + rows_ * table.pitch_y
        far = np.hypot(dx[:, None], dy[None, :])
        order = np.lexsort((far.ravel(), blocked.ravel(), np.round(over_by, 2).ravel()))
        i, j = divmod(int(order[0]), len(rows_))
        return Put(
            turn=float(turn),
            flipped=over,
            about=self._about,
            dx=float(dx[i]),
            dy=float(dy[j]),
            packed=cost.packed,
            critical_off=cost.critical_off,
            off=cost.off,
            pieces=cost.pieces,
            thickness=cost.thickness,
            blocked=int(blocked[i, j]),
            over=float(over_by[i, j]),
            left=tuple(left[n] for n in range(len(left))),
        )

    def _room(self, turn: int, shift: Point, stays: bool) -> tuple[Whole, Whole, Reals]:
        """Whole pitches to move by in columns and rows, and how far it then hangs over."""
        table = self._job.table
        x0, y0, x1, y1 = self._box
        if turn % 180:
            cx, cy = self._about
            half_x, half_y = (y1 - y0) / 2.0, (x1 - x0) / 2.0
            x0, x1, y0, y1 = cx - half_x, cx + half_x, cy - half_y, cy + half_y
        across, over_x = steps_of(x0 + shift[0], x1 + shift[0], table.width, table.pitch_x, stays)
        along, over_y = steps_of(y0 + shift[1], y1 + shift[1], table.depth, table.pitch_y, stays)
        return across, along, np.maximum(over_x[:, None], over_y[None, :])

    def told(self, put: Put) -> Put:
        """The place with its words: what is done to the weldment, and what that makes of it."""
        display = self._job.display
        done = ["turned over"] if put.flipped else []
        if put.turn:
            done.append(f"turned {format_angle(put.turn)}")
        for by, ahead, back in ((put.dx, "right", "left"), (put.dy, "back", "forward")):
            if abs(by) > EXACT:
                done.append(f"{format_length(abs(by), display)} {ahead if by > 0 else back}")
        lines = len(put.left)
        said = [f"{put.packed} of {lines} {'line' if lines == 1 else 'lines'} packed"]
        if put.off > put.packed:
            said.append(f"{put.off - put.packed} left to the tolerance")
        if put.critical_off:
            said.append(f"{put.critical_off} critical off the grid")
        if put.blocked:
            said.append(f"{put.blocked} without a hole for a stop")
        if put.over > EXACT:
            said.append(f"{format_length(put.over, display)} over the edge")
        move = ", ".join(done) or "as it lies"
        return structs.replace(put, move=f"{move[0].upper()}{move[1:]}", leaves=", ".join(said))


def _left_out(job: Job, every: Remainders) -> str:
    """A sentence on critical faces that no shift can bring onto the grid, or nothing."""
    chosen = set(job.critical)
    many = sum(face.of in chosen for face in every.slanting)
    if not many:
        return ""
    return f" Set by an angle, not by a shift: {many} critical {'face' if many == 1 else 'faces'}."


def _statement(found: Sequence[Put], now: Put, lines: int, shifts: int, ways: int) -> str:
    """What was looked at and what came of it, in sentences."""
    best = found[0]
    looked = (
        f"Looked at {shifts} shifts in {ways} {'way' if ways == 1 else 'ways'} round: all that"
        f" bring one of the {lines} lines of faces onto the grid."
    )
    if (best.over, best.critical_off, best.blocked, best.packed) >= (
        now.over,
        now.critical_off,
        now.blocked,
        now.packed,
    ):
        return f"{looked} None needs fewer packings than where it lies now: {now.packed}."
    return f"{looked} Packings at the best: {best.packed}; where it lies now: {now.packed}."
