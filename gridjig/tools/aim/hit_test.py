"""What lies under the pointer: hit testing in plan, topmost first.

Thin things can be clicked within the pointer's grip, which is measured on the screen, so it feels
the same at every zoom.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

from gridjig.geometry.box_index import Box
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings
from gridjig.model import Job, Placement, Table
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.tools.core.pointer import Pointer

PlanRing = tuple[Point, ...]


class HitBody(Struct, frozen=True):
    """What hit testing needs to know: rings in table mm, their bounds, top and area.

    `openings` are those of each ring; nothing is hit in them, be it a plate or a piece.
    """

    rings: tuple[PlanRing, ...]
    box: Box
    top: float
    area: float
    half_width: float
    openings: tuple[tuple[PlanRing, ...], ...]

    def distance(self, x: float, y: float) -> float:
        """Return the distance from a point to the thing, mm; 0 on it, but not in an opening."""
        every = zip(self.rings, self.openings, strict=True)
        return min(_steel_distance(ring, cut, x, y) for ring, cut in every)


def _steel_distance(ring: PlanRing, cut: tuple[PlanRing, ...], x: float, y: float) -> float:
    away = ring_distance(ring, x, y)
    if away == 0:
        for opening in cut:
            if ring_distance(opening, x, y) == 0:
                return edge_distance(opening, x, y)
    return away


def placement_rings(
    table: Table, placement: Placement, placed: PlacedPiece
) -> tuple[PlanRing, ...]:
    """Return the plan rings of a placement; without a body, a square around each of its holes.

    The area that a clamp's handle sweeps is not included, so what lies there can be clicked.
    """
    rings = tuple(s.points for s in placed.solids if s.role != "handle")
    if rings:
        return rings
    r = table.hole_diameter
    centres = (table.at(s.hole) for s in placement.seats)
    return tuple(
        ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)) for x, y in centres
    )


class HitTester:
    """Hit bodies of everything on the table, cached until the value they came from changes."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[object, HitBody]] = {}

    def bodies(self, job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> dict[str, HitBody]:
        """Return the hit body of each thing, by id."""
        fresh: dict[str, tuple[object, HitBody]] = {}
        for placement in job.placements:
            placed = placed_pieces.get(placement.id)
            if placed is None:  # it is not part of the preview shown
                continue
            kept = self._kept.get(placement.id)
            if kept is None or kept[0] is not placed:
                rings = placement_rings(job.table, placement, placed)
                cuts = tuple(s.openings for s in placed.solids if s.role != "handle")
                top = max((s.z_high for s in placed.solids), default=0.0)
                kept = (placed, _body(rings, top, cuts or ((),) * len(rings)))
            fresh[placement.id] = kept
        for part in job.parts:
            kept = self._kept.get(part.id)
            if kept is None or kept[0] is not part:
                kept = (part, _body((part_ring(part),), part.z_high, (part_openings(part),)))
            fresh[part.id] = kept
        self._kept = fresh
        return {thing_id: body for thing_id, (_, body) in fresh.items()}

    def at(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], pointer: Pointer
    ) -> tuple[str, ...]:
        """Return the ids that a click can take, topmost first, then smaller first.

        A thing thinner than the grip can be hit from beside it, but never before a thin one that
        the pointer is right on.  If nothing is under the pointer, the nearest in the grip is hit.
        """
        grip = pointer.grip * pointer.table_mm
        x, y = pointer.x, pointer.y
        on: list[tuple[float, float, str]] = []
        by: list[tuple[float, float, str]] = []
        thin: set[str] = set()
        beside: list[tuple[float, str]] = []
        for thing_id, body in self.bodies(job, placed_pieces).items():
            x0, y0, x1, y1 = body.box
            if not (x0 - grip <= x <= x1 + grip and y0 - grip <= y <= y1 + grip):
                continue
            away = body.distance(x, y)
            if body.half_width < grip:
                thin.add(thing_id)
            if away == 0:
                on.append((-body.top, body.area, thing_id))
            elif away <= grip and thing_id in thin:
                by.append((-body.top, body.area, thing_id))
            elif away <= grip:
                beside.append((away, thing_id))
        if on or by:
            right_on = bool(on) and min(on)[2] in thin
            found = sorted(on) + sorted(by) if right_on else sorted(on + by)
            return tuple(thing_id for _, _, thing_id in found)
        return tuple(thing_id for _, thing_id in sorted(beside)[:1])

    def within(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], a: Point, b: Point
    ) -> frozenset[str]:
        """Return the ids of what lies wholly in the box between two corners."""
        x0, x1 = sorted((a[0], b[0]))
        y0, y1 = sorted((a[1], b[1]))
        return frozenset(
            thing_id
            for thing_id, body in self.bodies(job, placed_pieces).items()
            if x0 <= body.box[0] and y0 <= body.box[1] and body.box[2] <= x1 and body.box[3] <= y1
        )


def ring_distance(ring: PlanRing, x: float, y: float) -> float:
    """Return the distance from a point to the area inside a ring, mm; 0 if it is inside."""
    inside = False
    ax, ay = ring[-1]
    for bx, by in ring:
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
        ax, ay = bx, by
    return 0.0 if inside else edge_distance(ring, x, y)


def edge_distance(ring: PlanRing, x: float, y: float) -> float:
    """Return the distance from a point to the edge of a ring, mm."""
    ends = zip((ring[-1], *ring[:-1]), ring, strict=True)
    return min(_segment_distance(x, y, *a, *b) for a, b in ends)


def _segment_distance(x: float, y: float, ax: float, ay: float, bx: float, by: float) -> float:
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    t = 0.0 if square == 0 else min(max(((x - ax) * dx + (y - ay) * dy) / square, 0.0), 1.0)
    return math.hypot(x - ax - t * dx, y - ay - t * dy)


def _body(
    rings: tuple[PlanRing, ...], top: float, openings: tuple[tuple[PlanRing, ...], ...]
) -> HitBody:
    xs = [x for ring in rings for x, _ in ring]
    ys = [y for ring in rings for _, y in ring]
    cuts = [ring for cut in openings for ring in cut]
    gone = sum(abs(_area(ring)) for ring in cuts)
    area = sum(abs(_area(ring)) for ring in rings) - gone
    edge = max(_edge(ring) for ring in rings) + sum(map(_edge, cuts))
    # For a long strip area / half its edge is its width; close enough to tell thin from not.
    half_width = area / edge if edge else 0.0
    box = (min(xs), min(ys), max(xs), max(ys))
    return HitBody(rings, box, top, area, half_width, openings)


def _edge(ring: PlanRing) -> float:
    return sum(math.dist(ring[i - 1], ring[i]) for i in range(len(ring)))


def _area(ring: PlanRing) -> float:
    """Return the area by the shoelace formula, mm2; positive if counter-clockwise."""
    return 0.5 * sum(
        ring[i - 1][0] * ring[i][1] - ring[i][0] * ring[i - 1][1] for i in range(len(ring))
    )
