"""What all ways of making an angle share: the task, the ranking, and making an answer.

It knows no particular way.
"""

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np
from msgspec import Struct

from gridjig.model import Hole, Table
from gridjig.rack import Piece, Rack
from gridjig.solve.grid.directions import FloatArray, IntArray
from gridjig.solve.tolerance import judge

from .answers import (
    GRAIN,
    AlongFace,
    AngleAnswer,
    AngleLimits,
    AngleWay,
    AnswerPiece,
    Chord,
    CutPlate,
    TakenPiece,
)
from .hole_field import HoleField, beside_by


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
        """How many of a piece are left on the rack."""
        return max(piece.owned - self.used.get(piece.id, 0), 0)

    def enough(self, needs: Mapping[str, int]) -> bool:
        """True if the rack has these pieces, or does not have to."""
        return not self.limits.only_left or all(
            self.left(self.pieces[piece]) >= count for piece, count in needs.items()
        )


class Batch(Struct, frozen=True, eq=False):
    """Answers of one way as columns, so that thousands can be ranked before any is built.

    `error` and `setting` in degrees, `base` in mm; `build` makes one of them an answer.
    `looked_at` is how many answers the way has within the limits, including those not listed.
    """

    way: AngleWay
    error: FloatArray
    setting: FloatArray
    base: FloatArray
    pieces: IntArray
    build: Callable[[int], AngleAnswer]
    looked_at: int

    def __len__(self) -> int:
        return int(self.error.size)


def end_error(degrees: float, leg: float) -> float:
    """An angle error as mm at the end of a leg, by the tangent as the tolerance standard has it."""
    return leg * math.tan(math.radians(max(-89.0, min(89.0, degrees))))


def ranks(off: FloatArray, leg: float) -> FloatArray:
    """Errors (degrees, setting included) as whole steps of GRAIN mm at the end of the leg."""
    return np.asarray(np.rint(leg * np.tan(np.radians(np.minimum(np.abs(off), 89.0))) / GRAIN))


def rank(off: float, leg: float) -> float:
    """Like `ranks`, for one error."""
    return float(ranks(np.array([off]), leg)[0])


def order(
    error: FloatArray, setting: FloatArray, base: FloatArray, pieces: IntArray, leg: float
) -> IntArray:
    """Best first: by error at the leg's end, then the longest base, then the fewest pieces."""
    return np.lexsort(
        (np.abs(error), pieces, np.round(-base, 3), ranks(np.abs(error) + setting, leg))
    )


def best_few(error: FloatArray, top: int, leg: float) -> tuple[IntArray, float]:
    """The indices of the errors (degrees) that can rank in the first `top`, and the last rank.

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
    """The pieces with how often they occur and how many are left on the rack."""
    counted = Counter(needs)
    return tuple(
        TakenPiece(piece, count, task.left(task.pieces[piece])) for piece, count in counted.items()
    )


def off_face(
    table: Table, along: AlongFace | None, holes: Sequence[Hole], line: tuple[float, ...]
) -> tuple[float, ...]:
    """How far a line at these distances from holes is inside the member's face, mm at each hole.

    It is negative where the line falls short of the face; () without a face.
    """
    if along is None:
        return ()
    points = np.array([table.at(hole) for hole in holes[: len(line)]]).reshape(-1, 2)
    gaps = beside_by(along, points[:, 0], points[:, 1])
    return tuple(at - gap for at, gap in zip(line, gaps.tolist(), strict=True))


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
    note: str = "",
) -> AngleAnswer:
    """Makes an answer from error, setting and play in degrees, as arc-minutes and as mm."""
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
        note=note,
    )
