"""Shared by all ways of making an angle: the task, the ranking, and making an answer.

Knows no particular way.
"""

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np
from msgspec import Struct

from gridjig.model import Hole, Table
from gridjig.rack import Piece, Rack
from gridjig.solve.grid.directions import BoolArray, FloatArray, IntArray
from gridjig.solve.tolerance import judge, limit_arcmin

from .answers import (
    GRAIN,
    AngleAnswer,
    AngleLimits,
    AngleWay,
    AnswerPiece,
    Chord,
    CutPlate,
    SetHow,
    TakenPiece,
)
from .hole_field import HoleField


class AngleTask(Struct, frozen=True, eq=False):
    """A wanted line direction on a table, within limits, from a rack."""

    table: Table
    rack: Rack
    angle: float
    limits: AngleLimits
    field: HoleField
    used: Mapping[str, int]
    pieces: Mapping[str, Piece]

    @property
    def longest(self) -> float:
        """The longest base that can occur, mm."""
        return min(self.limits.base_to, self.field.grid.diagonal)

    def left(self, piece: Piece) -> int:
        """Return how many of a piece are left on the rack."""
        return max(piece.owned - self.used.get(piece.id, 0), 0)

    def enough(self, needs: Mapping[str, int]) -> bool:
        """True if the rack has these pieces, or does not need to."""
        return not self.limits.only_left or all(
            self.left(self.pieces[piece]) >= count for piece, count in needs.items()
        )


class Batch(Struct, frozen=True, eq=False):
    """Answers of one way as columns, so that thousands can be ranked before any is built.

    `error` and `setting` are in degrees, `base` in mm; `build` makes one of them.  `looked_at` is
    how many answers the way has within the limits, including those too far off to be listed.

    Along a face: `gap` mm is what has to be packed, `level` how good it is (`levels`), and `uses`
    has a number for each piece of each answer, the same for the same piece in the same holes, so
    that a blocked piece is not checked again.  `place` is the same for answers that a user would
    consider the same: the holes of two pins, or a piece and its holes.
    """

    way: AngleWay
    error: FloatArray
    setting: FloatArray
    base: FloatArray
    pieces: IntArray
    build: Callable[[int], AngleAnswer]
    looked_at: int
    gap: FloatArray | None = None
    level: IntArray | None = None
    uses: IntArray | None = None
    place: Sequence[object] = ()

    def __len__(self) -> int:
        return int(self.error.size)


def end_error(degrees: float, leg: float) -> float:
    """Return an angle error as mm at the end of a leg, by the tangent as in the standard."""
    return leg * math.tan(math.radians(max(-89.0, min(89.0, degrees))))


def ranks(off: FloatArray, leg: float) -> FloatArray:
    """Return errors (degrees, setting included) as whole steps of GRAIN mm at the leg's end."""
    return np.asarray(np.rint(leg * np.tan(np.radians(np.minimum(np.abs(off), 89.0))) / GRAIN))


def rank(off: float, leg: float) -> float:
    """Like `ranks`, for one error."""
    return float(ranks(np.array([off]), leg)[0])


def order(
    error: FloatArray, setting: FloatArray, base: FloatArray, pieces: IntArray, leg: float
) -> IntArray:
    """Order answers by error at the leg's end, then the longest base, then the fewest pieces."""
    return np.lexsort(
        (np.abs(error), pieces, np.round(-base, 3), ranks(np.abs(error) + setting, leg))
    )


def levels(
    task: AngleTask, error: FloatArray, setting: FloatArray, play: FloatArray, well: BoolArray
) -> IntArray:
    """Rate answers by their angles in degrees: 0 if within the class asked for (or D) even with
    play, and `well` (on the rack, and up to the face); 1 if only the angle is within the class; 2
    if it is not.
    """
    limit = limit_arcmin(task.limits.angle_class or "D", task.limits.judged_leg)
    off = (np.abs(error) + setting) * 60.0
    steady = np.round(off + play * 60.0, 3) <= limit
    return np.where(np.round(off, 3) > limit, 2, np.where(steady & well, 0, 1))


def best_few(error: FloatArray, top: int, leg: float) -> tuple[IntArray, float]:
    """Return the indices of errors (degrees) that can rank in the first `top`, and the last rank.

    All that tie with the last in GRAIN are kept, as their base decides.  An infinite error means
    not possible; the rank is infinite if fewer than `top` are possible.
    """
    size = np.abs(error).ravel()
    last = math.inf
    if size.size >= top:
        last = float(np.partition(size, top - 1)[top - 1])
    if last == math.inf:
        return np.flatnonzero(np.isfinite(size)), math.inf
    at = rank(last, leg)
    edge = math.degrees(math.atan((at + 0.5) * GRAIN / leg)) * (1.0 + 1e-12)
    return np.flatnonzero(size <= edge), at


def takes(task: AngleTask, needs: Iterable[str]) -> tuple[TakenPiece, ...]:
    """Return the pieces with how often they occur and how many are left on the rack."""
    counted = Counter(needs)
    return tuple(
        TakenPiece(piece, count, task.left(task.pieces[piece])) for piece, count in counted.items()
    )


def put_up(
    task: AngleTask,
    way: AngleWay,
    *,
    error: float,
    setting: float,
    play: float,
    base: float,
    holes: tuple[Hole, ...],
    steps: tuple[int, int],
    line: tuple[float, ...],
    standing: tuple[AnswerPiece, ...],
    needs: Iterable[str],
    places: int,
    fixed: bool = False,
    shims: tuple[float, float] = (0.0, 0.0),
    multiples: tuple[tuple[int, int], ...] = (),
    measure: Chord | None = None,
    plate: CutPlate | None = None,
    set_how: SetHow | None = None,
) -> AngleAnswer:
    """Make an answer from error, setting and play in degrees, as arc-minutes and as mm."""
    if abs(error) < 1e-9:
        error = 0.0
    limits = task.limits
    return AngleAnswer(
        way=way,
        holes=holes,
        steps=steps,
        angle_deg=(task.angle + error) % 180.0,
        error_arcmin=error * 60.0,
        error_mm=end_error(error, limits.leg),
        setting_arcmin=setting * 60.0,
        setting_mm=end_error(setting, limits.leg),
        play_arcmin=play * 60.0,
        play_mm=end_error(play, limits.leg),
        verdict=judge((abs(error) + setting) * 60.0, play * 60.0, limits.judged_leg),
        base_mm=base,
        line_mm=line,
        fixed=fixed,
        shims_mm=shims,
        takes=takes(task, needs),
        standing=standing,
        places=places,
        multiples=multiples,
        chord=measure,
        plate=plate,
        set_how=set_how,
    )
