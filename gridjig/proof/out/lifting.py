"""What is over the work, so that it does not lift straight up; and what has to come off first.

A clamp's bar and handle are no obstacle: it is opened.  Anything else over the work is, such as a
lug that hooks over it.  A piece that the work also lies on cannot be lifted off either.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from gridjig.contact.overlap import AREA, way_in
from gridjig.contact.shapes import DEPTH, PlacedPart, Room, Thing, near, rooms_of
from gridjig.contact.values import JobContacts
from gridjig.geometry.shapes import bounds
from gridjig.rack import Point
from gridjig.rack.same import kept_for
from gridjig.solve.placed.placed_piece import PlacedPiece

from .values import OffFirst

OPENED = ("bar", "handle")
"""What swings away when a clamp is opened."""


class StandingRooms(NamedTuple):
    """The rooms of a thing that stay where they are with clamps open, and what swings away."""

    stays: tuple[Room, ...]
    opens: tuple[Room, ...]


@kept_for(4096)
def fixed(thing: Thing) -> StandingRooms:
    """The rooms of a thing that stay and those that open; the same thing gives the same value."""
    every = rooms_of(thing).every
    if isinstance(thing, PlacedPart):
        return StandingRooms(every, ())
    opens = {k for k, solid in enumerate(thing.solids) if solid.role in OPENED}
    return StandingRooms(
        tuple(room for k, room in enumerate(every) if k not in opens),
        tuple(room for k, room in enumerate(every) if k in opens and not room.handle),
    )


def over(part: Thing, rooms: Sequence[Room]) -> bool:
    """True if any of the rooms is above a thing, even in part."""
    return any(
        room.z_low >= mine.z_high - DEPTH and _meet(mine, room)
        for room in rooms
        for mine in rooms_of(part).every
    )


def under(part: Thing, rooms: Sequence[Room]) -> bool:
    """True if any of the rooms is below a thing."""
    return any(
        room.z_high <= mine.z_low + DEPTH and _meet(mine, room)
        for room in rooms
        for mine in rooms_of(part).every
    )


def _meet(one: Room, other: Room) -> bool:
    """True if two rooms share more in plan than a contact does."""
    if not near(one.box, other.box):
        return False
    common = one.plan.intersection(other.plan)
    return float(common.area) > AREA and way_in(common) > DEPTH


class Above(NamedTuple):
    """What is over a weldment: pieces and parts that block it, and clamps that open."""

    blocks: tuple[str, ...]
    captured: tuple[str, ...]
    clamps: tuple[str, ...]


def above(part: PlacedPart, name: str, thing: Thing) -> Above:
    """What one thing is to one part that is lifted."""
    rooms = fixed(thing)
    if not near(rooms_of(part).box, rooms_of(thing).box):
        return _NOTHING
    clamps = (name,) if over(part, rooms.opens) else ()
    if not over(part, rooms.stays):
        return Above((), (), clamps) if clamps else _NOTHING
    return Above((name,), (name,) if under(part, rooms.stays) else (), clamps)


_NOTHING = Above((), (), ())


def clamps_on(contacts: JobContacts, parts: Iterable[str]) -> Iterator[str]:
    """The clamps that press on any of these parts."""
    mine = frozenset(parts)
    for piece, role in contacts.roles.items():
        if role.what == "clamps" and not mine.isdisjoint(role.parts):
            yield piece


def in_order(
    inside: Sequence[str],
    clamps: Iterable[str],
    blocking: Sequence[str],
    places: Mapping[str, Point],
    datum: Point,
    stacked: Mapping[str, Sequence[str]],
) -> tuple[OffFirst, ...]:
    """What to open and take off, in order.

    First what the work closes on, while the clamps still hold the rest; then the clamps, those far
    from the datum first and the datum's own last; then what hooks over the work, each after what
    is on top of it (`stacked`).
    """
    found = [OffFirst(piece, "inside") for piece in inside]
    far = sorted(set(clamps), key=lambda k: (-round(math.dist(places[k], datum), 3), k))
    found += [OffFirst(piece, "clamps") for piece in far]
    done: dict[str, None] = {}

    def take(piece: str, seen: frozenset[str]) -> None:
        if piece in done or piece in seen:
            return
        for upper in stacked.get(piece, ()):
            take(upper, seen | {piece})
        done[piece] = None

    for piece in blocking:
        take(piece, frozenset())
    return (*found, *(OffFirst(piece, "over") for piece in done if piece not in inside))


def place_of(thing: Thing) -> Point:
    """Where a thing is, mm: the middle of its box."""
    if isinstance(thing, PlacedPiece) and thing.tip is not None:
        return thing.tip.at
    x0, y0, x1, y1 = bounds(p for room in rooms_of(thing).every for p in room.points)
    return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
