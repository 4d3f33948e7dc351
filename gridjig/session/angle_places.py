"""Where an answer of the angle finder can stand on a job's table, and setting it there.

Pure: a job goes in and another comes out.  What fouls is asked of the one conflict relation.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from msgspec import structs

from gridjig.checks.conflicts import refusal
from gridjig.edits.placements import place
from gridjig.edits.things import new_id
from gridjig.geometry.parts import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Job, Placement
from gridjig.model.marks import mark_index
from gridjig.rack import Point
from gridjig.solve import Stand, stand
from gridjig.solve.angle import places, set_up
from gridjig.solve.angle_values import Answer, Limits
from gridjig.solve.reach import ReachAngle

Holes = tuple[Hole, ...]
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Room:
    """Where an answer can stand without fouling, the nearest to what was asked for first.

    `places` is how many places have free holes, fouling or not; `why` is the first reason in words
    why one of them will not do, empty if all do.
    """

    found: tuple[Holes, ...]
    places: int
    why: str


def room_for(job: Job, stands: Mapping[str, Stand], answer: Answer, limits: Limits) -> Room:
    """All places of an answer, less those where a piece of it would foul what is placed.

    A place whose pieces come near nothing is as good as the first one; only the others are asked
    of the conflict relation one by one.  A cut plate is judged by its holes alone.
    """
    every = places(job.table, answer, limits=limits)
    near = _by_nearness(job, every, limits.near)
    if not answer.standing:
        return Room(tuple(near), len(near), "")
    close = _close(job, stands, answer, near)
    marked = mark_index(job.table)
    taken = {hole for s in stands.values() for hole in s.holes}
    found: list[Holes] = []
    why = ""
    for holes, suspect in zip(near, close, strict=True):
        if suspect or any(h in marked or h in taken for h in holes):
            refused = _refused(job, stands, answer, holes)
            why = why or refused or ""
            if refused is not None:
                continue
        found.append(holes)
    return Room(tuple(found), len(near), why)


def _by_nearness(job: Job, every: Iterable[Holes], near: Point | None) -> list[Holes]:
    found = list(every)
    if near is None:
        return found

    def away(holes: Holes) -> float:
        x = [job.table.at(h)[0] for h in holes[:2]]
        y = [job.table.at(h)[1] for h in holes[:2]]
        return round(math.hypot(sum(x) / 2 - near[0], sum(y) / 2 - near[1]), 3)

    return sorted(found, key=away)


def _refused(job: Job, stands: Mapping[str, Stand], answer: Answer, holes: Holes) -> str | None:
    """The first reason why the answer cannot stand in these holes."""
    for placement in _placements(job, answer, holes):
        refused = refusal(job, stands, placement)
        if refused is not None:
            return refused
    return None


def _close(
    job: Job, stands: Mapping[str, Stand], answer: Answer, every: list[Holes]
) -> Iterable[bool]:
    """For each place: does the box of a piece there meet the box of anything that is placed."""
    if not every:
        return []
    others = np.array([*_boxes_on(job, stands)]).reshape(-1, 4)
    x0, y0 = job.table.at(every[0][0])
    shift = np.array([job.table.at(h[0]) for h in every]) - (x0, y0)
    met = np.zeros(len(every), dtype=np.bool_)
    for placement in _placements(job, answer, every[0]):
        here = stand(job.table, job.rack, placement, job.display)
        if here.fault is not None:
            return [True] * len(every)
        for box in _boxes(here):
            low, high = shift + box[:2], shift + box[2:]
            apart = (
                (low[:, None, 0] > others[None, :, 2])
                | (high[:, None, 0] < others[None, :, 0])
                | (low[:, None, 1] > others[None, :, 3])
                | (high[:, None, 1] < others[None, :, 1])
            )
            met |= ~apart.all(axis=1)
    return [bool(m) for m in met]


def _boxes_on(job: Job, stands: Mapping[str, Stand]) -> Iterator[Box]:
    for one in stands.values():
        if one.fault is None:
            yield from _boxes(one)
    for part in job.outlines:
        yield bounds(part_ring(part))


def _boxes(one: Stand) -> Iterator[Box]:
    for solid in one.solids:
        yield bounds(solid.points)


# -- setting -------------------------------------------------------------------------------------


def _placements(job: Job, answer: Answer, holes: Holes) -> tuple[Placement, ...]:
    taken: list[str] = []
    for how in answer.standing:
        taken.append(new_id(job, how.piece, taken))
    return set_up(answer, taken, holes)


def with_answer(
    job: Job, answer: Answer, holes: Holes = (), note: str = ""
) -> tuple[Job, frozenset[str]]:
    """The job with the answer set up in these holes (else in its own), and the ids that came.

    `note` goes to the first piece: what is to be measured when it is set.
    """
    made = _placements(job, answer, holes)
    for index, placement in enumerate(made):
        job = place(job, structs.replace(placement, note=note) if not index else placement)
    return job, frozenset(p.id for p in made)


# -- an arm goes to an angle that it reaches -----------------------------------------------------


def at_angle(placement: Placement, reach: ReachAngle, angle: float) -> Placement:
    """The placement in the seats of a reach angle, its face's body turned to `angle`.

    `angle` is that of the body that carries the face, degrees, somewhere in low..high.
    """
    on = min(max(angle - reach.low, 0.0), reach.high - reach.low)
    at = reach.low + on
    if reach.leaf is None:
        return structs.replace(
            placement, seats=reach.seats, flipped=reach.flipped, turn=_wrapped(at)
        )
    first, last = reach.leaf
    leaf = first + math.copysign(on, last - first)
    base = at + leaf if reach.flipped else at - leaf
    return structs.replace(
        placement, seats=reach.seats, flipped=reach.flipped, turn=_wrapped(base), leaf=leaf
    )


def nearest_in(reach: ReachAngle, line: float, own: float) -> float:
    """The body angle in a reach angle's range at which a face lies nearest to a line; degrees.

    `own` is the direction of the face in its body, as it lies (mirrored if flipped).
    """
    best, off = reach.low, math.inf
    for half in (0.0, 180.0):
        body = reach.low + (line + half - own - reach.low) % 360.0
        for candidate in (body, reach.low, reach.high):
            if candidate > reach.high + 1e-9:
                continue
            away = abs((candidate + own - line + 90.0) % 180.0 - 90.0)
            if away < off - 1e-9:
                best, off = candidate, away
    return best


def _wrapped(degrees: float) -> float:
    return -math.remainder(-degrees, 360.0) + 0.0
