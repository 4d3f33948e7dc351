"""What grips every part of a job, and which parts are one body; sorted once for every question."""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache

from msgspec import Struct

from gridjig.contact.carrying import weight_of
from gridjig.contact.pieces_at import pieces_at
from gridjig.contact.values import Contact, JobContacts, PartContact, PieceContacts
from gridjig.model import Job, Part
from gridjig.rack.same import Same
from gridjig.solve.placed.placed_piece import PlacedPiece

from .body import BodyCorners, box_of
from .grips import Grip, PartGrips, neighbour_grips, piece_grips, touching_of
from .order import corners_of, loading_orders


class Gripped:
    """The grips on every part of a job, sorted once for all that is asked about them.

    What the pieces do to a part is taken from `before` where the same pieces stand there.
    """

    def __init__(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        contacts: JobContacts,
        before: "Gripped | None" = None,
    ) -> None:
        self.at = pieces_at(contacts)
        self._by_pieces: dict[str, _ByPieces] = {}
        for part, owns in self.at.items():
            if before is not None and before.at.get(part) is owns:
                self._by_pieces[part] = before._by_pieces[part]
            else:
                self._by_pieces[part] = _by_pieces(part, owns, placed_pieces)
        self.touching = {part: one.touching for part, one in self._by_pieces.items()}
        self.near = {part: one.near for part, one in self._by_pieces.items()}
        self.rests = {part: one.rests for part, one in self._by_pieces.items()}
        self.corners = {part.id: corners_of(part) for part in job.parts}
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


class _ByPieces(Struct, frozen=True, eq=False):
    """What the pieces at a part do to it."""

    touching: tuple[Grip, ...]
    near: tuple[Grip, ...]
    rests: tuple[Contact, ...]


def _by_pieces(
    part: str, owns: Sequence[PieceContacts], placed_pieces: Mapping[str, PlacedPiece]
) -> _ByPieces:
    every = (pair for own in owns for pair in piece_grips(own, placed_pieces[own.piece]))
    grips = [grip for other, grip in every if other == part]
    return _ByPieces(
        tuple(grip for grip in grips if grip.touches),
        tuple(grip for grip in grips if not grip.touches),
        tuple(
            one
            for own in owns
            for one in own.contacts
            if one.part == part and one.kind == "rest under" and one.touches
        ),
    )


def ground_of(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> Gripped:
    """The grips of a job; the same values give the same ground."""
    return _ground_of(Same(job), Same(placed_pieces), Same(contacts))


_LAST: list[Gripped] = []
"""The ground of the last job, of which the next one is mostly made."""


@lru_cache(maxsize=2)
def _ground_of(
    job: Same[Job], placed: Same[Mapping[str, PlacedPiece]], contacts: Same[JobContacts]
) -> Gripped:
    last = next(iter(_LAST), None)
    made = Gripped(job.value, placed.value, contacts.value, last)
    _LAST[:] = [made]
    return made


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
