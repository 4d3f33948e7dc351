"""Where the work may lie: as it does, or at the places that need the least packing.

Work that runs askew to the grid is first turned along it, by the direction that most of its long
faces have, and by the next one if that has nearly as much; by those of all its members if that is
asked for.  Face down is tried where it is allowed.  Several weldments are moved together, and each
by itself.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import chain, zip_longest

from msgspec import Struct, structs

from gridjig.edits.weldment import flip, middle, put, turn
from gridjig.geometry import unit
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Part
from gridjig.model.by_weldment import only, parts_of, several
from gridjig.rack import Point
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.places import WeldmentPlace, weldment_places
from gridjig.solve.weldment.faces import ALIGNED, faces
from gridjig.units.progress import SILENT, Progress

from .values import Moved, Wishes

MOST = 4
"""How many places are considered, besides the one where the work lies."""
MOST_TURNS = 8
"""How many directions of its members the work is turned along, if that is asked for."""
NEARLY = 0.5
"""A direction is tried too if its faces are so long, against those of the longest together."""
SAME_WAY = math.degrees(ALIGNED)
"""Directions that differ by less are the same, degrees."""


class Lie(Struct, frozen=True, eq=False):
    """A job with its work at a place: turned over if `flipped`, turned by `turn` degrees about the
    middle of its box, moved by `shift` mm.  Or each of its weldments by itself, by `moves`.
    """

    job: Job
    shift: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0
    flipped: bool = False
    moves: tuple[Moved, ...] = ()


def lies(job: Job, wishes: Wishes, progress: Progress) -> list[Lie]:
    """Return the places to consider, the most promising first."""
    bare = job if wishes.keep else structs.replace(job, placements=())
    here = Lie(bare)
    if wishes.keep or not wishes.move:
        return [here]
    starts = _starts(bare, wishes)
    ways = [[one] if (one := each_by_itself(bare, progress)) is not None else []]
    ways += [_places(bare, start, progress) for start in starts]
    most = max(MOST, len(starts) + 1)
    every = [lie for lie in chain.from_iterable(zip_longest(*ways)) if lie is not None][:most]
    if not every:
        return [here]
    if any(_still(lie) for lie in every):
        return every
    return [here, *every] if _as_good(bare, every[0]) else [*every, here]


def _still(lie: Lie) -> bool:
    still = abs(lie.turn) < 1e-9 and max(map(abs, lie.shift)) < 1e-6
    return still and not lie.flipped and not lie.moves


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
        Lie(turn(bare, -by, middle_now), turn=-by) if by else Lie(bare)
        for by in directions(bare, wishes.slopes)
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


def directions(job: Job, every_one: bool = False) -> list[float]:
    """The directions of the work's long faces, degrees from the grid, the commonest first.

    Those of quarter turns are one.  Only the first, and the next if that has nearly as much; or
    `every_one`, up to MOST_TURNS.
    """
    found: list[tuple[float, float]] = []
    some = faces(job.parts)
    for face in [face for face in some if face.mill] or some:
        at = math.degrees(math.atan2(face.normal[1], face.normal[0])) % 90.0
        at = at - 90.0 if at > 45.0 else at
        for n, (known, length) in enumerate(found):
            if abs(math.remainder(known - at, 90.0)) <= SAME_WAY:
                found[n] = (known, length + face.length)
                break
        else:
            found.append((0.0 if abs(at) <= SAME_WAY else at, face.length))
    found.sort(key=lambda one: (-round(one[1], 1), abs(one[0])))
    if every_one and found:
        return [at for at, _ in found[:MOST_TURNS]]
    longest = found[0][1] if found else 0.0
    return [at for at, length in found[:2] if length >= NEARLY * longest] or [0.0]


def _places(bare: Job, start: Lie, progress: Progress) -> list[Lie]:
    """The best places of the work turned like this; by its inner faces if no outer one is along
    the grid then.
    """
    for inner in (False, True):
        try:
            found = weldment_places(
                start.job, flips=False, inner=inner, top=MOST, progress=progress
            )
        except LayoutFault:
            continue
        return list(_put(bare, start, [one for one in found.found if one.over <= 0.0]))
    return []


def _put(bare: Job, start: Lie, places: list[WeldmentPlace]) -> Iterator[Lie]:
    about = middle(bare)
    for one in places:
        x, y = _turned(about, one.about, one.turn)
        shift = (x + one.dx - about[0], y + one.dy - about[1])
        by = math.remainder(start.turn + one.turn, 360.0) % 360.0
        yield Lie(put(start.job, one), shift, by, start.flipped)


def each_by_itself(bare: Job, progress: Progress = SILENT) -> Lie | None:
    """Several weldments, each moved to where it needs the least packing, the others where they are
    by then; None for a single one, or if none of them moves.

    Each is first turned along the grid.  It comes no nearer to the others than it is, or than a
    pitch; one that has no such place stays.
    """
    if not several(bare):
        return None
    job, moves = bare, []
    for name in [one.id for one in bare.weldments if parts_of(bare, one.id)]:
        found = _one_of_several(job, name, progress)
        if found is not None:
            job, moved = found
            moves.append(moved)
    return Lie(job, moves=tuple(moves)) if moves else None


def _one_of_several(job: Job, name: str, progress: Progress) -> tuple[Job, Moved] | None:
    mine, about = parts_of(job, name), middle(job, name)
    others = tuple(part for part in job.parts if part.weldment != name)
    by = -directions(only(job, name))[0]
    start = turn(job, by, about, name) if by else job
    apart = min(_gap(mine, others), job.table.pitch_x, job.table.pitch_y)
    try:
        found = weldment_places(
            only(start, name), flips=False, others=others, apart=apart, top=1, progress=progress
        )
    except LayoutFault:
        return None
    one = found.found[0]
    gained = by or _worth(one) < _worth(found.now)
    if one.over > 0.0 or not gained:
        return None
    return put(start, one, name), Moved(name, (one.dx, one.dy), (by + one.turn) % 360.0)


def _worth(place: WeldmentPlace) -> tuple[bool, int, int, int, int]:
    return (place.over > 0.0, place.critical_off, place.blocked, place.packed, place.pieces)


def _gap(mine: Sequence[Part], others: Sequence[Part]) -> float:
    """How far the box of some parts is from those of others, mm."""
    x0, y0, x1, y1 = bounds([p for part in mine for p in part_ring(part)])
    gaps = []
    for part in others:
        a0, b0, a1, b1 = bounds(part_ring(part))
        gaps.append(max(a0 - x1, x0 - a1, b0 - y1, y0 - b1, 0.0))
    return min(gaps, default=0.0)


def _turned(p: Point, about: Point, degrees: float) -> Point:
    c, s = unit(degrees)
    x, y = p[0] - about[0], p[1] - about[1]
    return (about[0] + c * x - s * y, about[1] + s * x + c * y)
