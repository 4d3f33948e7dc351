"""How every part and every weldment of a job is located."""

import math
from collections.abc import Mapping, Sequence

from gridjig.contact.carrying import (
    Carried,
    Support,
    carried,
    carried_together,
    supports_of,
    weight_of,
)
from gridjig.contact.values import Contact, JobContacts, PartContact
from gridjig.model import Job, Part
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.solve.placed.placed_piece import PlacedPiece

from .body import Figures, figures
from .grips import Grip, Neighbours, neighbour_grips, piece_grips
from .order import corners_of, loading_orders
from .values import Located, LocatedAs, LocatedReport


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
        self.job = job
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


def located(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
) -> LocatedReport:
    """How every part is located when it is loaded, and every weldment once it is tacked.

    What the same contacts of the same parts amount to is kept from one call to the next, so that an
    edit of one piece costs little.
    """
    ground = Ground(job, placed_pieces, contacts)
    resting: dict[str, list[Contact]] = {}
    for own in contacts.pieces.values():
        for contact in own.contacts:
            if contact.kind == "rest under" and contact.touches:
                resting.setdefault(contact.part, []).append(contact)
    lying: dict[str, list[PartContact]] = {}
    for one in contacts.parts:
        if one.kind == "on top":
            lying.setdefault(one.a, []).append(one)
            lying.setdefault(one.b, []).append(one)
    parts: dict[str, Located] = {}
    weldments: list[Located] = []
    every = parts_by_weldment(job.parts)
    for weldment, order in ground.orders.items():
        numbers = {part: k for k, part in enumerate(order, 1)}
        for part in every.get(weldment, ()):
            joined = [
                one
                for one in lying.get(part.id, ())
                if numbers[one.a if one.b == part.id else one.b] < numbers[part.id]
            ]
            supports = supports_of(part, resting.get(part.id, ()), joined)
            parts[part.id] = _part(ground, part, numbers, supports)
        for body in _bodies(every.get(weldment, ()), contacts.parts):
            under = {part.id: supports_of(part, resting.get(part.id, ()), ()) for part in body}
            weldments.append(_weldment(ground, weldment, body, under))
    return LocatedReport(
        tuple(parts[part.id] for part in job.parts), tuple(weldments), ground.orders
    )


def _part(
    ground: Ground, part: Part, numbers: Mapping[str, int], supports: Sequence[Support]
) -> Located:
    grips = ground.grips(part.id, numbers)
    corners = corners_of(part)
    found = figures(corners, grips, _near(ground, part.id, numbers))
    after: tuple[str, ...] = ()
    if found.free is not None and found.kappa is None:
        later = [
            grip
            for grip in ground.neighbours.get(part.id, ())
            if grip.touches and numbers.get(grip.id, 0) > numbers[part.id]
        ]
        if later and figures(corners, (*grips, *later)).held > found.held:
            after = tuple(dict.fromkeys(grip.id for grip in later))
    return _located(part.id, found, carried(part, supports), numbers[part.id], after)


def _near(ground: Ground, part: str, numbers: Mapping[str, int]) -> tuple[Grip, ...]:
    """What stands in front of a part without touching it."""
    beside = tuple(
        grip
        for grip in ground.neighbours.get(part, ())
        if not grip.touches and numbers.get(grip.id, math.inf) < numbers[part]
    )
    return (*beside, *ground.near.get(part, ()))


def _bodies(parts: Sequence[Part], joined: Sequence[PartContact]) -> list[tuple[Part, ...]]:
    """The parts of a weldment that are joined to each other, in job order; no lone parts."""
    of = {part.id: {part.id} for part in parts}
    for one in joined:
        if one.a in of and one.b in of and of[one.a] is not of[one.b]:
            small, large = sorted((of[one.a], of[one.b]), key=len)
            large |= small
            for part in small:
                of[part] = large
    bodies: dict[int, list[Part]] = {}
    for part in parts:
        bodies.setdefault(id(of[part.id]), []).append(part)
    return [tuple(body) for body in bodies.values() if len(body) > 1]


def body_corners(parts: Sequence[Part]) -> tuple[tuple[float, float], ...]:
    """The corners of the box around several parts."""
    points = [point for part in parts for point in corners_of(part)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    low, high = (min(xs), min(ys)), (max(xs), max(ys))
    return (low, (high[0], low[1]), high, (low[0], high[1]))


def _weldment(
    ground: Ground,
    weldment: str,
    body: tuple[Part, ...],
    under: Mapping[str, Sequence[Support]],
) -> Located:
    grips = tuple(grip for part in body for grip in ground.touching.get(part.id, ()))
    near = tuple(grip for part in body for grip in ground.near.get(part.id, ()))
    found = figures(body_corners(body), grips, near)
    return _located(
        weldment, found, carried_together(body, under), 0, parts=tuple(part.id for part in body)
    )


def _located(
    thing: str,
    found: Figures,
    carried: Carried,
    order: int,
    after: tuple[str, ...] = (),
    parts: tuple[str, ...] = (),
) -> Located:
    what: LocatedAs = "located"
    if found.free is not None:
        what = "loose" if found.kappa is None else "cannot leave"
    elif found.spare:
        what = "over-located"
    return Located(
        thing,
        what,
        found.motion,
        found.contacts,
        carried,
        order,
        carried.centre,
        parts,
        found.spare,
        found.fight,
        found.short,
        after,
        found.closed,
        found.kappa,
    )


def mass_of(parts: Sequence[Part]) -> float:
    """The mass of some parts together, kg."""
    return sum(weight_of(part).mass for part in parts)
