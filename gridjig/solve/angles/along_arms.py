"""Arms and other pieces with a face, set against a member's face where it lies.

At each place where an arm makes the angle, its face is a different distance from the work; only
places where it reaches the face, bare or packed, count.
"""

from collections import Counter

import numpy as np
from msgspec import structs

from gridjig.model import Hole
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import FloatArray, IntArray, off
from gridjig.solve.packing.pack import ROUNDING
from gridjig.solve.tolerance import limit_arcmin

from .answers import NEAR_ENOUGH, AlongFace, AngleAnswer, AngleWay
from .arm_lines import ArmLine, arm_lines
from .arms import Put, arm_answer, face_from_hole, put_to, usable_lines, windows
from .beside import IN_TOUCH, OPEN_MOST, Packs, packs_of
from .hole_field import beside_by, holes_within
from .task import AngleTask, Batch, levels

BEARS = 0.5
"""The share of a piece's face that must lie against the work.  Common practice, no source."""


def held_by_arms(task: AngleTask, along: AlongFace) -> list[Batch]:
    """Return every place where an arm makes the angle within the class (or D) and touches the face,
    bare or packed: "arm" if holes lock it, "scale" if it is set by hand.
    """
    locked, by_hand = arm_lines(Same(task.table), Same(task.rack))
    # The holes of a piece may be anywhere; only its face has to reach the work.
    anywhere = structs.replace(task.limits, along=None)
    everywhere = structs.replace(task, limits=anywhere, field=holes_within(task.table, anywhere))
    limit = limit_arcmin(task.limits.angle_class or "D", task.limits.judged_leg) / 60.0
    packs = packs_of(task)
    made: list[Batch] = []
    keep: IntArray
    if "arm" in task.limits.ways:
        keep = usable_lines(everywhere, locked)
        error = off(locked.angle[keep], task.angle)
        near = np.abs(error) <= limit
        fits = [locked.fits[k] for k in keep[near].tolist()]
        made += _batch(task, everywhere, along, packs, "arm", fits, error[near])
    if "scale" in task.limits.ways:
        keep = usable_lines(everywhere, by_hand)
        on = (task.angle - by_hand.angle[keep] + 1e-9) % 180.0 <= by_hand.spread[keep] + 2e-9
        fits = [by_hand.fits[k] for k in keep[on].tolist()]
        made += _batch(task, everywhere, along, packs, "scale", fits, np.zeros(len(fits)))
    return made


def _batch(
    task: AngleTask,
    everywhere: AngleTask,
    along: AlongFace,
    packs: Packs,
    way: AngleWay,
    fits: list[ArmLine],
    error: FloatArray,
) -> list[Batch]:
    """All places of these fits that touch the face."""
    puts = [put_to(task, line) for line in fits]
    found = [
        _places(everywhere, along, packs, line, put) for line, put in zip(fits, puts, strict=True)
    ]
    which = np.repeat(np.arange(len(fits)), [len(one[0]) for one in found])
    if not which.size:
        return []
    col, row, gap, far, stack = (np.concatenate([one[k] for one in found]) for k in range(5))
    setting, base, play = (
        np.array([getattr(line, name) for line in fits])[which]
        for name in ("setting", "base", "play")
    )
    here = np.array(
        [
            all(
                task.left(task.pieces[piece]) >= many
                for piece, many in Counter(line.mounted.needs).items()
            )
            for line in fits
        ]
    )
    needs = np.array([len(line.mounted.needs) for line in fits])[which]

    spots = [Hole(c, r) for c, r in zip(col.tolist(), row.tolist(), strict=True)]
    reaches = far - packs.every.total[stack] <= NEAR_ENOUGH

    def build(i: int) -> AngleAnswer:
        k, at = int(which[i]), spots[i]
        pack = packs.pieces(int(stack[i]))
        made = arm_answer(task, fits[k], puts[k], float(error[k]), at, 1, pack, True)
        thick = float(packs.every.total[stack[i]])
        return structs.replace(
            made,
            line_mm=tuple(at + thick for at in made.line_mm),
            shims_mm=(thick, 0.0),
            gap_mm=max(float(gap[i]), 0.0),
            open_mm=(float(far[i]) - thick,),
        )

    return [
        Batch(
            way,
            error[which],
            setting,
            base,
            needs + packs.every.pieces[stack],
            build,
            int(which.size),
            gap=np.maximum(gap, 0.0),
            place=[
                (fits[k].mounted.piece.id, frozenset(_holes(puts[k], at)))
                for k, at in zip(which.tolist(), spots, strict=True)
            ],
            level=levels(task, error[which], setting, play, here[which] & reaches),
        )
    ]


def _holes(put: Put, at: Hole) -> list[Hole]:
    """All holes of a piece whose first one is `at`."""
    return [at, *(Hole(at.col + m, at.row + n) for m, n in put.holes)]


def _places(
    task: AngleTask, along: AlongFace, packs: Packs, line: ArmLine, put: Put
) -> tuple[IntArray, IntArray, FloatArray, FloatArray, IntArray]:
    """The column and row of the first hole of each place that touches, the gaps at the near and at
    the far end of what lies before the work, and the stack.
    """
    g, (first_x, first_y) = task.field.grid, task.field.first
    piece, face = line.mounted.piece, face_from_hole(line.mounted, put.turn, put.leaf)
    both, left, low = windows(task.field, put.holes)
    rows, cols = np.nonzero(both)
    cols, rows = cols + left, rows + low
    x = np.asarray(first_x + cols * g.pitch_x, dtype=np.float64)
    y = np.asarray(first_y + rows * g.pitch_y, dtype=np.float64)
    gap, far = _gaps(along, x, y, face)
    total = packs.every.total
    stack = np.maximum(np.searchsorted(total, gap + ROUNDING, side="right") - 1, 0)
    heights = [f for f in piece.faces if f.body == int(line.mounted.leafed)]
    if not _packed_before(line) or not heights:
        stack[:] = 0
    fits = (gap >= -IN_TOUCH) & (gap - total[stack] <= OPEN_MOST)
    fits &= _bears(along, x, y, face) >= BEARS * line.mounted.length
    if not any(along.meets(f.z_low, f.z_high) for f in heights):
        fits[:] = False
    return cols[fits], rows[fits], gap[fits], far[fits], stack[fits]


def _gaps(
    along: AlongFace, x: FloatArray, y: FloatArray, face: tuple[Point, Point]
) -> tuple[FloatArray, FloatArray]:
    """How near a piece's face comes to the work at each place, and how far from it its other end
    stays, mm, counting only what is in front of the work from end to end.
    """
    (ax, ay), (bx, by) = along.a, along.b
    length = float(np.hypot(bx - ax, by - ay))
    ux, uy = (bx - ax) / length, (by - ay) / length
    on, off = (
        [np.asarray(v, dtype=np.float64) for v in ends]
        for ends in (
            [(x + dx - ax) * ux + (y + dy - ay) * uy for dx, dy in face],
            [beside_by(along, x + dx, y + dy) for dx, dy in face],
        )
    )
    run = np.where(np.abs(on[1] - on[0]) > 1e-9, on[1] - on[0], 1.0)
    ends = [np.clip((np.clip(at, 0.0, length) - on[0]) / run, 0.0, 1.0) for at in on]
    one, other = (off[0] + (off[1] - off[0]) * part for part in ends)
    return np.asarray(np.minimum(one, other)), np.asarray(np.maximum(one, other))


def _packed_before(line: ArmLine) -> bool:
    """True if the face that makes the line is the one that takes the packing."""
    piece, mounted = line.mounted.piece, line.mounted
    if not piece.faces:
        return False
    (ax, ay), (bx, by) = piece.faces[0].a, piece.faces[0].b
    own = ((bx, -by), (ax, -ay)) if mounted.flipped else ((ax, ay), (bx, by))
    return own == mounted.face


def _bears(
    along: AlongFace, x: FloatArray, y: FloatArray, face: tuple[tuple[float, float], ...]
) -> FloatArray:
    """How much of a piece's face is in front of free stretches of the work at each place, mm."""
    (ax, ay), (bx, by) = along.a, along.b
    length = float(np.hypot(bx - ax, by - ay))
    ux, uy = (bx - ax) / length, (by - ay) / length
    on = [(x + dx - ax) * ux + (y + dy - ay) * uy for dx, dy in face]
    low, high = np.minimum(*on), np.maximum(*on)
    found = np.zeros(x.shape)
    for start, end in along.stretches or ((0.0, length),):
        found += np.maximum(np.minimum(high, end) - np.maximum(low, start), 0.0)
    return np.asarray(found)
