"""What grips every part of a job, and which parts are one body; sorted once for every question."""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache

from gridjig.contact.values import JobContacts, PartContact
from gridjig.model import Job, Part
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.placed.placed_piece import PlacedPiece

from .grips import Grip, Neighbours, neighbour_grips, piece_grips
from .order import corners_of, loading_orders


class Ground:
    """The grips on every part of a job, sorted once for all that is asked about them."""

    def __init__(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
    ) -> None:
        touching: dict[str, list[Grip]] = {}
        near: dict[str, list[Grip]] = {}
        for piece, own in contacts.pieces.items():
            for part, grip in piece_grips(own, placed_pieces[piece]):
                (touching if grip.touches else near).setdefault(part, []).append(grip)
        self.corners = {part.id: corners_of(part) for part in job.parts}
        self.touching = {part: tuple(some) for part, some in touching.items()}
        self.near = {part: tuple(some) for part, some in near.items()}
        self.neighbours: Neighbours = neighbour_grips(contacts.parts)
        self.orders = loading_orders(job, self.touching, self.neighbours, contacts.parts)

    def grips(self, part: str, before: Mapping[str, int]) -> tuple[Grip, ...]:
        """What touches a part, first the parts loaded before it: `before` has their numbers."""
        number = before[part]
        others = tuple(
            grip
            for grip in self.neighbours.get(part, ())
            if grip.touches and before.get(grip.id, math.inf) < number
        )
        return (*others, *self.touching.get(part, ()))

    def standing_near(self, part: str, before: Mapping[str, int]) -> tuple[Grip, ...]:
        """What stands in front of a part without touching it, of pieces and parts before it."""
        number = before[part]
        beside = tuple(
            grip
            for grip in self.neighbours.get(part, ())
            if not grip.touches and before.get(grip.id, math.inf) < number
        )
        return (*beside, *self.near.get(part, ()))


def ground_of(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> Ground:
    """The grips of a job; the same values give the same ground."""
    return _ground_of(Same(job), Same(placed_pieces), Same(contacts))


@lru_cache(maxsize=2)
def _ground_of(
    job: Same[Job], placed: Same[Mapping[str, PlacedPiece]], contacts: Same[JobContacts]
) -> Ground:
    return Ground(job.value, placed.value, contacts.value)


def bodies_of(parts: Sequence[Part], joined: Sequence[PartContact]) -> list[tuple[Part, ...]]:
    """The parts of a weldment that are joined to each other, in job order; no lone parts."""
    of = {part.id: {part.id} for part in parts}
    for one in joined:
        if one.a in of and one.b in of and of[one.a] is not of[one.b]:
            small, large = sorted((of[one.a], of[one.b]), key=len)
            large |= small
            for moved in small:
                of[moved] = large
    bodies: dict[int, list[Part]] = {}
    for part in parts:
        bodies.setdefault(id(of[part.id]), []).append(part)
    return [tuple(body) for body in bodies.values() if len(body) > 1]


def body_corners(parts: Sequence[Part]) -> tuple[Point, ...]:
    """The corners of the box around several parts."""
    points = [point for part in parts for point in corners_of(part)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    low, high = (min(xs), min(ys)), (max(xs), max(ys))
    return (low, (high[0], low[1]), high, (low[0], high[1]))
