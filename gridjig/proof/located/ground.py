"""What grips every part of a job, and which parts are one body; sorted once for every question."""

import math
from collections.abc import Mapping
from functools import lru_cache

from msgspec import Struct

from gridjig.contact.carrying import weight_of
from gridjig.contact.values import JobContacts, PartContact
from gridjig.model import Job, Part
from gridjig.rack.same import Same
from gridjig.solve.placed.placed_piece import PlacedPiece

from .body import BodyCorners, box_of
from .grips import Grip, PartGrips, neighbour_grips, piece_grips, touching_of
from .order import corners_of, loading_orders


class Gripped:
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
        self.neighbours: PartGrips = neighbour_grips(contacts.parts)
        self.beside = touching_of(self.neighbours)
        self.orders = loading_orders(job, self.touching, self.neighbours, contacts.parts)

    def grips(self, part: str, before: Mapping[str, int]) -> tuple[Grip, ...]:
        """What touches a part, first the parts loaded before it: `before` has their numbers."""
        number = before[part]
        others = tuple(
            grip for grip in self.beside.get(part, ()) if before.get(grip.id, math.inf) < number
        )
        return (*others, *self.touching.get(part, ()))

    def all_grips(self, part: str) -> tuple[Grip, ...]:
        """What touches a part once everything is loaded."""
        return (*self.beside.get(part, ()), *self.touching.get(part, ()))

    def standing_near(self, part: str, before: Mapping[str, int]) -> tuple[Grip, ...]:
        """What stands in front of a part without touching it, of pieces and parts before it."""
        number = before[part]
        beside = tuple(
            grip
            for grip in self.neighbours.get(part, ())
            if not grip.touches and before.get(grip.id, math.inf) < number
        )
        return (*beside, *self.near.get(part, ()))


def ground_of(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> Gripped:
    """The grips of a job; the same values give the same ground."""
    return _ground_of(Same(job), Same(placed_pieces), Same(contacts))


@lru_cache(maxsize=2)
def _ground_of(
    job: Same[Job], placed: Same[Mapping[str, PlacedPiece]], contacts: Same[JobContacts]
) -> Gripped:
    return Gripped(job.value, placed.value, contacts.value)


LinkedParts = tuple[Part, ...]
"""The parts of a weldment that are joined to each other, in job order."""


def bodies_of(parts: LinkedParts, joined: tuple[PartContact, ...]) -> tuple[LinkedParts, ...]:
    """The bodies of two parts and more that some parts make; the same input, the same tuples."""
    return _bodies_of(Same(parts), Same(joined))


@lru_cache(maxsize=64)
def _bodies_of(
    key: Same[LinkedParts], joined: Same[tuple[PartContact, ...]]
) -> tuple[LinkedParts, ...]:
    of = {part.id: {part.id} for part in key.value}
    for one in joined.value:
        if one.a in of and one.b in of and of[one.a] is not of[one.b]:
            small, large = sorted((of[one.a], of[one.b]), key=len)
            large |= small
            for moved in small:
                of[moved] = large
    bodies: dict[int, list[Part]] = {}
    for part in key.value:
        bodies.setdefault(id(of[part.id]), []).append(part)
    return tuple(tuple(body) for body in bodies.values() if len(body) > 1)


class OneBody(Struct, frozen=True, eq=False):
    """Several parts as one body: the corners of the box around them, and their mass, kg."""

    corners: BodyCorners
    mass: float
    ids: tuple[str, ...]


def whole_of(parts: LinkedParts) -> OneBody:
    """Some parts as one body; the same tuple gives the same value."""
    return _whole_of(Same(parts))


@lru_cache(maxsize=1024)
def _whole_of(key: Same[LinkedParts]) -> OneBody:
    box = box_of(point for part in key.value for point in corners_of(part).points)
    return OneBody(
        box,
        sum(weight_of(part).mass for part in key.value),
        tuple(part.id for part in key.value),
    )
