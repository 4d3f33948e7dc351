"""Driving dimensions: typing the distance between two faces moves a part; dimension chains.

Dimensions are not stored in the job: they are measured when needed, and typing one is an edit.
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
"""Faces within this angle count as parallel: 0.2 mm in a metre."""

_CLOSED = 0.005
"""A chain closes if it misses its total by no more than this, mm."""


def gap(job: Job, one: FaceOf, other: FaceOf) -> float:
    """The distance in mm between two parallel faces, from the first to the middle of the second.

    Raises ValueError if they are not parallel.
    """
    return abs(_off(job, one, other)[0])


def set_gap(
    job: Job, fixed: FaceOf, moving: FaceOf, value: float, along: Set[str] = frozenset()
) -> Job:
    """Set the distance between two parallel faces, mm, by moving the part of the second.

    The part stays on its side; parts in `along` move with it.  Between the two ends of a member it
    changes the member's length.  Raises ValueError if that is not possible.
    """
    if value < 0:
        raise ValueError("a distance cannot be less than 0; choose the face on the other side")
    now, line = _off(job, fixed, moving)
    if fixed.part == moving.part:
        return _sized(job, fixed, moving, value)
    # Faces that touch have no side yet: the part goes outside the fixed face, to its right.
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
    """How far the middle of the other face is to the left of the first, and the first's line."""
    if one == other:
        raise ValueError("a distance needs two faces; choose another face")
    line = _line(job, one)
    a, b = part_edge(part_of(job, other.part), other.side)
    toward = _line(job, other).along
    sine = toward[0] * line.along[1] - toward[1] * line.along[0]
    if abs(sine) > math.sin(math.radians(PARALLEL_DEG)):
        raise ValueError(
            f"these faces of {title(job, one.part)} and {title(job, other.part)} are not parallel;"
            " choose two that are"
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
        raise ValueError(f"both faces belong to {name}; change its corners to resize it")
    if {fixed.side, moving.side} & set(mill_faces(part)):
        raise ValueError(f"both faces belong to {name}; its width is that of its section")
    left = mill_faces(part)[1]
    if (fixed.side < left) == (moving.side < left):
        raise ValueError(f"both faces are at one end of {name}; change how that end is cut")
    # The distance of parallel slanting ends is proportional to the length.
    longer = member.length * value / gap(job, fixed, moving)
    return set_length(job, part.id, longer, "start" if moving.side < left else "end")


class Chain(Struct, frozen=True):
    """A chain of dimensions as distances from its datum, mm, and its closing error.

    `misclosure` is the sum minus the given total; `says` is empty if it closes or no total was
    given.
    """

    ordinates: tuple[float, ...]
    misclosure: float = 0.0
    says: str = ""


def chain(
    values: Sequence[float], total: float | None = None, display: Display | None = None
) -> Chain:
    """Successive dimensions as ordinates from the datum, the first of which is 0.

    With a total, `says` reports the closing error, with lengths as `display` shows them.
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
