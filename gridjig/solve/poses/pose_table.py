"""All attainable poses of a piece anywhere on a table, by the offset between its two holes.

The turn depends only on the offset between the holes, so each offset is solved once.  The condition
of individual holes is checked where a piece is placed.
"""

from functools import lru_cache

import numpy as np
from msgspec import Struct

from gridjig.model import Table
from gridjig.rack import MountFeature, Piece, Shank
from gridjig.solve.grid.directions import FloatArray, Grid, IntArray
from gridjig.solve.mounting.fit import radial_play
from gridjig.solve.mounting.pair_arrays import Fits, about_all, slots_all
from gridjig.solve.mounting.slot_pairs import linked
from gridjig.solve.mounting.track import Track, track_of


class PoseTable(Struct, frozen=True, eq=False):
    """All poses with `first` in one hole and `second` in the hole (dx, dy) steps away.

    turn..turn_high in degrees and slide..slide_high in mm are as in `Way`; `play_deg` is how far
    play lets the piece turn; play takes up `gap` mm.  Rows are sorted by turn, then by base length.
    If `linked`, turn and slide follow from each other, and the turn in the middle is given.
    """

    first: str
    second: str
    flipped: bool
    linked: bool
    grid: Grid
    dx: IntArray
    dy: IntArray
    turn: FloatArray
    turn_high: FloatArray
    slide: FloatArray
    slide_high: FloatArray
    gap: FloatArray
    play_deg: FloatArray

    def __len__(self) -> int:
        return int(self.turn.size)

    def places(self) -> IntArray:
        """How many places on the table each pose has, whatever the condition of its holes."""
        count: IntArray = (self.grid.columns - np.abs(self.dx)) * (self.grid.rows - np.abs(self.dy))
        return count


def poses(
    table: Table, piece: Piece, pin_diameter: float, flipped: bool | None = None
) -> tuple[PoseTable, ...]:
    """A pose table for each feature that can be pinned besides the first, for each way up.

    With `flipped` None, both ways up if the piece works turned over.  A pin that does not go into
    the table's ordinary holes gives no rows.
    """
    first = first_feature(piece)
    if first is None:
        return ()
    return tuple(
        pair_poses(table, first, second, pin_diameter, over)
        for over in ways_up(piece, flipped)
        for second in partners(piece, first)
    )


def ways_up(piece: Piece, flipped: bool | None) -> tuple[bool, ...]:
    """The ways up to solve: both for None, but never one in which the piece does not work."""
    both = (False, True) if piece.flips else (False,)
    return both if flipped is None else tuple(over for over in both if over == flipped)


def first_feature(piece: Piece) -> MountFeature | None:
    """The feature that goes into the clicked hole: a shank, else a round hole, else a slot.

    The first of its kind on the base body; shanks come first because they cannot be left out.
    """
    base = [m for m in piece.mounts if m.body == 0]
    ranked = sorted(base, key=lambda m: (not isinstance(m, Shank), track_of(m).kind != "point"))
    return ranked[0] if ranked else None


def partners(piece: Piece, first: MountFeature) -> tuple[MountFeature, ...]:
    """The features a second pin can hold: all others on the base body, else the same slot again.

    If the piece has further shanks, only the first of them counts, as it needs a hole anyway.
    """
    others = [m for m in piece.mounts if m.body == 0 and m is not first]
    shanks = [m for m in others if isinstance(m, Shank)]
    if shanks:
        return (shanks[0],)
    if others:
        return tuple(others)
    return () if track_of(first).kind == "point" else (first,)


def pair_poses(
    table: Table, first: MountFeature, second: MountFeature, pin_diameter: float, flipped: bool
) -> PoseTable:
    """All poses with two given features pinned.  Cached by features and grid."""
    plays = [radial_play(table, None, m, pin_diameter) for m in (first, second)]
    grid = Grid(table.columns, table.rows, table.pitch_x, table.pitch_y)
    play = sum(plays) if min(plays) >= 0.0 else None
    return _pair_poses(grid, first, second, play, flipped)


@lru_cache(maxsize=256)
def _pair_poses(
    grid: Grid, first: MountFeature, second: MountFeature, play: float | None, flipped: bool
) -> PoseTable:
    dx, dy = _offsets(grid) if play is not None else (np.zeros(0, np.int64),) * 2
    vx: FloatArray = dx.astype(np.float64) * grid.pitch_x
    vy: FloatArray = dy.astype(np.float64) * grid.pitch_y
    one, two = track_of(first, flipped), track_of(second, flipped)
    fits = _fits(one, two, vx, vy, play or 0.0)
    order = np.lexsort((np.hypot(vx[fits.row], vy[fits.row]), fits.turn))
    k = fits.row[order]
    return PoseTable(
        first.id,
        second.id,
        flipped,
        linked(one, two),
        grid,
        dx[k],
        dy[k],
        *(a[order] for a in fits[1:]),
    )


@lru_cache(maxsize=16)
def _offsets(grid: Grid) -> tuple[IntArray, IntArray]:
    """Every step from one hole of a grid to another."""
    up, across = np.mgrid[1 - grid.rows : grid.rows, 1 - grid.columns : grid.columns]
    other = (up != 0) | (across != 0)
    return across[other], up[other]


def _fits(one: Track, two: Track, vx: FloatArray, vy: FloatArray, play: float) -> Fits:
    if one.kind == "point":
        return about_all(one.x, one.y, two, vx, vy, play)
    if two.kind == "point":
        return about_all(two.x, two.y, one, -vx, -vy, play)
    return slots_all(one, two, vx, vy, play)
