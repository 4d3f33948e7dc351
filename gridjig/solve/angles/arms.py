"""Lines made by pieces with a face: pinned in a pivot hole and a lock hole, or set by hand.

The lines are computed once for each table and rack; here they are ranked and made into answers.
"""

import math
from collections import Counter
from typing import Literal

import numpy as np
from msgspec import Struct

from gridjig.geometry import Pose, wrap
from gridjig.model import Hole
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import BoolArray, FloatArray, IntArray, off
from gridjig.solve.mounting.track import track_of
from gridjig.units import INCH
from gridjig.units.progress import look

from .answers import AngleAnswer, AnswerPiece, Chord, SetHow, chord
from .arm_lines import ArmLine, ArmLines, MountedFace, arm_lines, distance
from .hole_field import HoleField, within
from .task import AngleTask, Batch, best_few, order, put_up


def arms(task: AngleTask) -> Batch | None:
    """Return the answers of arms, bevels and other pieces with a face, locked by holes."""
    lines, _ = arm_lines(Same(task.table), Same(task.rack))
    keep = usable_lines(task, lines)
    error = off(lines.angle[keep], task.angle)
    few, _ = best_few(error, task.limits.top, task.limits.leg)
    return _batch(task, lines, keep[few], error[few], "arm")


def scales(task: AngleTask) -> Batch | None:
    """Return the answers of arms set by scale, or turned about their pivot and measured."""
    _, lines = arm_lines(Same(task.table), Same(task.rack))
    keep = usable_lines(task, lines)
    on = (task.angle - lines.angle[keep] + 1e-9) % 180.0 <= lines.spread[keep] + 2e-9
    keep = keep[on]
    return _batch(task, lines, keep, np.zeros(keep.size), "scale")


def _batch(
    task: AngleTask, lines: ArmLines, at: IntArray, error: FloatArray, way: Literal["arm", "scale"]
) -> Batch | None:
    if not at.size:
        return None
    setting, base, pieces = lines.setting[at], lines.base[at], lines.pieces[at]
    chosen = order(error, setting, base, pieces, task.limits.leg)[: task.limits.top]

    def build(i: int) -> AngleAnswer:
        k = int(chosen[i])
        return _answer(task, lines.fits[int(at[k])], float(error[k]))

    return Batch(
        way,
        error[chosen],
        setting[chosen],
        base[chosen],
        pieces[chosen],
        build,
        len(lines.fits),
    )


def usable_lines(task: AngleTask, lines: ArmLines) -> IntArray:
    """Return the lines that have a base within the limits, a place, and their piece on the rack."""
    if not lines.fits:
        return np.empty(0, dtype=np.int64)
    limits = task.limits
    keep = within(lines.base, limits.base_from, limits.base_to)
    keep &= task.field.count(lines.across, lines.up) > 0
    if lines.three.size:
        keep &= _roomy(task, lines)
    if limits.only_left:
        left = {m: task.enough(Counter(m.needs)) for m in {f.mounted for f in lines.fits}}
        keep &= np.array([left[f.mounted] for f in lines.fits])
    return np.flatnonzero(keep)


def _roomy(task: AngleTask, lines: ArmLines) -> BoolArray:
    """The lines that have a place for all their holes; cached with the field."""
    field = task.field

    def work() -> BoolArray:
        roomy = np.ones(len(lines.fits), dtype=np.bool_)
        known: dict[tuple[tuple[int, int], ...], bool] = {}
        for k in lines.three.tolist():
            holes = lines.fits[k].holes
            if holes not in known:
                look()
                known[holes] = bool(together(field, holes))
            roomy[k] = known[holes]
        return roomy

    return field.keep(("three", Same(lines)), np.ndarray, work)


def together(field: HoleField, steps: tuple[tuple[int, int], ...]) -> int:
    """Return how many places there are for a first hole and others these steps from it."""
    return int(np.count_nonzero(windows(field, steps)[0]))


def windows(field: HoleField, steps: tuple[tuple[int, int], ...]) -> tuple[BoolArray, int, int]:
    """Return where all holes are usable at once, and the column and row of that window's corner."""
    across = (0, *(m for m, _ in steps))
    up = (0, *(n for _, n in steps))
    g = field.grid
    columns, rows = g.columns - max(across) + min(across), g.rows - max(up) + min(up)
    if columns <= 0 or rows <= 0:
        return np.zeros((0, 0), dtype=np.bool_), 0, 0
    both = np.ones((rows, columns), dtype=np.bool_)
    for m, n in zip(across, up, strict=True):
        r, c = n - min(up), m - min(across)
        both &= field.usable[r : r + rows, c : c + columns]
    return both, -min(across), -min(up)


class Put(Struct, frozen=True):
    """A fit turned to the wanted angle: how the piece stands, and the steps to its other holes."""

    turn: float
    leaf: float
    holes: tuple[tuple[int, int], ...]


def put_to(task: AngleTask, line: ArmLine) -> Put:
    """Return the fit, turned half round if needed to put the piece on the pins' side."""
    mounted = line.mounted
    # A piece lies on the left of its face; for pins on the right the face is reversed.
    wished = task.angle + (180.0 if task.limits.side == "right" else 0.0)
    spread = line.high - line.low
    on = (task.angle - line.low) % 180.0 if spread else 0.0
    if spread and on > spread:  # the wanted angle is at an end of the range, up to rounding
        on = spread if on - spread < 1.0 else 0.0
    if on + 180.0 <= spread and abs(wrap(line.low + on - wished)) > 90.0:
        on += 180.0
    half = abs(wrap(line.low + on - wished)) > 90.0
    turn = line.turn + (180.0 if half else 0.0)
    leaf = line.leaf
    if mounted.leafed:
        leaf += -on if mounted.flipped else on
    else:
        turn += on
    return Put(turn, leaf, tuple((-m, -n) for m, n in line.holes) if half else line.holes)


def _answer(task: AngleTask, line: ArmLine, error: float) -> AngleAnswer:
    """The answer at the place nearest to the wanted point, or at the first place."""
    put = put_to(task, line)
    both, col, row = windows(task.field, put.holes)
    at = _first(task, both, col, row)
    return arm_answer(task, line, put, error, at, int(np.count_nonzero(both)))


def arm_answer(
    task: AngleTask,
    line: ArmLine,
    put: Put,
    error: float,
    at: Hole,
    places: int,
    packing: tuple[str, ...] = (),
    fixed: bool = False,
) -> AngleAnswer:
    """Return the answer of a fit in hole `at` and its other holes, with packing at its face."""
    mounted, holes = line.mounted, put.holes
    spread = line.high - line.low
    measure, how = _measure(task, line, put.leaf) if spread else (None, None)
    return put_up(
        task,
        "scale" if spread else "arm",
        error=error,
        setting=line.setting,
        play=line.play,
        base=line.base,
        holes=(at, *(Hole(at.col + m, at.row + n) for m, n in holes)),
        steps=holes[0],
        line=_distances(task, mounted, put.turn, put.leaf, holes),
        standing=(
            AnswerPiece(
                mounted.piece.id,
                tuple((f, i) for i, f in enumerate(mounted.features)),
                packing,
                turn=wrap(put.turn),
                flipped=mounted.flipped,
                slide=line.slide,
                leaf=put.leaf,
            ),
        ),
        needs=(*mounted.needs, *packing),
        places=places,
        fixed=fixed,
        measure=measure,
        set_how=how,
    )


def face_from_hole(mounted: MountedFace, turn: float, leaf: float) -> tuple[Point, Point]:
    """Return both ends of the face, mm from the centre of the first hole."""
    piece, mirror = mounted.piece, -1.0 if mounted.flipped else 1.0
    anchor = track_of(piece.mount(mounted.features[0]), mounted.flipped)
    base = Pose(0.0, 0.0, turn)
    face = mounted.face
    if mounted.leafed and piece.pivot is not None:
        x, y = piece.pivot.at
        on_base = Pose(x, y * mirror, leaf * mirror)
        face = (on_base.point(face[0]), on_base.point(face[1]))
    ax, ay = base.point((anchor.x, anchor.y))
    (x1, y1), (x2, y2) = base.point(face[0]), base.point(face[1])
    return (x1 - ax, y1 - ay), (x2 - ax, y2 - ay)


def _distances(
    task: AngleTask,
    mounted: MountedFace,
    turn: float,
    leaf: float,
    holes: tuple[tuple[int, int], ...],
) -> tuple[float, ...]:
    """How far the face's line passes from each hole, mm, positive outward of the piece."""
    face, g = face_from_hole(mounted, turn, leaf), task.field.grid
    spots = ((m * g.pitch_x, n * g.pitch_y) for m, n in ((0, 0), *holes))
    return tuple(distance(face, spot) for spot in spots)


def _first(task: AngleTask, both: BoolArray, col: int, row: int) -> Hole:
    """The first hole of the place nearest to the wanted point, or of the first place."""
    rows, cols = np.nonzero(both)
    best = 0
    if task.limits.near is not None:
        x, y = task.limits.near
        g, first = task.field.grid, task.field.first
        dx = first[0] + (cols + col) * g.pitch_x - x
        dy = first[1] + (rows + row) * g.pitch_y - y
        best = int(np.argmin(np.round(dx * dx + dy * dy, 6)))
    return Hole(int(cols[best]) + col, int(rows[best]) + row)


def _measure(task: AngleTask, line: ArmLine, leaf: float) -> tuple[Chord, SetHow]:
    """The chord to measure instead of the angle, and how the arm is set."""
    mounted = line.mounted
    pivot = (0.0, 0.0)
    if not mounted.leafed:
        track = track_of(mounted.piece.mount(mounted.features[0]), mounted.flipped)
        pivot = (track.x, track.y)
    (ax, ay), (bx, by) = mounted.face
    ux, uy = (bx - ax) / mounted.length, (by - ay) / mounted.length
    reach = max(abs((x - pivot[0]) * ux + (y - pivot[1]) * uy) for x, y in mounted.face)
    step = 10.0 if task.limits.display.unit == "millimetres" else INCH
    radius = max(1.0, math.floor(reach / step + 1e-9)) * step
    if mounted.leafed:
        return chord(radius, leaf), "by scale"
    return chord(radius, task.angle), "by hand"
