"""Driving dimensions: the distance between two faces, typed to move a part; chains of dimensions.

A dimension is no thing of the job: it is measured when asked, and typing it is one edit.
"""

import math
from collections.abc import Sequence, Set
from itertools import accumulate

from msgspec import Struct, structs

from gridjig.geometry.lines import Line, through
from gridjig.geometry.part_outline import mill_faces, part_edge
from gridjig.model import FaceOf, Job, Member
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.units import Display, dual_length

from .lookup import part_of
from .members import DIGITS, set_length

PARALLEL_DEG = 0.01
"""Faces this much out of parallel still have one distance: 0.2 mm over a metre."""

_CLOSED = 0.005
"""A chain that misses its total by no more than this closes, mm."""


def gap(job: Job, one: FaceOf, other: FaceOf) -> float:
    """Distance between two parallel faces in mm, from the first to the middle of the second.

    ValueError in words if they are not parallel.
    """
    return abs(_off(job, one, other)[0])


def set_gap(
    job: Job, fixed: FaceOf, moving: FaceOf, value: float, along: Set[str] = frozenset()
) -> Job:
    """Make the distance between two parallel faces that value, mm, by moving the second's part.

    It stays on the side where it is; parts named in `along` move with it.  Between the two ends of
    one member it changes the member's length.  ValueError in words if it cannot be.
    """
    if value < 0:
        raise ValueError("a distance is not less than 0; choose the face on the other side")
    now, line = _off(job, fixed, moving)
    if fixed.part == moving.part:
        return _sized(job, fixed, moving, value)
    # Faces that touch have no side yet: then it goes to the outside of the fixed one, its right.
    side = 1.0 if now > 10.0**-DIGITS else -1.0
    by = side * value - now
    if abs(by) <= 10.0**-DIGITS / 2.0:
        return job
    dx, dy = -line.along[1] * by, line.along[0] * by
    moves = {moving.part, *along} - {fixed.part}
    return structs.replace(
        job,
        parts=tuple(
            structs.replace(p, x=p.x + dx, y=p.y + dy) if p.id in moves else p for p in job.parts
        ),
    )


def _off(job: Job, one: FaceOf, other: FaceOf) -> tuple[float, Line]:
    """How far the middle of the other face lies to the left of the first, and the first's line."""
    if one == other:
        raise ValueError("a distance is taken between two faces; choose another face")
    line = _line(job, one)
    a, b = part_edge(part_of(job, other.part), other.side)
    toward = _line(job, other).along
    sine = toward[0] * line.along[1] - toward[1] * line.along[0]
    if abs(sine) > math.sin(math.radians(PARALLEL_DEG)):
        raise ValueError(
            f"these faces of {title(job, one.part)} and {title(job, other.part)} are not parallel;"
            " a distance needs two that are"
        )
    middle: Point = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    return line.off(middle), line


def _line(job: Job, face: FaceOf) -> Line:
    return through(*part_edge(part_of(job, face.part), face.side))


def _sized(job: Job, fixed: FaceOf, moving: FaceOf, value: float) -> Job:
    part = part_of(job, fixed.part)
    name = title(job, part.id)
    member = part if isinstance(part, Member) else None
    if member is None:
        raise ValueError(f"both faces are of {name}; change its corners to make it that size")
    if {fixed.side, moving.side} & set(mill_faces(part)):
        raise ValueError(f"both faces are of {name}; its section makes it as wide as it is")
    left = mill_faces(part)[1]
    if (fixed.side < left) == (moving.side < left):
        raise ValueError(f"both faces are at one end of {name}; change how that end is cut")
    # Parallel slanting ends are nearer than they are long: one grows as the other.
    longer = member.length * value / gap(job, fixed, moving)
    return set_length(job, part.id, longer, "start" if moving.side < left else "end")


class Chain(Struct, frozen=True):
    """A chain of dimensions as distances from its datum, mm, and by how much it does not close.

    `misclosure` is the sum less the total it should make; `says` is empty where it closes or no
    total was given.
    """

    ordinates: tuple[float, ...]
    misclosure: float = 0.0
    says: str = ""


def chain(
    values: Sequence[float], total: float | None = None, display: Display | None = None
) -> Chain:
    """Dimensions one after another as ordinates from the datum, which is the first, 0.

    With the total that they should make, what they miss it by is said, as `display` shows lengths.
    """
    ordinates = tuple(round(v, DIGITS) + 0.0 for v in accumulate(values, initial=0.0))
    if total is None:
        return Chain(ordinates)
    off = round(ordinates[-1] - total, DIGITS) + 0.0
    if abs(off) <= _CLOSED:
        return Chain(ordinates, off)
    shown = display or Display()
    added, asked, missing = (dual_length(v, shown) for v in (ordinates[-1], total, abs(off)))
    word = "over" if off > 0 else "short"
    says = (
        f"The chain does not close: it adds up to {added}, the total is {asked}; {missing} {word}."
    )
    return Chain(ordinates, off, says)
