"""The room that pieces and parts take, for measuring conflicts and contacts."""

import math
from collections.abc import Iterable, Sequence
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct

from gridjig.geometry.box_index import Box
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.part_solids import PartSolid, part_solids
from gridjig.geometry.plate_holes import without_openings
from gridjig.geometry.shapes import bounds, covered, disc
from gridjig.model import Member, Part
from gridjig.rack import Piece, Point
from gridjig.rack.same import Same, kept_for
from gridjig.solve.placed.placed_piece import PlacedPiece, PlacedSolid

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

DEPTH = 0.05
"""Overlaps up to this deep, mm, in plan or height, are contact: half of the last digit shown."""

_STEP = 3.75
"""Degrees per chord of a round body: 0.01 mm out at a radius of 25 mm."""

_NOWHERE = (math.inf, math.inf, -math.inf, -math.inf)


class PlacedPart(Struct, frozen=True):
    """A part of the weldment on the table: its plan between two heights, mm.

    `solids` is the room that it actually takes.
    """

    id: str
    points: tuple[Point, ...]
    z_low: float
    z_high: float
    solids: tuple[PartSolid, ...]


Thing = PlacedPiece | PlacedPart


@kept_for(4096)
def placed_part(part: Part) -> PlacedPart:
    """A part of the weldment on the table; the same part gives the same value."""
    solids = part_solids(part)
    plain = isinstance(part, Member) and len(solids) == 1
    ring = solids[0].ring if plain else part_ring(part)
    return PlacedPart(part.id, ring, part.z_low, part.z_high, solids)


class Room(Struct, frozen=True, eq=False, dict=True):
    """A prism of a thing over a ring of points.  `solid` is set for rounded prisms of parts."""

    points: tuple[Point, ...]
    box: Box
    z_low: float
    z_high: float
    handle: bool = False
    solid: PartSolid | None = None
    openings: tuple[tuple[Point, ...], ...] = ()

    @cached_property
    def plan(self) -> "BaseGeometry":
        """The area enclosed by the ring, less its openings; computed on first use."""
        return without_openings(covered(self.points), self.openings)

    def between(self, z_low: float, z_high: float) -> "BaseGeometry":
        """The widest plan between two heights."""
        by = self.solid.recess(z_low, z_high) if self.solid is not None else 0.0
        if self.solid is None or by <= 0.0:
            return self.plan
        return plan_of(self.solid.narrowed(by))


class Rooms(Struct, frozen=True, eq=False):
    """All prisms of a thing, and their bounding box."""

    every: tuple[Room, ...]
    box: Box


@kept_for(4096)
def rooms_of(thing: Thing) -> Rooms:
    """The prisms of a thing; the same thing gives the same value."""
    if isinstance(thing, PlacedPart):
        rooms = [_part_room(solid) for solid in thing.solids]
    else:
        rooms = [_solid_room(solid) for solid in thing.solids]
        if thing.piece is not None and thing.rounds:
            faithful = _drawn_round(Same(thing.piece))
            rooms += [
                _room(disc(body.centre, body.radius, _STEP), body.z_low, body.z_high)
                for body, drawn in zip(thing.rounds, faithful, strict=True)
                if not drawn
            ]
    return Rooms(tuple(rooms), _around(room.box for room in rooms))


@lru_cache(maxsize=256)
def _drawn_round(key: Same[Piece]) -> tuple[bool, ...]:
    """For each round body of a piece, True if a solid's outline is a close enough circle."""
    piece = key.value
    return tuple(
        any(
            solid.body == body.body
            and solid.z_low <= body.z_low + DEPTH
            and solid.z_high >= body.z_high - DEPTH
            and _is_disc(solid.outline, body.centre, body.radius)
            for solid in piece.solids
        )
        for body in piece.rounds
    )


def _is_disc(ring: Sequence[Point], centre: Point, radius: float) -> bool:
    """True if both the corners and the middles of the sides are on the circle."""
    middles = [
        ((x + u) / 2.0, (y + v) / 2.0)
        for (x, y), (u, v) in zip(ring, [*ring[1:], ring[0]], strict=True)
    ]
    return all(abs(math.dist(p, centre) - radius) <= DEPTH for p in (*ring, *middles))


def _solid_room(solid: PlacedSolid) -> Room:
    handle = solid.role == "handle"
    return _room(solid.points, solid.z_low, solid.z_high, handle, openings=solid.openings)


def _part_room(solid: PartSolid) -> Room:
    rounded = solid if solid.rounded else None
    return _room(solid.ring, solid.z_low, solid.z_high, False, rounded, solid.openings)


def _room(
    points: tuple[Point, ...],
    low: float,
    high: float,
    handle: bool = False,
    solid: PartSolid | None = None,
    openings: tuple[tuple[Point, ...], ...] = (),
) -> Room:
    return Room(points, bounds(points), low, high, handle, solid, openings)


def plan_of(points: Sequence[Point]) -> "BaseGeometry":
    """The area enclosed by an outline; empty if it is a line."""
    if len(points) < 3:
        import shapely  # noqa: PLC0415  # late: not needed to show a table

        return shapely.Polygon()
    return covered(points)


def _around(boxes: Iterable[Box]) -> Box:
    every = [*boxes, _NOWHERE]
    return (
        min(b[0] for b in every),
        min(b[1] for b in every),
        max(b[2] for b in every),
        max(b[3] for b in every),
    )


def near(a: Box, b: Box) -> bool:
    """True if two boxes overlap by more than a contact."""
    return (
        a[2] - b[0] > DEPTH and b[2] - a[0] > DEPTH and a[3] - b[1] > DEPTH and b[3] - a[1] > DEPTH
    )
