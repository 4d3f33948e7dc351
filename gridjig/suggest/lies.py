"""Where the work may lie: as it does, or at the places that need the least packing.

Work that runs askew to the grid is first turned along it, by the direction that most of its long
faces have, and by the next one if that has nearly as much.  Face down is tried where it is allowed.
"""

import math
from collections.abc import Iterator
from itertools import chain, zip_longest

from msgspec import Struct, structs

from gridjig.edits.weldment import flip, middle, put, turn
from gridjig.geometry import unit
from gridjig.model import Job
from gridjig.rack import Point
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.places import WeldmentPlace, weldment_places
from gridjig.solve.weldment.faces import ALIGNED, faces
from gridjig.units.progress import Progress

from .values import Wishes

MOST = 4
"""How many places are considered, besides the one where the work lies."""
NEARLY = 0.5
"""A direction is tried too if its faces are so long, against those of the longest together."""
SAME_WAY = math.degrees(ALIGNED)
"""Directions that differ by less are the same, degrees."""


class Lie(Struct, frozen=True, eq=False):
    """A job with its work at a place: turned over if `flipped`, turned by `turn` degrees about the
    middle of its box, moved by `shift` mm.
    """

    job: Job
    shift: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0
    flipped: bool = False


def lies(job: Job, wishes: Wishes, progress: Progress) -> list[Lie]:
    """Return the places to consider, the most promising first."""
    bare = job if wishes.keep else structs.replace(job, placements=())
    here = Lie(bare)
    if wishes.keep or not wishes.move:
        return [here]
    ways = [_places(bare, start, progress) for start in _starts(bare, wishes)]
    every = [lie for lie in chain.from_iterable(zip_longest(*ways)) if lie is not None][:MOST]
    if not every:
        return [here]
    if any(_still(lie) for lie in every):
        return every
    return [here, *every] if _as_good(bare, every[0]) else [*every, here]


def _still(lie: Lie) -> bool:
    return abs(lie.turn) < 1e-9 and max(map(abs, lie.shift)) < 1e-6 and not lie.flipped


def _as_good(bare: Job, best: Lie) -> bool:
    """True if nothing is gained by moving the work."""
    if best.flipped or best.turn % 90.0:
        return False
    try:
        now = weldment_places(bare, flips=False, turns=(0,), top=1).now
        then = weldment_places(best.job, flips=False, turns=(0,), top=1).now
    except LayoutFault:
        return True
    return (now.over > 0.0, now.packed, now.blocked) <= (False, then.packed, then.blocked)


def _starts(bare: Job, wishes: Wishes) -> list[Lie]:
    """How the work is turned before it is moved: as it lies, along the grid, face down."""
    middle_now = middle(bare)
    made = [
        Lie(turn(bare, -by, middle_now), turn=-by) if by else Lie(bare) for by in directions(bare)
    ]
    if wishes.face_down:
        x, y = middle_now
        over = flip(bare, (x, y), (x, y + 1.0))
        down = [
            Lie(turn(over, -by, middle_now), turn=-by, flipped=True) for by in directions(over)[:1]
        ]
        raised = [sum(part.z_low > 1e-6 for part in job.parts) for job in (over, bare)]
        made = [*down, *made] if raised[0] < raised[1] else [*made[:1], *down, *made[1:]]
    return made


def directions(job: Job) -> list[float]:
    """The directions of the work's long faces, degrees from the grid, the commonest first.

    Those of quarter turns are one.  Only the first, and the next if that has nearly as much.
    """
    found: list[tuple[float, float]] = []
    every = faces(job.parts)
    for face in [face for face in every if face.mill] or every:
        at = math.degrees(math.atan2(face.normal[1], face.normal[0])) % 90.0
        at = at - 90.0 if at > 45.0 else at
        for n, (known, length) in enumerate(found):
            if abs(math.remainder(known - at, 90.0)) <= SAME_WAY:
                found[n] = (known, length + face.length)
                break
        else:
            found.append((0.0 if abs(at) <= SAME_WAY else at, face.length))
    found.sort(key=lambda one: (-round(one[1], 1), abs(one[0])))
    longest = found[0][1] if found else 0.0
    return [at for at, length in found[:2] if length >= NEARLY * longest] or [0.0]


def _places(bare: Job, start: Lie, progress: Progress) -> list[Lie]:
    """The best places of the work turned like this."""
    try:
        found = weldment_places(start.job, flips=False, top=MOST, progress=progress)
    except LayoutFault:
        return []
    return list(_put(bare, start, [one for one in found.found if one.over <= 0.0]))


def _put(bare: Job, start: Lie, places: list[WeldmentPlace]) -> Iterator[Lie]:
    about = middle(bare)
    for one in places:
        x, y = _turned(about, one.about, one.turn)
        shift = (x + one.dx - about[0], y + one.dy - about[1])
        by = math.remainder(start.turn + one.turn, 360.0) % 360.0
        yield Lie(put(start.job, one), shift, by, start.flipped)


def _turned(p: Point, about: Point, degrees: float) -> Point:
    c, s = unit(degrees)
    x, y = p[0] - about[0], p[1] - about[1]
    return (about[0] + c * x - s * y, about[1] + s * x + c * y)
